// Hours in which somebody can't cook: asleep, away or busy; once, on days of each week, on one date, or
// out of a calendar file. Rows of one person's, or of everybody's.
import { h, put as tell } from './dom.js';
import { wallTime, when } from './moment.js';
import { asList } from './values.js';
import { say, words } from './words.js';

// An instant that two controls can show: one without an offset.
export const isPlain = (instant) => /^\d{4}-\d\d-\d\d[ T]\d\d:\d\d$/.test(instant ?? '');
const isWindow = (text) => /^\d\d?:\d\d ?- ?\d\d?:\d\d$/.test(text ?? '');

// "mon-fri, sun" as seven trues and falses, and back in the fewest words; null: it names no days.
const days = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'];
export function daysOf(text) {
  const is = days.map(() => false);
  for (const part of String(text).split(/, */)) {
    const [from, to = from, more] = part.split('-').map((name) => days.indexOf(name));
    if (from < 0 || to < 0 || more !== undefined) return null;
    for (let d = from; ; d = (d + 1) % 7) {
      is[d] = true;
      if (d === to) break;
    }
  }
  return is;
}
export function daysIn(is) {
  const parts = [];
  for (let d = 0; d < 7; d++) {
    if (!is[d]) continue;
    const from = d;
    while (is[d + 1]) d++;
    parts.push(d - from > 1 ? `${days[from]}-${days[d]}` : days.slice(from, d + 1).join(','));
  }
  return parts.join(',');
}

// The forms that each key takes, the first of them first; and one of each form to begin with.
const forms = { asleep: ['nightly', 'weekly', 'date'], away: ['once', 'weekly', 'date', 'calendar'], busy: ['once', 'weekly', 'date', 'calendar'] };
function formOf(key, v) {
  if (typeof v === 'string') return key === 'asleep' ? (isWindow(v) ? 'nightly' : null) : 'calendar';
  if (v && isPlain(v.from) && isPlain(v.to)) return 'once';
  if (v && isWindow(v.time)) return v.days !== undefined ? (daysOf(v.days) ? 'weekly' : null) : v.date !== undefined ? 'date' : null;
  return null;
}
// `day`: the one that matters, where there is one; else it begins with the next hour.
function begin(key, form, day) {
  const time = key === 'asleep' ? '22:30-06:30' : '08:00-17:30';
  const at = (hours_) => wallTime(Date.now() + hours_ * 3600000).replace(/\d\d$/, '00');
  return form === 'nightly' ? time : form === 'weekly' ? { days: 'mon-fri', time } : form === 'date' ? { date: day ?? at(1).slice(0, 10), time }
    : form === 'calendar' ? '' : day ? { from: `${day} 08:00`, to: `${day} 12:00` } : { from: at(1), to: at(2) };
}

function inWords(form, v) {
  if (form === 'once') return say('hoursOnce', { from: when(v.from), to: v.to.slice(0, 10) === v.from.slice(0, 10) ? v.to.slice(11) : when(v.to) });
  if (form === 'nightly') return say('hoursNightly', { time: v });
  if (form === 'weekly') return say('hoursWeekly', { days: daysIn(daysOf(v.days)).replace(/[a-z]{3}/g, (day) => words.weekdays[days.indexOf(day)]), time: v.time });
  if (form === 'date') return say('hoursDate', { date: when(`${v.date} 00:00`).replace(/, 00:00$/, ''), time: v.time });
  return typeof v === 'string' ? v : Object.values(v ?? {}).join(' ');
}

// `get(key)` and `put(key, value)` of 'asleep', 'away', 'busy'; `at`: the pointer of who has them;
// `calendars`: paths of those that there are; `again(focus)` draws all rows anew; `opened`: a set, kept
// over that, of the rows that are unfolded; `day()`: the day of the occasion, if it is one's.
export function hours(form, { at, who, get, put, calendars, again, opened, day = () => undefined }) {
  const rows = [];
  const addId = `add-hours-${at}`;
  const write = (key, list) => {
    const was = get(key);
    put(key, list.length === 1 && was !== undefined && !Array.isArray(was) ? list[0] : list);
  };
  for (const key of Object.keys(forms))
    asList(get(key)).forEach((v, i) => rows.push(row(key, v, i)));

  function row(key, v, i) {
    const p = Array.isArray(get(key)) ? `${at}/${key}/${i}` : `${at}/${key}`;
    const is = formOf(key, v);
    const one = is && typeof v === 'object' ? { ...v } : v;
    const set = (value) => {
      write(key, asList(get(key)).map((x, j) => (j === i ? value : x)));
      tell(head, heading(formOf(key, value) ?? is, value));
    };
    const heading = (form_, value) => say('hoursIn', { what: words.hoursWhats[key], who, when: inWords(form_, value) });
    const head = h('summary', { id: `hours-${p}` }, heading(is, v));
    const part = (name, value) => {
      one[name] = value;
      set({ ...one });
    };
    const redrawn = (what) => {
      form.changed();
      again(what);
    };
    const what = form.field(words.hoursWhat, `${p}#what`, key, (to) => {
      const rest = asList(get(key)).filter((_, j) => j !== i);
      put(key, rest.length ? rest : undefined);
      const list = asList(get(to));
      put(to, [...list, forms[to].includes(is) ? v : begin(to, forms[to][0], day())]);
      const there = `${at}/${to}/${list.length}`;
      opened.add(there);
      again(form.idOf(`${there}#what`));
    }, { kind: 'choice', choices: Object.entries(words.hoursWhats) });
    const when = is && form.field(words.how, `${p}#when`, is, (to) => {
      set(begin(key, to, day()));
      again();
    }, { kind: 'choice', choices: forms[key].map((f) => [f, words.hoursWhens[f]]) });
    const times = (value, put_) => {
      const [from, to] = value.split(/ ?- ?/).map((t) => t.padStart(5, '0'));
      const both = { from, to };
      return ['from', 'to'].map((end) => form.field(words[end], end === 'from' ? `${p}/time` : `${p}#to`, both[end], (text) => {
        both[end] = text;
        if (both.from && both.to) put_(`${both.from}-${both.to}`);
      }, { kind: 'time', class: 'short' }));
    };
    const fields = {
      nightly: () => times(v, set),
      once: () => [form.instant(words.from, `${p}/from`, v.from, (text) => part('from', text)), form.instant(words.to, `${p}/to`, v.to, (text) => part('to', text))],
      date: () => [form.field(key === 'asleep' ? words.nightOf : words.onDate, `${p}/date`, v.date, (text) => part('date', text), { kind: 'date' }), times(v.time, (text) => part('time', text))],
      weekly: () => {
        const on = daysOf(v.days);
        return [h('fieldset', { class: 'days' }, h('legend', {}, words.onDays), form.spot(`${p}/days`), words.weekdays.map((name, d) => h('label', { class: 'pick' },
          h('input', { type: 'checkbox', checked: on[d], onchange: (e) => {
            on[d] = e.target.checked;
            part('days', daysIn(on));
            form.changed();
          } }), h('span', {}, name)))), times(v.time, (text) => part('time', text))];
      },
      calendar: () => form.field(words.calendarPath, p, v, set, { placeholder: 'calendars/work.ics', list: calendars?.length ? 'calendars' : null, class: 'wide' }),
    };
    const remove = h('button', { type: 'button', 'aria-label': say('of', { what: words.remove, name: say('hoursOf', { what: words.hoursWhats[key], who }) }), onclick: () => {
      const rest = asList(get(key)).filter((_, j) => j !== i);
      put(key, rest.length ? rest : undefined);
      redrawn(addId);
    } }, words.remove);
    const fold = h('details', { class: 'fold', open: opened.has(p), ontoggle: () => (fold.open ? opened.add(p) : opened.delete(p)) },
      head, is === 'calendar' ? null : form.spot(p),
      h('div', { class: 'span' }, is ? [what, when, fields[is]()] : null, remove));
    return fold;
  }
  rows.push(h('p', {}, h('button', { type: 'button', id: addId, onclick: () => {
    const list = asList(get('away'));
    put('away', [...list, begin('away', 'once', day())]);
    const there = `${at}/away/${list.length}`;
    opened.add(there);
    form.changed();
    again(form.idOf(`${there}#what`));
  } }, say('addHours', { who }))));
  return rows;
}

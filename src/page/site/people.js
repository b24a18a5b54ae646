// Who is there: cooks, and the hours in which they can't cook. The keys stand in a kitchen, which may be
// a file's; what one occasion has otherwise then stands in the plan, over the file's.
import { h } from './dom.js';
import { hours } from './hours.js';
import { words, say } from './words.js';

// The plan's own keys of its kitchen, and the file under them.
export function kitchenOf(plan) {
  const k = plan.kitchen;
  if (typeof k === 'string') return { file: k, own: {} };
  if (k && typeof k === 'object') {
    const { kitchen, ...own } = k;
    return { file: kitchen ?? null, own };
  }
  return { file: null, own: {} };
}
export function setKitchen(plan, file, own) {
  const given = Object.fromEntries(Object.entries(own).filter(([, v]) => v !== undefined));
  if (!Object.keys(given).length) {
    if (file) plan.kitchen = file;
    else delete plan.kitchen;
  } else plan.kitchen = file ? { kitchen: file, ...given } : given;
}

// Rows for the keys of `get()`, an object {cooks, asleep, away, busy}, each written by set(key, value).
// `under`: what holds where a key is not there (the kitchen's file); `again(focus)` draws the rows anew;
// `day()`: the day of the occasion, if it is one's.
export function people(form, at, { get, set, under, again, calendars, opened, day }) {
  const value = (key) => get()[key] ?? under[key];
  const cooks = value('cooks');
  const names = Array.isArray(cooks) ? cooks : null;
  const count = names ? names.length : cooks ?? 1;
  const named = (i, more) => set('cooks', value('cooks').map((c, j) => (j === i ? Object.fromEntries(Object.entries({ ...c, ...more }).filter(([, v]) => v !== undefined)) : c)));
  return [
    form.field(words.howManyCook, `${at}/cooks`, String(count), (text) => {
      const n = Number(text);
      if (!Number.isInteger(n) || n < 1 || n > 8) return;
      if (names) set('cooks', Array.from({ length: n }, (_, i) => names[i] ?? { cook: say('cookNumber', { n: i + 1 }) }));
      else set('cooks', n === (under.cooks ?? 1) ? undefined : n);
      if (names) again();
    }, { kind: 'number', min: 1, max: 8, inputmode: 'numeric', class: 'short' }),
    names?.map((c, i) => form.field(say('nameOfCook', { n: i + 1 }), `${at}/cooks/${i}/cook`, c.cook, (text) => named(i, { cook: text }))),
    h('p', { class: 'acts-row' }, h('button', { type: 'button', id: 'names', onclick: () => {
      set('cooks', names ? names.length : Array.from({ length: count }, (_, i) => ({ cook: say('cookNumber', { n: i + 1 }) })));
      form.changed();
      again('names');
    } }, names ? words.noNames : words.giveNames)),
    // Everybody's hours; that there are none is to be said where the file has some.
    hours(form, { at, who: words.everybody, calendars, again, opened, day, get: value,
      put: (key, v) => set(key, v === undefined && under[key] !== undefined ? [] : v) }),
    names?.map((c, i) => hours(form, { at: `${at}/cooks/${i}`, who: c.cook, calendars, again, opened, day, get: (key) => value('cooks')[i][key], put: (key, v) => named(i, { [key]: v }) })),
    calendars?.length ? h('datalist', { id: 'calendars' }, calendars.map((path) => h('option', { value: path }))) : null,
  ];
}

// Who is there: cooks, when nobody is at home, when all sleep. The keys stand in a kitchen, which may
// be a file's; what one occasion has otherwise then stands in the plan, over the file's.
import { h } from './dom.js';
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

const isSpan = (v) => v && typeof v === 'object' && 'from' in v && 'to' in v;
// An instant that two controls can show: one without an offset.
export const isPlain = (instant) => /^\d{4}-\d\d-\d\d[ T]\d\d:\d\d$/.test(instant ?? '');

// Rows for the keys of `get()`, an object {cooks, asleep, away}, each written by set(key, value).
// `under`: what holds where a key is not there (the kitchen's file).
export function people(form, at, get, set, under, again) {
  const value = (key) => get()[key] ?? under[key];
  const cooks = value('cooks');
  const names = Array.isArray(cooks) ? cooks : null;
  const count = names ? names.length : cooks ?? 1;
  const rows = [];
  rows.push(form.field(words.howManyCook, `${at}/cooks`, String(count), (text) => {
    const n = Number(text);
    if (!Number.isInteger(n) || n < 1 || n > 8) return;
    if (names) set('cooks', Array.from({ length: n }, (_, i) => names[i] ?? { cook: say('cookNumber', { n: i + 1 }) }));
    else set('cooks', n === (under.cooks ?? 1) ? undefined : n);
    if (names) again();
  }, { kind: 'number', min: 1, max: 8, inputmode: 'numeric', class: 'short' }));
  if (names)
    names.forEach((c, i) => rows.push(form.field(say('nameOfCook', { n: i + 1 }), `${at}/cooks/${i}/cook`, c.cook, (text) => {
      set('cooks', names.map((x, j) => (j === i ? { ...x, cook: text } : x)));
      names[i] = { ...names[i], cook: text };
    })));
  rows.push(h('p', { class: 'acts-row' }, names
    ? h('button', { type: 'button', onclick: () => {
      set('cooks', names.length);
      form.changed();
      again();
    } }, words.noNames)
    : h('button', { type: 'button', id: 'give-names', onclick: () => {
      set('cooks', Array.from({ length: count }, (_, i) => ({ cook: say('cookNumber', { n: i + 1 }) })));
      form.changed();
      again();
    } }, words.giveNames)));

  // Away: the house's, and each named cook's.
  const lists = [{ who: null, at: `${at}/away`, list: value('away'), put: (l) => set('away', l) },
    ...(names ?? []).map((c, i) => ({ who: c.cook, at: `${at}/cooks/${i}/away`, list: c.away, put: (l) => {
      const all = [...(value('cooks'))];
      all[i] = { ...all[i], away: l };
      if (l === undefined) delete all[i].away;
      set('cooks', all);
    } }))];
  for (const of of lists) {
    const list = of.list === undefined ? [] : Array.isArray(of.list) ? of.list : [of.list];
    list.forEach((span, i) => {
      const with_ = (other) => of.put(list.map((x, j) => (j === i ? other : x)));
      const remove = h('button', { type: 'button', onclick: () => {
        const rest = list.filter((_, j) => j !== i);
        of.put(rest.length || (of.who === null && under.away) ? rest : undefined);
        form.changed();
        again(`add-away-${of.who ?? ''}`);
      } }, words.remove);
      if (isSpan(span) && isPlain(span.from) && isPlain(span.to)) {
        const both = { ...span };
        const part = (label, key) => form.instant(label, `${of.at}/${i}/${key}`, both[key], (text) => {
          both[key] = text;
          with_({ ...both });
        });
        rows.push(h('fieldset', { class: 'span' }, h('legend', {}, say('awayWho', { who: of.who ?? words.everybody })),
          part(words.from, 'from'), part(words.to, 'to'), remove));
      } else
        rows.push(h('fieldset', { class: 'span' }, h('legend', {}, say('awayWho', { who: of.who ?? words.everybody })),
          h('p', {}, typeof span === 'string' ? span : Object.values(span).join(' ')), remove));
    });
    rows.push(h('p', {}, h('button', { type: 'button', id: `add-away-${of.who ?? ''}`, onclick: () => {
      const start = new Date(Date.now() + 3600000);
      const local = (d) => `${d.getFullYear()}-${String(d.getMonth() + 1).padStart(2, '0')}-${String(d.getDate()).padStart(2, '0')} ${String(d.getHours()).padStart(2, '0')}:00`;
      of.put([...list, { from: local(start), to: local(new Date(start.getTime() + 3600000)) }]);
      form.changed();
      again(form.idOf(`${of.at}/${list.length}/from`));
    } }, say('addAway', { who: of.who ?? words.everybody }))));
  }
  const asleep = Array.isArray(value('asleep')) && !value('asleep').length ? '' : value('asleep');
  rows.push(asleep === undefined || typeof asleep === 'string'
    ? form.field(words.asleep, `${at}/asleep`, asleep ?? '', (text) => set('asleep', text.trim() || (under.asleep ? [] : undefined)), { hint: words.asleepHint, placeholder: '22:30-06:30' })
    : h('p', { class: 'soft' }, say('asleepList', { what: JSON.stringify(asleep) })));
  return rows;
}

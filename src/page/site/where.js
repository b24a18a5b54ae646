// Rows of places and things: what a step takes while it lasts or until another is over, and where the
// finished dish stands.
import { h } from './dom.js';
import { heat } from './temperatures.js';
import { isObject, token } from './values.js';
import { say, words } from './words.js';

const amountOf = (v) => (isObject(v) ? v.amount ?? 1 : v);

function amount(form, pointer, value, set, first) {
  return form.field(words.amount, pointer, value, (text) => set(Number(text) || 1), { kind: 'number', min: 1, class: 'short', hideLabel: !first });
}
const remover = (name, act) => h('button', { type: 'button', 'aria-label': say('of', { what: words.remove, name }), onclick: act }, words.remove);

// Of step `s`: `uses` while it lasts, `holds` until another has ended, in one list.
export function whereRows(recipe, s, at) {
  const { form, known, scale, stepChoices, later, draw } = recipe;
  const isOven = (name) => known.get(name) === 'oven';
  const usualHeat = { C: '180 C', F: '350 F' };
  const rows = ['uses', 'holds'].flatMap((of) => Object.entries(s[of] ?? {}).map(([name, v]) => ({ of, name, v })));
  const write = () => {
    for (const of of ['uses', 'holds']) {
      const mine = rows.filter((r) => r.of === of && r.name);
      if (mine.length) s[of] = Object.fromEntries(mine.map((r) => [r.name, r.v]));
      else delete s[of];
    }
  };
  const row = (r, n) => {
    const p = `${at}/${r.of}/${token(r.name)}`, first = n === 0;
    const heated = r.of === 'uses' && isObject(r.v) && 'at' in r.v;
    return h('div', { class: 'line' },
      form.field(words.thing, `${at}/where-${n}`, r.name, (text) => {
        const had = isOven(r.name);
        r.name = text.trim();
        if (r.of === 'uses' && isOven(r.name) !== had) r.v = had ? 1 : { at: '' };
        write();
        if (isOven(r.name) !== had) draw();
      }, { list: 'things', hideLabel: !first }),
      heated
        ? [form.spot(p), heat(form, words.heat, `${p}/at`, r.v.at, (text) => {
          r.v = { ...r.v, at: text };
          write();
        }, { scale, usual: usualHeat, hideLabel: !first }),
        form.field(words.shelves, `${p}/shelves`, r.v.shelves, (text) => {
          const { shelves, ...rest } = r.v;
          r.v = Number(text) > 0 ? { ...rest, shelves: Number(text) } : rest;
          write();
        }, { kind: 'number', min: 1, class: 'short', placeholder: '1', hideLabel: !first })]
        : [amount(form, p, amountOf(r.v), (n_) => {
          r.v = isObject(r.v) ? { ...r.v, amount: n_ } : n_;
          write();
        }, first),
        form.field(words.untilStep, `${at}/until-${n}`, r.of === 'holds' ? `=${r.v?.until}` : '', (text) => {
          const many = amountOf(r.v);
          r.of = text ? 'holds' : 'uses';
          r.v = text ? { until: text.slice(1), ...(many !== 1 ? { amount: many } : {}) } : many;
          write();
        }, { kind: 'choice', choices: stepChoices(null, [['', words.whileItLasts]]), hideLabel: !first })],
      remover(r.name, () => {
        rows.splice(n, 1);
        write();
        later();
        draw(`where-${at}`);
      }));
  };
  return h('div', { class: 'where' }, rows.map(row), h('p', {}, h('button', { type: 'button', id: `where-${at}`, onclick: () => {
    // The next that is not there yet; a thing can stand once in each of the two.
    const free = [...known.keys()].find((name) => !(name in (s.uses ?? {})) && !(name in (s.holds ?? {}))) ?? '';
    rows.splice(rows.filter((r) => r.of === 'uses').length, 0, { of: 'uses', name: free, v: isOven(free) ? { at: usualHeat[scale] } : 1 });
    const place = rows.filter((r) => r.of === 'uses').length - 1;
    write();
    later();
    draw(form.idOf(`${at}/where-${place}`));
  } }, words.addWhere)));
}

// Where the finished dish stands until it is served: `stored`.
export function storedRows(recipe) {
  const { form, draft, later, draw } = recipe;
  const rows = Object.entries(draft.value.stored ?? {}).map(([name, v]) => ({ name, v }));
  const write = () => {
    const mine = rows.filter((r) => r.name);
    if (mine.length) draft.value.stored = Object.fromEntries(mine.map((r) => [r.name, r.v]));
    else delete draft.value.stored;
  };
  return [form.spot('/stored'), rows.map((r, n) => h('div', { class: 'line' },
    form.field(words.thing, `/stored-${n}`, r.name, (text) => {
      r.name = text.trim();
      write();
    }, { list: 'things', hideLabel: n > 0 }),
    amount(form, `/stored/${token(r.name)}`, r.v, (many) => {
      r.v = many;
      write();
    }, n === 0),
    remover(r.name, () => {
      rows.splice(n, 1);
      write();
      later();
      draw('add-stored');
    }))),
  h('p', {}, h('button', { type: 'button', id: 'add-stored', onclick: () => {
    rows.push({ name: rows.some((r) => r.name === 'fridge') ? words.thing : 'fridge', v: 1 });
    write();
    later();
    draw(form.idOf(`/stored-${rows.length - 1}`));
  } }, words.addStored))];
}

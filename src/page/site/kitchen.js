// A kitchen: what it has, and who cooks there.
import { h } from './dom.js';
import { Draft } from './draft.js';
import { Form, checkSoon, messagesList, redraw } from './form.js';
import { folder } from './net.js';
import { keepBar } from './keepbar.js';
import { people } from './people.js';
import { heat } from './temperatures.js';
import { token } from './values.js';
import { kitchenName, say, words } from './words.js';

const usual = { cooks: 1, asleep: '22:30-06:30', equipment: { oven: { kind: 'oven' }, hob: { kind: 'hob', rings: 4 }, fridge: { kind: 'cold', places: 6 } } };
// The keys of each kind that a row asks for.
const asks = { oven: ['count', 'shelves', 'preheat'], hob: ['rings'], cold: ['places', 'at'], tool: ['count'] };
const numbers = ['count', 'shelves', 'rings', 'places'];

// A kitchen is known by its file's name alone, which so keeps the letters that were typed.
const kitchenFile = (name) => `${name.normalize('NFC').replace(/[^\p{L}\p{M}\p{N}'’]+/gu, '-').replace(/^-+|-+$/g, '').slice(0, 60) || 'home'}.json`;

export async function show(place, path) {
  const { kitchens, calendars } = await folder();
  const draft = path ? await Draft.of(path) : Draft.blank('', usual, 'bakeset new kitchen');
  if (path && !draft.value) {
    location.replace(`#/raw/${encodeURIComponent(path)}`);
    return { title: path };
  }
  let name = '';
  const opened = new Set(); // rows of hours that are unfolded
  const taken = kitchens.map((k) => k.path);
  const dir = taken.length ? taken[0].replace(/[^/]*$/, '') : 'kitchens/';
  // Paths in a file are relative to it; what stands above it is reached by "..".
  const fromKitchen = (list) => list?.map((c) => {
    const own = draft.path.split('/').slice(0, -1), to = c.path.split('/');
    while (own.length && own[0] === to[0]) {
      own.shift();
      to.shift();
    }
    return [...own.map(() => '..'), ...to].join('/');
  });
  const form = new Form(() => later());
  const fields = h('div', { class: 'fields' });
  const general = h('div', { class: 'general', role: 'status' });
  const bar = keepBar(draft, {
    redraw: () => draw(),
    label: path ? words.keep : words.keepKitchen,
    kept: () => {
      location.hash = `#/kitchen/${encodeURIComponent(draft.path)}`;
    },
    gone: () => {
      location.hash = '#/';
    },
  });
  const soon = checkSoon(() => draft.check(), (messages) => showMessages(messages));
  function later() {
    if (draft.isNew) draft.path = `${dir}${kitchenFile(name)}`;
    bar.update();
    soon();
  }
  const showMessages = (messages) => general.replaceChildren(...[messagesList(form.show(messages ?? []))].filter(Boolean));
  function draw(focus) {
    form.fields.clear();
    redraw(fields, make, focus);
    bar.update();
    showMessages(draft.messages);
  }
  function make() {
    const v = draft.value;
    const scale = v.rules === 'us' ? 'F' : 'C';
    const things = v.equipment ?? (v.equipment = {});
    const rename = (from, to) => {
      v.equipment = Object.fromEntries(Object.entries(v.equipment).map(([k, x]) => [k === from ? to : k, x]));
    };
    return [
      draft.isNew ? form.field(words.kitchenName, '/name', name, (text) => {
        name = text;
      }, { placeholder: 'home' }) : null,
      h('fieldset', { class: 'group' }, h('legend', {}, words.equipment), form.spot('/equipment'),
        h('ul', { class: 'rows' }, Object.entries(things).map(([thing, e], i) => {
          let called = thing;
          const p = () => `/equipment/${token(called)}`;
          const kind = e.kind ?? 'tool';
          return h('li', { class: 'line' },
            form.field(words.thing, `/equipment-${i}`, thing, (text) => {
              if (!text.trim() || text in v.equipment) return;
              rename(called, text);
              called = text;
            }, { hideLabel: i > 0 }),
            form.field(words.kindOfThing, `${p()}/kind`, kind, (text) => {
              const x = v.equipment[called];
              for (const key of Object.values(asks).flat()) if (!asks[text].includes(key)) delete x[key];
              if (text === 'tool') delete x.kind;
              else x.kind = text;
              draw();
            }, { kind: 'choice', choices: Object.entries(words.thingKinds), hideLabel: i > 0 }),
            asks[kind]?.map((key) => (key === 'at' ? heat(form, words.thingKeys.at, `${p()}/at`, e.at, (text) => {
              const x = v.equipment[called];
              if (text.trim() === '') delete x.at;
              else x.at = text;
            }, { scale, usual: words.usualCold }) : form.field(words.thingKeys[key], `${p()}/${key}`, e[key], (text) => {
              const x = v.equipment[called];
              if (text.trim() === '') delete x[key];
              else x[key] = numbers.includes(key) && Number.isFinite(Number(text)) ? Number(text) : text;
            }, { kind: numbers.includes(key) ? 'number' : 'text', min: numbers.includes(key) ? 1 : null, class: 'short', placeholder: words.thingUsual[key], minutes: key === 'preheat' }))),
            kind === 'oven' ? h('label', { class: 'pick' }, h('input', { type: 'checkbox', checked: e.fan === true, onchange: (event) => {
              const x = v.equipment[called];
              if (event.target.checked) x.fan = true;
              else delete x.fan;
              later();
            } }), h('span', {}, words.fan)) : null,
            h('button', { type: 'button', 'aria-label': say('of', { what: words.remove, name: thing }), onclick: () => {
              delete v.equipment[called];
              later();
              draw('add-thing');
            } }, words.remove));
        })),
        h('p', {}, h('button', { type: 'button', id: 'add-thing', onclick: () => {
          let n = 1;
          while (say('thingN', { n }) in v.equipment) n++;
          v.equipment[say('thingN', { n })] = {};
          later();
          draw(form.idOf(`/equipment-${Object.keys(v.equipment).length - 1}`));
        } }, words.addThing))),
      form.field(words.rules, '/rules', v.rules ?? '', (text) => {
        if (text) v.rules = text;
        else delete v.rules;
        draw();
      }, { kind: 'choice', choices: Object.entries(words.rulesOf) }),
      h('fieldset', { class: 'group' }, h('legend', {}, words.whoIsThere),
        people(form, '', { get: () => v, set: (key, value) => {
          if (value === undefined) delete v[key];
          else v[key] = value;
        }, under: {}, again: draw, opened, calendars: fromKitchen(calendars) })),
    ];
  }
  place.append(h('h1', { tabindex: '-1' }, path ? kitchenName(path, kitchens) : words.newKitchen), bar.both, fields, general, bar.bar,
    path ? h('p', { class: 'end-links' }, h('a', { href: `#/raw/${encodeURIComponent(path)}` }, words.rawView)) : '');
  if (draft.isNew) draft.path = `${dir}${kitchenFile('')}`;
  draw();
  return { title: path ? kitchenName(path, kitchens) : words.newKitchen, stop: bar.stop };
}

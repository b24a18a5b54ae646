// Rows of a time that is reckoned from how something cools: its size, what it is, from which temperature
// to which, and where it stands.
import { h } from './dom.js';
import { heat } from './temperatures.js';
import { isObject } from './values.js';
import { say, words } from './words.js';

const foods = ['bread', 'bread dough', 'butter', 'butter cake', 'buttercream', 'caramel', 'cheesecake', 'chocolate', 'chocolate mousse', 'cooked rice', 'cream',
  'cream cheese', 'custard', 'dense mousse', 'fruit compote', 'fruit jelly', 'ganache', 'lemon curd', 'light mousse', 'mashed potato', 'milk', 'mousse', 'panna cotta',
  'pastry cream', 'roast chicken', 'roast meat', 'shortcrust pastry', 'soft cheese', 'soup', 'sponge', 'stew', 'water', 'whipped cream'];
const usual = { from: { C: '60 C', F: '140 F' }, to: { C: '5 C', F: '41 F' }, air: { C: '20 C', F: '68 F' }, melts: { C: '22 C', F: '72 F' } };
const size = { C: { across: '20 cm', deep: '5 cm' }, F: { across: '8 in', deep: '2 in' } };
// Those that the program knows by name, once on a screen.
export const foodsList = () => h('datalist', { id: 'foods' }, foods.map((name) => h('option', { value: name })));
const coldOf = (recipe) => [...recipe.known].filter(([, kind]) => kind === 'cold').map(([name]) => name);

export const usualCooling = (recipe) => ({ shape: 'round', ...size[recipe.scale], food: 'custard', from: usual.from[recipe.scale], to: usual.to[recipe.scale], in: coldOf(recipe)[0] ?? 'room' });

export function coolingRows(recipe, s, at, i) {
  const { form, scale, later, draw } = recipe;
  const c = s.cooling;
  const goesOn = c.from === 'as it was';
  // An empty field is a key that is not there.
  const setIn = (object, key) => (text) => {
    if (text.trim() === '') delete object[key];
    else object[key] = text;
  };
  const words_ = (key, given) => form.field(words.coolingKeys[key], `${at}/${key}`, c[key], setIn(c, key), { class: 'short', ...given });
  const degrees = (key, label = words.coolingKeys[key]) => heat(form, label, `${at}/${key}`, c[key], setIn(c, key), { scale, usual: usual[key] });
  // A choice whose first is what holds where nothing is said.
  const choice = (key) => {
    const choices = Object.entries(words.coolingWords[key]);
    return form.field(words.coolingKeys[key], `${at}/${key}`, c[key] ?? choices[0][0], (text) => {
      if (text === choices[0][0]) delete c[key];
      else c[key] = text;
    }, { kind: 'choice', choices });
  };
  const places = [...coldOf(recipe).map((name) => [name, name]), ...Object.entries(words.coolingPlaces)];
  const place = (pointer, object, hideLabel) => {
    const all = places.some(([name]) => name === object.in) || !object.in ? places : [...places, [object.in, object.in]];
    return form.field(words.coolingKeys.in, pointer, object.in, (text) => {
      object.in = text;
    }, { kind: 'choice', choices: all, hideLabel });
  };
  const foodField = (pointer, object) => (isObject(object.food) ? h('p', { class: 'soft' }, words.madeUp)
    : form.field(words.coolingKeys.food, pointer, object.food, (text) => {
      object.food = text;
    }, { list: 'foods' }));

  const what = goesOn ? null : [
    h('div', { class: 'line' },
      form.field(words.coolingKeys.shape, `${at}/shape`, c.shape, (text) => {
        c.shape = text;
        if (text === 'ball') delete c.deep;
        draw();
      }, { kind: 'choice', choices: Object.entries(words.coolingWords.shape) }),
      words_('across', { placeholder: size[scale].across }),
      c.shape === 'ball' ? null : words_('deep', { placeholder: size[scale].deep }),
      foodField(`${at}/food`, c))];
  const start = h('div', { class: 'line' },
    i > 0 || goesOn ? form.field(words.coolingKeys.begins, `${at}/begins`, goesOn ? 'goes on' : 'at', (text) => {
      if (text === 'goes on') {
        for (const key of ['shape', 'across', 'deep', 'food', 'onto']) delete c[key];
        c.from = 'as it was';
      } else Object.assign(c, usualCooling(recipe), { to: c.to, ...(c.places ? { in: undefined } : { in: c.in }) });
      draw();
    }, { kind: 'choice', choices: Object.entries(words.coolingBegins) }) : null,
    goesOn ? null : degrees('from'), degrees('to'));
  return h('fieldset', { class: 'bare' }, h('legend', {}, words.reckoned), form.spot(at), what, start, standing(), finer());

  // In one place, or in one after another.
  function standing() {
    if (!c.places)
      return h('div', { class: 'line' }, place(`${at}/in`, c), h('button', { type: 'button', id: `${at}-places`, onclick: () => {
        c.places = [{ in: 'room', for: '30 min' }, { in: c.in ?? 'fridge' }];
        delete c.in;
        delete c.air;
        later();
        draw(form.idOf(`${at}/places/0/in`));
      } }, words.coolingFirst));
    return [c.places.map((one, n) => h('div', { class: 'line' },
      place(`${at}/places/${n}/in`, one, n > 0),
      n < c.places.length - 1 ? form.field(words.coolingKeys.for, `${at}/places/${n}/for`, one.for, setIn(one, 'for'), { class: 'short', placeholder: '30 min', hideLabel: n > 0 }) : null,
      h('button', { type: 'button', 'aria-label': say('of', { what: words.remove, name: one.in }), onclick: () => {
        c.places.splice(n, 1);
        if (c.places.length === 1) {
          c.in = c.places[0].in;
          delete c.places;
        } else delete c.places.at(-1).for;
        later();
        draw(`${at}-places`);
      } }, words.remove))),
    h('p', {}, h('button', { type: 'button', id: `${at}-places`, onclick: () => {
      c.places.at(-1).for ??= '30 min';
      c.places.push({ in: coldOf(recipe)[0] ?? 'room' });
      later();
      draw(form.idOf(`${at}/places/${c.places.length - 1}/in`));
    } }, words.coolingThen))];
  }
  // What mostly is as usual.
  function finer() {
    const said = ['base', 'tin', 'cover', 'air', 'onto', 'stirred'].some((key) => c[key] !== undefined);
    const onto = c.onto;
    const layer = (key, given) => form.field(words.coolingKeys[key], `${at}/onto/${key}`, onto[key], setIn(onto, key), { class: 'short', ...given });
    const warmth = (key) => heat(form, words.coolingKeys[key], `${at}/onto/${key}`, onto[key], setIn(onto, key), { scale, usual: usual[key] });
    return h('details', { class: 'fold', open: said }, h('summary', {}, words.coolingMore),
      h('div', { class: 'line' }, choice('base'), choice('tin'), choice('cover'), c.places ? null : degrees('air')),
      h('label', { class: 'pick' }, h('input', { type: 'checkbox', checked: c.stirred === true, onchange: (e) => {
        if (e.target.checked) c.stirred = true;
        else delete c.stirred;
        later();
      } }), h('span', {}, words.stirred)),
      goesOn ? null : h('label', { class: 'pick' }, h('input', { type: 'checkbox', id: `${at}-onto`, checked: Boolean(onto), onchange: (e) => {
        if (e.target.checked) c.onto = { food: 'mousse', deep: size[scale].deep, from: usual.to[scale] };
        else delete c.onto;
        later();
        draw(`${at}-onto`);
      } }), h('span', {}, words.onto)),
      onto && !goesOn ? h('div', { class: 'line' }, form.spot(`${at}/onto`), foodField(`${at}/onto/food`, onto), layer('deep'), warmth('from'), warmth('melts')) : null);
  }
}

// To write a recipe: rows of what to do, by hand or by itself, how long, where, after what.
import { h, put } from './dom.js';
import { foodsList } from './cooling.js';
import { Draft } from './draft.js';
import { Form, checkSoon, fileName, id, messagesList, redraw } from './form.js';
import { Gone, file, folder } from './net.js';
import { countGuesses, goThrough, grouped } from './guesses.js';
import { keepBar } from './keepbar.js';
import { brief, stepRows } from './step.js';
import { asList, isObject } from './values.js';
import { storedRows } from './where.js';
import { say, words } from './words.js';

export async function show(place, path) {
  const draft = path ? await Draft.of(path) : Draft.blank('', { dish: '', stages: [{ id: 'step', do: '', active: '' }] }, 'bakeset new recipe');
  if (path && !draft.value) {
    location.replace(`#/raw/${encodeURIComponent(path)}`);
    return { title: path };
  }
  const head = h('h1', { tabindex: '-1' }, path ? draft.value.dish ?? path : words.newRecipe), card = h('section', { class: 'guesses', 'aria-labelledby': 'guess-head', hidden: true });
  place.append(head, card);
  const editor = await edit(place, draft);
  if (path) unsure(card, editor, draft, (t) => put(head, t));
  return { title: path ? draft.value.dish ?? path : words.newRecipe, stop: editor.stop };
}

// The guesses in the recipe's file that nobody has confirmed: how many, and a button to go through them.
function unsure(card, editor, draft, named) {
  function draw() {
    editor.only = null;
    editor.whole.hidden = false;
    const left = draft.guesses.filter((g) => !draft.settled.has(g.key)).length;
    card.hidden = left === 0;
    card.replaceChildren(h('h2', { id: 'guess-head', tabindex: '-1' }, countGuesses(left)), h('p', { class: 'acts-row' }, h('button', { type: 'button', onclick: go }, words.goThroughGuesses)));
  }
  function go() {
    const stages = draft.value.stages ?? [], ids = stages.map((s) => s.id);
    const at = (g) => (g.stage === null ? null : ids.indexOf(draft.base.stages?.[g.stage]?.id));
    const groups = grouped(draft.guesses.map((g) => ({ ...g, stage: at(g), right: draft.settled.has(g.key) })), stages);
    goThrough(card, editor, draft, groups, { named, settled: () => {
      for (const g of groups.flatMap((x) => x.guesses)) draft.settled[g.right ? 'add' : 'delete'](g.key);
      editor.bar.update();
    } });
  }
  // The steps are other objects then.
  editor.renewed = draw;
  draw();
}

// What the kitchens of the folder have, and what of it is what; the scale of their ovens.
async function equipment() {
  const known = new Map();
  let scale = 'C';
  const { kitchens, recipes } = await folder().catch((e) => {
    if (e instanceof Gone) return { kitchens: [], recipes: [] };
    throw e;
  });
  for (const k of kitchens) {
    const value = (await file(k.path).catch(() => null))?.value;
    if (value?.rules === 'us') scale = 'F';
    for (const [name, e] of Object.entries(value?.equipment ?? {})) known.set(name, e?.kind ?? 'tool');
  }
  if (!known.size) for (const [name, kind] of [['oven', 'oven'], ['hob', 'hob'], ['fridge', 'cold']]) known.set(name, kind);
  return { known, recipes, scale };
}

// The rows of `draft` under what `place` has. Gives what a part of it needs to be shown elsewhere.
export async function edit(place, draft) {
  const { known, recipes, scale } = await equipment();
  const fresh = new WeakSet(draft.isNew ? draft.value.stages.filter((s) => !s.do) : []);
  const opened = new Set(); // the ids of the steps that are unfolded
  const form = new Form(() => later());
  const fields = h('div', { class: 'fields' });
  const general = h('div', { class: 'general', role: 'status' });
  const datalist = h('datalist', { id: 'things' });
  const bar = keepBar(draft, {
    redraw: () => {
      edited.renewed();
      draw();
    },
    label: draft.isNew ? words.keepRecipe : words.keep,
    before: () => {
      for (const s of draft.value.stages ?? []) settleId(s);
      if (draft.isNew && !draft.path) draft.path = pathFor();
    },
    kept: () => {
      const to = `#/recipe/${encodeURIComponent(draft.path)}`;
      if (location.hash !== to) location.hash = to;
      else showMessages();
    },
    gone: () => {
      location.hash = '#/';
    },
  });
  const dir = recipes.length && !recipes.some((r) => r.path.startsWith('recipes/')) ? recipes[0].path.replace(/[^/]*$/, '') : 'recipes/';
  const pathFor = () => `${dir}${fileName(draft.value.dish, 'recipe')}`;

  // ----------------------------------------------------------------- messages
  const soon = checkSoon(() => draft.check(), (messages) => showMessages(messages));
  function later() {
    if (draft.isNew) draft.path = pathFor();
    bar.update();
    soon();
  }
  function showMessages(messages = draft.messages) {
    const rest = form.show(messages ?? []);
    general.replaceChildren(...[messagesList(rest)].filter(Boolean));
  }

  // -------------------------------------------------------------------- names
  const stages = () => draft.value.stages ?? (draft.value.stages = []);
  // A new step is known by a name made of its words, as soon as it has some.
  function settleId(s) {
    if (!fresh.has(s) || !s.do) return;
    const was = s.id, is = id(s.do, stages().filter((x) => x !== s).map((x) => x.id));
    fresh.delete(s);
    opened.add(is);
    s.id = is;
    for (const x of stages()) {
      const one = (l) => (l === was ? is : isObject(l) && l.stage === was ? { ...l, stage: is } : l);
      if (x.after !== undefined) x.after = Array.isArray(x.after) ? x.after.map(one) : one(x.after);
      for (const held of Object.values(x.holds ?? {})) if (held?.until === was) held.until = is;
    }
    for (const g of draft.value.ingredients ?? []) if (g?.stage === was) g.stage = is;
  }
  const labelOf = (s, i) => say('stepLabel', { n: i + 1, what: s.do || words.stepUnnamed });
  const shortOf = (s, i) => {
    const whole = labelOf(s, i);
    return whole.length > 44 ? `${whole.slice(0, 42).trimEnd()}…` : whole;
  };
  const stepChoices = (but, more) => [...more, ...stages().map((s, i) => [s === but ? null : `=${s.id}`, shortOf(s, i)]).filter(([v]) => v)];

  const rows = { draft, form, known, scale, stages, stepChoices, settleId, later, draw: (focus) => draw(focus) };

  // -------------------------------------------------------------------- steps
  function move(i, to) {
    const [s] = stages().splice(i, 1);
    stages().splice(to, 0, s);
    later();
    draw(`step-${to}-${to > i ? 'down' : 'up'}`);
    if (document.activeElement === document.body) document.getElementById(`step-${to}-${to > i ? 'up' : 'down'}`)?.focus();
  }
  function addStep(i) {
    const ids = stages().map((s) => s.id);
    let n = 1;
    while (ids.includes(`step-${n}`)) n++;
    const made = { id: `step-${n}`, do: '', active: '' };
    fresh.add(made);
    opened.add(made.id);
    stages().splice(i, 0, made);
    later();
    draw(form.idOf(`/stages/${i}/do`));
  }
  function stageItem(s, i) {
    const tool = (label, which, act, off) => h('button', { type: 'button', id: `step-${i}-${which}`, disabled: off, 'aria-label': say('of', { what: label, name: labelOf(s, i) }), onclick: act }, label);
    const what = h('span', { class: 'what' }), about = h('span', { class: 'about' });
    const tell = () => {
      put(what, labelOf(s, i));
      put(about, brief(s, scale));
    };
    tell();
    const step = h('details', { class: 'step', 'data-id': s.id, open: fresh.has(s) || opened.has(s.id), oninput: tell, onchange: tell, ontoggle: () => {
      if (step.open) opened.add(s.id);
      else opened.delete(s.id);
    } });
    step.append(h('summary', { id: `step-${i}` }, h('span', {}, what, about)), form.spot(`/stages/${i}`), ...stepRows(rows, s, i),
      h('div', { class: 'acts-row' }, tool(words.up, 'up', () => move(i, i - 1), i === 0), tool(words.down, 'down', () => move(i, i + 1), i === stages().length - 1),
        tool(words.addBelow, 'add', () => addStep(i + 1)), tool(words.remove, 'remove', () => {
          stages().splice(i, 1);
          later();
          draw(stages().length ? `step-${Math.max(0, i - 1)}` : 'add-step');
        })));
    return h('li', {}, step);
  }

  function ingredientRows() {
    const v = draft.value;
    const list = asList(v.ingredients);
    const put_ = (l) => {
      if (l.length) v.ingredients = l;
      else delete v.ingredients;
    };
    return [h('ul', { class: 'rows thin' }, list.map((g, i) => {
      const p = `/ingredients/${i}`;
      const now = () => v.ingredients[i];
      const set = (key, text) => {
        const was = now();
        const o = isObject(was) ? { ...was } : { item: was };
        if (text) o[key] = text;
        else if (key !== 'item') delete o[key];
        else o.item = '';
        v.ingredients[i] = !isObject(was) && Object.keys(o).length === 1 ? o.item : o;
      };
      return h('li', { class: 'line' },
        form.field(words.ingredient, isObject(g) ? `${p}/item` : p, isObject(g) ? g.item : g, (text) => set('item', text), { hideLabel: i > 0 }),
        form.field(words.howMuch, `${p}/amount`, g.amount, (text) => set('amount', text), { class: 'short', hideLabel: i > 0 }),
        form.field(words.inStep, `${p}/stage`, g.stage ? `=${g.stage}` : '', (text) => set('stage', text.slice(1)), { kind: 'choice', choices: stepChoices(null, [['', words.notSaid]]), hideLabel: i > 0 }),
        h('button', { type: 'button', 'aria-label': say('of', { what: words.remove, name: isObject(g) ? g.item : g }), onclick: () => {
          put_(list.filter((_, j) => j !== i));
          later();
          draw('add-ingredient');
        } }, words.remove));
    })), h('p', {}, h('button', { type: 'button', id: 'add-ingredient', onclick: () => {
      put_([...list, { item: '' }]);
      later();
      draw(form.idOf(`/ingredients/${list.length}/item`));
    } }, words.addIngredient))];
  }

  function draw(focus) {
    form.fields.clear();
    // What was opened a moment ago may not have been told yet (a toggle comes later than its click).
    for (const d of fields.querySelectorAll('.step')) opened[d.open ? 'add' : 'delete'](d.dataset.id);
    if (edited.only) {
      redraw(edited.only.place, edited.only.make, focus);
      showMessages();
      return;
    }
    redraw(fields, make, focus);
    const used = new Set([...known.keys(), ...Object.keys(draft.value.stored ?? {})]);
    for (const s of stages()) for (const name of [...Object.keys(s.uses ?? {}), ...Object.keys(s.holds ?? {})]) used.add(name);
    datalist.replaceChildren(...[...used].map((name) => h('option', { value: name })));
    bar.update();
    showMessages();
  }
  function make() {
    const v = draft.value;
    const plain = (label, key, more) => form.field(label, `/${key}`, v[key], (text) => {
      if (!text.trim() && key !== 'dish') delete v[key];
      else v[key] = more?.number ? (Number.isFinite(Number(text)) ? Number(text) : text) : text;
    }, { ...more, number: undefined });
    return [
      plain(words.dishName, 'dish', { maxlength: 120 }),
      h('div', { class: 'line' },
        plain(words.serves, 'serves', { kind: 'number', min: 1, number: true, class: 'short' }),
        plain(words.keepsFor, 'keeps', { class: 'short', placeholder: words.unlimited })),
      h('fieldset', { class: 'bare' }, h('legend', {}, words.storedLegend), storedRows(rows)),
      h('h2', {}, words.steps),
      h('ol', { class: 'steps-edit' }, stages().map((s, i) => stageItem(s, i))),
      h('p', {}, h('button', { type: 'button', id: 'add-step', onclick: () => addStep(stages().length) }, words.addStep)),
      h('fieldset', { class: 'group' }, h('legend', {}, words.ingredients), form.spot('/ingredients'), ingredientRows()),
    ];
  }
  place.append(bar.both, fields, datalist, foodsList(), general, bar.bar,
    h('p', { class: 'end-links' }, draft.isNew ? null : h('a', { href: `#/raw/${encodeURIComponent(draft.path)}` }, words.rawView)));
  if (draft.isNew) draft.path = pathFor();
  // `only`: {place, make}, where one part of it is shown elsewhere in place of the whole; `renewed`: called
  // when the draft's value is another.
  const edited = { stop: bar.stop, form, draw, later, bar, stepRows: (s, i) => stepRows(rows, s, i), whole: fields, only: null, renewed: () => {} };
  draw();
  return edited;
}

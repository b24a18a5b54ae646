// To write a recipe: rows of what to do, by hand or by itself, how long, where, after what.
import { h, put } from './dom.js';
import { Draft } from './draft.js';
import { Form, checkSoon, fileName, id, messagesList, redraw } from './form.js';
import { Gone, file, folder } from './net.js';
import { keepBar } from './keepbar.js';
import { say, words } from './words.js';

const asList = (v) => (v === undefined ? [] : Array.isArray(v) ? v : [v]);
const isObject = (v) => v !== null && typeof v === 'object' && !Array.isArray(v);

export async function show(place, path) {
  const draft = path ? await Draft.of(path) : Draft.blank('', { dish: '', stages: [{ id: 'step', do: '', active: '' }] }, 'bakeset new recipe');
  if (path && !draft.value) {
    location.replace(`#/raw/${encodeURIComponent(path)}`);
    return { title: path };
  }
  place.append(h('h1', { tabindex: '-1' }, path ? draft.value.dish ?? path : words.newRecipe));
  const editor = await edit(place, draft);
  return { title: path ? draft.value.dish ?? path : words.newRecipe, stop: editor.stop };
}

// What the kitchens of the folder have, and which of it are ovens.
async function equipment() {
  const known = new Map([['oven', 'oven'], ['hob', 'hob'], ['fridge', 'cold']]);
  const { kitchens, recipes } = await folder().catch((e) => {
    if (e instanceof Gone) return { kitchens: [], recipes: [] };
    throw e;
  });
  for (const k of kitchens) {
    const value = (await file(k.path).catch(() => null))?.value;
    for (const [name, e] of Object.entries(value?.equipment ?? {})) known.set(name, e?.kind ?? 'tool');
  }
  return { known, recipes };
}

// The rows of `draft` under what `place` has. Gives {stop, form, stage(i): the rows of one step}.
export async function edit(place, draft) {
  const { known, recipes } = await equipment();
  const fresh = new WeakSet(draft.isNew ? draft.value.stages.filter((s) => !s.do) : []);
  const opened = new Set(); // the ids of the steps that are unfolded
  const form = new Form(() => later());
  const fields = h('div', { class: 'fields' });
  const general = h('div', { class: 'general', role: 'status' });
  const datalist = h('datalist', { id: 'things' });
  const bar = keepBar(draft, {
    redraw: () => draw(),
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
  const soon = checkSoon(draft, (messages) => showMessages(messages));
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

  // --------------------------------------------------------------------- rows
  // Where: what a step uses while it lasts, and what it holds until another has ended.
  function whereRows(s, at) {
    const rows = [
      ...Object.entries(s.uses ?? {}).map(([name, v]) => ({ of: 'uses', name, v })),
      ...Object.entries(s.holds ?? {}).map(([name, v]) => ({ of: 'holds', name, v })),
    ];
    const write = () => {
      for (const of of ['uses', 'holds']) {
        const mine = rows.filter((r) => r.of === of && r.name);
        if (mine.length) s[of] = Object.fromEntries(mine.map((r) => [r.name, r.v]));
        else delete s[of];
      }
    };
    const list = h('div', { class: 'where' });
    const isOven = (name) => known.get(name) === 'oven';
    rows.forEach((r, n) => {
      const p = `${at}/${r.of}/${r.name.replace(/~/g, '~0').replace(/\//g, '~1')}`;
      const heat = isObject(r.v) && 'at' in r.v && r.of === 'uses';
      list.append(h('div', { class: 'line' },
        form.field(words.thing, `${at}/where-${n}`, r.name, (text) => {
          const had = isOven(r.name);
          r.name = text.trim();
          if (r.of === 'uses' && isOven(r.name) && !had && !isObject(r.v)) r.v = { at: '' };
          write();
          if (isOven(r.name) !== had) draw();
        }, { list: 'things', hideLabel: n > 0 }),
        heat
          ? form.field(words.heat, p, r.v.at, (text) => {
            r.v = { ...r.v, at: text };
            write();
          }, { class: 'short', placeholder: '180 C', hideLabel: n > 0 })
          : form.field(words.amount, p, isObject(r.v) ? r.v.amount ?? 1 : r.v, (text) => {
            const amount = Number(text) || 1;
            r.v = isObject(r.v) ? { ...r.v, amount } : amount;
            write();
          }, { kind: 'number', min: 1, class: 'short', hideLabel: n > 0 }),
        heat ? null : form.field(words.untilStep, `${at}/until-${n}`, r.of === 'holds' ? `=${r.v?.until}` : '', (text) => {
          const amount = isObject(r.v) ? r.v.amount : r.v;
          r.of = text ? 'holds' : 'uses';
          r.v = text ? { until: text.slice(1), ...(amount && amount !== 1 ? { amount } : {}) } : amount ?? 1;
          write();
        }, { kind: 'choice', choices: stepChoices(null, [['', words.whileItLasts]]), hideLabel: n > 0 }),
        h('button', { type: 'button', 'aria-label': say('of', { what: words.remove, name: r.name }), onclick: () => {
          rows.splice(n, 1);
          write();
          later();
          draw(`where-${at}`);
        } }, words.remove)));
    });
    list.append(h('p', {}, h('button', { type: 'button', id: `where-${at}`, onclick: () => {
      const free = ['oven', 'hob', 'fridge', ...known.keys()].find((n) => !(n in (s.uses ?? {}))) ?? 'oven';
      s.uses = { ...s.uses, [free]: isOven(free) ? { at: '180 C' } : 1 };
      later();
      draw(form.idOf(`${at}/where-${Object.keys(s.uses).length - 1}`));
    } }, words.addWhere)));
    return list;
  }

  // After what: links to other steps, each at once or when.
  function afterRows(s, i, at) {
    const above = stages()[i - 1];
    const implied = s.after === undefined;
    const links = implied ? (above ? [{ stage: above.id }] : []) : asList(s.after).map((l) => (isObject(l) ? { ...l } : { stage: l }));
    const wasList = implied || Array.isArray(s.after);
    const write = () => {
      const made = links.map((l) => (Object.keys(l).length === 1 ? l.stage : l));
      if (implied && made.length === 1 && made[0] === above?.id) delete s.after;
      else s.after = wasList || made.length !== 1 ? made : made[0];
    };
    const list = h('div', { class: 'after' });
    if (!links.length) list.append(h('p', { class: 'soft' }, words.anyTime));
    links.forEach((l, n) => {
      const how = l.within !== undefined && l.wait !== undefined ? 'both' : l.wait !== undefined ? 'wait'
        : l.within === undefined ? 'any' : /^0( ?min)?$/.test(l.within) ? 'once' : 'within';
      const p = `${at}/after/${n}`;
      const mine = `=${l.stage}`;
      const choices = stepChoices(s, []);
      if (!choices.some(([v]) => v === mine)) choices.push([mine, String(l.stage)]);
      const part = (key, label) => form.field(label, `${p}/${key}`, l[key], (text) => {
        l[key] = text;
        write();
      }, { class: 'short', placeholder: '30 min' });
      list.append(h('div', { class: 'line' },
        form.field(words.after, implied ? `${at}/after-implied` : p, mine, (text) => {
          l.stage = text.slice(1);
          write();
        }, { kind: 'choice', choices, hideLabel: n > 0 }),
        form.field(words.how, `${at}/how-${n}`, how, (text) => {
          delete l.wait;
          delete l.within;
          if (text === 'once') l.within = '0 min';
          if (text === 'within' || text === 'both') l.within = '1 h';
          if (text === 'wait' || text === 'both') l.wait = '30 min';
          write();
          draw();
        }, { kind: 'choice', choices: Object.entries(words.hows), hideLabel: n > 0 }),
        ['wait', 'both'].includes(how) ? part('wait', words.waitFor) : null,
        ['within', 'both'].includes(how) ? part('within', words.withinOf) : null,
        h('button', { type: 'button', 'aria-label': say('of', { what: words.remove, name: words.after }), onclick: () => {
          links.splice(n, 1);
          s.after = links.map((x) => (Object.keys(x).length === 1 ? x.stage : x));
          later();
          draw(`after-${at}`);
        } }, words.remove)));
    });
    if (stages().length > 1)
      list.append(h('p', {}, h('button', { type: 'button', id: `after-${at}`, onclick: () => {
        const other = [...stages()].slice(0, i).reverse().concat(stages().slice(i + 1)).find((x) => x !== s && !links.some((l) => l.stage === x.id));
        if (!other) return;
        links.push({ stage: other.id });
        s.after = links.map((x) => (Object.keys(x).length === 1 ? x.stage : x));
        later();
        draw(form.idOf(`${at}/after/${links.length - 1}`));
      } }, words.addAfter)));
    return list;
  }

  function stageRows(s, i) {
    const at = `/stages/${i}`;
    const kind = 'cooling' in s ? 'cooling' : 'passive' in s ? 'passive' : 'active';
    const whatField = form.field(words.whatToDo, `${at}/do`, s.do, (text) => {
      s.do = text;
    }, { class: 'wide' });
    whatField.querySelector('input').addEventListener('change', () => {
      settleId(s);
      later();
    });
    return [
      whatField,
      h('div', { class: 'line' },
        form.field(words.byWhom, `${at}/kind`, kind, (text) => {
          const time = s.active ?? s.passive ?? '';
          for (const k of ['active', 'passive']) delete s[k];
          if (text !== 'cooling') {
            delete s.cooling;
            s[text] = time;
          }
          draw();
        }, { kind: 'choice', choices: Object.entries(words.byWhoms).filter(([k]) => k !== 'cooling' || kind === 'cooling') }),
        kind === 'cooling' ? h('div', { class: 'field' }, h('span', { class: 'hint' }, words.reckoned), form.spot(`${at}/cooling`))
          : form.field(words.howLong, `${at}/${kind}`, s[kind], (text) => {
            s[kind] = text;
          }, { class: 'short', placeholder: '12-15 min' })),
      h('fieldset', { class: 'bare' }, h('legend', {}, words.where), whereRows(s, at)),
      h('fieldset', { class: 'bare' }, h('legend', {}, words.afterWhat), afterRows(s, i, at)),
      h('details', { class: 'fold', open: Boolean(s.note || s.caution) }, h('summary', {}, words.stepMore),
        form.field(words.note, `${at}/note`, s.note, (text) => {
          if (text) s.note = text;
          else delete s.note;
        }, { class: 'wide' }),
        form.field(words.caution, `${at}/caution`, s.caution, (text) => {
          if (text) s.caution = text;
          else delete s.caution;
        }, { class: 'wide' })),
    ];
  }
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
    const brief = () => [words.byWhoms['cooling' in s ? 'cooling' : 'passive' in s ? 'passive' : 'active'], s.active ?? s.passive,
      [...Object.entries(s.uses ?? {}).map(([k, v]) => (v?.at ? `${k} ${v.at}` : k)), ...Object.keys(s.holds ?? {})].join(', ')].filter(Boolean).join(' · ');
    const what = h('span', { class: 'what' }), about = h('span', { class: 'about' });
    const tell = () => {
      put(what, labelOf(s, i));
      put(about, brief());
    };
    tell();
    const step = h('details', { class: 'step', open: fresh.has(s) || opened.has(s.id), oninput: tell, onchange: tell, ontoggle: () => {
      if (step.open) opened.add(s.id);
      else opened.delete(s.id);
    } });
    step.append(h('summary', { id: `step-${i}` }, h('span', {}, what, about)), form.spot(at(i)), ...stageRows(s, i),
      h('div', { class: 'acts-row' }, tool(words.up, 'up', () => move(i, i - 1), i === 0), tool(words.down, 'down', () => move(i, i + 1), i === stages().length - 1),
        tool(words.addBelow, 'add', () => addStep(i + 1)), tool(words.remove, 'remove', () => {
          stages().splice(i, 1);
          later();
          draw(stages().length ? `step-${Math.max(0, i - 1)}` : 'add-step');
        })));
    return h('li', {}, step);
  }
  const at = (i) => `/stages/${i}`;

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
    if (edited.only) {
      redraw(edited.only.place, edited.only.make, focus);
      showMessages();
      return;
    }
    redraw(fields, make, focus);
    const used = new Set(known.keys());
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
      h('h2', {}, words.steps),
      h('ol', { class: 'steps-edit' }, stages().map((s, i) => stageItem(s, i))),
      h('p', {}, h('button', { type: 'button', id: 'add-step', onclick: () => addStep(stages().length) }, words.addStep)),
      h('fieldset', { class: 'group' }, h('legend', {}, words.ingredients), form.spot('/ingredients'), ingredientRows()),
    ];
  }
  place.append(bar.both, fields, datalist, general, bar.bar,
    h('p', { class: 'end-links' }, draft.isNew ? null : h('a', { href: `#/raw/${encodeURIComponent(draft.path)}` }, words.rawView)));
  if (draft.isNew) draft.path = pathFor();
  // `only`: {place, make}, where one part of it is shown elsewhere in place of the whole.
  const edited = { stop: bar.stop, form, draw, later, bar, stageRows, whole: fields, only: null };
  draw();
  return edited;
}

// To plan: what there is to eat, when, who is there, in which kitchen; START BY changes while one types.
import { planAnswer } from './answer.js';
import { announce, h, put } from './dom.js';
import { changed as withOps } from './difference.js';
import { Draft, isUnderWay } from './draft.js';
import { Form, fileName, messagesList, redraw, slow } from './form.js';
import { countGuesses, guessesIn } from './guesses.js';
import { isPlain } from './hours.js';
import { Gone, day as askDay, file, folder, hear, now, plan as askPlan } from './net.js';
import { keepBar } from './keepbar.js';
import { wallTime } from './moment.js';
import { kitchenOf, people, setKitchen } from './people.js';
import { edits as editsOf, missing, putThere } from './missing.js';
import { searchBeside } from './search.js';
import { written } from './values.js';
import { kitchenName, say, words } from './words.js';

// Paths in a file are relative to it.
const dirOf = (path) => (path.includes('/') ? path.slice(0, path.lastIndexOf('/') + 1) : '');
const fromPlan = (path, other) => (other.startsWith(dirOf(path)) ? other.slice(dirOf(path).length) : null);
const tomorrow = () => `${wallTime(Date.now() + 86400000).slice(0, 10)} 19:00`;

export async function show(place, path) {
  let there = await folder();
  const draft = path ? await Draft.of(path) : Draft.blank('', {
    occasion: '', timezone: Intl.DateTimeFormat().resolvedOptions().timeZone || 'UTC', serve: tomorrow(),
    ...(there.kitchens.length ? { kitchen: there.kitchens[0].path } : {}), dishes: [] }, 'bakeset new plan');
  if (path && !draft.value) {
    location.replace(`#/raw/${encodeURIComponent(path)}`);
    return { title: path };
  }
  let under = {};
  let stopped = false;
  const recipes = new Map(); // by path, those that were read
  const opened = new Set(); // rows of hours that are unfolded
  let choosing = !path || !draft.value.dishes?.length; // the recipes that are not chosen are shown

  const head = h('h1', { tabindex: '-1' }, path ? draft.value.occasion ?? path : words.newPlan);
  const underWay = h('p', { class: 'under-way', hidden: true }, h('a', { class: 'button', href: `#/cook/${encodeURIComponent(path ?? '')}` }, say('dayGoesOn', { cook: words.toCook })));
  const hasDay = () => Boolean(there.plans.find((p) => p.path === path)?.day);
  // A journal stays when its day is over.
  const tellDay = async () => {
    const last = (draft.value.serve ?? '').slice(0, 10), yesterday = wallTime(now() - 86400000).slice(0, 10);
    const begun = hasDay() && !(isPlain(draft.value.serve) && last < yesterday);
    const ended = begun && (await askDay(path).catch(() => null))?.timeline?.day?.finished;
    underWay.hidden = !begun || Boolean(ended);
  };
  const form = new Form(() => later());
  let notKept = null; // what was said of a name that may not be kept, as long as it stands there
  const fields = h('div', { class: 'fields' });
  const general = h('div', { class: 'general' });
  const unsure = h('ul', { class: 'unsure' });
  const bar = keepBar(draft, {
    redraw: () => draw(),
    label: path ? words.keep : words.makePlan,
    kept: () => {
      if (!path) location.hash = `#/plan/${encodeURIComponent(draft.path)}`;
      else
        readUnder().then(() => {
          draw();
          return ask();
        });
    },
    refused: (e) => {
      if (!isUnderWay(e)) return false;
      notKept = { severity: 'error', pointer: '/occasion', name: draft.value.occasion, ...e.error };
      form.show([notKept]);
      form.fields.get('/occasion').control.focus();
      return true;
    },
    gone: () => {
      location.hash = '#/';
    },
  });

  // ------------------------------------------------------------- the answer
  const beside = searchBeside(() => [draft.path || 'plan.json', draft.asText()], async ({ state, timeline, first_start: first, goal, bound }) => {
    if (timeline) answer.tell(timeline, state, timeline.status === 'impossible' ? await stepWords() : undefined);
    else if (Number.isFinite(first) && first > 0) answer.tellOnTheWay(first * 60000, goal === 'first-start' ? bound * 60000 : null);
    else answer.tellSureness(state);
  });
  const answer = planAnswer(beside.row, mend, hasDay(),
    () => [draft.value, ...(draft.value.dishes ?? [])].map((of) => of.serve).filter(isPlain));
  bar.tellings.append(answer.brief);
  async function mend(edits, message) {
    const own = draft.path || 'plan.json';
    if (edits.has(own)) draft.value = withOps(draft.value, edits.get(own));
    const others = [...edits].filter(([name]) => name !== own);
    if (others.length) {
      const files = await Promise.all(others.map(async ([name, ops]) => ({ path: name, version: (await file(name)).version, patch: ops })));
      await draft.keepWith(files);
      recipes.clear();
    } else if (!draft.isNew) await bar.write();
    await readUnder();
    announce(say('did', { what: message }));
    draw();
    await ask();
    answer.head.focus();
  }

  const wait = slow(80);
  function later() {
    bar.update();
    beside.reset(); // at the first key, so that the machine is free for the answer
    wait((isLast) => ask(isLast));
  }
  async function ask(isLast = () => true) {
    beside.reset();
    if (!(draft.value.dishes ?? []).length) {
      answer.tell(null, words.chooseDishes);
      return;
    }
    let told;
    try {
      told = await askPlan(draft.path || 'plan.json', draft.asText(), 'quick');
    } catch (e) {
      if (isLast()) answer.tell(null, e instanceof Gone ? words.noNetwork : e.message);
      return;
    }
    if (!isLast() || stopped) return;
    const rest = form.show([...(notKept?.name === draft.value.occasion ? [notKept] : []), ...(told.messages ?? [])]);
    const own = draft.path || 'plan.json';
    const lacks = await missing(told.messages ?? [], draft.value, own);
    if (!isLast() || stopped) return;
    general.replaceChildren(...[messagesList(rest.filter((m) => m.severity === 'error')),
      putThere(lacks, (what) => mend(editsOf(lacks, draft.value, own, under, dirOf(draft.path)), what))].filter(Boolean));
    if (told.result === 'bad-input') answer.tell(null, words.mendFirst);
    else {
      const steps = told.timeline?.status === 'impossible' ? await stepWords() : undefined;
      if (!isLast() || stopped) return;
      const isLate = answer.tell(told.timeline, told.settled ? words.theBest : answer.isMet(told.timeline) ? words.soFar : words.noneFound, steps);
      beside.answered(told.settled);
      if (isLate) await askFromNow(isLast);
    }
  }
  // It should have been begun: what would help whoever begins now?
  async function askFromNow(isLast) {
    const from = `${new Date(now() + 60000).toISOString().slice(0, 16)}Z`;
    const told = await askPlan(draft.path || 'plan.json', written({ ...draft.value, earliest: from }), 'quick').catch(() => null);
    const steps = await stepWords();
    if (isLast() && !stopped) answer.tellLate(told?.timeline, steps);
  }

  // ------------------------------------------------------------- the fields
  async function readUnder() {
    const { file: name } = kitchenOf(draft.value);
    under = {};
    if (name) under = (await file(`${dirOf(draft.path)}${name}`).catch(() => null))?.value ?? {};
  }
  async function recipe(path_) {
    if (!recipes.has(path_)) recipes.set(path_, await file(path_).catch(() => ({})));
    return recipes.get(path_);
  }
  // Which of the recipes still have guesses in them.
  async function tellGuesses() {
    const chosen = new Set((draft.value.dishes ?? []).map((d) => d.recipe && `${dirOf(draft.path)}${d.recipe}`).filter(Boolean));
    const rows = await Promise.all([...chosen].map(async (path_) => [path_, await recipe(path_)]));
    unsure.replaceChildren(...rows.map(([path_, told]) => [path_, told, guessesIn(told.text).length]).filter(([, , count]) => count)
      .map(([path_, told, count]) => h('li', {}, h('a', { class: 'button', href: `#/recipe/${encodeURIComponent(path_)}` }, say('of', { what: told.value?.dish ?? path_, name: countGuesses(count) })))));
  }
  // What the steps are called, by "dish/id"; recipes are read when that is first wanted.
  async function stepWords() {
    const of = new Map();
    for (const d of draft.value.dishes ?? []) {
      const path_ = d.recipe && `${dirOf(draft.path)}${d.recipe}`;
      const whole = { ...(path_ && (await recipe(path_)).value), ...d };
      for (const s of whole.stages ?? []) of.set(`${whole.dish}/${s.id}`, s.do);
    }
    return of;
  }
  const recipeName = (name) => there.recipes.find((r) => fromPlan(draft.path, r.path) === name)?.dish ?? name;
  function draw(focus) {
    form.fields.clear();
    redraw(fields, make, focus);
    bar.update();
    tellGuesses().catch(() => {});
  }
  function make() {
    const v = draft.value;
    const dishes = v.dishes ?? (v.dishes = []);
    const usable = there.recipes.filter((r) => fromPlan(draft.path, r.path) !== null);
    const others = usable.filter((r) => !dishes.some((d) => d.recipe === fromPlan(draft.path, r.path)));
    const { file: kitchenFile } = kitchenOf(v);
    const setOwn = (key, value) => {
      const own = { ...kitchenOf(draft.value).own, [key]: value };
      setKitchen(draft.value, kitchenOf(draft.value).file, own);
    };
    return [
      form.field(words.occasion, '/occasion', v.occasion, (text) => {
        v.occasion = text;
        if (path) put(head, text);
        if (!path) draft.path = fileName(text, 'plan');
      }, { maxlength: 120, required: true }),
      isPlain(v.serve) || !v.serve
        ? form.instant(words.serveAt, '/serve', v.serve ?? '', (text) => {
          if (text) v.serve = text;
        })
        : form.field(words.serveAt, '/serve', v.serve, (text) => {
          v.serve = text;
        }),
      h('fieldset', { class: 'group' }, h('legend', {}, words.dishes),
        form.spot('/dishes'),
        dishes.length ? h('ul', { class: 'rows dishes' }, dishes.map((d, i) => dishRow(d, i))) : null,
        others.length
          ? h('details', { class: 'fold', id: 'choose', open: choosing }, h('summary', { id: 'choose-sum', onclick: () => {
            choosing = !choosing;
          } }, words.chooseRecipes), h('ul', { class: 'picks' }, others.map((r) => h('li', {}, pick(r)))))
          : usable.length ? null : h('p', { class: 'soft' }, words.noRecipesYet)),
      h('fieldset', { class: 'group' }, h('legend', {}, words.whoIsThere),
        people(form, '/kitchen', { get: () => kitchenOf(draft.value).own, set: setOwn, under, again: draw, opened, day: () => /^\d{4}-\d\d-\d\d(?=[ T])/.exec(draft.value.serve ?? '')?.[0],
          calendars: there.calendars?.map((c) => fromPlan(draft.path, c.path)).filter(Boolean) })),
      h('fieldset', { class: 'group' }, h('legend', {}, words.kitchen),
        form.field(words.kitchenFile, '/kitchen', kitchenFile ?? '', async (name) => {
          setKitchen(draft.value, name || null, kitchenOf(draft.value).own);
          await readUnder();
          draw();
          later();
        }, { kind: 'choice', choices: [['', words.noKitchen], ...there.kitchens.map((k) => [fromPlan(draft.path, k.path), kitchenName(k.path, there.kitchens)]).filter(([n]) => n !== null)] })),
      form.field(words.style, '/style', v.style ?? 'fresh', (text) => {
        if (text === 'fresh') delete v.style;
        else v.style = text;
      }, { kind: 'choice', choices: Object.entries(words.styles) }),
    ];
  }
  // A recipe to be chosen, or one that is.
  function pick(r) {
    const name = fromPlan(draft.path, r.path), n = `pick-${r.path}`;
    return h('label', { class: 'pick' }, h('input', { type: 'checkbox', id: n, checked: draft.value.dishes.some((d) => d.recipe === name), onchange: (e) => {
      if (e.target.checked) draft.value.dishes.push({ recipe: name });
      else draft.value.dishes = draft.value.dishes.filter((d) => d.recipe !== name);
      later();
      draw(n);
    } }), h('span', {}, draft.value.dishes.find((d) => d.recipe === name)?.dish ?? r.dish ?? r.path));
  }
  function dishRow(d, i) {
    const name = d.dish ?? recipeName(d.recipe);
    const of = d.recipe ? there.recipes.find((r) => fromPlan(draft.path, r.path) === d.recipe) : null;
    // Of a recipe that is there twice each is taken out by itself.
    const once = draft.value.dishes.filter((x) => x.recipe === d.recipe).length === 1;
    return h('li', { class: 'dish' }, of && once ? pick(of) : h('span', { class: 'what' }, name), form.spot(`/dishes/${i}`),
      h('details', { class: 'fold', open: Boolean(d.make || d.serve) }, h('summary', { 'aria-label': say('of', { what: words.ofDish, name }) }, words.ofDish), h('div', { class: 'line' },
        d.recipe ? form.field(words.makeFor, `/dishes/${i}/make`, d.make ?? '', (text) => {
          const n = Number(text);
          if (text.trim() === '' || !Number.isFinite(n)) delete d.make;
          else d.make = n;
        }, { kind: 'number', min: 1, inputmode: 'numeric', class: 'short', placeholder: words.asWritten }) : null,
        isPlain(d.serve) || !d.serve ? form.instant(words.ownHour, `/dishes/${i}/serve`, d.serve ?? '', (text) => {
          if (text) d.serve = text;
          else delete d.serve;
        }) : form.field(words.ownHour, `/dishes/${i}/serve`, d.serve, (text) => {
          d.serve = text;
        }),
        of ? h('a', { class: 'button', href: `#/recipe/${encodeURIComponent(of.path)}`, 'aria-label': say('of', { what: words.toRecipe, name }) }, words.toRecipe) : null,
        of && once ? null : h('button', { type: 'button', 'aria-label': say('of', { what: words.remove, name }), onclick: () => {
          draft.value.dishes.splice(i, 1);
          later();
          draw('choose-sum');
        } }, words.remove))));
  }

  // A kitchen or a recipe may be changed on another phone, or by an editor: then all is asked anew. The
  // fields wait until nobody types in them.
  const soon = slow(150);
  let waits = false;
  fields.addEventListener('focusout', () => setTimeout(() => {
    if (stopped || !waits || fields.contains(document.activeElement)) return;
    waits = false;
    draw();
  }));
  async function askAnew(isLast) {
    const is = await folder().catch(() => null);
    recipes.clear();
    await readUnder();
    if (stopped || !isLast()) return;
    there = is ?? there;
    waits = fields.contains(document.activeElement);
    if (waits) tellGuesses().catch(() => {});
    else draw();
    wait((isLastAsked) => ask(isLastAsked));
  }
  const isOfNoMatter = ({ path: of, version }) => (of === draft.path ? version === draft.version : there.plans.some((p) => p.path === of)
    || (there.recipes.some((r) => r.path === of) && !(draft.value.dishes ?? []).some((d) => d.recipe && `${dirOf(draft.path)}${d.recipe}` === of)));
  const again = () => soon((isLast) => askAnew(isLast).catch(() => {}));
  let wasGone = false;
  const stops = [
    hear('file', (told) => {
      if (told && !isOfNoMatter(told)) again();
    }),
    hear('day', async (told) => {
      if (told?.path !== path) return;
      there = await folder().catch(() => there);
      tellDay();
    }),
    hear('gone', () => {
      wasGone = true;
    }),
    hear('there', () => {
      if (wasGone) again();
      wasGone = false;
    }),
  ];

  await readUnder();
  place.append(head, underWay, answer.section, bar.both, general, unsure, fields, bar.bar,
    ...(path ? [h('p', { class: 'end-links' }, h('a', { href: `#/raw/${encodeURIComponent(path)}` }, words.rawView))] : []));
  draw();
  if (draft.isNew) draft.path = fileName(draft.value.occasion, 'plan');
  ask().finally(tellDay);
  return { title: path ? draft.value.occasion ?? path : words.newPlan, path, stop: () => {
    stopped = true;
    beside.end();
    bar.stop();
    stops.forEach((end) => end());
  } };
}

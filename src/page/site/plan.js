// To plan: what there is to eat, when, who is there, in which kitchen; START BY changes while one types.
import { announce, h, put } from './dom.js';
import { Draft, changed as withOps } from './draft.js';
import { Form, button, fileName, messagesList, redraw, slow } from './form.js';
import { Gone, file, folder, giveUp, hear, now, patch, plan as askPlan, search } from './net.js';
import { keepBar } from './keepbar.js';
import { clockOf, length } from './moment.js';
import { isPlain } from './hours.js';
import { kitchenOf, people, setKitchen } from './people.js';
import { degrees, say, turnOven, words } from './words.js';

// Paths in a file are relative to it.
const dirOf = (path) => (path.includes('/') ? path.slice(0, path.lastIndexOf('/') + 1) : '');
const fromPlan = (path, other) => (other.startsWith(dirOf(path)) ? other.slice(dirOf(path).length) : null);
const tomorrow = () => {
  const d = new Date(Date.now() + 86400000);
  return `${d.getFullYear()}-${String(d.getMonth() + 1).padStart(2, '0')}-${String(d.getDate()).padStart(2, '0')} 19:00`;
};

export async function show(place, path) {
  const there = await folder();
  const draft = path ? await Draft.of(path) : Draft.blank('', {
    occasion: '', timezone: Intl.DateTimeFormat().resolvedOptions().timeZone || 'UTC', serve: tomorrow(),
    ...(there.kitchens.length ? { kitchen: there.kitchens[0].path } : {}), dishes: [] }, 'bakeset new plan');
  if (path && !draft.value) {
    location.replace(`#/raw/${encodeURIComponent(path)}`);
    return { title: path };
  }
  let under = {};
  let stopped = false;
  let searching = null;

  const head = h('h1', { tabindex: '-1' }, path ? draft.value.occasion ?? path : words.newPlan);
  const form = new Form(() => later());
  const fields = h('div', { class: 'fields' });
  const general = h('div', { class: 'general' });
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
    gone: () => {
      location.hash = '#/';
    },
  });

  // ------------------------------------------------------------- the answer
  const startBy = h('p', { class: 'start-by' });
  const sureness = h('p', { class: 'soft' });
  // The same beside what is pressed to keep it: in sight also where the answer itself is not.
  const brief = h('span', { class: 'brief', 'aria-hidden': 'true' });
  bar.bar.firstChild.append(brief);
  const past = h('p', { class: 'outcome', hidden: true }, words.isPast);
  const live = h('p', { class: 'sight', role: 'status' });
  const why = h('div', { class: 'why' });
  const steps = h('ol', { class: 'steps' });
  const stepsFold = h('details', { class: 'fold' }, h('summary', {}, words.allSteps), steps);
  const cautions = h('ul', { class: 'cautions' });
  const cautionsFold = h('details', { class: 'fold' }, h('summary', {}, words.cautions), cautions);
  const longer = button(words.searchLonger, async () => {
    if (searching) {
      const id = searching;
      searching = null;
      await giveUp(id);
      put(sureness, words.soFar);
      longerSays();
      return;
    }
    searching = (await search(draft.path || 'plan.json', draft.asText())).id;
    put(sureness, words.searching);
    longerSays();
  });
  const longerSays = () => put(longer, searching ? words.giveUp : words.searchLonger);
  const answer = h('section', { class: 'answer', 'aria-labelledby': 'h-start' },
    h('h2', { id: 'h-start' }, words.startBy), startBy, past, sureness, h('p', { class: 'acts-row' }, longer), live, why, cautionsFold, stepsFold);

  function tellTimeline(t, state) {
    const ok = t && t.start && !['impossible', 'unknown'].includes(t.status);
    longer.hidden = !ok || (state === words.theBest && !searching);
    why.replaceChildren();
    const runs = ok ? t.ovens.map((o) => ({ ...o, at: Date.parse(o.on) })) : [];
    // An oven may have to be turned on before the first step.
    const first = ok ? Math.min(Date.parse(t.start), ...runs.map((o) => o.at)) : 0;
    past.hidden = !ok || first > now() || Date.parse(t.ready) < now();
    stepsFold.hidden = !ok;
    cautionsFold.hidden = !ok || !t.warnings?.length;
    if (!ok) {
      put(startBy, t?.status === 'impossible' ? words.impossible : '—');
      put(sureness, t?.status === 'impossible' ? '' : state ?? '');
      if (t?.status === 'impossible') showWhy(t);
    } else {
      const clock = clockOf(t.timezone);
      put(startBy, `${clock.time(first)} `);
      startBy.append(h('span', { class: 'date' }, clock.day(first)));
      put(sureness, [first < Date.parse(t.start) ? say('firstStep', { time: clock.time(Date.parse(t.start)) }) : '', state, t.objective?.hands_on_serving_day_minutes ? say('handsOn', { time: length(t.objective.hands_on_serving_day_minutes, words.units) }) : ''].filter(Boolean).join(' · '));
      let day = '';
      const rows = [...runs.map((o) => ({ at: o.at, what: turnOven(o), about: '' })),
        ...t.stages.map((s) => ({ at: Date.parse(s.start), what: s.do,
          about: [s.dish, s.oven && s.temperature_c !== null ? degrees(s) : '', s.by?.join(', '), length(s.planned_minutes, words.units)].filter(Boolean).join(' · ') }))];
      steps.replaceChildren(...rows.sort((a, b) => a.at - b.at).map(({ at, what, about }) => {
        const is = clock.day(at);
        const made = h('li', {}, is !== day ? h('span', { class: 'date' }, is) : null, h('time', {}, clock.time(at)), h('span', { class: 'what' }, what), h('span', { class: 'about' }, about));
        day = is;
        return made;
      }));
      cautions.replaceChildren(...(t.warnings ?? []).map((w) => h('li', {}, w.message)));
      put(cautionsFold.firstChild, say('cautionsCount', { count: t.warnings?.length ?? 0 }));
    }
    const aloud = `${words.startBy} ${startBy.textContent}`;
    if (live.textContent !== aloud) put(live, aloud);
    put(brief, aloud);
  }
  function showWhy(t) {
    const remedies = t.remedies ?? [];
    const one = (r) => {
      const edits = editsOf([r]);
      if (!edits) return h('li', {}, h('p', {}, sentence(r.message)));
      return h('li', {}, button(sentence(r.message), () => mend(edits, r.message), { class: 'remedy' }));
    };
    why.replaceChildren(...[h('h3', {}, words.why), h('ul', { class: 'facts' }, t.why.map((f) => h('li', {}, sentence(f.message)))),
      remedies.length ? h('h3', {}, words.whatHelps) : t.conflicts?.length ? null : h('p', {}, words.nothingHelps),
      remedies.length ? h('ul', { class: 'remedies' }, remedies.map(one)) : null,
      ...(t.conflicts ?? []).map((c) => h('div', {}, h('h3', {}, words.conflict), h('ul', { class: 'facts' }, c.why.map((f) => h('li', {}, sentence(f.message)))),
        c.settled_by.length ? h('ul', { class: 'remedies' }, c.settled_by.map(one)) : null)),
      together(t)].filter(Boolean));
  }
  function together(t) {
    const changes = t.together?.changes;
    if (!changes?.length) return null;
    const edits = editsOf(changes), message = changes.map((c) => c.message).join('; ');
    return h('div', {}, h('h3', {}, words.together), edits
      ? h('ul', { class: 'remedies' }, h('li', {}, button(sentence(message), () => mend(edits, message), { class: 'remedy' })))
      : h('ul', { class: 'facts' }, changes.map((c) => h('li', {}, sentence(c.message)))));
  }
  // A message tells the command line how to write it as well; here the button does.
  const plain = (text) => text.replace(/;? ?--serve "[^"]*"/g, '').replace(/ \("[^"]*": [^)]*\)/g, '').replace(/ \(\)/g, '');
  const sentence = (text_) => plainly(plain(text_));
  const plainly = (text) => `${text.charAt(0).toUpperCase()}${text.slice(1)}${/[.!?)]$/.test(text) ? '' : '.'}`;
  // What is to be changed in which file: Map(path -> operations); null where no file can say it.
  function editsOf(remedies) {
    const of = new Map();
    for (const { edits } of remedies) {
      if (!edits?.length) return null;
      for (const { file: name, ...op } of edits) {
        if (!of.has(name)) of.set(name, []);
        of.get(name).push(op);
      }
    }
    return of;
  }
  async function mend(edits, message) {
    for (const [name, ops] of edits) {
      if (name === (draft.path || 'plan.json')) {
        draft.value = withOps(draft.value, ops);
        if (!draft.isNew) await bar.write();
      } else {
        const told = await patch(name, (await file(name)).version, ops);
        draft.undos.push(told.undo);
      }
    }
    await readUnder();
    announce(say('did', { what: sentence(message) }));
    draw();
    await ask();
    startHead.focus();
  }
  const startHead = answer.querySelector('h2');
  startHead.tabIndex = -1;

  const wait = slow(150);
  function later() {
    bar.update();
    wait((isLast) => ask(isLast));
  }
  async function ask(isLast = () => true) {
    if (searching) {
      giveUp(searching).catch(() => {});
      searching = null;
      longerSays();
    }
    if (!(draft.value.dishes ?? []).length) {
      tellTimeline(null, words.chooseDishes);
      return;
    }
    let told;
    try {
      told = await askPlan(draft.path || 'plan.json', draft.asText(), 'quick');
    } catch (e) {
      if (isLast()) tellTimeline(null, e instanceof Gone ? words.noNetwork : e.message);
      return;
    }
    if (!isLast() || stopped) return;
    const rest = form.show(told.messages ?? []);
    general.replaceChildren(...[messagesList(rest.filter((m) => m.severity === 'error'))].filter(Boolean));
    if (told.result === 'bad-input') tellTimeline(null, words.mendFirst);
    else tellTimeline(told.timeline, told.settled ? words.theBest : told.timeline ? words.soFar : words.noneFound);
  }
  const stopHear = hear('search', (of) => {
    if (of?.id !== searching) return;
    if (of.timeline) tellTimeline(of.timeline, of.state === 'the best' ? words.theBest : of.state === 'so far' ? words.soFarGoesOn : words.soFar);
    if (of.state !== 'so far') {
      searching = null;
      longerSays();
      longer.hidden = of.state === 'the best';
      announce(of.state === 'the best' ? words.theBest : words.soFar);
    }
  });

  // ------------------------------------------------------------- the fields
  async function readUnder() {
    const { file: name } = kitchenOf(draft.value);
    under = {};
    if (name) under = (await file(`${dirOf(draft.path)}${name}`).catch(() => null))?.value ?? {};
  }
  const recipeName = (name) => there.recipes.find((r) => fromPlan(draft.path, r.path) === name)?.dish ?? name;
  function draw(focus) {
    form.fields.clear();
    redraw(fields, make, focus);
    bar.update();
  }
  function make() {
    const v = draft.value;
    const dishes = v.dishes ?? (v.dishes = []);
    const usable = there.recipes.filter((r) => fromPlan(draft.path, r.path) !== null);
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
        dishes.length ? h('ul', { class: 'rows' }, dishes.map((d, i) => dishRow(d, i))) : null,
        usable.length
          ? h('details', { class: 'fold', id: 'choose', open: !path || !dishes.length }, h('summary', { id: 'choose-sum' }, words.chooseRecipes),
            h('ul', { class: 'picks' }, usable.map((r) => {
              const name = fromPlan(draft.path, r.path);
              const n = `pick-${r.path}`;
              return h('li', {}, h('label', { class: 'pick' }, h('input', { type: 'checkbox', id: n, checked: dishes.some((d) => d.recipe === name), onchange: (e) => {
                if (e.target.checked) dishes.push({ recipe: name });
                else draft.value.dishes = dishes.filter((d) => d.recipe !== name);
                later();
                draw(n);
                document.getElementById('choose').open = true;
                document.getElementById(n).focus();
              } }), h('span', {}, r.dish ?? r.path)));
            })))
          : h('p', { class: 'soft' }, words.noRecipesYet)),
      h('fieldset', { class: 'group' }, h('legend', {}, words.whoIsThere),
        people(form, '/kitchen', { get: () => kitchenOf(draft.value).own, set: setOwn, under, again: draw,
          calendars: there.calendars?.map((c) => fromPlan(draft.path, c.path)).filter(Boolean) })),
      h('fieldset', { class: 'group' }, h('legend', {}, words.kitchen),
        form.field(words.kitchenFile, '/kitchen', kitchenFile ?? '', async (name) => {
          setKitchen(draft.value, name || null, kitchenOf(draft.value).own);
          await readUnder();
          draw();
          later();
        }, { kind: 'choice', choices: [['', words.noKitchen], ...there.kitchens.map((k) => [fromPlan(draft.path, k.path), k.path]).filter(([n]) => n !== null)] })),
      form.field(words.style, '/style', v.style ?? 'fresh', (text) => {
        if (text === 'fresh') delete v.style;
        else v.style = text;
      }, { kind: 'choice', choices: Object.entries(words.styles) }),
    ];
  }
  function dishRow(d, i) {
    const name = d.dish ?? recipeName(d.recipe);
    const whole = d.recipe ? there.recipes.find((r) => fromPlan(draft.path, r.path) === d.recipe) : null;
    return h('li', {}, h('div', { class: 'row' },
      whole ? h('a', { class: 'what', href: `#/recipe/${encodeURIComponent(whole.path)}` }, name) : h('span', { class: 'what' }, name), form.spot(`/dishes/${i}`)),
    h('details', { class: 'fold', open: Boolean(d.make || d.serve) }, h('summary', { 'aria-label': say('of', { what: words.otherwise, name }) }, words.otherwise), h('div', { class: 'line' },
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
      h('button', { type: 'button', 'aria-label': say('of', { what: words.remove, name }), onclick: () => {
        draft.value.dishes.splice(i, 1);
        later();
        draw('choose-sum');
      } }, words.remove))));
  }

  await readUnder();
  place.append(head, answer, bar.both, general, fields, bar.bar,
    ...(path ? [h('p', { class: 'end-links' }, h('a', { href: `#/raw/${encodeURIComponent(path)}` }, words.rawView))] : []));
  draw();
  if (draft.isNew) draft.path = fileName(draft.value.occasion, 'plan');
  ask();
  return { title: path ? draft.value.occasion ?? path : words.newPlan, path, stop: () => {
    stopped = true;
    stopHear();
    bar.stop();
    if (searching) giveUp(searching).catch(() => {});
  } };
}

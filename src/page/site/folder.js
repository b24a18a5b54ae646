// What there is: plans, recipes, kitchens, and what is wrong with a file.
import { h } from './dom.js';
import { Gone, folder, hear, store, stored } from './net.js';
import { say, words } from './words.js';

const go = (name, path) => `#/${name}${path ? `/${encodeURIComponent(path)}` : ''}`;
const link = (name, path, text, more) => h('a', { href: go(name, path), ...more }, text);

// "2026-12-04 19:30" in words; what is no such instant stays as it was written.
export function when(serve) {
  const m = /^(\d{4})-(\d\d)-(\d\d)[ T](\d\d:\d\d)/.exec(serve ?? '');
  if (!m) return serve ?? '';
  const day = new Date(Date.UTC(m[1], m[2] - 1, m[3]));
  return `${new Intl.DateTimeFormat('en-GB', { weekday: 'short', day: 'numeric', month: 'short', timeZone: 'UTC' }).format(day)}, ${m[4]}`;
}

export async function show(place) {
  let stopped = false;
  const draw = (told) => {
    const { plans, recipes, kitchens, other } = told;
    const nothing = !plans.length && !recipes.length && !kitchens.length && !other.length;
    place.replaceChildren(...[
      h('h1', { tabindex: '-1' }, words.folder),
      nothing && h('p', { class: 'lead' }, words.folderEmpty),
      h('section', { 'aria-labelledby': 's-plans' },
        h('h2', { id: 's-plans' }, words.plans),
        plans.length ? h('ul', { class: 'rows' }, [...plans].sort((a, b) => String(a.serve ?? '').localeCompare(String(b.serve ?? ''))).map((p) =>
          h('li', {}, h('div', { class: 'row' },
            link('cook', p.path, p.occasion ?? p.path, { class: 'what' }),
            h('span', { class: 'soft' }, [when(p.serve), p.day && words.underWay].filter(Boolean).join(' · '))),
          h('div', { class: 'others' },
            link('plan', p.path, words.toPlan, { 'aria-label': say('of', { what: words.toPlan, name: p.occasion ?? p.path }) }),
            link('paper', p.path, words.toPaper, { 'aria-label': say('of', { what: words.toPaper, name: p.occasion ?? p.path }) })))))
          : !nothing && h('p', { class: 'soft' }, words.noPlans),
        h('p', {}, link('plan', null, words.newPlan, { class: 'button' }))),
      h('section', { 'aria-labelledby': 's-recipes' },
        h('h2', { id: 's-recipes' }, words.recipes),
        recipes.length > 0 && h('ul', { class: 'rows thin' }, [...recipes].sort((a, b) => (a.dish ?? a.path).localeCompare(b.dish ?? b.path)).map((r) =>
          h('li', {}, link('recipe', r.path, r.dish ?? r.path, { class: 'what' })))),
        h('p', { class: 'acts-row' }, link('recipe', null, words.newRecipe, { class: 'button' }), link('paste', null, words.paste, { class: 'button' }))),
      h('section', { 'aria-labelledby': 's-kitchens' },
        h('h2', { id: 's-kitchens' }, words.kitchens),
        kitchens.length > 0 && h('ul', { class: 'rows thin' }, kitchens.map((k) =>
          h('li', {}, link('kitchen', k.path, k.path, { class: 'what' })))),
        h('p', {}, link('kitchen', null, words.newKitchen, { class: 'button' }))),
      other.length > 0 && h('section', { 'aria-labelledby': 's-other' },
        h('h2', { id: 's-other' }, words.wrong),
        h('ul', { class: 'rows' }, other.map((o) =>
          h('li', {}, link('raw', o.path, o.path, { class: 'what' }), h('span', { class: 'soft' }, o.problem)))))].filter(Boolean));
  };
  const again = async () => {
    let told;
    try {
      told = await folder();
      store('bakeset folder', JSON.stringify(told));
    } catch (e) {
      const kept = stored('bakeset folder');
      if (!(e instanceof Gone) || !kept) throw e;
      told = JSON.parse(kept);
    }
    if (stopped) return;
    const focus = place.contains(document.activeElement) ? document.activeElement.getAttribute('href') : null;
    draw(told);
    if (focus) [...place.querySelectorAll('a')].find((a) => a.getAttribute('href') === focus)?.focus();
  };
  await again();
  const quiet = () => again().catch(() => {});
  const stops = ['folder', 'file', 'there'].map((kind) => hear(kind, quiet));
  return { title: '', stop: () => {
    stopped = true;
    stops.forEach((s) => s());
  } };
}

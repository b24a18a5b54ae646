// What there is: plans, recipes, kitchens, and what is wrong with a file.
import { h } from './dom.js';
import { when } from './moment.js';
import { Gone, folder, hear, store, stored } from './net.js';
import { kitchenName, say, words } from './words.js';

const go = (name, path) => `#/${name}${path ? `/${encodeURIComponent(path)}` : ''}`;
const link = (name, path, text, more) => h('a', { href: go(name, path), ...more }, text);

export async function show(place) {
  let stopped = false;
  const draw = (told) => {
    const { plans, recipes, kitchens, other } = told;
    const nothing = !plans.length && !recipes.length && !kitchens.length && !other.length;
    // What comes next for who begins is what is pressed.
    const first = !kitchens.length && !plans.length ? 'kitchen' : !recipes.length && !plans.length ? 'recipe' : !plans.length ? 'plan' : null;
    const go = (name, text) => link(name, null, text, { class: name === first ? 'button main' : 'button' });
    const of = (id, head, ...inside) => h('section', { 'aria-labelledby': id }, h('h2', { id }, head), inside);
    const sections = [
      of('s-plans', words.plans,
        plans.length ? h('ul', { class: 'rows' }, [...plans].sort((a, b) => String(a.serve ?? '').localeCompare(String(b.serve ?? ''))).map((p) =>
          h('li', {}, h('div', { class: 'row' },
            link('cook', p.path, p.occasion ?? p.path, { class: 'what' }),
            h('span', { class: 'soft' }, [when(p.serve), p.day && words.underWay].filter(Boolean).join(' · '))),
          h('div', { class: 'others' },
            link('plan', p.path, words.toPlan, { 'aria-label': say('of', { what: words.toPlan, name: p.occasion ?? p.path }) }),
            link('paper', p.path, words.toPaper, { 'aria-label': say('of', { what: words.toPaper, name: p.occasion ?? p.path }) })))))
          : null,
        h('p', {}, go('plan', words.newPlan))),
      of('s-recipes', words.recipes,
        recipes.length > 0 && h('ul', { class: 'rows thin' }, [...recipes].sort((a, b) => (a.dish ?? a.path).localeCompare(b.dish ?? b.path)).map((r) =>
          h('li', {}, link('recipe', r.path, r.dish ?? r.path, { class: 'what' })))),
        h('p', { class: 'acts-row' }, go('recipe', words.newRecipe), go('paste', words.paste))),
      of('s-kitchens', words.kitchens,
        kitchens.length > 0 && h('ul', { class: 'rows thin' }, kitchens.map((k) =>
          h('li', {}, link('kitchen', k.path, kitchenName(k.path, kitchens), { class: 'what' })))),
        h('p', {}, go('kitchen', words.newKitchen))),
    ];
    place.replaceChildren(...[
      h('h1', { tabindex: '-1' }, words.folder),
      nothing && h('p', { class: 'lead' }, words.folderEmpty),
      told.more && h('p', { class: 'outcome' }, words.notAll),
      ...(plans.length || recipes.length ? sections : sections.reverse()),
      other.length > 0 && of('s-other', words.wrong,
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

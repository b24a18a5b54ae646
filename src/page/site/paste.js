// A recipe that stands somewhere else: its text goes in, and what was guessed is confirmed step by step.
import { withAmount } from './amounts.js';
import { h, put } from './dom.js';
import { Draft } from './draft.js';
import { button } from './form.js';
import { draftLine, goThrough, grouped } from './guesses.js';
import { takeIn } from './net.js';
import { edit } from './recipe.js';
import { words } from './words.js';

export async function show(place) {
  let editor = null;
  const area = h('textarea', { id: 'pasted', rows: 14, placeholder: words.pasteHint });
  const read = button(words.readIt, async () => {
    const told = await takeIn('pasted', area.value);
    await confirm(told);
  }, { class: 'main' });
  place.append(h('h1', { tabindex: '-1' }, words.paste), h('p', {}, words.pasteLead),
    h('label', { for: 'pasted', class: 'label' }, words.pasteLabel), area, h('p', { class: 'acts-row' }, read));

  async function confirm(told) {
    const draft = Draft.blank('', { ...told.value, ...(told.value?.ingredients && { ingredients: told.value.ingredients.map(withAmount) }) });
    draft.messages = told.messages ?? [];
    const stageOf = (pointer) => /^\/stages\/(\d+)/.exec(pointer ?? '')?.[1] ?? null;
    const groups = grouped((told.guesses ?? []).map((g) => ({ reason: g.reason, stage: stageOf(g.pointer) })), draft.value.stages ?? []);
    const head = h('h1', { tabindex: '-1' }, draft.value.dish || words.newRecipe);
    const card = h('section', { class: 'guesses', 'aria-labelledby': 'guess-head' });
    const below = h('div');
    place.replaceChildren(head, card, below);
    editor = await edit(below, draft);
    editor.bar.bar.hidden = groups.length > 0;
    // What was not confirmed stays in the file, as comments, for another day.
    draft.comments = () => {
      const made = new Map();
      for (const g of groups) {
        const left = g.guesses.filter((x) => !x.right).map((x) => x.reason);
        const i = g.stage ? draft.value.stages.indexOf(g.stage) : -1;
        if (left.length && (i >= 0 || !g.stage)) made.set(g.stage ? `/stages/${i}` : '', left);
      }
      if (made.size) made.set('', [draftLine, ...(made.get('') ?? [])]);
      return made;
    };
    goThrough(card, editor, draft, groups, {
      named: (t) => put(head, t),
      over: () => {
        editor.bar.bar.hidden = false;
        editor.later();
      },
    });
  }
  return { title: words.paste, stop: () => editor?.stop() };
}

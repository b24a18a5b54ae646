// A recipe that stands somewhere else: its text goes in, and what was guessed is confirmed step by step.
import { announce, h, put } from './dom.js';
import { Draft } from './draft.js';
import { button } from './form.js';
import { takeIn } from './net.js';
import { edit } from './recipe.js';
import { say, words } from './words.js';

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
    const guesses = told.guesses ?? [];
    const draft = Draft.blank('', told.value);
    draft.messages = told.messages ?? [];
    // The guesses by what they are about: a step, or the recipe itself.
    const groups = [];
    for (const g of guesses) {
      const m = /^\/stages\/(\d+)/.exec(g.pointer ?? '');
      const at = m ? `/stages/${m[1]}` : '';
      let group = groups.find((x) => x.at === at);
      if (!group) groups.push(group = { at, stage: m ? draft.value.stages[Number(m[1])] : null, guesses: [] });
      group.guesses.push({ reason: g.reason, right: false });
    }
    const head = h('h1', { tabindex: '-1' }, draft.value.dish || words.newRecipe);
    const card = h('section', { class: 'guesses', 'aria-labelledby': 'guess-head' });
    const below = h('div');
    place.replaceChildren(head, card, below);
    editor = await edit(below, draft);
    let n = 0;
    const unsure = () => groups.flatMap((g) => g.guesses).filter((g) => !g.right);
    // What was not confirmed stays in the file, as comments, for another day.
    draft.comments = () => {
      const made = new Map();
      for (const g of groups) {
        const left = g.guesses.filter((x) => !x.right).map((x) => x.reason);
        const i = g.stage ? draft.value.stages.indexOf(g.stage) : -1;
        if (left.length && (i >= 0 || !g.stage)) made.set(g.stage ? `/stages/${i}` : '', left);
      }
      return made;
    };
    const tell = () => put(count, unsure().length ? say('guessesLeft', { count: unsure().length }) : words.allConfirmed);
    const count = h('p', { class: 'soft', role: 'status' });
    function draw() {
      const group = groups[n];
      editor.whole.hidden = Boolean(group);
      editor.bar.bar.hidden = Boolean(group);
      if (!group) {
        card.replaceChildren(h('h2', { id: 'guess-head', tabindex: '-1' }, words.guessesDone), count,
          groups.length ? h('p', { class: 'acts-row' }, button(words.guessesAgain, () => {
            n = 0;
            draw();
            card.querySelector('h2').focus();
          })) : '');
        tell();
        editor.only = null;
        editor.draw();
        editor.later();
        return;
      }
      const i = group.stage ? draft.value.stages.indexOf(group.stage) : -1;
      const rows = h('div', { class: 'fields' });
      editor.whole.replaceChildren();
      const { form } = editor;
      editor.only = { place: rows, make: () => (i >= 0 ? editor.stepRows(group.stage, i)
        : [form.field(words.dishName, '/dish', draft.value.dish, (t) => {
          draft.value.dish = t;
          put(head, t);
        }), form.field(words.serves, '/serves', draft.value.serves, (t) => {
          if (t.trim() === '') delete draft.value.serves;
          else draft.value.serves = Number(t);
        }, { kind: 'number', min: 1, class: 'short' }),
        h('h3', {}, words.ingredients), h('ul', { class: 'facts' }, (draft.value.ingredients ?? []).map((g) => h('li', {},
          [g.amount, g.item ?? g].filter(Boolean).join(' '), g.stage ? h('span', { class: 'soft' }, say('goesInto', { what: draft.value.stages.find((x) => x.id === g.stage)?.do ?? g.stage })) : null)))]) };
      card.replaceChildren(
        h('h2', { id: 'guess-head', tabindex: '-1' }, say('guessN', { n: n + 1, of: groups.length, what: group.stage?.do ?? words.theRecipe })),
        h('p', {}, words.guessLead),
        h('ul', { class: 'picks' }, group.guesses.map((g, j) => h('li', {}, h('label', { class: 'pick' },
          h('input', { type: 'checkbox', id: `guess-${j}`, checked: g.right, onchange: (e) => {
            g.right = e.target.checked;
            tell();
          } }), h('span', {}, g.reason))))),
        rows, count,
        h('p', { class: 'acts-row' },
          button(words.allRight, () => {
            group.guesses.forEach((g) => {
              g.right = true;
            });
            step(1);
          }, { class: 'main' }),
          button(words.onward, () => step(1)),
          n > 0 ? button(words.backward, () => step(-1)) : null));
      editor.draw();
      tell();
    }
    function step(by) {
      n += by;
      draw();
      card.querySelector('h2').focus();
      announce(card.querySelector('h2').textContent);
    }
    draw();
    card.querySelector('h2').focus();
  }
  return { title: words.paste, stop: () => editor?.stop() };
}

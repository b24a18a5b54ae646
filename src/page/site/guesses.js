// What take-in guessed and nobody has confirmed: comments in the recipe's file, each on a line of its own
// above what it is about; and the cards by which they are gone through.
import { announce, h, put } from './dom.js';
import { button } from './form.js';
import { say, words } from './words.js';

// The line of a draft that says what its comments are; the command writes it, too. It is part of the file,
// not of the page.
export const draftLine = 'A draft. Every comment is a guess: read it, mend the line, delete the comment.';
const isDraftLine = (line) => /^A draft\b.*\bEvery comment is a guess\b/.test(line);
export const guessKey = (id, reason) => `${id ?? ''}\n${reason}`;

// Every comment that has its line to itself: {from, to: its line in the text, words, stage: the number of
// the step that it stands above or in, or null}.
function commentLines(text) {
  const made = [], open = []; // of each object and list that is open: its key in what holds it, its place
  const stageOf = () => {
    const at = open.findIndex((o) => o.key === 'stages' && o.list);
    return at === 1 ? open[1].n : null;
  };
  let key = null;
  for (let i = 0; i < text.length; i++) {
    const c = text[i], top = open.at(-1);
    if (c === '"') {
      const from = i;
      for (i++; i < text.length && text[i] !== '"'; i++) if (text[i] === '\\') i++;
      if (/^\s*:/.test(text.slice(i + 1, i + 100))) key = text.slice(from + 1, i);
    } else if (c === '{' || c === '[') open.push({ key: top?.list ? null : key, list: c === '[', n: 0 });
    else if (c === '}' || c === ']') open.pop();
    else if (c === ',') {
      if (top?.list) top.n++;
    } else if (c === '/' && text[i + 1] === '*') i = text.indexOf('*/', i) < 0 ? text.length : text.indexOf('*/', i) + 1;
    else if (c === '/' && text[i + 1] === '/') {
      const end = text.indexOf('\n', i) < 0 ? text.length : text.indexOf('\n', i);
      const from = text.lastIndexOf('\n', i) + 1;
      if (!text.slice(from, i).trim()) made.push({ from, to: Math.min(text.length, end + 1), words: text.slice(i + 2, end).trim(), stage: stageOf() });
      i = end;
    }
  }
  return made;
}
// {stage, reason, from, to} of each guess in a recipe's file; none where the file does not say that its
// comments are guesses.
export function guessesIn(text) {
  const lines = commentLines(text ?? '');
  if (!lines.some((l) => isDraftLine(l.words))) return [];
  return lines.filter((l) => !isDraftLine(l.words)).map(({ words: reason, ...l }) => ({ ...l, reason }));
}
// The text without those guesses that `isSettled` holds for; without the line on top when none is left.
export function withoutGuesses(text, isSettled) {
  const all = guessesIn(text), gone = all.filter(isSettled);
  const lines = gone.length && gone.length === all.length ? commentLines(text) : gone;
  return [...lines].sort((a, b) => b.from - a.from).reduce((t, l) => t.slice(0, l.from) + t.slice(l.to), text);
}
export const countGuesses = (count) => (count === 1 ? words.guessUnsure : say('guessesUnsure', { count }));

// By what they are about, a step or the recipe itself: [{stage: the step or null, guesses: [{reason, key, right}]}].
export function grouped(guesses, stages) {
  const groups = [];
  for (const g of guesses) {
    const stage = stages[g.stage] ?? null;
    let group = groups.find((x) => x.stage === stage);
    if (!group) groups.push(group = { stage, guesses: [] });
    group.guesses.push({ reason: g.reason, key: g.key, right: g.right ?? false });
  }
  return groups;
}

// The cards, in `card`: one group after the other. `editor`: of recipe.js, whose rows of one step are shown
// in a card; `named(text)`: the dish is called that; `settled()`: what is confirmed has changed; `over()`:
// all have been gone through.
export function goThrough(card, editor, draft, groups, { named, settled = () => {}, over }) {
  let n = 0;
  const count = h('p', { class: 'soft', role: 'status' });
  const unsure = () => groups.flatMap((g) => g.guesses).filter((g) => !g.right).length;
  const tell = () => {
    put(count, unsure() ? say('guessesLeft', { count: unsure() }) : words.allConfirmed);
    settled();
  };
  const focus = () => card.querySelector('h2').focus();
  function draw() {
    const group = groups[n];
    editor.whole.hidden = Boolean(group);
    if (!group) {
      editor.only = null;
      card.replaceChildren(h('h2', { id: 'guess-head', tabindex: '-1' }, words.guessesDone), count,
        groups.length ? h('p', { class: 'acts-row' }, button(words.guessesAgain, () => {
          n = 0;
          draw();
          focus();
        })) : '');
      tell();
      editor.draw();
      over?.();
      return;
    }
    const i = group.stage ? draft.value.stages.indexOf(group.stage) : -1;
    const rows = h('div', { class: 'fields' });
    editor.whole.replaceChildren();
    const { form } = editor;
    editor.only = { place: rows, make: () => (i >= 0 ? editor.stepRows(group.stage, i)
      : [form.field(words.dishName, '/dish', draft.value.dish, (t) => {
        draft.value.dish = t;
        named(t);
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
    focus();
    announce(card.querySelector('h2').textContent);
  }
  draw();
  focus();
}

// Why a plan can't be met, and what would help: a button for each change that a file can say.
import { button } from './form.js';
import { h } from './dom.js';
import { onlyDish, reasons } from './reasons.js';
import { say, spoken, words } from './words.js';

// A message tells how to write it as well, on the command line or in the file; here the button does.
const plain = (text) => text.replace(/;? ?--serve "[^"]*"/g, '').replace(/ \("[^"]*": [^)]*\)/g, '').replace(/ \(\)/g, '')
  .replace(/^if (.*) goes on by itself where it stands, say so: "begins": "itself"/, (_, what) => say('goesOnItself', { what }))
  .replace(/: "\w+": "[^"]*"$/, '').replace(/, without its "when"/, '');
function sentence(message) {
  const text = plain(message);
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}${/[.!?)]$/.test(text) ? '' : '.'}`;
}
// What is to be changed in which file: Map(path -> operations); null where no file can say it.
function editsOf(changes) {
  const of = new Map();
  for (const { edits } of changes) {
    if (!edits?.length) return null;
    for (const { file, ...op } of edits) of.set(file, [...(of.get(file) ?? []), op]);
  }
  return of;
}

// What would help one that can't be met: elements, none where nothing was found.
export function whatHelps(t, mend, steps) {
  return parts(mend, steps).presses(t.remedies ?? []);
}
// Elements for a timeline with the status "impossible"; mend(edits, words) makes a change.
export function remedies(t, mend, steps) {
  const { facts, press, presses } = parts(mend, steps);
  const all = t.together?.changes ?? [];
  return [
    // The buttons first: on a phone the reasons may fill more than a screen. Where there is room, side by side.
    h('div', { class: 'both-sides' },
      t.remedies?.length ? h('div', {}, h('h3', {}, words.whatHelps), presses(t.remedies)) : t.conflicts?.length ? null : h('p', {}, words.nothingHelps),
      h('div', {}, h('h3', {}, words.why), facts(t.why))),
    (t.conflicts ?? []).map((c) => [h('h3', {}, words.conflict), facts(c.why), presses(c.settled_by)]),
    all.length ? [h('h3', {}, words.together), h('ul', { class: 'remedies' }, press(all))] : null,
  ].flat(3).filter(Boolean);
}
function parts(mend, steps) {
  const told = (message) => sentence(spoken(message, steps, onlyDish(steps)));
  const facts = (list) => h('ul', { class: 'facts' }, reasons(list, steps).map((line) => h('li', {}, sentence(line))));
  const press = (changes) => {
    const edits = editsOf(changes), message = changes.map((c) => c.message).join('; ');
    return h('li', {}, edits ? button(told(message), () => mend(edits, told(message)), { class: 'remedy' }) : h('p', {}, told(message)));
  };
  const presses = (list) => (list.length ? h('ul', { class: 'remedies' }, list.map((r) => press([r]))) : null);
  return { facts, press, presses };
}

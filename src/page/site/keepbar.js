// Keeps a draft as a file, takes back what was kept, and where somebody else has changed the file
// meanwhile shows both versions, field by field.
import { announce, h, put } from './dom.js';
import { apart, joined } from './difference.js';
import { isElsewhere } from './draft.js';
import { file } from './net.js';
import { button, notice } from './form.js';
import { say, words } from './words.js';

const shown = (v) => (v === undefined ? words.nothing : typeof v === 'string' ? v : JSON.stringify(v, null, 1).replace(/\n\s*/g, ' '));
const nameOfPath = (path) => path.map((k) => String(k).replace(/\u0000.*/, '')).map((k) => words.keys[k] ?? k).join(' › ');

// The bar at the foot of the screen. What it tells stands above what is pressed: it comes and goes, and
// what somebody has the finger on must not move away.
export function barOf(label, state, ...buttons) {
  const tellings = h('div', { class: 'tellings' }, state);
  return { bar: h('div', { class: 'keepbar', role: 'group', 'aria-label': label }, tellings, h('div', { class: 'acts-row' }, buttons)), tellings };
}

// `redraw()` after the draft's value has become another; `kept(told)` after it was written;
// `label`: of the button; refused(e): shows by itself why it was not written, and says whether it did. The bar's `update()` says anew how much there is to keep.
export function keepBar(draft, { redraw, kept, gone, label = words.keep, before, refused }) {
  let outcome = ''; // of what was pressed last, until something is changed again
  const state = h('span', { class: 'state', role: 'status' });
  const both = h('div', { class: 'both' });
  const keep = button(label, () => write(), { class: 'main' }, true);
  const back = button(words.takeBack, async () => {
    let told;
    try {
      told = await draft.takeBack();
    } catch (e) {
      if (!isElsewhere(e)) throw e;
      notice(back, words.cannotTakeBack);
      draft.undos.pop();
      return;
    }
    if (told.version === null) {
      gone?.();
      return;
    }
    outcome = words.takenBack;
    redraw();
    update();
    kept?.(told);
  });
  const drop = button(words.dropChanges, async () => {
    draft.forget();
    draft.settled.clear();
    draft.take(await file(draft.path));
    redraw();
    update();
  });
  const { bar, tellings } = barOf(label, state, keep, drop, back);

  let writing = false, news = null; // while it is written: which version the server told of
  async function write() {
    await before?.();
    if (!draft.isChanged) return;
    writing = true;
    try {
      const told = await draft.keep();
      both.replaceChildren();
      outcome = words.kept;
      redraw();
      update();
      kept?.(told);
    } catch (e) {
      if (refused?.(e)) return;
      if (!isElsewhere(e)) throw e;
      if (draft.isNew) notice(keep, say('isThere', { path: draft.path }));
      else await conflict();
    } finally {
      writing = false;
      if (news && news !== draft.version) await conflict();
      news = null;
    }
  }
  function update() {
    draft.remember();
    const changed = draft.isNew ? 1 : draft.count;
    keep.disabled = changed === 0;
    drop.hidden = draft.isNew || changed === 0;
    back.hidden = draft.undos.length === 0;
    if (changed) outcome = '';
    bar.classList.toggle('idle-bar', !draft.isNew && changed === 0 && back.hidden && !outcome);
    put(state, draft.isNew ? words.notYetAFile : changed === 0 ? outcome || (draft.undos.length ? words.kept : '') : say(changed === 1 ? 'oneChange' : 'manyChanges', { count: changed }));
  }
  // The file is another than the draft knows.
  async function conflict() {
    const theirs = await file(draft.path).catch(() => null);
    if (!theirs) {
      put(state, words.fileGone);
      return;
    }
    if (!theirs.value || !draft.isChanged) {
      if (!theirs.value) put(state, words.theirsIsBroken);
      else {
        draft.take(theirs);
        outcome = words.changedElsewhere;
        redraw();
        update();
        announce(words.changedElsewhere);
      }
      return;
    }
    const fields = apart(draft.base, draft.value, theirs.value);
    if (!fields.length) { // theirs is what mine is
      draft.take(theirs);
      redraw();
      update();
      return;
    }
    const choice = new Map(fields.map((f) => [f, JSON.stringify(f.base) === JSON.stringify(f.mine) ? 'theirs' : 'mine']));
    const pick = (f, n, side) => {
      const input = h('input', { type: 'radio', name: `both-${n}`, value: side, checked: choice.get(f) === side, onchange: () => choice.set(f, side) });
      return h('label', { class: 'side' }, input, h('span', {}, h('b', {}, side === 'mine' ? words.mine : words.theirs), ' ', shown(f[side])));
    };
    const head = h('h2', { tabindex: '-1' }, words.bothHead);
    both.replaceChildren(head, h('p', {}, words.bothLead),
      ...fields.map((f, n) => h('fieldset', {}, h('legend', {}, nameOfPath(f.path), f.both ? h('span', { class: 'soft' }, ` ${words.bothChanged}`) : null), pick(f, n, 'theirs'), pick(f, n, 'mine'))),
      h('p', { class: 'acts-row' }, button(words.keepThese, async () => {
        const mine = draft.value;
        const chosen = fields.filter((f) => choice.get(f) === 'mine');
        draft.take(theirs);
        draft.value = joined(mine, theirs.value, chosen);
        both.replaceChildren();
        if (draft.isChanged) await write();
        redraw();
        update();
        keep.focus();
      }, { class: 'main' })));
    head.focus();
  }
  const stopWatch = draft.watch((version) => {
    if (writing) news = version;
    else conflict().catch(() => {});
  });
  update();
  if (draft.isStale) setTimeout(() => conflict().catch(() => {}));
  return { bar, tellings, both, update, write, stop: stopWatch };
}

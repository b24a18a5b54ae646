// A file as it is, for those who want it, and for one that can't be read otherwise.
import { announce, h, put } from './dom.js';
import { Draft, isElsewhere } from './draft.js';
import { button, checkSoon, notice, text } from './form.js';
import { barOf } from './keepbar.js';
import { check, file } from './net.js';
import { say, words } from './words.js';

export async function show(place, path) {
  const draft = await Draft.of(path);
  const area = h('textarea', { id: 'raw', rows: 24, spellcheck: 'false', autocapitalize: 'off', autocomplete: 'off', wrap: 'off', 'aria-describedby': 'raw-problems' });
  area.value = draft.text;
  const problems = h('ul', { class: 'problems', id: 'raw-problems' });
  const state = h('span', { class: 'state', role: 'status' });
  const theirs = h('div', { class: 'both' });
  const soon = checkSoon(async () => (await check(path, area.value)).messages, (messages) => showMessages(messages));

  function showMessages(messages) {
    problems.replaceChildren(...messages.map((m) => {
      const line = m.line && (!m.file || m.file === path || path.endsWith(`/${m.file}`));
      return h('li', {}, line ? h('button', { type: 'button', onclick: () => goTo(m.line, m.column) }, say('line', { n: m.line })) : null, ' ', text(m),
        m.fix && line ? [' ', button(words.mendIt, () => mend(m.fix), { 'aria-label': say('of', { what: words.mendIt, name: text(m) }) })] : null);
    }));
    draft.messages = messages;
  }
  function goTo(line, column) {
    const lines = area.value.split('\n');
    const at = lines.slice(0, line - 1).reduce((n, l) => n + l.length + 1, 0) + Math.max(0, (column ?? 1) - 1);
    area.focus();
    area.setSelectionRange(at, at);
  }
  // A mend's place is in bytes.
  function mend(fix) {
    const bytes = new TextEncoder().encode(area.value), words_ = new TextDecoder();
    area.value = words_.decode(bytes.slice(0, fix.offset)) + fix.text + words_.decode(bytes.slice(fix.offset + fix.length));
    changed();
    area.focus();
  }
  function changed() {
    keep.disabled = area.value === draft.text;
    back.hidden = draft.undos.length === 0;
    bar.classList.toggle('idle-bar', keep.disabled && back.hidden);
    soon();
  }
  area.addEventListener('input', changed);
  const keep = button(words.keep, async () => {
    try {
      const mine = area.value;
      await draft.putText(mine);
      theirs.replaceChildren();
      area.value = draft.text;
      showMessages(draft.messages);
      put(state, words.kept);
      keep.disabled = true;
      back.hidden = false;
    } catch (e) {
      if (!isElsewhere(e)) throw e;
      await conflict();
    }
  }, { class: 'main' });
  const back = button(words.takeBack, async () => {
    try {
      await draft.takeBack();
    } catch (e) {
      if (!isElsewhere(e)) throw e;
      notice(back, words.cannotTakeBack);
      return;
    }
    area.value = draft.text;
    showMessages(draft.messages);
    changed();
    put(state, words.takenBack);
  });
  const { bar } = barOf(words.keep, state, keep, back);
  async function conflict() {
    const is = await file(path);
    if (area.value === draft.text) {
      draft.take(is);
      area.value = is.text;
      showMessages(is.messages ?? []);
      put(state, words.changedElsewhere);
      return;
    }
    const head = h('h2', { tabindex: '-1' }, words.bothHead);
    const other = h('textarea', { id: 'raw-theirs', rows: 12, readonly: true, wrap: 'off' });
    other.value = is.text;
    theirs.replaceChildren(head, h('p', {}, words.rawBothLead), h('label', { for: 'raw-theirs' }, words.theirs), other,
      h('p', { class: 'acts-row' }, button(words.keepMine, async () => {
        draft.version = is.version;
        await draft.putText(area.value);
        theirs.replaceChildren();
        changed();
        put(state, words.kept);
      }), button(words.takeTheirs, () => {
        draft.take(is);
        area.value = is.text;
        theirs.replaceChildren();
        changed();
        announce(words.changedElsewhere);
      })));
    head.focus();
  }
  const stop = draft.watch(() => conflict().catch(() => {}));
  place.append(h('h1', { tabindex: '-1' }, path), theirs, h('label', { for: 'raw', class: 'sight' }, words.rawLabel), area, problems,
    bar);
  keep.disabled = true;
  back.hidden = draft.undos.length === 0;
  bar.classList.toggle('idle-bar', back.hidden);
  showMessages(draft.messages);
  return { title: path, stop };
}

// One file while it is being changed: what it was, what it is to be; kept, and taken back.
import { changed, difference } from './difference.js';
import { Refused, change, check, file, hear, patch, put, undo } from './net.js';
import { guessKey, guessesIn, withoutGuesses } from './guesses.js';
import { copy, same, written } from './values.js';

const takeBacks = new Map(); // path -> the ids of changes

export class Draft {
  settled = new Set(); // the keys of guesses in the file that are confirmed, and not yet taken out of it
  // A file that is there.
  static async of(path) {
    const draft = new Draft();
    draft.path = path;
    draft.take(await file(path));
    draft.memory = `bakeset draft ${path}`;
    draft.recall();
    return draft;
  }
  // One that is to be.
  // `memory`: what it is remembered by until it is a file; null: not at all.
  static blank(path, value, memory = null) {
    const draft = new Draft();
    Object.assign(draft, { path, version: null, text: '', base: {}, value: copy(value), messages: [], blankValue: copy(value), memory });
    draft.recall();
    return draft;
  }
  // What was typed and not kept is still there when the screen is left, or the page loaded anew.
  remember() {
    if (!this.memory) return;
    const is = this.isNew ? !same(this.value, this.blankValue) : this.isChanged;
    try {
      if (is) sessionStorage.setItem(this.memory, JSON.stringify({ version: this.version, base: this.base, value: this.value, path: this.path, settled: [...this.settled] }));
      else sessionStorage.removeItem(this.memory);
    } catch {
      // a browser may refuse to keep anything
    }
  }
  recall() {
    try {
      const kept = this.memory && JSON.parse(sessionStorage.getItem(this.memory));
      // Of a file that has changed since, the old version stays the base: both are shown when it is kept.
      this.isStale = Boolean(kept) && kept.version !== this.version;
      if (kept) Object.assign(this, { version: kept.version, base: kept.base, value: kept.value, path: kept.path, settled: new Set(kept.settled) });
    } catch {
      // nothing of use was kept
    }
  }
  // What can be taken back, the last one last: also when the screen has been left and come back to.
  get undos() {
    if (!takeBacks.has(this.path)) takeBacks.set(this.path, []);
    return takeBacks.get(this.path);
  }
  take(told) {
    this.version = told.version;
    this.text = told.text;
    this.base = told.value;
    this.value = copy(told.value);
    this.messages = told.messages ?? [];
    const there = new Set(this.guesses.map((g) => g.key));
    this.settled = new Set([...this.settled].filter((key) => there.has(key)));
  }
  // Of the file as it is: {key, reason, stage: the number of the step, or null}.
  get guesses() {
    return guessesIn(this.text).map((g) => ({ ...g, key: guessKey(this.base?.stages?.[g.stage]?.id, g.reason) }));
  }
  // How many there are, to say so.
  get count() {
    return this.ops().length + this.settled.size;
  }
  get isNew() {
    return this.version === null;
  }
  ops() {
    return difference(this.base, this.value);
  }
  get isChanged() {
    return this.isNew || this.settled.size > 0 || !same(this.base, this.value);
  }
  // What the file would be, for questions about it; comments are of no matter there.
  asText() {
    return written(this.value);
  }
  async check() {
    this.messages = (await check(this.path, this.asText())).messages;
    return this.messages;
  }
  // Writes what has changed. A Refused with status 412 or 409 says that somebody else was there.
  async keep(ops = this.ops()) {
    const sent = copy(this.value), settled = this.settled;
    if (!this.isNew && settled.size) {
      // First what the file says, by its values; then the comments, which are no values.
      if (ops.length) await this.isWritten(await patch(this.path, this.version, ops), sent);
      const keys = new Map(this.guesses.map((g) => [g.from, g.key]));
      const text = withoutGuesses(this.text, (g) => settled.has(keys.get(g.from)));
      return this.isWritten(await put(this.path, text, this.version), copy(this.base));
    }
    const told = this.isNew ? await put(this.path, written(this.value, this.comments?.()), null) : await patch(this.path, this.version, ops);
    return this.isWritten(told, sent);
  }
  // The same, and other files ({path, version, patch}) with it: all of them or none, one thing to take back.
  async keepWith(files) {
    const sent = copy(this.value), isMine = !this.isNew && this.isChanged;
    const told = await change(isMine ? [...files, { path: this.path, version: this.version, patch: this.ops() }] : files);
    if (isMine) return this.isWritten({ ...told.files.find((f) => f.path === this.path), undo: told.undo }, sent);
    this.undos.push(told.undo);
    return told;
  }
  async putText(text) {
    return this.isWritten(await put(this.path, text, this.version));
  }
  // What was typed after `sent` went out stays a change of the draft.
  async isWritten(told, sent = this.value) {
    if (told.undo) this.undos.push(told.undo);
    this.forget();
    const is = await file(this.path);
    const typed = difference(sent, this.value);
    if (typed.length && difference(sent, is.value).length) Object.assign(this, { version: told.version, base: sent }); // and somebody else was there, too
    else {
      this.take(is);
      this.value = changed(this.value, typed);
    }
    return told;
  }
  forget() {
    try {
      if (this.memory) sessionStorage.removeItem(this.memory);
    } catch {
      // nothing was kept
    }
  }
  async takeBack() {
    const told = await undo(this.undos.at(-1));
    this.undos.pop();
    if (told.version === null) this.version = null;
    else if (!this.isNew) this.take(await file(this.path));
    return told;
  }
  // Calls f(version) when the file is another than this draft knows.
  watch(f) {
    const stops = [
      hear('file', (told) => {
        if (told?.path === this.path && told.version !== this.version && !this.isNew) f(told.version);
      }),
      hear('there', async () => {
        if (this.isNew) return;
        const is = await file(this.path).catch(() => null);
        if (is && is.version !== this.version) f(is.version);
      }),
    ];
    return () => stops.forEach((s) => s());
  }
}
export const isElsewhere = (e) => e instanceof Refused && [409, 412].includes(e.status) && !isUnderWay(e);
// The occasion goes by its name as long as its day does.
export const isUnderWay = (e) => e instanceof Refused && e.error.code === 'under-way';

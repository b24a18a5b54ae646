// One file while it is being changed: what it was, what it is to be, and the way between the two.
import { Refused, check, file, hear, patch, put, undo } from './net.js';

const copy = (v) => (v === undefined ? undefined : JSON.parse(JSON.stringify(v)));
export const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
const isList = Array.isArray;
const isObject = (v) => v !== null && typeof v === 'object' && !isList(v);
export const token = (name) => String(name).replace(/~/g, '~0').replace(/\//g, '~1');

// What an entry of a list is known by, wherever it stands.
const nameOf = (v) => (isObject(v) ? v.id ?? v.dish ?? v.recipe ?? v.cook ?? v.item ?? v.stage : undefined);
function names(list) {
  const seen = new Map();
  return list.map((v) => {
    const name = nameOf(v) ?? JSON.stringify(v);
    const n = seen.get(name) ?? 0;
    seen.set(name, n + 1);
    return n ? `${name}\u0000${n}` : name;
  });
}

// RFC 6902: the operations that make `to` of `from`, as small as they can be, so that of the file's
// bytes only those change that have to.
export function difference(from, to, at = '') {
  if (same(from, to)) return [];
  if (isObject(from) && isObject(to)) {
    const ops = [];
    for (const key of Object.keys(from))
      if (!(key in to) || to[key] === undefined) ops.push({ op: 'remove', path: `${at}/${token(key)}` });
    for (const key of Object.keys(to)) {
      if (to[key] === undefined) continue;
      const path = `${at}/${token(key)}`;
      if (key in from) ops.push(...difference(from[key], to[key], path));
      else ops.push({ op: 'add', path, value: to[key] });
    }
    return ops;
  }
  if (isList(from) && isList(to) && [...from, ...to].every(isObject)) return ofLists(from, to, at);
  return [{ op: 'replace', path: at, value: to }];
}
function ofLists(from, to, at) {
  const ops = [];
  let have = names(from);
  let values = [...from];
  const want = names(to);
  // An entry whose name alone has changed is still that entry.
  if (have.length === want.length) {
    const mine = want.map((n, i) => (have.includes(n) ? null : i)).filter((i) => i !== null);
    for (const i of mine) if (!want.includes(have[i])) have[i] = want[i];
  }
  for (let i = have.length - 1; i >= 0; i--)
    if (!want.includes(have[i])) {
      ops.push({ op: 'remove', path: `${at}/${i}` });
      have.splice(i, 1);
      values.splice(i, 1);
    }
  for (let i = 0; i < want.length; i++) {
    if (have[i] === want[i]) continue;
    const j = have.indexOf(want[i], i);
    if (j < 0) {
      ops.push({ op: 'add', path: `${at}/${i}`, value: to[i] });
      have.splice(i, 0, want[i]);
      values.splice(i, 0, to[i]);
    } else {
      ops.push({ op: 'move', from: `${at}/${j}`, path: `${at}/${i}` });
      have.splice(i, 0, ...have.splice(j, 1));
      values.splice(i, 0, ...values.splice(j, 1));
    }
  }
  for (let i = 0; i < to.length; i++) ops.push(...difference(values[i], to[i], `${at}/${i}`));
  return ops;
}

// The value with the operations done; what is there stays as it is.
export function changed(value, ops) {
  let made = copy(value);
  const keysOf = (path) => path.split('/').slice(1).map((k) => k.replace(/~1/g, '/').replace(/~0/g, '~'));
  const holder = (keys) => keys.slice(0, -1).reduce((o, k) => o[k], made);
  const get = (path) => keysOf(path).reduce((o, k) => o?.[k], made);
  const take = (path) => {
    const keys = keysOf(path), o = holder(keys), k = keys.at(-1), was = o[k];
    if (isList(o)) o.splice(Number(k), 1);
    else delete o[k];
    return was;
  };
  const set = (path, v, insert) => {
    const keys = keysOf(path);
    if (!keys.length) {
      made = copy(v);
      return;
    }
    const o = holder(keys), k = keys.at(-1);
    if (isList(o) && insert) o.splice(k === '-' ? o.length : Number(k), 0, copy(v));
    else o[k] = copy(v);
  };
  for (const op of ops) {
    if (op.op === 'remove') take(op.path);
    else if (op.op === 'add') set(op.path, op.value, true);
    else if (op.op === 'replace') set(op.path, op.value, false);
    else if (op.op === 'move') set(op.path, take(op.from), true);
    else if (op.op === 'copy') set(op.path, get(op.from), true);
    else if (op.op === 'test' && !same(get(op.path), op.value)) throw new Error('not as it was');
  }
  return made;
}

// Where two people changed one file: [{path: [names], base, mine, theirs, both}], one for each field that
// now differs between them; `both`: each of them changed it.
export function apart(base, mine, theirs, path = []) {
  if (same(mine, theirs)) return [];
  const deeper = (b, m, t, keys, of) =>
    keys.flatMap((k) => apart(of(b, k), of(m, k), of(t, k), [...path, k]));
  if (isObject(mine) && isObject(theirs)) {
    const keys = [...new Set([...Object.keys(mine), ...Object.keys(theirs)])];
    return deeper(base, mine, theirs, keys, (o, k) => (isObject(o) ? o[k] : undefined));
  }
  if (isList(mine) && isList(theirs) && [...mine, ...theirs].every(isObject) && names(mine).length) {
    const find = (l, n) => (isList(l) ? l[names(l).indexOf(n)] : undefined);
    const keys = [...new Set([...names(mine), ...names(theirs)])];
    return deeper(base, mine, theirs, keys, find);
  }
  return [{ path, base, mine, theirs, both: !same(base, mine) && !same(base, theirs) }];
}
// Theirs, with the chosen fields (paths as of `apart`) as they are in mine.
export function joined(mine, theirs, chosen) {
  const made = copy(theirs);
  const inside = (o, k) => (isList(o) ? o[names(o).indexOf(k)] : o?.[k]);
  for (const { path, mine: value } of chosen) {
    if (!path.length) return copy(mine);
    let o = made, m = mine;
    for (const k of path.slice(0, -1)) {
      o = inside(o, k);
      m = inside(m, k);
    }
    const k = path.at(-1);
    if (!isList(o)) {
      if (value === undefined) delete o[k];
      else o[k] = copy(value);
      continue;
    }
    const i = names(o).indexOf(k);
    if (value === undefined) o.splice(i, 1);
    else if (i >= 0) o[i] = copy(value);
    else {
      // Behind the one that it follows in mine.
      const mineNames = names(m);
      const before = mineNames.slice(0, mineNames.indexOf(k)).findLast((n) => names(o).includes(n));
      o.splice(before === undefined ? 0 : names(o).indexOf(before) + 1, 0, copy(value));
    }
  }
  return made;
}

// A new file's text: a key a line, a stage or a dish a line. `comments`: lines to stand above the file's
// value ('') or an entry of one of its lists ('/stages/2').
export function written(value, comments = new Map()) {
  const one = (v) => (isList(v) ? `[${v.map(one).join(', ')}]`
    : isObject(v) ? `{${Object.entries(v).filter(([, x]) => x !== undefined).map(([k, x]) => `${JSON.stringify(k)}: ${one(x)}`).join(', ')}}`
      : JSON.stringify(v));
  const remarks = (at, pad) => (comments.get(at) ?? []).map((line) => `${pad}// ${line.replace(/\s+/g, ' ')}\n`).join('');
  const open = (v, pad, at) => {
    if (isList(v) && v.length && v.every(isObject))
      return `[\n${v.map((x, i) => `${remarks(`${at}/${i}`, `${pad}  `)}${pad}  ${one(x)}`).join(',\n')}\n${pad}]`;
    if (isObject(v) && one(v).length > 90)
      return `{\n${Object.entries(v).filter(([, x]) => x !== undefined).map(([k, x]) => `${pad}  ${JSON.stringify(k)}: ${open(x, `${pad}  `, `${at}/${token(k)}`)}`).join(',\n')}\n${pad}}`;
    return one(v);
  };
  return `${remarks('', '')}{\n${Object.entries(value).filter(([, v]) => v !== undefined).map(([k, v]) => `  ${JSON.stringify(k)}: ${open(v, '  ', `/${token(k)}`)}`).join(',\n')}\n}\n`;
}

const takeBacks = new Map(); // path -> the ids of changes

export class Draft {
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
      if (is) sessionStorage.setItem(this.memory, JSON.stringify({ version: this.version, base: this.base, value: this.value, path: this.path }));
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
      if (kept) Object.assign(this, { version: kept.version, base: kept.base, value: kept.value, path: kept.path });
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
  }
  get isNew() {
    return this.version === null;
  }
  ops() {
    return difference(this.base, this.value);
  }
  get isChanged() {
    return this.isNew || !same(this.base, this.value);
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
    const told = this.isNew ? await put(this.path, written(this.value, this.comments?.()), null) : await patch(this.path, this.version, ops);
    return this.isWritten(told);
  }
  async putText(text) {
    return this.isWritten(await put(this.path, text, this.version));
  }
  async isWritten(told) {
    this.version = told.version;
    if (told.undo) this.undos.push(told.undo);
    this.forget();
    this.take(await file(this.path));
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
    else this.take(await file(this.path));
    return told;
  }
  // Calls f() when the file is another than this draft knows.
  watch(f) {
    const stops = [
      hear('file', (told) => {
        if (told?.path === this.path && told.version !== this.version && !this.isNew) f();
      }),
      hear('there', async () => {
        if (this.isNew) return;
        const is = await file(this.path).catch(() => null);
        if (is && is.version !== this.version) f();
      }),
    ];
    return () => stops.forEach((s) => s());
  }
}
export const isElsewhere = (e) => e instanceof Refused && [409, 412].includes(e.status);

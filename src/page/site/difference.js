// The way between two values: RFC 6902 of what changed and no more; and where two people changed one
// value, what is apart, and both joined.
import { copy, isList, isObject, keysOf, reach, same, token } from './values.js';

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
  const holder = (keys) => keys.slice(0, -1).reduce((o, k) => o[k], made);
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
    else if (op.op === 'copy') set(op.path, reach(made, op.from), true);
    else if (op.op === 'test' && !same(reach(made, op.path), op.value)) throw new Error('not as it was');
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

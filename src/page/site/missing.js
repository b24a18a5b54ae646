// What a plan's recipes use and its kitchen has not: one button that puts all of it there.
import { button } from './form.js';
import { h } from './dom.js';
import { file } from './net.js';
import { kitchenOf } from './people.js';
import { isObject, keysOf, reach, token } from './values.js';
import { say, words } from './words.js';

// What it is: [its name, what the kitchen is to say of it, how many are wanted at once]. `value`: what a
// message's pointer leads to, "fridge" or the amount at the key "fridge".
function thing(pointer, value) {
  if (typeof value === 'string') return [value, { kind: 'cold' }];
  const name = keysOf(pointer).at(-1), many = isObject(value) ? value.amount : value;
  if (isObject(value) && value.at !== undefined) return [name, { kind: 'oven' }];
  if (/\/stored\/[^/]*$/.test(pointer)) return [name, { kind: 'cold' }];
  if (/^(stove|hob)$/i.test(name)) return [name, { kind: 'hob' }];
  if (/^(fridge|freezer)$/i.test(name)) return [name, { kind: 'cold' }];
  return [name, many > 1 ? { count: many } : {}];
}
// Of a plan's messages and its value: Map(name -> what the kitchen is to say of it). A name that may be a
// slip of the pen is none of them.
export async function missing(messages, plan, path) {
  const found = new Map();
  for (const m of messages) {
    if (m.code !== 'unknown-equipment' || m.fix || !m.pointer) continue;
    const of = m.file === path || !m.file ? plan : (await file(m.file).catch(() => null))?.value;
    const value = reach(of, m.pointer);
    if (value === undefined) continue;
    const [name, is] = thing(m.pointer, value), before = found.get(name);
    if (!before || is.kind || (is.count ?? 1) > (before.count ?? 1)) found.set(name, before?.kind ? before : is);
  }
  return found;
}
// What is to be changed in which file, Map(path -> operations): where the equipment stands now.
export function edits(found, plan, path, under, dir) {
  const { file: name, own } = kitchenOf(plan);
  const inFile = name && !own.equipment, there = inFile ? under.equipment : own.equipment;
  const all = Object.fromEntries(found), root = inFile ? '' : '/kitchen';
  if (!inFile && plan.kitchen === undefined) return new Map([[path, [{ op: 'add', path: '/kitchen', value: { equipment: all } }]]]);
  const ops = there ? [...found].map(([key, value]) => ({ op: 'add', path: `${root}/equipment/${token(key)}`, value }))
    : [{ op: 'add', path: `${root}/equipment`, value: all }];
  return new Map([[inFile ? `${dir}${name}` : path, ops]]);
}
// The button, or null where nothing is missing; press(words) does it.
export function putThere(found, press) {
  if (!found.size) return null;
  const told = say('putIntoKitchen', { what: [...found].map(([name, is]) => (is.count ? say('severalOf', { what: name, count: is.count })
    : is.kind ? say('kindOf', { what: name, kind: words.thingKinds[is.kind] }) : name)).join(', ') });
  return h('p', { class: 'acts-row' }, button(told, () => press(told), { class: 'remedy' }));
}

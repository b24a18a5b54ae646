// Elements out of words. Whatever a file says gets into the page as text here and in no other way.

import { visible } from './bidi.js';

// h('p', {class: 'x', onclick: f}, 'text', element, [more]): attributes; on… as listeners; `value`,
// `checked`, `selected`, `disabled` and `hidden` as properties. null, undefined and false add nothing.
export function h(tag, given, ...inside) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(given ?? {})) {
    if (value === null || value === undefined) continue;
    if (name.startsWith('on')) made.addEventListener(name.slice(2), value);
    else if (['value', 'checked', 'selected', 'disabled', 'hidden', 'open'].includes(name)) made[name] = value;
    else if (value !== false) made.setAttribute(name, value === true ? '' : value);
  }
  add(made, inside);
  if (tag === 'select' && given && 'value' in given) made.value = given.value;
  return made;
}
function add(to, inside) {
  for (const one of inside) {
    if (Array.isArray(one)) add(to, one);
    else if (one !== null && one !== undefined && one !== false) to.append(typeof one === 'object' ? one : visible(String(one)));
  }
}

export function put(element, text) {
  const words = visible(text);
  if (element.textContent !== words) element.textContent = words;
}

// Brings the children of `list` to one for each of `items`, in their order. An element stays the one
// it was as long as its key is there, so that the finger and the focus stay on it.
export function keyed(list, items, key, make, fill) {
  const old = new Map([...list.children].map((e) => [e.dataset.key, e]));
  let at = list.firstElementChild;
  for (const item of items) {
    const k = key(item);
    let element = old.get(k);
    if (element) old.delete(k);
    else {
      element = make(item);
      element.dataset.key = k;
    }
    fill?.(element, item);
    if (element === at) at = at.nextElementSibling;
    else list.insertBefore(element, at);
  }
  for (const gone of old.values()) gone.remove();
}

// Says something to who cannot see it.
export function announce(words) {
  const place = document.getElementById('say');
  put(place, '');
  setTimeout(() => put(place, words), 50);
}

// A button that opens what belongs to it, and by Escape or close() shuts it. {button, panel, close}
let openers = 0;
export function opener(label, aloud = label) {
  const panel = h('div', { class: 'panel', id: `opened-${++openers}`, hidden: true, role: 'group', 'aria-label': aloud });
  const open = (is) => {
    panel.hidden = !is;
    button.setAttribute('aria-expanded', String(is));
  };
  const close = () => {
    open(false);
    button.focus();
  };
  const button = h('button', { type: 'button', 'aria-label': aloud, 'aria-expanded': 'false', 'aria-controls': panel.id, onclick: () => {
    open(panel.hidden);
    if (!panel.hidden) panel.querySelector('button, a')?.focus();
  } }, label);
  panel.addEventListener('keydown', (e) => {
    if (e.key === 'Escape') close();
  });
  return { button, panel, close };
}

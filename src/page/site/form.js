// Fields that know which value of the file they stand for, so that what `check` says is said there.
import { h, put } from './dom.js';
import { Gone } from './net.js';
import { words, say } from './words.js';

// "20" and "12-15" as the format has them: "20 min".
export const withMinutes = (text) => (/^\s*\d+(?:\s*-\s*\d+)?\s*$/.test(text) ? `${text.trim()} min` : text);

export class Form {
  fields = new Map(); // pointer -> {control, message}
  constructor(changed) {
    this.changed = changed; // called at each change
  }
  idOf = (pointer) => `f${pointer.replace(/[^A-Za-z0-9]/g, (c) => `_${c.charCodeAt(0).toString(16)}`)}`;
  place(pointer, control) {
    const id = this.idOf(pointer);
    const message = h('span', { class: 'message', id: `${id}-m` });
    control.id = id;
    control.setAttribute('aria-describedby', message.id);
    this.fields.set(pointer, { control, message });
    return message;
  }
  // A labelled control. `set` gets its value as text; `kind` an input's type, 'lines' or 'choice';
  // `minutes`: a number alone is so many minutes.
  field(label, pointer, value, set, given = {}) {
    const { kind = 'text', choices, hint, hideLabel, minutes, ...more } = given;
    const act = () => {
      set(minutes ? withMinutes(control.value) : control.value);
      this.changed();
    };
    const control = kind === 'choice'
      ? h('select', { onchange: act, ...more }, choices.map(([v, text]) => h('option', { value: v }, text)))
      : h(kind === 'lines' ? 'textarea' : 'input', {
        ...(kind === 'lines' ? { rows: 3 } : { type: kind }), oninput: act, autocomplete: 'off', ...more });
    control.value = value ?? '';
    if (minutes) control.addEventListener('change', () => {
      control.value = withMinutes(control.value);
    });
    const message = this.place(pointer, control);
    return h('div', { class: `field${given.class ? ` ${given.class}` : ''}` },
      h('label', { for: control.id, class: hideLabel ? 'sight' : null }, label),
      control, hint && h('span', { class: 'hint' }, hint), message);
  }
  // A day and an hour, in two controls that large letters still have room in. `value` and what `set`
  // gets: "2026-12-04 19:30", or '' where there is none.
  instant(label, pointer, value, set) {
    const parts = { day: value.slice(0, 10), hour: value.slice(11, 16) };
    const part = (key, name, kind) => this.field(name, key === 'day' ? pointer : `${pointer}#hour`, parts[key], (text) => {
      parts[key] = text;
      if (parts.day && parts.hour) set(`${parts.day} ${parts.hour}`);
      else if (!parts.day && !parts.hour) set('');
    }, { kind, hideLabel: true });
    return h('fieldset', { class: 'instant' }, h('legend', {}, label),
      part('day', say('dayOf', { what: label }), 'date'), part('hour', say('hourOf', { what: label }), 'time'));
  }
  // A place for messages about what has no control of its own.
  spot(pointer) {
    const message = h('p', { class: 'message' });
    this.fields.set(pointer, { control: null, message });
    return message;
  }
  // Puts each message at its field, or at the nearest that holds it; gives back those of no field.
  show(messages) {
    const said = new Map(), rest = [];
    for (const m of messages) {
      let pointer = m.pointer;
      while (pointer && !this.fields.has(pointer)) pointer = pointer.slice(0, pointer.lastIndexOf('/'));
      if (!pointer || !this.fields.has(pointer)) {
        rest.push(m);
        continue;
      }
      if (!said.has(pointer)) said.set(pointer, []);
      said.get(pointer).push(m);
    }
    for (const [pointer, { control, message }] of this.fields) {
      const mine = said.get(pointer) ?? [];
      put(message, mine.map((m) => text({ ...m, mend: mendOf(m) })).join(' '));
      message.classList.toggle('remark', mine.length > 0 && mine.every((m) => m.severity !== 'error'));
      // What is wrong is not folded away.
      if (mine.some((m) => m.severity === 'error')) for (let d = message.closest('details'); d; d = d.parentElement.closest('details')) d.open = true;
      if (control) {
        if (mine.some((m) => m.severity === 'error')) control.setAttribute('aria-invalid', 'true');
        else control.removeAttribute('aria-invalid');
      }
    }
    return rest;
  }
}
// What is said of a file is said of its keys; where the page has a field for one, the field is named.
const mendOf = (m) => (/^give the stages .*"grows"/.test(m.mend ?? '') ? words.sayGrows : m.mend);
export const text = (m) => {
  const whole = [m.what, m.mend].filter(Boolean).join('; ');
  return `${whole.charAt(0).toUpperCase()}${whole.slice(1)}${/[.!?]$/.test(whole) ? '' : '.'}`;
};

// A button; what it does may take time, and while it does the button says so. `again`: a press
// meanwhile counts, when that is over; else it counts for nothing.
export function button(label, act, given = {}, again = false) {
  let pressed = false;
  const made = h('button', { type: 'button', ...given, onclick: async (e) => {
    pressed = true;
    if (made.getAttribute('aria-busy') === 'true') return;
    made.setAttribute('aria-busy', 'true');
    try {
      do {
        pressed = false;
        await act(e);
      } while (again && pressed);
    } catch (fault) {
      notice(made, fault.constructor.name === 'Gone' ? words.noNetwork : fault.message);
    } finally {
      made.removeAttribute('aria-busy');
    }
  } }, label);
  return made;
}
// Says at a button what came of it.
export function notice(at, message) {
  const holder = at.closest('.acts-row') ?? at;
  let place = holder.nextElementSibling;
  if (!place?.classList.contains('outcome')) {
    place = h('p', { class: 'outcome', role: 'alert' });
    holder.after(place);
  }
  put(place, message);
}
// A later answer to an earlier question is dropped: slow(f, ms) runs the last f only, and f gets a
// function that tells whether it still is the last.
export function slow(ms) {
  let timer, n = 0;
  return (f) => {
    const mine = ++n;
    clearTimeout(timer);
    timer = setTimeout(() => f(() => mine === n), ms);
  };
}

// Asks for messages when nothing was typed for a while; without the network what was shown stays.
export function checkSoon(check, show) {
  const wait = slow(300);
  return () =>
    wait(async (isLast) => {
      try {
        const messages = await check();
        if (isLast()) show(messages);
      } catch (e) {
        if (!(e instanceof Gone)) throw e;
      }
    });
}
// The folds of `place` by what is written on them and on those around them. One whose heading has an id is
// remembered by who made it.
function folds(place) {
  const nameOf = (d) => d.firstElementChild.id || d.firstElementChild.getAttribute('aria-label') || d.firstElementChild.textContent;
  const whole = (d) => (d ? `${whole(d.parentElement.closest('details'))}\n${nameOf(d)}` : '');
  return new Map([...place.querySelectorAll('details')].filter((d) => !d.firstElementChild.id).map((d) => [whole(d), d]));
}
// Redraws what is inside `place`: what was open stays open, and the focus goes back on what has the same id.
export function redraw(place, make, focus) {
  const id = focus ?? (place.contains(document.activeElement) ? document.activeElement.id : null);
  const open = [...folds(place)].filter(([, d]) => d.open).map(([name]) => name);
  place.replaceChildren(...[make()].flat(3).filter(Boolean));
  const now = folds(place);
  for (const name of open) if (now.has(name)) now.get(name).open = true;
  if (id) document.getElementById(id)?.focus();
}
// "Winter supper" -> "winter-supper.json"
export const fileName = (name, fallback) =>
  `${(name ?? '').normalize('NFKD').toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-+|-+$/g, '').slice(0, 60) || fallback}.json`;
// A step's name in the file, to be typed by hand: the first words of "Chill until it is firm" that say
// something, "chill-firm"; where that is taken with more of them, and only then with a number.
const empty = new Set(('a an and are as at be been before by for from has have in into is it its let of off on onto or out over so than that the their them then there these '
  + 'they this to until up very when which while will with your you about after again all another any both each every few more most other some still').split(' '));
export const id = (name, taken) => {
  const said = (name ?? '').normalize('NFKD').toLowerCase().replace(/[\u0300-\u036f’']/g, '').split(/[^a-z0-9]+/).filter((w) => /[a-z]/.test(w));
  const full = said.filter((w) => !empty.has(w) && w.length > 1);
  const of = full.length ? full : said;
  for (let n = 2; n <= Math.max(2, of.length) && n <= 4; n++) {
    const made = of.slice(0, n).join('-') || 'step';
    if (!taken.includes(made)) return made;
  }
  const base = of.slice(0, 2).join('-') || 'step';
  let n = 2;
  while (taken.includes(`${base}-${n}`)) n++;
  return `${base}-${n}`;
};
export const messagesList = (messages) => messages.length
  ? h('ul', { class: 'problems' }, messages.map((m) => h('li', {}, m.file && m.line ? h('span', { class: 'soft' }, say('atLine', { file: m.file, line: m.line }), ' ') : null, text(m))))
  : null;

// Names in other directions of writing, and signs that turn the direction: a name says nothing about the
// words around it.

// Signs that change the direction of what follows, as words that can be seen: ‹U+202E›.
const seen = (c) => `‹U+${c.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}›`;
// For every text of the page. The isolates that `isolated` puts in stay, and so do marks (U+200E, U+200F),
// which turn nothing and are rightly in such names.
export const visible = (text) => String(text ?? '').replace(/[\u202A-\u202E\u2066\u2067]/g, seen);

const turns = /[\u0590-\u08FF\uFB1D-\uFDFF\uFE70-\uFEFF\u061C\u200E\u200F\u202A-\u202E\u2066-\u2069]|[\u{10800}-\u{10FFF}\u{1E800}-\u{1EFFF}]/u;
// As a part of a sentence (UAX 9: first strong isolate, pop directional isolate).
export function isolated(value) {
  if (typeof value !== 'string' || !turns.test(value)) return value;
  let deep = 0, least = 0;
  for (const c of value) {
    if (c === '\u2068') deep++;
    if (c === '\u2069') least = Math.min(least, --deep);
  }
  // What does not close by itself would reach beyond the name.
  return `\u2068${visible(deep || least ? value.replace(/[\u2068\u2069]/g, seen) : value)}\u2069`;
}
// What there is of `parts`, in a line.
export const inLine = (parts) => parts.filter(Boolean).map(isolated).join(' · ');

// Ticks on their way to the server. Each has an id and the time at which it was made, and stays here
// until the server has it: sent twice, it counts once.
import { instant } from './moment.js';
import { Gone, hear, now, store, stored, tell } from './net.js';

const place = 'bakeset outbox';
let waiting = load();
let sending = false;
const ears = new Set();

function load() {
  try {
    const read = JSON.parse(stored(place) ?? '[]');
    return Array.isArray(read) ? read.map((t) => ({ ...t, out: false })) : [];
  } catch {
    return [];
  }
}
function keep() {
  store(place, waiting.length ? JSON.stringify(waiting) : null);
}
export const ticksOf = (path) => waiting.filter((t) => t.path === path);

// f({answer}) when the server has taken a tick, f({refused, tick}) when it said no, f({}) when one waits.
export function onTick(f) {
  ears.add(f);
  return () => ears.delete(f);
}
const shout = (what) => [...ears].forEach((f) => f(what));

// Of 16 random bytes: crypto.randomUUID is there over https only.
const newId = () => [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, '0')).join('');
// A second and a half back: a tick is never in the future of a clock that differs by a little.
const minuteOf = (ms) => instant(ms - 1500);

export function tick(path, words) {
  waiting.push({ id: newId(), path, words, at: minuteOf(now()) });
  keep();
  shout({});
  return send();
}
// Takes back the last that still waits; false when none does.
export function takeBack(path) {
  const i = waiting.findLastIndex((t) => t.path === path && !t.out);
  if (i < 0) return false;
  waiting.splice(i, 1);
  keep();
  shout({});
  return true;
}
export async function send() {
  if (sending) return;
  sending = true;
  try {
    while (waiting.length) {
      const tick_ = waiting[0];
      tick_.out = true;
      let answer, refused;
      try {
        // What is told at once happened when the server hears of it: said to be of the minute before, it
        // would already have kept what is to follow at once waiting.
        const late = tick_.tried || Math.abs(now() - Date.parse(tick_.at)) > 65000;
        tick_.tried = true;
        keep();
        answer = await tell(tick_.path, tick_.words, late ? tick_.at : undefined, tick_.id);
      } catch (e) {
        tick_.out = false;
        // Too busy, no key, no network: later. Anything else will not get better.
        if (e instanceof Gone || [401, 403, 429].includes(e.status) || e.status >= 500) {
          setTimeout(send, 5000);
          break;
        }
        refused = e;
      }
      waiting = waiting.filter((t) => t.id !== tick_.id);
      keep();
      shout(refused ? { refused, tick: tick_ } : { answer });
    }
  } finally {
    sending = false;
  }
}
hear('there', send);

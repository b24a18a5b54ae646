// What is asked of the server, and what it tells by itself.
import { words } from './words.js';

// The server said no: `status`, `error` {code, what, mend}, `body`.
export class Refused extends Error {
  constructor(status, body) {
    const error = body?.error ?? {};
    super([error.what ?? words.refused, error.mend].filter(Boolean).join('; '));
    this.status = status;
    this.body = body;
    this.error = error;
  }
}
// No answer came: no network, or no server.
export class Gone extends Error {}

// The server's clock, less this one's, in milliseconds: all phones count by one clock.
let ahead = Number(stored('bakeset ahead')) || 0;
export const now = () => Date.now() + ahead;

// A browser may refuse to keep anything: then nothing is kept, and all else works.
export function stored(name) {
  try {
    return localStorage.getItem(name);
  } catch {
    return null;
  }
}
export function store(name, value) {
  try {
    if (value === null) localStorage.removeItem(name);
    else localStorage.setItem(name, value);
    return true;
  } catch {
    return false;
  }
}

export async function ask(method, path, body, patience = 15000) {
  let answer, told;
  const asked = Date.now();
  try {
    answer = await fetch(path, {
      method,
      headers: method === 'GET' ? {} : { 'Content-Type': 'application/json' },
      body: method === 'GET' ? undefined : JSON.stringify(body ?? {}),
      signal: AbortSignal.timeout(patience),
    });
    told = await answer.json().catch(() => null);
  } catch (e) {
    turned(false);
    listenSoon();
    throw new Gone(e.message);
  }
  const date = Date.parse(answer.headers.get('Date'));
  const took = Date.now() - asked;
  // The header has whole seconds, so the middle of one; a clock that is right is left alone.
  if (date && took < 2000) {
    const is = date + 500 - Date.now() + took / 2;
    if (Math.abs(is - ahead) > 1500) {
      ahead = Math.abs(is) < 1500 ? 0 : is;
      store('bakeset ahead', String(Math.round(ahead)));
    }
  }
  if (answer.status === 401) shout('keyless');
  if (!answer.ok) throw new Refused(answer.status, told);
  return told;
}
const at = (path) => encodeURIComponent(path);
export const folder = () => ask('GET', '/api/folder');
export const file = (path) => ask('GET', `/api/file?path=${at(path)}`);
export const put = (path, text, version) => ask('PUT', `/api/file?path=${at(path)}`, { text, version });
export const patch = (path, version, ops) => ask('PATCH', `/api/file?path=${at(path)}`, { version, patch: ops });
export const change = (files) => ask('POST', '/api/change', { files });
export const undo = (id) => ask('POST', '/api/undo', { id });
export const check = (path, text) => ask('POST', '/api/check', { path, text });
export const plan = (path, text, effort) => ask('POST', '/api/plan', { path, text, effort }, 60000);
export const search = (path, text) => ask('POST', '/api/search', { path, text });
export const giveUp = (id) => ask('DELETE', `/api/search?id=${at(id)}`);
export const takeIn = (name, text) => ask('POST', '/api/take-in', { name, text });
export const day = (path) => ask('GET', `/api/day?path=${at(path)}`);
export const tell = (path, what, when, id) => ask('POST', '/api/day', { path, words: what, at: when, id });
export const publish = (path, login) => ask('POST', '/api/publish', login ? { path, login } : { path }, 60000);

// ------------------------------------------------------------- what it tells
// hear('day', f) calls f with each event of that kind; 'there' and 'gone' tell of the connection,
// 'keyless' that this phone is not, or no longer, let in.
const ears = new Map();
let source = null;
let there = null;
export function hear(kind, listener) {
  if (!ears.has(kind)) ears.set(kind, new Set());
  ears.get(kind).add(listener);
  return () => ears.get(kind).delete(listener);
}
export const isThere = () => there !== false;
function shout(kind, told) {
  for (const listener of [...(ears.get(kind) ?? [])]) listener(told);
}
function turned(to) {
  if (there === to) return;
  there = to;
  shout(to ? 'there' : 'gone');
}
// A connection that no longer leads anywhere may look open for long: it is made anew.
let soon = null;
function listenSoon() {
  soon ??= setTimeout(listen, 2000);
}
export function listen() {
  clearTimeout(soon);
  soon = null;
  source?.close();
  source = new EventSource('/api/events');
  source.onopen = () => turned(true);
  source.onerror = () => {
    turned(false);
    // A browser gives up for good after some answers: then this begins anew.
    if (source.readyState === EventSource.CLOSED) listenSoon();
  };
  for (const kind of ['file', 'folder', 'day', 'search'])
    source.addEventListener(kind, (e) => {
      let told = null;
      try {
        told = JSON.parse(e.data);
      } catch {
        return;
      }
      shout(kind, told);
    });
}
addEventListener('offline', () => turned(false));
addEventListener('online', () => listen());

// A timeline at one moment: what now, what runs, what next. No page, no clock: only numbers, so that
// a phone without the network goes on by itself, and tests can ask about any minute.

const minute = 60000;
// How long a moment that nobody confirms stays on top.
const fresh = 3 * minute;
const wondered = 15 * minute;

// The timeline's instants as milliseconds, once.
export function read(timeline) {
  const at = (text) => (text ? Date.parse(text) : null);
  return {
    zone: timeline.timezone,
    stages: (timeline.stages ?? []).map((s) => ({
      ...s,
      key: `${s.dish}/${s.stage}`,
      start: at(s.start),
      end: at(s.end),
      checks: (s.checks ?? []).map((c) => ({ ...c, start: at(c.start), end: at(c.end) })),
    })),
    ovens: (timeline.ovens ?? []).map((o) => ({ ...o, on: at(o.on), ready: at(o.ready), off: at(o.off) })),
    ready: at(timeline.ready),
    // Of a day under way: what is served when, who leaves, which ovens are hot.
    dishes: (timeline.day?.dishes ?? []).map((d) => ({ ...d, serve: at(d.serve) })),
    cooks: (timeline.day?.cooks ?? []).map((c) => ({ ...c, until: at(c.until) })),
    hot: timeline.day?.hot ?? [],
  };
}

// What was ticked here and has not reached the server yet, put on top of what it said last.
export function withTicks(read_, ticks) {
  const stages = read_.stages.map((s) => ({ ...s }));
  const dishes = read_.dishes.map((d) => ({ ...d })), cooks = read_.cooks.map((c) => ({ ...c })), hot = [...read_.hot];
  for (const { words, at } of ticks) {
    const [what, name, more] = words;
    const when = Date.parse(at);
    if (what === 'hot') hot.push({ oven: name });
    for (const c of cooks) if (what === 'cook' && c.cook === name) c.until = Date.parse(more);
    for (const d of dishes) {
      if (d.dish !== name) continue;
      if (what === 'served') Object.assign(d, { served: true, serve: when });
      if (what === 'out') d.out = true;
    }
    for (const s of stages) {
      if (what === 'served' && s.dish === name && !s.done) Object.assign(s, { done: true, begun: true, assumed: false, end: Math.min(s.end, when) });
      if (what === 'out' && s.dish === name && !s.done) s.left_out = s.done = true;
      if (s.key !== name) continue;
      if (what === 'done') Object.assign(s, { done: true, begun: true, assumed: false, end: Math.max(s.start, when), said: true });
      // It takes as long as it would have, from then on; what was said before stands.
      if (what === 'begun' && !(s.begun && s.assumed === false)) {
        const by = when - s.start;
        Object.assign(s, { begun: true, assumed: false, start: when, end: s.end + by, checks: s.checks.map((c) => ({ ...c, start: c.start + by, end: c.end + by })) });
      }
      if (what === 'skip') Object.assign(s, { left_out: true, done: true });
      if (what === 'longer') {
        const minutes = Number.parseInt(more, 10) || 0;
        Object.assign(s, { done: false, begun: true, assumed: false, end: Math.max(s.end, when) + minutes * minute });
      }
    }
  }
  return { ...read_, stages, dishes, cooks, hot };
}

// What an oven does to it nothing else does.
export const isHeated = (stage) => Boolean(stage?.oven) && stage.temperature_c !== null;
const isHot = (day, o) => day.hot.some((x) => x.oven === o.oven && [undefined, o.temperature_c].includes(x.temperature_c));
// Its oven is on its way by the plan, or not even on.
const isCold = (day, s, t) => s.oven !== null && day.ovens.some((o) => o.oven === s.oven && o.ready > t && o.ready <= s.start && !isHot(day, o));

// Dishes that are set on the table at the same time are one item: {dishes, ready: all of them are done}.
function serves(day, t) {
  const of = new Map();
  for (const d of day.dishes) {
    if (d.served || d.out) continue;
    if (!of.has(d.serve)) of.set(d.serve, { key: `serve ${d.serve}`, kind: 'serve', dishes: [], start: d.serve, until: null, ready: true });
    const item = of.get(d.serve);
    item.dishes.push(d.dish);
    item.ready &&= day.stages.every((s) => s.dish !== d.dish || s.done || s.left_out || s.end <= t);
  }
  return [...of.values()].map((item) => ({ ...item, key: `${item.key} ${item.dishes.join('/')}` }));
}

// {now, asked, runs, next, until, finished}: lists of items {key, kind, stage, do, dish, by, start, until};
// `until` is the moment to count down to, or null. Kinds of `now`: do, check, begin, oven, serve, and with
// `late` end; of `runs`: run, and heat, an oven on its way; `asked`: what is over by the plan, and nobody
// has said so.
export function moment(day, t) {
  const now = [], asked = [], runs = [], touches = [];
  const dropped = new Set(day.dishes.filter((d) => d.out).map((d) => d.dish));
  for (const s of day.stages) {
    if (s.left_out) continue;
    const item = (kind, more) => ({ key: `${kind} ${s.key}`, kind, stage: s, do: s.do, dish: s.dish, by: s.by, start: s.start, until: s.end, ...more });
    const said = s.begun && s.assumed === false;
    if (s.start > t) touches.push(item('start', { when: s.start, cold: isCold(day, s, t) }));
    if (s.attention !== 'hands' && isHeated(s) && s.end > t)
      touches.push(item('out', { when: s.end, key: `out ${s.key}` }));
    const over = s.end <= t;
    if (s.start <= t) {
      if (!over && !s.done) {
        if (s.attention === 'hands') now.push(item('do'));
        else {
          runs.push(item('run'));
          if (!said && t - s.start < fresh) now.push(item('begin'));
        }
      } else if (!s.done && said) {
        now.push(item(s.attention === 'hands' ? 'do' : 'end', { late: true }));
      } else if (over && !dropped.has(s.dish) && (s.assumed || !s.done) && s.assumed !== false && t - s.end < wondered) {
        asked.push(item('end'));
      }
    }
    for (const [i, c] of s.checks.entries()) {
      const check = item('check', { key: `check ${i} ${s.key}`, do: c.do, by: c.by, start: c.start, until: c.end > c.start ? c.end : null });
      if (c.start > t && !s.done) touches.push({ ...check, when: c.start });
      else if (!s.done && t < Math.max(c.end, c.start + fresh)) now.push(check);
    }
  }
  for (const [i, o] of day.ovens.entries()) {
    const item = { key: `oven ${i} ${o.oven} ${o.on}`, kind: 'oven', oven: o, start: o.on, until: o.ready };
    if (o.on > t) touches.push({ ...item, when: o.on });
    else if (o.ready > t && !isHot(day, o)) {
      runs.push({ ...item, key: `heat ${item.key}`, kind: 'heat' });
      if (t - o.on < fresh) now.push(item);
    }
  }
  const cooked = touches.length === 0 && runs.length === 0 && now.length === 0;
  for (const item of serves(day, t)) {
    if (item.start > t) touches.push({ ...item, when: item.start });
    else if (t - item.start < fresh) now.push(item);
    else if (item.ready && t - item.start < wondered) asked.push({ ...item, until: item.start });
  }
  const rank = { do: 0, check: 1, serve: 2, begin: 3, oven: 4, end: 5 };
  now.sort((a, b) => (a.late ? 1 : 0) - (b.late ? 1 : 0) || rank[a.kind] - rank[b.kind] || a.start - b.start);
  asked.sort((a, b) => b.until - a.until || (a.key < b.key ? -1 : 1));
  runs.sort((a, b) => a.until - b.until || (a.key < b.key ? -1 : 1));
  touches.sort((a, b) => a.when - b.when || (a.key < b.key ? -1 : 1));
  const first = now.find((i) => ['do', 'check'].includes(i.kind) && i.until > t);
  const until = first ? first.until : (touches[0]?.when ?? null);
  return {
    now, asked, runs, next: touches.slice(0, 4), until, counts: first ? 'left' : 'next',
    finished: cooked,
  };
}

// "12 min 30 s" under an hour, "2 h 5 min" above it: a length that can't be taken for an hour of the day.
export function left(ms, units) {
  const seconds = Math.max(0, Math.ceil(ms / 1000));
  if (seconds >= 3600) return length(Math.ceil(seconds / 60), units);
  const s = `${seconds % 60}\u00a0${units.s}`;
  return seconds < 60 ? s : `${length(Math.floor(seconds / 60), units)} ${s}`;
}
export function length(minutes, units) {
  const d = Math.floor(minutes / 1440), hours = Math.floor((minutes % 1440) / 60), rest = minutes % 60;
  return [d && `${d}\u00a0${units.d}`, hours && `${hours}\u00a0${units.h}`, (rest || !minutes) && !d && `${rest}\u00a0${units.min}`]
    .filter(Boolean).join(' ');
}

// Writes instants as the plan's zone has them.
export function clockOf(zone) {
  let parts;
  try {
    parts = (given) => new Intl.DateTimeFormat('en-GB', { timeZone: zone, hourCycle: 'h23', ...given });
    parts({});
  } catch {
    parts = (given) => new Intl.DateTimeFormat('en-GB', { hourCycle: 'h23', ...given });
  }
  const time = parts({ hour: '2-digit', minute: '2-digit' });
  const date = parts({ weekday: 'short', day: 'numeric', month: 'short' });
  return {
    time: (ms) => time.format(ms),
    day: (ms) => date.format(ms),
    // As a plan writes it: "2026-12-04 19:30".
    wall: (ms) => parts({ year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit' }).format(ms).replace(/^(\d\d)\/(\d\d)\/(\d{4}), /, '$3-$2-$1 '),
    // With its day where that is another than today's.
    near: (ms, today) => (date.format(ms) === date.format(today) ? time.format(ms) : `${date.format(ms)} ${time.format(ms)}`),
  };
}

// "2026-12-04 19:30" in words; what is no such instant stays as it was written.
export function when(serve) {
  const m = /^(\d{4})-(\d\d)-(\d\d)[ T](\d\d:\d\d)/.exec(serve ?? '');
  if (!m) return serve ?? '';
  const day = new Date(Date.UTC(m[1], m[2] - 1, m[3]));
  return `${new Intl.DateTimeFormat('en-GB', { weekday: 'short', day: 'numeric', month: 'short', timeZone: 'UTC' }).format(day)}, ${m[4]}`;
}
// The other way, by this machine's own zone: "2026-12-04 19:30".
export function wallTime(ms) {
  const d = new Date(ms), two = (n) => String(n).padStart(2, '0');
  return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())} ${two(d.getHours())}:${two(d.getMinutes())}`;
}
// An instant as the journal of a day takes it.
export const instant = (ms) => `${new Date(ms).toISOString().slice(0, 16)}Z`;

// The evening: what now. It counts by itself from the timeline that came last; the server plans anew.
import { awake as awakeFor, bell, ring } from './aids.js';
import { announce, h, keyed, put } from './dom.js';
import { household } from './household.js';
import { doing, rows } from './item.js';
import { Gone, day as askDay, hear, isThere, now, store, stored } from './net.js';
import { clockOf, left, moment, read, withTicks } from './moment.js';
import { onTick, takeBack, tick, ticksOf } from './outbox.js';
import { say, spoken, words } from './words.js';

const units = words.units;
// So long after the first step nobody has said that it began.
const unsaid = 3 * 60000;
// What was not made, where that was said; '' where nothing was left out.
function leftOut(day) {
  const dropped = day.dishes.filter((d) => d.out).map((d) => d.dish);
  const skipped = day.stages.filter((s) => s.left_out && !dropped.includes(s.dish)).map((s) => s.do);
  const list = (all) => (all.length > 1 ? say('listed', { first: all.slice(0, -1).join(', '), last: all.at(-1) }) : all[0]);
  const parts = [dropped.length && say(dropped.length > 1 ? 'areDropped' : 'isDropped', { what: list(dropped) }), skipped.length && say('isLeftOut', { what: skipped.join('; ') })].filter(Boolean);
  return parts.length ? [...parts, day.stages.some((s) => s.done && !s.left_out && !dropped.includes(s.dish)) ? words.finished : words.nothingElse].join(' ') : '';
}
// A length of time with its numbers large and its units small, so that it does not look like a clock.
function tellSpan(place, text) {
  if (place.textContent === text) return;
  place.replaceChildren(...text.split(/(\d+\u00a0\S+)/).map((part) => {
    const [number, unit] = part.split('\u00a0');
    return unit ? h('span', {}, h('span', { class: 'number' }, number), `\u00a0${unit}`) : part;
  }));
}

export async function show(place, path) {
  const kept = `bakeset day ${path}`;
  let told, day, clock;
  let stopped = false;
  const rung = new Set();

  function take(answer) {
    told = answer;
    day = read(answer.timeline ?? {});
    clock = clockOf(day.zone);
    store(kept, JSON.stringify({ ...answer, text: undefined }));
  }
  const stepWords = () => new Map(day.stages.map((s) => [s.key, s.do]));
  async function refresh() {
    try {
      const answer = await askDay(path);
      if (stopped) return;
      take(answer);
      draw();
    } catch (e) {
      if (!(e instanceof Gone)) throw e;
    }
  }
  try {
    take(await askDay(path));
  } catch (e) {
    const old = stored(kept);
    if (!(e instanceof Gone) || !old) throw e;
    take(JSON.parse(old));
  }

  // ------------------------------------------------------------ what is there
  const head = h('h1', { tabindex: '-1' }, day ? told.timeline?.occasion ?? path : path);
  const wall = h('p', { class: 'wall' });
  const nowHead = h('h2', { id: 'h-now', tabindex: '-1', class: 'sight' }, words.now);
  const count = h('p', { class: 'countdown' });
  const countFor = h('p', { class: 'count-for' });
  const nowList = h('ul', { class: 'now' });
  const idle = h('p', { class: 'idle' });
  const end = h('button', { type: 'button', hidden: true, onclick: () => said(['finish']) }, words.endDay);
  const askedList = h('ul', { class: 'asked' });
  const runList = h('ul', { class: 'runs' });
  const nextList = h('ol', { class: 'next' });
  const changedList = h('ul', { class: 'changed' });
  const waits = h('p', { class: 'waits' });
  const notBegunHead = h('p', {});
  const notBegun = h('div', { class: 'outcome', hidden: true }, notBegunHead, h('p', {}, h('a', { href: `#/plan/${encodeURIComponent(path)}` }, words.notBegunLink)));
  const fault = h('p', { class: 'outcome', role: 'alert' });
  const asked = h('section', { 'aria-labelledby': 'h-asked' }, h('h2', { id: 'h-asked' }, words.asked), askedList);
  const runs = h('section', { 'aria-labelledby': 'h-runs' }, h('h2', { id: 'h-runs' }, words.runs), runList);
  const next = h('section', { 'aria-labelledby': 'h-next' }, h('h2', { id: 'h-next' }, words.next), nextList);
  const free = h('p', { class: 'free' });

  const cannot = (why) => put(fault, why);
  const awake = awakeFor(cannot);
  const house = household(path, (what) => said(what));
  const back = h('button', { type: 'button', onclick: () => {
    if (!takeBack(path)) said(['undo']);
  } }, words.takeBackLast);

  const stage = h('section', { class: 'stage', 'aria-labelledby': 'h-now' }, nowHead, nowList, idle, end, h('div', { class: 'clockwork' }, count, countFor));
  const changed = h('section', { 'aria-labelledby': 'h-changed' }, h('h2', { id: 'h-changed' }, words.changed), changedList, h('p', {}, back));

  place.append(
    h('div', { class: 'top' }, head, wall),
    notBegun, stage, fault, waits, changed, asked, runs, next, free,
    h('section', { class: 'aids', 'aria-labelledby': 'h-aids' }, h('h2', { id: 'h-aids', class: 'sight' }, words.aids),
      h('div', { class: 'acts-row' }, house.buttons, bell(cannot), awake.button)));

  // ------------------------------------------------------------------- ticks
  function said(...whats) {
    put(fault, '');
    if (['done', 'served'].includes(whats[0][0])) navigator.vibrate?.(15);
    for (const what of whats) tick(path, what);
  }
  const stopTicks = onTick((of) => {
    if (of.answer?.path === path) take(of.answer);
    if (of.refused && of.tick.path === path) {
      put(fault, spoken(of.refused.message, stepWords()));
      refresh().catch(() => {});
    }
    draw();
  });
  const row = rows(said);

  // -------------------------------------------------------------------- draw
  let was = '';
  let asksAt = 0;
  function draw() {
    if (stopped) return;
    const t = now();
    const pending = ticksOf(path);
    const told_ = withTicks(day, pending);
    const m = moment(told_, t);
    const focused = document.activeElement;
    const had = [nowList, askedList, runList, nextList].some((l) => l.contains(focused));
    put(wall, clock.time(t));
    house.draw(told_, clock, t);
    keyed(nowList, m.now, (i) => i.key, row.now.make, (e, i) => row.now.fill(e, i, t, clock));
    nowList.hidden = m.now.length === 0;
    const without = m.finished ? leftOut(told_) : '';
    // What nobody began is not done because its hours have gone by.
    const first = Math.min(...told_.stages.map((s) => s.start), ...told_.ovens.map((o) => o.on));
    notBegun.hidden = told.started || pending.length > 0 || first > t - unsaid;
    if (!notBegun.hidden) put(notBegunHead, say('notBegunHead', { when: clock.near(first, t) }));
    put(idle, m.now.length ? '' : without || (m.finished && notBegun.hidden ? words.finished : words.nothingNow));
    // The way back stands where one looks for it.
    if (back.parentElement.parentElement !== (without ? stage : changed)) (without ? idle : changedList).after(back.parentElement);
    idle.hidden = m.now.length > 0;
    end.hidden = !m.finished || !told.started || Boolean(told.timeline?.day?.finished) || pending.length > 0;
    tellSpan(count, !m.until ? '' : m.counts === 'left' ? left(m.until - t, units) : say('in', { time: left(m.until - t, units) }));
    put(countFor, !m.until ? '' : m.counts === 'left' ? words.isLeft : say('untilNext', { time: clock.near(m.until, t), what: m.next[0] ? doing(m.next[0]) : '' }));
    keyed(askedList, m.asked, (i) => i.key, row.now.make, (e, i) => row.now.fill(e, i, t, clock));
    asked.hidden = m.asked.length === 0;
    keyed(runList, m.runs, (i) => i.key, row.run.make, (e, i) => row.run.fill(e, i, t, clock));
    runs.hidden = m.runs.length === 0;
    const firstStart = m.next.find((i) => i.kind === 'start');
    keyed(nextList, m.next, (i) => i.key, row.next.make, (e, i) => row.next.fill(e, i, t, clock, i === firstStart));
    next.hidden = m.next.length === 0;
    const lines = (told.said?.changed ?? []).slice(0, 3).map((line) => spoken(line, stepWords()));
    keyed(changedList, lines.map((line, i) => ({ line, i })), (l) => `${l.i} ${l.line}`, (l) => h('li', {}, l.line));
    changed.firstChild.classList.toggle('sight', lines.length === 0);
    changed.hidden = !told.started && !pending.length;
    put(waits, pending.length && !isThere() ? say(pending.length === 1 ? 'oneWaits' : 'manyWait', { count: pending.length }) : '');
    waits.hidden = !waits.textContent;
    put(free, told.said?.hands_free ? say('handsFree', { when: told.said.hands_free }) : '');
    free.hidden = !free.textContent;
    if (had && !document.contains(focused)) nowHead.focus();

    const is = m.now.map((i) => i.key).join('\n');
    if (was !== is) {
      // Only what comes while the page is open rings, and each moment once.
      const came = m.now.filter((i) => !rung.has(i.key) && !was.split('\n').includes(i.key));
      came.forEach((i) => rung.add(i.key));
      if (was !== '' || drawn) {
        if (came.length) {
          ring();
          announce(say('nowIs', { what: came.map(doing).join('; ') }));
        }
      }
      was = is;
    }
    drawn = true;
    // At each touch, and once a minute, the server's word is asked for: what nobody ticked goes on there.
    const due = m.next[0]?.when ?? Infinity;
    if (t >= asksAt) {
      if (asksAt && isThere()) refresh().catch(() => {});
      asksAt = Math.min(due + 1500, t + 60000);
    }
  }
  let drawn = false;
  draw();
  const timer = setInterval(draw, 1000);
  const stops = [
    hear('day', (of) => {
      // The same journal may have been planned anew: a file has changed, or the minute.
      if (of?.path === path && (of.version !== told.version || of.made !== told.made)) refresh().catch(() => {});
    }),
    hear('file', () => refresh().catch(() => {})),
    hear('there', () => refresh().catch(() => {})),
    hear('gone', draw),
    stopTicks,
  ];
  const seen = () => {
    if (document.visibilityState !== 'visible') return;
    awake.again();
    draw();
  };
  document.addEventListener('visibilitychange', seen);
  return { title: head.textContent, path, stop: () => {
    stopped = true;
    clearInterval(timer);
    stops.forEach((s) => s());
    document.removeEventListener('visibilitychange', seen);
    awake.stop();
  } };
}

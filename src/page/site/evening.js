// The evening: what now. It counts by itself from the timeline that came last; the server plans anew.
import { announce, h, keyed, put } from './dom.js';
import { Gone, day as askDay, hear, isThere, now, store, stored } from './net.js';
import { clockOf, left, length, moment, read, withTicks } from './moment.js';
import { onTick, takeBack, tick, ticksOf } from './outbox.js';
import { degrees, say, turnOven, words } from './words.js';

const units = words.units;

// ----------------------------------------------------------------- the bell
// A browser makes no sound before somebody has pressed something: the cook asks for the bell.
let sound = null;
function ring(times = 2) {
  if (!sound) return;
  sound.resume();
  for (let n = 0; n < times; n++)
    for (const [pitch, loud] of [[880, 0.5], [1318.5, 0.25], [2637, 0.12]]) {
      const tone = sound.createOscillator(), size = sound.createGain();
      const at = sound.currentTime + n * 0.7;
      tone.frequency.value = pitch;
      size.gain.setValueAtTime(0.0001, at);
      size.gain.exponentialRampToValueAtTime(loud, at + 0.01);
      size.gain.exponentialRampToValueAtTime(0.0001, at + 1.2);
      tone.connect(size).connect(sound.destination);
      tone.start(at);
      tone.stop(at + 1.3);
    }
}

export async function show(place, path) {
  const kept = `bakeset day ${path}`;
  let told, day, clock;
  let stopped = false;
  let lock = null, wantsLock = false;
  let refused = '';
  let openKey = null; // of the item whose further answers are shown
  const rung = new Set();

  function take(answer) {
    told = answer;
    day = read(answer.timeline ?? {});
    clock = clockOf(day.zone);
    store(kept, JSON.stringify({ ...answer, text: undefined }));
  }
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
  const fault = h('p', { class: 'outcome', role: 'alert' });
  const asked = h('section', { 'aria-labelledby': 'h-asked' }, h('h2', { id: 'h-asked' }, words.asked), askedList);
  const runs = h('section', { 'aria-labelledby': 'h-runs' }, h('h2', { id: 'h-runs' }, words.runs), runList);
  const next = h('section', { 'aria-labelledby': 'h-next' }, h('h2', { id: 'h-next' }, words.next), nextList);
  const changed = h('section', { 'aria-labelledby': 'h-changed' }, h('h2', { id: 'h-changed' }, words.changed), changedList);
  const free = h('p', { class: 'free' });

  const toggle = (label, act) => {
    const made = h('button', { type: 'button', 'aria-pressed': 'false', onclick: () => act(made) }, label);
    return made;
  };
  const bell = toggle(words.bell, (made) => {
    if (sound) {
      sound.close();
      sound = null;
    } else {
      try {
        sound = new AudioContext();
        ring(1);
      } catch {
        sound = null;
        put(fault, words.noBell);
      }
    }
    made.setAttribute('aria-pressed', String(Boolean(sound)));
  });
  bell.setAttribute('aria-pressed', String(Boolean(sound)));
  const awake = toggle(words.awake, async (made) => {
    if (!('wakeLock' in navigator)) {
      put(fault, words.noAwake);
      return;
    }
    wantsLock = !wantsLock;
    if (!wantsLock) await lock?.release();
    else await holdScreen();
    made.setAttribute('aria-pressed', String(wantsLock));
  });
  async function holdScreen() {
    if (!wantsLock || document.visibilityState !== 'visible') return;
    try {
      lock = await navigator.wakeLock.request('screen');
    } catch {
      wantsLock = false;
      awake.setAttribute('aria-pressed', 'false');
      put(fault, words.noAwake);
    }
  }
  const lateChoices = h('div', { class: 'choices', id: 'late-choices', hidden: true, role: 'group', 'aria-label': words.late },
    [10, 20, 30, 60].map((m) => h('button', { type: 'button', onclick: () => {
      lateChoices.hidden = true;
      late.setAttribute('aria-expanded', 'false');
      late.focus();
      said(['later', `+${m} min`]);
    } }, say('plusMinutes', { minutes: m }))));
  const late = h('button', { type: 'button', 'aria-expanded': 'false', 'aria-controls': 'late-choices', onclick: () => {
    lateChoices.hidden = !lateChoices.hidden;
    late.setAttribute('aria-expanded', String(!lateChoices.hidden));
    if (!lateChoices.hidden) lateChoices.firstChild.focus();
  } }, words.late);
  const back = h('button', { type: 'button', onclick: () => {
    if (!takeBack(path)) said(['undo']);
  } }, words.takeBackLast);

  place.append(
    h('div', { class: 'top' }, head, wall),
    h('section', { class: 'stage', 'aria-labelledby': 'h-now' }, nowHead, nowList, idle, end, h('div', { class: 'clockwork' }, count, countFor)),
    fault, waits, changed, asked, runs, next, free,
    h('section', { class: 'aids', 'aria-labelledby': 'h-aids' }, h('h2', { id: 'h-aids', class: 'sight' }, words.aids),
      h('div', { class: 'acts-row' }, late, bell, awake, back), lateChoices));

  // ------------------------------------------------------------------- ticks
  function said(what) {
    put(fault, '');
    refused = '';
    if (what[0] === 'done') navigator.vibrate?.(15);
    tick(path, what);
  }
  const stopTicks = onTick((of) => {
    if (of.answer?.path === path) take(of.answer);
    if (of.refused && of.tick.path === path) {
      refused = of.refused.message;
      put(fault, refused);
      refresh().catch(() => {});
    }
    draw();
  });

  // Buttons of one item; `more` opens what else can be said of it.
  function answers(item) {
    const s = item.stage;
    if (!s) return null;
    const name = `${s.dish}/${s.stage}`;
    const aloud = (what) => say('of', { what, name: item.do });
    const close = () => {
      openKey = null;
      draw();
    };
    const press = (label, what, more) => h('button', { type: 'button', 'aria-label': aloud(label), ...more, onclick: () => {
      openKey = null;
      said(what);
    } }, label);
    const rest = h('div', { class: 'choices', hidden: true, role: 'group', 'aria-label': aloud(words.more),
      onkeydown: (e) => {
        if (e.key === 'Escape') {
          close();
          more.focus();
        }
      } },
    [5, 10, 20].map((m) => press(say('longerBy', { minutes: m }), ['longer', name, `${m} min`])),
    press(words.leaveOut, ['skip', name]),
    press(say('leaveOutDish', { dish: s.dish }), ['out', s.dish]));
    const more = h('button', { type: 'button', 'aria-label': aloud(words.more), 'aria-expanded': 'false', class: 'more', onclick: () => {
      openKey = openKey === item.key ? null : item.key;
      draw();
      if (openKey) rest.querySelector('button').focus();
    } }, words.more);
    const first = item.kind === 'begin' ? press(words.begun, ['begun', name], { class: 'main' })
      : item.kind === 'check' ? null : press(words.done, ['done', name], { class: item.kind === 'do' || item.late ? 'main' : null });
    const row = h('div', { class: 'answers' }, h('div', { class: 'acts-row' }, first, more), rest);
    row.openTo = (open) => {
      rest.hidden = !open;
      more.setAttribute('aria-expanded', String(open));
    };
    return row;
  }
  const who = (item) => (item.by?.length ? item.by.join(', ') : '');
  const doing = (item) => (item.kind === 'oven' ? turnOven(item.oven)
    : item.kind === 'out' ? say('outOf', { what: item.do })
        : item.do);
  const makeItem = (item) => {
    const made = h('li', { class: `item ${item.kind}` },
      h('p', { class: 'word' }), h('p', { class: 'what' }), h('p', { class: 'about' }), h('p', { class: 'caution' }));
    const row = answers(item);
    if (row) made.append(row);
    made.parts = { word: made.children[0], what: made.children[1], about: made.children[2], caution: made.children[3], row };
    return made;
  };
  const fillItem = (made, item, t) => {
    const { word, what, about, caution, row } = made.parts;
    const s = item.stage;
    put(word, words.kinds[item.late ? 'late' : item.kind] ?? '');
    word.hidden = !word.textContent;
    put(what, doing(item));
    const until = !item.until ? '' : say(item.kind === 'end' || item.late ? 'shouldBe' : item.kind === 'oven' ? 'hotBy' : 'until', { time: clock.near(item.until, t) });
    const heat = s && s.oven && item.kind !== 'end' && s.temperature_c !== null ? degrees(s) : '';
    put(about, [item.dish, heat, who(item), until].filter(Boolean).join(' · '));
    const warn = ['do', 'begin'].includes(item.kind) ? s?.caution ?? '' : '';
    put(caution, warn);
    caution.hidden = !warn;
    row?.openTo(openKey === item.key);
  };

  // -------------------------------------------------------------------- draw
  let was = '';
  let asksAt = 0;
  function draw() {
    if (stopped) return;
    const t = now();
    const pending = ticksOf(path);
    const m = moment(withTicks(day, pending), t);
    const focused = document.activeElement;
    const had = [nowList, askedList, runList, nextList].some((l) => l.contains(focused));
    put(wall, clock.time(t));
    keyed(nowList, m.now, (i) => i.key, makeItem, (e, i) => fillItem(e, i, t));
    nowList.hidden = m.now.length === 0;
    put(idle, m.now.length ? '' : m.finished ? words.finished : words.nothingNow);
    idle.hidden = m.now.length > 0;
    end.hidden = !m.finished || !told.started || Boolean(told.timeline?.day?.finished) || pending.length > 0;
    put(count, m.until ? left(m.until - t, units) : '');
    put(countFor, !m.until ? '' : m.counts === 'left' ? words.isLeft : say('untilNext', { what: m.next[0] ? doing(m.next[0]) : '' }));
    keyed(askedList, m.asked, (i) => i.key, makeItem, (e, i) => fillItem(e, i, t));
    asked.hidden = m.asked.length === 0;
    keyed(runList, m.runs, (i) => i.key, (item) => {
      const made = h('li', { class: 'item run' }, h('p', { class: 'time' }), h('p', { class: 'what' }), h('p', { class: 'about' }), h('p', { class: 'bar', 'aria-hidden': 'true' }, h('span')));
      const row = answers(item);
      made.append(row);
      made.parts = { row };
      return made;
    }, (made, item) => {
      put(made.children[0], clock.near(item.until, t));
      put(made.children[1], item.do);
      put(made.children[2], [item.dish, item.stage.oven && item.stage.temperature_c !== null ? degrees(item.stage) : '', say('leftOf', { time: left(item.until - t, units) })].filter(Boolean).join(' · '));
      const part = Math.min(1, Math.max(0, (t - item.start) / Math.max(1, item.until - item.start)));
      made.children[3].firstChild.style.setProperty('--part', part.toFixed(3));
      made.parts.row.openTo(openKey === item.key);
    });
    runs.hidden = m.runs.length === 0;
    keyed(nextList, m.next, (i) => i.key, (item) => h('li', {}, h('time'), h('span', { class: 'what' }), h('span', { class: 'about' }),
      item.kind === 'start' && h('button', { type: 'button', 'aria-label': say('of', { what: words.beginNow, name: item.do }), onclick: () => said(['begun', `${item.stage.dish}/${item.stage.stage}`]) }, words.beginNow)), (made, item) => {
      put(made.children[0], clock.near(item.when, t));
      put(made.children[1], doing(item));
      // Early is for what is near; all buttons of an evening at once would be noise.
      const early = made.querySelector('button');
      if (early) early.hidden = item !== m.next.find((i) => i.kind === 'start') && item.when - t > 1200000;
      put(made.children[2], [item.dish, who(item), say('in', { time: length(Math.max(1, Math.ceil((item.when - t) / 60000)), units) })].filter(Boolean).join(' · '));
    });
    next.hidden = m.next.length === 0;
    const lines = (told.said?.changed ?? []).slice(0, 3);
    keyed(changedList, lines.map((line, i) => ({ line, i })), (l) => `${l.i} ${l.line}`, (l) => h('li', {}, l.line));
    changed.hidden = lines.length === 0;
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
      if (of?.path === path && of.version !== told.version) refresh().catch(() => {});
    }),
    hear('file', () => refresh().catch(() => {})),
    hear('there', () => refresh().catch(() => {})),
    hear('gone', draw),
    stopTicks,
  ];
  const seen = () => {
    if (document.visibilityState !== 'visible') return;
    holdScreen();
    draw();
  };
  document.addEventListener('visibilitychange', seen);
  return { title: head.textContent, path, stop: () => {
    stopped = true;
    clearInterval(timer);
    stops.forEach((s) => s());
    document.removeEventListener('visibilitychange', seen);
    wantsLock = false;
    lock?.release().catch(() => {});
  } };
}

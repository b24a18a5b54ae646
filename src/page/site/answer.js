// What a plan comes to: START BY, how sure that is, cautions, all steps; or why it can't be met.
import { inLine } from './bidi.js';
import { h, put } from './dom.js';
import { now } from './net.js';
import { clockOf, isHeated, length } from './moment.js';
import { remedies, whatHelps } from './remedies.js';
import { degrees, say, spoken, turnOven, words } from './words.js';

// The warnings about food safety (docs/food-safety.md: their codes begin so), and all others.
const isSafety = (w) => w.code.startsWith('safety-');
const cautionsOf = ({ warnings = [] }) => [warnings.filter(isSafety), warnings.filter((w) => !isSafety(w))];

const isMet = (t) => Boolean(t?.start) && !['impossible', 'unknown'].includes(t.status);

// `more`: what stands below how sure it is; mend(edits, words) makes a change that would help; `underWay`:
// the day has been begun, so that its first hours are past; serves(): when it is to be on the table, as the plan has it.
export function planAnswer(more, mend, underWay, serves) {
  const head = h('h2', { id: 'h-start', tabindex: '-1' }, words.startBy);
  const startBy = h('p', { class: 'start-by' });
  const sureness = h('p', { class: 'soft' });
  // The same beside what is pressed to keep it: in sight also where the answer itself is not.
  const brief = h('span', { class: 'brief', 'aria-hidden': 'true' });
  const past = h('p', { class: 'outcome', hidden: true }, underWay ? words.isPastUnderWay : words.isPast), late = h('div');
  const live = h('p', { class: 'sight', role: 'status' });
  const why = h('div', { class: 'why' });
  const steps = h('ol', { class: 'steps' });
  const stepsFold = h('details', { class: 'fold' }, h('summary', {}, words.allSteps), steps);
  // What the limits of food safety say stands open; the fold keeps the rest (allergens, portions).
  const grave = h('ul', { class: 'grave', 'aria-label': words.cautions });
  const cautions = h('ul', { class: 'cautions' });
  const cautionsFold = h('details', { class: 'fold' }, h('summary', {}, words.cautions), cautions);
  const section = h('section', { class: 'answer', 'aria-labelledby': 'h-start' }, past, late, head, startBy, sureness, grave, more, live, why, cautionsFold, stepsFold);
  // Once on one screen: beside the button only while the answer itself is out of sight.
  new IntersectionObserver((seen) => {
    brief.hidden = seen.at(-1).isIntersecting;
  }).observe(startBy);
  let clock = clockOf('UTC');
  let lead = 0; // so much before the first step an oven is to be turned on

  function tellStart(first) {
    put(startBy, `${clock.time(first)} `);
    startBy.append(h('span', { class: 'date' }, clock.day(first)));
  }
  function tellAloud() {
    const aloud = startBy.textContent && `${head.textContent} ${startBy.textContent}`;
    put(live, aloud);
    put(brief, head.textContent === words.startBy ? aloud : startBy.textContent);
  }
  function tellSteps(t, runs) {
    let day = '';
    const rows = [...runs.map((o) => ({ at: o.at, what: turnOven(o), about: '' })),
      ...t.stages.map((s) => ({ at: Date.parse(s.start), what: s.do,
        about: inLine([s.dish, isHeated(s) ? degrees(s) : '', s.by?.join(', '), length(s.planned_minutes, words.units)]) }))];
    steps.replaceChildren(...rows.sort((a, b) => a.at - b.at).map(({ at, what, about }) => {
      const is = clock.day(at);
      const made = h('li', {}, is !== day ? h('span', { class: 'date' }, is) : null, h('time', {}, clock.time(at)), h('span', { class: 'what' }, what), h('span', { class: 'about' }, about));
      day = is;
      return made;
    }));
  }
  return {
    section, brief, head, isMet,
    // A timeline, or none, and in words how far the search for it is; `steps`: the words of "dish/id",
    // for one that can't be met, which has no steps of its own. True when it should have been begun, and
    // nobody has: then what would help is to be told by tellLate.
    tell(t, state, steps = new Map()) {
      const met = isMet(t), impossible = t?.status === 'impossible';
      stepsFold.hidden = !met;
      const [open, folded] = met ? cautionsOf(t) : [[], []];
      grave.hidden = !open.length;
      cautionsFold.hidden = !folded.length;
      put(head, impossible ? words.asItStands : words.startBy);
      why.replaceChildren(...(impossible ? remedies(t, mend, steps) : []));
      if (met) {
        clock = clockOf(t.timezone);
        const runs = t.ovens.map((o) => ({ ...o, at: Date.parse(o.on) })), start = Date.parse(t.start);
        const first = Math.min(start, ...runs.map((o) => o.at));
        lead = start - first;
        past.hidden = first > now() || (Date.parse(t.ready) < now() && !serves().some((s) => s.replace('T', ' ') > clock.wall(now())));
        const isLate = !past.hidden && !underWay;
        if (!isLate) late.replaceChildren();
        tellStart(first);
        const busy = t.objective?.hands_on_serving_day_minutes;
        put(sureness, inLine([lead ? say('firstStep', { time: clock.time(start) }) : '', isLate ? '' : state, busy ? say('handsOn', { time: length(busy, words.units) }) : '']));
        tellSteps(t, runs);
        const own = new Map(t.stages.map((s) => [`${s.dish}/${s.stage}`, s.do]));
        grave.replaceChildren(...open.map((w) => h('li', { class: 'caution' }, h('strong', {}, words.caution), ' ', spoken(w.message, own))));
        cautions.replaceChildren(...folded.map((w) => h('li', {}, spoken(w.message, own))));
        put(cautionsFold.firstChild, say(open.length ? 'cautionsMore' : 'cautionsCount', { count: folded.length }));
      } else {
        past.hidden = true;
        late.replaceChildren();
        put(startBy, impossible ? words.impossible : '');
        put(sureness, impossible ? '' : state ?? '');
      }
      tellAloud();
      return met && !past.hidden && !underWay;
    },
    // The same plan, as it would be if nothing were begun before now.
    tellLate(t, steps) {
      const helps = t?.status === 'impossible' && whatHelps(t, mend, steps);
      late.replaceChildren(...(isMet(t) ? [h('p', {}, say('stillCan', { time: clock.near(Date.parse(t.start), now()) }))] : helps ? [h('h2', {}, words.whatHelps), helps] : []));
    },
    // On the way, before the whole timeline is there: when its first step is, and how late it may become
    // at the best (milliseconds; null: not known).
    tellOnTheWay(start, best) {
      tellStart(start - lead);
      put(sureness, best > start ? say('soFarAtBest', { time: clock.near(best - lead, start) }) : words.soFarGoesOn);
      tellAloud();
    },
    tellSureness: (state) => put(sureness, state),
  };
}

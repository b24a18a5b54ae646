// The rows of an evening: what is to be done, what goes on by itself, what comes; and what can be said
// of each: the answer that is wanted, and the others behind "Not as planned".
import { inLine } from './bidi.js';
import { h, opener, put } from './dom.js';
import { isHeated, left, length } from './moment.js';
import { degrees, ovenName, say, turnOven, words } from './words.js';

const units = words.units;
export const doing = (item) => (item.kind === 'oven' ? turnOven(item.oven)
  : item.kind === 'heat' ? say('heatsTo', { oven: ovenName(item.oven), degrees: degrees(item.oven) })
    : item.kind === 'out' ? say('outOf', { dish: item.dish, oven: ovenName(item.stage) })
      : item.kind === 'serve' ? say('onTable', { what: item.dishes.join(', ') })
        : item.do);
// What its buttons name it by.
const nameOf = (item) => (item.kind === 'serve' ? item.dishes.join(', ') : doing(item));
// A double tap is one press: the second of it would meet the next step's button, which comes to stand there.
const once = (act) => (e) => (e.detail > 1 ? undefined : act());
const who = (item) => (item.by?.length ? item.by.join(', ') : '');

// What may be said of a dish; each [what stands on the button, the whole of it, words, what is asked first].
const ofDish = (dish) => ({ of: dish, says: [
  [words.isOnTable, say('dishServed', { dish }), ['served', dish]],
  [say('plusMinutes', { minutes: 20 }), say('dishLater', { dish, minutes: 20 }), ['later', `${dish}=+20 min`]],
  [words.drop, say('dropDish', { dish }), ['out', dish]],
] });
// {first, main, more}: `first` [label, words...] is the answer that is wanted, `more` groups of others.
function answersOf(item) {
  const name = item.stage && `${item.stage.dish}/${item.stage.stage}`;
  switch (item.kind) {
  case 'oven':
  case 'heat':
    return { first: [words.isHot, ['hot', item.oven.oven]], more: [] };
  case 'serve':
    return { first: [words.isServed, ...item.dishes.map((d) => ['served', d])], main: true, more: item.dishes.map(ofDish) };
  default:
    return {
      first: item.kind === 'check' ? null : item.kind === 'begin' ? [words.begun, ['begun', name]] : [words.done, ['done', name]],
      main: item.kind === 'do' || item.kind === 'begin' || item.late,
      more: [{ of: words.longer, says: [5, 10, 20].map((m) => [length(m, units), say('longerBy', { minutes: m }), ['longer', name, `${m} min`]]) },
        { says: [[words.leaveOut, words.leaveOut, ['skip', name], isHeated(item.stage) && words.leaveOutSure]] }, ofDish(item.dish)],
    };
  }
}

// What may be said of what comes before its time, as `first` there. What goes into an oven that is not hot by the plan is
// not begun without a word on that.
function early(item) {
  if (item.kind === 'serve') return answersOf(item).first;
  if (item.kind !== 'start') return null;
  const begun = ['begun', `${item.stage.dish}/${item.stage.stage}`];
  return item.cold ? [words.hotBeginNow, ['hot', item.stage.oven], begun] : [words.beginNow, begun];
}

// said(...words) tells it. Each {make(item), fill(row, item, t, clock)}.
export function rows(said) {
  function answers(item) {
    const of = answersOf(item);
    const aloud = (what) => say('of', { what, name: nameOf(item) });
    const more = of.more.length ? opener(words.more, aloud(words.more)) : null;
    // `sure`: what is asked before it is told.
    const press = (label, whole, what, given, sure) => {
      const button = h('button', { type: 'button', 'aria-label': aloud(whole), ...given, onclick: once(() => {
        if (sure && button.textContent !== sure) {
          put(button, sure);
          button.setAttribute('aria-label', aloud(sure));
          return;
        }
        if (more && !more.panel.hidden) more.close();
        said(...what);
      }) }, label);
      return button;
    };
    more?.panel.append(...of.more.map((group) => h('div', { class: 'choices' }, group.of ? h('span', { class: 'soft' }, group.of) : null,
      group.says.map(([label, whole, what, sure]) => press(label, whole, [what], {}, sure)))));
    return h('div', { class: 'answers' }, h('div', { class: 'acts-row' },
      of.first && press(of.first[0], of.first[0], of.first.slice(1), { class: of.main ? 'main' : null }), more?.button), more?.panel);
  }
  const heatOf = (item) => (isHeated(item.stage) ? degrees(item.stage) : '');

  return {
    now: {
      make(item) {
        const parts = { word: h('p', { class: 'word' }), what: h('p', { class: 'what' }), about: h('p', { class: 'about' }), caution: h('p', { class: 'caution' }), answers: answers(item) };
        const made = h('li', { class: `item ${item.kind}` }, Object.values(parts));
        made.parts = parts;
        return made;
      },
      fill({ parts: { word, what, about, caution } }, item, t, clock) {
        put(word, words.kinds[item.late ? 'late' : item.kind] ?? '');
        word.hidden = !word.textContent;
        put(what, doing(item));
        const until = !item.until ? '' : say(item.kind === 'end' || item.late ? 'shouldBe' : item.kind === 'oven' ? 'hotBy' : 'until', { time: clock.near(item.until, t) });
        put(about, inLine([item.dish, item.kind === 'end' ? '' : heatOf(item), who(item), until]));
        const warn = ['do', 'begin'].includes(item.kind) ? item.stage.caution ?? '' : '';
        put(caution, warn);
        caution.hidden = !warn;
      },
    },
    run: {
      make(item) {
        const parts = { time: h('p', { class: 'time' }), what: h('p', { class: 'what' }), about: h('p', { class: 'about' }), bar: h('p', { class: 'bar', 'aria-hidden': 'true' }, h('span')), answers: answers(item) };
        const { time: when, ...rest } = parts;
        const made = h('li', { class: 'item run' }, when, h('div', { class: 'body' }, Object.values(rest)));
        made.parts = parts;
        return made;
      },
      fill({ parts: { time, what, about, bar } }, item, t, clock) {
        put(time, clock.near(item.until, t));
        put(what, doing(item));
        put(about, inLine([item.dish, heatOf(item), say('leftOf', { time: left(item.until - t, units) })]));
        const part = Math.min(1, Math.max(0, (t - item.start) / Math.max(1, item.until - item.start)));
        bar.firstChild.style.setProperty('--part', part.toFixed(3));
      },
    },
    next: {
      make(item) {
        const parts = { time: h('time'), what: h('p', { class: 'what' }), about: h('p', { class: 'about' }),
          early: early(item) && h('button', { type: 'button', onclick: once(() => said(...early(made.item).slice(1))) }) };
        const { time: when, ...rest } = parts;
        const made = h('li', {}, when, h('div', { class: 'body' }, Object.values(rest)));
        made.parts = parts;
        made.item = item;
        return made;
      },
      // Early is for what is near; all buttons of an evening at once would be noise.
      fill(made, item, t, clock, isFirst) {
        const { time, what, about, early: button } = made.parts;
        made.item = item;
        put(time, clock.near(item.when, t));
        put(what, doing(item));
        put(about, inLine([item.kind === 'out' ? '' : item.dish, who(item), say('in', { time: length(Math.max(1, Math.ceil((item.when - t) / 60000)), units) })]));
        if (!button) return;
        const [label] = early(item);
        put(button, label);
        button.setAttribute('aria-label', say('of', { what: label, name: nameOf(item) }));
        button.hidden = item.kind === 'serve' ? !item.ready : !isFirst && item.when - t > 1200000;
      },
    },
  };
}

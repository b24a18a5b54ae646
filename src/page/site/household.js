// What happens to the whole evening: the guests are late, a cook leaves, or stays after all.
import { h, keyed, opener, put } from './dom.js';
import { instant, length } from './moment.js';
import { now } from './net.js';
import { say, words } from './words.js';

const minute = 60000;
// Longer than any evening: what was said of a cook's leaving is off.
const always = 30 * 24 * 60 * minute;

// said(words) tells it. {buttons, draw(day, clock, t)}
export function household(path, said) {
  const late = opener(words.late);
  late.panel.append(h('div', { class: 'choices' }, [10, 20, 30, 60].map((m) => h('button', { type: 'button', onclick: () => {
    late.close();
    said(['later', `+${m} min`]);
  } }, say('plusMinutes', { minutes: m })))));

  const leaves = opener(words.whoLeaves);
  const list = h('ul', { class: 'rows' });
  leaves.panel.append(list, h('p', {}, h('a', { class: 'button', href: `#/plan/${encodeURIComponent(path)}` }, words.whoComes)));
  const press = (name, label, ms) => h('button', { type: 'button', 'aria-label': say('of', { what: label, name }), onclick: () => {
    leaves.close();
    said(['cook', name, instant(now() + ms)]);
  } }, label);
  const make = ({ cook }) => {
    const until = h('span', { class: 'soft' }), stays = press(cook, words.stays, always);
    const row = h('li', {}, h('p', {}, h('span', { class: 'what' }, cook), ' ', until), h('div', { class: 'choices' },
      press(cook, words.leavesNow, 0), [30, 60, 120].map((m) => press(cook, say('leavesIn', { time: length(m, words.units) }), m * minute)), stays));
    row.parts = { until, stays };
    return row;
  };
  return {
    // Each opens right under its button.
    buttons: [late.button, late.panel, leaves.button, leaves.panel],
    draw(day, clock, t) {
      keyed(list, day.cooks, (c) => c.cook, make, ({ parts }, c) => {
        const goes = c.until !== null && c.until < t + always / 2;
        put(parts.until, goes ? say(c.until > t ? 'leavesAt' : 'hasLeft', { time: clock.near(c.until, t) }) : '');
        parts.stays.hidden = !goes;
      });
    },
  };
}

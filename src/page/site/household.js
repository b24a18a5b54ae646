// What happens to the whole evening: the guests are late, a cook leaves, or stays after all.
import { h, keyed, put } from './dom.js';
import { length } from './moment.js';
import { now } from './net.js';
import { say, words } from './words.js';

const minute = 60000;
const instant = (ms) => `${new Date(ms).toISOString().slice(0, 16)}Z`;
// Longer than any evening: what was said of a cook's leaving is off.
const always = 30 * 24 * 60 * minute;

// A button that opens what belongs to it. {button, panel, close}
function opener(id, label) {
  const panel = h('div', { class: 'panel', id, hidden: true, role: 'group', 'aria-label': label });
  const open = (is) => {
    panel.hidden = !is;
    button.setAttribute('aria-expanded', String(is));
  };
  const button = h('button', { type: 'button', 'aria-expanded': 'false', 'aria-controls': id, onclick: () => {
    open(panel.hidden);
    if (!panel.hidden) panel.querySelector('button, a')?.focus();
  } }, label);
  panel.addEventListener('keydown', (e) => {
    if (e.key !== 'Escape') return;
    open(false);
    button.focus();
  });
  return { button, panel, close: () => {
    open(false);
    button.focus();
  } };
}

// said(words) tells it. {buttons, panels, draw(day, clock, t)}
export function household(path, said) {
  const late = opener('late-choices', words.late);
  late.panel.append(h('div', { class: 'choices' }, [10, 20, 30, 60].map((m) => h('button', { type: 'button', onclick: () => {
    late.close();
    said(['later', `+${m} min`]);
  } }, say('plusMinutes', { minutes: m })))));

  const leaves = opener('leave-choices', words.whoLeaves);
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
    buttons: [late.button, leaves.button],
    panels: [late.panel, leaves.panel],
    draw(day, clock, t) {
      keyed(list, day.cooks, (c) => c.cook, make, ({ parts }, c) => {
        const goes = c.until !== null && c.until < t + always / 2;
        put(parts.until, goes ? say(c.until > t ? 'leavesAt' : 'hasLeft', { time: clock.near(c.until, t) }) : '');
        parts.stays.hidden = !goes;
      });
    },
  };
}

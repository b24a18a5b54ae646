// The rows of one step of a recipe: what to do, by hand or by itself, how long, where, after what.
import { inLine } from './bidi.js';
import { h } from './dom.js';
import { afterRows } from './after.js';
import { coolingRows, usualCooling } from './cooling.js';
import { shownOn } from './temperatures.js';
import { whereRows } from './where.js';
import { say, words } from './words.js';

const kindOf = (s) => ('cooling' in s ? 'cooling' : 'passive' in s ? 'passive' : 'active');
// In one line: "by itself · 20 min · oven 220 C".
export const brief = (s, scale) => inLine([words.byWhoms[kindOf(s)], s.active ?? s.passive,
  [...Object.entries(s.uses ?? {}).map(([name, v]) => (v?.at ? `${name} ${shownOn(v.at, scale)}` : name)), ...Object.keys(s.holds ?? {})].join(', ')]);

// `recipe`: what recipe.js gives to all rows of one.
export function stepRows(recipe, s, i) {
  const { form, later, draw, settleId } = recipe;
  const at = `/stages/${i}`, kind = kindOf(s);
  const what = form.field(words.whatToDo, `${at}/do`, s.do, (text) => {
    s.do = text;
  }, { class: 'wide' });
  what.querySelector('input').addEventListener('change', () => {
    settleId(s);
    later();
  });
  const remark = (label, key) => form.field(label, `${at}/${key}`, s[key], (text) => {
    if (text) s[key] = text;
    else delete s[key];
  }, { class: 'wide' });
  // How much longer it takes by hand where the dish is made for more.
  const shares = Object.entries(words.growsBy).sort(([a], [b]) => a - b);
  if (s.grows !== undefined && !(s.grows in words.growsBy)) shares.push([String(s.grows), say('growsShare', { share: s.grows })]);
  const grows = kind !== 'active' && s.grows === undefined ? null : form.field(words.grows, `${at}/grows`, s.grows === undefined ? '' : String(s.grows), (text) => {
    if (text) s.grows = Number(text);
    else delete s.grows;
  }, { kind: 'choice', class: 'wide', choices: shares });
  return [
    what,
    h('div', { class: 'line' },
      form.field(words.byWhom, `${at}/kind`, kind, (text) => {
        const time = s.active ?? s.passive ?? '';
        for (const key of ['active', 'passive', 'cooling']) delete s[key];
        s[text] = text === 'cooling' ? usualCooling(recipe) : time;
        draw();
      }, { kind: 'choice', choices: Object.entries(words.byWhoms) }),
      kind === 'cooling' ? null : form.field(words.howLong, `${at}/${kind}`, s[kind], (text) => {
        s[kind] = text;
      }, { class: 'short', placeholder: '12-15 min', minutes: true })),
    kind === 'cooling' ? coolingRows(recipe, s, `${at}/cooling`, i) : null,
    h('fieldset', { class: 'bare' }, h('legend', {}, words.where), whereRows(recipe, s, at)),
    h('fieldset', { class: 'bare' }, h('legend', {}, words.afterWhat), afterRows(recipe, s, i, at)),
    h('details', { class: 'fold', open: Boolean(s.note || s.caution || s.grows !== undefined) }, h('summary', {}, words.stepMore), remark(words.note, 'note'), remark(words.caution, 'caution'), grows),
  ].filter(Boolean);
}

// Rows of what a step waits for: links to other steps, each at once, any time after, or between.
import { h } from './dom.js';
import { asList, isObject } from './values.js';
import { say, words } from './words.js';

const howOf = (l) => (l.within !== undefined && l.wait !== undefined ? 'both' : l.wait !== undefined ? 'wait'
  : l.within === undefined ? 'any' : /^0( ?min)?$/.test(l.within) ? 'once' : 'within');
const short = (l) => (Object.keys(l).length === 1 ? l.stage : l);

export function afterRows(recipe, s, i, at) {
  const { form, stages, stepChoices, later, draw } = recipe;
  const above = stages()[i - 1];
  const implied = s.after === undefined;
  const links = implied ? (above ? [{ stage: above.id }] : [])
    : asList(s.after).map((l) => (isObject(l) ? { ...l } : { stage: l }));
  const wasList = implied || Array.isArray(s.after);
  const write = () => {
    const made = links.map(short);
    if (implied && made.length === 1 && made[0] === above?.id) delete s.after;
    else s.after = wasList || made.length !== 1 ? made : made[0];
  };
  const row = (l, n) => {
    const how = howOf(l), mine = `=${l.stage}`, p = `${at}/after/${n}`;
    const choices = stepChoices(s, links.length > 1 ? [] : [['', words.afterNothing]]);
    if (!choices.some(([v]) => v === mine)) choices.push([mine, String(l.stage)]);
    const part = (key, label) => form.field(label, `${p}/${key}`, l[key], (text) => {
      l[key] = text;
      write();
    }, { class: 'short', placeholder: '30 min', minutes: true });
    return h('div', { class: 'line' },
      form.field(words.after, implied ? `${at}/after-implied` : p, mine, (text) => {
        if (text) l.stage = text.slice(1);
        else links.splice(n, 1);
        write();
        if (!text) draw(`after-${at}`);
      }, { kind: 'choice', choices, hideLabel: n > 0 }),
      form.field(words.how, `${at}/how-${n}`, how, (text) => {
        delete l.wait;
        delete l.within;
        if (text === 'once') l.within = '0 min';
        if (text === 'within' || text === 'both') l.within = '1 h';
        if (text === 'wait' || text === 'both') l.wait = '30 min';
        write();
        draw();
      }, { kind: 'choice', choices: Object.entries(words.hows), hideLabel: n > 0 }),
      ['wait', 'both'].includes(how) ? part('wait', words.waitFor) : null,
      ['within', 'both'].includes(how) ? part('within', words.withinOf) : null,
      links.length === 1 ? null : h('button', { type: 'button', 'aria-label': say('of', { what: words.remove, name: words.after }), onclick: () => {
        links.splice(n, 1);
        s.after = links.map(short);
        later();
        draw(`after-${at}`);
      } }, words.remove));
  };
  return h('div', { class: 'after' }, links.length ? links.map(row) : h('p', { class: 'soft' }, words.anyTime),
    stages().length > 1 ? h('p', {}, h('button', { type: 'button', id: `after-${at}`, onclick: () => {
      const other = [...stages().slice(0, i).reverse(), ...stages().slice(i + 1)].find((x) => !links.some((l) => l.stage === x.id));
      if (!other) return;
      links.push({ stage: other.id });
      s.after = links.map(short);
      later();
      draw(form.idOf(`${at}/after/${links.length - 1}`));
    } }, words.addAfter)) : null);
}

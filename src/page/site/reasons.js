// The facts that can't be met together, in as few lines: steps that follow one another are one of them, as
// on the sheet. Pure, so that tests can ask about any facts.
import { say, spoken, words } from './words.js';

// The dish, where there is one only: it need not be named at each step.
export function onlyDish(steps) {
  const dishes = new Set([...steps.keys()].map((name) => name.slice(0, name.lastIndexOf('/'))));
  return dishes.size === 1 ? [...dishes][0] : null;
}

const keyOf = (of) => `${of.dish}/${of.stage}`;
// What a fact's sentence says behind the name of its step; null where it says something else.
const rest = (f, like) => (f.message.startsWith(keyOf(f)) ? like.exec(f.message.slice(keyOf(f).length))?.[1] ?? null : null);
const timeOf = (f) => (f.fact === 'stage-time' ? rest(f, /^ takes (.+)$/) : null);
// That a step comes after another's end: how long after it, or '' for at any time then.
function waitOf(f) {
  if (f.fact !== 'wait' || !f.other || !f.message.endsWith(` ${keyOf(f.other)} ends`)) return null;
  return rest(f, /^ has to wait (.+?) after /) ?? (rest(f, /^( cannot start before )/) === null ? null : '');
}
const withinOf = (f) => (f.fact === 'within' && f.other && f.message.endsWith(` ${keyOf(f.other)} ends`) ? rest(f, /^ has to start within (.+?) after /) : null);

function joint(wait, within) {
  if (within === null) return wait ? say('chainLater', { wait }) : words.chainThen;
  if (wait) return wait === within ? say('chainJust', { wait }) : say('chainBetween', { wait, within });
  return /^0 /.test(within) ? words.chainOnce : say('chainWithin', { within });
}

// Lines of words; `steps`: what each "dish/id" is called.
export function reasons(facts, steps) {
  const alone = onlyDish(steps), said = new Set(), lines = [];
  const links = facts.filter((f) => waitOf(f) !== null);
  const after = (key) => links.find((f) => !said.has(f) && keyOf(f.other) === key);
  const comesAfter = (key) => links.some((f) => !said.has(f) && keyOf(f) === key);
  function chain(first) {
    let dish = alone, line = '';
    const add = (how, of) => {
      const key = keyOf(of), time = facts.find((f) => !said.has(f) && keyOf(f) === key && timeOf(f) !== null);
      if (time) said.add(time);
      const what = say('stepAgain', { what: steps.get(key) ?? of.stage });
      const named = of.dish === dish ? what : line ? say('stepOf', { what: steps.get(key) ?? of.stage, dish: of.dish }) : say('of', { what: of.dish, name: what });
      dish = of.dish;
      line += `${how}${time ? say('chainStep', { what: named, time: timeOf(time) }) : named}`;
    };
    add('', first);
    for (let link = after(keyOf(first)); link; link = after(keyOf(link))) {
      said.add(link);
      const limit = facts.find((f) => !said.has(f) && keyOf(f) === keyOf(link) && withinOf(f) !== null && keyOf(f.other) === keyOf(link.other));
      if (limit) said.add(limit);
      add(joint(waitOf(link), limit ? withinOf(limit) : null), link);
    }
    lines.push(line);
  }
  const by = (f) => {
    said.add(f);
    lines.push(spoken(f.message, steps, alone));
  };
  const limits = (f) => withinOf(f) !== null && links.some((l) => keyOf(l) === keyOf(f) && keyOf(l.other) === keyOf(f.other));
  for (const f of facts) {
    if (said.has(f)) continue;
    if (timeOf(f) !== null) {
      if (!comesAfter(keyOf(f))) chain(f);
    } else if (waitOf(f) !== null) {
      if (!comesAfter(keyOf(f.other))) chain(f.other);
    } else if (!limits(f)) by(f);
  }
  // Where chains join, the second way in.
  for (const f of facts) if (!said.has(f)) by(f);
  return lines;
}

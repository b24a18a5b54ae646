// What of the page's scripts needs no browser: the moment of an evening, the way between two values,
// words. usage: units.mjs FOLDER-OF-THE-SITE
import assert from 'node:assert/strict';
import { readFileSync, readdirSync } from 'node:fs';
import { pathToFileURL } from 'node:url';

const site = process.argv[2];
const use = (name) => import(pathToFileURL(`${site}/${name}`));
globalThis.addEventListener ??= () => {};
const { clockOf, moment, read, withTicks, left, length } = await use('moment.js');
const { apart, changed, difference, joined } = await use('difference.js');
const { written } = await use('values.js');
const { guessesIn, withoutGuesses } = await use('guesses.js');
const { daysIn, daysOf } = await use('hours.js');
const { onScale, withUnit } = await use('temperatures.js');
const { inLine, isolated, visible } = await use('bidi.js');
const { withAmount } = await use('amounts.js');
const { withMinutes, id: idOf } = await use('form.js');
const { reasons } = await use('reasons.js');
const { degrees, spoken, words, say } = await use('words.js');
let failed = 0, passed = 0;
function test(name, act) {
  try {
    act();
    passed++;
    console.log(`ok      ${name}`);
  } catch (e) {
    failed++;
    console.log(`FAILED  ${name}\n${String(e.stack).split('\n').slice(0, 12).join('\n')}`);
  }
}

// ------------------------------------------------------------------ a moment
const at = (hhmm) => Date.parse(`2026-12-04T${hhmm}:00Z`);
const stage = (stage_, start, end, more) => ({ dish: 'Rolls', stage: stage_, do: `do ${stage_}`, attention: 'none', oven: null,
  temperature_c: null, start: `2026-12-04T${start}:00+00:00`, end: `2026-12-04T${end}:00+00:00`, checks: [], ...more });
const supper = read({ timezone: 'Europe/London', ready: null, stages: [
  stage('knead', '17:00', '17:15', { attention: 'hands', by: ['Ada'] }),
  stage('rise', '17:15', '18:15'),
  stage('bake', '18:30', '18:50', { attention: 'watch', oven: 'oven#1', temperature_c: 220,
    checks: [{ start: '2026-12-04T18:40:00Z', end: '2026-12-04T18:42:00Z', do: 'Turn the tray' }] }),
], ovens: [{ oven: 'oven#1', on: '2026-12-04T18:15:00Z', ready: '2026-12-04T18:30:00Z', off: '2026-12-04T18:50:00Z', temperature_c: 220, from_cold: true }] });
const keys = (list) => list.map((i) => i.key);
test('before all: nothing now, the first touch is next', () => {
  const m = moment(supper, at('16:50'));
  assert.deepEqual(keys(m.now), []);
  assert.equal(m.until, at('17:00'));
  assert.equal(m.next[0].key, 'start Rolls/knead');
  assert.equal(m.finished, false);
});
test('hands at work: counted to its end', () => {
  const m = moment(supper, at('17:05'));
  assert.deepEqual(keys(m.now), ['do Rolls/knead']);
  assert.deepEqual([m.until, m.counts], [at('17:15'), 'left']);
});
test('what goes on by itself: on top while it begins, then among what runs; what is over is asked about', () => {
  assert.deepEqual(keys(moment(supper, at('17:16')).now), ['begin Rolls/rise']);
  const m = moment(supper, at('17:20'));
  assert.deepEqual([keys(m.now), keys(m.runs), keys(m.asked)], [[], ['run Rolls/rise'], ['end Rolls/knead']]);
  assert.deepEqual(keys(moment(supper, at('17:31')).asked), []);
  assert.equal(m.until, at('18:15'));
});
test('an oven to be turned on, a check, what is to be taken out', () => {
  assert.match(keys(moment(supper, at('18:16')).now).join(), /^oven 0 oven#1/);
  const m = moment(supper, at('18:40'));
  assert.deepEqual(keys(m.now), ['check 0 Rolls/bake']);
  assert.deepEqual([m.until, m.counts], [at('18:42'), 'left']);
  assert.deepEqual(keys(moment(supper, at('18:45')).next), ['out Rolls/bake']);
});
test('when all is over it says so', () => {
  assert.equal(moment(supper, at('18:49')).finished, false);
  assert.equal(moment(supper, at('18:51')).finished, true);
});
test('an oven on its way is among what runs, until somebody says that it is hot', () => {
  assert.deepEqual(keys(moment(supper, at('18:20')).runs), ['heat oven 0 oven#1 1796408100000'.replace(/\d{13}/, String(at('18:15')))]);
  const hot = (of) => ({ ...supper, hot: [of] });
  assert.deepEqual(keys(moment(hot({ oven: 'oven#1', temperature_c: 220 }), at('18:16')).runs), []);
  assert.deepEqual(keys(moment(hot({ oven: 'oven#1', temperature_c: 220 }), at('18:16')).now), []);
  assert.equal(moment(hot({ oven: 'oven#1', temperature_c: 160 }), at('18:16')).runs.length, 1, 'hot, but for something else');
  assert.equal(moment(hot({ oven: 'oven#2', temperature_c: 220 }), at('18:16')).runs.length, 1);
  assert.deepEqual(keys(moment(withTicks(supper, [{ words: ['hot', 'oven#1'], at: '2026-12-04T18:16Z' }]), at('18:17')).runs), []);
});
test('what is set on the table at one time is one touch; when it was said it is none', () => {
  const day = { dishes: [{ dish: 'Rolls', serve: '2026-12-04T19:00:00Z', served: false, out: false }, { dish: 'Soup', serve: '2026-12-04T19:00:00Z', served: false, out: false },
    { dish: 'Torte', serve: '2026-12-04T20:00:00Z', served: false, out: false }], cooks: [{ cook: 'Ada', until: null }], hot: [] };
  const table = read({ timezone: 'Europe/London', stages: [stage('bake', '18:30', '18:50', { done: true })], ovens: [], day });
  const m = moment(table, at('18:55'));
  assert.deepEqual(m.next.map((i) => [i.dishes.join(), i.ready]), [['Rolls,Soup', true], ['Torte', true]]);
  assert.equal(m.finished, true, 'all is cooked');
  assert.equal(moment(table, at('18:40')).next[0].ready, true);
  assert.deepEqual(moment(table, at('19:01')).now.map((i) => i.kind), ['serve']);
  assert.deepEqual(moment(table, at('19:05')).asked.map((i) => i.kind), ['serve']);
  const said = withTicks(table, [{ words: ['served', 'Soup'], at: '2026-12-04T18:56Z' }, { words: ['out', 'Torte'], at: '2026-12-04T18:56Z' },
    { words: ['cook', 'Ada', '2026-12-04T19:00Z'], at: '2026-12-04T18:56Z' }]);
  assert.deepEqual(moment(said, at('18:57')).next.map((i) => i.dishes.join()), ['Rolls']);
  assert.equal(said.cooks[0].until, at('19:00'));
  const early = read({ timezone: 'UTC', stages: [stage('bake', '18:30', '18:50', { begun: true, assumed: false, done: false })], ovens: [], day });
  assert.equal(moment(early, at('18:40')).next.find((i) => i.kind === 'serve').ready, false);
  assert.equal(moment(withTicks(early, [{ words: ['served', 'Rolls'], at: '2026-12-04T18:41Z' }]), at('18:42')).runs.length, 0);
});
test('what is begun early, without the network, takes its whole time from then on', () => {
  const table = read({ timezone: 'UTC', stages: [stage('shred', '17:25', '17:40', { begun: true, assumed: true, checks: [] }), stage('rise', '18:00', '18:30', { checks: [{ do: 'Fold', start: '2026-12-04T18:15Z', end: '2026-12-04T18:15Z' }] })], ovens: [] });
  const early = withTicks(table, [{ words: ['begun', 'Rolls/rise'], at: '2026-12-04T17:10Z' }, { words: ['begun', 'Rolls/shred'], at: '2026-12-04T17:30Z' }]);
  assert.deepEqual(early.stages.map((s) => [s.start, s.end]), [[at('17:30'), at('17:45')], [at('17:10'), at('17:40')]]);
  assert.equal(early.stages[1].checks[0].start, at('17:25'));
  const said = read({ timezone: 'UTC', stages: [stage('rise', '17:05', '17:35', { begun: true, assumed: false })], ovens: [] });
  assert.deepEqual(withTicks(said, [{ words: ['begun', 'Rolls/rise'], at: '2026-12-04T17:10Z' }]).stages.map((s) => [s.start, s.end]), [[at('17:05'), at('17:35')]]);
});
test('what goes into an oven that is not hot by the plan is known', () => {
  const oven = { oven: 'oven#1', on: '2026-12-04T17:00Z', ready: '2026-12-04T17:20Z', off: '2026-12-04T18:30Z', temperature_c: 220 };
  const of = (hot) => read({ timezone: 'UTC', stages: [stage('bake', '17:30', '17:50', { oven: 'oven#1', temperature_c: 220, attention: 'none' })], ovens: [oven], day: { dishes: [], cooks: [], hot } });
  const cold = (day, t) => moment(day, at(t)).next.find((i) => i.kind === 'start').cold;
  assert.deepEqual(['16:50', '17:10', '17:20'].map((t) => cold(of([]), t)), [true, true, false]);
  assert.equal(cold(of([{ oven: 'oven#1', temperature_c: 220 }]), '17:10'), false);
  assert.equal(cold(of([{ oven: 'oven#2', temperature_c: 220 }]), '17:10'), true);
});
test('an instant as a plan writes it', () => assert.equal(clockOf('America/New_York').wall(Date.parse('2026-12-04T03:05Z')), '2026-12-03 22:05'));
test('of a dropped dish nobody asks whether what was begun is done', () => {
  const of = (out) => read({ timezone: 'UTC', stages: [stage('mix', '17:00', '17:10', { begun: true, assumed: true, done: true })], ovens: [], day: { dishes: [{ dish: 'Rolls', serve: '2026-12-04T19:00:00Z', served: false, out }], cooks: [], hot: [] } });
  assert.deepEqual(keys(moment(of(false), at('17:15')).asked), ['end Rolls/mix']);
  assert.deepEqual(keys(moment(of(true), at('17:15')).asked), []);
});
test('days of the week, in the fewest words', () => {
  for (const [text, same = text] of [['mon-fri'], ['sat,sun'], ['tue'], ['mon-sun'], ['fri-mon', 'mon,fri-sun'], ['mon, wed-thu', 'mon,wed,thu'], ['wed-thu,sat', 'wed,thu,sat']])
    assert.equal(daysIn(daysOf(text)), same);
  for (const text of ['', 'monday', 'mon-', 'mon-tue-wed', 'mon fri']) assert.equal(daysOf(text), null, text);
  assert.equal(daysIn(daysOf('mon-sun').map(() => false)), '');
});
test('temperatures on the kitchen’s scale', () => {
  assert.equal(onScale('180 C', 'F'), '356\u00a0°F');
  assert.equal(onScale('170-190 °C', 'F'), '338-374\u00a0°F');
  assert.equal(onScale('160 C fan', 'F'), '320\u00a0°F fan');
  assert.equal(onScale('350 F', 'C'), '177\u00a0°C');
  for (const [text, scale] of [['350 F', 'F'], ['180 C', 'C'], ['gas 4', 'F'], ['off', 'F'], ['as it was', 'C'], [undefined, 'C'], ['', 'F']]) assert.equal(onScale(text, scale), '', text);
  assert.deepEqual(['350', ' 170-190 ', '-18', '180 C', 'off', ''].map((t) => withUnit(t, 'F')), ['350 F', '170-190 F', '-18 F', '180 C', 'off', '']);
});
test('a step is called by its words', () => {
  const steps = new Map([['Rolls/rise', 'Let it rise'], ['Rolls/rise-again', 'Once more'], ['A+B (c)/x', 'Do x$&']]);
  assert.equal(spoken('Rolls/rise-again waits for Rolls/rise; Rolls/riser does not', steps), '“Once more” (Rolls) waits for “Let it rise”; Rolls/riser does not');
  assert.equal(spoken('A+B (c)/x takes 5 min', steps), '“Do x$&” (A+B (c)) takes 5 min');
});
test('why not: steps that follow one another are one line, and the only dish is not named at each', () => {
  const steps = new Map(['mix', 'knead', 'rise', 'bake'].map((id) => [`Rolls/${id}`, `Do ${id}`]));
  const fact = (kind, stage_, message, other) => ({ fact: kind, dish: 'Rolls', stage: stage_, ...(other && { other: { dish: 'Rolls', stage: other } }), message });
  const time = (id, t) => fact('stage-time', id, `Rolls/${id} takes ${t}`);
  const after = (id, other, how = '') => fact('wait', id, how ? `Rolls/${id} has to wait ${how} after Rolls/${other} ends` : `Rolls/${id} cannot start before Rolls/${other} ends`, other);
  const within = (id, other, t, edge = 'ends') => fact('within', id, `Rolls/${id} has to start within ${t} after Rolls/${other} ${edge}`, other);
  const serve = { fact: 'serve', dish: 'Rolls', stage: null, message: 'Rolls has to be ready at Sun 13:00' };
  assert.deepEqual(reasons([time('mix', '5 min'), after('knead', 'mix'), time('knead', '10 min'), after('rise', 'knead', '20 min'), time('rise', '1 h'), serve], steps),
    ['“Do mix” (5 min), then “Do knead” (10 min), 20 min later “Do rise” (1 h)', 'Rolls has to be ready at Sun 13:00']);
  assert.deepEqual(reasons([time('mix', '5 min'), within('knead', 'mix', '0 min'), after('knead', 'mix'), time('knead', '10 min')], steps), ['“Do mix” (5 min), then at once “Do knead” (10 min)']);
  assert.deepEqual(reasons([after('knead', 'mix'), within('knead', 'mix', '15 min'), after('rise', 'knead', '1 h'), within('rise', 'knead', '1 h'), after('bake', 'rise', '1 h'), within('bake', 'rise', '2 h')], steps),
    ['“Do mix”, then within 15 min “Do knead”, just 1 h later “Do rise”, 1 h to 2 h later “Do bake”']);
  assert.deepEqual(reasons([within('knead', 'mix', '15 min', 'starts')], steps), ['“Do knead” has to start within 15 min after “Do mix” starts']);
  assert.deepEqual(reasons([time('mix', '5 min'), after('rise', 'mix'), after('rise', 'knead'), time('rise', '1 h')], steps),
    ['“Do mix” (5 min), then “Do rise” (1 h)', '“Do knead”, then “Do rise”'], 'nothing is lost where two ways join');
  const two = new Map([...steps, ['Soup/boil', 'Boil it']]);
  assert.deepEqual(reasons([time('mix', '5 min'), { ...after('boil', 'mix'), dish: 'Soup', message: 'Soup/boil cannot start before Rolls/mix ends' }], two), ['Rolls: “Do mix” (5 min), then “Boil it” (Soup)']);
});
test('a number alone is minutes', () => {
  assert.deepEqual(['20', ' 12-15 ', '12 - 15', '1 h', '1 h 20', '', '20 s', 'soon'].map(withMinutes), ['20 min', '12-15 min', '12 - 15 min', '1 h', '1 h 20', '', '20 s', 'soon']);
});
test('the name of a new step says what is done to what', () => {
  const made = (name, ...taken) => idOf(name, taken);
  assert.equal(made('Shape the rolls'), 'shape-rolls');
  assert.equal(made('Chill until it is firm'), 'chill-firm');
  assert.equal(made('Chill until firm, in the fridge', 'chill-firm'), 'chill-firm-fridge');
  assert.equal(made('Let it rise'), 'rise');
  assert.equal(made('Let it rise', 'rise'), 'rise-2');
  assert.equal(made('Let it rise', 'rise', 'rise-2'), 'rise-3');
  assert.equal(made('Crème brûlée: heat the cream’s top, for 20 min'), 'creme-brulee');
  assert.equal(made('Do it'), 'do');
  assert.equal(made('20'), 'step');
  assert.equal(made('', 'step'), 'step-2');
  assert.equal(made('让它发酵'), 'step');
});
test('how much, out of an ingredient’s line', () => {
  for (const [text, amount, item] of [['200 g butter', '200 g', 'butter'], ['4 eggs', '4', 'eggs'], ['3 large eggs', '3', 'large eggs'], ['1 1/2 cups (200 g) plain flour, sifted', '1 1/2 cups (200 g)', 'plain flour, sifted'],
    ['½ tsp salt', '½ tsp', 'salt'], ['1½ tbsp. oil', '1½ tbsp.', 'oil'], ['2-3 cloves garlic', '2-3 cloves', 'garlic'], ['600ml cream', '600ml', 'cream'], ['1,5 kg of potatoes', '1,5 kg', 'potatoes'],
    ['2 x 400 g tins tomatoes', '2 x 400 g', 'tins tomatoes'], ['about 1 kg beef', 'about 1 kg', 'beef'], ['1 leek', '1', 'leek'], ['2 lemons', '2', 'lemons']])
    assert.deepEqual(withAmount(text), { item, amount }, text);
  for (const as of ['butter', 'a pinch of salt', '200 g', '', '7-Up', '200 g (butter)', { item: 'butter', amount: '1 kg' }, { item: 'salt' }, { item: '4 eggs', amount: 'all' }]) assert.deepEqual(withAmount(as), as);
  assert.deepEqual(withAmount({ item: '200 g butter', stage: 'whisk' }), { item: 'butter', amount: '200 g', stage: 'whisk' });
});
test('a name turns nothing but itself', () => {
  assert.equal(visible('a\u202Eb\u2067c\u200Fd'), 'a‹U+202E›b‹U+2067›c\u200Fd');
  assert.equal(visible(undefined), '');
  assert.equal(isolated('Rolls'), 'Rolls');
  assert.equal(isolated('\u05D7\u05DC\u05D4'), '\u2068\u05D7\u05DC\u05D4\u2069');
  assert.equal(isolated(isolated('\u05D7')), '\u2068\u2068\u05D7\u2069\u2069');
  assert.equal(isolated('a\u2069 b'), '\u2068a‹U+2069› b\u2069', 'closes what is not its own');
  assert.equal(isolated('a\u2069\u2068b'), '\u2068a‹U+2069›‹U+2068›b\u2069');
  assert.equal(isolated('a\u2068b'), '\u2068a‹U+2068›b\u2069');
  assert.equal(say('in', { time: 'x\u202E' }), 'in \u2068x‹U+202E›\u2069');
  assert.equal(inLine(['\u05D7', '', 'in 37 min']), '\u2068\u05D7\u2069 · in 37 min');
});
test('degrees as the sheet has them', () => {
  const plain = (of) => degrees(of).replace(/\u00a0/g, ' ');
  assert.equal(plain({ temperature_c: 180 }), '180 °C');
  assert.equal(plain({ temperature_c: 180, dial_c: 160 }), '160 °C fan');
  assert.equal(plain({ temperature_c: 176.6667, dial_f: 350 }), '350 °F (177 °C)');
  assert.equal(plain({ temperature_c: 176.6667, dial_c: 156.6667, dial_f: 314 }), '314 °F fan (157 °C)');
});
test('ticks that wait for the network count already', () => {
  const tick = (t, ...words_) => ({ words: words_, at: `2026-12-04T${t}Z` });
  const with_ = (t, ...ticks) => moment(withTicks(supper, ticks), at(t));
  assert.deepEqual(keys(with_('17:10', tick('17:09', 'done', 'Rolls/knead')).now), []);
  assert.deepEqual(keys(with_('17:17', tick('17:16', 'begun', 'Rolls/rise')).now), []);
  assert.equal(with_('18:00', tick('18:00', 'longer', 'Rolls/rise', '20 min')).runs[0].until, at('18:35'));
  assert.deepEqual(keys(with_('17:20', tick('17:19', 'skip', 'Rolls/rise')).runs), []);
  assert.equal(with_('17:00', tick('17:00', 'out', 'Rolls')).finished, false, 'the oven is still to be turned on');
  assert.deepEqual(keys(with_('17:01', tick('17:00', 'out', 'Rolls')).now), []);
  assert.equal(supper.stages[0].done, undefined, 'what the server said stays as it was');
});
test('what somebody said has begun, and should be over, stays on top as late', () => {
  const said = read({ timezone: 'UTC', stages: [stage('rise', '17:00', '17:30', { begun: true, assumed: false, done: false })], ovens: [] });
  const m = moment(said, at('17:40'));
  assert.deepEqual([keys(m.now), m.now[0].late, m.finished], [['end Rolls/rise'], true, false]);
});
test('what is left, in words', () => {
  const units = { d: 'd', h: 'h', min: 'min', s: 's' };
  assert.equal(left(59999, units), '1\u00a0min 0\u00a0s');
  assert.equal(left(754000, units), '12\u00a0min 34\u00a0s');
  assert.equal(left(45000, units), '45\u00a0s');
  assert.equal(left(-5, units), '0\u00a0s');
  assert.equal(left(3600000 * 2 + 60000, units), '2\u00a0h 1\u00a0min');
  assert.equal(length(0, units), '0\u00a0min');
  assert.equal(length(1440 + 61, units), '1\u00a0d 1\u00a0h');
});

// --------------------------------------------------------- from value to value
test('RFC 6902: only what changed', () => {
  const from = { dish: 'Rolls', stages: [{ id: 'a', do: 'x' }, { id: 'b', do: 'y', active: '5 min' }], 'a/b~': 1 };
  const to = structuredClone(from);
  to.stages[1].active = '6 min';
  assert.deepEqual(difference(from, to), [{ op: 'replace', path: '/stages/1/active', value: '6 min' }]);
  delete to['a/b~'];
  assert.deepEqual(difference(from, to)[0], { op: 'remove', path: '/a~1b~0' });
  to.stages.push({ id: 'c' });
  assert.deepEqual(difference(from, to)[1], { op: 'add', path: '/stages/2', value: { id: 'c' } });
});
test('a step that has moved is moved, one whose name changed stays where it is', () => {
  const from = [{ id: 'a' }, { id: 'b' }, { id: 'c' }];
  assert.deepEqual(difference(from, [{ id: 'c' }, { id: 'a' }, { id: 'b' }]), [{ op: 'move', from: '/2', path: '/0' }]);
  assert.deepEqual(difference(from, [{ id: 'a' }, { id: 'x' }, { id: 'c' }]), [{ op: 'replace', path: '/1/id', value: 'x' }]);
});
test('1,000 random pairs: the operations make the one of the other', () => {
  let seed = 20261204;
  const random = (n) => {
    seed = (seed * 1103515245 + 12345) & 0x7fffffff;
    return (seed >>> 8) % n;
  };
  const value = (deep) => {
    const kind = random(deep > 3 ? 3 : 6);
    if (kind === 0) return random(5);
    if (kind === 1) return ['x', 'y/~', ''][random(3)];
    if (kind === 2) return random(2) === 0;
    if (kind === 3) return Array.from({ length: random(4) }, () => value(deep + 1));
    if (kind === 4) return Array.from({ length: random(5) }, () => ({ id: `s${random(4)}`, do: random(3), after: value(deep + 2) }));
    return Object.fromEntries(Array.from({ length: random(4) }, () => [['a', 'b/c', 'd~e'][random(3)], value(deep + 1)]));
  };
  for (let n = 0; n < 1000; n++) {
    const from = { top: value(0) }, to = { top: value(0) };
    const was = JSON.stringify(from);
    // The order of an object's keys means nothing.
    assert.deepEqual(changed(from, difference(from, to)), to, `${was} -> ${JSON.stringify(to)}`);
    assert.equal(JSON.stringify(from), was);
  }
});
test('two versions, field by field, and what is chosen of them', () => {
  const base = { dish: 'Rolls', serves: 8, stages: [{ id: 'a', do: 'x' }, { id: 'b', do: 'y' }] };
  const mine = structuredClone(base), theirs = structuredClone(base);
  mine.stages[1].do = 'mine';
  mine.serves = 9;
  mine.stages.push({ id: 'c', do: 'new' });
  theirs.stages.unshift({ id: 'z', do: 'first' });
  theirs.serves = 10;
  const fields = apart(base, mine, theirs);
  assert.deepEqual(fields.map((f) => `${f.path.join('/')} ${f.both}`), ['serves true', 'stages/b/do false', 'stages/c false', 'stages/z false']);
  assert.ok(fields.some((f) => f.path.join('/') === 'stages/z' && f.mine === undefined));
  const made = joined(mine, theirs, fields.filter((f) => f.path.join('/') !== 'serves' && f.mine !== undefined));
  assert.deepEqual(made, { dish: 'Rolls', serves: 10, stages: [{ id: 'z', do: 'first' }, { id: 'a', do: 'x' }, { id: 'b', do: 'mine' }, { id: 'c', do: 'new' }] });
});
test('a new file: a step a line, unconfirmed guesses above it', () => {
  const value = { dish: 'Rolls', serves: undefined, stages: [{ id: 'a', do: 'x' }, { id: 'b', do: '"y"' }] };
  const text = written(value, new Map([['', ['whole']], ['/stages/1', ['a guess\n"injected": 1']]]));
  assert.deepEqual(JSON.parse(written(value)), { dish: 'Rolls', stages: value.stages });
  assert.match(text, /^\/\/ whole\n\{\n {2}"dish": "Rolls",\n {2}"stages": \[\n {4}\{"id": "a", "do": "x"\},\n {4}\/\/ a guess "injected": 1\n {4}\{"id": "b"/);
});
test('guesses in a file: only in a draft, each with its step; taken out by themselves, the line on top with the last', () => {
  const draft = `// A draft from x. Every comment is a guess: read it, mend the line, delete the comment.
{
  "dish": "Rolls // \\" // no comment", // ours
  /* // not a line of its own */
  // Serves: from "8".
  "serves": 8,
  "ingredients": [{"item": "a", "stage": "a"}, {"item": "b"}],
  "stages": [
    {"id": "a", "do": "x", "uses": {"oven": {"at": "180 C"}}, "after": ["y", "z"]},
    // Time: one, two.
    // Oven: 180 C.
    {"id": "b",
     // Order: inside.
     "do": "y"}
  ]
}
`;
  assert.deepEqual(guessesIn(draft).map((g) => `${g.stage} ${g.reason.slice(0, 5)}`), ['null Serve', '1 Time:', '1 Oven:', '1 Order']);
  assert.deepEqual(guessesIn(draft.replace(/^.*\n/, '')), [], 'a cook’s own comments are none');
  const less = withoutGuesses(draft, (g) => /^(Time|Serves)/.test(g.reason));
  assert.equal(less, draft.replace(/.*Time: .*\n/, '').replace(/.*Serves: .*\n/, ''));
  assert.doesNotMatch(withoutGuesses(draft, () => true), /draft|Oven:|Order/);
  assert.equal(withoutGuesses(draft, () => false), draft);
  for (const text of ['', '"', '{"a": [', '/*', '// A draft. Every comment is a guess', '\\']) guessesIn(text);
});

// --------------------------------------------------------------------- words
test('every word that is asked for is in the table, and every one in the table is asked for', () => {
  const code = readdirSync(site).filter((f) => f.endsWith('.js') && !['words.js', 'sw.js'].includes(f)).map((f) => readFileSync(`${site}/${f}`, 'utf8')).join('\n')
    + readFileSync(`${site}/words.js`, 'utf8').replace(/^[^]*?\n};\n/, '');
  const asked = new Set([...code.matchAll(/\bwords\.(?!js\b)(\w+)/g), ...code.matchAll(/\bsay\(\s*'(\w+)'/g)].map((m) => m[1]));
  for (const m of code.matchAll(/\bsay\(([^;{]*\?[^;{]*),\s*\{/g))
    for (const w of m[1].matchAll(/[?:] '(\w+)'/g)) asked.add(w[1]);
  assert.deepEqual([...asked].filter((w) => !(w in words)), []);
  assert.deepEqual(Object.keys(words).filter((w) => !asked.has(w)), []);
  assert.equal(say('until', { time: '18:00' }), 'until 18:00');
  assert.equal(say('of', { what: '{name}', name: 'x' }), '{name}: x');
});
test('the service worker keeps every file of the site', () => {
  const sw = readFileSync(`${site}/sw.js`, 'utf8');
  const kept = [...sw.matchAll(/'\/site\/([\w.]+)'/g)].map((m) => m[1]).sort();
  assert.deepEqual(kept, readdirSync(site).filter((f) => !['index.html', 'sw.js'].includes(f)).sort());
});
test('nothing is ever put in as markup, and nothing stands in the line', () => {
  for (const f of readdirSync(site)) {
    const text = readFileSync(`${site}/${f}`, 'utf8');
    assert.doesNotMatch(text, /innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function/, f);
    if (f.endsWith('.html')) assert.doesNotMatch(text, /<script(?![^>]*src=)|<style| style=| on\w+=/, f);
  }
});
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed ? 1 : 0;

// The page in Chromium. usage: check.mjs FOLDER, with the pages that run.sh made.
import { chromium } from 'playwright-core';
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import assert from 'node:assert/strict';

const folder = process.argv[2];
const url = (name) => `file://${folder}/${name}.html`;
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
    '--disable-background-networking', '--disable-component-update', '--disable-sync'],
});
const phone = { viewport: { width: 360, height: 740 } };
let passed = 0, failed = 0;

// One cook's browser: with a clock that is set, and every fault and request held against the page.
async function cook(options, at, name, act) {
  const context = await browser.newContext({ timezoneId: 'America/New_York', ...options });
  const faults = [];
  context.on('page', (page) => {
    page.on('pageerror', (e) => faults.push(e.message));
    page.on('console', (m) => { if (m.type() === 'error') faults.push(m.text()); });
    page.on('request', (r) => { if (!r.url().startsWith('file:')) faults.push(`asks for ${r.url()}`); });
  });
  const open = async (which) => {
    const page = await context.newPage();
    if (at) await page.clock.install({ time: new Date(at) });
    await page.goto(url(which ?? name));
    return page;
  };
  try {
    await act(await open(), open, context);
    assert.deepEqual(faults, []);
  } finally {
    await context.close();
  }
}
async function test(name, act) {
  try {
    await act();
    passed++;
    console.log(`ok      ${name}`);
  } catch (e) {
    failed++;
    console.log(`FAILED  ${name}\n${String(e.stack).split('\n').slice(0, 14).join('\n')}`);
  }
}
const text = (page, what) => page.locator(what).innerText().then((t) => t.replace(/\s+/g, ' ').trim());
const box = (page, n) => page.locator(`#step-${n} input[type=checkbox]`);
const isInside = async (page, what) => {
  const b = await page.locator(what).boundingBox();
  return b && b.x >= 0 && b.y >= 0 && b.x + b.width <= 360 && b.y + b.height <= 740;
};
const sideways = (page) => page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);

// ---------------------------------------------------------------- the clock

// Friday supper: 1 butter the tin 20:50, 2 oven on 20:55, 3 whisk 20:55-21:10, 4 base in 21:10-21:25,
// 5 leeks 21:10-21:25, 6 look 21:22.
await test('now, what is left of it, and what is next, by the plan’s clock in another zone', () =>
  cook(phone, '2026-12-03T21:12:30Z', 'friday-supper', async (page) => {
    await page.clock.runFor(1000);
    assert.equal(await text(page, '#clock'), '21:12');
    assert.match(await text(page, '#doing'), /IN Bake the base.*DO Soften the leeks in butter/);
    await page.clock.pauseAt(new Date('2026-12-03T21:13:00Z'));
    assert.match(await text(page, '#doing li:nth-child(2) .count'), /^12 min 00 s left$/);
    assert.match(await text(page, '#next'), /21:22, in 9 min 00 s/);
    await page.clock.runFor(41000);
    assert.match(await text(page, '#next'), /21:22, in 8 min 19 s/);
    await page.clock.pauseAt(new Date('2026-12-03T21:22:00Z'));
    assert.match(await text(page, '#doing'), /CHECK Look at the base/);
    assert.match(await text(page, '#next'), /21:25, in 3 min 00 s/);
    assert.equal(await page.locator('#step-6').getAttribute('aria-current'), 'step');
    assert.match(await text(page, '#say'), /^Now: CHECK Look at the base/);
  }));
await test('days before, and days after', async () => {
  await cook(phone, '2026-12-01T12:00:00Z', 'friday-supper', async (page) => {
    assert.equal(await text(page, '#calm'), 'Nothing to do yet.');
    assert.match(await text(page, '#next'), /Butter the springform.*in 2 d 8 h$|20:50, in 2 d 8 h/);
  });
  await cook(phone, '2026-12-06T12:00:00Z', 'friday-supper', async (page) => {
    assert.equal(await text(page, '#calm'), 'The hours of this plan are over.');
  });
});
await test('what runs, until when; put in late, it runs until later', () =>
  cook(phone, '2026-12-03T21:14:00Z', 'friday-supper', async (page) => {
    await page.clock.pauseAt(new Date('2026-12-03T21:14:30Z'));
    await box(page, 4).check();
    assert.match(await text(page, '#running'), /until 21:29, 15 min 00 s/);
    await page.clock.pauseAt(new Date('2026-12-03T21:29:00Z'));
    assert.match(await text(page, '#running'), /until 21:29, 30 s/);
    await page.clock.runFor(40000);
    assert.doesNotMatch(await text(page, '#running'), /Bake/);
  }));
await test('what is out is out, and a tick that makes good what was forgotten starts nothing', () =>
  cook(phone, '2026-12-03T21:23:00Z', 'friday-supper', async (page) => {
    await box(page, 4).check();
    assert.match(await text(page, '#running'), /IN Bake/);
    await box(page, 7).check(); // out of the oven, two minutes early
    assert.doesNotMatch(await text(page, '#running'), /IN Bake/);
    assert.match(await text(page, '#running'), /OUT .*Leave the base in its tin.*until 22:08/);
    await box(page, 7).uncheck();
    await page.clock.pauseAt(new Date('2026-12-03T23:30:00Z'));
    await box(page, 7).check();
    await page.clock.runFor(1000);
    assert.doesNotMatch(await text(page, '#running'), /Leave the base/);
  }));

// ---------------------------------------------------------------- ticks

await test('ticks stay over a reload and a dropped tab, for this version of the plan only', () =>
  cook(phone, '2026-12-03T21:05:00Z', 'friday-supper', async (page, open) => {
    await box(page, 1).check();
    await box(page, 2).check();
    await page.reload();
    assert.equal(await box(page, 1).isChecked(), true);
    assert.equal(await box(page, 3).isChecked(), false);
    await page.close();
    const again = await open();
    assert.equal(await box(again, 2).isChecked(), true);
    const later = await open('later');
    assert.equal(await box(later, 2).isChecked(), false);
    const beside = await open();
    await box(beside, 2).uncheck();
    await again.waitForFunction(() => !document.querySelector('#step-2 input').checked);
  }));
await test('done steps fold away, the last one stays in sight, all come back', () =>
  cook(phone, '2026-12-03T21:05:00Z', 'friday-supper', async (page) => {
    for (const n of [1, 2, 3]) await box(page, n).check();
    assert.deepEqual(await Promise.all([1, 2, 3, 4].map((n) => page.locator(`#step-${n}`).isVisible())),
      [false, false, true, true]);
    assert.equal(await text(page, '#fold'), 'Show 2 done');
    await page.locator('#fold').click();
    assert.equal(await page.locator('#step-1').isVisible(), true);
    assert.equal(await page.locator('#fold').getAttribute('aria-expanded'), 'true');
  }));
await test('a tick says when, can be put right, and from then on tells how late one is', () =>
  cook(phone, '2026-12-03T21:22:00Z', 'friday-supper', async (page) => {
    for (const n of [1, 2, 3]) await box(page, n).check(); // 3 was to end at 21:10
    assert.equal(await text(page, '#late'), '12 min behind');
    const when = page.locator('#step-3 input[type=time]');
    assert.equal(await when.inputValue(), '21:22');
    await when.fill('21:15');
    await when.blur();
    await page.clock.runFor(1000);
    // 4, in at 21:10, is still to be done: twelve minutes.
    assert.equal(await text(page, '#late'), '12 min behind');
    for (const n of [4, 5, 6]) await box(page, n).check();
    assert.equal(await text(page, '#late'), 'to the minute');
    await page.locator('#step-6 input[type=time]').fill('21:10');
    await page.locator('#step-6 input[type=time]').blur();
    await page.reload();
    assert.equal(await page.locator('#step-3 input[type=time]').inputValue(), '21:15');
  }));
await test('the hour before midnight, put right after it, is of the day before', () =>
  cook(phone, '2026-12-04T00:10:00Z', 'friday-supper', async (page) => {
    await page.evaluate(() => document.querySelector('#step-1 input').click());
    await page.locator('#step-1 input[type=time]').fill('23:50');
    await page.locator('#step-1 input[type=time]').blur();
    const kept = await page.evaluate(() => Object.values(JSON.parse(localStorage.getItem(
      `bakeset ${document.body.dataset.plan} ${document.body.dataset.version}`))));
    assert.deepEqual(kept, [Date.parse('2026-12-03T23:50:00Z')]);
  }));
await test('rubbish in what is kept is no tick', () =>
  cook(phone, '2026-12-03T21:05:00Z', 'friday-supper', async (page) => {
    for (const rubbish of ['{', 'null', '[1]', '{"step-1":"x","step-2":null,"step-99":5}', '7']) {
      await page.evaluate((r) => localStorage.setItem(
        `bakeset ${document.body.dataset.plan} ${document.body.dataset.version}`, r), rubbish);
      await page.reload();
      assert.equal(await page.locator('.steps :checked').count(), 0, rubbish);
      assert.match(await text(page, '#doing'), /Whisk/);
    }
  }));

// ---------------------------------------------------------------- bell, light

await test('bell and shake at a touch, when asked for', async () => {
  const listen = () => { window.shakes = 0; navigator.vibrate = () => { window.shakes++; return true; }; };
  await cook(phone, '2026-12-03T21:21:00Z', 'friday-supper', async (page, open, context) => {
    await context.addInitScript(listen);
    await page.reload();
    await page.clock.runFor(70000);
    assert.equal(await page.evaluate(() => window.shakes), 0);
    await page.locator('#bell').click();
    assert.equal(await page.locator('#bell').getAttribute('aria-pressed'), 'true');
    await page.clock.runFor(1000); // it rings once, to be heard
    assert.equal(await page.evaluate(() => window.shakes), 1);
    await page.clock.runFor(3 * 60000); // 21:25
    assert.equal(await page.evaluate(() => window.shakes), 2);
    await page.reload();
    assert.equal(await page.locator('#bell').getAttribute('aria-pressed'), 'true');
    await page.locator('#bell').click();
    if (await page.locator('#bell').getAttribute('aria-pressed') === 'true') await page.locator('#bell').click();
    assert.equal(await page.locator('#bell').getAttribute('aria-pressed'), 'false');
  });
});
await test('the screen stays on when asked, where it can', async () => {
  const lamp = () => {
    window.lamps = [];
    const wakeLock = { request: (kind) => { window.lamps.push(kind);
      return Promise.resolve({ addEventListener() {}, release() { window.lamps.push('off'); } }); } };
    Object.defineProperty(navigator, 'wakeLock', { get: () => wakeLock });
  };
  const none = () => Object.defineProperty(navigator, 'wakeLock', { get: () => undefined });
  await cook(phone, '2026-12-03T21:21:00Z', 'friday-supper', async (page, open, context) => {
    await context.addInitScript(lamp);
    await page.reload();
    assert.deepEqual(await page.evaluate(() => window.lamps), []);
    await page.locator('#awake').click();
    await page.locator('#awake').click();
    assert.deepEqual(await page.evaluate(() => window.lamps), ['screen', 'off']);
  });
  await cook(phone, '2026-12-03T21:21:00Z', 'friday-supper', async (page, open, context) => {
    await context.addInitScript(none);
    await page.reload();
    assert.equal(await page.locator('#awake').isVisible(), false);
  });
});

// ---------------------------------------------------------------- phone, keyboard, no script

await test('what is next is on the first screen of a phone, whatever the hour', async () => {
  for (const [name, from, hours, step] of [['friday-supper', '2026-12-03T20:00:00Z', 24, 1],
    ['winter-holiday', '2026-12-23T12:00:00Z', 60, 4]])
    await cook(phone, from, name, async (page) => {
      for (let h = 0; h < hours; h += step) {
        await page.clock.pauseAt(new Date(Date.parse(from) + h * 3600000 + 720000));
        await page.clock.runFor(1000);
        for (const part of ['#next', '#doing'])
          if (await page.locator(`${part}-part`).isVisible())
            assert.ok(await isInside(page, `${part} li:first-child`), `${name}, ${h} h: ${part}`);
      }
    });
});
await test('by the keyboard alone', () =>
  cook({ viewport: { width: 900, height: 800 } }, '2026-12-03T20:52:00Z', 'friday-supper', async (page) => {
    await page.clock.runFor(1000);
    const seen = [];
    for (let i = 0; i < 24; i++) {
      await page.keyboard.press('Tab');
      seen.push(await page.evaluate(() => {
        const e = document.activeElement, b = e.getBoundingClientRect(), s = getComputedStyle(e);
        return [e.closest('[id]')?.id, b.width > 0, s.outlineStyle !== 'none'];
      }));
      if (seen.at(-1)[0] === 'step-3') break;
    }
    assert.ok(seen.every((s) => s[1] && s[2]), JSON.stringify(seen));
    assert.deepEqual(seen.at(-1)[0], 'step-3');
    await page.keyboard.press('Space');
    assert.equal(await box(page, 3).isChecked(), true);
    await page.locator('#doing button').first().focus();
    await page.keyboard.press('Enter');
    assert.equal(await box(page, 1).isChecked(), true);
    assert.notEqual(await page.evaluate(() => document.activeElement.tagName), 'BODY');
  }));
await test('without script: every step, ticks and what they fold, the days to jump to', () =>
  cook({ ...phone, javaScriptEnabled: false }, null, 'friday-supper', async (page) => {
    assert.equal(await page.locator('#now').isVisible(), false);
    assert.equal(await page.locator('.steps > li').count(), 30);
    assert.ok(await isInside(page, '#step-1 time'));
    await box(page, 1).check();
    assert.equal(await page.locator('#step-1 .more').first().isVisible(), false);
    await page.locator('nav a', { hasText: 'Fri 4 Dec' }).click();
    assert.ok(page.url().endsWith('#day-2026-12-04'));
  }));
await test('every link leads somewhere on the page', () =>
  cook(phone, '2026-12-03T21:12:30Z', 'winter-holiday', async (page) => {
    assert.deepEqual(await page.evaluate(() => [...document.querySelectorAll('a')]
      .map((a) => a.getAttribute('href')).filter((h) => !document.querySelector(h))), []);
  }));

// ---------------------------------------------------------------- eyes

await test('200 % text goes nowhere sideways, nor does an address', async () => {
  for (const name of ['friday-supper', 'winter-holiday', 'hostile'])
    for (const width of [320, 360, 1280])
      for (const size of ['100%', '200%'])
        await cook({ viewport: { width, height: 740 } }, '2026-12-04T18:57:00Z', name, async (page) => {
          await page.evaluate((s) => { document.documentElement.style.fontSize = s; }, size);
          await page.clock.runFor(1000);
          assert.ok(await sideways(page) <= 0, `${name} at ${width}, ${size}: ${await sideways(page)} too wide`);
        });
});
await test('axe-core finds nothing: light, dark, forced colours, ticked, large', async () => {
  for (const [name, at] of [['friday-supper', '2026-12-03T21:12:30Z'],
    ['winter-holiday', '2026-12-24T15:00:00Z'], ['hostile', '2026-12-04T19:05:00Z']])
    for (const scheme of [{ colorScheme: 'light' }, { colorScheme: 'dark' }, { forcedColors: 'active' }])
      await cook({ ...phone, ...scheme }, at, name, async (page) => {
        if (name === 'friday-supper') for (const n of [1, 2]) await box(page, n).check();
        await page.clock.runFor(1000);
        await page.evaluate(axe);
        await page.clock.resume();
        const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ['violations'] }));
        assert.deepEqual(found.violations.map((v) => `${v.id}: ${v.nodes[0].html.slice(0, 120)}`), [],
          `${name} ${JSON.stringify(scheme)}`);
      });
});
await test('dark where the surroundings are dark', () =>
  cook({ ...phone, colorScheme: 'dark' }, '2026-12-03T21:12:30Z', 'friday-supper', async (page) => {
    const [ground, ink] = await page.evaluate(() => {
      const s = getComputedStyle(document.body);
      return [s.backgroundColor, s.color].map((c) => c.match(/\d+/g).slice(0, 3).reduce((a, b) => a + +b, 0));
    });
    assert.ok(ground < 120 && ink > 600, `${ground} ${ink}`);
  }));
await test('forced colours keep what a shape tells', () =>
  cook({ ...phone, forcedColors: 'active' }, '2026-12-03T21:12:30Z', 'friday-supper', async (page) => {
    const look = () => page.locator('#bell').evaluate((e) => getComputedStyle(e).backgroundColor);
    const before = await look();
    await page.locator('#bell').click();
    assert.notEqual(await look(), before);
    assert.notEqual(await page.locator('.caution').first().evaluate((e) => getComputedStyle(e).borderLeftWidth), '0px');
  }));

// ---------------------------------------------------------------- ill will

await test('names are names: no script, no style, no request comes of them', () =>
  cook(phone, '2026-12-04T19:05:00Z', 'hostile', async (page) => {
    await page.clock.runFor(1000);
    assert.equal(await page.evaluate(() => window.bad), undefined);
    assert.equal(await page.locator('main img, main b[onclick]').count(), 0);
    assert.match(await page.title(), /^<\/style><\/title><script>window.bad = 1<\/script>/);
    assert.match(await text(page, 'h1'), /<script>window\.bad = 1<\/script>/);
  }));
await test('the policy lets no other script run', async () => {
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.goto(url('friday-supper'));
  await page.evaluate(() => {
    const s = document.createElement('script');
    s.textContent = 'window.bad = 1';
    document.head.append(s);
    document.body.insertAdjacentHTML('beforeend', '<img src="data:," onerror="window.bad = 2">');
  });
  await page.waitForTimeout(100);
  assert.equal(await page.evaluate(() => window.bad), undefined);
  await context.close();
});

// ---------------------------------------------------------------- paper

// The words of each sheet with their boxes, in points from the top.
async function sheets(name, act) {
  const context = await browser.newContext({ colorScheme: 'dark' });
  const page = await context.newPage();
  await page.goto(url(name));
  if (act) await act(page);
  const file = `${folder}/${name}.pdf`;
  await page.pdf({ path: file, preferCSSPageSize: true, printBackground: true });
  await context.close();
  const xml = execFileSync('pdftotext', ['-bbox', file, '-'], { encoding: 'utf8', maxBuffer: 1 << 26 });
  return xml.split('<page ').slice(1).map((sheet) => ({
    height: +sheet.match(/height="([\d.]+)"/)[1],
    width: +sheet.match(/width="([\d.]+)"/)[1],
    words: [...sheet.matchAll(/<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)<\/word>/g)]
      .map((m) => ({ x: +m[1], y: +m[2], right: +m[3], bottom: +m[4], text: m[5] })),
  }));
}
// Points: the margins, in which the head and the foot stand.
const HEAD = 30, FOOT = 28;
const body = (sheet) => sheet.words.filter((w) => w.y > HEAD && w.y < sheet.height - FOOT);
const lineOf = (sheet, y) => sheet.words.filter((w) => Math.abs(w.y - y) < 3).sort((a, b) => a.x - b.x)
  .map((w) => w.text).join(' ');
// A face's height over its size, of Liberation Serif by its hhea table: (1825 + 443) / 2048.
const TALL = (1825 + 443) / 2048;

// As many as they need, and no more: of winter holiday three days of fourteen dishes.
const MOST_SHEETS = { 'friday-supper': 2, 'sunday-roast': 2, 'birthday-tea': 2, 'winter-holiday': 9, hostile: 1 };
for (const [name, most] of Object.entries(MOST_SHEETS))
  await test(`${name} on A4: headed, numbered, filled, no day parted from its first step`, async () => {
    const all = await sheets(name);
    assert.ok(all.length <= most, `${all.length} sheets`);
    for (const [i, sheet] of all.entries()) {
      const words = body(sheet), at = `sheet ${i + 1}`;
      assert.ok(Math.abs(sheet.width - 595) < 2 && Math.abs(sheet.height - 842) < 2, `${at}: ${sheet.width}`);
      const head = sheet.words.filter((w) => w.y < HEAD).map((w) => w.text).join(' ');
      const foot = sheet.words.filter((w) => w.y > sheet.height - FOOT).map((w) => w.text).join(' ');
      if (name !== 'hostile') assert.match(head, /^[A-Z]\w+ (supper|roast|tea|holiday) \w+day \d+ \w+ 202\d$/, at);
      assert.equal(foot, 'Times are a plan, not a sign that food is safe to eat: check it as your local ' +
        `food-safety advice says. ${i + 1} of ${all.length}`, at);
      const low = Math.max(...words.map((w) => w.bottom));
      if (i + 1 < all.length) assert.ok(low > sheet.height / 3, `${at} ends at ${low}`);
      // What is too wide for a sheet would make all of it smaller.
      const hours = words.filter((w, n) => /^\d\d:\d\d$/.test(w.text) && Math.abs(w.right - 92) < 1.5 &&
        /^(Mon|Tue|Wed|Thu|Fri|Sat|Sun)$/.test(words[n - 1]?.text));
      assert.ok(hours.every((h) => h.bottom - h.y > 12 * TALL - 0.3), `${at}: hours of ${hours[0]?.bottom - hours[0]?.y}`);
      assert.ok(i > 0 || hours.length > 2, `${at}: ${hours.length} hours`);
      // A day's heading has its first step below it.
      const last = lineOf(sheet, Math.max(...words.map((w) => w.y)));
      assert.doesNotMatch(last, /^(\w+day \d+ \w+ 202\d.*|real time|To buy.*|Tins and tools)$/, at);
    }
    console.log(`        ${all.length} sheets`);
  });
await test('nothing on paper is smaller than 9 points', async () => {
  for (const name of Object.keys(MOST_SHEETS))
    await cook({ viewport: { width: Math.round(190 / 25.4 * 96), height: 1000 } }, null, name, async (page) => {
      await page.emulateMedia({ media: 'print' });
      const small = await page.evaluate(() => {
        const found = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
        while (walk.nextNode()) {
          const e = walk.currentNode.parentElement;
          if (!walk.currentNode.data.trim() || !e.checkVisibility() || e.closest('title,desc,style,script')) continue;
          const matrix = e.getScreenCTM?.() ?? { a: 1, b: 0 };
          const points = parseFloat(getComputedStyle(e).fontSize) * Math.hypot(matrix.a, matrix.b) * 0.75;
          if (points < 8.95) found.push(`${walk.currentNode.data.trim().slice(0, 30)}: ${points}`);
        }
        return found;
      });
      assert.deepEqual(small.slice(0, 5), [], name);
    });
});
await test('friday supper on paper: first what to buy, then steps in 12 points with their day', async () => {
  const all = await sheets('friday-supper');
  assert.equal(all.length, 2);
  const words = all.flatMap((s, i) => s.words.map((w) => ({ ...w, sheet: i })));
  const place = (t, from = 0) => words.findIndex((w, i) => i >= from && w.text === t);
  const steps = place('2026', place('Thursday', place('jelly,'))); // the first day's heading
  assert.ok(place('blackcurrants,') > 0 && place('blackcurrants,') < steps);
  const butter = words[place('Butter', steps)];
  assert.ok(butter.bottom - butter.y > 12 * TALL - 0.3, `${butter.bottom - butter.y}`);
  const hours = words.filter((w, i) => i > steps && /^\d\d:\d\d$/.test(w.text) &&
    /^(Thu|Fri)$/.test(words[i - 1]?.text) && w.x < 130);
  assert.equal(hours.length, 30);
  // The picture is as wide as the sheet between its margins of 10 mm, so its type is as large as drawn.
  const hands = words.filter((w) => w.text === 'Hands').map((w) => w.x / 72 * 25.4);
  assert.ok(hands.length > 0 && hands.every((x) => Math.abs(x - 10) < 0.5), `${hands}`);
  // The last of the steps is on the second sheet; the column for the real time is empty.
  assert.ok(Math.max(...hours.map((h) => h.sheet)) <= 1);
  // A step takes what to do, for how long and until when; what is for the screen is not there.
  assert.match(lineOf(all[0], butter.y), /^Thu 20:50 DO Butter the springform tin and line it with paper .*5 min/);
  assert.ok(!words.some((w) => w.text === 'hands' && w.sheet === 0));
  assert.ok(!words.some((w) => /\.json/.test(w.text)));
  assert.deepEqual(words.filter((w) => hours.some((h) => h.sheet === w.sheet && Math.abs(h.y - w.y) < 3) && w.x > 526)
    .map((w) => w.text), []);
});
await test('what is ticked and when is on paper too, unfolded', async () => {
  const all = await sheets('friday-supper', async (page) => {
    for (const n of [1, 2, 3]) {
      await box(page, n).check();
      await page.evaluate(() => document.body.classList.add('unfolded'));
      await page.locator(`#step-${n} input[type=time]`).fill(`14:3${n}`);
      await page.locator(`#step-${n} input[type=time]`).blur();
    }
    await page.evaluate(() => document.body.classList.remove('unfolded'));
  });
  // The times do not widen the sheet, which would make all letters smaller.
  assert.equal(all.length, 2);
  const butter = all[0].words.find((w) => w.text === 'Butter');
  assert.ok(butter.bottom - butter.y > 12 * TALL - 0.3, `${butter.bottom - butter.y}`);
  const times = all[0].words.filter((w) => w.x > 526 && /^\d\d:\d\d$/.test(w.text));
  assert.deepEqual(times.map((w) => w.text), ['14:31', '14:32', '14:33']);
  assert.ok(times.every((w) => w.right < 595 - 28 && Math.abs(w.bottom - w.y - 12 * TALL) < 0.5), JSON.stringify(times));
});

await browser.close();
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 && passed > 20 ? 0 : 1);

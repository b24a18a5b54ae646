// A phone's key opened from elsewhere, in Chromium: from another site, as a link in a message is, and typed
// in, as a scanner of codes does it. One press, and the phone is in. usage: pair.mjs BAKESET FOLDER
import { chromium } from 'playwright-core';
import { spawn } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { createServer } from 'node:http';
import assert from 'node:assert/strict';

const [, , bakeset, made] = process.argv;
const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
    '--disable-background-networking', '--disable-component-update', '--disable-sync'],
});
const folder = mkdtempSync(`${made}/pair-`);
const page = spawn(bakeset, ['page', folder, '--at-home', '127.0.0.1', '--port', '0'], { stdio: ['ignore', 'pipe', 'inherit'] });
let said = '';
page.stdout.on('data', (d) => {
  said += d;
});
async function until(look) {
  for (let i = 0; i < 400; i++) {
    const it = await look();
    if (it) return it;
    await new Promise((r) => setTimeout(r, 25));
  }
  throw new Error(`in vain: ${look}`);
}
const keys = () => said.match(/http:\S+\/k\/\S+/g) ?? [];
// Another site: another name, for which no cookie of ours counts as its own.
const elsewhere = createServer((request, answer) => {
  answer.setHeader('Content-Type', 'text/html');
  answer.end(`<a href="${keys().at(-1)}">the page</a>`);
});
await new Promise((r) => elsewhere.listen(0, r));
const site = `http://localhost:${elsewhere.address().port}/`;

async function isIn(tab, what) {
  const statuses = [];
  tab.on('response', (r) => {
    if (new URL(r.url()).pathname === '/' && r.url().includes('127.0.0.1')) statuses.push(r.status());
  });
  return async () => {
    await until(() => statuses.length > 0);
    assert.deepEqual(statuses, [200], what);
    await until(() => new URL(tab.url()).pathname === '/');
    assert.doesNotMatch(await tab.locator('body').innerText(), /no key/, what);
  };
}
try {
  await until(() => keys().length === 1);
  const linked = await (await browser.newContext()).newPage();
  await linked.goto(site);
  const linkedIsIn = await isIn(linked, 'a link on another site');
  await linked.getByRole('link').click();
  await linked.getByRole('link', { name: 'Let this phone in' }).click();
  await linkedIsIn();
  await until(() => keys().length === 2);
  const typed = await (await browser.newContext()).newPage();
  const typedIsIn = await isIn(typed, 'typed');
  await typed.goto(keys()[1]);
  await typed.getByRole('link', { name: 'Let this phone in' }).click();
  await typedIsIn();
  console.log('ok      a key opened from another site, and typed, lets the phone in');
} finally {
  page.kill('SIGKILL');
  elsewhere.close();
  await browser.close();
}

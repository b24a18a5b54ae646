// Which screen is shown. The address behind the # says it: #/cook/supper.json; so back, forward, a
// bookmark and a second phone work as they do everywhere.
import { announce, h, put } from './dom.js';
import { Gone, folder as askFolder, hear, listen } from './net.js';
import { send } from './outbox.js';
import { say, words } from './words.js';

// Each screen's script comes when it is first wanted: the first page stays small.
const screens = {
  '': () => import('./folder.js'), cook: () => import('./evening.js'), plan: () => import('./plan.js'),
  recipe: () => import('./recipe.js'), kitchen: () => import('./kitchen.js'), raw: () => import('./raw.js'),
  paste: () => import('./paste.js'), paper: () => import('./paper.js'),
};
const place = document.getElementById('screen');
let stop = null;
let n = 0;

export const here = () => {
  const [, name = '', ...rest] = location.hash.slice(1).split('/');
  let path = null;
  try {
    path = rest.length ? decodeURIComponent(rest.join('/')) : null;
  } catch {
    path = null;
  }
  return { name: screens[name] ? name : '', path };
};

async function show(first) {
  const mine = ++n;
  const { name, path } = here();
  stop?.();
  stop = null;
  const inside = h('div', { class: `screen ${name || 'folder'}` });
  let told;
  try {
    told = await (await screens[name]()).show(inside, path);
  } catch (fault) {
    // A script that does not come says nothing about why: what the server says to a question does.
    const noScript = fault instanceof TypeError;
    const e = noScript ? await askFolder().then(() => fault, (why) => why) : fault;
    const gone = e instanceof Gone;
    inside.replaceChildren(
      h('h1', { tabindex: '-1' }, gone ? words.noNetwork : words.cannotShow),
      h('p', {}, gone ? words.noNetworkHere : e.status === 401 ? words.noKey : e.message),
      h('p', { class: 'acts-row' }, h('button', { type: 'button', onclick: () => (noScript ? location.reload() : show(false)) }, words.again)),
    );
    told = { title: words.cannotShow, path: ['cook', 'plan', 'paper'].includes(name) ? path : null };
  }
  if (mine !== n) {
    told.stop?.();
    return;
  }
  stop = told.stop ?? null;
  place.replaceChildren(...(told.path ? [ways(told.path, name)] : []), inside);
  document.title = told.title ? say('title', { what: told.title }) : words.name;
  scrollTo(0, 0);
  if (!first) inside.querySelector('h1')?.focus();
}

// From one plan's screen to its others.
function ways(path, current) {
  const to = (name, text) => h('li', {}, h('a', {
    href: `#/${name}/${encodeURIComponent(path)}`, 'aria-current': name === current ? 'page' : null }, text));
  return h('nav', { 'aria-label': words.ways }, h('ul', {}, to('cook', words.toCook), to('plan', words.toPlan), to('paper', words.toPaper)));
}

addEventListener('hashchange', () => show(false));
document.getElementById('home').addEventListener('click', (e) => {
  e.preventDefault();
  if (here().name === '') show(false);
  location.hash = '#/';
});

const net = document.getElementById('net');
let keyless = false;
hear('keyless', () => {
  keyless = true;
  put(net, words.noKey);
});
hear('gone', () => put(net, keyless ? words.noKey : words.goesOn));
hear('there', () => {
  keyless = false;
  if (net.textContent) announce(words.back);
  put(net, '');
});

// On plain http a browser has no service worker: then the page must stay open to go on counting.
if ('serviceWorker' in navigator)
  setTimeout(() => navigator.serviceWorker.register('/site/sw.js', { scope: '/' }).catch(() => {}), 1500);
// The evening is there also when the network goes before it is wanted.
setTimeout(() => import('./evening.js').catch(() => {}), 1500);
listen();
send();
show(true);

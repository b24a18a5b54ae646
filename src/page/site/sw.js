// Keeps the page itself, so that a phone that is switched on again without the network still shows
// the evening. What the server knows is never kept here: that is told anew, or not at all.
const shell = ['/', '/site/page.css', '/site/app.js', '/site/words.js', '/site/dom.js', '/site/bidi.js', '/site/net.js',
  '/site/moment.js', '/site/outbox.js', '/site/draft.js', '/site/difference.js', '/site/values.js', '/site/form.js', '/site/guesses.js', '/site/keepbar.js', '/site/missing.js', '/site/folder.js', '/site/evening.js', '/site/item.js', '/site/household.js', '/site/aids.js',
  '/site/plan.js', '/site/answer.js', '/site/remedies.js', '/site/reasons.js', '/site/search.js', '/site/people.js', '/site/hours.js', '/site/recipe.js', '/site/step.js', '/site/where.js', '/site/after.js', '/site/cooling.js', '/site/temperatures.js', '/site/kitchen.js', '/site/raw.js', '/site/paste.js', '/site/amounts.js', '/site/paper.js',
  '/site/icon.svg', '/site/page.webmanifest'];
const name = 'bakeset';

self.addEventListener('install', (e) => {
  e.waitUntil(caches.open(name).then((c) => c.addAll(shell)).then(() => self.skipWaiting()));
});
self.addEventListener('activate', (e) => e.waitUntil(self.clients.claim()));
self.addEventListener('fetch', (e) => {
  const url = new URL(e.request.url);
  if (e.request.method !== 'GET' || url.origin !== location.origin || !shell.includes(url.pathname)) return;
  e.respondWith(fresh(e.request, url.pathname));
});

// The server's answer; the kept one when none comes within three seconds.
async function fresh(request, path) {
  const kept = await caches.open(name);
  const old = await kept.match(path);
  const asked = fetch(request).then(async (answer) => {
    if (answer.ok) await kept.put(path, answer.clone());
    return answer;
  });
  if (!old) return asked;
  const late = new Promise((r) => setTimeout(r, 3000, old));
  return Promise.race([asked.catch(() => old), late]);
}

// On paper, and into the phone's alarms.
import { h } from './dom.js';
import { button } from './form.js';
import { file, patch, publish } from './net.js';
import { words } from './words.js';

export async function show(place, path) {
  const { value, version } = await file(path);
  const at = encodeURIComponent(path);
  const said = h('ul', { class: 'facts', role: 'status' });
  const login = h('input', { id: 'login', type: 'text', autocomplete: 'off', autocapitalize: 'off', spellcheck: 'false' });
  const to = h('input', { id: 'publish-to', type: 'url', autocomplete: 'off', placeholder: 'https://' });
  const row = (link, text, more) => h('li', {}, link, h('span', { class: 'soft' }, text), more);
  place.append(
    h('h1', { tabindex: '-1' }, value?.occasion ?? path),
    h('ul', { class: 'rows papers' },
      row(h('a', { href: `/sheet?path=${at}`, class: 'button', target: '_blank', rel: 'noopener' }, words.sheet), words.sheetMore),
      row(h('a', { href: `/picture?path=${at}`, class: 'button', target: '_blank', rel: 'noopener' }, words.picture), words.pictureMore),
      row(h('a', { href: `/calendar?path=${at}`, class: 'button', download: `${path.replace(/.*\//, '').replace(/\.json$/, '')}.ics` }, words.calendar), words.calendarMore)),
    h('section', { 'aria-labelledby': 'h-publish' }, h('h2', { id: 'h-publish' }, words.publishHead),
      value?.publish
        ? [h('p', {}, words.publishTo, ' ', h('b', {}, value.publish)),
          h('div', { class: 'field' }, h('label', { for: 'login' }, words.login), login, h('span', { class: 'hint' }, words.loginHint)),
          h('p', { class: 'acts-row' }, button(words.publish, async () => {
            said.replaceChildren();
            const told = await publish(path, login.value || undefined);
            said.replaceChildren(...(told.said ?? []).map((line) => h('li', {}, line)));
          }, { class: 'main' })), said]
        : [h('div', { class: 'field' }, h('label', { for: 'publish-to' }, words.publishAddress), to, h('span', { class: 'hint' }, words.publishHint)),
          h('p', { class: 'acts-row' }, button(words.keep, async () => {
            if (!to.value.trim()) return;
            await patch(path, version, [{ op: 'add', path: '/publish', value: to.value.trim() }]);
            place.replaceChildren();
            await show(place, path);
            document.getElementById('login').focus();
          }))]));
  return { title: value?.occasion ?? path, path };
}

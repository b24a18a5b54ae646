// The search that goes on beside a plan's first answer, until it is the best or somebody says that it
// will do.
import { announce, h, put } from './dom.js';
import { button } from './form.js';
import { Refused, giveUp, hear, search } from './net.js';
import { words } from './words.js';

// After the last key it begins by itself; so long later, for who goes on typing needs none.
const patience = 1200;

// `asked()`: [path, text] of the plan as it is; tell(event) shows how far it is, with `state` in words.
export function searchBeside(asked, tell) {
  let id = null, timer = null, asking = 0;
  const press = button('', () => (id ? stop(true) : begin(true)));
  const row = h('p', { class: 'acts-row', hidden: true }, press);
  const says = () => put(press, id ? words.giveUp : words.searchLonger);

  async function begin(byHand) {
    clearTimeout(timer);
    const mine = ++asking;
    let told;
    try {
      told = await search(...asked());
    } catch (e) {
      // Nobody asked for it: where enough is being searched for, the button is there.
      if (byHand || !(e instanceof Refused)) throw e;
      return;
    }
    if (mine !== asking) {
      giveUp(told.id).catch(() => {});
      return;
    }
    id = told.id;
    says();
    tell({ state: words.searching });
  }
  // `byHand`: what was found so far stays, and comes with the search's last event.
  async function stop(byHand) {
    clearTimeout(timer);
    asking++;
    const was = id;
    id = byHand ? id : null;
    says();
    if (was) await giveUp(was).catch((e) => {
      if (byHand && !(e instanceof Refused)) throw e;
      id = null;
      says();
    });
  }
  const stopHear = hear('search', (of) => {
    if (!id || of?.id !== id) return;
    const over = of.over ?? of.state !== 'so far';
    const best = ['the best', 'impossible'].includes(of.state);
    const state = of.state === 'the best' ? words.theBest : over ? words.soFar : words.soFarGoesOn;
    if (over) id = null;
    row.hidden = best;
    says();
    tell({ ...of, state });
    if (over) announce(state);
  });
  // The server was away: what it searched for is gone with it.
  const stopGone = hear('gone', () => {
    if (!id) return;
    id = null;
    says();
    tell({ state: words.soFar });
  });
  says();
  return {
    row,
    // There is an answer; `settled`: no better one.
    answered(settled) {
      row.hidden = settled;
      clearTimeout(timer);
      if (!settled) timer = setTimeout(() => begin(false).catch(() => {}), patience);
    },
    // The plan is another: what was searched for is of no use.
    reset() {
      stop(false);
      row.hidden = true;
    },
    end() {
      stop(false);
      stopHear();
      stopGone();
    },
  };
}

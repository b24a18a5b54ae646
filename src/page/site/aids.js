// Of this phone: the bell, and the screen that stays on.
import { h } from './dom.js';
import { words } from './words.js';

// A browser makes no sound before somebody has pressed something: the cook asks for the bell. It goes
// on sounding when the screen is left and come back to.
let sound = null;
export function ring(times = 2) {
  if (!sound) return;
  sound.resume();
  for (let n = 0; n < times; n++)
    for (const [pitch, loud] of [[880, 0.5], [1318.5, 0.25], [2637, 0.12]]) {
      const tone = sound.createOscillator(), size = sound.createGain();
      const at = sound.currentTime + n * 0.7;
      tone.frequency.value = pitch;
      size.gain.setValueAtTime(0.0001, at);
      size.gain.exponentialRampToValueAtTime(loud, at + 0.01);
      size.gain.exponentialRampToValueAtTime(0.0001, at + 1.2);
      tone.connect(size).connect(sound.destination);
      tone.start(at);
      tone.stop(at + 1.3);
    }
}
const pressed = (made, is) => made.setAttribute('aria-pressed', String(Boolean(is)));

// `cannot(words)` says what this browser does not let be.
export function bell(cannot) {
  const made = h('button', { type: 'button', 'aria-pressed': String(Boolean(sound)), onclick: () => {
    if (sound) {
      sound.close();
      sound = null;
    } else {
      try {
        sound = new AudioContext();
        ring(1);
      } catch {
        sound = null;
        cannot(words.noBell);
      }
    }
    pressed(made, sound);
  } }, words.bell);
  return made;
}

// {button, again: after the page was out of sight, stop}
export function awake(cannot) {
  let lock = null, wanted = false;
  const button = h('button', { type: 'button', 'aria-pressed': 'false', onclick: async () => {
    if (!('wakeLock' in navigator)) {
      cannot(words.noAwake);
      return;
    }
    wanted = !wanted;
    if (wanted) await again();
    else await lock?.release();
    pressed(button, wanted);
  } }, words.awake);
  async function again() {
    if (!wanted || document.visibilityState !== 'visible') return;
    try {
      lock = await navigator.wakeLock.request('screen');
    } catch {
      wanted = false;
      pressed(button, false);
      cannot(words.noAwake);
    }
  }
  return { button, again, stop: () => {
    wanted = false;
    lock?.release().catch(() => {});
  } };
}

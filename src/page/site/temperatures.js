// Temperatures as a cook writes them, in the scale of the kitchen: "350 F" in one that goes by US rules.
import { say } from './words.js';

const written = /^\s*(-?\d+(?:\.\d+)?)(?:\s*[-–]\s*(-?\d+(?:\.\d+)?))?\s*(?:°\s*)?([CF])\b\s*(fan)?\s*$/i;

// The same on the other scale, where it is written in the one that the kitchen has not: "356 F"; else ''.
export function onScale(text, scale) {
  const m = written.exec(text ?? '');
  if (!m || m[3].toUpperCase() === scale) return '';
  const turned = (n) => Math.round(scale === 'F' ? Number(n) * 1.8 + 32 : (Number(n) - 32) / 1.8);
  return [turned(m[1]), m[2] && turned(m[2])].filter((n) => n !== undefined).join('-') + `\u00a0°${scale}${m[4] ? ' fan' : ''}`;
}
// As it is shown: "356 °F (180 C)", or as it is written.
export function shownOn(text, scale) {
  const other = onScale(text, scale);
  return other ? say('onScale', { other, text }) : text;
}
// A bare number is one of the kitchen's scale.
export const withUnit = (text, scale) => (/^\s*-?\d+(\.\d+)?(\s*-\s*-?\d+(\.\d+)?)?\s*$/.test(text) ? `${text.trim()} ${scale}` : text);

// A field for one: a bare number gets its unit when one goes on, and what is written on the other scale
// stands below on the kitchen's.
export function heat(form, label, pointer, value, set, { scale, usual, ...given }) {
  const made = form.field(label, pointer, value, (text) => {
    set(text);
    tell(text);
  }, { placeholder: usual[scale], hint: ' ', class: 'short', ...given });
  const control = made.querySelector('input'), hint = made.querySelector('.hint');
  made.classList.add('heat');
  control.before(hint);
  const tell = (text) => {
    const other = onScale(text, scale);
    hint.textContent = other;
    hint.hidden = !other;
  };
  tell(value);
  control.addEventListener('change', () => {
    const whole = withUnit(control.value, scale);
    if (whole === control.value) return;
    control.value = whole;
    set(whole);
    form.changed();
  });
  return made;
}

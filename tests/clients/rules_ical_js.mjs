// Repeat rules through ical.js: for each line {"start", "rule", "last"} on standard input the
// readings of the wall's clock, "2026-12-18T19:30:00", up to `last`, as one JSON list a line.
import fs from 'node:fs';
import ICAL from 'ical.js';

const MOST = 20000;
for (const line of fs.readFileSync(0, 'utf8').split('\n').filter(Boolean)) {
  const { start, rule, last } = JSON.parse(line);
  const walls = [];
  try {
    const iterator = ICAL.Recur.fromString(rule).iterator(ICAL.Time.fromString(start));
    for (let next = iterator.next(); next && walls.length < MOST; next = iterator.next()) {
      if (next.toString() > last) break;
      walls.push(next.toString());
    }
    console.log(JSON.stringify(walls));
  } catch (error) {
    console.log(JSON.stringify(String(error)));
  }
}

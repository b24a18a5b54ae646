// An .ics through node-ical: one JSON line an event, as readers.md says. It gives an all-day
// event as midnight of the machine's zone, and its own end for one without DTEND.
import ical from 'node-ical';

const seconds = (date, allDay) => (allDay
  ? `${date.getFullYear()}-${String(date.getMonth() + 1).padStart(2, '0')}-${String(date.getDate()).padStart(2, '0')}`
  : date.getTime() / 1000);

// [-]P[nD]T[nH][nM][nS] in seconds; node-ical leaves a trigger as its text.
const duration = (text) => {
  const part = /^([+-]?)P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)S)?)?$/.exec(text);
  if (!part) throw new Error(`trigger ${text}`);
  const [d, h, m, s] = part.slice(2).map((n) => Number(n ?? 0));
  return (part[1] === '-' ? -1 : 1) * (((d * 24 + h) * 60 + m) * 60 + s);
};

const text = (value) => (typeof value === 'object' ? value.val : value);

for (const event of Object.values(ical.sync.parseFile(process.argv[2]))) {
  if (event.type !== 'VEVENT') continue;
  const allDay = event.datetype === 'date';
  const alarms = (event.alarms ?? []).map((alarm) => ({
    at: event.start.getTime() / 1000 + duration(text(alarm.trigger)),
    text: text(alarm.description),
  }));
  console.log(JSON.stringify({
    uid: event.uid,
    start: seconds(event.start, allDay),
    end: allDay ? null : seconds(event.end, false),
    summary: text(event.summary),
    alarms,
  }));
}

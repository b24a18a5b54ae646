// An .ics through ical.js: one JSON line an event, as readers.md says.
import fs from 'node:fs';
import ICAL from 'ical.js';

const seconds = (time) => (time.isDate ? time.toString() : time.toUnixTime());

const root = new ICAL.Component(ICAL.parse(fs.readFileSync(process.argv[2], 'utf8')));
for (const component of root.getAllSubcomponents('vevent')) {
  const event = new ICAL.Event(component);
  if (!event.startDate.isDate && event.startDate.zone !== ICAL.Timezone.utcTimezone)
    throw new Error('not in UTC');
  const alarms = component.getAllSubcomponents('valarm').map((alarm) => {
    const at = event.startDate.clone();
    at.addDuration(alarm.getFirstPropertyValue('trigger'));
    return { at: seconds(at), text: alarm.getFirstPropertyValue('description') };
  });
  console.log(JSON.stringify({
    uid: event.uid,
    start: seconds(event.startDate),
    end: component.hasProperty('dtend') ? seconds(event.endDate) : null,
    summary: event.summary,
    alarms,
  }));
}

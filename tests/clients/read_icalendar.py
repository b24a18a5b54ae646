#!/usr/bin/env python3
"""An .ics through python3-icalendar: one JSON line an event, as readers.md says."""
import datetime
import json
import sys

from icalendar import Calendar


def seconds(value):
    if not isinstance(value, datetime.datetime):
        return value.isoformat()
    assert value.utcoffset() == datetime.timedelta(0), f"not in UTC: {value}"
    return int(value.timestamp())


def alarms(event):
    for part in event.subcomponents:
        assert part.name == "VALARM" and str(part["ACTION"]) == "DISPLAY"
        yield {"at": seconds(event["DTSTART"].dt + part["TRIGGER"].dt),
               "text": str(part["DESCRIPTION"])}


with open(sys.argv[1], "rb") as file:
    calendar = Calendar.from_ical(file.read())
for event in calendar.subcomponents:
    assert event.name == "VEVENT" and not event.errors, event.errors
    print(json.dumps({"uid": str(event["UID"]), "start": seconds(event["DTSTART"].dt),
                      "end": seconds(event["DTEND"].dt) if "DTEND" in event else None,
                      "summary": str(event["SUMMARY"]), "alarms": list(alarms(event))}))

#!/usr/bin/env python3
"""An .ics through python3-vobject: one JSON line an event, as readers.md says."""
import datetime
import json
import sys

import vobject


def seconds(value):
    if not isinstance(value, datetime.datetime):
        return value.isoformat()
    assert value.utcoffset() == datetime.timedelta(0), f"not in UTC: {value}"
    return int(value.timestamp())


with open(sys.argv[1], encoding="utf-8", newline="") as file:
    calendar = vobject.readOne(file.read())
calendar.validate(raiseException=True)
for event in calendar.vevent_list:
    alarms = [{"at": seconds(event.dtstart.value + alarm.trigger.value),
               "text": alarm.description.value} for alarm in getattr(event, "valarm_list", [])]
    print(json.dumps({"uid": event.uid.value, "start": seconds(event.dtstart.value),
                      "end": seconds(event.dtend.value) if hasattr(event, "dtend") else None,
                      "summary": event.summary.value, "alarms": alarms}))

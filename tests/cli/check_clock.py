#!/usr/bin/env python3
"""Every instant of a timeline's JSON against python3's zoneinfo: its offset is the zone's, the
stages last as long as planned in elapsed time, and hands-on stages keep out of 22:30-07:00."""
import datetime
import json
import sys
import zoneinfo

zoneinfo.reset_tzpath(to=["/usr/share/zoneinfo"])
timeline = json.load(open(sys.argv[1], encoding="utf-8"))
zone = zoneinfo.ZoneInfo(timeline["timezone"])
for stage in timeline["stages"]:
    start, end = (datetime.datetime.fromisoformat(stage[name]) for name in ("start", "end"))
    for text, moment in ((stage["start"], start), (stage["end"], end)):
        there = moment.astimezone(datetime.timezone.utc).astimezone(zone)
        assert there.isoformat() == text, f"{text} is {there.isoformat()}"
    elapsed = (end - start).total_seconds() / 60
    assert elapsed == stage["planned_minutes"], f"{stage['stage']} lasts {elapsed}"
    if stage["attention"] == "hands":
        minute = start
        while minute < end:
            clock = minute.astimezone(datetime.timezone.utc).astimezone(zone).time()
            assert datetime.time(7) <= clock < datetime.time(22, 30), f"hands at {clock}"
            minute += datetime.timedelta(minutes=1)
print(len(timeline["stages"]), "stages")

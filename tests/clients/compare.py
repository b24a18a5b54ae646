#!/usr/bin/env python3
"""Holds what independent readers see in an .ics against each other and against the timeline's JSON.

    compare.py TIMELINE.json READER.jsonl...

Exit 0 when all see the same events, every start and alarm to the second, and when the events are
those that the timeline calls for."""
import datetime
import json
import pathlib
import re
import sys


def seconds(text):
    return int(datetime.datetime.fromisoformat(text).timestamp())


def plain(text):
    """As a calendar shows it: blanks of every kind are one."""
    return " ".join(text.split())


def load(path):
    events = [json.loads(line) for line in open(path, encoding="utf-8")]
    for event in events:
        event["summary"] = plain(event["summary"])
        if isinstance(event["start"], str) and event["end"]:
            # a whole day: some readers give its end, which is the next day, and some do not
            day = datetime.date.fromisoformat(event["start"])
            assert event["end"] == (day + datetime.timedelta(days=1)).isoformat(), event
            event["end"] = None
    return sorted(events, key=lambda event: event["uid"])


def check_readers(readers):
    problems = []
    first_name, first = next(iter(readers.items()))
    for name, events in readers.items():
        if len(events) != len(first):
            problems.append(f"{name} sees {len(events)} events, {first_name} {len(first)}")
            continue
        for one, other in zip(first, events):
            seen = dict(one)
            if isinstance(other["alarms"], int):
                seen["alarms"] = len(one["alarms"])
            else:
                for alarms in (seen["alarms"], other["alarms"]):
                    for alarm in alarms:
                        alarm["text"] = plain(alarm["text"])
            if seen != other:
                problems.append(f"{name} sees {other}, {first_name} {seen}")
    return problems


def called_for(timeline):
    """(start, end or None, words) of everything that must ring."""
    names = {}
    for stage in timeline["stages"]:
        dish, text = plain(stage["dish"]), plain(stage["do"])
        if stage["attention"] == "hands":
            yield seconds(stage["start"]), seconds(stage["end"]), text
        for check in stage["checks"]:
            yield seconds(check["start"]), None, plain(check["do"])
        if stage["oven"]:
            names.setdefault((stage["dish"], stage["oven"], stage["start"]), stage)
    for stage in timeline["stages"]:
        goes_on = (stage["dish"], stage["oven"], stage["end"]) in names
        if stage["oven"] and not goes_on:
            yield seconds(stage["end"]), None, "Take out: " + plain(stage["dish"])
    for run in timeline["ovens"]:
        yield seconds(run["on"]), None, "Turn "


def says(summary, words):
    """A summary has about 40 characters: the first words of a deed, and how many more
    there are in its minute."""
    return words[:9] in summary or re.search(r" \+[0-9]+$", summary)


def check_timeline(timeline, events):
    problems = []
    ringing = [event for event in events if event["alarms"]]
    explained = set()
    for start, end, words in called_for(timeline):
        found = [event for event in ringing
                 if event["start"] == start and says(event["summary"], words)
                 and (end is None or event["end"] == end)]
        if not found:
            problems.append(f"nothing rings at {start} for {words!r}")
        explained.update(event["uid"] for event in found)
    for event in ringing:
        for alarm in event["alarms"]:
            if alarm["at"] != event["start"]:
                problems.append(f"alarm at {alarm['at']} of the event at {event['start']}")
            if plain(alarm["text"]) != event["summary"]:
                problems.append(f"alarm says {alarm['text']!r}, event {event['summary']!r}")
        if len(event["alarms"]) != 1:
            problems.append(f"{len(event['alarms'])} alarms: {event['summary']}")
    # What rings besides: ovens turned off, and steps that somebody must start or bring to table.
    starts = {seconds(stage["start"]) for stage in timeline["stages"]}
    for event in ringing:
        if event["uid"] in explained:
            continue
        known = event["start"] in starts or "Turn off" in event["summary"] or " +" in event["summary"] or \
            "Take out and serve" in event["summary"]
        if not known:
            problems.append(f"rings for no reason: {event['summary']}")
    return problems


def main():
    timeline = json.load(open(sys.argv[1], encoding="utf-8"))
    readers = {pathlib.Path(path).suffixes[0][1:]: load(path) for path in sys.argv[2:]}
    problems = check_readers(readers) + check_timeline(timeline, next(iter(readers.values())))
    for problem in problems[:20]:
        print(f"{sys.argv[1]}: {problem}", file=sys.stderr)
    sys.exit(1 if problems else 0)


main()

#!/usr/bin/env python3
"""Repeat rules read from calendars, against python3-dateutil: random rules in five zones, every
occurrence in 600 days. Usage: rules.py OCCURRENCES-PROGRAM FOLDER [COUNT [SEED]]"""
import datetime
import pathlib
import random
import subprocess
import sys
import zoneinfo

from dateutil.rrule import rrulestr

UTC = datetime.timezone.utc
FROM = datetime.datetime(2026, 1, 1, tzinfo=UTC)
TO = FROM + datetime.timedelta(days=600)
ZONES = ["Europe/London", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu", "Europe/Dublin"]
DAYS = "MO TU WE TH FR SA SU".split()


def minutes(moment):
    return int(moment.timestamp()) // 60


def rule(chance):
    frequency = chance.choice(["DAILY", "WEEKLY", "WEEKLY", "MONTHLY", "MONTHLY", "YEARLY"])
    text = f"FREQ={frequency}"
    if chance.random() < 0.5:
        text += f";INTERVAL={chance.randint(1, 4)}"
    if frequency == "WEEKLY" and chance.random() < 0.7:
        text += ";BYDAY=" + ",".join(chance.sample(DAYS, chance.randint(1, 3)))
    if frequency == "MONTHLY":
        text += chance.choice(["", ";BYDAY=" + chance.choice(["1", "2", "-1", "3", ""]) + chance.choice(DAYS),
                               ";BYMONTHDAY=" + chance.choice(["1", "15", "31", "-1", "29,30"]),
                               ";BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1"])
    if frequency == "YEARLY" and chance.random() < 0.6:
        text += f";BYMONTH={chance.randint(1, 12)};BYDAY=" + chance.choice(["1", "-1", "2"]) + chance.choice(DAYS)
    if chance.random() < 0.3:
        text += ";WKST=" + chance.choice(DAYS)
    return text


def case(chance):
    """An event's text, and the starts that dateutil gives it."""
    name = chance.choice(ZONES)
    zone = zoneinfo.ZoneInfo(name)
    start = datetime.datetime(chance.randint(2019, 2027), chance.randint(1, 12), chance.randint(1, 28),
                              chance.randint(0, 23), chance.choice([0, 15, 30]))
    written = on_wall = rule(chance)
    end = chance.random()
    if end < 0.25:
        written = on_wall = written + f";COUNT={chance.randint(1, 200)}"
    elif end < 0.5:
        until = start + datetime.timedelta(days=chance.randint(0, 3000))
        on_wall += until.strftime(";UNTIL=%Y%m%dT%H%M%S")
        written += until.replace(tzinfo=zone).astimezone(UTC).strftime(";UNTIL=%Y%m%dT%H%M%SZ")
    walls = {start}
    for wall in rrulestr(on_wall, dtstart=start):
        if wall > TO.replace(tzinfo=None) + datetime.timedelta(days=2):
            break
        walls.add(wall)
    # A time that is skipped counts from the offset before the gap: fold 0 does that.
    starts = {wall.replace(tzinfo=zone).astimezone(UTC) for wall in walls}
    text = (f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//rules//EN\r\nBEGIN:VEVENT\r\nUID:1\r\n"
            f"DTSTART;TZID={name}:{start:%Y%m%dT%H%M%S}\r\nDURATION:PT1M\r\nRRULE:{written}\r\n"
            "END:VEVENT\r\nEND:VCALENDAR\r\n")
    return text, sorted(minutes(one) for one in starts if FROM <= one < TO)


def main():
    program, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    count = int(sys.argv[3]) if len(sys.argv) > 3 else 1000
    seed = int(sys.argv[4]) if len(sys.argv) > 4 else 20261125
    chance = random.Random(seed)
    folder.mkdir(parents=True, exist_ok=True)
    cases = []
    for number in range(count):
        text, starts = case(chance)
        path = folder / f"{number}.ics"
        path.write_bytes(text.encode())
        cases.append((path, text, starts))
    lines = subprocess.run([program, str(minutes(FROM)), str(minutes(TO))] + [str(path) for path, _, _ in cases],
                           capture_output=True, text=True, check=True).stdout.splitlines()
    wrong = 0
    for (path, text, starts), line in zip(cases, lines, strict=True):
        if line.split() != [str(start) for start in starts]:
            wrong += 1
            print(f"{path}: {text.splitlines()[5]} {text.splitlines()[7]}: {line[:100]}", file=sys.stderr)
    print(f"seed {seed}: {count} rules, {sum(len(starts) for _, _, starts in cases)} occurrences, {wrong} differ")
    sys.exit(1 if wrong or not cases else 0)


main()

#!/usr/bin/env python3
"""Repeat rules read from calendars, against python3-dateutil: random rules of every kind in five
zones, every occurrence in 600 days; and, where it has them, as ical.js has them.
Usage: rules.py OCCURRENCES-PROGRAM FOLDER [RULES-ICAL-JS [COUNT [SEED]]]"""
import datetime
import json
import pathlib
import random
import re
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


def some(chance, values, most):
    return ",".join(str(one) for one in sorted(chance.sample(values, chance.randint(1, min(most, len(values))))))


def either(low, high):
    return [one for one in range(-high, high + 1) if abs(one) >= low]


def rule(chance):
    """One of every kind that RFC 5545 section 3.3.10 has a meaning for."""
    frequency = chance.choice("HOURLY MINUTELY DAILY WEEKLY WEEKLY MONTHLY MONTHLY YEARLY YEARLY YEARLY".split())
    parts = {}
    if chance.random() < 0.5:
        parts["INTERVAL"] = {"HOURLY": chance.randint(2, 100), "MINUTELY": chance.randint(100, 5000)}.get(
            frequency, chance.randint(1, 5))
    elif frequency in ("HOURLY", "MINUTELY"):
        parts["INTERVAL"] = 360
    if chance.random() < 0.3:
        parts["BYMONTH"] = some(chance, range(1, 13), 4)
    if frequency in ("MONTHLY", "YEARLY", "DAILY", "HOURLY") and chance.random() < 0.4:
        parts["BYMONTHDAY"] = some(chance, either(1, 31), 8)
    if frequency == "YEARLY" and chance.random() < 0.2:
        parts["BYYEARDAY"] = some(chance, either(1, 366), 20)
    if frequency == "YEARLY" and chance.random() < 0.2:
        parts["BYWEEKNO"] = some(chance, either(1, 53), 8)
    if chance.random() < 0.5:
        days = chance.sample(DAYS, chance.randint(1, 5))
        if frequency == "MONTHLY" or (frequency == "YEARLY" and "BYWEEKNO" not in parts):
            most = 5 if frequency == "MONTHLY" or "BYMONTH" in parts else 53
            # Of "MO,2TU" dateutil gives what is both, and RFC 5545 what is either: not mixed here.
            if chance.random() < 0.6:
                days = [chance.choice(["1", "2", "-1", str(chance.choice(either(1, most)))]) + day for day in days]
        parts["BYDAY"] = ",".join(days)
    if frequency in ("DAILY", "WEEKLY", "MONTHLY", "YEARLY") and chance.random() < 0.15:
        parts["BYHOUR"] = some(chance, range(24), 3)
    if chance.random() < 0.1 and frequency != "MINUTELY":
        parts["BYMINUTE"] = some(chance, range(60), 3)
    # A position that no period has costs dateutil its search to the year 9999.
    if any(name.startswith("BY") for name in parts) and frequency != "MINUTELY" and chance.random() < 0.25:
        parts["BYSETPOS"] = chance.choice(["1", "-1"]) + chance.choice(["", ",2", ",-2", ",3,-4", ",-3,5", ",-6"])
    if chance.random() < 0.3:
        parts["WKST"] = chance.choice(DAYS)
    return f"FREQ={frequency}" + "".join(f";{name}={value}" for name, value in parts.items())


def for_dateutil(text, start):
    """A weekday that is missing beside week numbers is DTSTART's (3.3.10); dateutil takes all seven.
    And it looks for what never comes until the year 9999: no further than matters."""
    parts = dict(part.split("=") for part in text.split(";"))
    if "BYWEEKNO" in parts and not parts.keys() & {"BYDAY", "BYMONTHDAY", "BYYEARDAY"}:
        text += ";BYDAY=" + DAYS[start.weekday()]
    if "UNTIL" not in parts:
        text += (TO + datetime.timedelta(days=2)).strftime(";UNTIL=%Y%m%dT%H%M%S")
    return text


def case(chance):
    """An event's text, and the starts that dateutil gives it."""
    name = chance.choice(ZONES)
    zone = zoneinfo.ZoneInfo(name)
    written = on_wall = rule(chance)
    often = "HOURLY" in written or "MINUTELY" in written
    start = datetime.datetime(chance.randint(2026 if often else 2019, 2027), chance.randint(1, 12), chance.randint(1, 28),
                              chance.randint(0, 23), chance.choice([0, 15, 30]))
    # Of the first week dateutil counts the positions from DTSTART, and RFC 5545 from the week's start.
    if "WEEKLY" in written and "BYSETPOS" in written:
        first = dict(part.split("=") for part in written.split(";")).get("WKST", "MO")
        start -= datetime.timedelta(days=(start.weekday() - DAYS.index(first)) % 7)
    end = chance.random()
    if end < 0.25:
        written = on_wall = written + f";COUNT={chance.randint(1, 200)}"
    elif end < 0.5:
        until = start + datetime.timedelta(days=chance.randint(0, 3000))
        on_wall += until.strftime(";UNTIL=%Y%m%dT%H%M%S")
        written += until.replace(tzinfo=zone).astimezone(UTC).strftime(";UNTIL=%Y%m%dT%H%M%SZ")
    walls = {start}
    for wall in rrulestr(for_dateutil(on_wall, start), dtstart=start):
        if wall > TO.replace(tzinfo=None) + datetime.timedelta(days=2):
            break
        walls.add(wall)
    # A time that is skipped counts from the offset before the gap: fold 0 does that.
    starts = {wall.replace(tzinfo=zone).astimezone(UTC) for wall in walls}
    text = (f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//rules//EN\r\nBEGIN:VEVENT\r\nUID:1\r\n"
            f"DTSTART;TZID={name}:{start:%Y%m%dT%H%M%S}\r\nDURATION:PT1M\r\nRRULE:{written}\r\n"
            "END:VEVENT\r\nEND:VCALENDAR\r\n")
    return text, sorted(minutes(one) for one in starts if FROM <= one < TO)


def ical_js_has(text):
    """ical.js 2.2.1 otherwise: it refuses, or never ends, or leaves out or adds dates that dateutil and the
    text of RFC 5545 have, for positions, week numbers, days of the year, hours and minutes, days of the
    month but for monthly rules by positive ones, months but for yearly rules, numbered weekdays of a year;
    and it counts DTSTART also where the rule does not give it."""
    parts = dict(part.split("=") for part in text.split(";"))
    frequency = parts["FREQ"]
    by_month_day = "BYMONTHDAY" in parts and ("BYDAY" in parts or "-" in parts["BYMONTHDAY"] or frequency != "MONTHLY")
    numbered = frequency == "YEARLY" and "BYMONTH" not in parts and re.search(r"\d", parts.get("BYDAY", ""))
    return not (parts.keys() & {"BYSETPOS", "BYWEEKNO", "BYYEARDAY", "BYHOUR", "BYMINUTE"} or by_month_day or numbered
                or frequency in ("HOURLY", "MINUTELY") or (frequency != "YEARLY" and "BYMONTH" in parts)
                or ("COUNT" in parts and len(parts) > 3))


def through_ical_js(script, cases):
    """How many of the cases ical.js was asked, and those where it has other starts."""
    asked = []
    for path, text, starts in cases:
        rule_text = re.search(r"RRULE:(.*)\r", text)[1]
        zone = zoneinfo.ZoneInfo(re.search(r"TZID=(.*?):", text)[1])
        start = datetime.datetime.strptime(re.search(r"DTSTART.*?:(\w+)", text)[1], "%Y%m%dT%H%M%S")
        if not ical_js_has(rule_text):
            continue
        until = re.search(r"UNTIL=(\w+)Z", rule_text)
        if until:  # it is asked for readings of the wall's clock
            wall = datetime.datetime.strptime(until[1], "%Y%m%dT%H%M%S").replace(tzinfo=UTC).astimezone(zone)
            rule_text = rule_text.replace(until[0], wall.strftime("UNTIL=%Y%m%dT%H%M%S"))
        last = (TO + datetime.timedelta(days=2)).strftime("%Y-%m-%dT%H:%M:%S")
        asked.append((path, starts, zone, start, {"start": start.isoformat(), "rule": rule_text, "last": last}))
    answers = subprocess.run(["node", script.name], cwd=script.parent, capture_output=True, text=True, check=True,
                             input="".join(json.dumps(one[-1]) + "\n" for one in asked), timeout=300).stdout
    wrong = []
    for (path, starts, zone, start, question), answer in zip(asked, answers.splitlines(), strict=True):
        walls = {start} | {datetime.datetime.fromisoformat(wall) for wall in json.loads(answer)}
        theirs = sorted(minutes(wall.replace(tzinfo=zone).astimezone(UTC)) for wall in walls)
        if [one for one in theirs if minutes(FROM) <= one < minutes(TO)] != starts:
            wrong.append(f"{path}: {question['rule']}: not so in ical.js")
    return len(asked), wrong


def main():
    program, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    script = pathlib.Path(sys.argv[3]) if len(sys.argv) > 3 else None
    count = int(sys.argv[4]) if len(sys.argv) > 4 else 3000
    seed = int(sys.argv[5]) if len(sys.argv) > 5 else 20261125
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
    if script:
        asked, others = through_ical_js(script, cases)
        print("\n".join(others + [f"ical.js: {asked} of them, {len(others)} differ"]))
        wrong += len(others) + (asked == 0)
    sys.exit(1 if wrong or not cases else 0)


main()

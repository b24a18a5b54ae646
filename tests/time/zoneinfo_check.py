#!/usr/bin/env python3
"""Prints what python3's zoneinfo says of the system's zone data, for the tests of src/time.

    zoneinfo_check.py SEED [YEARS]   all zones: random instants and YEARS (default 4) random years'
                                     clock changes, minute by minute around each
    zoneinfo_check.py --table        the changes kept in tests/data/zone_changes.txt

Lines: "i ZONE INSTANT OFFSET ABBREVIATION Y M D h m" for an instant, and
"c ZONE Y M D h m KIND INSTANT" for a civil time, where KIND is u(nique), r(epeated: the first
instant) or s(kipped: the instant of the change). Instants are minutes since 1970-01-01T00:00Z.
"""
import datetime
import random
import sys
import zoneinfo

UTC = datetime.timezone.utc
EPOCH = datetime.datetime(1970, 1, 1, tzinfo=UTC)
FIRST_YEAR, LAST_YEAR = 1980, 2199
MINUTE = datetime.timedelta(minutes=1)

TABLE_ZONES = """Europe/London Europe/Dublin Europe/Berlin America/New_York America/St_Johns
America/Sao_Paulo America/Havana America/Santiago Africa/Casablanca Africa/Cairo Asia/Kathmandu
Asia/Tehran Australia/Lord_Howe Pacific/Apia Pacific/Chatham Antarctica/Troll UTC""".split()
TABLE_YEARS = [1985, 2005, 2011, 2026]


def minutes(moment):
    return (moment - EPOCH) // MINUTE


def at(zone, minute):
    return (EPOCH + minute * MINUTE).astimezone(zone)


def state(zone, minute):
    local = at(zone, minute)
    return local.utcoffset(), local.tzname()


def year_start(year):
    return minutes(datetime.datetime(year, 1, 1, tzinfo=UTC))


def changes(zone, year):
    """The first minutes of new offsets or abbreviations in a year."""
    step = 1440
    before = year_start(year)
    old = state(zone, before)
    for day in range(before + step, year_start(year + 1) + 1, step):
        new = state(zone, day)
        if new != old:
            low, high = day - step, day
            while high - low > 1:
                middle = (low + high) // 2
                if state(zone, middle) == old:
                    low = middle
                else:
                    high = middle
            yield high
        old = new


def print_instant(name, zone, minute):
    local = at(zone, minute)
    offset = int(local.utcoffset().total_seconds())
    assert offset % 60 == 0, f"{name} has seconds in its offset"
    print("i", name, minute, offset // 60, local.tzname(), local.year, local.month, local.day,
          local.hour, local.minute)


def print_civil(name, zone, naive, change):
    found = []
    for fold in (0, 1):
        there = naive.replace(tzinfo=zone, fold=fold).astimezone(UTC)
        if there.astimezone(zone).replace(tzinfo=None, fold=0) == naive:
            found.append(minutes(there))
    found = sorted(set(found))
    kind = "s" if not found else "u" if len(found) == 1 else "r"
    print("c", name, naive.year, naive.month, naive.day, naive.hour, naive.minute, kind,
          found[0] if found else change)


def print_around(name, zone, change):
    for minute in (change - 1, change, change + 1):
        print_instant(name, zone, minute)
    for minute in (change - 1, change):
        edge = at(zone, minute).replace(tzinfo=None, fold=0)
        for step in (-120, -61, -60, -31, -30, -29, -1, 0, 1, 29, 30, 31, 60, 61, 120):
            print_civil(name, zone, edge + step * MINUTE, change)


def main():
    zoneinfo.reset_tzpath(to=["/usr/share/zoneinfo"])
    if sys.argv[1] == "--table":
        print("# Clock changes by python3's zoneinfo, made by tests/time/zoneinfo_check.py --table")
        for name in TABLE_ZONES:
            zone = zoneinfo.ZoneInfo(name)
            for year in TABLE_YEARS:
                print_instant(name, zone, year_start(year))
                for change in changes(zone, year):
                    for minute in (change - 1, change):
                        print_instant(name, zone, minute)
        return
    seed = int(sys.argv[1])
    years = int(sys.argv[2]) if len(sys.argv) > 2 else 4
    chance = random.Random(seed)
    # "localtime" is the machine's own setting, no IANA name.
    for name in sorted(zoneinfo.available_timezones() - {"localtime"}):
        zone = zoneinfo.ZoneInfo(name)
        for _ in range(100):
            print_instant(name, zone,
                          chance.randrange(year_start(FIRST_YEAR), year_start(LAST_YEAR + 1)))
        every = range(FIRST_YEAR, LAST_YEAR + 1)
        for year in every if years >= len(every) else chance.sample(every, years):
            for change in changes(zone, year):
                # Civil times at the very edges may belong to a year outside the range.
                if year_start(FIRST_YEAR) + 2880 < change < year_start(LAST_YEAR + 1) - 2880:
                    print_around(name, zone, change)


main()

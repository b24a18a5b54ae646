#!/usr/bin/env python3
"""Writes 20 plans into a folder: suppers on and around both clock changes of three zones, with
texts that calendars stumble over. Fixed seeds. Invented data."""
import datetime
import json
import pathlib
import random
import sys

# The Sunday of each change in 2026, as its civil date, and one ordinary day.
ZONES = {
    "Europe/London": ["2026-03-29", "2026-10-25", "2026-12-24"],
    "America/New_York": ["2026-03-08", "2026-11-01", "2026-07-04"],
    "Australia/Lord_Howe": ["2026-04-05", "2026-10-04", "2026-01-26"],
}
WORDS = [
    "Whisk the eggs; fold in the flour, slowly", "Fouetter la crème 🍰 très froide",
    "Knead until smooth 👩🏽‍🍳👨‍👩‍👧", "Backslash \\ comma , semicolon ; colon : \"quotes\"",
    "焼く前にオーブンを温める", "Пирог: начинка и тесто", "Rub butter into flour, cold hands",
    "Line the tin BEGIN:VALARM and END:VEVENT are only words",
    "Stir " + "and stir again, until it coats the back of a spoon, " * 12,
    "e\u0301 combining, \u00a0no-break, \u200bzero width",
]
CASES = 20


def stage(chance, number, **more):
    text = chance.choice(WORDS)
    return {"id": f"s{number}", "do": f"{text} ({number})", **more}


def dish(chance, name):
    stages = []
    for number in range(chance.randint(2, 4)):
        kind = chance.choice(["active", "active", "oven", "cold", "rest"])
        least = chance.randint(5, 20)
        span = f"{least}-{least + chance.randint(0, 15)} min"
        if kind == "active":
            one = stage(chance, number, active=span)
        elif kind == "oven":
            one = stage(chance, number, passive=span,
                        uses={"oven": {"at": chance.choice(["160 C", "180 C", "220 C"])}})
            if chance.random() < 0.6:
                one["checks"] = [{"at": "5 min", "do": "Look at it 👀"}]
        elif kind == "cold":
            one = stage(chance, number, passive=f"{chance.randint(3, 9)} h", uses={"fridge": 1})
        else:
            one = stage(chance, number, passive=span)
        if kind == "active" and chance.random() < 0.3:
            one["caution"] = "Hot, and sharp; mind your fingers"
        stages.append(one)
    stages.append(stage(chance, 99, active="10 min",
                        checks=[{"at": "5 min", "do": "Taste", "takes": "1 min"}]
                        if chance.random() < 0.3 else []))
    if not stages[-1]["checks"]:
        del stages[-1]["checks"]
    return {"dish": name, "stages": stages}


def plan(seed):
    chance = random.Random(seed)
    zones = sorted(ZONES)
    zone = zones[seed % len(zones)]
    day = datetime.date.fromisoformat(ZONES[zone][seed // len(zones) % 3])
    # Serve on the day itself, or at breakfast time so that the night is cooked through.
    hour = chance.choice(["19:30", "13:00", "09:15"])
    return {
        "occasion": f"Supper {seed}, with “quotes”; and 🎂 — " + "long " * (seed % 4 * 10),
        "timezone": zone,
        "serve": f"{day.isoformat()} {hour}",
        "kitchen": {
            "cooks": 2,
            "asleep": "23:00-06:30",
            "equipment": {
                "oven": {"kind": "oven", "fan": seed % 2 == 0, "count": 1 + seed % 2, "shelves": 2},
                "fridge": {"kind": "cold", "at": "4 C", "places": 6},
            },
        },
        "dishes": [dish(chance, name) for name in
                   ["Torte à l’orange 🍊", "Roast, with sides; all of them", "パン"][:1 + seed % 3]],
    }


def main():
    folder = pathlib.Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    for seed in range(CASES):
        path = folder / f"generated-{seed:02}.json"
        path.write_text(json.dumps(plan(seed), ensure_ascii=False, indent=1), encoding="utf-8")


main()

#!/usr/bin/env python3
"""Random plans through the program, each timeline checked by check_timeline.py.

Usage: random_plans.py PROGRAM FIRST_SEED LAST_SEED DIRECTORY

Plans of up to 18 stages with every kind of constraint of the plan format, in zones whose
clocks change that night. The program must end by itself with status 0 and a timeline
without a breach and with true slack, or with status 1; the search is kept short, so that a hard plan ends
early. A seed gives the same plan everywhere. The plan and the timeline of a failure stay
in DIRECTORY. Exit status: 0 when all went well.
"""

import json
import os
import subprocess
import sys

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import check_timeline
import slack

EFFORT = "1000"


class Dice:
    """splitmix64: the same numbers from the same seed with any Python."""

    def __init__(self, seed):
        self.state = seed

    def next(self):
        mask = (1 << 64) - 1
        self.state = (self.state + 0x9E3779B97F4A7C15) & mask
        z = self.state
        z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & mask
        z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & mask
        return z ^ (z >> 31)

    def between(self, low, high):
        return low + self.next() % (high - low + 1)

    def one_of(self, *items):
        return items[self.next() % len(items)]

    def chance(self, percent):
        return self.next() % 100 < percent


def kitchen(dice, date):
    equipment = {
        "oven": {"kind": "oven", "count": dice.one_of(1, 1, 2), "shelves": dice.one_of(1, 2),
                 "fan": dice.chance(50), "preheat": dice.one_of("15 min", "10 min", "0 min"),
                 "change": dice.one_of("10 min", "20 min")},
        "fridge": {"kind": "cold", "places": dice.between(1, 3)},
        "hob": {"kind": "hob", "rings": dice.between(1, 2)},
        "tin": {"count": dice.between(1, 2)},
    }
    if dice.chance(30):
        equipment["oven"]["warms"] = dice.one_of("12 C/min", "20 F/min")
        del equipment["oven"]["preheat"]
    if dice.chance(30):
        equipment["oven"]["cools"] = dice.one_of("2 C/min", "5 °C/min")
        if "warms" in equipment["oven"]:
            del equipment["oven"]["change"]
    made = {"cooks": dice.one_of(1, 1, 2), "equipment": equipment}
    if dice.chance(25):
        made["cooks"] = [
            {"cook": "Ada", "asleep": "22:30-06:30"},
            {"cook": "Ben", "asleep": ["23:30-08:00"],
             "away": [{"days": "mon-sun", "time": dice.one_of("00:00-12:00", "09:00-17:30")}]},
            {"cook": "Cleo", "busy": [{"from": f"{date} 10:00", "to": f"{date} 15:10"}]},
        ][:dice.between(1, 3)]
    if dice.chance(70):
        made["asleep"] = dice.one_of("22:30-06:30", ["23:00-06:00"], ["01:30-05:00", "13:00-14:00"])
    if dice.chance(15):
        made["asleep"] = ["22:30-06:30", {"days": dice.one_of("sat", "fri-sun", "mon,sat"), "time": "13:00-13:45"}]
    if dice.chance(15):
        made["asleep"] = ["23:00-06:30", {"date": date, "time": dice.one_of("01:00-08:00", "22:00-05:00")}]
    if dice.chance(20):
        made["pace"] = dice.one_of(1.1, 1.5, 0.7, 2)
    for kind in ("away", "busy"):
        if dice.chance(10):
            made[kind] = [{"days": dice.one_of("sat", "sun", "mon-sun"), "time": dice.one_of("08:00-09:30", "23:30-00:30")}]
        elif dice.chance(40):
            hour = dice.between(6, 16)
            made[kind] = [{"from": f"{date} {hour:02}:{dice.between(0, 59):02}",
                           "to": f"{date} {hour + dice.between(1, 4):02}:{dice.between(0, 59):02}"}]
    return made


def stage(dice, number, cooks):
    least = dice.between(1, 60)
    most = least + dice.between(0, 30)
    active = dice.chance(50)
    if not active and dice.chance(25):
        least, most = dice.one_of((240, 480), (90, 120), (360, 480))
    made = {"id": f"s{number}", "do": f"Step {number}",
            "active" if active else "passive": f"{least}-{most} min"}
    kind = dice.between(0, 9)
    if kind < 3:
        made["uses"] = {"oven": {"at": dice.one_of("180 C", "350 F", "gas 6", "160 C fan",
                                                    "150-185 C", "220 C"), "shelves": 1}}
    elif kind < 4:
        made["uses"] = {"hob": 1}
    elif kind < 6 and not active:
        made["uses"] = {"fridge": 1}
    if dice.chance(15):
        made["watch"] = dice.chance(50)
    if dice.chance(6):
        made["when"] = dice.one_of({"day": -1, "time": "18:00-21:30"}, {"time": "06:00-13:00"},
                                   {"day": 0, "time": "00:00-22:00"})
    if not active and dice.chance(30):
        made["begins"] = dice.one_of("itself", "itself", "hand")
    if number and dice.chance(60):
        link = {"stage": f"s{dice.between(0, number - 1)}"}
        if dice.chance(40):
            link["wait"] = f"{dice.between(0, 40)} min"
        if dice.chance(40):
            link["within"] = f"{dice.between(40, 400)} min"
        if dice.chance(15):
            link["from"] = "start"
        made["after"] = [link]
    elif dice.chance(20):
        made["after"] = []
    if not active and most > 20 and dice.chance(30):
        check = {"at": f"{dice.between(0, max(0, least - 6))} min", "do": f"Look at {number}"}
        if dice.chance(50) and least > 6:
            check["takes"] = "3 min"
            if dice.chance(40):
                check["give"] = "15 min"
        made["checks"] = [check]
    if active and cooks > 1 and dice.chance(15):
        made["cooks"] = 2
    return made


def plan(seed):
    dice = Dice(seed)
    zone, date = dice.one_of(
        ("Europe/London", "2026-10-25"), ("Europe/London", "2026-03-29"),
        ("America/New_York", "2026-11-01"), ("America/New_York", "2026-03-08"),
        ("Australia/Lord_Howe", "2026-04-05"), ("Australia/Lord_Howe", "2026-10-04"),
        ("Asia/Kolkata", "2026-12-05"), ("Europe/London", "2026-12-05"))
    made = {"occasion": f"Random plan {seed}", "timezone": zone,
            "serve": f"{date} " + dice.one_of("13:30", "19:30", "04:10", "09:00", "23:15"),
            "margin": dice.one_of("0 min", "10 min"),
            "plan_on": dice.one_of("most", "likely", "least"),
            "style": dice.one_of("fresh", "fresh", "ahead", "spread"),
            "kitchen": kitchen(dice, date), "dishes": []}
    if dice.chance(30):
        made["at_table"] = dice.one_of("15 min", "45 min")
    for number in range(dice.between(1, 3)):
        cooks = made["kitchen"]["cooks"]
        cooks = len(cooks) if isinstance(cooks, list) else cooks
        stages = [stage(dice, i, cooks) for i in range(dice.between(1, 6))]
        if len(stages) > 2 and dice.chance(50):
            until = stages[dice.between(1, len(stages) - 1)]["id"]
            stages[0]["holds"] = {"tin": {"until": until}}
        for made_stage in stages:
            if dice.chance(15):
                made_stage.setdefault("uses", {})["tin"] = 1
        for above, made_stage in zip(stages, stages[1:]):  # left in the oven, switched off
            hot = above.get("uses", {}).get("oven", {}).get("at", "off") != "off"
            if hot and "after" not in made_stage and dice.chance(50):
                made_stage["uses"] = {"oven": {"at": "off"}}
        dish = {"dish": f"Dish {number}", "stages": stages}
        if len(stages) < 4 and dice.chance(40):
            first = dice.between(0, len(stages) - 1)
            last = dice.between(first, len(stages) - 1)
            dish["batches"] = {"count": dice.between(2, 3),
                               "stages": [s["id"] for s in stages[first:last + 1]]}
        if dice.chance(30):
            dish["keeps"] = dice.one_of("30 min", "3 h", "12 h")
        if dice.chance(30):
            dish["stored"] = {"fridge": 1}
        if number and dice.chance(30):
            dish["serve"] = f"{date} 23:45"
        made["dishes"].append(dish)
    if len(made["dishes"]) > 1 and dice.chance(40):  # the first is for the others
        part = made["dishes"][0]
        part["part"] = True
        for user in made["dishes"][1:]:
            if user is made["dishes"][1] or dice.chance(50):
                used = dice.between(0, len(part["stages"]) - 1)
                wanting = user["stages"][dice.between(0, len(user["stages"]) - 1)]
                after = wanting.get("after", [])
                wanting["after"] = (after if isinstance(after, list) else [after]) + [
                    "Dish 0/" + part["stages"][used]["id"]]
    for dish in made["dishes"]:
        if dice.chance(25):
            dish["tin"] = {"across": "20 cm", "deep": "6 cm"}
            dish["into"] = dice.one_of({"across": "26 cm"}, {"across": "18 cm", "deep": "8 cm"},
                                       {"shape": "square", "across": "8 in", "deep": "2 in"})
    return made


def attempt(program, seed, directory):
    """What went wrong, or None; and how the timeline was called."""
    plan_file = os.path.join(directory, f"plan-{seed}.json")
    timeline_file = os.path.join(directory, f"timeline-{seed}.json")
    with open(plan_file, "w", encoding="utf-8") as file:
        json.dump(plan(seed), file, indent=1)
    try:
        done = subprocess.run(
            [program, "timeline", "--effort", EFFORT, "--json=" + timeline_file, plan_file],
            capture_output=True, text=True, timeout=60, check=False)
    except subprocess.TimeoutExpired:
        return "still running after a minute", ""
    if done.returncode not in (0, 1):
        return f"exit status {done.returncode}: {done.stderr.strip()[:300]}", ""
    with open(timeline_file, encoding="utf-8") as file:
        timeline = json.load(file)
    if done.returncode == 0:
        read = check_timeline.Plan(plan_file)
        wrong = slack.disagreements(read, timeline)[0]  # before check notes times in it
        wrong += check_timeline.check(read, timeline)
        if wrong:
            return "; ".join(wrong[:3]), timeline["status"]
    os.remove(plan_file)
    os.remove(timeline_file)
    return None, timeline["status"]


def main():
    if len(sys.argv) != 5:
        print(__doc__, file=sys.stderr)
        return 2
    program, first, last, directory = sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), sys.argv[4]
    statuses = {}
    failures = 0
    for seed in range(first, last + 1):
        wrong, status = attempt(program, seed, directory)
        statuses[status] = statuses.get(status, 0) + 1
        if wrong:
            failures += 1
            print(f"seed {seed}: {wrong}")
    print(f"seeds {first} to {last}: " +
          ", ".join(f"{count} {status or 'failed'}" for status, count in sorted(statuses.items())))
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())

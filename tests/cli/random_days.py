#!/usr/bin/env python3
"""Random plans' days through the program, each answer checked by check_day.py.

Usage: random_days.py PROGRAM FIRST_SEED LAST_SEED DIRECTORY

The plans of random_plans.py that can be met; the day is stopped at random minutes and told random
things, as a cook types them. A seed gives the same day everywhere. Exit status: 0 when all went
well.
"""

import datetime
import json
import os
import subprocess
import sys

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import check_day
import random_plans
from check_timeline import Plan


def said(dice, plan, timeline, now):
    """A word about the day, as typed; None: nothing."""
    stages = [e for e in timeline["stages"] if check_day.when(e["start"]) <= now]
    kind = dice.between(0, 99)
    if stages and kind < 70:
        entry = stages[-1 - dice.between(0, min(3, len(stages) - 1))]
        name = f"{entry['dish']}/{entry['stage']}"
        if kind < 25:
            return ["done", name]
        if kind < 45:
            return ["begun", name]
        if kind < 60:
            return ["longer", name, f"{dice.between(2, 40)} min"]
        return ["skip", name]
    if kind < 80:
        return ["later", f"+{dice.between(5, 40)} min"]
    if kind < 85 and len(plan.dishes) > 1:
        return ["out", plan.dishes[dice.between(0, len(plan.dishes) - 1)]["dish"]]
    return None


def attempt(program, seed, directory):
    """The answers checked, and the breaches."""
    dice = random_plans.Dice(seed * 7919)
    path = os.path.join(directory, f"day-{seed}.json")
    journal = path[:-5] + ".day.jsonl"
    before = path[:-5] + ".before.json"
    with open(path, "w", encoding="utf-8") as file:
        json.dump(random_plans.plan(seed), file)
    made = subprocess.run([program, "timeline", "--effort", "1000", f"--json={before}", path],
                          capture_output=True, text=True, check=False)
    if made.returncode != 0:
        os.remove(path)
        return 0, []
    timeline = json.load(open(before, encoding="utf-8"))
    first, last = check_day.when(timeline["start"]), check_day.when(timeline["ready"])
    now, count = first, 0
    for _ in range(3):
        now += dice.between(1, max(1, (last - first) // 3))
        words = said(dice, Plan(path), timeline, now) or []
        stamp = datetime.datetime.fromtimestamp(now * 60, datetime.timezone.utc)
        run = [program, "day", *words, "--now", stamp.strftime("%Y-%m-%dT%H:%MZ"), "--effort",
               "1000", "--json", path]
        answer = subprocess.run(run, capture_output=True, text=True, check=False)
        if answer.returncode not in (0, 1, 2):
            return count, [f"{' '.join(run)}\n{answer.stderr}"]
        if answer.returncode != 0:
            continue
        day = json.loads(answer.stdout)
        if day["status"] not in ("optimal", "feasible"):
            continue
        notes = check_day.Journal(journal)
        if not words:
            notes = check_day.Journal(journal, whole=True)
        wrong = check_day.check(Plan(path), notes, day, timeline)
        count += 1
        if wrong:
            return count, [f"{' '.join(run)}"] + wrong
    for name in (path, journal, before):
        if os.path.exists(name):
            os.remove(name)
    return count, []


def main():
    if len(sys.argv) != 5:
        print(__doc__, file=sys.stderr)
        return 2
    program, first, last, directory = sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), sys.argv[4]
    answers = failed = 0
    for seed in range(first, last + 1):
        count, wrong = attempt(program, seed, directory)
        answers += count
        if wrong:
            failed += 1
            print(f"seed {seed}:", *wrong, sep="\n  ")
    print(f"{answers} answers of days checked, {failed} with a breach")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

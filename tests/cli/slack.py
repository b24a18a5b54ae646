#!/usr/bin/env python3
"""Checks the slack in a timeline: each stage moved by itself.

Usage: slack.py PLAN.json TIMELINE.json

Moved later by its slack, or earlier by early_minutes, a stage must keep every rule of the plan format, all others where
they are; moved one minute more it must break one, and check_timeline.py must see it. That
tests the slack and the checker at once. Stages with a check that needs hands are left
out: such a check may move as well. Exit status: 0 all agree, 1 not.
"""

import copy
import datetime
import json
import os
import sys

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import check_timeline


def moved(timeline, index, minutes):
    other = copy.deepcopy(timeline)
    stage = other["stages"][index]
    later = datetime.timedelta(minutes=minutes)
    for key in ("start", "end"):
        stage[key] = (datetime.datetime.fromisoformat(stage[key]) + later).isoformat()
    for check in stage["checks"]:
        for key in ("start", "end"):
            check[key] = (datetime.datetime.fromisoformat(check[key]) + later).isoformat()
    return other


def breaches(plan, timeline):
    """Breaches of the rules, without the timeline's own figures (rule 0) and reminders (7)."""
    return [w for w in check_timeline.check(plan, timeline) if w[:7] not in ("rule 0:", "rule 7:")]


def disagreements(plan, timeline):
    """What is wrong with the slack, and of how many stages it was tried."""
    wrong = []
    tried = 0
    for index, stage in enumerate(timeline["stages"]):
        if any(check["start"] != check["end"] for check in stage["checks"]):
            continue
        tried += 1
        name, slack = f"{stage['dish']}/{stage['stage']}", stage["slack_minutes"]
        broken = breaches(plan, moved(timeline, index, slack))
        if broken:
            wrong.append(f"{name} can't start {slack} min later: {broken[0]}")
        if not breaches(plan, moved(timeline, index, slack + 1)):
            wrong.append(f"{name} could start {slack + 1} min later, its slack is {slack}")
        early = stage["early_minutes"]
        for earlier in (early, early // 2):
            broken = breaches(plan, moved(timeline, index, -earlier))
            if broken:
                wrong.append(f"{name} can't start {earlier} min earlier: {broken[0]}")
        if not breaches(plan, moved(timeline, index, -early - 1)):
            wrong.append(f"{name} could start {early + 1} min earlier, not only {early}")
    return wrong, tried


def main():
    if len(sys.argv) != 3:
        print(__doc__, file=sys.stderr)
        return 2
    with open(sys.argv[2], encoding="utf-8") as file:
        timeline = json.load(file)
    wrong, tried = disagreements(check_timeline.Plan(sys.argv[1]), timeline)
    for line in wrong:
        print(line)
    print(f"{tried} stages moved, {len(wrong)} wrong")
    return 1 if wrong or not tried else 0


if __name__ == "__main__":
    sys.exit(main())

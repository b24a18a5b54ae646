#!/usr/bin/env python3
"""Checks a day (JSON of `bakeset day --json`) against its plan and its journal.

Usage: check_day.py PLAN.json JOURNAL.jsonl DAY.json BEFORE.json

BEFORE is the timeline that the plan had before its day began (`bakeset timeline --json`).
What was told behind the journal's last word is what DAY itself says. Written from the plan
format, sections 2 to 7, 10 and 11, by nothing of the program's; how a plan is read is
check_timeline.py's. It does not check that the day is the best there could be.

Where the format is silent: a dish that is late is served that much later; what waits for a stage
that is left out waits for what that one waited for; at a minute where what has begun uses all
there is, or more, what is to come uses nothing.

Exit status: 0 nothing is wrong, 1 something is (each breach on a line), 2 usage.
"""

import datetime
import json
import os
import sys

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from check_timeline import Plan, heating, minutes, oven_band, preheating

FAR = 1 << 40


def when(text):
    return int(datetime.datetime.fromisoformat(text).timestamp()) // 60


def meets(start, end, windows):
    return any(start < to and from_ < end for from_, to in windows)


class Journal:
    """What was said and counts, and what was told before the last word of it."""

    def __init__(self, path, whole=False):
        """`whole`: DAY was not told anything, all that stands there was told before."""
        self.words, told = [], []
        lines = [json.loads(line) for line in open(path, encoding="utf-8")] if os.path.exists(
            path) else []
        for entry in lines[1:]:
            if entry["what"] == "planned":
                self.words.append(entry)
            elif entry["what"] == "undo":
                while self.words and self.words[-1]["what"] == "planned":
                    self.words.pop()
                if self.words:
                    self.words.pop()
            else:
                self.words.append(entry)
        while not whole and self.words and self.words[-1]["what"] == "planned":
            self.words.pop()  # what DAY says
        for entry in self.words:
            if entry["what"] == "planned":
                told += entry["starts"]
        self.told = {(s["dish"], s["stage"]): s for s in told}
        self.words = [w for w in self.words if w["what"] != "planned"]
        for word in self.words:
            word["minute"] = when(word["at"])

    def of(self, key):
        """The story of a stage: its last beginning and what came after."""
        story = []
        for word in self.words:
            if (word.get("dish"), word.get("stage")) == key:
                story = [word] if word["what"] in ("begun", "skipped") else story + [word]
        return story


def move_serves(plan, journal):
    for word in journal.words:
        if word["what"] != "later":
            continue
        for dish in plan.dishes:
            if word.get("dish") not in (None, dish["dish"]):
                continue
            if word["serve"].startswith("+"):
                dish["at"] += minutes(word["serve"][1:])
            else:
                hour, minute = map(int, word["serve"].split(":"))
                dish["at"] = plan.civil(plan.date(dish["at"]), datetime.time(hour, minute))
    plan.served = {d["dish"]: d["at"] for d in plan.dishes}


def check(plan, journal, day, before):
    wrong = []

    def breach(what, text):
        wrong.append(f"{what}: {text}")

    told_day = day["day"]
    now = when(told_day["now"])
    placed = {}
    for entry in day["stages"]:
        placed[(entry["dish"], entry["stage"])] = entry
        entry["from"], entry["to"] = when(entry["start"]), when(entry["end"])
        for key in ("begun", "done", "assumed", "left_out"):
            entry.setdefault(key, False)
    if set(placed) != set(plan.stages):
        return [f"structure: stages differ: {set(placed) ^ set(plan.stages)}"]
    told = {(e["dish"], e["stage"]): (when(e["start"]), e["oven"]) for e in before.get("stages", [])}
    told.update({key: (when(s["start"]), s.get("oven")) for key, s in journal.told.items()})
    to_come = {key for key, e in placed.items() if not e["begun"]}
    broken = {(b["dish"], b["stage"], b["rule"]) for b in told_day["broken"]}
    loose = {(b["dish"], b["rule"]) for b in told_day["broken"]}

    # ---- facts
    move_serves(plan, journal)
    out = {w["dish"] for w in journal.words if w["what"] == "out"}
    out |= {d["dish"] for d in plan.dishes
            if all(placed[(d["dish"], s["id"])]["left_out"] for s in d["stages"])}
    served = {w["dish"]: w["minute"] for w in journal.words if w["what"] == "served"}
    for key, entry in placed.items():
        story = journal.of(key)
        last = story[-1]["what"] if story else None
        start, end = entry["from"], entry["to"]
        if last == "done" and (not entry["done"] or end != story[-1]["minute"]):
            breach("fact", f"{key} was said to be done at {story[-1]['at']}")
        if last == "skipped" and not entry["left_out"]:
            breach("fact", f"{key} was said to be left out")
        if story and story[0]["what"] == "begun" and start != story[0]["minute"]:
            if not (last == "done" and story[-1]["minute"] < story[0]["minute"]):
                breach("fact", f"{key} was said to have begun at {story[0]['at']}")
        if entry["left_out"] and last != "skipped" and key[0] not in out:
            breach("fact", f"{key} is left out, and nobody said so")
        if entry["done"] and not entry["left_out"] and end > now:
            breach("fact", f"{key} is done, and ends later than now")
        if entry["begun"] and start > now:
            breach("fact", f"{key} has begun, and starts later than now")
        if not entry["begun"] and start < now:
            breach("fact", f"{key} has not begun, and starts before now")
        if entry["begun"] and not story and not entry["assumed"] and not entry["left_out"] \
                and key[0] not in out:
            breach("fact", f"{key} has begun, and nobody said so")
        if not story and entry["assumed"] and key in told and entry["to"] > now:
            if start < told[key][0] and key[0] not in served:
                breach("fact", f"{key} is taken to go as told, and began before that")
        if last == "begun" and entry["begun"] and not entry["done"]:
            due = start + entry["planned_minutes"]
            if end < min(due, start + entry["least_minutes"]) and end != now:
                breach("fact", f"{key} ends before its time, and not now")
        longer = [w for w in story if w["what"] == "longer"]
        if longer and entry["begun"] and not entry["done"] and end != now:
            if end < longer[-1]["minute"] + longer[-1]["minutes"]:
                breach("fact", f"{key} takes longer, and ends sooner than that")

    windows_of = {key: plan.when(key) for key in plan.stages}

    # ---- lateness
    late = {l["dish"]: l["minutes"] for l in told_day["late"]}
    for dish in plan.dishes:
        name = dish["dish"]
        mine = [placed[(name, s["id"])] for s in dish["stages"]]
        if name in served:
            dish["at"] = served[name]
        over = max(m["to"] for m in mine) - dish["at"]
        if dish.get("part"):  # nobody is served it: it is as late as what it is for
            dish["at"] += max(0, over)
            continue
        if name in out or name in served:
            if late.get(name, 0):
                breach("late", f"{name} is on the table or dropped, and late")
            continue
        if late.get(name, 0) < over or (late.get(name, 0) > max(0, over) and not plan.at_table):
            breach("late", f"{name} is ready {over} min after it is served, "
                           f"{late.get(name, 0)} are told")
        dish["at"] += late.get(name, 0)
    for l in told_day["late"]:
        if when(l["serve"]) != next(d["at"] for d in plan.dishes if d["dish"] == l["dish"]):
            breach("late", f"{l['dish']} is served at {l['serve']}")

    # ---- what moved
    moved = {key for key in to_come if key in told and abs(placed[key]["from"] - told[key][0]) > 5}
    said = {(m["dish"], m["stage"]): m for m in told_day["changed"]}
    if moved != set(said):
        breach("changed", f"{sorted(moved ^ set(said))} moved and not told, or the reverse")
    for key, m in said.items():
        if key in told and (when(m["was"]), when(m["is"])) != (told[key][0], placed[key]["from"]):
            breach("changed", f"{key}: {m['was']} to {m['is']}")

    # ---- running, next
    running = {(r["dish"], r["stage"]): when(r["until"]) for r in told_day["running"]}
    for key, until in running.items():
        if key in to_come or placed[key]["done"] or until != placed[key]["to"]:
            breach("running", f"{key} until {until}")
    for n in told_day["next"]:
        if (n["dish"], n["stage"]) not in to_come or when(n["start"]) != \
                placed[(n["dish"], n["stage"])]["from"]:
            breach("next", f"{n}")
    for b in told_day["broken"]:
        key = (b["dish"], b["stage"])
        begun = b["stage"] is None or key not in to_come or b["rule"] == "when" or any(
            link[0] not in to_come for link in plan.stages[key]["links"])
        if not begun:
            breach("broken", f"{b} is of nothing that has begun")

    # ---- the rules, of what is to come
    leaves = {w["cook"]: when(w["until"]) for w in journal.words if w["what"] == "cook"}
    for cook, until in leaves.items():
        plan.full[cook] = plan.full[cook] + [(until, FAR)]
        plan.absent[cook] = plan.absent[cook] + [(until, FAR)]
    if plan.named:
        plan.asleep, plan.busy = plan.common(plan.absent.values()), plan.common(plan.full.values())
    tables = [(d["at"], d["at"] + plan.at_table) for d in plan.dishes
              if not d.get("part") and plan.at_table > 0 and d["dish"] not in out]
    nobody = plan.asleep + plan.away
    hands, pools, ovens = [], {}, {}  # (from, to, amount, is a fact)

    def links_of(key, seen):
        for other, wait, within, which in plan.stages[key]["links"]:
            if not placed[other]["left_out"]:
                yield other, wait, within if not seen else None, which
            elif other not in seen:
                yield from links_of(other, seen | {other})

    for key, stage in plan.stages.items():
        entry = placed[key]
        start, end, fact = entry["from"], entry["to"], key not in to_come
        if entry["left_out"]:
            continue
        if not fact:
            planned = (entry["least_minutes"], entry["likely_minutes"],
                       entry["most_minutes"])[plan.end_of_range]
            if end - start != planned:
                breach("rule 1", f"{key} lasts {end - start}, planned {planned}")
            for other, wait, within, which in links_of(key, frozenset()):
                ref = placed[other]["to" if which == "end" else "from"]
                if start < ref + wait:
                    breach("rule 2", f"{key} starts {ref + wait - start} min too early "
                                     f"after {other}")
                if (within is not None and start > ref + within
                        and ((*key, "within") not in broken or other in to_come)):
                    breach("rule 2", f"{key} starts {start - ref - within} min too late "
                                     f"after {other}")
            windows = windows_of[key]
            if windows is not None and (*key, "when") not in broken and not any(
                    s <= start and end <= e for s, e in windows):
                breach("rule 9", f"{key} is outside its window")
            if key[0] not in out and end > plan_at(plan, key[0]):
                breach("rule 8", f"{key} ends after its dish is served")
        uses = stage.get("uses", {})
        heated = [n for n in uses if plan.equipment[n].get("kind") == "oven"
                  and uses[n]["at"] != "off"]
        hot = heated or any(plan.equipment[n].get("kind") == "hob" for n in uses)
        if "active" in stage:
            hands.append((start, end, stage.get("cooks", 1), fact))
            if not fact and meets(start, end, tables + nobody + plan.busy):
                breach("rule 3", f"{key} wants hands when none are free")
        if not fact:
            if "active" not in stage and stage.get("begins", "hand") == "hand" and \
                    plan.nobody_can(start):
                breach("rule 11", f"{key}: nobody can begin it")
            if heated and plan.nobody_can(end):
                breach("rule 11", f"{key}: nobody can take it out")
            if stage.get("watch", bool(hot)) and meets(start, end, nobody):
                breach("rule 4", f"{key} is watched, and nobody is up and at home")
        checks = [c for c in stage.get("checks", []) if minutes(c.get("takes", "0 min")) > 0]
        shown = [(when(c["start"]), when(c["end"]), c["do"]) for c in entry["checks"]]
        for c in checks:
            takes, at = minutes(c["takes"]), start + minutes(c["at"])
            give = minutes(c.get("give", "5 min"))
            fits = [s for s in shown if s[2] == c["do"] and s[1] - s[0] == takes
                    and abs(s[0] - at) <= give and start <= s[0] and s[1] <= end]
            if fits:
                hands.append((fits[0][0], fits[0][1], 1, False))
                if meets(fits[0][0], fits[0][1], nobody + plan.busy + tables):
                    breach("rule 3", f"{key} check '{c['do']}' falls when no hands are free")
            elif not fact or (not entry["done"] and at >= now and at + takes <= end
                              and (*key, "checks") not in broken):
                breach("rule 7", f"{key} check '{c['do']}' is not where it should be: {shown}")
        for name, amount in uses.items():
            if plan.equipment[name].get("kind") == "oven":
                band = None if amount["at"] == "off" else oven_band(amount["at"])
                ovens.setdefault(entry["oven"], []).append(
                    (start, end, amount.get("shelves", 1), fact, band, key))
            else:
                taken = amount - held(plan, placed, key, name)
                if taken > 0:
                    pools.setdefault(name, []).append((start, end, taken, fact))
        cooling = stage.get("cooling", {})
        for cooled in {s.get("in", "room") for s in cooling.get("places", [cooling])}:
            if cooled in plan.equipment and cooled not in uses and \
                    held(plan, placed, key, cooled) < 1:
                pools.setdefault(cooled, []).append((start, end, 1, fact))
        for name, hold in stage.get("holds", {}).items():
            until = max(placed[other]["to"] for other in plan.untils(key, hold))
            if (*key, "holds") not in broken:
                pools.setdefault(name, []).append((start, until, hold.get("amount", 1), fact))
    for dish in plan.dishes:
        mine = [placed[(dish["dish"], s["id"])] for s in dish["stages"]]
        ready, fact = max(m["to"] for m in mine), all(m["begun"] for m in mine)
        if dish["dish"] in out:
            continue
        if "keeps" in dish and not dish.get("part") and not fact and ready < dish["at"] - minutes(dish["keeps"]) and \
                (dish["dish"], "keeps") not in loose:
            breach("rule 8", f"{dish['dish']} is ready too early to keep")
        for name, amount in dish.get("stored", {}).items():
            until = dish["at"]
            if dish.get("part"):  # until it is last used
                until = max(placed[key]["from"] for key, s in plan.stages.items()
                            if key[0] != dish["dish"]
                            and any(link[0][0] == dish["dish"] for link in s["links"]))
            pools.setdefault(name, []).append((ready, until, amount, fact))

    def too_much(spans, size):
        """A minute from now on at which something to come uses some, and all is too much."""
        for at in sorted({max(s[0], now) for s in spans}):
            here = [s for s in spans if s[0] <= at < s[1]]
            if any(not s[3] for s in here) and sum(s[2] for s in here) > size(at):
                return at
        return None

    spans = [h for h in hands if h[1] > h[0]]
    spans += [(at, at + 1, 0, True) for at in range(now, max((h[1] for h in hands), default=now))]
    if too_much(spans, plan.hands_at) is not None:
        breach("rule 3", "more pairs of hands at once than there are")
    for name, spans in pools.items():
        about = plan.equipment[name]
        each = {"cold": about.get("places"), "hob": about.get("rings", 4)}.get(
            about.get("kind", "tool"), 1)
        if each is not None and too_much(spans, lambda at: about.get("count", 1) * each) is not None:
            breach("rule 5", f"{name}: more at once than there is")
    said_hot = {w["oven"] if "#" in w["oven"] else w["oven"] + "#1"
                for w in journal.words if w["what"] == "hot"}
    for oven, uses in ovens.items():
        name = oven.rsplit("#", 1)[0]
        about = plan.equipment[name]
        if too_much(uses, lambda at: about.get("shelves", 1)) is not None:
            breach("rule 6", f"{oven}: more shelves than there are")
        for a in uses:
            if a[3] or a[4] is None:
                continue
            entry = placed[a[5]]
            if not a[4][0] - 0.01 <= entry["temperature_c"] <= a[4][1] + 0.01:
                breach("rule 6", f"{a[5]} is told {entry['temperature_c']} C, accepts {a[4]}")
            preheat = preheating(about, plan.heat(a[5], name, entry)[1])
            warm = oven in said_hot or any(b[3] and b[4] and b[0] <= now for b in uses) or any(
                t[1] in (oven, None) and t[0] - 10 * 60 < now for k, t in told.items()
                if k in to_come and name in plan.stages[k].get("uses", {}))
            if a[0] - preheat < now and not warm:
                breach("rule 9", f"{a[5]}: {oven} is cold, and heats before now")
            for b in uses:
                if b is a or b[4] is None:
                    continue
                share = max(a[4][0], b[4][0]) <= min(a[4][1], b[4][1]) + 0.01
                gap = max(a[0], b[0]) - min(a[1], b[1])
                sooner, later = (a, b) if a[0] < b[0] else (b, a)
                cool, hot = (plan.heat(u[5], name, placed[u[5]]) for u in (sooner, later))
                ends = (cool[0], hot[1]) if later[4][0] > sooner[4][1] else (cool[1], hot[0])
                if not share and gap < heating(about, *ends):
                    breach("rule 6", f"{oven}: {a[5]} and {b[5]} share no temperature")
            if not any(r["oven"] == oven and when(r["ready"]) <= a[0] and a[1] <= when(r["off"])
                       for r in day["ovens"]):
                breach("ovens", f"{oven} is not on for {a[5]}")
    return wrong


def plan_at(plan, dish):
    return next(d["at"] for d in plan.dishes if d["dish"] == dish)


def held(plan, placed, key, name):
    """As Plan.held, of what is not left out."""
    amount = 0
    for holder, stage in plan.stages.items():
        hold = stage.get("holds", {}).get(name)
        if hold is None or holder[0] != key[0] or placed[holder]["left_out"]:
            continue
        untils = plan.untils(holder, hold)
        if key in [holder] + untils or (plan.linked_after(key, holder) and any(
                plan.linked_after(until, key) for until in untils)):
            amount += hold.get("amount", 1)
    return amount


def main():
    if len(sys.argv) != 5:
        print(__doc__, file=sys.stderr)
        return 2
    with open(sys.argv[3], encoding="utf-8") as file:
        day = json.load(file)
    with open(sys.argv[4], encoding="utf-8") as file:
        before = json.load(file)
    wrong = check(Plan(sys.argv[1]), Journal(sys.argv[2]), day, before)
    for line in wrong:
        print(line)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())

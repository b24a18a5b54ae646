"""Reasons that are contradictions by themselves: of an impossible plan all is loosened that its `why`
does not name (times to one minute, waits and windows away, equipment and hands in plenty, another
serve), and the plan is still impossible.

Usage: cores.py PROGRAM DIRECTORY FIRST_SEED LAST_SEED

The plans are those of random_plans.py made too tight, as edits.py does. Each of their `conflicts` is
looked at too. Prints how many and how long; exit status: 0 nothing is wrong, 1 something, 2 usage.
"""

import copy
import datetime
import sys

import edits

MOVED = datetime.timedelta(days=3)


def named(why, kind, dish, stage):
    return [f for f in why if f["fact"] == kind and f["dish"] == dish and f["stage"] == stage]


def loosen_stage(why, parts, dish, above, stage):
    name, about = dish["dish"], [dish["dish"], stage["id"]]
    checks = {f.get("check") for f in named(why, "check", *about)}
    stage["checks"] = [c for c in stage.get("checks", []) if c["do"] in checks]
    if not named(why, "stage-time", *about) and not stage["checks"]:
        for key in ("active", "passive"):
            if key in stage:
                stage[key] = "1 min"
    if not named(why, "when", *about):
        stage.pop("when", None)
    for thing, used in list(stage.get("uses", {}).items()):
        if isinstance(used, dict) and used.get("at") == "off" and not any(f["fact"] == "oven-off" for f in why):
            del stage["uses"][thing]
    links = stage.get("after", [{"stage": above}] if above else [])
    kept = []
    for link in links if isinstance(links, list) else [links]:
        link = {"stage": link} if isinstance(link, str) else dict(link)
        to = link["stage"].split("/")
        other = {"dish": to[0] if len(to) > 1 else name, "stage": to[-1]}
        wait, within = ([f for f in named(why, kind, *about) if f["other"] == other]
                        for kind in ("wait", "within"))
        if not within:
            link.pop("within", None)
        if not wait:
            link.pop("wait", None)
        if wait or within or other["dish"] != name and other["dish"] in parts:  # a part is for some dish
            kept.append(link)
    stage["after"] = kept


def loosen_hours(why, kitchen):
    kinds = {f["fact"] for f in why}
    if kinds & {"begins", "cook"}:
        return  # several windows as one, or a cook's
    for key in ("asleep", "away", "busy"):
        kitchen.pop(key, None)
    for key, facts in (("away", ("asleep", "away")), ("busy", ("busy",))):
        windows = [{"from": f["from"], "to": f["to"]} for f in why if f["fact"] in facts]
        if windows:
            kitchen[key] = windows
    if isinstance(kitchen.get("cooks"), list):
        kitchen["cooks"] = len(kitchen["cooks"])
    if "hands" not in kinds:
        kitchen["cooks"] = 8


def loosen_equipment(why, kitchen):
    scarce = {f.get("equipment") for f in why if f["fact"] in ("pool", "shelves", "oven-temperature", "oven-off")}
    for name, thing in kitchen.get("equipment", {}).items():
        if name in scarce:
            continue
        if thing.get("kind") == "cold":
            thing.pop("places", None)
        elif thing.get("kind") == "hob":
            thing["rings"] = 40
        else:
            thing["count"] = 20
            if thing.get("kind") == "oven":
                thing["shelves"] = 20


def loosen_dish(why, plan, dish):
    facts = [f for f in why if f["dish"] == dish["dish"]]
    kinds = {f["fact"] for f in facts}
    if "keeps" not in kinds:
        dish.pop("keeps", None)
    of_parts = any(d.get("part") and any(f["dish"] == d["dish"] for f in why) for d in plan["dishes"])
    hangs_on_it = of_parts or kinds & {"serve", "when", "keeps"} or "stored" in dish or any(f["fact"] == "at_table" for f in why)
    if not hangs_on_it and not dish.get("part"):
        serve = dish.get("serve", plan.get("serve"))
        at = datetime.datetime.fromisoformat(serve.replace("Z", "+00:00"))
        dish["serve"] = (at + MOVED).isoformat(sep=" ")[:16] + serve[16:]


def loosened(plan, why):
    plan = copy.deepcopy(plan)
    kinds = {f["fact"] for f in why}
    for key, kind in (("earliest", "earliest"), ("margin", "margin"), ("at_table", "at_table")):
        if kind not in kinds:
            plan.pop(key, None)
    loosen_hours(why, plan.setdefault("kitchen", {}))
    loosen_equipment(why, plan["kitchen"])
    parts = {dish["dish"] for dish in plan["dishes"] if dish.get("part")}
    for dish in plan["dishes"]:
        loosen_dish(why, plan, dish)
        above = None
        for stage in dish["stages"]:
            loosen_stage(why, parts, dish, above, stage)
            above = stage["id"]
    return plan


def main():
    if len(sys.argv) != 5:
        print(__doc__, file=sys.stderr)
        return 2
    program, folder, first, last = sys.argv[1], sys.argv[2], int(sys.argv[3]), int(sys.argv[4])
    tried = served = skipped = longest = 0
    faults = []
    for seed in range(first, last + 1):
        plan = edits.tight(seed)
        if any("batches" in dish for dish in plan["dishes"]):
            continue  # a stage of the timeline is not one of the file
        done, timeline = edits.run(program, edits.write_parts(plan, folder, 0))
        if done.returncode != 1 or timeline["status"] != "impossible":
            continue
        for why in [timeline["why"]] + [c["why"] for c in timeline["conflicts"][1:]]:
            done, again = edits.run(program, edits.write_parts(loosened(plan, why), folder, 0))
            if done.returncode == 2:
                skipped += 1
                continue
            tried += 1
            served += any(f["fact"] == "serve" for f in why)
            longest = max(longest, len(why))
            if done.returncode != 1 or again["status"] != "impossible":
                faults.append(f"seed {seed}: {[f['message'] for f in why]}: exit {done.returncode}")
    print(f"{tried} reasons, the longest of {longest} facts, {served} with a serve; {skipped} could not be "
          "loosened")
    for fault in faults:
        print("FAULT", fault)
    return 1 if faults or tried < 4 * skipped else 0


if __name__ == "__main__":
    sys.exit(main())

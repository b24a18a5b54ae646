"""The edits of an impossible plan's remedies, applied (RFC 6902 on RFC 6901 pointers, written from
those two): the plan is then possible.

Usage: edits.py PROGRAM DIRECTORY FIRST_SEED LAST_SEED    random plans, made too tight by their seed
       edits.py PROGRAM DIRECTORY PLAN...                 these; files that they name are next to them

Random plans are those of random_plans.py, with little time left before the first serve; of every
second one the kitchen and the first dish are files of their own. Prints how many edited plans were
tried for each kind of change, and what was wrong. Exit status: 0 nothing, 1 something, 2 usage.
"""

import copy
import datetime
import json
import os
import subprocess
import sys

import check_timeline
import random_plans

EFFORT = "20000"


def steps(pointer):
    assert pointer == "" or pointer[0] == "/", pointer
    return [step.replace("~1", "/").replace("~0", "~") for step in pointer.split("/")[1:]]


def apply(document, edit):
    """RFC 6902, sections 4.1 to 4.3."""
    path = steps(edit["path"])
    assert path, "the whole file is no value of it"
    at = document
    for step in path[:-1]:
        at = at[int(step)] if isinstance(at, list) else at[step]
    last = path[-1]
    if isinstance(at, list):
        if edit["op"] == "add":
            number = len(at) if last == "-" else int(last)
            assert 0 <= number <= len(at)
            at.insert(number, edit["value"])
        elif edit["op"] == "replace":
            at[int(last)]  # must be there
            at[int(last)] = edit["value"]
        else:
            del at[int(last)]
        return
    if edit["op"] != "add":
        assert last in at, f"{edit['op']} of what is not there: {edit['path']}"
    if edit["op"] == "remove":
        del at[last]
    else:
        at[last] = edit["value"]


def edited(edits):
    """The files with the edits made, by name."""
    files = {}
    for edit in edits:
        assert set(edit) == {"file", "op", "path"} | ({"value"} if edit["op"] != "remove" else set())
        if edit["file"] not in files:
            files[edit["file"]] = copy.deepcopy(check_timeline.load(edit["file"]))
        apply(files[edit["file"]], edit)
    return files


def run(program, plan):
    done = subprocess.run([program, "timeline", "--effort", EFFORT, "--json", plan],
                          capture_output=True, text=True, timeout=120, check=False)
    return done, json.loads(done.stdout) if done.stdout else None


def try_edits(program, plan, edits):
    """What is wrong with the plan as edited, or None."""
    files = edited(edits)
    before = {name: open(name, encoding="utf-8").read() for name in files}
    try:
        for name, document in files.items():
            with open(name, "w", encoding="utf-8") as file:
                json.dump(document, file, indent=1)
        done, timeline = run(program, plan)
        if done.returncode != 0:
            return f"exit {done.returncode}: {done.stderr.strip()[:200]}"
        wrong = check_timeline.check(check_timeline.Plan(plan), timeline)
        return "; ".join(wrong[:2]) if wrong else None
    finally:
        for name, text in before.items():
            with open(name, "w", encoding="utf-8") as file:
                file.write(text)


def removals_last(edits):
    """Of several changes: dishes are taken out last, from the last on, so that none moves."""
    out = [e for e in edits if e["op"] == "remove" and e["path"].startswith("/dishes/") and e["path"].count("/") == 2]
    return [e for e in edits if e not in out] + sorted(out, key=lambda e: -int(e["path"].split("/")[2]))


def attempt(program, plan, tried, faults):
    done, timeline = run(program, plan)
    if done.returncode not in (0, 1):
        faults.append(f"{plan}: exit {done.returncode}: {done.stderr.strip()[:200]}")
        return
    changes = [(r["change"], r["message"], r["edits"]) for r in timeline.get("remedies", [])]
    together = timeline.get("together")
    if together and all(r["edits"] for r in together["changes"]):
        changes.append(("together", "together", removals_last([e for r in together["changes"] for e in r["edits"]])))
    for kind, message, edits in changes:
        if not edits:
            tried[kind + " (by hand)"] = tried.get(kind + " (by hand)", 0) + 1
            continue
        tried[kind] = tried.get(kind, 0) + 1
        wrong = try_edits(program, plan, edits)
        if wrong:
            faults.append(f"{plan}: {message}: {json.dumps(edits)}: {wrong}")


def tight(seed):
    """A random plan with few hours before the first serve."""
    made = random_plans.plan(seed)
    serves = [made["serve"]] if "serve" in made else []
    serves += [dish["serve"] for dish in made["dishes"] if "serve" in dish]
    first = min(datetime.datetime.strptime(s[:16].replace("T", " "), "%Y-%m-%d %H:%M") for s in serves)
    earliest = first - datetime.timedelta(minutes=30 + seed * 37 % 420)
    if 0 < earliest.hour < 4:  # clocks may change
        earliest = earliest.replace(hour=0)
    made["earliest"] = earliest.strftime("%Y-%m-%d %H:%M")
    return made


def write_parts(made, folder, seed):
    def write(name, document):
        with open(os.path.join(folder, name), "w", encoding="utf-8") as file:
            json.dump(document, file, indent=1)
        return name

    if seed % 2 and "kitchen" in made:
        made["kitchen"] = write("kitchen.json", made["kitchen"])
        made["dishes"][0] = {"recipe": write("recipe.json", made["dishes"][0])}
    return os.path.join(folder, write("plan.json", made))


def main():
    if len(sys.argv) < 4:
        print(__doc__, file=sys.stderr)
        return 2
    program, folder, rest = sys.argv[1], sys.argv[2], sys.argv[3:]
    tried, faults = {}, []
    if rest[0].isdigit():
        for seed in range(int(rest[0]), int(rest[1]) + 1):
            attempt(program, write_parts(tight(seed), folder, seed), tried, faults)
    else:
        for plan in rest:
            attempt(program, plan, tried, faults)
    for kind, count in sorted(tried.items()):
        print(f"{kind}: {count}")
    for fault in faults:
        print("FAULT", fault)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())

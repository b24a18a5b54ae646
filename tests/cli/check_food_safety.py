#!/usr/bin/env python3
"""Small plans, one a line, against the safety warnings that each must draw.

usage: check_food_safety.py BAKESET TABLE

A line of the table: title | codes or "none" | dish | ingredients, by commas | stages, by
commas: what to do @ place minutes. Places: hands (in a room), room, fridge, freezer, hob,
oven; "serve" in the place of a stage's text is the fridge until serve.
"""
import json
import subprocess
import sys


def plan_of(dish, ingredients, stages):
    out, stored = [], None
    for n, words in enumerate(stages.split(",")):
        text, _, where = words.strip().partition("@")
        place, _, length = where.strip().partition(" ")
        if text.strip() == "stored":
            stored = {place: 1}
            continue
        stage = {"id": "s%d" % n, "do": text.strip()}
        stage["active" if place == "hands" else "passive"] = length.strip()
        if place == "oven":
            stage["uses"] = {"oven": {"at": "180 C"}}
        elif place not in ("hands", "room"):
            stage["uses"] = {place: 1}
        if place in ("oven", "hob"):
            stage["watch"] = False
        if out:
            stage["after"] = {"stage": out[-1]["id"], "within": "0 min"}
        out.append(stage)
    made = {"dish": dish, "stages": out}
    if ingredients.strip():
        made["ingredients"] = [i.strip() for i in ingredients.split(",")]
    if stored:
        made["stored"] = stored
    else:
        made["keeps"] = "5 min"
    equipment = {"oven": {"kind": "oven"}, "hob": {"kind": "hob"},
                 "fridge": {"kind": "cold", "at": "4 C"}, "freezer": {"kind": "cold", "at": "-18 C"}}
    return {"occasion": "Check", "timezone": "UTC", "serve": "2026-12-20 18:00",
            "earliest": "2026-11-01 00:00",
            "kitchen": {"rules": "us", "equipment": equipment}, "dishes": [made]}


def main():
    bakeset, table = sys.argv[1:]
    wrong = lines = 0
    for line in open(table, encoding="utf-8"):
        if line.startswith("#") or not line.strip():
            continue
        title, expected, dish, ingredients, stages = [part.strip() for part in line.split("|")]
        lines += 1
        text = json.dumps(plan_of(dish, ingredients, stages))
        done = subprocess.run([bakeset, "timeline", "--json", "-"], input=text, text=True,
                              capture_output=True, timeout=30, check=False)
        if done.returncode != 0:
            print("%s: status %d: %s" % (title, done.returncode, done.stderr.strip()[:400]))
            wrong += 1
            continue
        found = sorted({w["code"] for w in json.loads(done.stdout).get("warnings", [])
                        if w["code"].startswith("safety-")})
        if found != ([] if expected == "none" else sorted(expected.split())):
            print("%s: %s, expected %s" % (title, " ".join(found) or "none", expected))
            wrong += 1
    print("%d plans, %d wrong" % (lines, wrong))
    return 1 if wrong or not lines else 0


sys.exit(main())

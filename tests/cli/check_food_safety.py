#!/usr/bin/env python3
"""Small plans, one a line, against the safety warnings that each must draw.

usage: check_food_safety.py BAKESET TABLE

A line of the table: title | codes or "none" | dish | ingredients, by commas | stages, by
commas: what to do @ place minutes. Places: hands (in a room), room, fridge, freezer, hob,
oven, slow-cooker, an oven or freezer with its temperature (oven/90, freezer/-22); "stored@fridge" is the fridge
until serve. In the title, [us], [uk] or [no rules], and [room 34 C]. An ingredient may say what it is: "whites (is egg,
raw)" with a + in the place of the comma. Raw egg is looked for where the line names its code.
"""
import json
import re
import subprocess
import sys


def ingredient_of(words):
    said = re.match(r"(.*)\(is (.*)\)$", words)
    if not said:
        return words
    return {"item": said.group(1).strip(), "is": [w.strip() for w in said.group(2).split("+")]}


def plan_of(title, dish, ingredients, stages):
    out, stored = [], None
    equipment = {"oven": {"kind": "oven"}, "hob": {"kind": "hob"}, "slow-cooker": {},
                 "fridge": {"kind": "cold", "at": "4 C"}, "freezer": {"kind": "cold", "at": "-18 C"}}
    for n, words in enumerate(stages.split(",")):
        text, _, where = words.strip().partition("@")
        place, _, length = where.strip().partition(" ")
        place, _, at = place.partition("/")
        if text.strip() == "stored":
            stored = {place: 1}
            continue
        stage = {"id": "s%d" % n, "do": text.strip()}
        stage["active" if place == "hands" else "passive"] = length.strip()
        if place == "oven":
            stage["uses"] = {"oven": {"at": "%s C" % (at or "180")}}
        elif place not in ("hands", "room"):
            stage["uses"] = {place: 1}
            if at:
                equipment[place]["at"] = "%s C" % at
        if place in ("oven", "hob"):
            stage["watch"] = False
        if out:
            stage["after"] = {"stage": out[-1]["id"], "within": "0 min"}
        out.append(stage)
    made = {"dish": dish, "stages": out}
    if ingredients.strip():
        made["ingredients"] = [ingredient_of(i.strip()) for i in ingredients.split(",")]
    if stored:
        made["stored"] = stored
    else:
        made["keeps"] = "5 min"
    kitchen = {"rules": "us", "equipment": equipment}
    if "[uk]" in title:
        kitchen["rules"] = "uk"
    if "[no rules]" in title:
        del kitchen["rules"]
    room = re.search(r"\[room (.*?)\]", title)
    if room:
        kitchen["room"] = room.group(1)
    return {"occasion": "Check", "timezone": "UTC", "serve": "2026-12-20 18:00",
            "earliest": "2026-11-01 00:00", "kitchen": kitchen, "dishes": [made]}


def main():
    bakeset, table = sys.argv[1:]
    wrong = lines = 0
    for line in open(table, encoding="utf-8"):
        if line.startswith("#") or not line.strip():
            continue
        title, expected, dish, ingredients, stages = [part.strip() for part in line.split("|")]
        lines += 1
        text = json.dumps(plan_of(title, dish, ingredients, stages))
        done = subprocess.run([bakeset, "timeline", "--json", "-"], input=text, text=True,
                              capture_output=True, timeout=30, check=False)
        if done.returncode != 0:
            print("%s: status %d: %s" % (title, done.returncode, done.stderr.strip()[:400]))
            wrong += 1
            continue
        found = sorted({w["code"] for w in json.loads(done.stdout).get("warnings", [])
                        if w["code"].startswith("safety-") or w["code"] in expected})
        if found != ([] if expected == "none" else sorted(expected.split())):
            print("%s: %s, expected %s" % (title, " ".join(found) or "none", expected))
            wrong += 1
    print("%d plans, %d wrong" % (lines, wrong))
    return 1 if wrong or not lines else 0


sys.exit(main())

#!/usr/bin/env python3
"""Checks the form of every gold file beside the recipes (see README.md).

Usage: check_gold.py [FOLDER ...]     (default: every folder beside this file)

Says on stdout what it counted, on stderr every fault as FILE: fault; exit 1 if there was one.
It reads recipes and gold files only and shares nothing with the program under test.
"""
import html
import json
import os
import re
import sys
from html.parser import HTMLParser

KINDS = {"active", "passive"}
LINKS = {"after", "immediately"}
LINK_KEYS = {"from", "to", "kind", "said"}
WHERE = {"oven", "fridge", "freezer", "hob", "tin", "mixer", "blender", "grill", "microwave",
         "slow-cooker", "machine", "cool-place"}
STAGE_KEYS = {"kind", "time", "where", "oven", "name"}
STAGE_MAY = {"oven_also", "time_note"}
NUMBER = r"\d+(?:\.\d+)?"
AMOUNT = rf"(?:{NUMBER} d(?: {NUMBER} h)?|{NUMBER} h(?: {NUMBER} min)?|{NUMBER} min|{NUMBER} s)"
TIME = re.compile(rf"(?:{NUMBER}-{NUMBER} (?:d|h|min|s)|{AMOUNT}(?: - {AMOUNT})?)\Z")
OVEN = re.compile(r"(?:\d+ C(?: fan)?|\d+ F|gas (?:1/4|1/2|\d))\Z")
NAME = re.compile(r"[a-z][a-z0-9-]*\Z")


def decoded(data):
    """The text of a file: its byte order mark, else its own declaration, else UTF-8, else windows-1252."""
    for mark, name in ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16")):
        if data.startswith(mark):
            return data.decode(name)
    said = re.search(rb"charset=[\"']?([A-Za-z0-9_-]+)", data[:1024])
    if said:
        return data.decode(said.group(1).decode("ascii"))
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data.decode("windows-1252")


class Page(HTMLParser):
    """Text, JSON-LD scripts and the values of `content` and `datetime` of a page."""

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.text, self.scripts, self.inside = [], [], None

    def handle_starttag(self, tag, attrs):
        values = dict(attrs)
        if tag in ("script", "style"):
            self.inside = values.get("type") or tag
            self.scripts.append((self.inside, []))
        for key in ("content", "datetime"):
            if values.get(key):
                self.text.append(" " + values[key] + " ")
        if tag in ("li", "p", "br", "div", "td", "h1", "h2", "h3", "h4", "dd", "dt"):
            self.text.append(" ")

    def handle_endtag(self, tag):
        if tag in ("script", "style"):
            self.inside = None

    def handle_data(self, data):
        if self.inside:
            self.scripts[-1][1].append(data)
        else:
            self.text.append(data)


def strings(value):
    """Every string in a JSON value, without recursion (some recipes are nested deep on purpose)."""
    found, waiting = [], [value]
    while waiting:
        top = waiting.pop()
        if isinstance(top, str):
            found.append(top)
        elif isinstance(top, list):
            waiting.extend(reversed(top))
        elif isinstance(top, dict):
            waiting.extend(reversed(list(top.values())))
    return found


def bare(text):
    """Without tags, entities decoded (twice: pages escape what is escaped already), spaces made one."""
    text = html.unescape(html.unescape(text))
    text = re.sub(r"<(?:[a-zA-Z/!][^<>]*)>", " ", text)
    return " ".join(text.replace("\u00a0", " ").split())


def json_text(text):
    try:
        return " \n ".join(strings(json.loads(text, strict=False)))
    except (ValueError, RecursionError):
        return text.replace('\\"', '"').replace("\\n", " ").replace("\\/", "/")


def recipe_text(path):
    with open(path, "rb") as file:
        text = decoded(file.read())
    if path.endswith(".json"):
        return bare(json_text(text))
    if path.endswith(".txt"):
        return " ".join(text.replace("\u00a0", " ").split())
    page = Page()
    page.feed(text)
    page.close()
    parts = ["".join(page.text)]
    parts += [json_text("".join(body)) for kind, body in page.scripts if "json" in kind.lower()]
    return bare(" \n ".join(parts))


def reaches(links, start):
    """The names that come after `start` along the links."""
    seen, waiting = set(), [start]
    while waiting:
        top = waiting.pop()
        for link in links:
            if link["from"] == top and link["to"] not in seen:
                seen.add(link["to"])
                waiting.append(link["to"])
    return seen


def quoted(words, text):
    return isinstance(words, str) and words.strip() and " ".join(words.split()) in text


def stage_faults(stage):
    keys = set(stage)
    if not STAGE_KEYS <= keys <= STAGE_KEYS | STAGE_MAY:
        return [f"a stage's keys are {sorted(keys)}"]
    name, faults = stage["name"], []
    if not NAME.match(name):
        faults.append(f"name {name!r}")
    if stage["kind"] not in KINDS:
        faults.append(f"{name}: kind {stage['kind']!r}")
    if stage["time"] is not None and not TIME.match(stage["time"]):
        faults.append(f"{name}: time {stage['time']!r}")
    if not set(stage["where"]) <= WHERE or len(set(stage["where"])) != len(stage["where"]):
        faults.append(f"{name}: where {stage['where']!r}")
    ovens = ([stage["oven"]] if stage["oven"] is not None else []) + stage.get("oven_also", [])
    faults += [f"{name}: oven {oven!r}" for oven in ovens if not OVEN.match(oven)]
    if ovens and "oven" not in stage["where"]:
        faults.append(f"{name}: a temperature, but not in the oven")
    if "oven_also" in stage and stage["oven"] is None:
        faults.append(f"{name}: oven_also without oven")
    return faults


def said_faults(said, text):
    """The recipe's own words, or null where it has none for it."""
    return [] if said is None or quoted(said, text) else [f"said, but not in the recipe: {said!r}"]


def link_faults(gold, names, text):
    faults, pairs = [], set()
    for link in gold["links"]:
        if not {"from", "to", "kind"} <= set(link) <= LINK_KEYS or link["kind"] not in LINKS:
            faults.append(f"link {link!r}")
            continue
        if "said" in link:
            faults += said_faults(link["said"], text)
            faults += [f"said of a link that may wait: {link!r}"] if link["kind"] != "immediately" else []
        faults += [f"link to {end!r}, which is no stage" for end in (link["from"], link["to"]) if end not in names]
        if (link["from"], link["to"]) in pairs:
            faults.append(f"link {link['from']} to {link['to']} twice")
        pairs.add((link["from"], link["to"]))
    if faults:
        return faults
    after = {name: reaches(gold["links"], name) for name in names}
    faults += [f"{name} follows itself" for name in names if name in after[name]]
    for pair in gold["parallel"]:
        if len(pair) not in (2, 3) or pair[0] == pair[1] or not set(pair[:2]) <= set(names):
            faults.append(f"parallel {pair!r}")
        elif len(pair) == 3 and said_faults(pair[2], text):
            faults += said_faults(pair[2], text)
        elif pair[1] in after[pair[0]] or pair[0] in after[pair[1]]:
            faults.append(f"{pair[0]} and {pair[1]} are parallel, and one follows the other")
    return faults


def gold_faults(gold, text):
    keys = {"note", "title", "steps", "not_stages", "links", "parallel", "ingredients"}
    if set(gold) != keys:
        return [f"keys are {sorted(gold)}"]
    faults = []
    if "invented" not in gold["note"]:
        faults.append("the note doesn't say that it is invented")
    if gold["title"] is not None and not quoted(gold["title"], text):
        faults.append(f"title not in the recipe: {gold['title']!r}")
    stages = [stage for step in gold["steps"] for stage in step["stages"]]
    names = [stage["name"] for stage in stages]
    faults += [f"name {name!r} twice" for name in sorted(set(names)) if names.count(name) > 1]
    faults += [f"step not in the recipe: {step['words']!r}" for step in gold["steps"] if not quoted(step["words"], text)]
    faults += [f"step without a stage: {step['words']!r}" for step in gold["steps"] if not step["stages"]]
    faults += [f"not in the recipe: {words!r}" for words in gold["not_stages"] if not quoted(words, text)]
    for stage in stages:
        faults += stage_faults(stage)
    for item in gold["ingredients"]:
        if set(item) != {"item", "stage"} or not quoted(item["item"], text):
            faults.append(f"ingredient not in the recipe: {item!r}")
        elif item["stage"] is not None and item["stage"] not in names:
            faults.append(f"ingredient of {item['stage']!r}, which is no stage")
    return faults + link_faults(gold, names, text)


def pairs_of(folder):
    """Recipe and gold path, or second reader's path, of every name in a folder; faults for what has no partner."""
    files = sorted(os.listdir(folder))
    golds = {name[: -len(".gold.json")] for name in files if name.endswith(".gold.json")}
    recipes = {}
    faults = []
    for name in files:
        stem, _, ending = name.rpartition(".")
        if name.endswith((".gold.json", ".second.json")):
            continue
        if ending not in ("html", "json", "txt"):
            faults.append(f"{folder}/{name}: neither recipe nor gold file")
        elif stem in recipes:
            faults.append(f"{folder}/{name}: a second recipe of that name")
        else:
            recipes[stem] = name
    faults += [f"{folder}/{stem}.gold.json: no recipe beside it" for stem in sorted(golds - set(recipes))]
    faults += [f"{folder}/{recipes[stem]}: no gold file beside it" for stem in sorted(set(recipes) - golds)]
    pairs = [(f"{folder}/{recipes[s]}", f"{folder}/{s}.gold.json") for s in sorted(golds & set(recipes))]
    for second in (name for name in files if name.endswith(".second.json")):
        recipe = recipes.get(second[: -len(".second.json")])
        if recipe:
            pairs.append((f"{folder}/{recipe}", f"{folder}/{second}"))
        else:
            faults.append(f"{folder}/{second}: no recipe beside it")
    return pairs, faults


def check(folder):
    pairs, faults = pairs_of(folder)
    count = dict.fromkeys(("recipes", "stages", "times", "ovens", "links", "immediately", "parallel"), 0)
    for recipe, gold_path in pairs:
        try:
            with open(gold_path, encoding="utf-8") as file:
                gold = json.load(file)
            found = gold_faults(gold, recipe_text(recipe))
        except (ValueError, KeyError, TypeError, LookupError) as error:
            faults.append(f"{gold_path}: {type(error).__name__}: {error}")
            continue
        faults += [f"{gold_path}: {fault}" for fault in found]
        if gold_path.endswith(".second.json"):
            continue
        stages = [stage for step in gold["steps"] for stage in step["stages"]]
        count["recipes"] += 1
        count["stages"] += len(stages)
        count["times"] += sum(stage["time"] is not None for stage in stages)
        count["ovens"] += sum(stage["oven"] is not None for stage in stages)
        count["links"] += len(gold["links"])
        count["immediately"] += sum(link["kind"] == "immediately" for link in gold["links"])
        count["parallel"] += len(gold["parallel"])
    print(f"{os.path.basename(folder)}: " + ", ".join(f"{number} {what}" for what, number in count.items()))
    if not pairs:
        faults.append(f"{folder}: no recipes")
    return faults


def main():
    here = os.path.dirname(os.path.abspath(__file__))
    folders = sys.argv[1:] or sorted(entry.path for entry in os.scandir(here) if entry.is_dir())
    faults = [fault for folder in folders for fault in check(folder.rstrip("/"))]
    for fault in faults:
        print(fault, file=sys.stderr)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())

#!/usr/bin/env python3
"""How well take-in reads: the drafts of the recipes in a folder against their gold files.

Usage: measure.py FOLDER [--form html|json|txt] [--each] [--show NAME] [--reader]

Runs `bakeset take-in` (the program in $BAKESET, else build/bakeset) on every recipe of FOLDER
that has a gold file (tests/data/take-in/README.md says what stands in one) and prints totals.
--reader measures, in place of the drafts, what a second reader made of the same recipes
(NAME.second.json, where there is one): how far two who read with care agree.
--each prints the misses recipe by recipe; refused for the part kept apart, of which nobody
who works on the rules may see more than totals.

Stages of the draft and of the gold are put side by side in their order, so that the most
agree (the words of the step, the time, the kind, the place). Then it is counted:

  times         of every gold stage with a time: has its stage the same; of every time in the
                draft: is it the gold's
  temperatures  the same, for ovens
  kind          of the stages that have a counterpart: both active, or both passive
  places        pairs of stage and place
  links         gold links whose ends both have a counterpart: does the draft put the one
                before the other, at any remove; links of the draft: does the gold
  parallel      gold pairs that may go on at the same time: does the draft put neither before
                the other
  at once       links marked to follow at once, where the draft has the same two stages and a
                link of haste between them
  kept at once  the same links, where the draft lets nothing come between: by such a link, by a
                chain of them through small stages of its own, or as both acts stand in the words
                of one stage (a gold stage without a counterpart is looked for, by the verb of
                its name, in the counterparts of its neighbours of the same step)
  ingredients   the first stage that uses each

Where the gold tells which of the last three the recipe's own words say, they are also counted
apart: said, not said.
"""
import json
import os
import re
import subprocess
import sys

BAKESET = os.environ.get("BAKESET", "build/bakeset")
NAMES = {"slow cooker": "slow-cooker", "cool place": "cool-place"}


def plain(text):
    """Letters and digits only: quotation marks and white space differ between forms."""
    return re.sub(r"[^a-z0-9]+", " ", text.lower()).strip()


def minutes(time):
    """"1 h 30 min - 2 h" as (least, most) in minutes."""
    if time is None:
        return None
    units = {"d": 1440, "h": 60, "min": 1, "s": 1 / 60}

    def one(text):
        return sum(float(n) * units[u] for n, u in re.findall(r"([\d.]+) ?(d|h|min|s)\b", text))
    bare = re.fullmatch(r"([\d.]+)-([\d.]+) (d|h|min|s)", time)
    if bare:
        return float(bare[1]) * units[bare[3]], float(bare[2]) * units[bare[3]]
    parts = time.split(" - ")
    return one(parts[0]), one(parts[-1])


def strip_comments(text):
    out, inside, i = [], False, 0
    while i < len(text):
        c = text[i]
        if inside and c == "\\":
            out.append(text[i:i + 2])
            i += 2
            continue
        if c == '"':
            inside = not inside
        if not inside and text.startswith("//", i):
            i = text.index("\n", i)
            continue
        out.append(c)
        i += 1
    return "".join(out)


class Stage:
    def __init__(self, name, kind, time, where, oven, words):
        self.name, self.kind, self.time, self.where, self.oven, self.words = name, kind, time, where, oven, words
        self.before = {}  # name of the stage before -> at once
        self.said = {}  # of those at once, where somebody has looked: the recipe's words for it, or None


def read_draft(text):
    recipe = json.loads(strip_comments(text))
    # the comments that stand above each stage
    comments, gathered = {}, []
    for line in text.splitlines():
        line = line.strip()
        if line.startswith("//"):
            gathered.append(line[2:].strip())
        else:
            found = re.match(r'\{"id": "([^"]*)"', line)
            if found:
                comments[found[1]] = gathered
            gathered = []
    stages, above, held = [], None, {}
    for item in recipe["stages"]:
        said = comments[item["id"]]
        kind = "active" if "active" in item else "passive"
        time = item[kind]
        oven = item.get("uses", {}).get("oven", {}).get("at")
        for comment in said:
            if comment.startswith("Time: the words give none"):
                time = None
            read = re.match(r'Time: ".*" is (.*); planned as', comment)
            if read:
                time = read[1]
            if comment.startswith("Oven: the words give no"):
                oven = None
        where = {NAMES.get(w, w) for w in item.get("uses", {})}
        for tool, hold in item.get("holds", {}).items():
            held[item["id"]] = (tool, hold["until"])
        stage = Stage(item["id"], kind, time, where, oven, plain(item["do"]))
        links = item.get("after", [above] if above else [])
        for link in links:
            at_once = isinstance(link, dict) and "within" in link
            stage.before[link["stage"] if isinstance(link, dict) else link] = at_once
        above = item["id"]
        stages.append(stage)
    order = closure(stages)
    for first, (tool, until) in held.items():
        for stage in stages:
            inside = stage.name in (first, until) or (first in order[stage.name] and stage.name in order[until])
            if inside:
                stage.where.add(tool)
    ingredients = {plain(i["item"]): i.get("stage") for i in recipe.get("ingredients", [])}
    return stages, ingredients


def read_gold(gold):
    stages, by_name = [], {}
    for step in gold["steps"]:
        for s in step["stages"]:
            stage = Stage(s["name"], s["kind"], s["time"], set(s["where"]), s["oven"], plain(step["words"]))
            stage.also = s.get("oven_also", [])
            by_name[s["name"]] = stage
            stages.append(stage)
    for link in gold["links"]:
        by_name[link["to"]].before[link["from"]] = link["kind"] == "immediately"
        if "said" in link:
            by_name[link["to"]].said[link["from"]] = link["said"]
    return stages


def read_second(path):
    second = json.load(open(path))
    return read_gold(second), {plain(one["item"]): one["stage"] for one in second["ingredients"]}


def closure(stages):
    """name -> all names before it."""
    by_name = {s.name: s for s in stages}
    done = {}

    def before(name):
        if name not in done:
            done[name] = set()
            for earlier in by_name[name].before:
                done[name] |= {earlier} | before(earlier)
        return done[name]
    sys.setrecursionlimit(10000)
    return {s.name: before(s.name) for s in stages}


def step_positions(text, stages):
    """Where the words of each stage stand in the recipe, as far as they are found."""
    at, places = 0, []
    for stage in stages:
        found = text.find(stage.words[:40], at)
        if found < 0:
            found = text.find(stage.words[:25])
        places.append(found if found >= 0 else None)
        at = found if found >= 0 else at
    return places


def side_by_side(gold, draft, text):
    """Pairs (gold, draft) in the order of both."""
    gold_at, draft_at = step_positions(text, gold), step_positions(text, draft)
    starts = sorted({p for p in gold_at if p is not None})

    def step_of(place):
        return max((s for s in starts if s <= place + 3), default=-1)

    def score(g, d):
        a, b = gold[g], draft[d]
        points = 1.0
        if a.time and b.time and minutes(a.time) == minutes(b.time):
            points += 6
        elif (a.time is None) != (b.time is None):
            points -= 1
        points += 1.5 if a.kind == b.kind else -0.5
        points += 1.5 * len(a.where & b.where) - 0.3 * len(a.where ^ b.where)
        if gold_at[g] is not None and draft_at[d] is not None:
            ends = (draft_at[d], draft_at[d] + max(0, len(b.words) - 2))
            points += 3 if gold_at[g] in [step_of(end) for end in ends] else -6
        verb = a.name.split("-")[0]
        points += 2 if verb in b.words.split() or verb == b.name.split("-")[0] else 0
        return points

    n, m = len(gold), len(draft)
    best = [[0.0] * (m + 1) for _ in range(n + 1)]
    way = [[None] * (m + 1) for _ in range(n + 1)]
    for g in range(n + 1):
        for d in range(m + 1):
            options = []
            if g and d:
                options.append((best[g - 1][d - 1] + score(g - 1, d - 1), "both"))
            if g:
                options.append((best[g - 1][d], "gold"))
            if d:
                options.append((best[g][d - 1], "draft"))
            if options:
                best[g][d], way[g][d] = max(options)
    pairs, g, d = [], n, m
    while g or d:
        if way[g][d] == "both":
            pairs.append((gold[g - 1], draft[d - 1]))
        g, d = g - (way[g][d] != "draft"), d - (way[g][d] != "gold")
    return pairs[::-1]


reasons = {}  # why times were missed -> how many


def heat(oven):
    """Of a range the first: "180-190 C" is "180 C", as the gold's conventions have it."""
    return re.sub(r"^(\d+)-\d+", r"\1", oven) if oven else oven


class Count:
    def __init__(self):
        self.right_of_gold = self.gold = self.right_of_draft = self.draft = 0
        self.misses = []

    def add_gold(self, right, miss=None):
        self.gold += 1
        self.right_of_gold += right
        if not right:
            self.misses.append("missed: " + (miss or ""))

    def add_draft(self, right, miss=None):
        self.draft += 1
        self.right_of_draft += right
        if not right:
            self.misses.append("wrong: " + (miss or ""))


WHAT = ["stages", "times", "temperatures", "kind", "places", "links", "parallel", "at once", "kept at once", "ingredients"]


SPLIT = ["parallel", "at once", "kept at once"]


def split_by_words(counts, what, said, right):
    """`said`: the recipe's words for it or None, in a list; empty where nobody has looked."""
    if said:
        counts[what + (": said" if said[0] else ": not said")].add_gold(right)


def stand_in(gold, to_draft):
    """The draft's stage in which each gold stage is told, where there is one."""
    inside = dict(to_draft)
    for i, stage in enumerate(gold):
        for neighbour in gold[max(0, i - 1):i] + gold[i + 1:i + 2]:
            told = to_draft.get(neighbour.name) if neighbour.words == stage.words else None
            if stage.name not in inside and told and stage.name.split("-")[0] in told.words.split():
                inside[stage.name] = told
    return inside


def nothing_comes_between(first, last, by_name):
    """One stage, or a chain of links of haste back from `last` to `first`."""
    return first is last or any(at_once and nothing_comes_between(first, by_name[name], by_name)
                                for name, at_once in last.before.items())


def measure(gold, draft, ingredients, gold_ingredients, text, counts):
    pairs = side_by_side(gold, draft, text)
    to_draft = {g.name: d for g, d in pairs}
    to_gold = {d.name: g for g, d in pairs}
    for g in gold:
        counts["stages"].add_gold(g.name in to_draft, g.name)
    for d in draft:
        counts["stages"].add_draft(d.name in to_gold, d.name + ": " + d.words[:60])
    for g in gold:
        d = to_draft.get(g.name)
        if g.time:
            same = d is not None and d.time is not None and minutes(d.time) == minutes(g.time)
            if not same:
                why = "no stage stands there" if d is None else "no time" if d.time is None else "another time"
                reasons[why] = reasons.get(why, 0) + 1
            counts["times"].add_gold(same, f"{g.name} {g.time} (draft: {d.name + ' ' + str(d.time) if d else None})")
        if g.oven:
            same = d is not None and heat(d.oven) in [g.oven] + g.also
            counts["temperatures"].add_gold(same, f"{g.name} {g.oven} (draft: {d.oven if d else None})")
        if d is not None:
            counts["kind"].add_gold(d.kind == g.kind, f"{g.name} {g.kind} (draft {d.name}: {d.words[:50]})")
        for place in g.where:
            counts["places"].add_gold(d is not None and place in d.where, f"{g.name} {place}")
    for d in draft:
        g = to_gold.get(d.name)
        if d.time:
            same = g is not None and g.time is not None and minutes(d.time) == minutes(g.time)
            counts["times"].add_draft(same, f"{d.name} {d.time} (gold: {g.name + ' ' + str(g.time) if g else None})")
        if d.oven:
            counts["temperatures"].add_draft(g is not None and g.oven is not None and heat(d.oven) in [g.oven] + g.also,
                                             f"{d.name} {d.oven} (gold: {g.oven if g else None})")
        if g is not None:
            counts["kind"].add_draft(d.kind == g.kind)
        for place in d.where:
            counts["places"].add_draft(g is not None and place in g.where, f"{d.name} {place}")
    gold_order, draft_order = closure(gold), closure(draft)
    inside, by_name = stand_in(gold, to_draft), {d.name: d for d in draft}
    for g in gold:
        for before, at_once in g.before.items():
            both = g.name in to_draft and before in to_draft
            if both:
                right = to_draft[before].name in draft_order[to_draft[g.name].name]
                counts["links"].add_gold(right, f"{before} > {g.name}")
            if at_once:
                right = both and any(n == to_draft[before].name and o for n, o in to_draft[g.name].before.items())
                counts["at once"].add_gold(right, f"{before} !> {g.name}")
                ends = [inside.get(before), inside.get(g.name)]
                kept = None not in ends and nothing_comes_between(*ends, by_name)
                counts["kept at once"].add_gold(kept, f"{before} !> {g.name}")
                said = [g.said[before]] if before in g.said else []
                split_by_words(counts, "at once", said, right)
                split_by_words(counts, "kept at once", said, kept)
    for d in draft:
        for before, at_once in d.before.items():
            both = d.name in to_gold and before in to_gold
            if both:
                right = to_gold[before].name in gold_order[to_gold[d.name].name]
                counts["links"].add_draft(right, f"{before} > {d.name}")
            if at_once:
                right = both and to_gold[d.name].before.get(to_gold[before].name, False)
                counts["at once"].add_draft(right, f"{before} !> {d.name}")
    return to_draft, draft_order


def measure_pairs(gold_file, to_draft, draft_order, ingredients, counts):
    for a, b, *said in gold_file["parallel"]:
        da, db = to_draft.get(a), to_draft.get(b)
        right = (da is not None and db is not None and da is not db and da.name not in draft_order[db.name] and
                 db.name not in draft_order[da.name])
        counts["parallel"].add_gold(right, f"{a} | {b}")
        split_by_words(counts, "parallel", said, right)
    to_gold = {d.name: g for g, d in to_draft.items()}
    for one in gold_file["ingredients"]:
        item = plain(one["item"])
        found = [s for i, s in ingredients.items() if item in i or i in item]
        stage = found[0] if found else None
        want = to_draft.get(one["stage"])
        if one["stage"] is not None:
            counts["ingredients"].add_gold(want is not None and stage == want.name,
                                           f"{item}: {one['stage']} (draft: {to_gold.get(stage, stage)})")
        if stage is not None:
            counts["ingredients"].add_draft(to_gold.get(stage) == one["stage"])


def source_text(path):
    data = open(path, "rb").read()
    for mark, name in ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16")):
        if data.startswith(mark):
            return data.decode(name)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data.decode("windows-1252", "replace")


def main():
    folder = sys.argv[1]
    each = "--each" in sys.argv
    show = sys.argv[sys.argv.index("--show") + 1] if "--show" in sys.argv else None
    form = sys.argv[sys.argv.index("--form") + 1] if "--form" in sys.argv else None
    if (each or show) and "kept-apart" in os.path.realpath(folder):
        sys.exit("measure.py: of the part kept apart only the totals are shown")
    counts = {what: Count() for what in WHAT + [what + of for what in SPLIT for of in (": said", ": not said")]}
    recipes = failed = 0
    for gold_name in sorted(os.listdir(folder)):
        if not gold_name.endswith(".gold.json"):
            continue
        name = gold_name[:-len(".gold.json")]
        recipe = next(f"{folder}/{name}.{e}" for e in ("html", "json", "txt") if os.path.exists(f"{folder}/{name}.{e}"))
        if form and not recipe.endswith("." + form):
            continue
        second = f"{folder}/{name}.second.json"
        if "--reader" in sys.argv and not os.path.exists(second):
            continue
        gold_file = json.load(open(f"{folder}/{gold_name}"))
        gold = read_gold(gold_file)
        recipes += 1
        draft, ingredients = [], {}
        ran = None
        if "--reader" in sys.argv:
            draft, ingredients = read_second(second)
        else:
            ran = subprocess.run([BAKESET, "take-in", recipe], capture_output=True, timeout=60)
        if ran and ran.returncode == 0:
            draft, ingredients = read_draft(ran.stdout.decode("utf-8"))
        elif ran and gold:
            failed += 1
        # the draft's own words, in order, are the text that both are looked for in
        text = plain(" ".join(source_pieces(recipe)))
        before = {what: len(counts[what].misses) for what in WHAT}
        to_draft, order = measure(gold, draft, ingredients, gold_file["ingredients"], text, counts)
        measure_pairs(gold_file, to_draft, order, ingredients, counts)
        if show == name and ran:
            print(ran.stdout.decode("utf-8"), ran.stderr.decode("utf-8"))
        if each or show == name:
            for what in WHAT:
                for miss in counts[what].misses[before[what]:]:
                    print(f"{name}: {what}: {miss}")
    print(f"{recipes} recipes, {failed} not read")
    print(f"{'':14}{'recall':>18}{'precision':>20}")
    for what, c in counts.items():
        if what not in WHAT and not c.gold:
            continue
        line = f"{what:14}" if what in WHAT else f"{what:24}"
        for right, of in ((c.right_of_gold, c.gold), (c.right_of_draft, c.draft)):
            line += f"{right:>6} of {of:<5}{100 * right / of:5.1f} %" if of else f"{'':>20}"
        print(line.rstrip())
    print("times missed: " + ", ".join(f"{n} {why}" for why, n in sorted(reasons.items())))


def source_pieces(recipe):
    """The words of a recipe in its own order, markup and escapes read."""
    import html
    text = source_text(recipe)
    text = re.sub(r"\\u([0-9a-fA-F]{4})", lambda m: chr(int(m[1], 16)), text)
    text = text.replace("\\n", " ").replace("\\/", "/").replace('\\"', '"')
    text = re.sub(r"<[a-zA-Z/!][^<>]*>", " ", text)
    return [html.unescape(html.unescape(text))]


main()

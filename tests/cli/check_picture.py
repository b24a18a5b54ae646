#!/usr/bin/env python3
"""check_picture.py PLAN.json TIMELINE.json PICTURE.svg [LANE INSTANT]: the picture by its
geometry; and that the lane is full at that instant.

Every bar lies in rows of its lane, no two bars of a lane are over each other, a bar begins
and ends where the ruler above it has its time, and at each minute the rows taken in a lane
are as many as the places, rings, shelves or pieces that the plan and the timeline's JSON
say are taken: counted here from the text of the plan format (section 6, rules 5 and 6),
sharing nothing with the picture. What stands in a lane has its whole name there: of its dish,
or what is done. No letter is smaller than 9 points on A4; a text is as wide as Liberation Sans
has it, where that face is here to be read; every sheet has the occasion, and its number where
there are several.
"""
import glob
import json
import os
import struct
import sys
import xml.etree.ElementTree as tree

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import check_timeline

SVG = "{http://www.w3.org/2000/svg}"
MOST_ROWS = 12
LEAST_ROW = 93 * 1.15  # of one line of the smallest letters


def whole(element, name):
    return int(element.get(name))


def of_class(root, name):
    return [e for e in root.iter() if name in (e.get("class") or "").split()]


def face(style):
    """The advance of each character of Liberation Sans, by the tables cmap (format 4), hmtx, hhea
    and head of its file (OpenType 1.9), in thousandths of an em; None without the file."""
    found = sorted(glob.glob(f"/usr/share/fonts/**/LiberationSans-{style}.ttf", recursive=True))
    if not found:
        return None
    with open(found[0], "rb") as file:
        data = file.read()

    def shorts(at, count, kind="H"):
        return struct.unpack(f">{count}{kind}", data[at : at + 2 * count])

    table = {data[i : i + 4]: struct.unpack(">L", data[i + 8 : i + 12])[0]
             for i in range(12, 12 + 16 * shorts(4, 1)[0], 16)}
    em, long = shorts(table[b"head"] + 18, 1)[0], shorts(table[b"hhea"] + 34, 1)[0]
    advances = shorts(table[b"hmtx"], 2 * long)[::2]
    cmap, widths = table[b"cmap"], {}
    for i in range(shorts(cmap + 2, 1)[0]):
        if shorts(cmap + 4 + 8 * i, 2) != (3, 1):
            continue
        at = cmap + struct.unpack(">L", data[cmap + 8 + 8 * i : cmap + 12 + 8 * i])[0]
        n = shorts(at + 6, 1)[0] // 2
        ends, begins = shorts(at + 14, n), shorts(at + 16 + 2 * n, n)
        deltas, offsets = shorts(at + 16 + 4 * n, n, "h"), shorts(at + 16 + 6 * n, n)
        for s in range(n):
            for code in range(begins[s], min(ends[s], 0xFFFE) + 1):
                glyph = code
                if offsets[s]:
                    glyph = shorts(at + 16 + 6 * n + 2 * s + offsets[s] + 2 * (code - begins[s]), 1)[0]
                glyph = (glyph + deltas[s]) & 0xFFFF if glyph else 0
                if glyph:
                    widths[code] = round(1000 * advances[min(glyph, long - 1)] / em)
    return widths


def check_widths(root, faults):
    faces = {bold: face("Bold" if bold else "Regular") for bold in (False, True)}
    if not all(faces.values()):
        return
    for text in root.iter(SVG + "text"):
        if text.get("textLength"):
            words, size = "".join(text.itertext()), whole(text, "font-size")
            widths = faces[text.get("font-weight") == "bold"]
            wide = -(-sum(widths.get(ord(c), -9999) for c in words) * size // 1000)
            if abs(wide - whole(text, "textLength")) > 1:
                faults.append(f"{words!r} is {wide} wide, not {text.get('textLength')}")


def check_names(plan, things, faults):
    names = list(dict.fromkeys(dish for dish, _ in plan.stages))
    deeds = [s["do"] for s in plan.stages.values()]
    deeds += [c["do"] for s in plan.stages.values() for c in s.get("checks", [])] + ["May be ready from now"]
    for thing in things:
        words = " ".join("".join(t.itertext()) for t in thing.iter(SVG + "text"))
        if not any(name in words for name in names + deeds):
            faults.append(f"{thing.find(SVG + 'title').text} is called {words!r}")


class Count:
    """What is taken of each piece of equipment, from the plan and the JSON alone."""

    def __init__(self, plan, timeline):
        self.taken = {}  # lane's name: [(from, to, amount)]
        when = {(s["dish"], s["stage"]): (plan.instant(s["start"]), plan.instant(s["end"]), s["oven"])
                for s in timeline["stages"]}
        for key, stage in plan.stages.items():
            start, end, oven = when[key]
            for name, use in stage.get("uses", {}).items():
                about = plan.equipment[name]
                if about.get("kind") == "oven":
                    lane = name if about.get("count", 1) == 1 else oven.replace("#", " ")
                    self.take(lane, start, end, use.get("shelves", 1))
                else:
                    self.take(name, start, end, max(0, use - plan.held(key, name)))
            cooling = stage.get("cooling", {}).get("in")
            if cooling in plan.equipment and cooling not in stage.get("uses", {}):
                self.take(cooling, start, end, max(0, 1 - plan.held(key, cooling)))
            for name, hold in stage.get("holds", {}).items():
                until = max(when[u][1] for u in plan.untils(key, hold))
                self.take(name, start, until, hold.get("amount", 1))
        for dish in plan.dishes:
            ready = max(when[(dish["dish"], s["id"])][1] for s in dish["stages"])
            until = dish["at"]
            if dish.get("part"):  # until it is last used
                until = max(when[key][0] for key, s in plan.stages.items() if key[0] != dish["dish"]
                            and any(link[0][0] == dish["dish"] for link in s["links"]))
            for name, amount in dish.get("stored", {}).items():
                self.take(name, ready, until, amount)

    def take(self, lane, start, end, amount):
        if amount and start < end:
            self.taken.setdefault(lane, []).append((start, end, amount))

    def at(self, lane, minute):
        return sum(n for start, end, n in self.taken.get(lane, []) if start <= minute < end)


def pool(plan, lane):
    """How many there are of it; None: no limit. Of an oven its shelves."""
    about = plan.equipment[lane if lane in plan.equipment else lane.rsplit(" ", 1)[0]]
    kind = about.get("kind", "tool")
    if kind == "oven":
        return about.get("shelves", 1)
    each = about.get("rings", 4) if kind == "hob" else about.get("places") if kind == "cold" else 1
    return None if each is None else each * about.get("count", 1)


def box(rect):
    x, y = whole(rect, "x"), whole(rect, "y")
    return x, y, x + whole(rect, "width"), y + whole(rect, "height")


def apart(a, b):
    return a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def check_lane(plan, count, strip, lane, things, faults):
    name, rows, at = lane.get("data-name"), whole(lane, "data-rows"), box(lane)
    span = whole(strip, "data-from"), whole(strip, "data-to")
    bars = []
    for thing in things:
        for rect in of_class(thing, "bar"):
            bars.append((box(rect), whole(rect, "data-rows"), thing))
    for i, (one, _, thing) in enumerate(bars):
        if not (at[0] <= one[0] and one[2] <= max(at[2], one[0] + 4) and at[1] <= one[1] and one[3] <= at[3]):
            faults.append(f"{name}: a bar {one} outside its lane {at}")
        for other, _, _ in bars[:i]:
            if not apart(one, other):
                faults.append(f"{name}: bars {one} and {other} are over each other")
    if not rows:
        return
    if pool(plan, name) is not None and rows != pool(plan, name):
        faults.append(f"{name}: {rows} rows for {pool(plan, name)} places")
    tops = [at[1] + int(top) for top in lane.get("data-tops").split()]
    if len(tops) != rows + 1 or tops != sorted(set(tops)) or (tops[0], tops[-1]) != (at[1], at[3]):
        faults.append(f"{name}: rows from {tops} in a lane {at}")
    for one, tall, thing in bars:
        own = [i for i in range(rows) if tops[i] < one[3] and tops[i + 1] > one[1]]
        if len(own) != tall:
            faults.append(f"{name}: a bar {one} is not {tall} rows high")
        if any(tops[i + 1] - tops[i] < LEAST_ROW for i in own):
            faults.append(f"{name}: a bar {one} in a row too low for words")
    edges = {span[0]} | {whole(t, e) for t in things for e in ("data-from", "data-to")}
    edges |= {e for start, end, _ in count.taken.get(name, []) for e in (start, end)}
    for minute in sorted(edges):
        if not span[0] <= minute < span[1]:
            continue
        used = sum(tall for _, tall, t in bars if whole(t, "data-from") <= minute < whole(t, "data-to"))
        if used != count.at(name, minute):
            faults.append(f"{name} at {minute}: {used} rows, {count.at(name, minute)} places taken")


def check_ruler(strip, things, faults):
    hours = [(whole(h, "data-at"), int(h.get("d")[1:].split()[0])) for h in of_class(strip, "hour")]
    if hours != sorted(hours):
        faults.append("the ruler does not go one way")
    for thing in things:
        for rect in of_class(thing, "bar"):
            left, _, right, _ = box(rect)
            for at, x in hours:
                if whole(thing, "data-from") >= at and left < x - 1 or whole(thing, "data-from") < at and left > x + 6:
                    faults.append(f"a bar begins at {left}, the ruler has {at} at {x}")
                if whole(thing, "data-to") <= at and right > x + 1 or whole(thing, "data-to") > at and right < x - 6:
                    faults.append(f"a bar ends at {right}, the ruler has {at} at {x}")


def points(path):
    return [tuple(map(int, at.split())) for at in path.get("d")[1:].split("L")]


def check_courses(plan, timeline, strip, things, faults):
    """A curve lies below its lane's rows and above the next, under the bar of its stage, goes as
    the JSON has it, by the ruler's time, and says where it begins, ends and has to come to."""
    span = whole(strip, "data-from"), whole(strip, "data-to")
    hours = [(whole(h, "data-at"), int(h.get("d")[1:].split()[0])) for h in of_class(strip, "hour")]
    floors = {lane.get("data-lane"): box(lane)[3] for lane in of_class(strip, "lane")}
    tops = sorted(box(lane)[1] for lane in of_class(strip, "lane"))
    drawn = {}
    for course in of_class(strip, "course"):
        drawn.setdefault((course.get("data-dish"), whole(course, "data-from"), whole(course, "data-to")),
                         []).append(course)
    for stage in timeline["stages"]:
        start, end = plan.instant(stage["start"]), plan.instant(stage["end"])
        if not stage.get("curve") or start >= span[1] or end <= span[0]:
            continue
        name = f"the curve of {stage['dish']}/{stage['stage']}"
        own = drawn.pop((stage["dish"], start, end), [])
        if len(own) != 1:
            faults.append(f"{name} is drawn {len(own)} times")
            continue
        course, (line,), (limit,) = own[0], of_class(own[0], "curve"), of_class(own[0], "limit")
        at, lane = points(line), course.get("data-lane")
        below = min([top for top in tops if top > floors[lane]], default=float("inf"))
        if not all(floors[lane] <= y <= below for _, y in at):
            faults.append(f"{name} is not below its lane")
        bars = [box(rect) for thing in things if thing.get("data-lane") == lane
                and whole(thing, "data-from") <= start and end <= whole(thing, "data-to")
                for rect in of_class(thing, "bar")]
        if not any(bar[0] - 6 <= at[0][0] and at[-1][0] <= bar[2] + 6 for bar in bars):
            faults.append(f"{name} from {at[0]} to {at[-1]} is under none of {bars}")
        told = [(plan.instant(p["at"]), p["c"]) for p in stage["curve"]]
        inner = [p for p in told if max(start, span[0]) < p[0] < min(end, span[1])]
        if len(at) != len(inner) + 2:
            faults.append(f"{name} has {len(at)} points, not {len(inner) + 2}")
            continue
        for (minute, _), (x, _) in zip(inner, at[1:]):
            if any(minute >= hour and x < mark - 1 or minute <= hour and x > mark + 1 for hour, mark in hours):
                faults.append(f"{name} at {minute} is at {x}, the ruler has {hours}")
        for i in range(1, len(inner)):
            rise, fall = inner[i][1] - inner[i - 1][1], at[i + 1][1] - at[i][1]
            if rise * fall > 0 or abs(rise) > 1 and fall == 0:
                faults.append(f"{name} goes from {at[i]} to {at[i + 1]} where it changes by {rise:.1f} C")
        if (told[0][1] > told[-1][1]) != (at[0][1] < at[-1][1]):
            faults.append(f"{name} goes the wrong way")
        cooling = plan.stages[stage["dish"], stage["stage"]]["cooling"]
        level = int(limit.get("d")[1:].split()[1].split("h")[0])
        words = " ".join("".join(t.itertext()) for t in course.iter(SVG + "text"))
        expected = ["must reach " + cooling["to"].replace(" C", " \u00b0C")]
        if start >= span[0]:
            expected.append(f"{told[0][1]:g} \u00b0C")
        if end <= span[1]:
            expected.append(f"{told[-1][1]:g} \u00b0C")
            if (told[0][1] > told[-1][1]) != (at[-1][1] >= level - 1):
                faults.append(f"{name} does not pass its limit")
        for text in expected:
            if text not in words:
                faults.append(f"{name} does not say {text!r}: {words!r}")
    for left in drawn:
        faults.append(f"a curve of no stage: {left}")
    bands = []
    for course in of_class(strip, "course"):
        at, level = points(of_class(course, "curve")[0]), of_class(course, "limit")[0].get("d")
        ys = [y for _, y in at] + [int(level[1:].split()[1].split("h")[0])]
        band = at[0][0], min(ys), at[-1][0], max(ys)
        if not all(apart(band, other) for other in bands):
            faults.append(f"two curves are over each other: {band} and one of {bands}")
        bands.append(band)


def check(plan, timeline, root, full):
    faults = []
    count, drawn = Count(plan, timeline), {}
    _, _, width, _ = map(int, root.get("viewBox").split())
    points = 210 / 25.4 * 72 / width
    assert root.get("width") == "210.0mm"
    for text in root.iter(SVG + "text"):
        if whole(text, "font-size") * points < 8.995:
            faults.append(f"letters of {whole(text, 'font-size') * points:.1f} points")
    check_widths(root, faults)
    sheets = of_class(root, "sheet")
    for number, sheet in enumerate(sheets, 1):
        texts = ["".join(t.itertext()) for t in sheet.iter(SVG + "text")]
        if not any(timeline["occasion"].startswith(t.rstrip("\u2026")) for t in texts):
            faults.append(f"sheet {number} does not say what it is of")
        if len(sheets) > 1 and not any(t.endswith(f"page {number} of {len(sheets)}") for t in texts):
            faults.append(f"sheet {number} does not say its number")
    for strip in of_class(root, "strip"):
        things = of_class(strip, "thing")
        check_ruler(strip, things, faults)
        check_names(plan, things, faults)
        check_courses(plan, timeline, strip, things, faults)
        for thing in things:
            cut = of_class(thing, "cut")
            ends = ((whole(thing, "data-from") < whole(strip, "data-from"))
                    + (whole(thing, "data-to") > whole(strip, "data-to")))
            if (len(cut) > 0) != (ends > 0):
                faults.append("a bar is cut without an arrow, or has one and is not")
        for lane in of_class(strip, "lane"):
            own = [t for t in things if t.get("data-lane") == lane.get("data-lane")]
            check_lane(plan, count, strip, lane, own, faults)
            drawn.setdefault(lane.get("data-name"), []).append(
                (whole(strip, "data-from"), whole(strip, "data-to")))
    if full:
        lane, minute = full[0], plan.instant(full[1])
        for strip in of_class(root, "strip"):
            rows = [whole(e, "data-rows") for e in of_class(strip, "lane") if e.get("data-name") == lane]
            if rows and whole(strip, "data-from") <= minute < whole(strip, "data-to"):
                index = next(e.get("data-lane") for e in of_class(strip, "lane") if e.get("data-name") == lane)
                used = sum(whole(r, "data-rows") for t in of_class(strip, "thing")
                           if t.get("data-lane") == index
                           and whole(t, "data-from") <= minute < whole(t, "data-to")
                           for r in of_class(t, "bar"))
                if used != rows[0]:
                    faults.append(f"{lane} is not full at {full[1]}: {used} of {rows[0]}")
                full = None
        if full:
            faults.append(f"no {lane} at {full[1]}")
    for name, taken in count.taken.items():
        for start, end, _ in taken:
            if not any(a <= start < b for a, b in drawn.get(name, [])):
                faults.append(f"{name} is taken from {start} and has no lane there")
    return faults, len(of_class(root, "bar"))


def main():
    plan = check_timeline.Plan(sys.argv[1])
    with open(sys.argv[2], encoding="utf-8") as file:
        timeline = json.load(file)
    faults, bars = check(plan, timeline, tree.parse(sys.argv[3]).getroot(), sys.argv[4:])
    assert bars, "no bars at all"
    for fault in faults[:20]:
        print(fault)
    print(f"{bars} bars, {len(faults)} faults")
    return bool(faults)


if __name__ == "__main__":
    sys.exit(main())

#!/usr/bin/env python3
"""Checks a timeline (JSON) against its plan by the text of the plan format alone.

Usage: check_timeline.py PLAN.json TIMELINE.json

Written from docs/plan-format.md, sections 2 to 6 and 8, in another language and by
nothing of the program's: it shares no code and no reading with what it checks. It
does not check that the timeline is the best. Calendars (.ics) in `away` and `busy`
are not read: such a plan is refused. A cooling stage's time is taken from the timeline.

Exit status: 0 nothing is wrong, 1 something is (each breach on a line), 2 usage.
"""

import datetime
import json
import math
import math
import os
import re
import sys
import zoneinfo

UTC = datetime.timezone.utc
GAS = {"1/4": 110, "¼": 110, "1/2": 130, "½": 130, "1": 140, "2": 150, "3": 160,
       "4": 180, "5": 190, "6": 200, "7": 220, "8": 230, "9": 240}


def load(path):
    with open(path, encoding="utf-8") as file:
        text = file.read()
    text = re.sub(r'("(?:\\.|[^"\\])*")|//[^\n]*|/\*.*?\*/', lambda m: m.group(1) or " ", text,
                  flags=re.S)
    return json.loads(text)


def minutes(text):
    """A duration in whole minutes, rounded up."""
    iso = re.fullmatch(r"P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)S)?)?", text.strip())
    if iso:
        d, h, m, s = (int(x or 0) for x in iso.groups())
        return d * 1440 + h * 60 + m + -(-s // 60)
    parts = re.findall(r"(\d+(?:\.\d+)?)\s*(d|h|min|s)\b", text)
    assert parts, text
    seconds = sum(float(n) * {"d": 86400, "h": 3600, "min": 60, "s": 1}[u] for n, u in parts)
    return int(-(-seconds // 60))


def span(text):
    """A range as (least, likely, most)."""
    bare = re.fullmatch(r"\s*([\d.]+)\s*-\s*([\d.]+)(?:\s*-\s*([\d.]+))?\s*(d|h|min|s)\s*", text)
    if bare:
        values = [minutes(n + " " + bare.group(4)) for n in bare.groups()[:3] if n]
    else:
        values = [minutes(part) for part in text.split(" - ")]
    if len(values) == 1:
        return (values[0],) * 3
    if len(values) == 2:
        return values[0], -(-(values[0] + values[1]) // 2), values[1]
    return tuple(values)


def oven_band(text):
    """Accepted temperatures of an oven, without fan, as (low, high)."""
    fan = 20 if text.rstrip().endswith("fan") else 0
    text = text.replace("fan", "").replace("°", "").strip()
    if text.startswith("gas"):
        low = high = GAS[text[3:].strip()]
    else:
        value, unit = text.rsplit(None, 1) if " " in text else (text[:-1], text[-1])
        numbers = [float(v) for v in value.split("-")]
        if unit == "F":
            numbers = [(v - 32) / 1.8 for v in numbers]
        low, high = numbers[0], numbers[-1]
        if len(numbers) > 1:
            return low + fan, high + fan
    return low - 4 + fan, high + 4 + fan


def rate(text):
    """Degrees Celsius a minute."""
    number, unit = re.fullmatch(r"\s*([\d.]+)\s*°?\s*([CF])\s*/\s*min\s*", text).groups()
    return float(number) / (1.8 if unit == "F" else 1)


def heating(about, start, end):
    """Minutes that an oven takes from one temperature to another."""
    rates = about.get("warms" if end > start else "cools")
    if rates is None:
        return minutes(about.get("change", "10 min"))
    return max(0, math.ceil(abs(end - start) / rate(rates) - 1e-6))


def preheating(about, celsius):
    if "warms" in about:
        return heating(about, 20, max(20, celsius))
    return minutes(about.get("preheat", "15 min"))


def length(text):
    """Metres."""
    number, unit = re.fullmatch(r"\s*([\d.]+)\s*(cm|mm|in|m)\s*", text).groups()
    return float(number) * {"cm": 0.01, "mm": 0.001, "in": 0.0254, "m": 1}[unit]


class Tin:
    def __init__(self, dish, key):
        about = {"shape": "round", **dish["tin"], **dish[key]}
        self.deep = length(about["deep"]) if "deep" in about else None
        across = length(about["across"])
        self.square = about["shape"] == "square"
        self.area = across ** 2 * (1 if self.square else math.pi / 4)
        self.wide = 2 * (math.pi / across) ** 2 if self.square else (4.81 / across) ** 2


def longer(dish):
    """Times as long in the oven, for another tin: as the plan format has it."""
    if "into" not in dish:
        return 1
    tin, into = (Tin(dish, key) for key in ("tin", "into"))
    if (tin.area, tin.square, tin.deep) == (into.area, into.square, into.deep):
        return 1
    if tin.deep is None:
        return 0.9
    return (tin.wide + (math.pi / tin.deep) ** 2) / (into.wide + (math.pi / into.deep) ** 2)


class Plan:
    def wanted(self):
        """A part has no serve: it is the latest of the dishes that link to it."""
        uses = set()
        for dish in self.dishes:
            for stage in dish["stages"]:
                after = stage.get("after", [])
                for link in after if isinstance(after, list) else [after]:
                    name = link if isinstance(link, str) else link["stage"]
                    if "/" in name and name.rsplit("/", 1)[0] != dish["dish"]:
                        uses.add((dish["dish"], name.rsplit("/", 1)[0]))
        by_name = {d["dish"]: d for d in self.dishes}
        for _ in self.dishes:
            for user, part in uses:
                if by_name[part].get("part") and "at" in by_name[user]:
                    by_name[part]["at"] = max(by_name[part].get("at", by_name[user]["at"]),
                                              by_name[user]["at"])

    def __init__(self, path):
        raw = load(path)
        self.zone = zoneinfo.ZoneInfo(raw["timezone"])
        self.margin = minutes(raw.get("margin", "0 min"))
        self.at_table = minutes(raw.get("at_table", "0 min"))
        self.end_of_range = {"least": 0, "likely": 1, "most": 2}[raw.get("plan_on", "most")]
        self.style = raw.get("style", "fresh")
        base = os.path.dirname(path)
        kitchen, kitchen_base = raw.get("kitchen", {}), base
        while isinstance(kitchen, str):
            file = os.path.join(kitchen_base, kitchen)
            kitchen, kitchen_base = load(file), os.path.dirname(file)
        self.cooks = kitchen.get("cooks", 1)
        self.named = self.cooks if isinstance(self.cooks, list) else []
        self.cooks = len(self.named) or self.cooks
        self.equipment = kitchen.get("equipment", {})
        self.rules = kitchen.get("rules")
        self.dishes = [self.dish(d, base) for d in raw["dishes"]]
        for dish in self.dishes:
            if not dish.get("part"):
                dish["at"] = self.instant(dish.get("serve", raw.get("serve")))
        serves = [d["at"] for d in self.dishes if not d.get("part")]
        self.wanted()
        self.served = {d["dish"]: d["at"] for d in self.dishes}
        self.first_serve, self.last_serve = min(serves), max(serves)
        self.earliest = self.first_serve - 14 * 1440
        if "earliest" in raw:
            self.earliest = self.instant(raw["earliest"])
        self.stages = {}
        self.batches = {}  # (dish, id as written): how many batches
        for dish in self.dishes:
            batches = dish.get("batches", {"count": 0, "stages": []})
            written = dish["stages"]
            above = None
            for stage in written:
                stage.setdefault("after", [above] if above else [])
                if not isinstance(stage["after"], list):
                    stage["after"] = [stage["after"]]
                above = stage["id"]
            in_batch = [s for s in written if s["id"] in batches["stages"]]
            dish["stages"] = []
            for stage in written:
                if stage not in in_batch:
                    dish["stages"].append(stage)
                elif stage is in_batch[0]:
                    for number in range(1, batches["count"] + 1):
                        dish["stages"] += [{**s, "id": f"{s['id']}#{number}", "batch": number}
                                           for s in in_batch]
            for stage in in_batch:
                self.batches[(dish["dish"], stage["id"])] = batches["count"]
        for dish in self.dishes:
            for stage in dish["stages"]:
                self.stages[(dish["dish"], stage["id"])] = stage
                stage["links"] = []
                for raw_link in stage["after"]:
                    stage["links"] += self.links(dish["dish"], stage, raw_link)
        self.pace = kitchen.get("pace", 1)
        self.asleep = self.nights(kitchen.get("asleep", []))
        self.away = self.listed(kitchen.get("away", []))
        self.busy = self.listed(kitchen.get("busy", []))
        every = self.asleep + self.away
        self.absent, self.full = {}, {}  # of each named cook: not there; or no hands
        for cook in self.named:
            away = self.nights(cook.get("asleep", [])) + self.listed(cook.get("away", []))
            self.absent[cook["cook"]] = every + away
            self.full[cook["cook"]] = (every + self.busy + away
                                       + self.listed(cook.get("busy", [])))
        if self.named:  # when none of them is there; when none has hands
            self.asleep, self.away = self.common(self.absent.values()), []
            self.busy = self.common(self.full.values())

    def dish(self, raw, base):
        if "recipe" not in raw:
            return dict(raw)
        file = os.path.join(base, raw["recipe"])
        whole = self.dish(load(file), os.path.dirname(file))
        whole.update({k: v for k, v in raw.items() if k != "recipe"})
        return whole

    def links(self, dish, stage, raw):
        """A link as written, to each batch that it means."""
        (other, name), wait, within, which = self.link(dish, raw)
        count = self.batches.get((other, name), 0)
        if not count:
            return [((other, name), wait, within, which)]
        if "batch" in stage and other == dish:
            return [((other, f"{name}#{stage['batch']}"), wait, within, which)]
        return [((other, f"{name}#{n}"), wait, within if n == 1 else None, which)
                for n in range(1, count + 1)]

    def untils(self, key, hold):
        """The stages until whose end a stage's hold lasts: one, or that of every batch."""
        until = (key[0], hold["until"].rsplit("/", 1)[-1])
        count = self.batches.get(until, 0)
        if not count:
            return [until]
        if "batch" in self.stages[key]:
            return [(key[0], f"{until[1]}#{self.stages[key]['batch']}")]
        return [(key[0], f"{until[1]}#{n}") for n in range(1, count + 1)]

    def link(self, dish, raw):
        if isinstance(raw, str):
            raw = {"stage": raw}
        name = raw["stage"]
        # A dish's own name may have no "/" in a stage id, so the last "/" parts them.
        key = tuple(name.rsplit("/", 1)) if "/" in name else (dish, name)
        within = minutes(raw["within"]) if "within" in raw else None
        return key, minutes(raw.get("wait", "0 min")), within, raw.get("from", "end")

    def linked_after(self, later, sooner):
        return any(link[0] == sooner or self.linked_after(link[0], sooner)
                   for link in self.stages[later]["links"])

    def growth(self, key):
        """By how much an active stage takes longer for what the dish is made for."""
        dish = next(d for d in self.dishes if d["dish"] == key[0])
        factor = dish["make"] / dish["serves"] if "make" in dish else 1
        if "into" in dish:
            tin, into = (Tin(dish, key) for key in ("tin", "into"))
            factor *= into.area / tin.area
            factor *= into.deep / tin.deep if "deep" in dish["into"] else 1
        return 1 + self.stages[key].get("grows", 0) * (factor - 1)

    def heat(self, key, name, entry):
        """The temperatures, least and most, by which an oven's warming for a stage counts."""
        band = oven_band(self.stages[key]["uses"][name]["at"])
        for stage in self.stages.values():
            at = stage.get("uses", {}).get(name, {}).get("at", "off")
            if at == "off":
                continue
            other = oven_band(at)
            if (other[0] <= band[1] + 0.01 and band[0] <= other[1] + 0.01
                    and max(abs(other[0] - band[0]), abs(other[1] - band[1])) > 1e-6):
                return band
        return entry["temperature_c"], entry["temperature_c"]

    def held(self, key, name):
        """What the stage's own dish holds of an equipment where the stage stands."""
        amount = 0
        for holder, stage in self.stages.items():
            hold = stage.get("holds", {}).get(name)
            if hold is None or holder[0] != key[0]:
                continue
            untils = self.untils(holder, hold)
            if key in [holder] + untils or (self.linked_after(key, holder) and any(
                    self.linked_after(until, key) for until in untils)):
                amount += hold.get("amount", 1)
        return amount

    def nobody_can(self, at):
        """Strictly inside a time in which nobody can, adjoining windows as one."""
        windows = self.asleep + self.away + self.busy
        return all(any(start <= minute < end for start, end in windows) for minute in (at - 1, at))

    def instant(self, text):
        when = datetime.datetime.fromisoformat(text.replace("Z", "+00:00"))
        if when.tzinfo is None:
            when = when.replace(tzinfo=self.zone)
        return int(when.timestamp()) // 60

    def civil(self, day, time):
        """The first instant of a civil time; of one that a clock change skips, the change."""
        at = int(datetime.datetime.combine(day, time, self.zone).timestamp()) // 60

        def shown(minute):
            return datetime.datetime.fromtimestamp(minute * 60, self.zone)

        if shown(at).time() != time:
            while shown(at - 1).utcoffset() == shown(at).utcoffset():
                at -= 1
        return at

    @staticmethod
    def common(many):
        """The times that are in some window of each of many lists."""
        edges = sorted({edge for windows in many for window in windows for edge in window})
        return [(start, end) for start, end in zip(edges, edges[1:])
                if all(any(s <= start and end <= e for s, e in windows) for windows in many)]

    def can(self, cook, start, end):
        return not any(s < end and start < e for s, e in self.full[cook])

    def hands_at(self, minute):
        if not self.named:
            return self.cooks
        return sum(self.can(cook, minute, minute + 1) for cook in self.full)

    def kept_around(self, at):
        """How many cooks are kept in the minutes before and after."""
        return sum(not self.can(cook, at - 1, at) and not self.can(cook, at, at + 1)
                   for cook in self.full)

    def date(self, minute):
        return datetime.datetime.fromtimestamp(minute * 60, self.zone).date()

    def days(self):
        day = self.date(self.earliest) - datetime.timedelta(days=3)
        while day <= self.date(self.last_serve) + datetime.timedelta(days=2):
            yield day
            day += datetime.timedelta(days=1)

    def on(self, day, time):
        """The window "HH:MM-HH:MM" that begins on a day."""
        hours = [tuple(map(int, t.split(":"))) for t in time.split("-")]
        ends = [datetime.time(h % 24, m) for h, m in hours]
        until = day + datetime.timedelta(days=1 if ends[1] <= ends[0] else 0)
        return self.civil(day, ends[0]), self.civil(until, ends[1])

    def some_days(self, entry, own_nights=()):
        """Every occurrence of {"days" or "date" or neither, "time"}, but for those nights."""
        names = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
        wanted = set(range(7))
        if "days" in entry:
            wanted = set()
            for part in entry["days"].split(","):
                first, last = (names.index(n.strip()) for n in (part.split("-") * 2)[:2])
                wanted |= {d % 7 for d in range(first, first + (last - first) % 7 + 1)}
        for day in self.days():
            if "date" in entry and entry["date"] != day.isoformat():
                continue
            if day.weekday() in wanted and self.night(day, entry["time"]) not in own_nights:
                yield self.on(day, entry["time"])

    @staticmethod
    def night(day, time):
        """Of a window that begins on a day: the date whose noon is the last before it."""
        return day if int(time.split(":")[0]) >= 12 else day - datetime.timedelta(days=1)

    def nights(self, entries):
        entries = entries if isinstance(entries, list) else [entries]
        entries = [{"time": e} if isinstance(e, str) else dict(e) for e in entries]
        dated = {datetime.date.fromisoformat(e["date"]) for e in entries if "date" in e}
        found = []
        for entry in entries:
            if "date" in entry:
                date = datetime.date.fromisoformat(entry["date"])
                if self.night(date, entry["time"]) != date:
                    date += datetime.timedelta(days=1)
                found.append(self.on(date, entry["time"]))
            else:
                found += self.some_days(entry, dated)
        return found

    def listed(self, windows):
        found = []
        for window in windows if isinstance(windows, list) else [windows]:
            if isinstance(window, str):
                sys.exit("check_timeline: calendars are not read: " + window)
            if "time" in window:
                found += self.some_days(window)
            else:
                found.append((self.instant(window["from"]), self.instant(window["to"])))
        return found

    def when(self, key):
        """The windows that a stage is to lie in; None when it may be at any time."""
        when = self.stages[key].get("when")
        if when is None:
            return None
        if "day" not in when:
            return list(self.some_days(when))
        served = self.date(next(d["at"] for d in self.dishes if d["dish"] == key[0]))
        return [self.on(served + datetime.timedelta(days=when["day"]), when["time"])]


def check(plan, timeline):
    wrong = []

    def breach(rule, text):
        wrong.append(f"rule {rule}: {text}")

    def when(text):
        return int(datetime.datetime.fromisoformat(text).timestamp()) // 60

    def meets(start, end, windows):
        return any(start < to and from_ < end for from_, to in windows)

    placed = {}
    order = []
    position = {key: i for i, key in enumerate(plan.stages)}
    for entry in timeline["stages"]:
        key = (entry["dish"], entry["stage"])
        if key in placed:
            breach(0, f"{key} is there twice")
        placed[key] = entry
        entry["from"], entry["to"] = when(entry["start"]), when(entry["end"])
        order.append((entry["from"], position.get(key, -1)))
    if set(placed) != set(plan.stages):
        breach(0, f"stages differ: {set(placed) ^ set(plan.stages)}")
        return wrong
    if order != sorted(order):
        breach(0, "stages are not in order of start, then plan order")

    tables = [(d["at"], d["at"] + plan.at_table) for d in plan.dishes
              if plan.at_table > 0 and not d.get("part")]
    whole = {}      # cook -> [(from, to)] of what is all theirs

    def give_hands(key, start, end, need, by):
        if not plan.named or start == end:
            return
        able = [cook for cook in plan.full if plan.can(cook, start, end)]
        if len(set(by)) != len(by) or len(by) < need or set(by) - set(plan.full):
            breach(3, f"{key} is given to {by} and needs {need}")
        elif len(able) >= need:
            if len(by) != need or set(by) - set(able):
                breach(3, f"{key} is given to {by}, and {able} can do all of it")
            for cook in by:
                if any(s < end and start < e for s, e in whole.get(cook, [])):
                    breach(3, f"{cook} does two things at once: {key}")
                whole.setdefault(cook, []).append((start, end))

    hands = []      # (from, to, cooks)
    touched = set()
    pools = {}      # name -> [(from, to, amount)]
    oven_off = []   # (key, name, "name#n", from, to)
    oven_use = {}   # "name#n" -> [(from, to, shelves, band, key, told temperature)]
    for key, stage in plan.stages.items():
        entry = placed[key]
        start, end = entry["from"], entry["to"]
        given = stage.get("active") or stage.get("passive")
        if given:
            least, likely, most = span(given)
            if "active" in stage:
                least, likely, most = (math.ceil(round(m * plan.pace * plan.growth(key), 6))
                                       for m in (least, likely, most))
            told = entry["least_minutes"], entry["likely_minutes"], entry["most_minutes"]
            if told != (least, likely, most):
                breach(0, f"{key} range {told}, not {(least, likely, most)}")
        planned = (entry["least_minutes"], entry["likely_minutes"],
                   entry["most_minutes"])[plan.end_of_range]
        if entry["planned_minutes"] != planned or end - start != planned:
            breach(1, f"{key} lasts {end - start}, planned {planned}")
        windows = plan.when(key)
        if windows is not None and not any(s <= start and end <= e for s, e in windows):
            breach(9, f"{key} is outside its window")
        before = (key[0], f"{key[1].rsplit('#', 1)[0]}#{stage.get('batch', 0) - 1}")
        if stage.get("batch", 0) > 1 and start < placed[before]["from"]:
            breach(2, f"{key} starts before {before}")
        for other, wait, within, which in stage["links"]:
            ref = placed[other]["to" if which == "end" else "from"]
            if start < ref + wait:
                breach(2, f"{key} starts {ref + wait - start} min too early after {other}")
            if within is not None and start > ref + within:
                breach(2, f"{key} starts {start - ref - within} min too late after {other}")
        uses = stage.get("uses", {})
        ovens = [n for n in uses if plan.equipment[n].get("kind") == "oven"]
        off = [n for n in ovens if uses[n]["at"] == "off"]
        hot = any(plan.equipment[n].get("kind") in ("oven", "hob") for n in uses if n not in off)
        nobody = plan.asleep + plan.away
        if "active" in stage:
            hands.append((start, end, stage.get("cooks", 1)))
            give_hands(key, start, end, stage.get("cooks", 1), entry.get("by"))
            if meets(start, end, tables):
                breach(3, f"{key} wants hands while the cooks eat")
            if meets(start, end, nobody + plan.busy):
                breach(3, f"{key} falls when no hands are free")
        touches = [end] if len(ovens) > len(off) else []  # rules 11 and 12
        if "active" not in stage and stage.get("begins", "hand") == "hand":
            touches.append(start)
        for at in touches:
            if plan.nobody_can(at):
                breach(11, f"{key}: nobody can begin it or take it out")
        touched.update(touches)
        checks = stage.get("checks", [])
        timed = [c for c in checks if minutes(c.get("takes", "0 min")) > 0]
        shown = [(when(c["start"]), when(c["end"]), c["do"], c.get("by"))
                 for c in entry["checks"]]
        for c in timed:
            takes, at = minutes(c["takes"]), start + minutes(c["at"])
            give = minutes(c.get("give", "5 min"))
            fits = [s for s in shown if s[2] == c["do"] and s[1] - s[0] == takes
                    and abs(s[0] - at) <= give and s[1] <= end]
            if not fits:
                breach(7, f"{key} check '{c['do']}' is not where it should be: {shown}")
                continue
            hands.append((fits[0][0], fits[0][1], 1))
            give_hands(key, fits[0][0], fits[0][1], 1, fits[0][3])
            if meets(fits[0][0], fits[0][1], nobody + plan.busy):
                breach(3, f"{key} check '{c['do']}' falls when no hands are free")
        reminders = [(minutes(c["at"]), c["do"]) for c in checks if c not in timed]
        heated = any(n not in off for n in ovens)
        look = stage.get("look", heated and "active" not in stage)
        looked = entry["least_minutes"]
        if heated:
            looked *= longer(next(d for d in plan.dishes if d["dish"] == key[0]))
            looked = math.ceil(looked - 1e-6)
        if look and looked < planned:
            reminders.append((looked, look if isinstance(look, str) else None))
        used = min([placed[other]["from"] for other, following in plan.stages.items()
                    if any(link[0] == key for link in following["links"])]
                   + [plan.served[key[0]]])
        for after, text in reminders:
            at = due = start + after
            while meets(due, due + 1, nobody):
                due += 1
            seen = [s for s in shown if s[0] == s[1] and text in (s[2], None)]
            kept = due == at or due < end or due < used
            if kept != any(s[0] == due for s in seen):
                breach(7, f"{key} reminder '{text}' is not at its minute: {seen}, {due}")
        if len(shown) > len(timed) + len(reminders):
            breach(7, f"{key} has checks that the plan has not: {shown}")
        if stage.get("watch", hot) and meets(start, end, nobody):
            breach(4, f"{key} is watched, and nobody is up and at home")
        for name in uses:
            amount = uses[name]
            if name in off:
                oven_off.append((key, name, entry["oven"], start, end))
                oven_use.setdefault(entry["oven"], []).append(
                    (start, end, amount.get("shelves", 1), None, key, None))
                if entry["temperature_c"] is not None:
                    breach(6, f"{key} is in a switched-off oven, at {entry['temperature_c']} C")
            elif name in ovens:
                preheat = preheating(plan.equipment[name], plan.heat(key, name, entry)[1])
                if meets(start - preheat, start, nobody) and stage.get("watch", hot):
                    breach(4, f"{key}: nobody is up and at home while the oven heats")
                if start - preheat < plan.earliest:
                    breach(9, f"{key}: the oven heats before the earliest")
                oven_use.setdefault(entry["oven"], []).append(
                    (start, end, amount.get("shelves", 1), oven_band(amount["at"]), key,
                     entry["temperature_c"]))
                if not entry["oven"] or entry["oven"].rsplit("#", 1)[0] != name:
                    breach(6, f"{key} is in oven {entry['oven']}, not one of {name}")
            else:
                taken = amount - plan.held(key, name)
                if taken > 0:
                    pools.setdefault(name, []).append((start, end, taken))
        cooling = stage.get("cooling", {})
        stops = cooling.get("places", [cooling])
        for cooled in {stop.get("in", "room") for stop in stops}:
            known = cooled in plan.equipment  # else a room or a bath
            if known and cooled not in uses and plan.held(key, cooled) < 1:
                pools.setdefault(cooled, []).append((start, end, 1))
        for name, hold in stage.get("holds", {}).items():
            until = max(placed[other]["to"] for other in plan.untils(key, hold))
            if until > start:
                pools.setdefault(name, []).append((start, until, hold.get("amount", 1)))
        if start < plan.earliest:
            breach(9, f"{key} starts before the earliest")

    def most(spans):
        return max((sum(s[2] for s in spans if s[0] <= t < s[1]) for t, _, _ in
                    [s[:3] for s in spans]), default=0)

    for at in sorted({minute for s, e, _ in hands for minute in range(s, e)}):
        needed = sum(c for s, e, c in hands if s <= at < e)
        if needed > plan.hands_at(at):
            breach(3, f"{needed} pairs of hands at once, of {plan.hands_at(at)}")
            break

    waiting = 0
    for dish in plan.dishes:
        mine = [placed[(dish["dish"], s["id"])] for s in dish["stages"]]
        ready = max(m["to"] for m in mine)
        if ready > dish["at"] - plan.margin:
            breach(8, f"{dish['dish']} is ready {ready - dish['at'] + plan.margin} min late")
        until = dish["at"]
        if dish.get("part"):
            until = max(placed[key]["from"] for key, s in plan.stages.items()
                        if key[0] != dish["dish"]
                        and any(link[0][0] == dish["dish"] for link in s["links"]))
        if "keeps" in dish and ready < until - minutes(dish["keeps"]):
            breach(8, f"{dish['dish']} is ready too early to keep")
        for name, amount in dish.get("stored", {}).items():
            pools.setdefault(name, []).append((ready, until, amount))
        waiting += sum(dish["at"] - m["to"] for m in mine)

    for name, spans in pools.items():
        about = plan.equipment[name]
        kind = about.get("kind", "tool")
        each = {"cold": about.get("places"), "hob": about.get("rings", 4)}.get(kind, 1)
        if each is not None and most(spans) > about.get("count", 1) * each:
            breach(5, f"{name}: {most(spans)} at once, of {about.get('count', 1) * each}")

    for oven, uses in oven_use.items():
        about = plan.equipment[oven.rsplit("#", 1)[0]]
        if int(oven.rsplit("#", 1)[1]) > about.get("count", 1):
            breach(6, f"there is no {oven}")
        if most(uses) > about.get("shelves", 1):
            breach(6, f"{oven}: {most(uses)} shelves at once")
        uses = [use for use in uses if use[3]]
        for i, a in enumerate(uses):
            if not a[3][0] - 0.01 <= a[5] <= a[3][1] + 0.01:
                breach(6, f"{a[4]} is told {a[5]} C, accepts {a[3]}")
            for b in uses[i + 1:]:
                share = max(a[3][0], b[3][0]) <= min(a[3][1], b[3][1]) + 0.01
                gap = max(a[0], b[0]) - min(a[1], b[1])
                sooner, later = (a, b) if a[0] < b[0] else (b, a)
                name = oven.rsplit("#", 1)[0]
                cool, hot = (plan.heat(use[4], name, placed[use[4]]) for use in (sooner, later))
                ends = (cool[0], hot[1]) if later[3][0] > sooner[3][1] else (cool[1], hot[0])
                if not share and gap < heating(about, *ends):
                    breach(6, f"{oven}: {a[4]} and {b[4]} share no temperature, {gap} min apart")
        for a in uses:  # alone in the oven, it is set as written or to a round number
            fan = 20 if about.get("fan") else 0
            alone = not any(b is not a and b[5] == a[5] for b in uses)
            told, tens = a[5] - fan, range(0, 600, 10)
            written = plan.stages[a[4]]["uses"][oven.rsplit("#", 1)[0]]["at"]
            if (alone and "F" not in written and plan.rules != "us" and told % 10 > 0.01
                    and (a[3][1] - a[3][0] != 8 or abs(sum(a[3]) / 2 - a[5]) > 0.01)
                    and any(a[3][0] - fan <= t <= a[3][1] - fan for t in tens)):
                breach(6, f"{a[4]}: the oven is set to {told} C, no round number")
        for a in uses:  # somebody has to have turned it on
            runs = [r for r in timeline["ovens"] if r["oven"] == oven
                    and when(r["ready"]) <= a[0] and a[1] <= when(r["off"])]
            if not runs:
                breach(0, f"{oven} is not on for {a[4]}")

    for run in timeline["ovens"]:
        about = plan.equipment[run["oven"].rsplit("#", 1)[0]]
        lead = when(run["ready"]) - when(run["on"])
        if run["from_cold"] and lead < preheating(about, run["temperature_c"]):
            breach(0, f"{run['oven']} is to be hot {lead} min after it is turned on")
    for key, name, oven, start, end in oven_off:
        hot = [(placed[other]["to"], placed[other]["oven"]) for other, stage in plan.stages.items()
               if name in stage.get("uses", {}) and stage["uses"][name]["at"] != "off"
               and plan.linked_after(key, other)]
        if not any(o == oven and to == max(hot)[0] for to, o in hot):
            breach(6, f"{key} stands in {oven}, and nothing before it was hot there last")
        for use in oven_use[oven]:
            if use[3] and use[1] > start and use[0] - preheating(
                    plan.equipment[name], plan.heat(use[4], name, placed[use[4]])[1]) < end:
                breach(6, f"{key} stands in {oven}, switched off, and {use[4]} wants it hot")
        for run in timeline["ovens"]:
            if run["oven"] == oven and when(run["on"]) < end and start < when(run["off"]):
                breach(6, f"{key} stands in {oven}, switched off, and it is on at {run['on']}")

    first = min(e["from"] for e in placed.values())
    last = max(e["to"] for e in placed.values())
    if when(timeline["start"]) != first or when(timeline["ready"]) != last:
        breach(0, "start or ready is not the first start or the last end")
    objective = timeline["objective"]
    if when(objective["first_start"]) != first:
        breach(0, f"objective first_start {objective['first_start']}")
    interruptions = sum(1 for at in touched if
                        any(s < at < e for s, e in tables) or
                        sum(c for s, e, c in hands if s < at < e) + plan.kept_around(at)
                        >= plan.cooks)
    if objective["interruptions"] != interruptions:
        breach(0, f"objective interruptions {objective['interruptions']}, counted {interruptions}")
    if objective["waiting_minutes"] != waiting:
        breach(0, f"objective waiting_minutes {objective['waiting_minutes']}, counted {waiting}")
    midnight = datetime.datetime.combine(
        datetime.datetime.fromtimestamp(plan.last_serve * 60, plan.zone).date(),
        datetime.time(), plan.zone)
    dawn = int(midnight.timestamp()) // 60
    dusk = int((midnight + datetime.timedelta(days=1)).timestamp()) // 60
    that_day = sum(max(0, min(e, dusk) - max(s, dawn)) for s, e, _ in hands)
    if objective["hands_on_serving_day_minutes"] != that_day:
        breach(0, f"hands_on_serving_day_minutes {objective['hands_on_serving_day_minutes']}, "
                  f"counted {that_day}")
    busiest = 0
    for day in plan.days():
        if day == plan.date(plan.last_serve):
            continue
        ends = (plan.civil(d, datetime.time()) for d in (day, day + datetime.timedelta(days=1)))
        dawn, dusk = ends
        busiest = max(busiest, sum(max(0, min(e, dusk) - max(s, dawn)) for s, e, _ in hands))
    if objective["hands_on_busiest_other_day_minutes"] != busiest:
        breach(0, f"hands_on_busiest_other_day_minutes "
                  f"{objective['hands_on_busiest_other_day_minutes']}, counted {busiest}")
    for key, entry in placed.items():
        if entry["critical"] != (entry["slack_minutes"] == 0):
            breach(0, f"{key}: critical is not slack 0")
        if when(entry["latest_start"]) != entry["from"] + entry["slack_minutes"]:
            breach(0, f"{key}: latest_start is not start + slack")

    stands = []
    for key, stage in plan.stages.items():
        for other, _, within, _ in stage["links"]:
            if within is None:
                before = key[1] if other[0] == key[0] else "/".join(key)
                stands.append((*other, before, placed[key]["from"] - placed[other]["to"]))
    for dish in plan.dishes:
        if "keeps" not in dish and not dish.get("part"):
            keys = [(dish["dish"], s["id"]) for s in dish["stages"]]
            last = max(keys, key=lambda k: placed[k]["to"])
            until = plan.served[dish["dish"]] - placed[last]["to"]
            ends = [k for k in keys if placed[k]["to"] == placed[last]["to"]]
            stands.append((dish["dish"], ends[-1][1], None, until))
    counted = sorted((str(s) for s in stands if s[3] >= 30))
    told = sorted(str((s["dish"], s["after"], s["before"], s["minutes"]))
                  for s in timeline["standing"])
    if told != counted:
        breach(0, f"standing {told}, counted {counted}")
    warnings = [tuple(sorted(w.items(), key=str)) for w in timeline["warnings"]]
    if len(set(warnings)) != len(warnings):
        breach(0, "a warning is there twice")
    return wrong


def main():
    if len(sys.argv) != 3:
        print(__doc__, file=sys.stderr)
        return 2
    with open(sys.argv[2], encoding="utf-8") as file:
        timeline = json.load(file)
    wrong = check(Plan(sys.argv[1]), timeline)
    for line in wrong:
        print(line)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())

#!/bin/sh
# The picture and the page as written from the command line, read by python3.
. tests/cli/lib.sh

# read_with PROGRAM FILE: python3 takes the file as the program says.
read_with() {
    if command -v python3 >/dev/null 2>&1; then
        if python3 -c "$1" "$2" >"$work/.python" 2>&1; then
            pass
        else
            fail "${2##*/}: $(tail -n 1 "$work/.python")"
        fi
    else
        skip "no python3 to read ${2##*/} with"
    fi
}

svg_reader='
import sys, xml.etree.ElementTree as tree
root = tree.parse(sys.argv[1]).getroot()
space = "{http://www.w3.org/2000/svg}"
assert root.tag == space + "svg", root.tag
assert root.find(space + "title") is not None and root.find(space + "desc") is not None
_, _, width, height = map(int, root.get("viewBox").split())
for text in root.iter(space + "text"):
    assert 0 <= int(text.get("x")) <= width and 0 <= int(text.get("y")) <= height, text.attrib
ids = [e.get("id") for e in root.iter() if e.get("id")]
assert len(ids) == len(set(ids)), "an id twice"
'

html_reader='
import sys
from html.parser import HTMLParser
class Page(HTMLParser):
    def __init__(self):
        super().__init__()
        self.open, self.headings, self.ids, self.links = [], [], [], []
    def handle_starttag(self, tag, attributes):
        values = dict(attributes)
        assert tag not in ("link", "img", "iframe"), tag
        if "id" in values: self.ids.append(values["id"])
        if tag == "a": self.links.append(values["href"])
        if len(tag) == 2 and tag[0] == "h" and tag[1].isdigit(): self.headings.append(int(tag[1]))
        if tag not in ("meta", "input"): self.open.append(tag)
    def handle_startendtag(self, tag, attributes): pass
    def handle_endtag(self, tag):
        assert self.open and self.open.pop() == tag, tag
page = Page()
page.feed(open(sys.argv[1], encoding="utf-8").read())
page.close()
assert not page.open, page.open
assert page.headings[0] == 1 and page.headings.count(1) == 1
assert all(b <= a + 1 for a, b in zip(page.headings, page.headings[1:])), page.headings
assert len(page.ids) == len(set(page.ids)), "an id twice"
assert all(link[1:] in page.ids for link in page.links), page.links
'

# The policy lets one script run, by its digest, and asks for nothing from elsewhere.
policy_reader='
import sys, re, base64, hashlib
page = open(sys.argv[1], encoding="utf-8").read()
policy = re.search("Content-Security-Policy\" content=\"([^\"]*)\"", page).group(1)
rules = dict(rule.split(None, 1) for rule in policy.split("; "))
scripts = re.findall("<script[^>]*>(.*?)</script>", page, re.S)
assert len(scripts) == 1, len(scripts)
digest = base64.b64encode(hashlib.sha256(scripts[0].encode()).digest()).decode()
assert rules["script-src"] == "\x27sha256-%s\x27" % digest, (rules, digest)
assert rules["default-src"] == rules["base-uri"] == rules["form-action"] == "\x27none\x27", rules
assert not re.search("<[^>]* on[a-z]+=", page.split("<script")[0]), "a handler in the markup"
'

for plan in friday-supper sunday-roast winter-holiday; do
    it "$plan: the picture is XML, the page is HTML that stands alone"
    run timeline "plans/$plan.json" --svg "$work/$plan.svg" --html "$work/$plan.html"
    expect_status 0
    read_with "$svg_reader" "$work/$plan.svg"
    read_with "$html_reader" "$work/$plan.html"
    read_with "$policy_reader" "$work/$plan.html"
done

# by_geometry PLAN [LANE INSTANT]: rows are places, nothing is over another thing, the ruler is right.
by_geometry() {
    plan=$1
    name=$(basename "$plan" .json)
    shift
    run timeline "$plan" --svg "$work/$name.svg" --json="$work/$name.timeline"
    expect_status 0
    if ! command -v python3 >/dev/null 2>&1; then
        skip "no python3 to measure $name.svg with"
    elif python3 tests/cli/check_picture.py "$plan" "$work/$name.timeline" "$work/$name.svg" "$@" >"$work/.python" 2>&1; then
        pass
    else
        fail "$(tail -n 5 "$work/.python")"
    fi
}

it "bars lie in the rows of their lanes, which are the places taken, and have their whole names"
for plan in friday-supper sunday-roast rolls-for-the-hall birthday-tea; do
    by_geometry "plans/$plan.json"
done

it "a full fridge looks full: five of five places on Thursday at 03:00"
by_geometry plans/winter-holiday.json fridge "2026-12-24 03:00"

it "a curve below the lane for all that cools or warms, also at once, also cut by the end of a strip"
cat >"$work/curves.json" <<'PLAN'
{"occasion": "Curves", "timezone": "Europe/London", "serve": "2026-12-05 19:00",
 "kitchen": {"equipment": {"fridge": {"kind": "cold", "at": "4 C", "places": 3}}},
 "dishes": [
  {"dish": "Custard tart", "stages": [
    {"id": "fill", "do": "Fill the case", "active": "10 min"},
    {"id": "set", "do": "Leave it to set", "cooling": {"shape": "round", "across": "20 cm", "deep": "4 cm",
      "food": "custard", "from": "40 C", "to": "8 C", "in": "fridge"}, "uses": {"fridge": 1}}]},
  {"dish": "Stew", "stages": [
    {"id": "pour", "do": "Pour it into a wide pan", "active": "10 min"},
    {"id": "cool", "do": "Cool it", "cooling": {"shape": "slab", "deep": "3 cm", "food": "water",
      "from": "60 C", "to": "10 C", "in": "fridge"}, "uses": {"fridge": 2}},
    {"id": "ladle", "do": "Ladle it out", "active": "30 min"}]},
  {"dish": "Pastry", "stages": [
    {"id": "warm", "do": "Let the butter soften", "cooling": {"shape": "slab", "deep": "3 cm", "food": "butter",
      "from": "5 C", "to": "18 C", "in": "room"}},
    {"id": "rub", "do": "Rub it in", "active": "9 h"}]}]}
PLAN
by_geometry "$work/curves.json"
if [ "$(grep -c 'class="course"' "$work/curves.svg")" -ge 3 ]; then pass; else fail "not three curves"; fi
it "a curve in degrees Fahrenheit where the plan has them"
sed 's/"60 C"/"140 F"/; s/"10 C"/"50 F"/' "$work/curves.json" >"$work/fahrenheit.json"
run timeline "$work/fahrenheit.json" --svg "$work/fahrenheit.svg"
if grep -q 'Stew from 140 °F, must reach 50 °F<' "$work/fahrenheit.svg"; then pass; else fail "no °F"; fi

it "a name is not shortened where its words can stand on more lines"
run timeline plans/wednesday-tea.json --svg "$work/wednesday-tea.svg"
expect_status 0
for plan in friday-supper sunday-roast rolls-for-the-hall birthday-tea winter-holiday wednesday-tea; do
    if grep -q '<text[^>]*>[^<]*…' "$work/$plan.svg"; then fail "$plan: a name is shortened"; else pass; fi
done

it "names made to break out of the markup stay text"
cat >"$work/hostile.json" <<'PLAN'
{"occasion": "</title><script>alert(1)</script> \"&amp;", "timezone": "Europe/London", "serve": "2026-12-04 19:30",
 "kitchen": {"cooks": [{"cook": "A\" onload=\"x"}], "equipment": {"fr\"id<g>e&": {"kind": "cold", "places": 2}}},
 "dishes": [{"dish": "]]> <b onclick='x'>salad", "stages": [
   {"id": "a", "do": "--> <script>wash</script>", "active": "5 min"},
   {"id": "b", "do": "chill", "passive": "1 h", "uses": {"fr\"id<g>e&": 1},
    "checks": [{"at": "10 min", "do": "<script>look</script>"}]},
   {"id": "c", "do": "</title>cool", "cooling": {"shape": "slab", "deep": "3 cm", "food": "water", "from": "60 C",
    "to": "10 C", "in": "fr\"id<g>e&"}, "uses": {"fr\"id<g>e&": 1}}]}]}
PLAN
run timeline "$work/hostile.json" --svg "$work/hostile.svg"
expect_status 0
read_with "$svg_reader" "$work/hostile.svg"
if grep -q '<script\|<b ' "$work/hostile.svg"; then fail "markup of the plan is markup of the picture"; else pass; fi

it "a picture of the same plan is the same picture"
run timeline plans/friday-supper.json --svg "$work/again.svg" --html "$work/again.html"
expect_same "$work/friday-supper.svg" "$work/again.svg"
expect_same "$work/friday-supper.html" "$work/again.html"

finish

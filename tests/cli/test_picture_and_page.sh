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
        assert tag not in ("script", "link", "img", "iframe"), tag
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

for plan in friday-supper sunday-roast winter-holiday; do
    it "$plan: the picture is XML, the page is HTML that stands alone"
    run timeline "plans/$plan.json" --svg "$work/$plan.svg" --html "$work/$plan.html"
    expect_status 0
    read_with "$svg_reader" "$work/$plan.svg"
    read_with "$html_reader" "$work/$plan.html"
done

it "a picture of the same plan is the same picture"
run timeline plans/friday-supper.json --svg "$work/again.svg" --html "$work/again.html"
expect_same "$work/friday-supper.svg" "$work/again.svg"
expect_same "$work/friday-supper.html" "$work/again.html"

finish

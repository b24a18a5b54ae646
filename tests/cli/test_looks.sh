#!/bin/sh
# When to look whether it is ready, and who is there to do it.
. tests/cli/lib.sh

# plan BAKE-KEYS KITCHEN-KEYS SERVE: a bake of 30-45 min and a custard that sets for 8 h,
# with keys added.
plan() {
    cat <<EOF
{"occasion": "Tea", "timezone": "Europe/London", "serve": "2026-12-05 $3",
 "kitchen": {"equipment": {"oven": {"kind": "oven"}, "fridge": {"kind": "cold"}}$2},
 "dishes": [
  {"dish": "Seed cake", "serve": "2026-12-05 19:30", "stages": [
   {"id": "mix", "do": "Mix", "active": "10 min"},
   {"id": "bake", "do": "Bake", "passive": "30-45 min", "uses": {"oven": {"at": "180 C"}}$1}]},
  {"dish": "Custard", "stages": [
   {"id": "cook", "do": "Cook the custard", "active": "20 min"},
   {"id": "set", "do": "Set", "passive": "8 h", "uses": {"fridge": 1}, "after": {"stage": "cook", "within": "0 min"},
    "checks": [{"at": "8 h", "do": "Feel the middle"}]}]}]}
EOF
}

it "a bake with a range rings when it may be ready, and when it must be"
plan "" "" 19:30 >"$work/tea.json"
run timeline --ics "$work/tea.ics" "$work/tea.json"
expect_status 0
expect_stdout "19:15  CHECK  May be ready from now"
expect_stdout "19:30  OUT    Seed cake: out of the oven"
tr -d '\r' <"$work/tea.ics" >"$out"
expect_stdout "DTSTART:20261205T191500Z"

it "in words of one's own"
plan ', "look": "Does a skewer come out clean?"' "" 19:30 >"$work/tea.json"
run timeline "$work/tea.json"
expect_stdout "19:15  CHECK  Does a skewer come out clean?"

it "or not at all"
plan ', "look": false' "" 19:30 >"$work/tea.json"
run timeline "$work/tea.json"
expect_status 0
expect_not_stdout "19:15  CHECK"

it "nothing to look for before the planned end, when the short end is planned"
plan "" "" 19:30 | sed 's/"timezone"/"plan_on": "least", "timezone"/' >"$work/tea.json"
run timeline "$work/tea.json"
expect_status 0
expect_not_stdout "May be ready"

it "a look without a range is remarked on"
plan ', "look": "Golden?"' "" 19:30 | sed 's/30-45 min/45 min/' >"$work/tea.json"
run check "$work/tea.json"
expect_status 0
expect_stderr "there is nothing to look for early"

away=', "away": [{"from": "2026-12-05 08:00", "to": "2026-12-05 17:00"}]'
it "a check that falls while all are out rings when somebody is back, also after its stage"
plan "" "$away" 19:30 >"$work/tea.json"
run timeline --json="$work/tea.timeline" "$work/tea.json"
expect_status 0
expect_stdout "17:00  CHECK  Feel the middle"
expect_not_stdout "left out"
it "the checker that knows the format's text alone agrees"
python3 tests/cli/check_timeline.py "$work/tea.json" "$work/tea.timeline" >"$out" 2>&1 || fail "it does not"
pass

it "but not when it is served by then"
plan "" "$away" 17:00 >"$work/late.json"
run timeline --json="$work/late.timeline" "$work/late.json"
expect_status 0
expect_stdout "nobody is up for \"Feel the middle\""
python3 tests/cli/check_timeline.py "$work/late.json" "$work/late.timeline" >"$out" 2>&1 || fail "the checker does not agree"

finish

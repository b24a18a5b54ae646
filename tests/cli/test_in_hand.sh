#!/bin/sh
# What a cook has in hand: the margin, how much earlier or later a step may be done, and the
# first thing to do.
. tests/cli/lib.sh

cat >"$work/roast.json" <<'EOF'
{"occasion": "Roast", "timezone": "Europe/London", "serve": "2026-12-06 13:00",
 "kitchen": {"asleep": "22:00-07:00", "equipment": {"oven": {"kind": "oven", "preheat": "20 min"}}},
 "dishes": [
  {"dish": "Chicken", "stages": [
   {"id": "roast", "do": "Roast the chicken", "passive": "2 h", "uses": {"oven": {"at": "180 C"}}},
   {"id": "carve", "do": "Carve it", "active": "20 min", "after": {"stage": "roast", "wait": "20 min", "within": "40 min"}}]},
  {"dish": "Beans", "keeps": "3 h", "stages": [
   {"id": "trim", "do": "Trim the beans", "active": "15 min"}]}]}
EOF

it "START BY is the oven's switch where that comes first, and the calendar says the same"
run timeline --ics "$work/roast.ics" "$work/roast.json"
expect_status 0
expect_stdout "START BY  Sunday 6 December, 10:00: turn the oven on; the first step at 10:20"
expect_stdout "The best possible: no first step starts later."
tr -d '\r' <"$work/roast.ics" >"$out"
expect_stdout "SUMMARY:Start by 10:00: Roast"

it "no margin is said to be none, and nothing frightens"
run timeline "$work/roast.json"
expect_stdout "In hand   No margin is planned."
expect_not_stdout "Nothing:"
sed 's/"timezone"/"margin": "10 min", "timezone"/' "$work/roast.json" >"$work/margin.json"
run timeline "$work/margin.json"
expect_stdout "In hand   10 min before each dish is served."

it "each step says from when it may be done; the JSON too"
run timeline "$work/roast.json"
expect_stdout "Any time from 09:45."
run timeline --json="$work/roast.timeline" "$work/roast.json"
python3 tests/cli/slack.py "$work/roast.json" "$work/roast.timeline" >"$out" 2>&1 || fail "moved by itself, a step breaks a rule, or could go further"
expect_stdout "3 stages moved, 0 wrong"
tr -s ' \n' '  ' <"$work/roast.timeline" >"$out"
expect_stdout '"early_minutes": 160, "earliest_start": "2026-12-06T09:45:00+00:00"'

it "a step with more than a day before it says no date"
sed 's/"keeps": "3 h", //; s/"asleep": "22:00-07:00", //' "$work/roast.json" >"$work/long.json"
run timeline "$work/long.json"
expect_stdout "Any time before will do, too."

finish

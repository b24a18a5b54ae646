#!/bin/sh
# What an oven is told to do: numbers that its dial has.
. tests/cli/lib.sh

plan() { # OVEN AT: one bake
    cat >"$work/plan.json" <<EOF
{"occasion": "Tea", "timezone": "Europe/London", "serve": "2026-12-06 16:00",
 "kitchen": {"equipment": {"oven": {"kind": "oven"$1}}},
 "dishes": [{"dish": "Biscuits", "stages": [
   {"id": "bake", "do": "Bake", "passive": "20 min", "uses": {"oven": {"at": "$2"}}}]}]}
EOF
}

it "a range of temperatures gives a number that the dial has"
plan "" "190-200 C"
run timeline "$work/plan.json"
expect_status 0
expect_stdout "Turn the oven on, to 190 °C"
plan ', "fan": true' "190-200 C"
run timeline --json "$work/plan.json"
expect_status 0
expect_stdout '"dial_c": 170'

it "a plan in Fahrenheit is answered in Fahrenheit"
plan "" "375-400 F"
run timeline "$work/plan.json"
expect_status 0
expect_stdout "Turn the oven on, to 375 °F"
plan ', "fan": true' "375-400 F"
run timeline --json "$work/plan.json"
expect_match "$out" '"dial_f": 350'
run timeline "$work/plan.json"
expect_stdout "350 °F fan"
plan "" "190 C"
run timeline --json "$work/plan.json"
expect_not_stdout '"dial_f"'

it "the number that the plan wrote stays"
plan "" "183 C"
run timeline "$work/plan.json"
expect_status 0
expect_stdout "Turn the oven on, to 183 °C"

cooling_in_the_oven() { # OVENS: a meringue dries in the oven, bread wants it hot
    cat >"$work/plan.json" <<EOF
{"occasion": "Tea", "timezone": "Europe/London", "serve": "2026-12-06 16:00",
 "kitchen": {"equipment": {"oven": {"kind": "oven", "shelves": 2, "count": $1}}},
 "dishes": [{"dish": "Meringue", "stages": [
   {"id": "bake", "do": "Bake the meringue", "passive": "90 min", "uses": {"oven": {"at": "100 C"}}},
   {"id": "dry", "do": "Leave it in the oven, door ajar", "passive": "60 min",
    "after": {"stage": "bake", "within": "0 min"}, "uses": {"oven": {"at": "off"}}}]},
  {"dish": "Bread", "keeps": "20 min", "stages": [
   {"id": "bake", "do": "Bake the bread", "passive": "30 min", "uses": {"oven": {"at": "220 C"}}}]}]}
EOF
}

it "what cools in the oven has it switched off, and bread waits for it"
cooling_in_the_oven 1
run timeline "$work/plan.json"
expect_status 0
# 15:30 the bread, 15:15 on again, 15:15 the meringue out, 14:15 off, 12:45 in.
expect_stdout "START BY  Sunday 6 December, 12:30"
expect_stdout "14:15  OVEN   Turn the oven off. Leave it in the oven, door ajar"
expect_stdout "Meringue: in the oven, switched off, for 1 h, until 15:15"
expect_stdout "15:15  OUT    Meringue: out of the oven"
expect_stdout "15:15  OVEN   Turn the oven on, to 220"
run timeline --ics "$work/tea.ics" "$work/plan.json"
expect_status 0
expect_match "$work/tea.ics" "SUMMARY:Turn off the oven"

it "with two ovens it stays in the one where it was baked"
cooling_in_the_oven 2
run timeline --json "$work/plan.json"
expect_status 0
python3 - "$out" <<EOF && pass || fail "not as it should be"
import json, sys
stages = {(s["dish"], s["stage"]): s for s in json.load(open(sys.argv[1]))["stages"]}
bake, dry, bread = (stages[k] for k in (("Meringue", "bake"), ("Meringue", "dry"), ("Bread", "bake")))
assert bake["oven"] == dry["oven"] != bread["oven"], (bake, dry, bread)
assert dry["temperature_c"] is None and dry["end"][11:16] == bread["end"][11:16] == "16:00"
EOF

it "why there is no timeline names the switched-off oven, and another would help"
cooling_in_the_oven 1
sed 's/"dish": "Meringue",/"dish": "Meringue", "keeps": "0 min",/' "$work/plan.json" >"$work/late.json"
run why "$work/late.json"
expect_status 1
expect_stdout "while Meringue/dry stands in the oven, it is off, and Bread/bake needs it"
expect_stdout "oven: have one more oven"

# 240 to 100 °C at 4 °C a minute: 35 min; 20 to 240 °C at 11 °C a minute: 20 min. Worked
# by hand back from 16:00: the meringue in at 14:30, the oven down from 13:55, the bread in
# at 13:35, the oven on at 13:15.
it "an oven warms and cools by its rates, and is turned down"
cat >"$work/plan.json" <<EOF
{"occasion": "Tea", "timezone": "Europe/London", "serve": "2026-12-06 16:00",
 "kitchen": {"equipment": {"oven": {"kind": "oven", "warms": "11 C/min", "cools": "4 C/min"}}},
 "dishes": [
  {"dish": "Bread", "stages": [
   {"id": "bake", "do": "Bake the bread", "passive": "20 min", "uses": {"oven": {"at": "240 C"}}}]},
  {"dish": "Meringue", "stages": [
   {"id": "bake", "do": "Bake the meringue", "passive": "90 min", "uses": {"oven": {"at": "100 C"}},
    "after": "Bread/bake"}]}]}
EOF
run timeline --json="$work/t.json" --ics "$work/t.ics" "$work/plan.json"
expect_status 0
expect_stdout "13:15  OVEN   Turn the oven on, to 240 °C; hot at 13:35"
expect_stdout "13:55  OVEN   Turn the oven down to 100 °C; cool enough at 14:30"
expect_match "$work/t.ics" "oven down to 100"
python3 tests/cli/check_timeline.py "$work/plan.json" "$work/t.json" >"$work/wrong" 2>&1 && pass ||
    fail "$(cat "$work/wrong")"

it "too little time to cool is said with its minutes"
sed 's/"serve": "2026-12-06 16:00"/&, "earliest": "2026-12-06 13:20"/' "$work/plan.json" >"$work/late.json"
run why "$work/late.json"
expect_status 1
expect_stdout "share no oven temperature"
expect_stdout "oven takes 35 min to change, 13 min the other way"

# Neither is a baking: by the rules either may be the first, and an oven that is hot at once
# is hotter at once.
it "two of no length are at one minute where one order allows it"
cat >"$work/plan.json" <<EOF
{"occasion": "Tea", "timezone": "Europe/London", "serve": "2026-12-06 16:00",
 "kitchen": {"equipment": {"oven": {"kind": "oven", "preheat": "6 min", "change": "0 min", "cools": "4 C/min"}}},
 "dishes": [
  {"dish": "Bread", "stages": [
   {"id": "flash", "do": "Flash the bread", "passive": "0 min", "uses": {"oven": {"at": "180 C"}}}]},
  {"dish": "Nuts", "stages": [
   {"id": "flash", "do": "Flash the nuts", "passive": "0 min", "uses": {"oven": {"at": "170 C"}},
    "after": "Bread/flash"}]}]}
EOF
run timeline --json="$work/t.json" "$work/plan.json"
expect_status 0
expect_stdout "16:00  IN     Flash the bread"
expect_stdout "16:00  IN     Flash the nuts"
sed 's/"change": "0 min"/"warms": "10 C\/min"/; s/"preheat": "6 min", //' "$work/plan.json" >"$work/slow.json"
run timeline "$work/slow.json"
expect_status 0
expect_stdout "15:57  IN     Flash the bread"
expect_stdout "16:00  IN     Flash the nuts"

it "two of one dish in the oven: what comes out is named"
cat >"$work/plan.json" <<EOF
{"occasion": "Sunday", "timezone": "Europe/London", "serve": "2026-12-06 16:00",
 "kitchen": {"equipment": {"oven": {"kind": "oven", "shelves": 2}}},
 "dishes": [
  {"dish": "Pork", "stages": [
   {"id": "roast", "do": "Roast the pork", "passive": "2 h", "uses": {"oven": {"at": "180 C"}}},
   {"id": "fat", "do": "Heat the fat in a tin", "passive": "10 min", "uses": {"oven": {"at": "180 C"}}, "after": []},
   {"id": "carve", "do": "Carve", "active": "10 min", "after": ["roast", "fat"]}]},
  {"dish": "Bread", "stages": [
   {"id": "bake", "do": "Bake the bread", "passive": "30 min", "uses": {"oven": {"at": "180 C"}}}]}]}
EOF
run timeline "$work/plan.json"
expect_status 0
expect_stdout "OUT    Pork: out of the oven: Roast the pork"
expect_stdout "OUT    Pork: out of the oven: Heat the fat in a tin"
if grep -q "Bread: out of the oven: " "$out"; then fail "the bread is alone of its dish"; else pass; fi

finish

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

it "the number that the plan wrote stays"
plan "" "183 C"
run timeline "$work/plan.json"
expect_status 0
expect_stdout "Turn the oven on, to 183 °C"

finish

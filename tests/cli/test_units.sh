#!/bin/sh
# A plan in inches and degrees Fahrenheit: what is derived comes back in them.
. tests/cli/lib.sh

cat >"$work/plan.json" <<'END'
{"occasion": "Tea", "timezone": "America/New_York", "serve": "2026-12-06 16:00",
 "kitchen": {"rules": "us", "equipment": {"oven": {"kind": "oven", "fan": true}, "fridge": {"kind": "cold", "at": "46 F"}}},
 "dishes": [{"dish": "Custard torte", "keeps": "1 d", "tin": {"across": "8 in", "deep": "2 in"}, "into": {"across": "10 in"},
  "stages": [
   {"id": "mix", "do": "Mix eggs and cream", "active": "20 min", "grows": 0.5},
   {"id": "bake", "do": "Bake it", "passive": "30-45 min", "uses": {"oven": {"at": "350 F"}}},
   {"id": "chill", "do": "Chill it", "after": {"stage": "bake", "within": "0 min"},
    "cooling": {"shape": "round", "food": "custard", "from": "150 F", "to": "50 F", "in": "fridge"}}]}]}
END

none_of() { # FILE: no Celsius, no millimetres, but beside an oven's Fahrenheit
    tr '\n' ' ' <"$1" | tr -s ' ' | sed 's/\\, / /g; s/ F ([0-9]* .C)//g; s/°F fan ([0-9]* °C)//g; s/°F ([0-9]* °C)//g' |
        grep -oE '[0-9] ?(°C|C[ ,;.)]|mm|cm)[^"]{0,20}' >"$work/found" && fail "$(head -3 "$work/found")" || pass
}

it "warnings in Fahrenheit and inches"
run timeline --html="$work/t.html" --ics="$work/t.ics" --json="$work/t.json" "$work/plan.json"
expect_status 0
tr -s ' \n' ' ' <"$out" | grep -q "its middle is at 70 F only at" && pass || fail "no 70 F"
tr -s ' \n' ' ' <"$out" | grep -q "fridge is at 46 F; cold food is kept at 41 F or below" && pass || fail "no 41 F"
tr -s ' \n' ' ' <"$out" | grep -q "a quarter less deep (1.5 in)" && pass || fail "no 1.5 in"
none_of "$out"
none_of "$work/t.ics"
expect_stdout "to 315 °F fan (157 °C)"
expect_match "$work/t.json" '"temperature_c": 177'

it "the estimate, its curve and other tins"
run cooling "Custard torte/chill" --svg="$work/c.svg" "$work/plan.json"
expect_status 0
expect_stdout "10 in across, 2 in deep"
expect_stdout "from 150 °F to 50 °F in a still fridge at 46 °F"
expect_stdout "8 in instead of 10 in"
none_of "$out"
expect_match "$work/c.svg" ">100.°F<\|>100 °F<"

it "and as typed"
run cooling --shape round --across "8 in" --deep "2 in" --food custard --from "150 F" --to "50 F" --air "40 F"
expect_status 0
expect_stdout "8 in across, 2 in deep"
none_of "$out"
run cooling --shape round --across "8 in" --deep "2 in" --food custard --from "50 F" --to "50 F"
expect_stderr "the food starts at its target, 50 F"

it "centimetres stay centimetres"
run cooling --shape round --across "20 cm" --deep "5 cm" --food custard --from "65 C" --to "10 C"
expect_stdout "20 cm across, 5 cm deep"
expect_stdout "18 cm instead of 20 cm"
expect_not_stdout " in deep"
expect_not_stdout "°F"

finish

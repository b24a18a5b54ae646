#!/bin/sh
# What stands for half an hour and more because no key of the plan limits it.
. tests/cli/lib.sh

cat >"$work/sunday.json" <<'EOF'
{"occasion": "Sunday", "timezone": "Europe/London", "serve": "2026-12-06 13:00",
 "kitchen": {"asleep": "22:00-07:00", "away": [{"from": "2026-12-06 09:00", "to": "2026-12-06 11:00"}],
             "equipment": {"oven": {"kind": "oven"}, "fridge": {"kind": "cold"}, "hob": {"kind": "hob"}}},
 "dishes": [
  {"dish": "Custard tart", "serve": "2026-12-06 13:00", "ingredients": ["egg yolks", "cream"], "stages": [
   {"id": "fill", "do": "Fill the case with custard", "active": "10 min"},
   {"id": "bake", "do": "Bake the tart", "passive": "40 min", "uses": {"oven": {"at": "150 C"}}, "after": {"stage": "fill", "within": "5 min"}},
   {"id": "decorate", "do": "Grate nutmeg over it", "active": "5 min", "when-not": null}]},
  {"dish": "Roast", "stages": [
   {"id": "roast", "do": "Roast the pork", "passive": "1 h", "uses": {"oven": {"at": "180 C"}}},
   {"id": "carve", "do": "Carve it", "active": "15 min", "after": {"stage": "roast", "wait": "20 min", "within": "30 min"}},
   {"id": "sauce", "do": "Cook the sauce", "active": "59 min", "uses": {"hob": 1}, "after": "carve"}]},
  {"dish": "Cabbage", "keeps": "1 h", "stages": [
   {"id": "cut", "do": "Cut the cabbage", "active": "20 min"},
   {"id": "braise", "do": "Braise it", "passive": "20 min", "uses": {"hob": 1}}]}]}
EOF
sed -i 's/, "when-not": null//' "$work/sunday.json"

it "the JSON lists them all, and the checker that knows the format's text alone counts the same"
run timeline --json="$work/sunday.timeline" "$work/sunday.json"
expect_status 0
python3 tests/cli/check_timeline.py "$work/sunday.json" "$work/sunday.timeline" >"$out" 2>&1 || fail "it does not"
pass
if [ "$(grep -c '"where": "room"' "$work/sunday.timeline")" -ge 1 ]; then pass; else fail "nothing stands"; fi

it "a limit takes a thing off the list"
run timeline --json "$work/sunday.json"
expect_not_stdout '"after": "fill"'
expect_not_stdout '"dish": "Cabbage", "after": "braise"'

it "a tart on the bench from early morning is told, with the key that would limit it"
cat >"$work/tart.json" <<'EOF'
{"occasion": "Tart", "timezone": "Europe/London", "serve": "2026-12-06 19:45",
 "kitchen": {"asleep": "22:00-07:00", "away": [{"from": "2026-12-06 08:00", "to": "2026-12-06 19:40"}],
             "equipment": {"oven": {"kind": "oven"}, "fridge": {"kind": "cold"}}},
 "dishes": [{"dish": "Lemon tart", "ingredients": ["eggs", "cream", "lemons"], "stages": [
   {"id": "fill", "do": "Fill the case", "active": "10 min"},
   {"id": "bake", "do": "Bake the tart", "passive": "30 min", "uses": {"oven": {"at": "150 C"}}, "after": {"stage": "fill", "within": "5 min"}}]}]}
EOF
run timeline "$work/tart.json"
expect_status 0
tr -s ' \n' '  ' <"$out" >"$work/flat" && mv "$work/flat" "$out"
expect_stdout 'Lemon tart stands 11 h 45 min in the room, hot to begin with, from "Bake the tart" until it is served: "keeps" of the dish would limit it'
run timeline --json "$work/tart.json"
tr -s ' \n' '  ' <"$out" >"$work/flat" && mv "$work/flat" "$out"
expect_stdout '"standing": [ { "dish": "Lemon tart", "after": "bake", "before": null, "minutes": 705, "where": "room", "hot": true } ]'

it "in the fridge it is listed with its place, and no line of the text"
sed 's/"dish": "Lemon tart"/"dish": "Lemon tart", "stored": {"fridge": 1}/' "$work/tart.json" >"$work/cold.json"
run timeline --json "$work/cold.json"
expect_stdout '"where": "fridge"'
expect_stdout '"hot": false'
run timeline "$work/cold.json"
expect_not_stdout "stands 11 h"

it "29 minutes are not told, 30 are"
for serve in "29 min" "30 min"; do
    sed "s/\"serve\"/\"margin\": \"$serve\", \"serve\"/; s/\"away\": \[[^]]*\], *//" "$work/tart.json" >"$work/edge.json"
    run timeline --json "$work/edge.json"
    expect_status 0
    if [ "$serve" = "30 min" ]; then expect_stdout '"minutes": 30'; else expect_stdout '"standing": []'; fi
done

it "allergens stand apart from warnings, on the page too"
sed 's/"lemons"/"lemons", "chopped hazelnuts"/' "$work/tart.json" >"$work/nuts.json"
run timeline --html "$work/nuts.html" "$work/nuts.json"
expect_stdout "Allergens below the steps"
if [ "$(grep -n '^Allergens$' "$out" | cut -d: -f1)" -gt 0 ]; then pass; else fail "no heading of allergens"; fi
if sed -n '/^Warnings$/,/^Allergens$/p' "$out" | grep -q "contains"; then fail "allergens are among the warnings"; else pass; fi
if grep -q '<section id="allergens"' "$work/nuts.html"; then pass; else fail "not on the page"; fi

finish

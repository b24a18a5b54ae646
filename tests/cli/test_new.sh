#!/bin/sh
# bakeset new: a plan that gives a timeline at once, and an occasion of recipes.
. tests/cli/lib.sh

it "a plan to begin with passes check and gives a timeline"
run new "$work/supper"
expect_status 0
expect_quiet_stderr
expect_stdout "$work/supper.json is written"
run check "$work/supper.json"
expect_status 0
expect_stdout "no problem found"
run timeline "$work/supper.json"
expect_status 0
expect_stdout "Fruit tart"

it "printed where no name is given, the same bytes"
run new
expect_status 0
if cmp -s "$out" "$work/supper.json"; then pass; else fail "not the same"; fi

it "a value stands on the line of its key"
expect_stdout '  "occasion": "Supper",'
expect_stdout '  "serve": "2026-12-24 19:30",'

it "nothing is written over"
run new "$work/supper.json" --serve "2026-12-26 13:00"
expect_status 2
expect_stderr "is there already"
run timeline "$work/supper.json"
expect_stdout "19:30"

it "an occasion of recipes, in a kitchen that has what they ask for"
run new "$work/eve" --from plans/recipes/bay-panna-cotta.json,plans/recipes/roast-chicken.json,plans/recipes/custard-tart.json --serve "2026-12-24 19:30"
expect_status 0
expect_stdout "eve.json is written: change it, then bakeset timeline --allow-outside $work/eve.json"
run timeline --allow-outside "$work/eve.json"
expect_status 0
expect_stdout "Bay leaf panna cotta"
expect_match "$work/eve.json" '^      "oven": {"kind": "oven"'
expect_match "$work/eve.json" '^  "serve": "2026-12-24 19:30",$'

it "a recipe taken in, then an occasion of it"
run take-in tests/data/take-in/tuned/blackcurrant-torte.html --to "$work/torte.json"
run new "$work/tea" --from "$work/torte.json" --serve "2026-12-05 16:00" --timezone Europe/Berlin
expect_status 0
run timeline "$work/tea.json"
expect_status 0
expect_stdout "Blackcurrant mousse torte"

it "what ripens for weeks has its weeks, and the shortest recipe does not cut them"
cat >"$work/sloe.json" <<'EOF'
{"dish": "Sloe gin", "stages": [{"id": "fill", "do": "Fill the jar", "active": "20 min"},
 {"id": "steep", "do": "Leave it in the dark", "passive": "60-90 d"}]}
EOF
run new "$work/gin" --from "$work/sloe.json,plans/recipes/custard-tart.json" --serve "2027-01-05 19:30"
expect_status 0
expect_match "$work/gin.json" '^  "earliest": "2026-10-04 00:00",$'
expect_match "$work/gin.json" 'takes up to 91 days: nothing starts before this'
run timeline --allow-outside "$work/gin.json"
expect_status 0
expect_stdout "Sloe gin"
run new "$work/soon" --from plans/recipes/custard-tart.json
if grep -q earliest "$work/soon.json"; then fail "14 days are enough"; else pass; fi

it "recipes taken in give a timeline, as they stand"
made=0
for recipe in tests/data/take-in/first-sight/*.txt tests/data/take-in/tuned/pickle*.txt tests/data/take-in/tuned/*-chutney*.html \
    tests/data/take-in/tuned/praline-eclairs.html tests/data/take-in/tuned/trout-fennel-sauce.html \
    tests/data/take-in/tuned/sour-flatbreads.json; do
    rm -f "$work/taken.json" "$work/of-taken.json"
    "$bakeset" take-in "$recipe" --to "$work/taken.json" >"$out" 2>"$err" &&
        "$bakeset" new "$work/of-taken" --from "$work/taken.json" >"$out" 2>"$err" &&
        "$bakeset" timeline "$work/of-taken.json" >"$out" 2>"$err" || fail "$recipe: $(cat "$err" "$out")"
    made=$((made + 1))
done
if [ "$made" -ge 12 ]; then pass; else fail "only $made recipes"; fi

it "the kitchen has the cold places that a dish cools in one after the other, and no bath"
cat >"$work/cool.json" <<'EOF'
{"dish": "Custard", "stages": [{"id": "cool", "do": "Cool the custard", "cooling": {"shape": "round",
 "across": "20 cm", "deep": "6 cm", "food": "custard", "from": "60 C", "to": "8 C",
 "places": [{"in": "ice bath", "for": "20 min"}, {"in": "room", "for": "10 min"}, {"in": "larder"}]}}]}
EOF
run check "$work/cool.json"
expect_status 0
run new "$work/cooled" --from "$work/cool.json"
expect_status 0
expect_match "$work/cooled.json" '"larder": {"kind": "cold", "at": "4 C"}$'
if grep -q '"ice bath"\|"room"' "$work/cooled.json"; then fail "a bath is no equipment"; else pass; fi
run timeline "$work/cooled.json"
expect_status 0

it "a recipe saved with a byte-order mark"
{ printf '\357\273\277' && cat "$work/cool.json"; } >"$work/marked.json"
run new "$work/of-marked" --from "$work/marked.json"
expect_status 0
run timeline "$work/of-marked.json"
expect_status 0

it "what is wrong is said, and nothing written"
run new "$work/bad" --from "$work/none.json"
expect_status 3
expect_stderr "cannot read the recipe $work/none.json"
run new "$work/bad" --serve "Christmas"
expect_status 2
expect_stderr '"serve"'
run new "$work/bad" --timezone Europe/Londn
expect_status 2
expect_stderr 'did you mean "Europe/London"?'
run new "$work/bad" --from ,
expect_status 2
if [ -e "$work/bad.json" ]; then fail "it was written"; else pass; fi

finish

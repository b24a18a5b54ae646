#!/bin/sh
# Parts: a sponge that is not served, and is for a trifle and for iced cakes.
. tests/cli/lib.sh

cat >"$work/part.json" <<'END'
{"occasion": "Supper", "timezone": "Europe/London", "serve": "2026-12-24 19:30",
 "kitchen": {"asleep": "22:30-07:00",
  "equipment": {"oven": {"kind": "oven"}, "fridge": {"kind": "cold", "places": 1}}},
 "dishes": [
  {"dish": "Vanilla sponge", "part": true, "keeps": "1 d", "stored": {"fridge": 1}, "stages": [
   {"id": "whisk", "do": "Whisk the sponge", "active": "15 min"},
   {"id": "bake", "do": "Bake the sponge", "passive": "25-30 min", "uses": {"oven": {"at": "180 C"}},
    "after": {"stage": "whisk", "within": "10 min"}},
   {"id": "cool", "do": "Leave to cool", "passive": "1 h", "begins": "itself"}]},
  {"dish": "Trifle", "serve": "2026-12-24 20:30", "stages": [
   {"id": "layer", "do": "Layer sponge and fruit", "active": "10 min", "after": "Vanilla sponge/cool"},
   {"id": "chill", "do": "Chill it", "passive": "4 h", "uses": {"fridge": 1}}]},
  {"dish": "Iced cakes", "stages": [
   {"id": "cut", "do": "Cut the sponge into squares", "active": "10 min", "after": "Vanilla sponge/cool"},
   {"id": "ice", "do": "Ice them", "active": "20 min"}]}]}
END

# Worked by hand: the trifle goes into the one place of the fridge at 16:30, and the rest of
# the sponge stands there until it is cut: so it is cut by 16:30, after ten minutes of layering
# or before them, and the sponge is ready at 16:20; in at 14:50.
it "it is ready when it is wanted, and stored until it is last used"
run timeline --json="$work/t.json" --ics "$work/t.ics" --html "$work/t.html" --svg "$work/t.svg" "$work/part.json"
expect_status 0
expect_stdout "START BY  Thursday 24 December, 14:35"
expect_stdout "16:20  DO     Layer sponge and fruit"
expect_stdout "16:30  DO     Cut the sponge into squares"
python3 tests/cli/check_timeline.py "$work/part.json" "$work/t.json" >"$work/wrong" 2>&1 && pass ||
    fail "$(cat "$work/wrong")"

it "nobody serves it"
expect_stdout "20:30  SERVE  Trifle"
expect_not_stdout "SERVE  Vanilla sponge"
grep -q "serve: Vanilla sponge" "$work/t.ics" && fail "the calendar serves it" || pass
tr -d '\n' <"$work/t.html" | grep -q 'SERVE<[^V]*Vanilla' && fail "the page serves it" || pass
expect_match "$work/t.ics" "Last used at 16:30"

it "with a place for both it is kept no longer than it keeps"
sed 's/"places": 1/"places": 2/; s/"1 d"/"2 h"/' "$work/part.json" >"$work/keeps.json"
run timeline --json="$work/t.json" "$work/keeps.json"
expect_status 0
python3 tests/cli/check_timeline.py "$work/keeps.json" "$work/t.json" >"$work/wrong" 2>&1 && pass ||
    fail "$(cat "$work/wrong")"
sed 's/"places": 1/"places": 2/; s/"1 d"/"0 min"/; s/"id": "ice"/&, "after": {"stage": "cut", "within": "10 min"}/' "$work/part.json" >"$work/keeps.json"
run why "$work/keeps.json"
expect_status 1
expect_stdout "Vanilla sponge keeps only 0 min until it is last used"

it "leaving out what it is for leaves it out too, where nothing else is made of it"
sed 's/"Iced cakes", "stages"/"Iced cakes", "serve": "2026-12-25 10:00", "stages"/; s/{"id": "cut".*/{"id": "cut", "do": "Cut a loaf", "active": "10 min"},/
s/"serve": "2026-12-24 19:30"/&, "earliest": "2026-12-24 15:00"/' "$work/part.json" >"$work/late.json"
run why "$work/late.json"
expect_status 1
expect_stdout "leave out Trifle, and Vanilla sponge, which is for it"

it "two dishes left out, one with its part that stands before the other in the list"
cat >"$work/two.json" <<'END'
{"occasion":"o","timezone":"Europe/London","serve":"2026-12-04 19:00","earliest":"2026-11-20 08:00",
 "kitchen":{"equipment":{"crate":{"count":5},"rack":{"count":5}}},
 "dishes":[
 {"dish":"stock","part":true,"stages":[{"id":"boil","do":"b","passive":"1 h"}]},
 {"dish":"bread","stages":[{"id":"cut","do":"cut","active":"5 min"}]},
 {"dish":"a","stages":[{"id":"r","do":"r","passive":"30 h","uses":{"crate":5},"after":"stock/boil"},{"id":"s","do":"s","passive":"30 h","uses":{"crate":5},"after":[{"stage":"r","from":"start","within":"0 min"}]}]},
 {"dish":"b","stages":[{"id":"r","do":"r","passive":"30 h","uses":{"rack":5}},{"id":"s","do":"s","passive":"30 h","uses":{"rack":5},"after":[{"stage":"r","from":"start","within":"0 min"}]}]}]}
END
for turn in 1 2; do
    run why "$work/two.json"
    expect_status 1
    tr -s ' \n' ' ' <"$out" | grep -q "Together these would make it possible: - leave out . *[, ].*and leave out .*start by Friday 4 December, 18:55" && pass || fail "not together"
    sed -i 's/crate":5/RACK":5/g; s/rack":5/crate":5/g; s/RACK":5/rack":5/g' "$work/two.json"
done

it "it goes when all that it is for was served before now"
sed 's/"serve": "2026-12-24 20:30"/"serve": "2026-12-24 19:00"/; s/"Iced cakes", "stages"/"Iced cakes", "serve": "2026-12-25 10:00", "stages"/; s/{"id": "cut".*/{"id": "cut", "do": "Cut a loaf", "active": "10 min"},/' "$work/part.json" >"$work/over.json"
run timeline --now "2026-12-24 20:00" "$work/over.json"
expect_status 0
expect_stdout "Vanilla sponge"
expect_not_stdout "Whisk the sponge"

it "recipes by themselves: a part, and what is made of one of another file"
cat >"$work/compote.json" <<'END'
{"dish": "Blackcurrant compote", "part": true, "keeps": "2 d",
 "stages": [{"id": "simmer", "do": "Simmer", "active": "12-15 min", "uses": {"hob": 1}}]}
END
cat >"$work/cups.json" <<'END'
{"dish": "Cups", "stages": [{"id": "layer", "do": "Layer", "active": "10 min", "after": "Blackcurrant compote/simmer"}]}
END
for recipe in compote cups; do
    run check "$work/$recipe.json"
    expect_status 0
    expect_quiet_stderr
done
(cd "$work" && "$bakeset" new --from compote.json,cups.json supper) >/dev/null 2>&1
run timeline "$work/supper.json"
expect_status 0
expect_stdout "19:05  DO     Simmer"
expect_not_stdout "SERVE  Blackcurrant compote"

it "no hour of its own"
run timeline --serve "Vanilla sponge=18:00" "$work/part.json"
expect_status 2
expect_stderr '"Vanilla sponge" is a part, and not served; move a dish that it is for'

finish

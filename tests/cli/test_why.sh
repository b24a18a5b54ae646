#!/bin/sh
# bakeset why: what fixes the start, or a stage; why there is no timeline, and what helps.
. tests/cli/lib.sh
plan=plans/friday-supper.json

it "what fixes the start"
run why $plan
expect_status 0
expect_quiet_stderr
expect_stdout "20:50"
expect_stdout "line-tin"
expect_stdout "asleep"

it "why a stage is where it is"
run why "Potato and leek gratin/bake" $plan
expect_status 0
expect_stdout "Bake the gratin until a knife slips through"
expect_stdout "17:55"

it "a stage may go without its dish when only one dish has it"
run why mousse $plan
expect_status 0
expect_stdout "Blackcurrant mousse torte/mousse"

it "a stage that is not there, with the nearest"
run why "Potato and leek gratin/bkae" $plan
expect_status 2
expect_quiet_stdout
expect_stderr "bkae"

it "a stage that two dishes have"
run why bake plans/winter-holiday.json
expect_status 2
expect_quiet_stdout
expect_stderr "bake"

it "a plan that can't be met: the facts, then what would help"
run why plans/impossible-supper.json
expect_status 1
expect_stdout "set-mousse (8 h)"
expect_stdout "17:00"
expect_stdout "3 h 55 min later"
cp "$out" "$work/first"
run why plans/impossible-supper.json
expect_same "$out" "$work/first"

it "serving that much later does help, and a minute less does not"
run timeline --serve "2026-12-05 20:55" plans/impossible-supper.json
expect_status 0
run timeline --serve "2026-12-05 20:54" plans/impossible-supper.json
expect_status 1

it "the JSON tells the same"
run timeline --json plans/impossible-supper.json
expect_status 1
expect_json "$out"
expect_match "$out" '"fact": "stage-time"'
expect_match "$out" '"change": "serve"'

it "a plan that is too late by the clock"
run why --now="2026-12-03 21:30" $plan
expect_status 1
expect_stdout "22:30 to 23:10"

it "facts that need each other, not the whole plan"
run why $plan
expect_stdout "without any one of them, the others alone"

it "a dish that keeps less long than the margin: a warning, and both keys as they would be"
cat >"$work/margin.json" <<'END'
{"occasion": "Supper", "timezone": "Europe/London", "serve": "2026-12-12 19:00", "margin": "30 min",
 "dishes": [{"dish": "Carrots", "keeps": "20 min",
             "stages": [{"id": "glaze", "do": "Glaze them", "active": "5 min"}]}]}
END
run check "$work/margin.json"
expect_status 0
expect_stdout "no error found, but see the warnings"
expect_stderr "no timeline has both; make \"keeps\" longer or \"margin\" shorter"
run timeline "$work/margin.json"
expect_status 1
expect_stdout 'plan a margin of 20 min, not 30 min ("margin": "20 min")'
tr -s ' \n' ' ' <"$out" | grep -q '("keeps": "30 min")' && pass || fail 'no "keeps"'
sed 's/"30 min"/"20 min"/' "$work/margin.json" >"$work/margin20.json"
run timeline "$work/margin20.json"
expect_status 0
expect_not_stdout "no timeline has both"

it "a bad plan"
run why tests/data/cli/bad/cycle.json
expect_status 2
expect_quiet_stdout
expect_stderr "mix -> cool -> bake -> mix"

it "two conflicts that have nothing to do with each other are both shown, and what helps together"
cat >"$work/two.json" <<'EOF'
{"occasion": "Two troubles", "timezone": "Europe/London", "serve": "2026-12-05 19:00", "earliest": "2026-12-05 08:00",
 "kitchen": {"away": [{"from": "2026-12-05 09:00", "to": "2026-12-05 17:00"}],
   "equipment": {"fridge": {"kind": "cold", "places": 1}, "oven": {"kind": "oven"}}},
 "dishes": [
  {"dish": "Panna cotta", "keeps": "0 min", "stages": [{"id": "set", "do": "Set", "passive": "10 h", "uses": {"fridge": 1}}]},
  {"dish": "Jelly", "keeps": "0 min", "stages": [{"id": "set", "do": "Set", "passive": "10 h", "uses": {"fridge": 1}}]},
  {"dish": "Roast", "keeps": "30 min", "stages": [
    {"id": "roast", "do": "Roast", "passive": "3 h", "uses": {"oven": {"at": "180 C"}}}]}]}
EOF
run timeline --json="$work/two.timeline" "$work/two.json"
expect_status 1
expect_stdout "These do not fit together:"
expect_stdout "Nor do these:"
expect_stdout "fridge: have one more place"
expect_stdout "leave out Jelly"
expect_stdout "Together these would make it possible:"
expect_not_stdout "Nothing that was tried"
it "made as it says, they do"
sed 's/"places": 1/"places": 2/; s/"2026-12-05 17:00"/"2026-12-05 15:30"/' "$work/two.json" >"$work/mended.json"
run timeline "$work/mended.json"
expect_status 0
it "the JSON has them as data"
python3 - "$work/two.timeline" >"$out" 2>&1 <<'EOF'
import json, sys
t = json.load(open(sys.argv[1]))
assert t["remedies"] == [] and len(t["conflicts"]) == 2
assert t["conflicts"][0]["why"] == t["why"]
assert all(c["settled_by"] for c in t["conflicts"])
assert len(t["together"]["changes"]) == 2 and t["together"]["first_start"]
print("as data")
EOF
expect_stdout "as data"
it "two conflicts of one absence are both shown, where each change asks for much by itself"
run timeline tests/data/cli/edits/one-absence.json
expect_status 1
expect_stdout "These do not fit together:"
expect_stdout "Nor do these:"
tr -s ' \n' ' ' <"$out" >"$work/joined"
expect_match "$work/joined" "Together these would make it possible: - give up 1 h of being away on Saturday 5 December 2026: 17:00 to 18:00, and give up 5 min of being away on Saturday 5 December 2026: 08:30 to 08:35;"
expect_match "$work/joined" "Any one of these would alone: - give up 8 h 15 min of being away"
it "where one change helps there is no list of conflicts"
run timeline --json plans/impossible-supper.json
expect_stdout '"conflicts": []'
expect_stdout '"together": null'

it "two absences that overlap are given up together, and no more of them than is needed"
run timeline tests/data/cli/edits/overlap.json
expect_status 1
expect_stdout "give up 37 min of being away on Thursday 24 December 2026: 19:53 to 20:30"
if [ "$(grep -c "give up" "$out")" -eq 1 ]; then pass; else fail "said twice"; fi

it "a dish that another is made with is left out with that"
run timeline tests/data/cli/edits/linked.json
expect_status 1
expect_stdout "leave out Stock, and Soup, which is made with it"

it "hands wanted while the only pair is full: check says so"
run check tests/data/cli/edits/check-hands.json
expect_status 0
expect_stderr 'tests/data/cli/edits/check-hands.json:2:142: warning: this check wants a pair of hands while the stage "stir" has the only one, so no timeline has both; leave out "takes" where whoever works does it in passing'
sed 's/"dishes"/"kitchen": {"cooks": 2}, "dishes"/' tests/data/cli/edits/check-hands.json >"$work/two-cooks.json"
run check "$work/two-cooks.json"
expect_quiet_stderr
run timeline "$work/two-cooks.json"
expect_status 0
sed 's/"takes": "2 min"/"give": "2 min"/' tests/data/cli/edits/check-hands.json >"$work/in-passing.json"
run check "$work/in-passing.json"
expect_not_stderr "wants a pair of hands"

it "what there is not enough of is said first, then the chain from its beginning to the table"
run timeline tests/data/cli/edits/overlap.json
sed -n '/^These do not fit/,/^Any one/p' "$out" | grep '^  - ' >"$work/order"
if [ "$(sed -n 1p "$work/order")" = "  - nobody is at home from Thu 24 Dec 10:00 to" ]; then pass; else fail "first: $(sed -n 1p "$work/order")"; fi
if tail -1 "$work/order" | grep -q "has to be ready at"; then pass; else fail "last: $(tail -1 "$work/order")"; fi

it "a window counted from the serve goes with it: later is no help when that is the next day"
cat >"$work/night.json" <<'E'
{"occasion": "Late supper", "timezone": "Europe/London", "serve": "2026-12-18 23:50", "earliest": "2026-12-18 18:00",
 "dishes": [{"dish": "Roast", "stages": [
   {"id": "rub", "do": "Rub with salt", "active": "10 min", "when": {"day": 0, "time": "18:00-18:30"}},
   {"id": "rest", "do": "Leave it", "passive": "5 h 50 min", "after": "rub"},
   {"id": "carve", "do": "Carve", "active": "10 min", "after": "rest"}]}]}
E
run timeline "$work/night.json"
expect_status 1
expect_not_stdout 'serve 20 min later'
sed 's/"day": 0, //' "$work/night.json" >"$work/any-day.json"
run timeline "$work/any-day.json"
expect_stdout 'serve 20 min later'

finish

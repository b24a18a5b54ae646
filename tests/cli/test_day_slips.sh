#!/bin/sh
# A day that slips, as typed, each answer checked by the text of the plan format alone: an evening
# of the friday supper, and the days of two hundred random plans.
. tests/cli/lib.sh

if ! command -v python3 >/dev/null 2>&1; then
    it "checks days"
    skip "no python3"
    finish
fi

cp -r plans "$work/plans"
plan=$work/plans/friday-supper.json
journal=$work/plans/friday-supper.day.jsonl
d=2026-12-04
run timeline --json="$work/before.json" "$plan"

# What is typed is told, and its answer checked.
slip() {
    run day "$@" --json "$plan"
    expect_status 0
    cp "$out" "$work/day.json"
    ran="check_day.py"
    if python3 tests/cli/check_day.py "$plan" "$journal" "$work/day.json" "$work/before.json" \
        >"$out" 2>&1; then
        pass
    else
        fail "$(cat "$out")"
    fi
    cp "$work/day.json" "$out"
}

it "the gratin goes in late by 25 min: it and its rest end 25 min later"
slip begun gratin/bake --at 18:20 --now "$d 18:21"
# In at 17:55 as planned, out at 19:05, rested by 19:20, 10 min before it is served: 15 min late.
expect_stdout '"minutes": 15'

it "the middle is soft at the hour"
slip longer gratin/bake "10 min" --now "$d 19:30"
expect_stdout '"minutes": 25'

it "guests come later"
slip later "+30 min" --now "$d 19:31"
expect_not_stdout '"minutes": 25'

it "a dish is dropped"
slip out salad --now "$d 19:32"
slip undo --now "$d 19:33"

it "power is gone for 40 min"
slip longer gratin/bake "40 min" --now "$d 19:35"
slip hot oven "180 C" --now "$d 19:36"

it "a stage is left out, another done"
slip skip gratin/rest --now "$d 20:20"
slip done gratin/bake --now "$d 20:25"

it "an oven's switch that nobody was told of is asked about, until something is in it or the next thing is said"
cp -r plans "$work/switches"
switches=$work/switches/friday-supper.json
run day --now "$d 17:41" "$switches"
expect_match "$out" '^17:40    Turn the oven on, to 160 °C fan; hot at 17:55: is$'
expect_match "$out" '^17:55    the oven heats up to 160 °C fan$'
run day --now "$d 17:40" "$switches"
expect_match "$out" '^17:40    Turn the oven on, to 160 °C fan; hot at 17:55$'
run day --now "$d 17:56" "$switches"
expect_not_stdout "Turn the oven on"
expect_not_stdout "heats up"
run day done gratin/bake --now "$d 19:07" --at 19:03 "$switches"
expect_match "$out" '^19:03    Turn the oven off: is it done.$'
run day done gratin/rest --now "$d 19:20" "$switches"
expect_not_stdout "Turn the oven off"
run day undo --now "$d 19:21" "$switches"
run day undo --now "$d 19:21" "$switches"
rm "$work/switches/friday-supper.day.jsonl"
run day --now "$d 21:04" "$switches"
expect_match "$out" '^19:05    Turn the oven off: is it done.$'
run day --now "$d 21:06" "$switches"
expect_not_stdout "Turn the oven off"

it "what stands too long is warned of as long as something can be done about it"
cat >"$work/trifle.json" <<'PLAN'
{"occasion": "Stands", "timezone": "Europe/London", "serve": "2027-01-16 19:00",
 "kitchen": {"away": [{"from": "2027-01-16 10:00", "to": "2027-01-16 18:50"}]},
 "dishes": [{"dish": "Trifle", "ingredients": ["400 ml cream", "3 eggs"], "stages": [
  {"id": "fill", "do": "Layer the custard in the bowl", "active": "15 min"},
  {"id": "top", "do": "Spread the whipped cream on top", "active": "10 min"}]}]}
PLAN
for at in 09:50 12:00 18:45; do
    run day --now "2027-01-16 $at" "$work/trifle.json"
    expect_stdout "the limit in a room is 2 h"
done
run day --now "2027-01-16 19:05" "$work/trifle.json"
expect_not_stdout "the limit in a room is 2 h"
sed '/"id": "top"/d; s/"15 min"},$/"15 min"}]}]}/' "$work/trifle.json" >"$work/filled.json"
run day --now "2027-01-16 12:00" "$work/filled.json"
expect_stdout "the limit in a room is 2 h"
run day --now "2027-01-16 19:00" "$work/filled.json"
expect_not_stdout "the limit in a room is 2 h"

it "a day of which everything is left out has nothing to do"
cat >"$work/one.json" <<'PLAN'
{"occasion": "Tea", "timezone": "UTC", "serve": "2026-03-01 16:00",
 "dishes": [{"dish": "Cake", "stages": [{"id": "bake", "do": "Bake", "passive": "1 h"}]}]}
PLAN
run day out cake --now "2026-03-01 14:00" "$work/one.json"
expect_status 0
expect_stdout "nothing to do"

it "says no breach of what is no day"
printf '{"day": {"now": "2026-12-04T19:00:00+00:00", "late": [], "changed": [], "running": [], "next": [], "broken": []}, "stages": [], "ovens": []}' >"$work/none.json"
if python3 tests/cli/check_day.py "$plan" "$journal" "$work/none.json" "$work/before.json" \
    >/dev/null 2>&1; then fail "a day without its stages passed"; else pass; fi

it "notices what is wrong in a day"
# Each a lie about the last answer: a stage to come before now, a fact moved, no lateness told.
run day --now "$d 20:26" --json "$plan"
cp "$out" "$work/day.json"
for lie in \
    's["begun"] = False if s["stage"] == "bake" else s.get("begun", False)' \
    's["start"] = s["start"].replace("T18:20", "T18:19")' \
    's["end"] = s["end"].replace("T20:25", "T20:24")'; do
    python3 - "$work" "$lie" <<'PYTHON'
import json, sys
day = json.load(open(sys.argv[1] + "/day.json"))
for s in day["stages"]:
    exec(sys.argv[2])
json.dump(day, open(sys.argv[1] + "/lie.json", "w"))
PYTHON
    if cmp -s "$work/lie.json" "$work/day.json"; then fail "no lie: $lie"; fi
    if python3 tests/cli/check_day.py "$plan" "$journal" "$work/lie.json" "$work/before.json" \
        >/dev/null 2>&1; then fail "$lie passed"; else pass; fi
done

it "random days"
ran="random_days.py"
# Under a sanitizer, which is slow and looks for other things, fewer.
plans=200 least='[3-9][0-9][0-9]'
grep -q __asan_init "$bakeset" && plans=30 least='[3-9][0-9]'
if python3 tests/cli/random_days.py "$bakeset" 1 "$plans" "$work" >"$out" 2>&1; then
    pass
else
    fail "$(cat "$out")"
fi
cat "$out"
expect_match "$out" "$least answers of days checked"

finish

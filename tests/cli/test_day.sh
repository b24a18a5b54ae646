#!/bin/sh
# bakeset day as typed through an evening: what now, what happened, what if it slips; the
# journal beside the plan; what is wrong with what was typed.
. tests/cli/lib.sh

cp -r plans "$work/plans"
plan=$work/plans/friday-supper.json
journal=$work/plans/friday-supper.day.jsonl
d=2026-12-04

it "says what now, and writes nothing"
run day --now "$d 17:56" "$plan"
expect_status 0
expect_stdout "Fri 4 Dec 17:56  Friday supper"
expect_stdout "Taken as done, as planned: 14 steps"
expect_match "$out" "^19:05    Bake the gratin"
expect_match "$out" "^18:10    Melt the jelly"
expect_stdout "until 18:10"
expect_no_file "$journal"

it "fits sixty columns"
if awk 'length($0) > 60 { exit 1 }' "$out"; then pass; else fail "a line is longer"; fi

it "plans anew when a stage began late"
run day begun gratin/bake --at 18:10 --now "$d 18:15" "$plan"
expect_status 0
expect_quiet_stderr
expect_stdout "Potato and leek gratin/bake began at 18:10"
# 18:10 + 70 min in the oven + 15 min of rest
expect_match "$out" "^19:35    Potato and leek gratin is 5 min late"
expect_match "$out" "^19:20    Potato and leek gratin/rest, was 19:05"
expect_file "$journal"
expect_match "$journal" '"what": "begun", "dish": "Potato and leek gratin", "stage": "bake"'

it "has hands free until the next touch, be it only an oven to turn on or something to put in"
cat >"$work/touches.json" <<'END'
{"occasion": "Touches", "timezone": "UTC",
 "kitchen": {"cooks": 1, "equipment": {"oven": {"kind": "oven", "shelves": 2, "preheat": "15 min"}, "hob": {"kind": "hob", "rings": 4}}},
 "dishes": [
  {"dish": "Roast", "serve": "2026-12-04 19:00",
   "stages": [{"id": "roast", "do": "Roast it", "passive": "60 min", "uses": {"oven": {"at": "180 C"}}}]},
  {"dish": "Cabbage", "serve": "2026-12-04 19:00",
   "stages": [{"id": "braise", "do": "Braise it", "passive": "30 min", "uses": {"hob": 1}}]}]}
END
# 60 min before 19:00 the roast goes in, 15 min before that the oven goes on, 30 min before 19:00 the cabbage
for clock in "17:00 17:45" "17:50 18:00" "18:10 18:30" "18:40 19:00"; do
    run day --now "$d ${clock% *}" "$work/touches.json"
    expect_status 0
    expect_match "$out" "^ *until ${clock#* }\$"
done

it "tells the JSON what is a fact, what moved, what is late"
run day --now "$d 18:16" --json "$plan"
expect_status 0
expect_stdout '"done": true'
expect_stdout '"assumed": true'
cp "$out" "$work/day.json"
python3 - "$work/day.json" <<'PY' && pass || fail "the day's JSON is not as it should be"
import json, sys
t = json.load(open(sys.argv[1]))
day = t["day"]
assert day["now"] == "2026-12-04T18:16:00+00:00", day["now"]
assert {"dish": "Potato and leek gratin", "minutes": 5, "serve": "2026-12-04T19:35:00+00:00"} in day["late"]
assert any(r["stage"] == "bake" and r["until"] == "2026-12-04T19:20:00+00:00" for r in day["running"])
assert len(day["next"]) == 3 and day["changed"] == [] and day["broken"] == []
for s in t["stages"]:
    begun = s.get("begun", False)
    assert begun == (s["start"] < day["now"]), s
PY

it "asks about what is overdue, and goes on as if it lasts until now"
run day --now "$d 19:25" "$plan"
expect_stdout "Is Potato and leek gratin/bake done?"
expect_stdout "19:40    Potato and leek gratin is 10 min late"

it "takes more time from when it was said"
run day longer gratin/bake "5 min" --now "$d 19:25" "$plan"
expect_status 0
expect_match "$out" "^19:45    Potato and leek gratin is 15 min late"
expect_match "$out" "^19:30    Bake the gratin"

it "takes back what was said last"
run day undo --now "$d 19:25" "$plan"
expect_status 0
expect_stdout "what was said last is taken back"
expect_match "$out" "^19:40    Potato and leek gratin is 10 min late"

it "rewrites the calendar with the same alarms"
run day done gratin/bake --now "$d 19:26" --ics "$work/day.ics" "$plan"
expect_status 0
expect_file "$work/day.ics"
grep '^UID' "$work/day.ics" | sort >"$work/uids"
run day served salad --now "$d 19:31" --ics "$work/day.ics" "$plan"
expect_status 0
expect_quiet_stderr
grep '^UID' "$work/day.ics" | sort >"$work/uids-after"
expect_same "$work/uids" "$work/uids-after"

it "leaves a stage out, and what followed it goes on"
run day skip gratin/rest --now "$d 19:32" "$plan"
expect_status 0
expect_stdout "Potato and leek gratin/rest is left out"
expect_match "$out" "^19:32    SERVE Potato and leek gratin"

it "ends the day"
run day finish --now "$d 20:00" "$plan"
expect_status 0
expect_stdout "The day is over."

it "says that a later hour stands in the journal"
run day --now "$d 18:00" "$plan"
expect_status 2
expect_stderr "speaks of Fri 4 Dec 20:00 already"
expect_stderr "wait until then"
expect_stderr "mend line $(grep -n 'T20:00' "$journal" | head -1 | cut -d: -f1) of"

rm -f "$journal"
it "moves everything when the guests are late, and back"
run day later "+25 min" --now "$d 17:30" "$plan"
expect_status 0
expect_stdout "served Fri 4 Dec 19:55"
run day undo --now "$d 17:31" "$plan"
expect_status 0
run day --now "$d 17:32" --json "$plan"
if tr -d ' \n' <"$out" | grep -q '"late":\[\]'; then pass; else fail "something is late"; fi

it "moves one dish by part of its name"
run day later torte=21:00 --now "$d 17:33" "$plan"
expect_status 0
expect_stdout "Blackcurrant mousse torte is served Fri 4 Dec 21:00"

it "drops a dish and warns of it no more"
run day out torte --now "$d 18:00" "$plan"
expect_status 0
expect_stdout "Blackcurrant mousse torte is dropped"
expect_not_stdout "SERVE Blackcurrant"
run day --now "$d 18:01" --json "$plan"
expect_stdout '"left_out": true'

rm -f "$journal"
it "knows that a hot oven needs no time to heat"
run day skip gratin/take-out --now "$d 17:50" "$plan"
run day begun salad/wash --now "$d 17:50" "$plan"
run day hot oven "180 C" --now "$d 17:50" "$plan"
expect_status 0
expect_stdout "oven is hot"

rm -f "$journal"
it "concludes that what went before is over"
run day done gratin/rest --now "$d 18:20" "$plan"
expect_status 0
expect_stdout "with it Potato and leek gratin/bake"

rm -f "$journal"
it "says what a thing that is ready too soon means, and keeps what can be kept"
run day done gratin/bake --now "$d 18:24" "$plan"
expect_status 0
expect_stdout "Potato and leek gratin will stand longer than the"
expect_match "$out" "^18:24    Let the gratin stand"

rm -f "$journal"
it "wants more of a name that several stages have"
run day done bak --now "$d 10:00" "$plan"
expect_status 2
expect_stderr '"bak" may be "Blackcurrant mousse torte/bake-base", "Potato and leek gratin/bake"'
expect_no_file "$journal"

it "offers the nearest name"
run day done set-muosse --now "$d 10:00" "$plan"
expect_status 2
expect_stderr 'did you mean "set-mousse"?'
run day dome bake --now "$d 10:00" "$plan"
expect_status 2
expect_stderr 'did you mean "done"?'

it "refuses what it cannot take, and writes nothing"
run day longer set-mousse "20 furlongs" --now "$d 10:00" "$plan"
expect_status 2
expect_stderr '"20 furlongs" is no time to take longer'
run day longer decorate "20 min" --now "$d 10:00" "$plan"
expect_status 2
expect_stderr '"Blackcurrant mousse torte/decorate" has not begun; say that it has begun first'
run day done set-mousse --at 11:00 --now "$d 10:00" "$plan"
expect_status 2
expect_stderr "it is not 11:00 yet"
run day done --now "$d 10:00" "$plan"
expect_status 2
expect_stderr "write: done STAGE"
run day undo --now "$d 10:00" "$plan"
expect_status 2
expect_stderr "there is nothing to take back"
run day hot stove --now "$d 10:00" "$plan"
expect_status 2
expect_stderr 'the plan has "oven"'
run day cook Ann --until 21:00 --now "$d 10:00" "$plan"
expect_status 2
expect_stderr 'there is no cook "Ann"'
run day out soup --now "$d 10:00" "$plan"
expect_status 2
expect_stderr 'there is no dish "soup"'
run day --now teatime "$plan"
expect_status 2
expect_stderr 'no time'
run day later "25 minutes ago" --now "$d 10:00" "$plan"
expect_status 2
run day later "+100000 min" --now "$d 10:00" "$plan"
expect_status 2
expect_stderr "more than 7 days from when it was to be served"
run day done bake --at "2026-11-28 10:00" --now "$d 10:00" "$plan"
expect_status 2
expect_stderr "Sat 28 Nov 10:00 is days before all of this began"
run day done bake --until 21:00 --now "$d 10:00" "$plan"
expect_status 2
expect_stderr "--until goes with cook NAME"
expect_no_file "$journal"
run_on "$plan" day --now "$d 10:00" -
expect_status 2
expect_stderr "has no journal beside it"

it "keeps to the journal of its own plan"
echo '{"format": "bakeset-day-1", "at": "2026-12-04T10:00:00Z", "occasion": "A picnic"}' >"$journal"
run day --now "$d 10:00" "$plan"
expect_status 2
expect_stderr 'is the journal of "A picnic"'
expect_stderr 'call the occasion of the plan "A picnic" again'
rm -f "$journal"

it "says what the journal names and the plan has not"
run day done mousse --now "$d 10:00" "$plan"
expect_status 0
sed -i 's/"id": "mousse"/"id": "foam"/; s/"after": "mousse"/"after": "foam"/; s/"until": "mousse"/"until": "foam"/; s/"stage": "mousse"/"stage": "foam"/' \
    "$work/plans/recipes/blackcurrant-mousse-torte.json"
run day --now "$d 10:05" "$plan"
expect_status 0
expect_stdout "which the plan has not"
rm -f "$journal"

it "knows when a cook leaves, and that one stays after all"
cat >"$work/plans/two.json" <<'PLAN'
{"occasion": "Two cooks", "timezone": "Europe/London", "serve": "2026-12-04 20:00",
 "kitchen": {"cooks": [{"cook": "Ada"}, {"cook": "Ben"}]},
 "dishes": [{"dish": "Soup", "stages": [{"id": "cut", "do": "Cut", "active": "30 min"}]},
            {"dish": "Rolls", "stages": [{"id": "shape", "do": "Shape", "active": "30 min"}]}]}
PLAN
plan=$work/plans/two.json
run day --now "$d 18:00" --json "$plan"
expect_status 0
cp "$out" "$work/both.json"
run day cook Ben --until 19:45 --now "$d 18:00" "$plan"
expect_status 0
expect_stdout "Ben is there until 19:45"
run day --now "$d 18:01" --json "$plan"
cp "$out" "$work/ada.json"
run day cook Ben --until "2026-12-07 20:00" --now "$d 18:02" "$plan"
expect_stdout "Ben is there to the end"
run day served Soup --now "$d 18:03" "$plan"
run day out Rolls --now "$d 18:04" --json "$plan"
cp "$out" "$work/stays.json"
python3 - "$work" <<'PY' && pass || fail "the day's JSON tells dishes and cooks wrongly"
import json, sys
both, ada, stays = (json.load(open(f"{sys.argv[1]}/{n}.json")) for n in ("both", "ada", "stays"))
starts = lambda t: sorted(s["start"][11:16] for s in t["stages"])
assert starts(both) == ["19:30", "19:30"] and starts(ada) == ["19:15", "19:30"], (starts(both), starts(ada))
assert both["day"]["cooks"] == [{"cook": "Ada", "until": None}, {"cook": "Ben", "until": None}]
assert ada["day"]["cooks"][1] == {"cook": "Ben", "until": "2026-12-04T19:45:00+00:00"}
assert stays["day"]["cooks"] == both["day"]["cooks"]
assert [(x["dish"], x["served"], x["out"]) for x in both["day"]["dishes"]] == [("Soup", False, False), ("Rolls", False, False)]
assert [(x["dish"], x["served"], x["out"]) for x in stays["day"]["dishes"]] == [("Soup", True, False), ("Rolls", False, True)]
assert stays["day"]["dishes"][0]["serve"] == "2026-12-04T18:03:00+00:00"
PY
rm -f "$work/plans/two.day.jsonl"
plan=$work/plans/winter-holiday.json
run day --now "2026-12-24 15:00" "$plan"
expect_status 0

rm -f "$journal"
it "remembers how long things took, once"
cp -r plans "$work/again"
again=$work/again/friday-supper.json
run day --now "$d 17:50" --json "$again"
python3 -c 'import json, sys
assert json.load(open(sys.argv[1]))["day"]["hot"] == []' "$out" && pass || fail "the oven only warms up"
run day hot oven --now "$d 18:00" --json "$again"
python3 -c 'import json, sys
assert json.load(open(sys.argv[1]))["day"]["hot"] == [{"oven": "oven#1", "temperature_c": 180, "dial_c": 160}]' "$out" && pass || fail "it is not told that the oven is hot"
run day begun gratin/bake --at 18:01 --now "$d 18:02" "$again"
run day done gratin/bake --at 19:18 --now "$d 19:19" "$again"
run day finish --now "$d 20:00" "$again"
expect_status 0
expect_stdout "2 real times went into the history"
expect_match "$work/again/recipes/potato-gratin.history.jsonl" '"stage": "bake", .*"minutes": 77'
# on at 17:40 as planned, hot at 18:00
expect_match "$work/again/friday-supper.history.jsonl" '"oven": "oven", "minutes": 20, "planned": 15'
run check --history "$again"
expect_status 0

it "publishes only where the plan says"
run day done gratin/bake --publish --now "$d 19:10" "$work/plans/friday-supper.json"
expect_status 2
expect_stderr 'add "publish"'
expect_no_file "$journal"
sed 's#"occasion"#"publish": "http://127.0.0.1:1/cal/", "occasion"#' "$work/plans/friday-supper.json" >"$work/plans/out.json"
run day done gratin/bake --publish --now "$d 19:10" "$work/plans/out.json"
expect_status 3
expect_stderr "http://127.0.0.1:1/cal/: reading the calendar"
expect_file "$work/plans/out.day.jsonl"

it "does not write over the plan"
run day --now "2026-12-24 15:00" --json="$plan" "$plan"
expect_status 2

finish

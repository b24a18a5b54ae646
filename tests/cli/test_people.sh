#!/bin/sh
# The people in the kitchen: somebody begins what goes by itself.
. tests/cli/lib.sh

data=tests/data/cli/people

# timeline_of PLAN: its timeline, held against the text of the plan format.
timeline_of() {
    run timeline --json="$work/t.json" "$1"
    expect_status 0
    expect_match "$work/t.json" '"status": "optimal"'
    if command -v python3 >/dev/null 2>&1; then
        if python3 tests/cli/check_timeline.py "$1" "$work/t.json" >"$work/breaches" 2>&1; then
            pass
        else
            fail "$(cat "$work/breaches")"
        fi
    else
        skip "no python3"
    fi
}

it "the jelly goes into the fridge before the cook leaves, not at 14:20 with nobody home"
timeline_of $data/jelly.json
expect_stdout "14:00  leave  Set the jelly in the fridge"
expect_stdout "It must be before you leave the house at 14:00."
expect_match "$work/t.json" '"fact": "begins"'
run why Jelly/set $data/jelly.json
expect_status 0
expect_stdout "somebody has to begin Jelly/set, and nobody can between Sat 5 Dec"

it "what begins by itself needs nobody"
sed 's/"passive": "4 h"/"passive": "4 h", "begins": "itself"/' $data/jelly.json >"$work/itself.json"
timeline_of "$work/itself.json"
expect_stdout "14:30  leave  Set the jelly in the fridge"

it "nobody to begin it: why, and what would help"
sed 's/"after": {"stage": "squeeze", "within": "30 min"}/"after": {"stage": "squeeze", "wait": "10 min", "within": "30 min"}/
     s/"serve": "2026-12-05 19:00"/"serve": "2026-12-05 18:30", "earliest": "2026-12-05 13:25"/' \
    $data/jelly.json >"$work/late.json"
run timeline --json="$work/why.json" "$work/late.json"
expect_status 1
expect_stdout "somebody has to begin Jelly/set, and nobody can between Sat 5 Dec"
expect_match "$work/why.json" '"fact": "begins"'
expect_stdout "of being away"

it "the pan goes on before the slicing begins, not five minutes into it"
cat >"$work/supper.json" <<'END'
{"occasion": "Supper", "timezone": "Europe/London", "serve": "2026-12-05 19:00",
 "kitchen": {"equipment": {"hob": {"kind": "hob"}}},
 "dishes": [
  {"dish": "Salad", "stages": [{"id": "slice", "do": "Slice", "active": "20 min"}]},
  {"dish": "Sauce", "stages": [{"id": "simmer", "do": "Simmer", "passive": "15 min", "uses": {"hob": 1}}]}]}
END
timeline_of "$work/supper.json"
expect_stdout "18:40  watch  Simmer"
expect_match "$work/t.json" '"interruptions": 0'
expect_match "$work/t.json" '"bound_interruptions": 0'
run why Sauce/simmer "$work/supper.json"
expect_status 0
expect_stdout "hands would then be full more often"

it "the cook eats too: nothing hands-on through the soup"
timeline_of $data/two-courses.json
expect_stdout "At table until 19:20: no hands before then"
expect_stdout "19:20  DO     Carve it"
run why Roast/carve $data/two-courses.json
expect_status 0
it "a longer soup than the roast allows: why, and what would help"
sed 's/"at_table": "20 min"/"at_table": "25 min"/' $data/two-courses.json >"$work/long.json"
sed 's/"carve", "do": "Carve it", "active": "10 min", "after": {"stage": "rest", "within": "10 min"}/"carve", "do": "Carve it", "active": "10 min", "after": {"stage": "rest", "within": "0 min"}/
     s/"dish": "Roast",/"dish": "Roast", "keeps": "0 min",/' "$work/long.json" >"$work/short.json"
run timeline --json="$work/why.json" "$work/short.json"
expect_status 1
expect_stdout "the cooks are at table from Sat 5 Dec 19:00 to 19:25, once Soup is served"
expect_stdout 'be at table for 20 min, not 25 min: "at_table": "20 min"'
expect_match "$work/why.json" '"fact": "at_table"'

it "hours of some days, and one late night"
cat >"$work/week.json" <<'END'
{"occasion": "Rolls", "timezone": "Europe/London", "serve": "2026-12-05 12:00",
 "kitchen": {"pace": 1.5,
  "asleep": ["22:30-07:00", {"date": "2026-12-04", "time": "01:00-08:30"}],
  "busy": {"days": "sat,sun", "time": "08:00-10:00"},
  "away": [{"days": "mon-fri", "time": "08:00-17:30"}]},
 "dishes": [{"dish": "Rolls", "stages": [
  {"id": "dough", "do": "Make the dough", "active": "20-25 min", "when": {"day": -1, "time": "18:00-23:00"}},
  {"id": "rise", "do": "Let it rise", "passive": "11 h", "after": {"stage": "dough", "within": "3 h"}},
  {"id": "shape", "do": "Shape them", "active": "60 min"}]}]}
END
timeline_of "$work/week.json"
expect_stdout "Asleep until 08:30"
expect_stdout "Hands not free until 10:00"
expect_not_stdout "Asleep until Sat 07:00"
expect_stdout "10:30  DO     Shape them"
expect_stdout "22:22  DO     Make the dough"
expect_stdout "30-38 min hands on"
sed 's/"when": {"day": -1, "time": "18:00-23:00"}/"when": {"day": -1, "time": "18:00-20:00"}/
     s/"within": "3 h"/"within": "1 h"/; s/"passive": "11 h"/"passive": "10 h"/; s/"time": "18:00-20:00"/"time": "18:00-20:00"/
     s/"dish": "Rolls",/"dish": "Rolls", "keeps": "1 h",/; s/"id": "shape",/"id": "shape", "after": {"stage": "rise", "within": "1 h"},/' \
    "$work/week.json" >"$work/early.json"
run timeline --json="$work/why.json" "$work/early.json"
expect_status 1
expect_stdout "Rolls/dough is to be done between Fri 4 Dec 18:00 and"
expect_match "$work/why.json" '"fact": "when"'
expect_stdout "let Rolls/dough be at any time"

it "five doughs over three days: two a day at most"
{
    printf '{"occasion": "Bread", "timezone": "Europe/London", "serve": "2026-12-05 12:00", "style": "spread",\n'
    printf ' "earliest": "2026-12-02 18:00", "kitchen": {"asleep": "22:30-07:00"}, "dishes": [\n'
    for n in 1 2 3 4; do printf '{"dish": "Loaf %s", "stages": [{"id": "knead", "do": "Knead", "active": "1 h"}]},\n' $n; done
    printf '{"dish": "Loaf 5", "stages": [{"id": "knead", "do": "Knead", "active": "1 h"}]}]}\n'
} >"$work/bread.json"
timeline_of "$work/bread.json"
expect_match "$work/t.json" '"hands_on_serving_day_minutes": 0'
expect_match "$work/t.json" '"hands_on_busiest_other_day_minutes": 120'
expect_match "$work/t.json" '"bound_hands_on_busiest_other_day_minutes": 120'
expect_stdout "the rest more evenly."

it "a helper from noon: who does what, by name"
timeline_of $data/helper.json
expect_stdout "Pies: 50 min hands on by Ada and Ben, until 14:30"
expect_stdout "Rolls: 1 h hands on by Ada, until 18:00"
expect_match "$work/t.json" '"Ben"'
run timeline --svg="$work/t.svg" --html="$work/t.html" --ics="$work/t.ics" $data/helper.json
expect_status 0
expect_match "$work/t.svg" '>Ben<'
expect_match "$work/t.html" 'hands on</span> by Ada and Ben'
expect_match "$work/t.ics" 'by Ada and Ben'
it "two pairs of hands, and the helper comes too late: why, and what would help"
sed 's/"serve": "2026-12-05 18:00"/"serve": "2026-12-05 12:30", "earliest": "2026-12-05 08:00"/
     s/"serve": "2026-12-05 12:30", "earliest"/"serve": "2026-12-05 12:30", "style": "fresh", "earliest"/
     /"Rolls"/d; /"Salad"/d; s/, *$/,/; /"Sauce"/d; s/"cooks": 2}\]},/"cooks": 2}]}/' $data/helper.json >"$work/late.json"
run timeline --json="$work/why.json" "$work/late.json"
expect_status 1
expect_stdout "Ben is away from"
expect_match "$work/why.json" '"fact": "cook"'
expect_match "$work/why.json" '"cook": "Ben"'
expect_stdout "Ben: give up 20 min of being away"
expect_stdout "have one more cook"

finish

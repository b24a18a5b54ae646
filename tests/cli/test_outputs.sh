#!/bin/sh
# Where the timeline goes: the terminal, standard input, --json, --ics, --svg, --html.
. tests/cli/lib.sh
plan=plans/friday-supper.json

it "the text timeline"
run timeline $plan
expect_status 0
expect_quiet_stderr
expect_stdout "Friday supper"
cp "$out" "$work/text"

it "a plan on standard input"
run_on plans/friday-supper.json timeline -
expect_status 2
run_on tests/data/cli/tea.json timeline -
expect_status 0
cp "$out" "$work/from-stdin"
run timeline tests/data/cli/tea.json
expect_same "$out" "$work/from-stdin"

it "a bad plan on standard input is called by that name"
run_on tests/data/cli/bad/unknown-key-stage.json check -
expect_status 2
expect_stderr "<stdin>:"

it "--json alone goes to standard output instead of the text"
run timeline --json $plan
expect_status 0
expect_json "$out"
expect_not_stdout "Start by"
cp "$out" "$work/json"

it "--json=F writes the same and leaves the text"
run timeline --json=$work/t.json $plan
expect_status 0
expect_same "$work/t.json" "$work/json"
expect_same "$out" "$work/text"

it "every file in one run"
mkdir "$work/box"
run timeline --ics "$work/box/a.ics" --svg "$work/box/a.svg" --html "$work/box/a.html" --json="$work/box/a.json" $plan
expect_status 0
expect_only a.html a.ics a.json a.svg
expect_same "$out" "$work/text"
expect_match "$work/box/a.ics" '^BEGIN:VCALENDAR'
expect_match "$work/box/a.ics" '^END:VCALENDAR'
expect_match "$work/box/a.svg" '^</svg>'
expect_match "$work/box/a.html" '</html>'

it "each event of the calendar that needs a person has one alarm"
events=$(grep -c '^BEGIN:VEVENT' "$work/box/a.ics")
alarms=$(grep -c '^BEGIN:VALARM' "$work/box/a.ics")
if [ "${alarms:-0}" -gt 5 ] && [ "$alarms" -le "$events" ]; then pass; else fail "$events events, $alarms alarms"; fi

it "options may stand behind the plan and be written with = or a space"
run timeline $plan --ics="$work/b.ics"
expect_status 0
expect_same "$work/b.ics" "$work/box/a.ics"

it "--serve moves the table"
run timeline --serve "2026-12-04 20:30" --json="$work/later.json" $plan
expect_status 0
expect_json "$work/later.json"
if cmp -s "$work/later.json" "$work/json"; then fail "an hour later makes no difference"; else pass; fi
run timeline --serve "half past seven" $plan
expect_status 2
expect_stderr "half past seven"

it "--now in good time changes nothing but what it says"
run timeline --now="2026-12-02 09:00" --json="$work/now.json" $plan
expect_status 0
expect_match "$work/now.json" '"status": "optimal"'

it "--now too late can't be met"
run timeline --now="2026-12-04 17:00" $plan
expect_status 1
expect_stdout "can't be met"

it "--now alone takes the clock"
run timeline --now $plan
if [ "$status" -eq 0 ] || [ "$status" -eq 1 ]; then pass; else fail "exit status $status"; fi

it "--effort 1 gives a timeline all the same, or says that it found none"
run timeline --effort 1 --json="$work/hasty.json" $plan
if [ "$status" -eq 0 ]; then
    expect_json "$work/hasty.json"
    expect_match "$work/hasty.json" '"status": "\(optimal\|feasible\)"'
else
    expect_status 1
    expect_no_file "$work/hasty.json"
fi

it "--effort wants a number"
for effort in none -5 1e9 99999999999999999999 ""; do
    run timeline --effort "$effort" $plan
    expect_status 2
    expect_quiet_stdout
done

it "says where a dish goes that is kept cold until it is served"
cat >"$work/kept.json" <<'PLAN'
{"occasion": "Kept", "timezone": "Europe/London", "serve": "2027-01-16 19:00",
 "kitchen": {"away": [{"from": "2027-01-16 10:00", "to": "2027-01-16 19:00"}],
  "equipment": {"fridge": {"kind": "cold", "places": 2}, "shelf": {"count": 1}}},
 "dishes": [
  {"dish": "Trifle", "stored": {"fridge": 1}, "stages": [
   {"id": "boil", "do": "Boil the custard", "active": "15 min"},
   {"id": "fill", "do": "Layer it in the bowl", "active": "15 min"}]},
  {"dish": "Cream", "stored": {"fridge": 1}, "stages": [
   {"id": "set", "do": "Chill the cream", "passive": "2 h", "uses": {"fridge": 1}}]},
  {"dish": "Biscuits", "stored": {"shelf": 1}, "stages": [
   {"id": "pack", "do": "Pack the biscuits", "active": "5 min"}]}]}
PLAN
run timeline --width 100 --ics "$work/kept.ics" --html "$work/kept.html" "$work/kept.json"
expect_status 0
expect_match "$out" '^ *Trifle: 15 min hands on, until [0-9:]*; then into the fridge until 19:00$'
if [ "$(grep -c 'into the fridge' "$out")" -eq 1 ]; then pass; else fail "not at its last step alone"; fi
expect_match "$out" '^ *Biscuits: 5 min hands on, until [0-9:]*$'
sed ':a;N;$!ba;s/\r\n //g' "$work/kept.ics" >"$work/unfolded.ics"
expect_match "$work/unfolded.ics" 'then into the fridge until 19:00'
expect_match "$work/kept.html" 'then into the fridge until 19:00'
run day --now "2027-01-16 09:47" "$work/kept.json"
expect_stdout "into the fridge until 19:00"
finish

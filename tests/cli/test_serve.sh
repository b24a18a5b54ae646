#!/bin/sh
# Another hour: for all, for one dish, and for what is left of a day that has begun.
. tests/cli/lib.sh

cat >"$work/days.json" <<'EOF'
{"occasion": "Two days", "timezone": "Europe/London",
 "dishes": [
  {"dish": "Soup", "serve": "2026-12-24 19:00", "stages": [{"id": "cook", "do": "Cook the soup", "active": "30 min"}]},
  {"dish": "Roast", "serve": "2026-12-25 13:00", "stages": [
   {"id": "roast", "do": "Roast it", "passive": "2 h", "after": {"stage": "Soup/cook", "wait": "1 h"}}]}]}
EOF

it "where each dish has its own hour, --serve moves the last to it and the others with it, and says so"
run timeline --serve "2026-12-25 17:00" "$work/days.json"
expect_status 0
expect_stdout "Serve     Thursday 24 December, 23:00 to Friday 25 December, 17:00"
tr -s ' \n' '  ' <"$out" >"$work/flat"
cp "$work/flat" "$out"
expect_stdout "Everything is served 4 h later than the plan says, each dish's own hour too: the last at Friday 25 December, 17:00."

it "an hour, a difference, one dish, several at once"
run timeline --serve 14:00 "$work/days.json"
expect_stdout "Serve     Thursday 24 December, 20:00 to Friday 25 December, 14:00"
run timeline --serve "+25 min" "$work/days.json"
expect_stdout "Serve     Thursday 24 December, 19:25 to Friday 25 December, 13:25"
run timeline --serve "Soup=20:15" "$work/days.json"
expect_stdout "Serve     Thursday 24 December, 20:15 to Friday 25 December, 13:00"
expect_stdout "Soup is served 1 h 15 min later than the plan says:"
run timeline --serve "+1 h" --serve "Soup=18:00" "$work/days.json"
expect_stdout "Serve     Thursday 24 December, 18:00 to Friday 25 December, 14:00"

it "said twice, an hour is the same hour, and a difference counts from where it was"
run timeline --serve 14:00 --serve 14:00 "$work/days.json"
expect_stdout "Serve     Thursday 24 December, 20:00 to Friday 25 December, 14:00"
run timeline --serve "+1 h" --serve "+1 h" "$work/days.json"
expect_stdout "Serve     Thursday 24 December, 21:00 to Friday 25 December, 15:00"
sed 's/"serve": "[^"]*", "stages"/"stages"/; s/"dishes"/"serve": "2026-12-25 13:00", "dishes"/' "$work/days.json" >"$work/day.json"
run timeline --serve Soup=14:00 --serve Soup=14:00 "$work/day.json"
expect_stdout "Serve     Friday 25 December, 13:00 to 14:00"
run timeline --serve "+1 h" --serve Soup=14:30 --serve "Soup=+30 min" "$work/day.json"
expect_stdout "Serve     Friday 25 December, 14:00 to 15:00"

it "what cannot be understood is answered"
run timeline --serve "Soop=18:00" "$work/days.json"
expect_status 2
expect_stderr '--serve: there is no dish "Soop"; did you mean "Soup"?'
run timeline --serve "+25" "$work/days.json"
expect_status 2
expect_stderr "add the unit"

it "a remedy says what to type, and typed it works"
cat >"$work/late.json" <<'EOF'
{"occasion": "Late", "timezone": "Europe/London", "serve": "2026-12-04 19:00", "earliest": "2026-12-04 18:00",
 "dishes": [{"dish": "Roast", "stages": [{"id": "roast", "do": "Roast it", "passive": "90 min"}]}]}
EOF
run timeline "$work/late.json"
expect_status 1
expect_stdout '--serve "+30 min"'
run timeline --serve "+30 min" "$work/late.json"
expect_status 0

it "on the second day the first day's dish is left out, with a line that says so"
run timeline --now "2026-12-25 08:00" "$work/days.json"
expect_status 0
expect_not_stdout "Cook the soup"
tr -s ' \n' '  ' <"$out" >"$work/flat"
cp "$work/flat" "$out"
expect_stdout "Left out, as it is Friday 25 December, 08:00: Soup, served before."
run timeline --json --now "2026-12-25 08:00" "$work/days.json"
expect_stdout '"Left out, as it is Friday 25 December, 08:00: Soup, served before."'

it "a plan wholly in the past is remarked on, to a person at a terminal"
sed 's/2026-12/2020-12/g' "$work/late.json" | sed 's/"90 min"/"30 min"/' >"$work/past.json"
if script -qec true /dev/null >/dev/null 2>&1 </dev/null; then
    ran="bakeset timeline PAST.json, at a terminal"
    status=0
    script -qec "'$bakeset' timeline '$work/past.json' >/dev/null" /dev/null >"$out" 2>"$err" </dev/null || status=$?
    expect_status 0
    expect_stdout "all of this plan was to be served before now; --serve moves it"
    script -qec "'$bakeset' timeline --now '2020-12-04 18:00' '$work/past.json' >/dev/null" /dev/null >"$out" 2>"$err" </dev/null
    expect_not_stdout "served before now"
else
    skip "there is no script(1), or no terminal to be had"
fi
run timeline "$work/past.json"
expect_status 0
expect_quiet_stderr

it "what is no time is told what may stand there: an hour, a difference, or both date and hour"
for when in 25:00 "25 min" 18.30; do
    run check --serve "$when" plans/sunday-roast.json
    expect_status 2
    expect_stderr "--serve is not a time: \"$when\"; write an hour such as \"18:30\", a difference such as \"+25 min\""
done
run check --serve "2026-11-29 25:00" plans/sunday-roast.json
expect_status 2
expect_stderr "the hours of a day go from 00:00 to 23:59"
run check --serve "2026-11-31 15:00" plans/sunday-roast.json
expect_status 2
expect_stderr "look at the calendar"
finish

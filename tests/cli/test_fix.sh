#!/bin/sh
# bakeset check --fix: shows what would mend the faults of which one mend is sure, and writes it
# when it is told to.
. tests/cli/lib.sh

cat >"$work/before.json" <<'PLAN'
{
  "occasion": "Tea",
  "timezone": "Europe/London"  // ours
  "serve": "2026-12-24 16:00",
  "kitchen": "home.json",
  "dishes": [{"recipe": "rolls.json", "srves": 12},],
}
PLAN
cat >"$work/after.json" <<'PLAN'
{
  "occasion": "Tea",
  "timezone": "Europe/London",  // ours
  "serve": "2026-12-24 16:00",
  "kitchen": "home.json",
  "dishes": [{"recipe": "rolls.json", "serves": 12}]
}
PLAN
printf '\357\273\277{"equipment": {"oven": {"kind": "oven"}}}\r\n' >"$work/home.json"
cp "$work/home.json" "$work/home.before"
cat >"$work/rolls.before" <<'PLAN'
{"dish": "Rolls", "stages": [
  {"id": "shape", "do": "Shape", "active": "10 min"},
  {"id": "bake", "do": "Bake", "pasive": "20 min", "uses": {"oven": {"at": "200 C"}}}
]}
PLAN
sed 's/pasive/passive/' "$work/rolls.before" >"$work/rolls.after"
start_anew() {
    cp "$work/before.json" "$work/tea.json"
    cp "$work/rolls.before" "$work/rolls.json"
}

it "shown, and nothing is written where nobody can be asked"
start_anew
run check --fix "$work/tea.json"
expect_status 2
expect_stdout '-   "timezone": "Europe/London"  // ours'
expect_stdout '+   "timezone": "Europe/London",  // ours'
expect_stdout "$work/tea.json:6:"
expect_stdout "$work/rolls.json:3:"
expect_stderr "a comma is missing"
expect_stderr "nothing is written; write --fix=yes"
expect_same "$work/tea.json" "$work/before.json"
expect_same "$work/rolls.json" "$work/rolls.before"

it "written with --fix=yes, in the files that the plan names, too; other bytes stay"
run check --fix=yes "$work/tea.json"
expect_status 0
expect_stdout "5 places are mended"
expect_stdout "tea.json: no problem found"
expect_same "$work/tea.json" "$work/after.json"
expect_same "$work/rolls.json" "$work/rolls.after"
expect_same "$work/home.json" "$work/home.before"

it "a second time there is nothing to do"
run check --fix=yes "$work/tea.json"
expect_status 0
expect_quiet_stderr
expect_stdout "no problem found"

it "a byte-order mark and line ends of two bytes stay"
printf '\357\273\277{\r\n  "cooks": 1,,\r\n  "asleep": "22:00-06:00"\r\n}\r\n' >"$work/two.json"
printf '\357\273\277{\r\n  "cooks": 1,\r\n  "asleep": "22:00-06:00"\r\n}\r\n' >"$work/two.after"
run check --fix=yes "$work/two.json"
expect_status 0
expect_stdout "1 place is mended"
expect_same "$work/two.json" "$work/two.after"

it "what is not sure stays, beside what is"
sed 's/"20 min"/"30-20 min"/' "$work/rolls.before" >"$work/rolls.json"
cp "$work/after.json" "$work/tea.json"
run check --fix=yes "$work/tea.json"
expect_status 2
expect_stdout "1 place is mended"
expect_stderr "the range is empty"
expect_match "$work/rolls.json" '"passive": "30-20 min"'
cp "$work/rolls.json" "$work/rolls.half"
run check --fix=yes "$work/tea.json"
expect_status 2
expect_stderr "none of this has one sure mend"
expect_same "$work/rolls.json" "$work/rolls.half"

it "asked on a terminal"
if command -v script >/dev/null 2>&1; then
    for answer in n y; do
        start_anew
        echo "$answer" | script -qec "'$bakeset' check --fix '$work/tea.json'" /dev/null >"$out" 2>"$err"
        expect_stdout "Write them? [y/n]"
        if [ $answer = n ]; then expect_same "$work/tea.json" "$work/before.json"; else expect_same "$work/tea.json" "$work/after.json"; fi
    done
else
    skip "there is no script to make a terminal with"
fi

it "standard input, another word"
run_on "$work/before.json" check --fix=yes -
expect_status 2
expect_stderr "standard input is no file to mend"
run check --fix=perhaps "$work/tea.json"
expect_status 2
expect_stderr 'write --fix, or --fix=yes'
finish

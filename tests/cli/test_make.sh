#!/bin/sh
# More, or fewer, than a recipe was written for.
. tests/cli/lib.sh

plan() { # MAKE GROWS
    cat >"$work/plan.json" <<EOF
{"occasion": "Tea", "timezone": "Europe/London", "serve": "2026-12-06 16:00",
 "dishes": [{"dish": "Buns", "serves": 10, "make": $1, "ingredients": [
   {"item": "flour", "amount": "500 g"}, {"item": "eggs", "amount": "2"}, "1 tsp salt", "a little milk",
   {"item": "raisins", "amount": "100-150 g"}],
  "stages": [{"id": "shape", "do": "Shape the buns", "active": "20-30 min"$2},
             {"id": "rise", "do": "Let them rise", "passive": "1 h"}]}]}
EOF
}

it "amounts are multiplied and read as a cook writes them"
plan 13 ', "grows": 0.5'
run timeline --html="$work/page.html" --json="$work/t.json" "$work/plan.json"
expect_status 0
expect_match "$work/page.html" ">650.*g.*flour"
expect_match "$work/page.html" ">3.*2.6.*by.*sum.*eggs"
expect_match "$work/page.html" ">1.*1/4.*tsp.*salt"
expect_match "$work/page.html" ">130.*195.*raisins"
expect_match "$work/page.html" "a little milk"
expect_quiet_stderr

# 20 and 30 min x (1 + 0.5 x 0.3), rounded up; the hour of rising stays.
it "hands are needed for longer, what goes by itself is not"
expect_match "$work/t.json" '"most_minutes": 35'
expect_match "$work/t.json" '"least_minutes": 23'
expect_match "$work/t.json" '"most_minutes": 60'
expect_stdout "SERVE  Buns, for 13"
python3 tests/cli/check_timeline.py "$work/plan.json" "$work/t.json" >"$work/wrong" 2>&1 && pass ||
    fail "$(cat "$work/wrong")"

it "where nothing says how it grows a warning says so"
plan 20 ""
run timeline "$work/plan.json"
expect_status 0
expect_stdout "the dish \"Buns\" is made for 20 in place of 10, and all its steps are planned"

it "for fewer"
plan 5 ', "grows": 1'
run timeline --html="$work/page.html" "$work/plan.json"
expect_status 0
expect_match "$work/page.html" ">1/2.*tsp.*salt"
expect_match "$work/page.html" ">250.*g.*flour"

it "for as many as it was written for the amounts stay as they were written"
plan 10 ""
sed -i 's/"500 g"/"333 g"/; s/1 tsp/1\/8 tsp/' "$work/plan.json"
run timeline --html="$work/page.html" "$work/plan.json"
expect_match "$work/page.html" ">333.*g.*flour"
expect_match "$work/page.html" ">1/8.*tsp.*salt"

finish

#!/bin/sh
# A torte written for a tin of 20 cm, made in one of 26 cm.
. tests/cli/lib.sh

plan() { # TINS
    cat >"$work/plan.json" <<END
{"occasion": "Tea", "timezone": "Europe/London", "serve": "2026-12-06 16:00",
 "kitchen": {"pace": 1.1, "equipment": {"oven": {"kind": "oven"}, "fridge": {"kind": "cold"}}},
 "dishes": [{"dish": "Torte", "serves": 10, $1
  "ingredients": [{"item": "eggs", "amount": "3"}, "90 g sugar", "1/2 tsp salt"],
  "stages": [
   {"id": "mix", "do": "Mix", "active": "20 min", "grows": 0.5},
   {"id": "bake", "do": "Bake it", "passive": "30-45 min", "uses": {"oven": {"at": "180 C"}}},
   {"id": "chill", "do": "Chill it",
    "cooling": {"shape": "round", "food": "custard", "from": "40 C", "to": "8 C", "in": "fridge"}}]}]}
END
}
agrees() {
    run timeline --json="$work/t.json" --html="$work/page.html" "$work/plan.json"
    expect_status 0
    python3 tests/cli/check_timeline.py "$work/plan.json" "$work/t.json" >"$work/wrong" 2>&1 && pass ||
        fail "$(cat "$work/wrong")"
}
chilled() {
    python3 -c 'import json, sys
print([s["likely_minutes"] for s in json.load(open(sys.argv[1]))["stages"] if s["stage"] == "chill"][0])' "$work/t.json"
}

it "as it was written"
plan '"tin": {"shape": "round", "across": "20 cm", "deep": "5 cm"},'
agrees
expect_not_stdout "CAUTION"
small=$(chilled)

# Areas as 26^2 to 20^2, 1.69: 5.07 eggs, 152 g, 3/4 to 1 tsp; 20 min x 1.1 x (1 + 0.5 x 0.69)
# = 29.59, rounded up once.
it "amounts and hands by the areas, rounded once"
plan '"tin": {"shape": "round", "across": "20 cm", "deep": "5 cm"}, "into": {"across": "26 cm"},'
agrees
expect_stdout "30 min hands on"
expect_stdout "SERVE  Torte, for 17"
expect_match "$work/page.html" ">5 (5.1 by the sum)<.*eggs\|5.*5.1.*by.*sum.*eggs"
expect_match "$work/page.html" ">152.*g.*sugar"
expect_match "$work/page.html" ">3/4.*tsp.*salt"

# ((4.81/0.20)^2 + (pi/0.05)^2) / ((4.81/0.26)^2 + (pi/0.05)^2) = 4526/4290 = 1.055: 31.7 to 47.5 min.
it "the oven's time is said not to hold, and the look is later"
expect_stdout "CAUTION: The time is that of the tin it was written for (round,"
expect_stdout "32-48 min"
expect_match "$work/t.json" '"least_minutes": 30'
tr -s ' \n' ' ' <"$out" | grep -q "04:55 IN .*05:27 CHECK\|IN Bake it.*CHECK May be ready" && pass || fail "no look"

it "what cools in it takes longer"
[ "$(chilled)" -gt "$small" ] && pass || fail "$(chilled) min, and $small before"

it "shallower: the look is sooner"
plan '"tin": {"shape": "round", "across": "20 cm", "deep": "5 cm"}, "into": {"across": "26 cm", "deep": "3 cm"},'
agrees
expect_stdout "23 min hands on" # 20 x 1.1 x (1 + 0.5 x 0.014) = 22.15
[ "$(chilled)" -lt "$small" ] && pass || fail "$(chilled) min, and $small before"

it "a square tin, in inches, and no depth: look a tenth sooner"
plan '"tin": {"across": "8 in"}, "into": {"shape": "square", "across": "8 in"},'
sed -i 's/"food"/"across": "8 in", "deep": "2 in", "food"/' "$work/plan.json"
agrees
expect_stdout "(square, 8"
expect_stdout "look sooner"
expect_stdout 'the cooling of the stage "chill" has a size of its own'

it "with make both count, which is remarked on"
plan '"make": 20, "tin": {"across": "20 cm", "deep": "5 cm"}, "into": {"across": "26 cm"},'
agrees
tr -s ' \n' ' ' <"$out" | grep -q 'multiplied by "make" (2) and by the tin (1.69)' && pass || fail "not said"

it "no word of what grows"
plan '"tin": {"across": "20 cm", "deep": "5 cm"}, "into": {"across": "26 cm"},'
sed -i 's/, "grows": 0.5//' "$work/plan.json"
run timeline "$work/plan.json"
tr -s ' \n' ' ' <"$out" | grep -q 'made in another tin (round, 26 cm across in place of round, 20 cm across' && pass || fail "not said"

finish

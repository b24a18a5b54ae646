#!/bin/sh
# bakeset tidy: a file laid out in one way, to standard output or in place.
. tests/cli/lib.sh

cat >"$work/supper.json" <<'PLAN'
// Ours
{"occasion": "Supper","timezone":"Europe/London",  // London time
"serve" : "2026-12-24 19:30",


"dishes":[{"dish":"Rolls","stages":[
 {"id":"shape","do":"Shape the rolls and lay them on the tray","active":"10-15 min"},
 // the long one
 {"id":"prove","do":"Let the rolls prove until they have doubled in size","passive":"50-60 min","begins":"itself",
  "after":"shape"}]}]}
PLAN
cat >"$work/expected.json" <<'PLAN'
// Ours
{
  "occasion": "Supper",
  "timezone": "Europe/London",  // London time
  "serve": "2026-12-24 19:30",

  "dishes": [
    {
      "dish": "Rolls",
      "stages": [
        {"id": "shape", "do": "Shape the rolls and lay them on the tray", "active": "10-15 min"},
        // the long one
        {"id": "prove", "do": "Let the rolls prove until they have doubled in size",
         "passive": "50-60 min", "begins": "itself", "after": "shape"}
      ]
    }
  ]
}
PLAN

it "to standard output, and the file stays"
cp "$work/supper.json" "$work/before.json"
run tidy "$work/supper.json"
expect_status 0
expect_quiet_stderr
expect_same "$out" "$work/expected.json"
expect_same "$work/supper.json" "$work/before.json"

it "from standard input"
run_on "$work/supper.json" tidy -
expect_status 0
expect_same "$out" "$work/expected.json"

it "in place; a second time the file is not touched"
run tidy --in-place "$work/supper.json"
expect_status 0
expect_stdout "supper.json is laid out anew"
expect_same "$work/supper.json" "$work/expected.json"
ln "$work/supper.json" "$work/same-file.json"
run tidy --in-place "$work/supper.json"
expect_status 0
expect_stdout "supper.json is tidy already"
if [ "$work/supper.json" -ef "$work/same-file.json" ]; then pass; else fail "the file was replaced"; fi

it "every demonstration plan gives the same timeline before and after"
cp -r plans "$work/plans"
for file in "$work"/plans/*.json "$work"/plans/*/*.json; do
    run tidy --in-place "$file"
    expect_status 0
    cp "$file" "$work/once.json"
    run tidy "$file"
    expect_same "$out" "$work/once.json"
done
for plan in sunday-roast rolls-for-the-hall; do
    run timeline "plans/$plan.json"
    cp "$out" "$work/timeline.json"
    run timeline "$work/plans/$plan.json"
    expect_same "$out" "$work/timeline.json"
done

it "what is no JSON as a plan file is stays as it is, and the place is told"
printf '{"occasion": "Supper",\n "occasion": "Tea",}\n' >"$work/bad.json"
cp "$work/bad.json" "$work/bad.before"
run tidy --in-place "$work/bad.json"
expect_status 2
expect_quiet_stdout
expect_stderr "bad.json:2:2: the key \"occasion\" is given twice"
expect_same "$work/bad.json" "$work/bad.before"

it "a file that is not there, and standard input in place"
run tidy "$work/none.json"
expect_status 3
expect_stderr "none.json: no such file"
run_on "$work/supper.json" tidy --in-place -
expect_status 2
expect_stderr "leave --in-place out"
finish

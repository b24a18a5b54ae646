#!/bin/sh
# Batches: more than fits the trays and the oven at once.
. tests/cli/lib.sh

cat >"$work/rolls.json" <<EOF
{"occasion": "Tea", "timezone": "Europe/London", "serve": "2026-12-06 16:00",
 "kitchen": {"equipment": {"oven": {"kind": "oven", "shelves": 2}, "tray": {"count": 2}}},
 "dishes": [{"dish": "Rolls", "batches": {"count": 4, "stages": ["shape", "bake", "lift"]},
  "stages": [
   {"id": "dough", "do": "Make the dough", "active": "20 min"},
   {"id": "shape", "do": "Shape a tray of rolls", "active": "10 min", "holds": {"tray": {"until": "lift"}}},
   {"id": "bake", "do": "Bake", "passive": "15 min", "uses": {"oven": {"at": "200 C"}}},
   {"id": "lift", "do": "Lift off the tray", "active": "2 min", "after": {"stage": "bake", "within": "5 min"}},
   {"id": "pile", "do": "Pile into a basket", "active": "3 min"}]}]}
EOF

# Worked by hand, back from 16:00: piling 3 min, the last lifted 15:55 and shaped 15:30
# at the latest; for it a tray is free when the second is lifted, 15:28 to 15:30, so the
# second comes out by 15:28 and is shaped by 15:13; while the third is shaped from 15:18
# the first has been lifted (15:16 to 15:18), in by 15:01, shaped from 14:51.
it "four trays on two shelves with two trays to hand"
run timeline "$work/rolls.json"
expect_status 0
expect_stdout "START BY  Sunday 6 December, 14:31"
expect_stdout "14:51  DO     Shape a tray of rolls (batch 1 of 4)"
expect_stdout "15:30  DO     Shape a tray of rolls (batch 4 of 4)"
expect_stdout "15:55  DO     Lift off the tray (batch 4 of 4)"
expect_stdout "16:00  SERVE  Rolls"

it "they come in order, and each is a stage of its own"
run timeline --json="$work/t.json" --ics "$work/t.ics" "$work/rolls.json"
expect_status 0
expect_match "$work/t.json" '"stage": "bake#4"'
expect_match "$work/t.ics" "batch 3 of 4"
python3 tests/cli/check_timeline.py "$work/rolls.json" "$work/t.json" >"$work/wrong" 2>&1 && pass ||
    fail "$(cat "$work/wrong")"

it "one tray too few says what would help"
sed 's/"tray": {"count": 2}/"tray": {}/; s/"serve": "2026-12-06 16:00"/&, "earliest": "2026-12-06 14:30"/' "$work/rolls.json" >"$work/one.json"
run why "$work/one.json"
expect_status 1
expect_stdout "tray: have one more of it"

finish

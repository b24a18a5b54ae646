#!/bin/sh
# A baked custard torte and a meringue that cool in the oven, switched off, with the door ajar.
. tests/cli/lib.sh

cat >"$work/torte.json" <<'END'
{"occasion": "Supper", "timezone": "Europe/London", "serve": "2026-12-05 19:00",
 "kitchen": {"asleep": "22:30-07:00", "equipment": {"oven": {"kind": "oven"}, "fridge": {"kind": "cold"}}},
 "dishes": [{"dish": "Baked custard torte", "stages": [
  {"id": "mix", "do": "Stir it smooth", "active": "15 min"},
  {"id": "bake", "do": "Bake it", "passive": "50-60 min", "uses": {"oven": {"at": "160 C"}},
   "after": {"stage": "mix", "within": "15 min"}, "look": "Does the middle tremble?"},
  {"id": "ajar", "do": "Leave it in the oven, door ajar", "passive": "1 h", "uses": {"oven": {"at": "off"}},
   "after": {"stage": "bake", "within": "0 min"}},
  {"id": "chill", "do": "Chill it", "passive": "6 h", "uses": {"fridge": 1},
   "after": {"stage": "ajar", "within": "10 min"}}]}]}
END

# Back from 19:00: in the fridge by 13:00, the oven off at 12:00, in at 11:00, on at 10:45.
it "the oven goes off when the door is opened, not an hour later"
run timeline --ics="$work/t.ics" --json="$work/t.json" "$work/torte.json"
expect_status 0
expect_stdout "10:45  OVEN   Turn the oven on, to 160 °C; hot at 11:00"
expect_stdout "11:50  CHECK  Does the middle tremble?"
expect_stdout "12:00  OVEN   Turn the oven off. Leave it in the oven, door ajar"
expect_stdout "in the oven, switched off, for 1 h, until"
expect_stdout "13:00  OUT    Baked custard torte: out of the oven"
expect_not_stdout "12:00  OUT"
python3 tests/cli/check_timeline.py "$work/torte.json" "$work/t.json" >"$work/wrong" 2>&1 && pass ||
    fail "$(cat "$work/wrong")"
off() { sed -n 's/.*"off": "\([^"]*\)".*/\1/p' "$1"; }
[ "$(off "$work/t.json")" = "2026-12-05T12:00:00+00:00" ] && pass || fail "off at $(off "$work/t.json")"

# An event: its start, its words and an alarm at that minute.
rings() { # TIME WORDS
    tr -d '\r' <"$work/t.ics" | awk -v at="DTSTART:20261205T$1Z" -v words="$2" '
        /^BEGIN:VEVENT/ { start = said = alarm = 0 }
        index($0, at) { start = 1 }
        index($0, words) { said = 1 }
        /^BEGIN:VALARM/ { alarm = 1 }
        /^END:VEVENT/ && start && said && alarm { found = 1 }
        END { exit !found }' && pass || fail "no alarm at $1 that says $2"
}
it "the phone rings when it goes off, and when the torte comes out"
rings 120000 "Turn off"
rings 130000 "Take out"
rings 115000 "tremble"

it "the meringue of tomorrow does not keep the oven from the bread of today"
cat >"$work/meringue.json" <<'END'
{"occasion": "Tea", "timezone": "Europe/London", "serve": "2026-12-05 16:00",
 "kitchen": {"equipment": {"oven": {"kind": "oven"}}},
 "dishes": [
  {"dish": "Meringue", "stages": [
   {"id": "whisk", "do": "Whisk it", "active": "20 min"},
   {"id": "dry", "do": "Dry it", "passive": "75-90 min", "uses": {"oven": {"at": "100 C"}}, "after": {"stage": "whisk", "within": "10 min"}},
   {"id": "cool", "do": "Leave it in the oven, door ajar", "passive": "2 h", "uses": {"oven": {"at": "off"}}, "after": {"stage": "dry", "within": "0 min"}}]},
  {"dish": "Bread", "keeps": "1 h", "stages": [
   {"id": "bake", "do": "Bake the bread", "passive": "40 min", "uses": {"oven": {"at": "220 C"}}}]}]}
END
# The bread in at 15:20, hot from cold from 15:05; the meringue out by then, off at 13:05, in at 11:35.
run timeline --ics="$work/t.ics" --json="$work/t.json" "$work/meringue.json"
expect_status 0
expect_stdout "13:05  OVEN   Turn the oven off"
expect_stdout "15:05  OVEN   Turn the oven on, to 220 °C; hot at 15:20"
rings 130500 "Turn off"
rings 150500 "Turn on"
python3 tests/cli/check_timeline.py "$work/meringue.json" "$work/t.json" >"$work/wrong" 2>&1 && pass ||
    fail "$(cat "$work/wrong")"

finish

#!/bin/sh
# Text for a terminal: a line a step, and nothing that a terminal without UTF-8 cannot show.
. tests/cli/lib.sh

longest_line() {
    awk '{ if (length($0) > most) most = length($0) } END { print most + 0 }' "$1"
}

expect_no_wider() { # COLUMNS
    most=$(longest_line "$out")
    if [ "$most" -le "$1" ]; then pass; else fail "a line of $most columns, more than $1"; fi
}

expect_ascii() {
    if LC_ALL=C grep -q '[^ -~]' "$out"; then
        fail "not ASCII: $(LC_ALL=C grep -m 1 '[^ -~]' "$out")"
    else
        pass
    fi
}

it "a line a step fits 40 columns"
run_as LC_ALL=C timeline --short plans/friday-supper.json
expect_status 0
expect_no_wider 40
expect_stdout "START BY Thu 3 Dec 20:50"
expect_stdout "20:50 DO     Butter the springform..."
expect_stdout "22:30 sleep  Asleep until Fri 06:30"
it "a step that has a caution is marked"
expect_stdout "22:10 DO    !Boil juice and sugar..."
expect_stdout "! CAUTION: without --short it says why"
it "each movement has one line, each dish at table too"
# 22 stages, 2 of them and 2 times off below what comes out of the oven; 2 times out, 2 on, 3 looks,
# asleep and away, and once to the table, for three dishes.
if [ "$(grep -c '^[0-9][0-9]:' "$out")" -eq 30 ] && [ "$(grep -c '^             ' "$out")" -eq 6 ]; then
    pass
else
    fail "$(grep -c '^[0-9][0-9]:' "$out") lines with an hour"
fi
it "the heat of an oven is in its line, however narrow"
run timeline --short plans/sunday-roast.json
expect_match "$out" '^06:57 OVEN   oven on, 100 °C fan$'
expect_match "$out" '^08:42 OVEN   oven off$'
expect_match "$out" '^12:27 OVEN   oven up to 200 °C fan$'
it "wider where it may be"
run timeline --short --width 70 plans/friday-supper.json
expect_stdout "20:50 DO     Butter the springform tin and line it with paper"
expect_no_wider 70
it "a plan that cannot be met has no short form"
run timeline --short plans/impossible-supper.json
expect_status 1
expect_stdout "This plan can't be met."

cat >"$work/cream.json" <<'END'
{"occasion": "Noël", "timezone": "Europe/Paris", "serve": "2026-12-24 19:00",
 "kitchen": {"equipment": {"oven": {"kind": "oven", "fan": true}}},
 "dishes": [{"dish": "Crème", "stages": [
  {"id": "beat", "do": "Beat 1½ egg… ½ cup… ¼ litre… ½ spoon… ½ pinch… ¾", "active": "10 min"},
  {"id": "bake", "do": "Bake", "passive": "30 min", "uses": {"oven": {"at": "180 C"}}}]}]}
END
for locale in LC_ALL=C LC_CTYPE=POSIX LANG=en_GB.ISO-8859-1 "LC_ALL=C LANG=en_GB.UTF-8"; do
    it "ASCII with $locale"
    run_as "$locale" timeline plans/sunday-roast.json
    expect_status 0
    expect_ascii
    expect_no_wider 80
    expect_stdout " C fan; hot at"
    run_as "$locale" timeline --short plans/sunday-roast.json
    expect_ascii
    run_as "$locale" why plans/sunday-roast.json
    expect_ascii
    run_as "$locale" day --now "2026-12-24 18:10" "$work/cream.json"
    expect_status 0
    expect_ascii
    expect_no_wider 60
    expect_stdout "Noel"
    expect_stdout "Beat 1 1/2 egg... 1/2 cup... 1/4 litre..."
    expect_stdout " C fan; hot at"
    run_as "$locale" cooling --shape round --across "20 cm" --deep "6 cm" --food custard --from "15 C" --to "6 C"
    expect_ascii
done
for locale in LC_ALL=C.UTF-8 LANG=de_DE.utf8 "LC_ALL= LC_CTYPE=en_GB.UTF-8 LANG=C" LANG=; do
    it "UTF-8 with $locale"
    run_as "$locale" timeline plans/sunday-roast.json
    expect_stdout " °C fan; hot at"
    run_as "$locale" day --now "2026-12-24 18:10" "$work/cream.json"
    expect_stdout " °C fan; hot at"
    expect_stdout "Noël"
done
it "a file is what it is in any locale"
run_as LC_ALL=C timeline --json="$work/c.json" --html "$work/c.html" plans/sunday-roast.json
run_as LC_ALL=C.UTF-8 timeline --json="$work/u.json" --html "$work/u.html" plans/sunday-roast.json
expect_same "$work/c.json" "$work/u.json"
expect_same "$work/c.html" "$work/u.html"

finish

#!/bin/sh
# The picture in characters: bakeset timeline --chart.
. tests/cli/lib.sh

# ASCII, but where a locale is named below.
LC_ALL=C
export LC_ALL

# no_wider COLUMNS: of standard output, in characters (the plans here have none that are wide).
no_wider() {
    widest=$(LC_ALL=C.UTF-8 awk '{ if (length($0) > most) most = length($0) } END { print most + 0 }' "$out")
    if [ "$widest" -le "$1" ] && [ "$widest" -gt 40 ]; then pass; else fail "a line of $widest columns, not $1"; fi
}

it "the chart in place of the text, ASCII in a locale without UTF-8"
run timeline --chart plans/friday-supper.json
expect_status 0
expect_quiet_stderr
expect_stdout "START BY Thursday 3 December, 20:50"
expect_stdout "Serve 19:30|"
expect_stdout "3 places"
expect_stdout "# hands on"
expect_not_stdout "The best possible"
no_wider 80
if LC_ALL=C grep -q '[^ -~]' "$out"; then fail "letters beyond ASCII"; else pass; fi
cp "$out" "$work/ascii"

it "a locale says which letters there are, the first that is set"
for locale in C.UTF-8 en_GB.utf8; do
    (LC_ALL=$locale && LANG=C && export LC_ALL LANG && "$bakeset" timeline --chart plans/friday-supper.json >"$work/utf8")
    if grep -q '█ hands on' "$work/utf8"; then pass; else fail "no letters of $locale"; fi
done
(LC_ALL=C && LANG=C.UTF-8 && export LC_ALL LANG && "$bakeset" timeline --chart plans/friday-supper.json >"$work/c")
expect_same "$work/c" "$work/ascii"

it "no narrower than 80 columns, wider where there is room"
run timeline --chart --width 40 plans/friday-supper.json
expect_status 0
expect_same "$out" "$work/ascii"
run timeline --chart --width 120 plans/winter-holiday.json
expect_status 0
no_wider 120

it "in winter the fridge is full: every line of it is taken at 03:00 on Thursday"
run timeline --chart plans/winter-holiday.json
taken=$(awk '/^fridge/ { n = 5 } n > 0 { n--; if ($0 ~ />$/) k++ } /^Bench/ { exit } END { print k + 0 }' "$out")
if [ "$taken" -eq 5 ]; then pass; else fail "$taken lines of 5 go on over the night's end"; fi

it "the chart and the JSON do not both go to standard output"
run timeline --chart --json plans/friday-supper.json
expect_status 2
expect_stderr "--json=FILE"
run timeline --chart --json="$work/t.json" plans/friday-supper.json
expect_status 0
expect_same "$out" "$work/ascii"
expect_json "$work/t.json"

it "an impossible plan says why, chart or not"
run timeline plans/impossible-supper.json
cp "$out" "$work/why"
run timeline --chart plans/impossible-supper.json
expect_status 1
expect_same "$out" "$work/why"

finish

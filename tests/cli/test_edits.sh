#!/bin/sh
# What would help an impossible plan, as edits of its files: tests/cli/edits.py makes them, and the
# plan is then possible.
. tests/cli/lib.sh

# edits "WHAT TO TRY" KIND...: the program; of each kind of change one at least has been tried.
edits() {
    what=$1
    shift
    ran="edits.py $what"
    # Word splitting of $what is meant.
    # shellcheck disable=SC2086
    if PYTHONDONTWRITEBYTECODE=1 python3 tests/cli/edits.py "$bakeset" "$work" $what >"$out" 2>"$err"; then
        pass
    else
        fail "$(grep -m 1 FAULT "$out")"
    fi
    for kind in "$@"; do
        expect_match "$out" "^$kind: [1-9]"
    done
}

cp tests/data/cli/edits/*.json "$work"
it "each kind of change"
edits "$(ls "$work"/*.json | tr '\n' ' ')" at_table begins cook dish equipment keeps margin range serve together \
    when window within
it "random plans, the kitchen and a recipe in files of their own or not"
edits "1 120" cook dish range serve window
edits "201 260" dish serve together window

it "of the plan's own file and of the file that it names"
mkdir "$work/kitchens"
echo '{"asleep": "22:30-07:30"}' >"$work/kitchens/home.json"
sed 's|"kitchen": {.*},|"kitchen": "kitchens/home.json",|' tests/data/cli/edits/night.json >"$work/night.json"
run timeline --json "$work/night.json"
expect_status 1
expect_stdout '"change": "window"'
expect_stdout "\"file\": \"$work/kitchens/home.json\""
expect_stdout '"path": "/asleep"'
expect_stdout '"time": "23:00-07:30"'
expect_stdout "\"file\": \"$work/night.json\""
expect_stdout '"value": "2026-12-24 09:30"'

it "none for a serve that the command line moved"
run timeline --json --serve "+5 min" "$work/night.json"
expect_status 1
expect_not_stdout '"path": "/serve"'
expect_stdout '"time": "23:00-07:30"'

it "none for what stands in a calendar, or comes every week"
printf 'BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20260101T000000Z\r\nDTSTART:20261224T103000Z\r\nDTEND:20261224T183000Z\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n' >"$work/mine.ics"
sed 's|"away": .*, "busy".*|"away": "mine.ics"},|' tests/data/cli/edits/away.json >"$work/away.json"
run timeline --json "$work/away.json"
expect_status 1
if [ "$(grep -c '"op":' "$out")" -eq 1 ]; then pass; else fail "not one edit: the serve's"; fi
sed 's|"away": .*, "busy".*|"away": {"days": "thu", "time": "10:30-18:30"}},|' tests/data/cli/edits/away.json >"$work/away.json"
run timeline --json "$work/away.json"
expect_status 1
if [ "$(grep -c '"op":' "$out")" -eq 1 ]; then pass; else fail "not one edit: the serve's"; fi

finish

#!/bin/sh
# The demonstration plans give proven timelines, without a breach and with true slack.
. tests/cli/lib.sh

for plan in friday-supper sunday-roast winter-holiday rolls-for-the-hall birthday-tea; do
    it "$plan"
    run check plans/$plan.json
    expect_status 0
    expect_quiet_stderr

    run timeline --json="$work/$plan.json" --ics "$work/$plan.ics" --svg "$work/$plan.svg" \
        --html "$work/$plan.html" plans/$plan.json
    expect_status 0
    expect_json "$work/$plan.json"
    expect_match "$work/$plan.json" '"format": "bakeset-timeline-1"'
    expect_match "$work/$plan.json" '"status": "optimal"'
    expect_match "$work/$plan.json" '"complete": true'
    expect_match "$work/$plan.ics" '^BEGIN:VALARM'
    expect_match "$work/$plan.svg" '<svg'
    expect_match "$work/$plan.html" '<html'
    it "$plan, checked by the text of the plan format alone"
    if command -v python3 >/dev/null 2>&1; then
        if python3 tests/cli/check_timeline.py plans/$plan.json "$work/$plan.json" >"$work/breaches" 2>&1; then
            pass
        else
            fail "$(cat "$work/breaches")"
        fi
        it "$plan, each stage moved by its slack, and by a minute more"
        if python3 tests/cli/slack.py plans/$plan.json "$work/$plan.json" >"$work/breaches" 2>&1; then
            pass
        else
            fail "$(cat "$work/breaches")"
        fi
    else
        skip "no python3"
    fi
done

it "the torte is begun on the evening before"
run timeline plans/friday-supper.json
expect_stdout "Thursday 3 December 2026"
expect_stdout "Friday 4 December 2026"
expect_stdout "Hot sugar sticks and burns"

it "a part for two dishes, and a torte in a bigger tin that cools in the oven"
run timeline --html="$work/birthday.html" plans/birthday-tea.json
expect_stdout "Simmer blackcurrants and sugar"
expect_not_stdout "SERVE  Blackcurrant compote"
expect_stdout "in the oven, switched off, for 1 h"
expect_stdout "CAUTION: The time is that of the tin it was written for"
expect_match "$work/birthday.html" "845.*g.*soft.*cheese" # 500 g x 1.69

it "hours from a calendar, a cooling time from a dish"
run timeline --json="$work/tea.json" plans/wednesday-tea.json
expect_status 0
expect_stdout "Nobody at home until 17:30 (Work"
expect_match "$work/tea.json" '"status": "optimal"'
run timeline --serve "2026-12-07 19:00" plans/wednesday-tea.json
expect_status 0
expect_not_stdout "Nobody at home" # the calendar has that Monday off

it "the fridge is what holds the holiday menu up: a roomier one changes the timeline"
mkdir -p "$work/kitchens"
cp -r plans/recipes plans/winter-holiday.json "$work"
sed 's/"places": [0-9]*/"places": 12/' plans/kitchens/holiday.json >"$work/kitchens/holiday.json"
run timeline --json="$work/roomy.json" "$work/winter-holiday.json"
expect_status 0
first() { sed -n 's/^ *"'"$2"'": "*\([^",]*\)"*,*$/\1/p' "$1" | head -n 1; }
cramped=$(first "$work/winter-holiday.json" first_start)/$(first "$work/winter-holiday.json" waiting_minutes)
roomy=$(first "$work/roomy.json" first_start)/$(first "$work/roomy.json" waiting_minutes)
if [ "$cramped" != "$roomy" ]; then pass; else fail "the objective is $roomy with a fridge twice the size"; fi

it "the impossible supper: the JSON tells why, and no timeline is written"
mkdir "$work/box"
run timeline --json="$work/box/t.json" --ics "$work/box/t.ics" --svg "$work/box/t.svg" \
    --html "$work/box/t.html" plans/impossible-supper.json
expect_status 1
expect_only t.json
expect_json "$work/box/t.json"
expect_match "$work/box/t.json" '"status": "impossible"'
expect_stdout "can't be met"
expect_stdout "Blackcurrant mousse torte"

finish

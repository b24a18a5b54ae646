#!/bin/sh
# Calendars as a cook gives them: hours read from an .ics, and the .ics written and replaced.
. tests/cli/lib.sh
data=tests/data/calendar
mkdir "$work/box"

# with_calendar SED-EXPRESSION: the plan beside a changed calendar, in $work/box.
with_calendar() {
    cp $data/supper.json "$work/box/supper.json"
    sed "$1" $data/lessons.ics >"$work/box/lessons.ics"
}

it "a lesson in the calendar pushes a step, and the timeline says so"
run timeline $data/supper.json
expect_status 0
expect_quiet_stderr
expect_stdout "17:15  DO     Knead the dough"
expect_stdout "Hands not free until 18:30 (Piano lesson, Ann)"
expect_stdout "(Piano lesson,"
run timeline tests/data/publish/supper.json
expect_stdout "18:00  DO     Knead the dough"

it "an event that is free, cancelled, or moved away does not"
for change in 's/UID:1/&\nTRANSP:TRANSPARENT/' 's/UID:1/&\nSTATUS:CANCELLED/' \
    's/UID:2/UID:1\nRECURRENCE-ID;TZID=Europe\/Berlin:20261218T183000/' \
    's/RRULE.*/&\nEXDATE;TZID=Europe\/Berlin:20261218T183000/'; do
    with_calendar "$change"
    run timeline "$work/box/supper.json"
    expect_status 0
    expect_stdout "18:00  DO     Knead the dough"
done

it "an unknown zone is an error that names the event"
with_calendar 's/Europe\/Berlin/Europe\/Berlyn/'
run timeline --ics "$work/box/out.ics" "$work/box/supper.json"
expect_status 2
expect_stderr 'lessons.ics:7:1: event "Piano lesson, Ann": unknown time zone "Europe/Berlyn"'
expect_quiet_stdout
expect_no_file "$work/box/out.ics"

it "a date that does not exist, a rule without end, a file that is none"
with_calendar 's/20261218T183000/20261318T183000/'
run check "$work/box/supper.json"
expect_status 2
expect_stderr "no such date or time"
with_calendar 's/FREQ=DAILY;COUNT=3/FREQ=SECONDLY/'
run check "$work/box/supper.json"
expect_status 2
expect_stderr "more than 10000 busy times"
with_calendar 's/^END:VCALENDAR.*//'
run check "$work/box/supper.json"
expect_status 2
expect_stderr "breaks off"
rm "$work/box/lessons.ics"
run check "$work/box/supper.json"
expect_status 2
expect_stderr "lessons.ics"

# -------------------------------------------------------------------- written

plan=tests/data/publish/supper.json
events() { grep -c '^BEGIN:VEVENT' "$1"; }
alarms() { grep -c '^BEGIN:VALARM' "$1"; }

it "one alarm for each event that needs somebody"
run timeline --ics "$work/a.ics" $plan
expect_status 0
[ "$(events "$work/a.ics")" = 11 ] && [ "$(alarms "$work/a.ics")" = 5 ] && pass || fail "11 events, 5 alarms"
run timeline --ics "$work/b.ics" --only-alarms --alarm-before 10 $plan
[ "$(events "$work/b.ics")" = 5 ] && [ "$(grep -c 'TRIGGER:-PT10M' "$work/b.ics")" = 4 ] &&
    [ "$(grep -c 'TRIGGER:PT0S' "$work/b.ics")" = 1 ] && pass ||
    fail "4 events that ring 10 minutes before, and at its minute what comes out of the oven"

it "a summary fits a phone's first line, and the description has the rest"
run timeline --ics "$work/c.ics" plans/friday-supper.json
tr -d '\r' <"$work/c.ics" | sed -e ':a' -e 'N' -e '$!ba' -e 's/\n //g' >"$work/c.txt"
long=$(sed -n 's/^SUMMARY://p' "$work/c.txt" | python3 -c "import sys; print(sum(len(l.rstrip('\n').replace('\\\\', '')) > 44 for l in sys.stdin))")
if [ "$long" -eq 0 ]; then pass; else fail "$long summaries are long"; fi
cp "$work/c.txt" "$out"
expect_stdout "SUMMARY:Turn on the oven to 160 °C fan +1"
expect_stdout "DESCRIPTION:Caution: Contains egg\\, gluten and nuts: tell your guests."
expect_stdout "Whisk eggs and sugar until pale\\, fold in flour and almonds\\, spread in the tin (Blackcurrant mousse torte)"
run timeline --ics "$work/c.ics" --no-summary $plan
[ "$(events "$work/c.ics")" = 10 ] && pass || fail "no all-day event"

it "a calendar replaced by the same is the same"
run timeline --ics "$work/d.ics" --replaces "$work/a.ics" --now="2026-12-17 08:00" $plan
expect_status 0
expect_same "$work/a.ics" "$work/d.ics"

it "what changed gets a higher number, what is gone is cancelled"
sed 's/"id": "prove"/"id": "rise"/; s/"active": "15 min"},/"active": "20 min"},/' $plan >"$work/new.json"
run timeline --ics "$work/e.ics" --replaces "$work/a.ics" --now="2026-12-17 08:00" "$work/new.json"
expect_status 0
expect_match "$work/e.ics" '^STATUS:CANCELLED'
expect_match "$work/e.ics" '^SEQUENCE:1'
expect_match "$work/e.ics" '^SEQUENCE:0'
expect_match "$work/e.ics" '^DTSTAMP:20261217T080000Z'
run timeline --ics "$work/f.ics" --replaces "$work/e.ics" --now="2026-12-17 09:00" "$work/new.json"
expect_same "$work/e.ics" "$work/f.ics"

it "--replaces may be the file that is written"
cp "$work/a.ics" "$work/g.ics"
run timeline --ics "$work/g.ics" --replaces "$work/g.ics" --now="2026-12-17 08:00" "$work/new.json"
expect_status 0
expect_same "$work/e.ics" "$work/g.ics"

it "--replaces that is no calendar writes nothing"
run timeline --ics "$work/box/h.ics" --replaces $plan $plan
expect_status 2
expect_stderr "this is not a calendar"
expect_no_file "$work/box/h.ics"

it "another occasion's calendar is left alone, and said"
sed 's/Winter supper/Spring supper/' $plan >"$work/spring.json"
run timeline --ics "$work/i.ics" --replaces "$work/a.ics" "$work/spring.json"
expect_status 0
expect_stderr "11 events that this occasion did not write"
[ "$(events "$work/i.ics")" = 11 ] && pass || fail "only its own events"

it "the first --replaces finds nothing to replace, and says so"
run timeline --ics "$work/first.ics" --replaces "$work/first.ics" $plan
expect_status 0
expect_stderr "first.ics is not there: nothing is replaced"
it "writing over alarms of the same occasion without --replaces says so"
run timeline --ics "$work/first.ics" $plan
expect_status 0
expect_stderr "first.ics held the alarms of this occasion, and is written anew"
run timeline --ics "$work/first.ics" --replaces "$work/first.ics" $plan
expect_quiet_stderr
it "over those of another occasion it does not"
run timeline --ics "$work/first.ics" plans/friday-supper.json
expect_quiet_stderr

finish

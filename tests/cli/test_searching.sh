#!/bin/sh
# A search that takes its time: a line on a terminal that goes away again, Ctrl-C for the best so
# far, Ctrl-C again for an end at once. tests/cli/on_terminal.py gives the terminal.
. tests/cli/lib.sh

plan=tests/data/cli/long-search.json
escape=$(printf '\033')
erase=$(printf '\r')$escape'\[K'
mkdir "$work/box"

# on_terminal "KEYS" ARGUMENT...: bakeset on a terminal; what came to it is $out and, line by line
# without what was erased, $work/left.
on_terminal() {
    keys=$1
    shift
    ran="bakeset $* (on a terminal, keys $keys)"
    status=0
    TERM=${TERM_OF_TEST:-xterm} python3 tests/cli/on_terminal.py "$out" "$keys" "$bakeset" "$@" || status=$?
    : >"$err"
    sed -e "s/.*$erase//" -e 's/\r$//' "$out" >"$work/left"
}

# checked FILE: an independent reading of the plan format finds nothing wrong with the timeline.
checked() {
    if python3 tests/cli/check_timeline.py "$plan" "$1" >"$work/checked" 2>&1; then
        pass
    else
        fail "check_timeline.py: $(head -1 "$work/checked")"
    fi
}

it "a line tells how far it is, and goes away"
on_terminal "" timeline --short --effort 60000 "$plan"
expect_status 0
expect_match "$out" "${erase}start Thu 24 Dec 07:53, at most [0-9]* interruptions fewer, [0-9]* % (Ctrl-C: take it)"
if grep -q "Ctrl-C" "$work/left"; then fail "the line stayed"; else pass; fi
if [ "$(head -1 "$work/left")" = "A search that takes its time" ]; then pass; else fail "left: $(head -1 "$work/left")"; fi
it "nothing is shown where standard error is no terminal, and the timeline is the same"
run timeline --short --effort 60000 --width 100 --color never "$plan"
expect_status 0
expect_quiet_stderr
cp "$out" "$work/plain"
if sed "s/$escape\[[0-9;]*m//g" "$work/left" | diff - "$work/plain" >"$work/differ"; then
    pass
else
    fail "not what a file gets: $(head -3 "$work/differ")"
fi

it "no line where it is soon over"
on_terminal "" timeline --short plans/friday-supper.json
expect_status 0
if grep -q "$escape\[K" "$out"; then fail "something was shown"; else pass; fi

it "no line on a terminal that cannot erase"
TERM_OF_TEST=dumb
on_terminal "" timeline --short --effort 60000 "$plan"
TERM_OF_TEST=
expect_status 0
expect_not_stdout "Ctrl-C"
if grep -q "$escape" "$out"; then fail "there are escapes in it"; else pass; fi

it "Ctrl-C takes the best so far, verified, and says so"
on_terminal "1.5:^C" timeline --json="$work/box/early.json" --ics "$work/box/early.ics" "$plan"
expect_status 0
expect_match "$work/left" "The best until the search was given up, not proved the best"
expect_match "$work/left" "! the search was given up: this is the best timeline until then"
expect_match "$work/box/early.json" '"status": "feasible"'
expect_match "$work/box/early.json" '"code": "given-up"'
expect_match "$work/box/early.ics" "END:VCALENDAR"
checked "$work/box/early.json"
expect_only early.ics early.json
rm "$work/box"/*

it "Ctrl-C while it looks for the reasons of what it shows"
on_terminal "1.5:^C" why "$plan"
expect_status 0
expect_match "$work/left" "The first step starts on Thursday 24 December"
expect_match "$work/left" "It is not proved that nothing can start later\|It cannot all start later"

it "SIGINT without a terminal likewise"
ran="bakeset timeline --json, SIGINT after 1.5 s"
status=0
timeout --preserve-status -s INT 1.5 "$bakeset" timeline --json "$plan" >"$work/box/now.json" 2>"$err" || status=$?
expect_status 0
expect_stderr "bakeset timeline: the search was given up: this is the best timeline until then"
checked "$work/box/now.json"
rm "$work/box"/*

it "who ignores SIGINT goes on ignoring it"
ran="bakeset timeline, SIGINT ignored"
status=0
"$bakeset" timeline --json --effort 30000 "$plan" >"$out" 2>"$err" & # & has it ignored: POSIX, 2.11
sleep 0.5
kill -INT $!
wait $! || status=$?
expect_status 0
expect_quiet_stderr
expect_not_stdout "given-up"

it "Ctrl-C again ends it at once, and leaves nothing half written"
# The page goes into a pipe that is never read empty: the command waits there, the JSON's temporary
# written.
mkfifo "$work/pipe"
sleep 60 <"$work/pipe" &
reader=$!
on_terminal "1.5:^C 3:^C" timeline --json="$work/box/half.json" --html "$work/pipe" "$plan"
kill "$reader"
if [ "$status" -ne 0 ]; then pass; else fail "it went on"; fi
expect_only

it "Ctrl-C twice where nothing listens ends it"
awk 'BEGIN {
    print "{\"occasion\": \"Chain\", \"timezone\": \"Europe/London\", \"serve\": \"2026-12-24 19:00\", \"earliest\": \"2026-12-08 08:00\","
    print " \"kitchen\": {\"asleep\": \"22:30-06:30\"}, \"dishes\": [{\"dish\": \"Chain\", \"stages\": ["
    for (i = 0; i < 20000; i++)
        printf "  {\"id\": \"s%d\", \"do\": \"Wait\", \"passive\": \"1 min\"}%s\n", i, i < 19999 ? "," : ""
    print " ]}]}"
}' </dev/null >"$work/chain.json"
on_terminal "0.6:^C 0.9:^C" timeline --json="$work/box/chain.json" "$work/chain.json"
expect_status 130
expect_only

finish

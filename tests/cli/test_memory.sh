#!/bin/sh
# The n-th request for memory finds none, for every n of every command: no crash; exit status 3 and a
# message, or all as it would have been; never a part of it.
. tests/cli/lib.sh

it "memory that runs out"
if ! command -v cc >/dev/null 2>&1 || grep -q __asan_init "$bakeset" ||
    ! cc -std=c11 -O1 -fPIC -shared tests/faults/memory.c -o "$work/memory.so" 2>"$work/cc.log"; then
    skip "no compiler, or a program that has an allocator of its own"
    finish
fi

printf '{"occasion": "Tea", "timezone": "Europe/London", "serve": "2026-12-18 16:00", "kitchen": {"busy": ["busy.ics"]}, "dishes": [{"dish": "Rolls", "stages": [{"id": "knead", "do": "Knead", "active": "5 min"}, {"id": "prove", "do": "Prove", "passive": "1 h", "after": "knead"}]}]}' \
    >"$work/plan.json"
printf 'BEGIN:VCALENDAR\r\nVERSION:2.0\r\nBEGIN:VEVENT\r\nUID:1\r\nDTSTART;TZID=Europe/Berlin:20261216T120000\r\nDURATION:PT30M\r\nRRULE:FREQ=DAILY;COUNT=3\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n' \
    >"$work/busy.ics"
"$bakeset" timeline --ics "$work/old.ics" "$work/plan.json" >/dev/null 2>&1
sed 's/16:00/16:30/' "$work/plan.json" >"$work/later.json"

step=1
# sweep NAME OUTPUT ARGUMENT...: OUTPUT is the file that is written, or "".
sweep() {
    name=$1
    file=$2
    shift 2
    it "memory that runs out in $name"
    rm -f "$file"
    ran="bakeset $*"
    LD_PRELOAD=$work/memory.so BAKESET_MEMORY_LOG=$work/log "$bakeset" "$@" >"$work/whole" 2>"$work/whole-err"
    whole=$?
    [ -z "$file" ] || cp "$file" "$work/whole-file"
    last=$(cut -d' ' -f1 "$work/log")
    if [ "$last" -gt 5 ]; then pass; else fail "only $last requests"; fi
    n=1
    while [ "$n" -le "$last" ]; do
        [ -z "$file" ] || rm -f "$file"
        status=0
        LD_PRELOAD=$work/memory.so BAKESET_MEMORY_AT=$n BAKESET_MEMORY_LOG=$work/log "$bakeset" "$@" \
            >"$out" 2>"$err" || status=$?
        if [ "$status" -eq 3 ] && [ -s "$err" ] && { [ -z "$file" ] || [ ! -e "$file" ] || cmp -s "$file" "$work/whole-file"; }; then
            pass
        elif [ "$status" -eq "$whole" ] && cmp -s "$out" "$work/whole" &&
            { [ -z "$file" ] || cmp -s "$file" "$work/whole-file"; }; then
            pass
        else
            fail "request $n of $last: exit $status"
        fi
        n=$((n + step))
    done
}

sweep "timeline" "" timeline "$work/plan.json"
sweep "timeline --ics" "$work/new.ics" timeline --ics "$work/new.ics" "$work/plan.json"
sweep "timeline --replaces" "$work/new.ics" timeline --ics "$work/new.ics" --replaces "$work/old.ics" "$work/later.json"
sweep "timeline --json" "" timeline --json "$work/plan.json"
sweep "timeline --svg" "$work/new.svg" timeline --svg "$work/new.svg" "$work/plan.json"
sweep "timeline --html" "$work/new.html" timeline --html "$work/new.html" "$work/plan.json"
sweep "check" "" check "$work/plan.json"
sweep "why" "" why "$work/plan.json"
sweep "new" "$work/new.json" new "$work/new.json"
sweep "cooling" "" cooling --shape ball --across "3 cm" --food custard --from "20 C" --to "8 C"
# libcurl and OpenSSL make thousands: every seventh.
step=7
sweep "publish" "" publish --to http://127.0.0.1:1/c/ "$work/plan.json"

finish

#!/bin/sh
# Files that are not there, cannot be read or cannot be written.
. tests/cli/lib.sh
plan=plans/friday-supper.json

it "a plan that is not there"
run timeline "$work/nowhere.json"
expect_quiet_stdout
expect_stderr "nowhere.json"
if [ "$status" -eq 2 ] || [ "$status" -eq 3 ]; then pass; else fail "exit status $status"; fi

it "a directory as the plan"
run timeline plans
expect_quiet_stdout
expect_stderr "plans"
if [ "$status" -eq 2 ] || [ "$status" -eq 3 ]; then pass; else fail "exit status $status"; fi

it "an output in a directory that is not there: exit 3, nothing left behind"
mkdir "$work/box"
for option in --ics= --svg= --html= --json=; do
    run timeline $option"$work/box/nowhere/t" $plan
    expect_status 3
    expect_stderr "$work/box/nowhere/t"
    expect_only
done

it "a directory as the output"
mkdir "$work/box/dir"
run timeline --ics "$work/box/dir" $plan
expect_status 3
expect_only dir
if [ -z "$(ls -A "$work/box/dir")" ]; then pass; else fail "something was written in it"; fi
rmdir "$work/box/dir"

it "one output that cannot be written: the others are not written either"
run timeline --svg "$work/box/a.svg" --ics "$work/box/nowhere/a.ics" $plan
expect_status 3
expect_only

it "a disk that is full"
if [ -w /dev/full ]; then
    ran="bakeset timeline $plan >/dev/full"
    status=0
    "$bakeset" timeline $plan >/dev/full 2>"$err" </dev/null || status=$?
    : >"$out"
    expect_status 3
else
    skip "there is no /dev/full"
fi

it "a failed run keeps the old file"
echo "the old alarms" >"$work/box/t.ics"
cp "$work/box/t.ics" "$work/old"
run timeline --ics "$work/box/t.ics" tests/data/cli/bad/unknown-key-stage.json
expect_status 2
expect_same "$work/box/t.ics" "$work/old"
run timeline --ics "$work/box/t.ics" plans/impossible-supper.json
expect_status 1
expect_same "$work/box/t.ics" "$work/old"
expect_only t.ics

it "a good run replaces it"
run timeline --ics "$work/box/t.ics" $plan
expect_status 0
expect_match "$work/box/t.ics" '^END:VCALENDAR'
expect_only t.ics

it "an output onto the plan, or onto a file that it names: refused, and the file kept"
mkdir -p "$work/own/recipes" "$work/own/kitchens"
cp $plan "$work/own/plan.json"
cp plans/recipes/blackcurrant-mousse-torte.json plans/recipes/potato-gratin.json "$work/own/recipes"
ln -s plan.json "$work/own/link.json"
for option in --json= --ics= --svg= --html=; do
    for onto in plan.json ./../own/plan.json link.json recipes/potato-gratin.json; do
        run timeline "$option$work/own/$onto" "$work/own/plan.json"
        expect_status 2
        expect_quiet_stdout
        expect_stderr "is a file of the plan"
    done
done
echo day >"$work/own/plan.day.jsonl"
echo times >"$work/own/recipes/potato-gratin.history.jsonl"
cp "$work/own/plan.day.jsonl" "$work/day.jsonl"
for option in --json= --ics= --svg= --html=; do
    for onto in plan.day.jsonl ./../own/plan.day.jsonl recipes/potato-gratin.history.jsonl; do
        run timeline "$option$work/own/$onto" "$work/own/plan.json"
        expect_status 2
        expect_quiet_stdout
        expect_stderr "is where what happened is written down"
    done
done
expect_same "$work/own/plan.day.jsonl" "$work/day.jsonl"
rm "$work/own/plan.day.jsonl" "$work/own/recipes/potato-gratin.history.jsonl"
run day --now "2026-12-04 18:00" --html "$work/own/plan.day.jsonl" "$work/own/plan.json"
expect_status 2
expect_stderr "is where what happened is written down"
expect_same "$work/own/plan.json" $plan
expect_same "$work/own/recipes/potato-gratin.json" plans/recipes/potato-gratin.json

it "one file under two spellings for two forms: refused, whether it is there or not"
for there in no yes; do
    run timeline --ics "$work/own/out" --svg "$work/own/./out" $plan
    expect_status 2
    expect_stderr "asked for twice"
    if [ $there = no ]; then expect_no_file "$work/own/out"; echo old >"$work/own/out"; fi
done

it "too little memory, wherever it runs out: exit 3, a message and nothing written"
mkdir "$work/small"
starved=0
limit=40000
while [ $limit -le 90000 ]; do
    ran="bakeset timeline in $limit KiB"
    # The loader, or a sanitizer, may need more than the program. No calendar here:
    # libical itself writes to where it got no memory.
    if (ulimit -v $limit && "$bakeset" --version) >/dev/null 2>&1; then
        status=0
        (ulimit -v $limit &&
            exec "$bakeset" timeline --json="$work/small/j" --svg "$work/small/s" \
                --html "$work/small/h" plans/winter-holiday.json) \
            >"$out" 2>"$err" </dev/null || status=$?
        if [ "$status" -ne 0 ]; then
            starved=$((starved + 1))
            expect_status 3
            expect_stderr "out of memory"
            if [ -z "$(ls -A "$work/small")" ]; then pass; else fail "something was written"; fi
        fi
    fi
    limit=$((limit + 500))
    rm -f "$work/small"/*
done
if [ $starved -eq 0 ]; then skip "memory cannot be limited here"; fi

it "a reader that goes away early is no error"
ran="bakeset timeline $plan | true"
: >"$out"
for arguments in "timeline $plan" "timeline --json plans/winter-holiday.json" "--help"; do
    # shellcheck disable=SC2086
    "$bakeset" $arguments 2>"$err" | true
    expect_quiet_stderr
done

it "a closed standard output is no place to print: exit 3"
ran="bakeset timeline $plan >&-"
status=0
"$bakeset" timeline $plan >&- 2>"$err" </dev/null || status=$?
expect_status 3
expect_stderr "cannot write to standard output"
it "nor does a file that is written get what was to be printed"
status=0
"$bakeset" timeline --json="$work/closed.json" $plan >&- 2>"$err" </dev/null || status=$?
expect_status 3
if grep -q "START BY" "$work/closed.json" 2>/dev/null; then fail "the text is in the file"; else pass; fi

it "a pipe that nobody is at is refused, not waited for"
mkfifo "$work/pipe"
ran="bakeset check PIPE"
status=0
timeout 10 "$bakeset" check "$work/pipe" >"$out" 2>"$err" </dev/null || status=$?
expect_stderr "it is a pipe that nobody writes to"
expect_status 3
status=0
timeout 10 "$bakeset" timeline --ics "$work/pipe" $plan >"$out" 2>"$err" </dev/null || status=$?
expect_stderr "it is a pipe that nobody reads"
expect_status 3
it "a pipe with somebody at it is read and written"
cp $plan "$work/plan.json"
cat tests/data/cli/tea.json >"$work/pipe" &
status=0
timeout 10 "$bakeset" timeline --json "$work/pipe" >"$out" 2>"$err" </dev/null || status=$?
wait
expect_status 0
expect_stdout '"status": "optimal"'
cat "$work/pipe" >"$work/through" &
status=0
timeout 10 "$bakeset" timeline --ics "$work/pipe" tests/data/cli/tea.json >"$out" 2>"$err" </dev/null || status=$?
wait
expect_status 0
if grep -q "^END:VCALENDAR" "$work/through"; then pass; else fail "the calendar did not come through"; fi

it "what is reached through a link is written where the link points, and the link stays"
mkdir "$work/far"
echo old >"$work/far/real.ics"
ln -s "far/real.ics" "$work/link.ics"
run timeline --ics "$work/link.ics" $plan
expect_status 0
if [ -L "$work/link.ics" ] && grep -q "^END:VCALENDAR" "$work/far/real.ics"; then pass; else fail "the link or its file"; fi
it "a link to nothing is refused, and stays"
ln -s "far/nowhere.ics" "$work/dangling.ics"
run timeline --ics "$work/dangling.ics" $plan
expect_status 3
expect_stderr "it is a link to something that is not there"
if [ -L "$work/dangling.ics" ] && [ ! -e "$work/far/nowhere.ics" ]; then pass; else fail "the link or its file"; fi
it "standard output by its name, when it is a file, is refused; the device's link stays"
ran="bakeset timeline --svg /dev/stdout >FILE"
status=0
"$bakeset" timeline --svg /dev/stdout $plan >"$work/both" 2>"$err" </dev/null || status=$?
: >"$out"
expect_status 3
expect_stderr "give it another name"
if [ -L /dev/stdout ] || [ -c /dev/stdout ]; then pass; else fail "/dev/stdout is another"; fi
it "one output that cannot be written, of the kind that is written directly: nothing else is"
if [ -w /dev/full ]; then
    rm -f "$work/box/a.json"
    run timeline --json="$work/box/a.json" --ics /dev/full $plan
    expect_status 3
    if [ -e "$work/box/a.json" ]; then fail "a.json was written"; else pass; fi
else
    skip "there is no /dev/full"
fi

finish

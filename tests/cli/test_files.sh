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

finish

#!/bin/sh
# Every kind of bad plan: each tests/data/cli/bad/NAME.json is read by `check` and by
# `timeline`; every line of NAME.expect must be on standard error word for word, the
# exit status is 2, nothing is on standard output and nothing is written. To add a
# case, add the two files.
. tests/cli/lib.sh

cases=tests/data/cli/bad
for plan in "$cases"/*.json; do
    name=${plan##*/}
    name=${name%.json}
    it "$name"
    ran="(nothing)"
    : >"$out"
    : >"$err"
    if [ ! -s "$cases/$name.expect" ]; then
        fail "there is no $name.expect"
        continue
    fi
    for command in check timeline; do
        mkdir "$work/box"
        if [ $command = check ]; then
            run check "$plan"
        else
            run timeline --json="$work/box/t.json" --ics "$work/box/t.ics" --svg "$work/box/t.svg" \
                --html "$work/box/t.html" "$plan"
        fi
        expect_status 2
        expect_quiet_stdout
        while IFS= read -r line; do
            expect_stderr "$line"
        done <"$cases/$name.expect"
        expect_only
        rm -r "$work/box"
    done
done

it "no more than twenty problems are shown"
run check "$cases/twenty-five.json"
shown=$(grep -c '^tests/.*\.json:[0-9]*:[0-9]*: ' "$err")
if [ "$shown" -eq 20 ]; then pass; else fail "$shown are shown"; fi

it "a plan longer than the limit of 16 MiB"
{
    head -c 16777217 /dev/zero | tr '\0' ' '
    cat plans/friday-supper.json
} >"$work/long.json"
run check "$work/long.json"
expect_status 2
expect_stderr "16 MiB"
expect_quiet_stdout

it "references nine deep"
mkdir "$work/deep"
i=1
while [ $i -lt 12 ]; do
    echo "{\"recipe\": \"r$((i + 1)).json\"}" >"$work/deep/r$i.json"
    i=$((i + 1))
done
cp tests/data/cli/jelly.json "$work/deep/r12.json"
cat >"$work/deep/plan.json" <<'END'
{"occasion": "Tea", "timezone": "UTC", "serve": "2026-12-05 16:00", "dishes": [{"recipe": "r1.json"}]}
END
run check "$work/deep/plan.json"
expect_status 2
expect_stderr "8"
expect_quiet_stdout

it "references eight deep are fine"
sed 's/r1\.json/r5.json/' "$work/deep/plan.json" >"$work/deep/plan8.json"
run check "$work/deep/plan8.json"
expect_status 0

finish

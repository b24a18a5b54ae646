#!/bin/sh
# check --history: real times beside the recipes, what they propose, and --apply, which changes
# those ranges and no other byte.
. tests/cli/lib.sh

root=$PWD
mkdir "$work/box"
cp -r plans "$work/box/plans"
cd "$work/box/plans" || exit 1

it "without a history there is nothing to say"
run check --history friday-supper.json
expect_status 0
expect_stdout "friday-supper.json: no problem found"
expect_stdout 'There are no real times of this plan'"'"'s stages yet'
run check --history --apply friday-supper.json
expect_status 0
expect_stdout "There is nothing to change."

# The numbers are those of tests/learn/test_learn.c, by the same formula in another language.
cat >recipes/potato-gratin.history.jsonl <<'END'
{"at": "2026-11-06T18:10:00+00:00", "dish": "Potato gratin", "stage": "bake", "minutes": 62, "planned": 70}
{"at": "2026-11-13T18:10:00+00:00", "dish": "Potato gratin", "stage": "bake", "minutes": 68, "planned": 70}
{"at": "2026-11-20T18:10:00+00:00", "dish": "Gratin", "stage": "bake", "minutes": 71, "planned": 70}
{"at": "2026-11-27T18:10:00+00:00", "dish": "Potato gratin", "stage": "bake", "minutes": 140, "planned": 70}
{"at": "2026-11-27T17:10:00+00:00", "dish": "Potato gratin", "stage": "slice", "minutes": 25, "planned": 20}
{"at": "2026-11-27T17:10:00+00:00", "dish": "Potato gratin", "stage": "peel", "minutes": 9}
END
cat >friday-supper.history.jsonl <<'END'
{"at": "2026-11-06T19:10:00+00:00", "dish": "Green salad", "stage": "wash", "minutes": 9, "planned": 8}
{"at": "2026-11-13T19:10:00+00:00", "dish": "Green salad", "stage": "wash", "minutes": 10, "planned": 8}
{"at": "2026-11-20T19:10:00+00:00", "dish": "Green salad", "stage": "wash", "minutes": 11, "planned": 8}
{"at": "2026-11-20T18:10:00+00:00", "oven": "oven", "minutes": 20, "planned": 15}
END
cp -r . ../before

it "real times are shown, and what they propose"
run check --history friday-supper.json
expect_status 0
tr '\n' ' ' <"$out" | sed 's/  */ /g' >"$work/flat"
expect_match "$work/flat" 'recipes/potato-gratin.json slice: written 15-20 min, took 25 min; two more times are needed to propose a range. bake: written 60-70 min, took 1 h 2 min, 1 h 8 min, 1 h 11 min and 2 h 20 min. 2 h 20 min on Friday 27 November 2026 stands apart from the others and is left out. Proposed: 57-65-80 min.'
expect_match "$work/flat" 'wash: written 5-8 min, took 9 min, 10 min and 11 min. Proposed: 8-10-13 min.'
expect_match "$work/flat" '19 other stages have no real times yet\.'
expect_match "$work/flat" 'Work by hand, 4 times: 1.41 times as long as written (the median). Proposed for the kitchen: "pace": 1.40 (it is 1.00). Take this or the ranges above that are of work by hand: both together would count it twice.'
expect_match "$work/flat" 'oven: hot after 1.33 times as long as planned (the median of 1). For a proposal two more times are needed\.'
expect_match "$work/flat" 'potato-gratin.history.jsonl has 1 real time of "peel", which is in no file of this plan: was it renamed?'
if command -v python3 >/dev/null 2>&1; then
    # t(0.9; 2) from the closed form of Student's t with two degrees of freedom.
    python3 - >"$work/computed" <<'END'
import math
def rounded(x, way):
    step = 1 if x < 60 else 5
    return int(way(x / step) * step)
for times in ([62, 68, 71], [9, 10, 11]):
    logs = [math.log(t) for t in times]
    m = sum(logs) / 3
    s = math.sqrt(sum((x - m) ** 2 for x in logs) / 2)
    r = 0.8 / math.sqrt(2 * 0.9 * 0.1) * s * math.sqrt(4 / 3)
    print(f"{rounded(math.exp(m - r), math.floor)}-{rounded(math.exp(m), round)}-{rounded(math.exp(m + r), math.ceil)} min")
END
    printf '57-65-80 min\n8-10-13 min\n' >"$work/expected"
    expect_same "$work/computed" "$work/expected"
else
    skip "no python3"
fi

it "without --apply no file is touched"
run check --history friday-supper.json
diff -r . ../before >"$work/difference"
expect_same "$work/difference" /dev/null

it "--apply changes these ranges and no other byte"
run check --history --apply friday-supper.json
expect_status 0
expect_stdout "recipes/potato-gratin.json is changed:"
expect_stdout "  bake: 60-70 min is 57-65-80 min now"
expect_stdout "friday-supper.json is changed:"
diff -r ../before . | grep '^[<>d]' >"$work/difference"
expect_match "$work/difference" '^<.*"passive": "60-70 min",$'
expect_match "$work/difference" '^>.*"passive": "57-65-80 min",$'
if [ "$(wc -l <"$work/difference")" -eq 6 ]; then pass; else fail "other lines changed"; fi
sed 's/57-65-80 min/60-70 min/' recipes/potato-gratin.json >"$work/back"
expect_same "$work/back" ../before/recipes/potato-gratin.json
sed 's/8-10-13 min/5-8 min/' friday-supper.json >"$work/back"
expect_same "$work/back" ../before/friday-supper.json
run check --history --apply friday-supper.json
expect_status 0
expect_stdout "There is nothing to change."
run timeline friday-supper.json
expect_status 0

rm -rf ../after
cp -r . ../after

it "a recipe by itself"
cp ../before/recipes/potato-gratin.json recipes/
run check --history --apply recipes/potato-gratin.json
expect_status 0
expect_stdout "  bake: 60-70 min is 57-65-80 min now"

it "a range that would break the plan is not written"
printf '{"dish": "Torte", "stages": [{"id": "bake", "do": "Bake", "passive": "60 min",\n "checks": [{"at": "50 min", "do": "Turn"}]}]}\n' >torte.json
for minutes in 40 41 40; do
    echo "{\"at\": \"2026-11-0${minutes#4}T18:10:00+00:00\", \"dish\": \"Torte\", \"stage\": \"bake\", \"minutes\": $minutes}"
done | sed 's/11-00T/11-05T/' >torte.history.jsonl
cp torte.json "$work/torte.json"
run check --history --apply torte.json
expect_status 2
expect_stderr "with the proposed ranges the plan would have errors, so nothing is changed:"
expect_stderr "torte.json:2:20: this check cannot end inside its stage"
expect_same torte.json "$work/torte.json"

it "a line that is no real time is told with its place"
echo '{"at": "yesterday", "dish": "Torte", "stage": "bake", "minutes": 40}' >>torte.history.jsonl
run check --history torte.json
expect_status 2
expect_stderr 'torte.history.jsonl:4:8: "at" is not a date and time with its offset: "yesterday"; write it as'

it "a last line that was left half written is passed over, and said"
sed -i '$d' torte.history.jsonl
printf '{"at": "2026-' >>torte.history.jsonl
run check --history torte.json
expect_status 0
expect_stderr "torte.history.jsonl:4:1: warning: the last 13 bytes were left half written and are passed over"

it "--apply alone is told what it needs"
run check --apply torte.json
expect_status 2
expect_stderr "bakeset check: --apply writes what --history proposes; give both"

it "each call to the system fails once: both files are old, or both are new"
if ${CC:-cc} -shared -fPIC -O1 -o "$work/shim.so" "$root/tests/faults/shim.c" -ldl 2>"$err"; then
    for how in EIO ENOSPC; do
        at=1 old=0 new=0
        while [ $at -lt 2000 ]; do
            rm -rf ../box2 "$work/log"
            cp -r ../before ../box2
            ran="fault $how at call $at"
            status=0
            (cd ../box2 && env LD_PRELOAD="$work/shim.so" \
                ASAN_OPTIONS=verify_asan_link_order=0:detect_leaks=0 BAKESET_FAULT_AT=$at \
                BAKESET_FAULT=$how BAKESET_FAULT_LOG="$work/log" "$bakeset" check --history --apply \
                friday-supper.json) >"$out" 2>"$err" </dev/null || status=$?
            [ -s "$work/log" ] || break
            if diff -r ../before ../box2 >/dev/null; then
                old=$((old + 1))
                [ $status -ne 0 ] || fail "exit 0 with old files after $(cat "$work/log")"
            elif diff -r ../after ../box2 >/dev/null; then
                new=$((new + 1))
            else
                fail "the files are neither old nor new after $(cat "$work/log")"
            fi
            at=$((at + 1))
        done
        if [ $old -ge 15 ] && [ $at -lt 2000 ]; then pass; else fail "only $old faults were seen"; fi
    done
else
    ran="cc tests/faults/shim.c"
    fail "the shim cannot be built"
fi

finish

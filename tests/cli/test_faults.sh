#!/bin/sh
# A machine that fails: each call to the system that opens, reads, writes or renames
# goes wrong once, in turn. The outputs of one run are all new or all as they were, no
# temporary is left, and the exit status says it.
. tests/cli/lib.sh
plan=$PWD/plans/wednesday-tea.json

shim=$work/shim.so
if ! ${CC:-cc} -shared -fPIC -O1 -o "$shim" tests/faults/shim.c -ldl 2>"$err"; then
    ran="cc tests/faults/shim.c"
    fail "the shim cannot be built"
    finish
fi
box=$work/box

old_box() {
    rm -rf "$box"
    mkdir "$box"
    for f in a.ics b.svg c.html d.json; do echo old >"$box/$f"; done
}

# faulty AT HOW: the four outputs over old ones, with that fault.
faulty() {
    old_box
    rm -f "$work/log"
    ran="fault $2 at call $1"
    status=0
    env LD_PRELOAD="$shim" ASAN_OPTIONS=verify_asan_link_order=0:detect_leaks=0 \
        BAKESET_FAULT_AT="$1" BAKESET_FAULT="$2" \
        BAKESET_FAULT_LOG="$work/log" "$bakeset" timeline --ics "$box/a.ics" --svg "$box/b.svg" \
        --html "$box/c.html" --json="$box/d.json" "$plan" >"$out" 2>"$err" </dev/null || status=$?
}

# How many of the four are old; and nothing else may be there.
count_old() {
    olds=$(cd "$box" && grep -lx old a.ics b.svg c.html d.json | wc -l)
    others=$(ls -A "$box" | grep -vxE 'a.ics|b.svg|c.html|d.json' | wc -l)
}

for how in EIO EMFILE ENOSPC; do
    it "each call fails once with $how: all new or all old, and no temporary"
    at=1 mixed=0 quiet=0 crashed=0 happened=0
    while [ $at -lt 2000 ]; do
        faulty $at $how
        [ -s "$work/log" ] || break
        happened=$((happened + 1))
        count_old
        case $olds in 0 | 4) ;; *) mixed=$((mixed + 1)) ; fail "$olds of 4 are old after $(cat "$work/log")" ;; esac
        [ "$others" -eq 0 ] || fail "a temporary is left after $(cat "$work/log")"
        case $status in
        0) [ "$olds" -eq 0 ] || { quiet=1; fail "exit 0 with old files after $(cat "$work/log")"; } ;;
        3) [ -s "$err" ] || { quiet=1; fail "exit 3 without a word after $(cat "$work/log")"; } ;;
        *) crashed=$((crashed + 1)); fail "exit $status after $(cat "$work/log")" ;;
        esac
        at=$((at + 1))
    done
    [ $mixed -eq 0 ] && [ $quiet -eq 0 ] && [ $crashed -eq 0 ] && pass
    if [ $happened -ge 30 ]; then pass; else fail "only $happened calls were seen"; fi
done

for how in TERM INT HUP; do
    it "SIG$how at each call: all new or all old, and no temporary"
    at=1 bad=0
    while [ $at -lt 2000 ]; do
        faulty $at $how
        [ -s "$work/log" ] || break
        count_old
        case $olds in 0 | 4) ;; *) bad=1; fail "$olds of 4 are old after $(cat "$work/log")" ;; esac
        [ "$others" -eq 0 ] || { bad=1; fail "a temporary is left after $(cat "$work/log")"; }
        at=$((at + 1))
    done
    [ $bad -eq 0 ] && [ $at -gt 30 ] && pass
done

it "SIGKILL at each call: what is left is told of by the next run, which writes all"
at=1 bad=0 told=0
while [ $at -lt 2000 ]; do
    faulty $at KILL
    [ -s "$work/log" ] || break
    count_old
    left=$others
    status=0
    "$bakeset" timeline --ics "$box/a.ics" --svg "$box/b.svg" --html "$box/c.html" \
        --json="$box/d.json" "$plan" >"$out" 2>"$err" </dev/null || status=$?
    count_old
    [ "$status" -eq 0 ] && [ "$olds" -eq 0 ] || { bad=1; fail "the next run does not write all"; }
    if [ "$(grep -c 'left half written by a run that was killed' "$err")" -ne "$left" ]; then
        bad=1
        fail "$left are left, and the next run does not say so"
    fi
    [ "$left" -gt 0 ] && told=$((told + 1))
    at=$((at + 1))
done
[ $bad -eq 0 ] && pass
if [ $told -ge 8 ]; then pass; else fail "only $told kills left anything"; fi

finish

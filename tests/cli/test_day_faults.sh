#!/bin/sh
# A machine that stops or fails while something is said to a day: at each call to the system
# the command is killed, or that call fails. The journal is the one before or the one after, the
# calendar the old one or the new one, each whole, and nothing is told before the disk has it.
. tests/cli/lib.sh

shim=$work/shim.so
if ! ${CC:-cc} -shared -fPIC -O1 -o "$shim" tests/faults/shim.c -ldl 2>"$err"; then
    ran="cc tests/faults/shim.c"
    fail "the shim cannot be built"
    finish
fi
box=$work/box
mkdir "$work/kept"
cp -r plans/friday-supper.json plans/recipes "$work/kept"
d=2026-12-04
say() { # FOLDER: the stage is done, and the calendar written anew
    "$bakeset" day done gratin/bake --now "$d 19:26" --ics "$1/day.ics" "$1/friday-supper.json"
}

# How the journal stands to the one before and the one after, and the calendar likewise.
cat >"$work/compare.py" <<'END'
import json, sys
def read(path):
    try:
        return open(path, "rb").read()
    except FileNotFoundError:
        return b""
box, kept, after = sys.argv[1:]
name = "/friday-supper.day.jsonl"
now, old, new = read(box + name), read(kept + name), read(after + name)
assert now.startswith(old), "what stood there is not there any more"
rest = now[len(old):]
if rest == new[len(old):]:
    journal = "after"
else:
    # Nothing, or what a reader of the format knows to be torn.
    if rest and rest[0] != 0:
        assert b"\n" not in rest, "a line that is not torn is only half of what was said"
        try:
            json.loads(rest)
        except ValueError:
            pass
        else:
            raise AssertionError("a whole line without its end")
    journal = "before"
calendar = read(box + "/day.ics")
assert calendar in (read(kept + "/day.ics"), read(after + "/day.ics")), "the calendar is neither"
print(journal, "new" if calendar == read(after + "/day.ics") else "old")
END

for journal in none some torn; do
    case $journal in
    some)
        "$bakeset" day begun gratin/bake --at 18:10 --now "$d 18:15" --ics "$work/kept/day.ics" \
            "$work/kept/friday-supper.json" >"$out" 2>"$err" || fail "the day does not begin"
        ;;
    torn) printf '{"at": "2026-12-04T18:2' >>"$work/kept/friday-supper.day.jsonl" ;;
    esac
    rm -rf "$work/after"
    cp -r "$work/kept" "$work/after"
    say "$work/after" >"$out" 2>"$err" || fail "nothing can be said of the day"
    if [ $journal = torn ]; then
        it "what was torn is set aside and said"
        expect_stderr "was never finished"
        printf '{"at": "2026-12-04T18:2' >"$work/torn"
        expect_same "$work/after/friday-supper.day.jsonl.torn" "$work/torn"
    fi
    hows=KILL
    [ $journal = some ] && hows="KILL EIO ENOSPC"
    step=1 # under a sanitizer, which is slow and looks for other things, every seventh
    grep -q __asan_init "$bakeset" && step=7
    for how in $hows; do
        it "journal: $journal, $how at each call"
        at=1 after=0 before=0
        while [ $at -lt 3000 ]; do
            rm -rf "$box" "$work/log"
            cp -r "$work/kept" "$box"
            ran="$how at call $at"
            status=0
            # A shell of its own says in its log that it was killed, not here.
            sh -c 'exec env LD_PRELOAD="$1" ASAN_OPTIONS=verify_asan_link_order=0:detect_leaks=0 \
                BAKESET_FAULT_AT="$2" BAKESET_FAULT="$3" BAKESET_FAULT_LOG="$4" "$5" day done \
                gratin/bake --now "2026-12-04 19:26" --ics "$6/day.ics" "$6/friday-supper.json"' \
                sh "$shim" $at $how "$work/log" "$bakeset" "$box" >"$out" 2>"$err" </dev/null ||
                status=$?
            [ -s "$work/log" ] || break
            call=$(cat "$work/log")
            old=$work/kept
            if [ $journal = torn ] && [ -s "$box/friday-supper.day.jsonl.torn" ] &&
                ! grep -q '18:2$' "$box/friday-supper.day.jsonl"; then
                # Set aside: the journal before is the one without the torn end.
                rm -rf "$work/whole"
                cp -r "$work/kept" "$work/whole"
                python3 -c 'import sys; p = sys.argv[1]; b = open(p, "rb").read(); open(p, "wb").write(b[:b.rindex(b"\n") + 1])' \
                    "$work/whole/friday-supper.day.jsonl"
                old=$work/whole
            fi
            seen=$(python3 "$work/compare.py" "$box" "$old" "$work/after" 2>"$work/why") ||
                fail "$(tail -1 "$work/why") (in $call)"
            case $seen in
            after*) after=$((after + 1)) ;;
            *)
                before=$((before + 1))
                if [ -s "$out" ]; then fail "told before it is written (in $call)"; fi
                [ $status -ne 0 ] || fail "exit 0 with nothing written (in $call)"
                ;;
            esac
            # Said again where it was not heard, all is as it should be.
            if [ "${seen%% *}" = before ]; then
                say "$box" >"$out" 2>"$err" || fail "it cannot be said again (in $call)"
                tail -n 2 "$box/friday-supper.day.jsonl" >"$work/last"
                tail -n 2 "$work/after/friday-supper.day.jsonl" >"$work/expected"
                cmp -s "$work/last" "$work/expected" || fail "said again it is another (in $call)"
            fi
            at=$((at + step))
        done
        if [ $((before * step)) -ge 20 ] && [ $((after * step)) -ge 10 ]; then pass; else fail "$before before, $after after"; fi
    done
done

finish

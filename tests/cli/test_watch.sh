#!/bin/sh
# bakeset day --watch on a terminal of 60 columns, by tmux: the countdown, the bars, the keys, a
# bell, another size, stopped and gone on with, ended; and with its output in a file.
. tests/cli/lib.sh

command -v tmux >/dev/null || {
    echo "tests/cli: tmux is not there; make test-deps installs it" >&2
    exit 1
}
cp -r plans "$work/plans"
plan=$work/plans/friday-supper.json
journal=$work/plans/friday-supper.day.jsonl
tmux="tmux -L bakeset-$$ -f /dev/null"
trap '$tmux kill-server 2>/dev/null; rm -rf "$work"' EXIT

# see: what is on the screen, into $out.
see() {
    $tmux capture-pane -p -t day >"$out"
}

# wait_for TEXT: until the screen shows it, 10 s at most.
wait_for() {
    tries=0
    while [ "$tries" -lt 100 ]; do
        see
        if grep -qF -e "$1" "$out"; then
            pass
            return
        fi
        tries=$((tries + 1))
        sleep 0.1
    done
    fail "'$1' never came to the screen"
}

ran="bakeset day --watch, under tmux"
$tmux new-session -d -s other -x 60 -y 24 "sleep 300" 2>"$err"
$tmux new-session -d -s day -x 60 -y 24 \
    "'$bakeset' day --watch --now '2026-12-04 18:24' '$plan'; echo ended \$?; sleep 60"

it "shows the day at sixty columns"
wait_for "next in 0:"
expect_stdout "Fri 4 Dec 18:24  Friday supper"
expect_stdout "d done  l longer  u undo  q quit"
expect_match "$out" '\[#*\.*\] 41 min to go'
if awk 'length($0) > 60 { exit 1 }' "$out"; then pass; else fail "a line is longer"; fi
expect_no_file "$journal"

it "asks which, and takes what is said into the journal"
$tmux send-keys -t day l
wait_for "1 glaze  2 bake"
$tmux send-keys -t day 2
wait_for "how many minutes longer? [10]"
$tmux send-keys -t day 2 0 Enter
wait_for "Potato and leek gratin/bake takes 20 min longer"
expect_match "$journal" '"what": "longer", "dish": "Potato and leek gratin", "stage": "bake", "minutes": 20'

it "takes back"
$tmux send-keys -t day u
wait_for "what was said last is taken back"

it "says why it cannot"
$tmux send-keys -t day u
wait_for "there is nothing to take back"

it "follows the terminal's size"
$tmux resize-window -t day -x 44 -y 18
sleep 1.5
see
if awk 'length($0) > 44 { exit 1 }' "$out"; then pass; else fail "a line is longer than 44"; fi
expect_stdout "d done  l longer  u undo  q quit"
$tmux resize-window -t day -x 60 -y 24

it "goes on after it was stopped"
pid=$(pgrep -f "day --watch --now 2026-12-04 18:24 $plan" | tail -1)
kill -TSTP "$pid"
sleep 0.5
kill -CONT "$pid"
wait_for "next in"

it "ends on q, and leaves the terminal as it was"
$tmux send-keys -t day q
wait_for "ended 0"
expect_not_stdout "d done  l longer"

it "ends on a signal likewise"
$tmux kill-session -t day
$tmux new-session -d -s day -x 60 -y 24 \
    "'$bakeset' day --watch --now '2026-12-04 18:24' '$plan'; echo ended \$?; sleep 60"
wait_for "next in"
kill -TERM "$(pgrep -f "day --watch --now 2026-12-04 18:24 $plan" | tail -1)"
wait_for "ended 0"

it "prints plain lines where there is no terminal"
timeout 2 "$bakeset" day --watch --now "2026-12-04 18:24" "$plan" >"$out" 2>"$err" </dev/null
expect_stdout "Melt the jelly"
if grep -q "$(printf '\033')" "$out"; then fail "there are escapes in it"; else pass; fi

it "stands alone"
run day done bake --watch "$plan"
expect_status 2
expect_stderr "--watch stands alone"
run day --watch "$work/no-such.json"
expect_status 3

finish

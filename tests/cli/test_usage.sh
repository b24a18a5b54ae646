#!/bin/sh
# Usage: help, version, and mistakes in what was typed.
. tests/cli/lib.sh
plan=plans/friday-supper.json

it "no command"
run
expect_status 2
expect_quiet_stdout
expect_stderr "Usage: bakeset COMMAND"

it "--help and --version"
run --help
expect_status 0
expect_quiet_stderr
for command in timeline day why publish cooling check take-in new tidy; do expect_stdout "$command"; done
run --version
expect_status 0
expect_match "$out" '^bakeset [0-9]'
expect_quiet_stderr

for command in timeline day why publish cooling check take-in tidy; do
    it "$command --help"
    run $command --help
    expect_status 0
    expect_quiet_stderr
    expect_stdout "bakeset $command"
done

it "the manual page has every command and every option"
run --help
for command in $(sed -n 's/^  \([a-z][a-z]*\)  .*/\1/p' "$out"); do
    expect_match docs/bakeset.1 "^\.It Cm $command\$"
    run "$command" --help
    for option in $(sed -n 's/^  --\([a-z-]*\).*/\1/p' "$out"); do
        expect_match docs/bakeset.1 "^\.It Fl Fl $option"
    done
done

it "every option of timeline is in its help"
run timeline --help
for option in --json --ics --svg --html --now --serve --effort --color; do expect_stdout "$option"; done

it "an unknown command, with the nearest"
run timelin $plan
expect_status 2
expect_quiet_stdout
expect_stderr "timelin"
expect_stderr "timeline"

it "an unknown option"
run timeline --jsn $plan
expect_status 2
expect_quiet_stdout
expect_stderr "--jsn"

it "an option without its value"
run timeline $plan --ics
expect_status 2
expect_stderr "--ics"

it "no plan"
run timeline
expect_status 2
expect_quiet_stdout
run check
expect_status 2

it "--now and --serve take their time both ways"
for command in timeline why check; do
    run $command --now="2026-12-03 21:30" $plan
    cp "$out" "$work/equals"
    was=$status
    run $command --now "2026-12-03 21:30" $plan
    expect_status "$was"
    expect_same "$out" "$work/equals"
done
run timeline --now 2026-12-02T09:00Z $plan
expect_status 0
expect_quiet_stderr
run timeline --serve "2026-12-04 20:30" $plan
cp "$out" "$work/space"
run timeline --serve="2026-12-04 20:30" $plan
expect_status 0
expect_same "$out" "$work/space"
run timeline --now 9:75 $plan
expect_status 2
expect_stderr '"9:75"'
expect_not_stderr "too many arguments"

it "a plan whose name begins with its date is no time"
cp tests/data/cli/tea.json "$work/2026-12-04 tea.json"
ran="bakeset check --now '2026-12-04 tea.json'"
(cd "$work" && "$bakeset" check --now "2026-12-04 tea.json" >"$out" 2>"$err")
expect_not_stderr "no plan file given"
expect_not_stderr "instant"
if grep -q "2026-12-04 tea.json" "$out" "$err"; then pass; else fail "the plan was not read"; fi

it "two plans"
run timeline $plan plans/sunday-roast.json
expect_status 2
expect_quiet_stdout

it "colour: never in a pipe, always when asked, never with NO_COLOR"
run timeline $plan
if grep -q "$(printf '\033')" "$out"; then fail "colour in a pipe"; else pass; fi
cp "$out" "$work/plain"
run timeline --color=always $plan
if grep -q "$(printf '\033')" "$out"; then pass; else fail "no colour with --color=always"; fi
sed "s/$(printf '\033')\[[0-9;]*m//g" "$out" >"$work/stripped"
expect_same "$work/stripped" "$work/plain"
run timeline --color=never $plan
expect_same "$out" "$work/plain"
run_as NO_COLOR=1 timeline --color=auto $plan
expect_same "$out" "$work/plain"
run timeline --color=purple $plan
expect_status 2
expect_stderr "purple"

it "help fits 80 columns, in letters that any terminal has"
for command in "" timeline why cooling publish check new take-in; do
    # shellcheck disable=SC2086
    run $command --help
    expect_status 0
    most=$(awk '{ if (length($0) > most) most = length($0) } END { print most + 0 }' "$out")
    if [ "$most" -le 80 ] && [ "$most" -gt 40 ]; then pass; else fail "a line of $most columns"; fi
    if LC_ALL=C grep -q '[^ -~]' "$out"; then fail "not ASCII"; else pass; fi
    expect_stdout "version"
    [ -n "$command" ] || continue
    cp "$out" "$work/help"
    it "bakeset help $command is bakeset $command --help"
    run help "$command"
    expect_status 0
    expect_same "$out" "$work/help"
done
it "help tells what exit 3 is"
run help
expect_stdout "3 the machine failed: a file, memory or the network."
run help nonsense
expect_status 2
expect_stderr 'unknown command "nonsense"'

finish

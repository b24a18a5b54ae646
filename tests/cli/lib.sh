# Helpers for tests of the command line as a cook types it. POSIX sh; sourced, from
# the repository's root, by every tests/cli/test_*.sh:
#
#   . tests/cli/lib.sh
#   it "prints the start-by time"
#   run timeline plans/friday-supper.json
#   expect_status 0
#   expect_stdout "Start by"
#   finish
#
# The program is $BAKESET (default build/bakeset). $work is an empty directory of
# this script's own, removed at the end. Each expect_ is one check; a failed one
# shows what was seen and the script goes on. `finish` prints the count and exits
# with 1 when anything failed. A check that cannot be made on this machine is said
# to be skipped, never counted as passed.

set -u

bakeset=${BAKESET:-build/bakeset}
case $bakeset in
/*) ;;
*) bakeset=$PWD/$bakeset ;;
esac
[ -x "$bakeset" ] || {
    echo "tests/cli: no program at $bakeset; run make first" >&2
    exit 1
}

# The answers must not hang on the surroundings of whoever runs the tests.
unset NO_COLOR CLICOLOR CLICOLOR_FORCE COLUMNS LC_ALL LANG TZ 2>/dev/null || :

work=$(mktemp -d "${TMPDIR:-/tmp}/bakeset-cli.XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT
trap 'exit 1' HUP INT TERM

out=$work/.stdout
err=$work/.stderr
status=0
passed=0
failed=0
skipped=0
about=
ran=

# it NAME: what the following checks are about.
it() {
    about=$1
}

# run ARGUMENT...: runs bakeset; $status, $out and $err are what came of it.
run() {
    ran="bakeset $*"
    status=0
    "$bakeset" "$@" >"$out" 2>"$err" </dev/null || status=$?
}

# run_on FILE ARGUMENT...: the same with FILE on standard input.
run_on() {
    input=$1
    shift
    ran="bakeset $* <$input"
    status=0
    "$bakeset" "$@" >"$out" 2>"$err" <"$input" || status=$?
}

# run_as "NAME=VALUE ..." ARGUMENT...: the same with these environment variables.
run_as() {
    vars=$1
    shift
    ran="$vars bakeset $*"
    status=0
    # Word splitting of $vars is meant: one word a variable.
    # shellcheck disable=SC2086
    env $vars "$bakeset" "$@" >"$out" 2>"$err" </dev/null || status=$?
}

pass() {
    passed=$((passed + 1))
}

# fail TEXT: counts and shows a failed check with what the program said.
fail() {
    failed=$((failed + 1))
    echo "FAILED: $about: $1"
    echo "  ran: $ran (exit $status)"
    if [ -s "$err" ]; then sed -n '1,8s/^/  stderr: /p' "$err"; fi
    if [ -s "$out" ]; then sed -n '1,8s/^/  stdout: /p' "$out"; fi
}

skip() {
    skipped=$((skipped + 1))
    echo "SKIPPED: $about: $1"
}

expect_status() {
    if [ "$status" -eq "$1" ]; then pass; else fail "exit status $status, not $1"; fi
}

# expect_stdout TEXT, expect_stderr TEXT: TEXT, word for word, is in the output.
expect_stdout() {
    if grep -qF -e "$1" "$out"; then pass; else fail "'$1' is not on standard output"; fi
}

expect_stderr() {
    if grep -qF -e "$1" "$err"; then pass; else fail "'$1' is not on standard error"; fi
}

# expect_not_stdout TEXT, expect_not_stderr TEXT: TEXT is nowhere in it.
expect_not_stdout() {
    if grep -qF -e "$1" "$out"; then fail "'$1' is on standard output"; else pass; fi
}

expect_not_stderr() {
    if grep -qF -e "$1" "$err"; then fail "'$1' is on standard error"; else pass; fi
}

expect_quiet_stdout() {
    if [ -s "$out" ]; then fail "standard output is not empty"; else pass; fi
}

expect_quiet_stderr() {
    if [ -s "$err" ]; then fail "standard error is not empty"; else pass; fi
}

# expect_match FILE BASIC-REGEX: a line of FILE matches.
expect_match() {
    if grep -q -e "$2" "$1" 2>/dev/null; then pass; else fail "nothing in ${1##*/} matches '$2'"; fi
}

expect_file() {
    if [ -s "$1" ]; then pass; else fail "no file ${1##*/}, or it is empty"; fi
}

expect_no_file() {
    if [ -e "$1" ]; then fail "there is a file ${1##*/}"; else pass; fi
}

# expect_same FILE FILE: the same bytes.
expect_same() {
    if cmp -s "$1" "$2"; then pass; else fail "${1##*/} and ${2##*/} differ"; fi
}

# expect_only NAME... : the directory $work/box holds these names and no others.
expect_only() {
    seen=$(cd "$work/box" && ls -A | tr '\n' ' ')
    want=
    for name in "$@"; do want="$want$name "; done
    if [ "$seen" = "$want" ]; then pass; else fail "left behind: '$seen', not '$want'"; fi
}

json_once='
import json, sys
def once(pairs):
    assert len(dict(pairs)) == len(pairs), pairs
    return dict(pairs)
json.load(open(sys.argv[1], encoding="utf-8"), object_pairs_hook=once)
'

# expect_json FILE: FILE is one JSON value, with no key twice in an object. Needs python3.
expect_json() {
    if command -v python3 >/dev/null 2>&1; then
        if python3 -c "$json_once" "$1" >/dev/null 2>&1; then
            pass
        else
            fail "${1##*/} is not JSON, or has a key twice"
        fi
    else
        skip "no python3 to read JSON with"
    fi
}

# A script that could try nothing says so by automake's status for it, 77; one that tried nothing and
# does not say why has failed.
finish() {
    name=${0##*/}
    if [ "$skipped" -gt 0 ]; then
        echo "$name: $passed passed, $failed failed, $skipped skipped"
    else
        echo "$name: $passed passed, $failed failed"
    fi
    if [ "$failed" -eq 0 ] && [ "$passed" -eq 0 ] && [ "$skipped" -gt 0 ]; then exit 77; fi
    [ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
    exit
}

#!/bin/sh
# Runs the test programs named as arguments, every script of tests/house and tests/cli, several at a
# time, and sums up. Output of a passing test is kept to its summary line, and to what it
# says that it skipped: that has not passed. Exit status 77 is a test that could try nothing (automake's).
# Environment: BAKESET (the command), BUILD (where logs go), JOBS (how many at a time).
log="$BUILD/test-logs"

# Runs one test, says what came of it, and leaves its verdict in NAME.verdict.
run_one() {
    case $1 in
    *.sh)
        name=${1#tests/}
        set -- sh "$1"
        ;;
    *)
        name=${1#"$BUILD"/tests/}
        set -- "$1"
        ;;
    esac
    file=$log/$(echo "$name" | tr / _)
    out=$file.log
    # LeakSanitizer stops a process from another one before it looks for leaks, and once in many thousand
    # processes the two wait for each other for ever (seen at the end of "bakeset day --help").
    limit=
    if grep -q __asan_init "$BAKESET"; then limit="timeout 1200"; fi
    status=0 again=
    $limit "$@" >"$out" 2>&1 || status=$?
    if [ -n "$limit" ] && [ "$status" -eq 124 ]; then
        again="again   $name (it did not end in 20 minutes)"
        status=0
        $limit "$@" >"$out" 2>&1 || status=$?
    fi
    verdict=passed
    {
        [ -z "$again" ] || echo "$again"
        if [ "$status" -eq 77 ]; then
            verdict=skipped
            echo "skipped $name"
            grep -i '^skipped:' "$out"
        elif [ "$status" -ne 0 ]; then
            verdict=failed
            echo "FAILED  $name"
            cat "$out"
        elif grep -qi '^skipped:' "$out"; then
            verdict=skipped
            echo "skipped $name (in part)"
            grep -i '^skipped:' "$out"
        else
            echo "ok      $name"
        fi
    } >"$file.said"
    cat "$file.said" # in one piece, beside the others
    echo $verdict >"$file.verdict"
}

if [ "${1:-}" = --one ]; then
    run_one "$2"
    exit 0
fi

mkdir -p "$log"
rm -f "$log"/*.verdict
for test in "$@" tests/house/test_*.sh tests/cli/test_*.sh; do
    [ -e "$test" ] || continue
    echo "$test"
done >"$log/tests"
xargs -P "${JOBS:-1}" -n 1 sh tests/run.sh --one <"$log/tests"

# What left no verdict did not end as a test does: it has failed.
passed=$(cat "$log"/*.verdict 2>/dev/null | grep -c '^passed')
skipped=$(cat "$log"/*.verdict 2>/dev/null | grep -c '^skipped')
failed=$(($(grep -c . "$log/tests") - passed - skipped))
if [ "$skipped" -gt 0 ]; then
    echo "$passed passed, $failed failed, $skipped with something skipped"
else
    echo "$passed passed, $failed failed"
fi
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]

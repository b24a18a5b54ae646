#!/bin/sh
# Runs the test programs named as arguments, then every script of tests/house and tests/cli, and
# sums up. Output of a passing test is kept to its summary line, and to what it
# says that it skipped: that has not passed. Exit status 77 is a test that could try nothing (automake's).
# Environment: BAKESET (the command), BUILD (where logs go).
passed=0 failed=0 skipped=0
log="$BUILD/test-logs"
mkdir -p "$log"
# LeakSanitizer stops a process from another one before it looks for leaks, and once in many thousand
# processes the two wait for each other for ever (seen at the end of "bakeset day --help").
limit=
if grep -q __asan_init "$BAKESET"; then limit="timeout 1200"; fi

run() {
    name=$1
    shift
    out="$log/$(echo "$name" | tr / _).log"
    status=0
    $limit "$@" >"$out" 2>&1 || status=$?
    if [ -n "$limit" ] && [ "$status" -eq 124 ]; then
        echo "again   $name (it did not end in 20 minutes)"
        status=0
        $limit "$@" >"$out" 2>&1 || status=$?
    fi
    if [ "$status" -eq 77 ]; then
        skipped=$((skipped + 1))
        echo "skipped $name"
        grep -i '^skipped:' "$out"
    elif [ "$status" -eq 0 ]; then
        if grep -qi '^skipped:' "$out"; then
            skipped=$((skipped + 1))
            echo "skipped $name (in part)"
            grep -i '^skipped:' "$out"
            return
        fi
        passed=$((passed + 1))
        echo "ok      $name"
    else
        failed=$((failed + 1))
        echo "FAILED  $name"
        cat "$out"
    fi
}

for program in "$@"; do
    run "${program#"$BUILD"/tests/}" "$program"
done
for script in tests/house/test_*.sh tests/cli/test_*.sh; do
    [ -e "$script" ] && run "${script#tests/}" sh "$script"
done
if [ "$skipped" -gt 0 ]; then
    echo "$passed passed, $failed failed, $skipped with something skipped"
else
    echo "$passed passed, $failed failed"
fi
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]

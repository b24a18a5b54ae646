#!/bin/sh
# Runs the test programs named as arguments, then every script of tests/cli, and
# sums up. Output of a passing test is kept to its summary line.
# Environment: BAKESET (the command), BUILD (where logs go).
passed=0 failed=0
log="$BUILD/test-logs"
mkdir -p "$log"

run() {
    name=$1
    shift
    out="$log/$(echo "$name" | tr / _).log"
    if "$@" >"$out" 2>&1; then
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
for script in tests/cli/test_*.sh; do
    [ -e "$script" ] && run "${script#tests/}" sh "$script"
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]

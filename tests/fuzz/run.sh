#!/bin/sh
# Runs the fuzz targets named as arguments, each for SECONDS_EACH, from the inputs in tests/data.
# Environment: BUILD (where they were built). Says how many inputs were tried.
set -u
here=$(dirname "$0")
passed=0 failed=0
for name in "$@"; do
    corpus=$BUILD/corpus-$name
    mkdir -p "$corpus"
    log=$BUILD/fuzz-$name.log
    # To name each function that is reached first starts a symboliser each time: most of 20 s.
    # shellcheck disable=SC2046
    if "$BUILD/fuzz_$name" -max_total_time="$SECONDS_EACH" -print_funcs=0 -max_len=4096 -timeout=60 -rss_limit_mb=2048 \
        -print_final_stats=1 -dict="$here/words/$name" -artifact_prefix="$BUILD/crash-$name-" "$corpus" $(sh "$here/seeds.sh" "$name") >"$log" 2>&1; then
        passed=$((passed + 1))
        echo "ok      fuzz_$name: $(sed -n 's/^stat::number_of_executed_units: *//p' "$log") inputs"
    else
        failed=$((failed + 1))
        echo "FAILED  fuzz_$name"
        tail -30 "$log"
    fi
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]

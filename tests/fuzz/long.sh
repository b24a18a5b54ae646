#!/bin/sh
# Long runs of fuzz targets: each run adds a line to a file of counts, so that executions add up over runs, commits and machines.
#
#   make fuzz-targets; make fuzz-targets FUZZ_FAST=1
#   sh tests/fuzz/long.sh [-f] [-l MAX_LEN] [-s SECONDS] [-r RUNS] NAME...
#
# -f takes the build with counters alone. What a run finds stays in BUILD/corpus-NAME and is where the next begins. A run that
# crashes says so in its line: nothing that did not run is counted. Inputs that crash lie in BUILD/found.
# Environment: BUILD (of make, default build), PROGRAMS (where the targets are, default BUILD), COUNTS (the file, default BUILD/fuzz-counts.tsv), COMMIT (when it is not HEAD's).
set -u
BUILD=${BUILD:-build}
counts=${COUNTS:-$BUILD/fuzz-counts.tsv}
commit=${COMMIT:-$(git rev-parse --short HEAD)}
kind=fuzz length=512 seconds=60 runs=-1
while getopts fl:s:r: option; do
    case $option in
    f) kind=fuzz-fast ;;
    l) length=$OPTARG ;;
    s) seconds=$OPTARG ;;
    r) runs=$OPTARG ;;
    *) exit 2 ;;
    esac
done
shift $((OPTIND - 1))
here=$(dirname "$0")
mkdir -p "$BUILD/found"
[ -e "$counts" ] || printf 'when\tcommit\ttarget\tbuild\tmax_len\texecutions\tprocessor_seconds\tedges_begin\tedges_end\tcorpus\tended\n' >"$counts"
# A quarantine that fits a cache: an arena's pieces do not go through it, and one input's fit.
export ASAN_OPTIONS="${ASAN_OPTIONS:-quarantine_size_mb=16:malloc_context_size=4:intercept_strstr=0}"
worst=0
for name in "$@"; do
    corpus=$BUILD/corpus-$name log=$BUILD/long-$name.$$.log
    mkdir -p "$corpus"
    # shellcheck disable=SC2046
    (
        "${PROGRAMS:-$BUILD}/$kind/fuzz_$name" -max_total_time="$seconds" -runs="$runs" -max_len="$length" -entropic=0 -print_funcs=0 -timeout=60 \
            -rss_limit_mb=2048 -print_final_stats=1 -dict="$here/words/$name" -artifact_prefix="$BUILD/found/$name-" \
            "$corpus" $(sh "$here/seeds.sh" "$name") >"$log" 2>&1
        times >"$log.time"
    )
    count=$(sed -n 's/^stat::number_of_executed_units: *//p' "$log")
    ended=ok
    grep -q '^SUMMARY' "$log" && ended=$(sed -n 's/^SUMMARY: *//p' "$log" | head -1)
    [ "$ended" = ok ] || worst=1
    [ -n "$count" ] || count=$(sed -n 's/^#\([0-9]*\).*/\1/p' "$log" | tail -1)
    printf '%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n' "$(date -u +%Y-%m-%dT%H:%MZ)" "$commit" "$name" "$kind" "$length" \
        "${count:-0}" "$(sed -n '2s/[ms]/ /gp' "$log.time" | awk '{print 60 * $1 + $2 + 60 * $3 + $4}')" \
        "$(sed -n 's/.*INITED cov: \([0-9]*\).*/\1/p' "$log" | head -1)" "$(sed -n 's/.* cov: \([0-9]*\).*/\1/p' "$log" | tail -1)" \
        "$(find "$corpus" -type f | wc -l)" "$ended" >>"$counts"
    tail -1 "$counts"
done
exit $worst

#!/bin/sh
# The shared library exports what tests/house/exports.txt lists and nothing else, bakeset.h
# declares the same, and so says the manual. A symbol that goes or changes its meaning is a
# new SOVERSION. Environment: BUILD.
build=${BUILD:-build}
work=$(mktemp -d "${TMPDIR:-/tmp}/bakeset-exports.XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT
failed=0

compare() {
    if diff "$work/listed" "$work/$1" >"$work/difference"; then return; fi
    echo "FAILED: $2 (< listed in tests/house/exports.txt, > there):"
    cat "$work/difference"
    failed=1
}

LC_ALL=C sort -u tests/house/exports.txt >"$work/listed"
nm -D --defined-only "$build/libbakeset.so" | awk '{print $3}' | grep -v '^_\(init\|fini\|edata\|end\|_bss_start\)$' |
    grep -v '^__\(asan\|odr_asan\|ubsan\)' | LC_ALL=C sort -u >"$work/exported"
compare exported "the shared library"
tr '\n' ' ' <include/bakeset.h | grep -o 'BAKESET_API[^;]*' | grep -o 'bakeset_[a-z_]*(' | tr -d '(' |
    LC_ALL=C sort -u >"$work/declared"
compare declared "include/bakeset.h"
grep -o '^\.Fn bakeset_[a-z_]*' docs/bakeset.3 | cut -d' ' -f2 | LC_ALL=C sort -u >"$work/documented"
compare documented "docs/bakeset.3"
echo "$(wc -l <"$work/listed") symbols, $failed lists differ"
exit $failed

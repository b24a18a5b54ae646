#!/bin/sh
# The manual pages are without fault, by two readers of them, and tell of every command and of
# every option that the help has. Environment: BAKESET, BUILD.
bakeset=${BAKESET:-${BUILD:-build}/bakeset}
failed=0
passed=0

check() { # NAME STATUS
    if [ "$2" -eq 0 ]; then passed=$((passed + 1)); else failed=$((failed + 1)) && echo "FAILED: $1"; fi
}

for page in docs/bakeset.1 docs/bakeset.3; do
    if command -v mandoc >/dev/null 2>&1; then
        # The other page is not installed where it is looked for.
        faults=$(mandoc -T lint "$page" | grep -v 'referenced manual not found: Xr bakeset')
        [ -z "$faults" ]
        check "mandoc has no fault to find in $page: $faults" $?
    else
        echo "SKIPPED: no mandoc"
    fi
    if command -v man >/dev/null 2>&1; then
        faults=$(man --warnings -l "$page" 2>&1 >/dev/null)
        [ -z "$faults" ]
        check "man has no fault to find in $page: $faults" $?
    else
        echo "SKIPPED: no man"
    fi
done

for command in $("$bakeset" --help | sed -n 's/^  \([a-z][a-z-]*\)  .*/\1/p'); do
    grep -q "^\.It Cm $command\$" docs/bakeset.1
    check "bakeset.1 says what $command does" $?
    grep -q "^| \`bakeset $command\b" README.md
    check "the README's table has $command" $?
    for option in $("$bakeset" "$command" --help | sed -n 's/^  --\([a-z-]*\).*/\1/p'); do
        [ "$option" = help ] || grep -q "Fl Fl $option\b" docs/bakeset.1
        check "bakeset.1 tells of --$option of $command" $?
    done
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 40 ]

#!/bin/sh
# Two hundred random plans, each timeline checked by the text of the plan format alone.
. tests/cli/lib.sh

it "random plans"
if command -v python3 >/dev/null 2>&1; then
    ran="random_plans.py"
    if python3 tests/cli/random_plans.py "$bakeset" 1 200 "$work" >"$out" 2>"$err"; then
        pass
    else
        fail "$(cat "$out")"
    fi
    cat "$out"
    # Both kinds of answer must have come up, or the check checks nothing.
    expect_match "$out" "[0-9] optimal"
    expect_match "$out" "[0-9] impossible"
else
    skip "no python3"
fi

finish

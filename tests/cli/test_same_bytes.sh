#!/bin/sh
# The same plan gives the same bytes: twice, in another zone, in another locale, from
# another directory.
. tests/cli/lib.sh

outputs() { # outputs DIRECTORY: the options that write every file there
    mkdir -p "$1"
    echo "--json=$1/t.json --ics=$1/t.ics --svg=$1/t.svg --html=$1/t.html"
}

for plan in friday-supper sunday-roast winter-holiday; do
    it "$plan"
    # shellcheck disable=SC2046
    run timeline $(outputs "$work/one") plans/$plan.json
    expect_status 0
    cp "$out" "$work/one/text"
    for vars in "TZ=" "TZ=Pacific/Auckland LC_ALL=de_DE.UTF-8" "TZ=America/New_York LC_ALL=C.UTF-8 LANG=tr_TR.UTF-8"; do
        it "$plan with $vars"
        # shellcheck disable=SC2046
        run_as "$vars" timeline $(outputs "$work/two") plans/$plan.json
        expect_status 0
        cp "$out" "$work/two/text"
        for file in text t.json t.ics t.svg t.html; do expect_same "$work/one/$file" "$work/two/$file"; done
    done
done

finish

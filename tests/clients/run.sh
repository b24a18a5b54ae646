#!/bin/sh
# make check-clients: every .ics that the demo plans and 20 generated plans give, through six
# independent readers and clients, against the timeline's JSON; and through a CalDAV server. Then
# repeat rules as they are read, against python3-dateutil and ical.js.
# Environment: BAKESET (the command), BUILD (a folder for what is made). Run from the root.
set -eu
. tests/support/node.sh
bakeset=$(realpath "${BAKESET:-build/bakeset}")
here=tests/clients
made=$(realpath "${BUILD:-build}")/clients
rm -rf "$made/files" "$made/khal"
mkdir -p "$made/files"
need_modules $here "$made"

python3 $here/plans.py "$made/plans"
passed=0 failed=0

# One plan: the .ics and the JSON of one run, then each reader.
check_plan() {
    name=$(basename "$1" .json)
    base=$made/files/$name
    if ! "$bakeset" timeline "$1" --effort 20000 --ics "$base.ics" --json="$base.timeline.json" \
        >"$base.txt" 2>&1; then
        echo "FAILED  $name: no timeline"
        head -20 "$base.txt"
        failed=$((failed + 1))
        return
    fi
    if /usr/bin/python3 $here/read_icalendar.py "$base.ics" >"$base.icalendar.jsonl" &&
        /usr/bin/python3 $here/read_vobject.py "$base.ics" >"$base.vobject.jsonl" &&
        TZ=UTC node "$made/node/read_ical_js.mjs" "$base.ics" >"$base.icaljs.jsonl" &&
        TZ=UTC node "$made/node/read_node_ical.mjs" "$base.ics" >"$base.nodeical.jsonl" &&
        sh $here/read_khal.sh "$base.ics" "$made/khal/$name" >"$base.khal.jsonl" &&
        /usr/bin/python3 $here/compare.py "$base.timeline.json" "$base.icalendar.jsonl" \
            "$base.vobject.jsonl" "$base.icaljs.jsonl" "$base.nodeical.jsonl" "$base.khal.jsonl"; then
        passed=$((passed + 1))
        echo "ok      $name: $(wc -l <"$base.icalendar.jsonl") events"
    else
        failed=$((failed + 1))
        echo "FAILED  $name"
    fi
}

for plan in plans/friday-supper.json plans/sunday-roast.json plans/winter-holiday.json \
    "$made"/plans/generated-*.json; do
    check_plan "$plan"
done
if ${CC:-cc} -std=c11 -D_POSIX_C_SOURCE=200809L -Isrc $here/occurrences.c "$made/../libbakeset.a" \
    -lcjson -lunistring -lm -o "$made/occurrences" &&
    /usr/bin/python3 -W ignore $here/rules.py "$made/occurrences" "$made/rules" "$made/node/rules_ical_js.mjs"; then
    passed=$((passed + 1))
    echo "ok      repeat rules as python3-dateutil and ical.js have them"
else
    failed=$((failed + 1))
    echo "FAILED  repeat rules as python3-dateutil and ical.js have them"
fi
if sh $here/sync.sh "$made"; then
    passed=$((passed + 1))
    echo "ok      vdirsyncer to Radicale and back"
else
    failed=$((failed + 1))
    echo "FAILED  vdirsyncer to Radicale and back"
fi
if /usr/bin/python3 $here/page_publish.py "$bakeset" "$made"; then
    passed=$((passed + 1))
    echo "ok      published from the page to Radicale"
else
    failed=$((failed + 1))
    echo "FAILED  published from the page to Radicale"
fi
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 20 ]

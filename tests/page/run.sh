#!/bin/sh
# make check-page: the page in Chromium, as a cook has it: on a phone, at the hours of the plan, on
# paper, without a mouse, in the dark, with large letters, and with names that mean ill. Then the page
# of a folder, with the real server, as a household has it.
# Environment: BAKESET (the command), BUILD (a folder for what is made). Run from the root.
set -eu
. tests/support/node.sh
bakeset=$(realpath "${BAKESET:-build/bakeset}")
here=tests/page
made=$(realpath "${BUILD:-build}")/page-check
need_modules $here "$made"

rm -rf "$made/node/site"
cp -r src/page/site "$made/node/site"
node "$made/node/units.mjs" "$made/node/site"

rm -f "$made"/*.html "$made"/*.pdf "$made"/*.png
for plan in plans/friday-supper.json plans/winter-holiday.json plans/sunday-roast.json plans/birthday-tea.json \
    $here/hostile.json; do
    "$bakeset" timeline "$plan" --effort 20000 --html "$made/$(basename "$plan" .json).html" >/dev/null
done
"$bakeset" timeline plans/friday-supper.json --serve "+25 min" --html "$made/later.html" >/dev/null
node "$made/node/check.mjs" "$made"
node "$made/node/page.mjs" "$bakeset" "$made"
node "$made/node/pair.mjs" "$bakeset" "$made"

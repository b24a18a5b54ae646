#!/bin/sh
# make check-schemas: the schemas of docs through an independent validator: every demonstration
# plan, the documented examples, every bad plan of the tests, and what the program writes.
# Environment: BAKESET (the command), BUILD (a folder for what is made). Run from the root.
set -eu
. tests/support/node.sh
bakeset=$(realpath "${BAKESET:-build/bakeset}")
here=tests/schema
made=$(realpath "${BUILD:-build}")/schemas
rm -rf "$made/written"
mkdir -p "$made/written"
need_modules $here "$made"

# What the program writes; a plan that cannot be met has a timeline too.
for plan in plans/*.json tests/data/cli/edits/*.json; do
    name=$(basename "$plan" .json)
    "$bakeset" timeline --effort 20000 --json "$plan" >"$made/written/$name.timeline.json" 2>/dev/null || [ $? -eq 1 ]
done
"$bakeset" new >"$made/written/new.plan.json"
"$bakeset" new --from plans/recipes/pavlova.json --serve "2026-12-24 19:30" >"$made/written/of-recipes.plan.json"
for page in tests/data/take-in/tuned/*.html tests/data/take-in/tuned/*.txt tests/data/take-in/tuned/*.json; do
    case $page in *.stages.json) continue ;; esac
    "$bakeset" take-in "$page" >"$made/written/$(basename "$page").recipe.json" 2>/dev/null || rm "$made/written/$(basename "$page").recipe.json"
done
for plan in plans/friday-supper.json plans/recipes/pavlova.json; do
    "$bakeset" tidy "$plan" >"$made/written/tidy-$(basename "$plan" .json).$(case $plan in *recipes*) echo recipe ;; *) echo plan ;; esac).json"
done
# A day under way, and its journal.
cp -r plans "$made/written/kitchen"
roast=$made/written/kitchen/sunday-roast.json
"$bakeset" day later "+10 min" --now "2026-11-28 22:00" "$roast" >/dev/null
"$bakeset" day --now "2026-11-29 13:00" --json "$roast" >"$made/written/day.timeline.json"
find "$made/written/kitchen" -name '*.day.jsonl' -exec cp {} "$made/written/" \;
rm -rf "$made/written/kitchen"
node "$made/node/validate.mjs" "$made/written"

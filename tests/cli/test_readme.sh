#!/bin/sh
# The plan in the README gives the timeline in the README. With --update the README gets
# what the program gives now; read the difference before you commit it.
. tests/cli/lib.sh

# block NAME FILE: the fenced block after <!-- NAME -->, without its fences.
block() {
    awk -v mark="<!-- $1 -->" '
        $0 == mark { wanted = 1; next }
        wanted == 1 && /^```/ { wanted = 2; next }
        wanted == 2 && /^```/ { exit }
        wanted == 2' README.md >"$2"
}

block plan "$work/supper.json"
block timeline "$work/shown"

it "the README's plan is without fault"
expect_file "$work/supper.json"
run check "$work/supper.json"
expect_status 0

it "its timeline is the one shown"
run timeline "$work/supper.json"
expect_status 0
{
    # shellcheck disable=SC2016
    echo '$ bakeset timeline supper.json'
    cat "$out"
} >"$work/given"
if [ "${1:-}" = --update ]; then
    awk -v given="$work/given" '
        $0 == "<!-- timeline -->" { wanted = 1 }
        wanted == 2 && /^```/ { wanted = 0 }
        wanted != 2
        wanted == 1 && /^```/ {
            while ((getline line <given) > 0) print line
            wanted = 2
        }' README.md >"$work/README.md" && cat "$work/README.md" >README.md
    block timeline "$work/shown"
fi
expect_same "$work/given" "$work/shown"

it "the estimate of how long something takes to get cold begins as shown"
block cooling "$work/cooling"
# The README's own words, quotes and all.
eval "set -- $(sed -n '1s/^\$ bakeset //p' "$work/cooling")"
run "$@"
expect_status 0
sed 1d "$work/cooling" >"$work/shown-cooling"
head -n "$(wc -l <"$work/shown-cooling")" "$out" >"$work/given-cooling"
expect_same "$work/given-cooling" "$work/shown-cooling"
expect_file "$work/shown-cooling"

it "its estimate of a cooling begins as shown"
block cooling "$work/cooling"
read -r command <"$work/cooling"
sed 1d "$work/cooling" >"$work/shown"
expect_file "$work/shown"
# shellcheck disable=SC2016
eval "run ${command#'$ bakeset '}"
expect_status 0
head -n "$(wc -l <"$work/shown")" "$out" >"$work/given"
expect_same "$work/given" "$work/shown"

it "the files and commands that the README names are there"
for file in docs/plan-format.md docs/bakeset.1 DEVELOPERS.md LICENSE plans; do
    if [ -e $file ]; then pass; else fail "there is no $file"; fi
done
run timeline --help
for option in --serve --now --ics --json --svg --html --effort; do
    expect_stdout "$option"
done

finish

#!/bin/sh
# Every command that the README, the pages of docs and the manual show is one that works: those
# on a line of their own are run, on the README's plan; those inside a sentence are of a command
# that there is, with options that it has.
. tests/cli/lib.sh

# A kitchen table as the pages have it before them.
table=$work/table
mkdir -p "$table/recipes"
cp -r plans "$table/plans"
cp tests/data/take-in/tuned/blackcurrant-torte.html "$table/saved-page.html"
for recipe in A B; do cp plans/recipes/pavlova.json "$table/recipes/$recipe.json"; done
# The README's plan, with a salad for the day on which it is dropped.
awk '$0 == "<!-- plan -->" { w = 1; next } w == 1 && /^```/ { w = 2; next } w == 2 && /^```/ { exit } w == 2' README.md |
    sed 's/^  }\]$/  }, {"dish": "Green salad", "stages": [{"id": "wash", "do": "Wash the salad", "active": "10 min"}]}]/' \
        >"$table/supper.json"
cp "$table/supper.json" "$table/PLAN.json"
cp "$table/supper.json" "$table/FILE.json"

it "the plan at hand is without fault"
run check "$table/supper.json"
expect_status 0

# lines FILE: the commands that stand on a line, from "bakeset" to the words about them. The
# clock of whoever runs the tests is another than the cook's.
lines() {
    sed -n 's/^\(\$ \|    \)\(bakeset .*\)$/\2/p; s/^\.Dl \$ \(bakeset .*\)$/\1/p' "$1" |
        sed 's/\\(dq/"/g; s/  *#.*//; s/   .*//; s/--now supper/--now="2026-12-03 12:00" supper/
            s/192\.168\.1\.20/127.0.0.2/'
}

it "every command on a line of its own"
count=0
for page in README.md docs/*.md docs/bakeset.1; do
    [ "$page" = docs/evening.md ] && continue # its commands belong together: test_evening.sh
    lines "$page" >"$work/lines"
    rm -f "$table"/*.day.jsonl # each page has its own evening
    while IFS= read -r line; do
        count=$((count + 1))
        # The pages' own words, quotes and all.
        eval "set -- ${line#bakeset }"
        # A day is told of on the evening before, and of what comes last on its own.
        case "$1 $*" in
        "day "*chill* | "day "*unmould* | "day "*later*) set -- "$@" --now "2026-12-04 15:50" ;;
        "day "*) set -- "$@" --now "2026-12-03 21:30" ;;
        esac
        # The page goes on until it is interrupted.
        until=
        case "$1 $*" in
        *--forget*) ;;
        "page "*) until="timeout --preserve-status -s INT 1" && set -- "$@" --port 0 ;;
        esac
        ran="$page: $*"
        status=0
        # shellcheck disable=SC2086
        (cd "$table" && $until "$bakeset" "$@" >"$out" 2>"$err" </dev/null) || status=$?
        case $* in
        *impossible*) expect_status 1 ;;
        *) expect_status 0 ;;
        esac
    done <"$work/lines"
done
if [ "$count" -ge 18 ]; then pass; else fail "only $count commands found"; fi

it "every command in a sentence"
count=0
cat README.md docs/*.md | grep -o '`bakeset [a-z][^`]*`' | tr -d '`' | sort -u >"$work/words"
while IFS= read -r line; do
    count=$((count + 1))
    command=$(echo "$line" | cut -d' ' -f2)
    run "$command" --help
    expect_status 0
    for option in $(echo "$line" | grep -o -e '--[a-z-]*'); do
        [ "$option" = --help ] || expect_match "$out" "^  $option\\b"
    done
    # Those that are whole are run; a server is had in test_publish.sh, a terminal by nobody here.
    case $line in
    *\[* | *URL* | *…* | *--watch* | *DISH* | *NAME*) continue ;;
    *.json* | *--help*) ;;
    *) continue ;;
    esac
    eval "set -- ${line#bakeset }"
    ran="$line"
    status=0
    (cd "$table" && "$bakeset" "$@" >"$out" 2>"$err" </dev/null) || status=$?
    expect_status 0
done <"$work/words"
if [ "$count" -ge 20 ]; then pass; else fail "only $count commands found"; fi
finish

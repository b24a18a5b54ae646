#!/bin/sh
# A plan from a stranger: it reads nothing outside its own folder, and no name of a file commands
# the terminal.
. tests/cli/lib.sh

mkdir -p "$work/plan/parts" "$work/beside"
secret=top-secret-first-line
echo "$secret" >"$work/secret.txt"
printf '{"cooks": 1}' >"$work/beside/kitchen.json"
printf 'BEGIN:VCALENDAR\nVERSION:2.0\nEND:VCALENDAR\n' >"$work/beside/family.ics"
printf '{"dish": "Rolls", "stages": [{"id": "a", "do": "Knead", "active": "5 min"}]}' >"$work/beside/rolls.json"

# plan NAME KITCHEN DISH: a plan in $work/plan.
plan() {
    printf '{"occasion": "Tea", "timezone": "Europe/London", "serve": "2026-12-18 16:00", "kitchen": %s, "dishes": [%s]}\n' \
        "$2" "$3" >"$work/plan/$1.json"
}
rolls='{"dish": "Rolls", "stages": [{"id": "a", "do": "Knead", "active": "5 min"}]}'

it "a recipe, kitchen or calendar outside the plan's folder is not read"
plan recipe '{}' '{"recipe": "../secret.txt"}'
plan absolute '{}' "{\"recipe\": \"$work/secret.txt\"}"
plan round '{}' '{"recipe": "parts/../../secret.txt"}'
plan kitchen '"../secret.txt"' "$rolls"
echo "$secret" >"$work/secret.ics"
plan calendar '{"busy": ["../secret.ics"]}' "$rolls"
plan nothing '{}' '{"recipe": "../no-such-file"}'
ln -s ../secret.txt "$work/plan/link.json"
ln -s .. "$work/plan/up"
plan linked '{}' '{"recipe": "link.json"}'
plan linked-folder '{}' '{"recipe": "up/secret.txt"}'
printf '{"recipe": "../../secret.txt"}' >"$work/plan/parts/rolls.json"
plan chain '{}' '{"recipe": "parts/rolls.json"}'
for name in recipe absolute round kitchen calendar nothing linked linked-folder chain; do
    for command in check timeline why "cooling x"; do
        # shellcheck disable=SC2086
        run $command "$work/plan/$name.json"
        expect_status 2
        expect_stderr "is outside the plan's folder; copy it beside the plan, or, if you trust the plan, give --allow-outside"
        expect_not_stderr "$secret"
        expect_quiet_stdout
    done
done
run publish --to http://127.0.0.1:1/ "$work/plan/recipe.json"
expect_status 2
expect_stderr "is outside the plan's folder"

it "nor when the plan is named from its own folder, or given on standard input"
(cd "$work/plan" && "$bakeset" check recipe.json >"$out" 2>"$err")
expect_stderr "is outside the plan's folder"
expect_not_stderr "$secret"
(cd "$work/plan" && "$bakeset" check - <recipe.json >"$out" 2>"$err")
expect_stderr "is outside the plan's folder"
(cd "$work/plan/parts" && "$bakeset" check ../recipe.json >"$out" 2>"$err")
expect_stderr "is outside the plan's folder"

it "with --allow-outside it is"
plan trusted '"../beside/kitchen.json"' '{"recipe": "../beside/rolls.json"}'
plan busy '{"busy": ["../beside/family.ics"]}' "$rolls"
for name in trusted busy; do
    for command in check timeline why; do
        run $command --allow-outside "$work/plan/$name.json"
        expect_status 0
        run $command "$work/plan/$name.json"
        expect_status 2
    done
done

it "what is inside is read, by whatever path and whatever the way to the plan"
cp "$work/beside/rolls.json" "$work/plan/parts/good.json"
printf '{"recipe": "../parts/good.json"}' >"$work/plan/parts/other.json"
plan inside '{}' '{"recipe": "./parts/../parts/other.json"}'
ln -s plan "$work/plan-link"
for path in "$work/plan/inside.json" "$work/plan/parts/../inside.json" "$work/plan-link/inside.json" \
    "$work/./plan//inside.json"; do
    run check "$path"
    expect_status 0
done
(cd "$work/plan/parts" && "$bakeset" check ../inside.json >"$out" 2>"$err") && pass || fail "from within"
(cd "$work/plan" && "$bakeset" check inside.json >"$out" 2>"$err") && pass || fail "beside it"
(cd "$work" && "$bakeset" check plan/inside.json >"$out" 2>"$err") && pass || fail "from above"
(cd "$work/plan" && "$bakeset" check - <inside.json >"$out" 2>"$err") && pass || fail "from standard input"
# A folder whose name begins alike is another folder.
mkdir "$work/plan-b"
cp "$work/beside/rolls.json" "$work/plan-b/"
plan alike '{}' '{"recipe": "../plan-b/rolls.json"}'
run check "$work/plan/alike.json"
expect_status 2

# ------------------------------------------------------------------ names of files

# expect_clean: neither output holds an escape character, a C1 control or a mark of direction.
expect_clean() {
    for one in '\033' '\302\233' '\342\200\256' '\342\201\246' '\007'; do
        if LC_ALL=C grep -qF "$(printf "$one")" "$out" "$err"; then fail "$one is in the output"; else pass; fi
    done
}

it "escape sequences in the name of a file do not reach the terminal"
evil=$(printf 'a\033]0;x\007\302\233m\342\200\256\342\201\246.json')
cp "$work/plan/inside.json" "$work/plan/$evil" 2>/dev/null || skip "no file of that name can be made"
printf '{"occasion": 7}' >"$work/plan/b$evil"
for command in check timeline why; do
    for name in "$evil" "b$evil" "none-$evil"; do
        run $command "$work/plan/$name"
        expect_clean
    done
done
run "$evil"
expect_clean
run timeline "$work/plan/inside.json" "$evil"
expect_clean
run timeline "--$evil" "$work/plan/inside.json"
expect_clean
run timeline "-$evil" "$work/plan/inside.json"
expect_clean
for option in --ics --svg --html; do
    run timeline $option "$work/none/$evil" "$work/plan/inside.json"
    expect_clean
    run timeline $option "$work/plan/inside.json" "$work/plan/inside.json"
    expect_clean
done
run timeline --ics "$work/x.ics" --replaces "$work/none-$evil" "$work/plan/inside.json"
expect_clean
run new "$work/plan/$evil"
expect_clean
run take-in "$work/plan/b$evil" "$work/plan/$evil"
expect_clean
run publish --to http://127.0.0.1:1/ --netrc "$work/none-$evil" "$work/plan/inside.json"
expect_clean
run publish --to http://127.0.0.1:1/ --certificates "$work/none-$evil" "$work/plan/inside.json"
expect_clean
plan named '{}' "{\"recipe\": \"none-\\u001b]0;x\\u009b\\u202e.json\"}"
run check "$work/plan/named.json"
expect_clean
expect_status 2

cp "$work/plan/inside.json" "$work/plan/parts/t$evil"
for turn in anew already; do
    run tidy --in-place "$work/plan/parts/t$evil"
    expect_status 0
    expect_clean
done
for option in --effort --color --wait; do
    run timeline "$option=$evil" "$work/plan/inside.json"
    expect_clean
done
run check "--fix=$evil" "$work/plan/inside.json"
expect_clean

it "escape sequences in a line that is mended do not reach the terminal"
printf '{"occasion": "Tea", "timezone": "Europe/London", "serve": "2026-12-18 16:00", "kichen": {}, // \033]0;x\007\302\233m\342\200\256\n"dishes": [%s]}\n' "$rolls" >"$work/plan/f$evil"
for fix in --fix --fix=yes; do
    run check $fix "$work/plan/f$evil"
    expect_clean
done
LC_ALL=C grep -qF "$(printf '"kitchen": {}, // \033]0;x\007')" "$work/plan/f$evil" && pass || fail "what is written is not what was there"

it "escape sequences in the words of a plan do not reach the terminal, in any form"
words='x\u001b[31m\u009b\u202e\u2066\u0007y'
plan words '{"equipment": {"oven'"$words"'": {"kind": "oven"}}}' \
    '{"dish": "Rolls '"$words"'", "stages": [{"id": "a'"$words"'", "do": "Knead '"$words"'", "note": "'"$words"'", "caution": "'"$words"'", "active": "5 min", "checks": [{"at": "1 min", "do": "Look '"$words"'"}]}]}'
for form in "" --json --svg=/dev/stdout --html=/dev/stdout --ics=/dev/stdout; do
    # shellcheck disable=SC2086
    run timeline $form "$work/plan/words.json"
    expect_clean
done
run why "$work/plan/words.json"
expect_clean
run check "$work/plan/words.json"
expect_clean

it "a page from a stranger"
printf '<h1>Rolls \033]0;x\007\302\233m \342\200\256</h1><p>Ingredients</p><p>500 g \033[31mflour</p><p>Method</p><p>Knead \033[31m the flour for 10 minutes. Bake at 200 C for 15 minutes.</p>' \
    >"$work/page.html"
run take-in "$work/page.html" --to "$work/taken.json"
expect_status 0
expect_clean
run take-in "$work/page.html"
expect_clean

it "a calendar of 50,000 events to be replaced takes no time that grows with their square"
awk 'BEGIN {
    printf "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//EN\r\n"
    for (i = 0; i < 50000; i++)
        printf "BEGIN:VEVENT\r\nUID:%d\r\nDTSTAMP:20260101T000000Z\r\nDTSTART:20261218T100000Z\r\nSUMMARY:x\r\nEND:VEVENT\r\n", i
    printf "END:VCALENDAR\r\n"
}' >"$work/many.ics"
(
    ulimit -t 10 # 20 s of it were not enough, 0.2 s are
    "$bakeset" timeline "$work/plan/inside.json" --ics "$work/new.ics" --replaces "$work/many.ics" >"$out" 2>"$err"
)
expect_stderr "this calendar has 50000 events that this occasion did not write"

finish

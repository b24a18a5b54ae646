#!/bin/sh
# A recipe comes in: pages, data and texts become drafts, which check takes.
. tests/cli/lib.sh
recipes=tests/data/take-in/tuned

it "a page becomes a draft with its guesses, their reasons and the words they came from"
run take-in "$recipes/blackcurrant-torte.html"
expect_status 0
expect_quiet_stderr
expect_stdout '"dish": "Blackcurrant mousse torte"'
expect_stdout 'Time: "22–25 minutes" is 22-25 min.'
expect_stdout 'Oven: 180 C, from "Preheat the oven to 180°C'
expect_stdout '"passive": "22-25 min", "uses": {"oven": {"at": "180 C"}}'
expect_stdout 'Passive: it goes on by itself ("bake").'
expect_stdout '"note": '

it "from standard input"
run_on "$recipes/plain-rolls.txt" take-in -
expect_status 0
expect_stdout "A draft from standard input"
expect_stdout '"active": "10 min"'

it "notes in which no verb says what is done: each guess says what it was guessed from"
printf 'Tart\n\n200 g flour\n100 g butter\n2 apples\n\nmoderate oven\npastry: rub in, rest 30\napples sliced, over\n25 mins. off the tray while hot\n' >"$work/notes.txt"
run take-in "$work/notes.txt"
expect_status 0
expect_quiet_stderr
expect_stdout 'Time: "30" is 30 min (the unit is a guess).'
expect_stdout 'Oven: the words give no number ("moderate oven"); 180 C is usual: write yours.'
expect_stdout 'At once after bake:'
expect_stdout '"do": "Apples sliced, over"'

it "what is done several times has the sum, and says so; a list within a line leaves the rest of it"
printf 'Puff\n\nFor six: 250 g flour, 200 g butter, 120 ml water.\n\nRoll it out. Chill for 40 minutes. Do this three times in all.\nBake at 220C for 10 minutes, then drop to 200C for 25.\n' >"$work/puff.txt"
run take-in "$work/puff.txt"
expect_status 0
expect_quiet_stderr
expect_stdout 'Time: "40 minutes", 3 times, is 2 h.'
expect_stdout '"item": "200 g butter"'
expect_stdout '"passive": "25 min", "uses": {"oven": {"at": "200 C"}}'

it "a time that the next step gives is told in that step's words"
printf 'Tray\n\n100 g oats\n\n1. Mix the oats and let the mixture settle.\n2. After 30 minutes fold the mixture over itself.\n' >"$work/tray.txt"
run take-in "$work/tray.txt"
expect_status 0
expect_stdout 'Time: "30 minutes" is 30 min.'

it "heat that a page tells in a field of its own, or in its title, is that of the baking"
for field in '"ovenTemperature":"190 C"' '"additionalProperty":[{"name":"Oven temperature","value":"190 C"}]' '"cookingMethod":"Bake in the oven at 190 C"'; do
    printf '{"@type":"Recipe","name":"Buns",%s,"recipeIngredient":["200 g flour"],"recipeInstructions":["Bake for 20 minutes."]}' "$field" >"$work/field.json"
    run take-in "$work/field.json"
    expect_status 0
    expect_stdout '"uses": {"oven": {"at": "190 C"}}'
done
printf 'Buns, 190 C\n\n200 g flour\n100 ml milk\n\nMix the flour and milk. Bake for 20 minutes.\n' >"$work/titled.txt"
run take-in "$work/titled.txt"
expect_stdout '"uses": {"oven": {"at": "190 C"}}'

it "the hours that a plan of a day begins its lines with are no amounts"
printf 'Sunday\n\n2 kg pork\n1 onion\n\n0930 Pork in, 230C 30 min.\n1000 Down to 160C, 1 hr 45.\n' >"$work/day.txt"
run take-in "$work/day.txt"
expect_status 0
expect_stdout '"passive": "30 min", "uses": {"oven": {"at": "230 C"}}'
expect_stdout '"after": [{"stage": "bake", "within": "15 min"}]'
expect_stdout '0930'

it "a time that a later step tells is quoted from that step"
printf 'Tart\n\n200 g flour\n100 g butter\n\nLet it rest.\nTake it from where it stands. After 25 minutes, roll it out.\n' >"$work/later.txt"
run take-in "$work/later.txt"
expect_status 0
printf 'Tart\n\n200 g flour\n100 g butter\n\nLet it rest.\nAfter 25 minutes roll it out.\n' >"$work/later.txt"
run take-in "$work/later.txt"
expect_status 0
expect_stdout 'Time: "25 minutes" is 25 min.'

it "a sentence that only says what comes next names a part, and is kept in a note"
printf 'Pudding\n\n200 g suet\n300 ml milk\n\nSteam the suet for 2 hours.\nWhile it steams you make the custard. Warm the milk.\n' >"$work/pudding.txt"
run take-in "$work/pudding.txt"
expect_status 0
expect_stdout 'While it steams you make the custard'
expect_stdout '"after": []'

it "what may go on at the same time waits for nothing, and says why"
printf 'Buns\n\n200 g flour\n300 ml cream\n\nBake the buns at 190C for 20 minutes. Cool on a rack.\nMeanwhile, whip the cream.\nFill the buns with the cream.\n' >"$work/buns.txt"
run take-in "$work/buns.txt"
expect_status 0
expect_stdout 'Order: it goes on beside the stage above'
expect_stdout '"after": []'
expect_stdout '"after": ["cool", "whip"]'

it "what was said of an act that is no stage is not said of the dough, which goes on"
printf 'Rolls\n\n500 g flour\n7 g yeast\n\n1. Knead the flour and yeast for 10 minutes. Leave it to rise for an hour.\n2. Meanwhile line a tray. Shape the dough into 12 balls and let them prove for 30 mins.\n3. Bake at 200C for 15 minutes.\n' >"$work/rolls.txt"
run take-in "$work/rolls.txt"
expect_status 0
expect_stdout '"do": "Shape the dough into 12 balls"'
if grep -q '"after"' "$out"; then fail "an order of its own: $(cat "$out")"; else pass; fi

it "a page whose data stop in the middle of the steps is read where it shows them"
cut_page() {
    printf '<html><head><script type="application/ld+json">{"@type":"Recipe","name":"Pav","recipeIngredient":["6 egg whites"],"recipeInstructions":"Heat oven to 150C. Beat the egg whites..."}</script></head><body><h1>Pav</h1><p>So easy.</p>%s<h3>Notes</h3><p>Chill the leftovers for 2 hours.</p></body></html>\n' "$1" >"$work/cut.html"
    run take-in "$work/cut.html"
    expect_status 0
}
cut_page '<ol><li>Heat oven to 150C (130C fan).</li><li>Beat the egg whites for 10 minutes.</li><li>Bake for 80 minutes.</li></ol>'
expect_stdout '"do": "Beat the egg whites for 10 minutes"'
expect_stdout '"passive": "1 h 20 min"'
if grep -q '2 h' "$out"; then fail "a note was read as a step: $(cat "$out")"; else pass; fi

it "with headings among the steps, and in paragraphs"
cut_page '<div><p>Heat oven to 150C.</p><p>Beat the egg whites for 10 minutes.</p><h3>For the top</h3><p>Whip the cream.</p></div>'
expect_stdout '"do": "Beat the egg whites for 10 minutes"'
expect_stdout '"do": "Whip the cream"'

it "and where the page shows none, the data's own words are kept"
cut_page '<p>Nothing else.</p>'
expect_stdout 'Beat the egg whites'

it "heat that the page shows beside its data, and not what a reader writes below"
data_page() {
    printf '<html><head><script type="application/ld+json">{"@type":"Recipe","name":"Tart","recipeIngredient":["6 plums"],"recipeInstructions":["Mix the plums.","Bake %s 30 minutes."]}</script></head><body><h1>Tart</h1><p>Oven 170C / 150C fan</p><h3>Comments</h3><p>I baked mine at 210C.</p></body></html>\n' "$1" >"$work/beside.html"
    run take-in "$work/beside.html"
    expect_status 0
}
data_page for
expect_stdout '"oven": {"at": "170 C"}'
data_page 'at 160C for'
expect_stdout '"oven": {"at": "160 C"}'
printf '<html><body><h1>Tart</h1><ul><li>200 g flour</li></ul><h3>Method (oven 170C)</h3><ol><li>Mix the flour.</li><li>Bake 20 minutes.</li></ol></body></html>\n' >"$work/head.html"
run take-in "$work/head.html"
expect_status 0
expect_stdout '"oven": {"at": "170 C"}'

it "a step's name tells the heat that its text does not"
printf '{"@type":"Recipe","name":"Buns","recipeIngredient":["200 g flour"],"recipeInstructions":[{"@type":"HowToStep","text":"Knead the flour."},{"@type":"HowToStep","name":"Bake at 190 C","text":"Bake for 25 minutes."}]}\n' >"$work/named.json"
run take-in "$work/named.json"
expect_status 0
expect_stdout '"oven": {"at": "190 C"}'

it "hot milk is poured on the yolks at once, though no word says so"
printf 'Custard\n\n300 ml milk\n3 yolks\n\nBring the milk to the boil.\nPour it on to the yolks, whisking.\n' >"$work/custard.txt"
run take-in "$work/custard.txt"
expect_status 0
expect_stdout '"after": [{"stage": "bring", "within": "5 min"}]'

it "check passes on every draft, and each is the same every time"
bad=
for recipe in "$recipes"/*.html "$recipes"/*.txt "$recipes"/*.json; do
    case $recipe in *.gold.json) continue ;; esac
    "$bakeset" take-in "$recipe" >"$work/draft.json" 2>"$err" &&
        "$bakeset" check "$work/draft.json" >"$out" 2>>"$err" &&
        "$bakeset" take-in "$recipe" | cmp -s - "$work/draft.json" || bad="$bad ${recipe##*/}"
done
if [ -z "$bad" ]; then pass; else fail "not on:$bad"; fi

it "a draft in a plan gives a timeline"
mkdir "$work/recipes"
run take-in "$recipes/blackcurrant-torte.html" --to "$work/recipes/torte.json"
expect_status 0
expect_quiet_stdout
cat >"$work/plan.json" <<'END'
{"occasion": "Tea", "timezone": "Europe/London", "serve": "2026-12-05 16:00",
 "kitchen": {"equipment": {"oven": {"kind": "oven"}, "hob": {"kind": "hob"}, "fridge": {"kind": "cold"}, "tin": {}, "mixer": {}}},
 "dishes": [{"recipe": "recipes/torte.json"}]}
END
run timeline "$work/plan.json"
expect_status 0
expect_stdout "Bake for 22–25 minutes until springy"

it "no file is written over"
cp "$work/recipes/torte.json" "$work/before.json"
run take-in "$recipes/plain-rolls.txt" --to "$work/recipes/torte.json"
expect_status 2
expect_stderr "is there already"
if cmp -s "$work/before.json" "$work/recipes/torte.json"; then pass; else fail "it was written over"; fi

it "nor a pipe, which is not waited for"
mkfifo "$work/pipe"
ran="take-in to a pipe"
status=0
timeout 5 "$bakeset" take-in "$recipes/plain-rolls.txt" --to "$work/pipe" >"$out" 2>"$err" || status=$?
expect_status 2
expect_stderr "is there already"

it "what is no recipe, a file that is not there, nothing at all"
printf 'Dear Sir, your bill is due. Regards.' >"$work/letter.txt"
run take-in "$work/letter.txt"
expect_status 2
expect_quiet_stdout
expect_stderr "nothing in $work/letter.txt reads like the steps of a recipe"
run take-in "$work/none.html"
expect_status 3
expect_stderr "cannot read $work/none.html"
: >"$work/empty"
run take-in "$work/empty"
expect_status 2
expect_quiet_stdout
run take-in
expect_status 2

it "a hostile page: nothing is run, markup is gone, what follows a NUL is read"
run take-in "$recipes/hostile-injection.html"
expect_status 0
expect_stdout "12-15 min"
expect_stdout "Cool on the tray"
if grep -q '<script' "$out"; then fail "markup is in the draft"; else pass; fi

it "control characters, also those above ASCII, do not reach the draft"
printf 'Tart\n\n200 g flour\n\nBake the flour 10 min.\n\302\205Rest\302\200 20 \007minutes.\n' >"$work/control.txt"
run take-in "$work/control.txt" --to "$work/control.json"
expect_status 0
run check "$work/control.json"
expect_status 0

it "large and deep pages in bounded time"
python3 - "$work" <<'PYTHON'
import sys
work = sys.argv[1]
step = "<li>Bake at 180 C for 12 to 15 minutes, then cool for 1 hour.</li>\n"
page = "<html><body><h1>Big</h1><p>200 g flour</p><ol>" + step * 15000 + "</ol></body></html>"
open(work + "/big.html", "w").write(page)
open(work + "/deep.html", "w").write("<div>" * 200000 + step)
open(work + "/brackets.json", "w").write("[" * 200000)
open(work + "/quotes.html", "w").write("<a href=" * 100000 + step)
open(work + "/entities.html", "w").write("<p>" + "&amp;&" * 150000 + step)
open(work + "/one-step.json", "w").write('{"@type":"Recipe","recipeInstructions":"' + "stir and bake for 5 minutes and " * 30000 + '"}')
open(work + "/one-line.txt", "w").write("Title\n" + "bake 1 1/2 " * 100000)
open(work + "/lines.txt", "w").write("Title\n" + "- 2 x\n" * 150000 + "Bake 10 min.\n")
flour = "Title\n\n200 g flour\n\n"
open(work + "/words.txt", "w").write(flour + "\n".join(f"{n}. Bake it " + "a " * 2000 + "10 min." for n in range(1, 60)))
open(work + "/or.txt", "w").write(flour + "1. Chill for 10 minutes " + "or " * 1900)
open(work + "/then.txt", "w").write(flour + "\n".join(f"{n}. bake " + "then without for " * 250 for n in range(1, 60)))
open(work + "/signs.txt", "w").write(flour + "1. Bake " + "a. " * 150000)
open(work + "/chat.txt", "w").write(flour + "1. Bake for 10 minutes.\n" + "What a pity that nobody but me likes it so very much, is it not?\n" * 200)
open(work + "/long.txt", "w").write(flour + "mix the flour and " * 600)
open(work + "/item.txt", "w").write("Title\n\nIngredients\n200 g " + "flour " * 3000 + "\n\nMethod\nBake for 10 min.\n")
PYTHON
for page in big.html deep.html brackets.json quotes.html entities.html one-step.json one-line.txt lines.txt \
    words.txt or.txt then.txt signs.txt; do
    status=0
    timeout 20 "$bakeset" take-in "$work/$page" >"$out" 2>"$err" || status=$?
    case $status in 0 | 2) pass ;; *) fail "$page: status $status" ;; esac
done

it "what is longer than a plan may hold is cut, so that check passes on every draft"
for page in chat long item; do
    run take-in "$work/$page.txt" --to "$work/$page.json"
    expect_status 0
    run check "$work/$page.json"
    expect_status 0
done

it "a list under its heading is one, though its amounts count up"
printf 'Soup\n\nIngredients\n1 onion\n2 carrots\n3 leeks\n4 eggs\n\nMethod\nChop the leeks.\n' >"$work/count.txt"
run take-in "$work/count.txt"
expect_stdout '"item": "3 leeks"'

it "no sentence is lost between two that are told with what follows"
printf 'Stew\n\n1. Put the fruit in the pan. Season the venison. Brown it for 5 minutes.\n' >"$work/carried.txt"
run take-in "$work/carried.txt"
expect_stdout 'Season the venison. Brown it'
expect_stdout 'Put the fruit in the pan'

it "check takes a recipe and a kitchen by themselves, and finds what is wrong in them"
for file in plans/recipes/*.json plans/kitchens/*.json; do
    run check "$file"
    expect_status 0
    expect_stdout "$file: no problem found"
done
printf '{"dish": "Tart", "stages": [{"id": "bake", "do": "Bake", "pasive": "1 h", "uses": {"oven": {"at": "180"}}}]}' >"$work/tart.json"
run check "$work/tart.json"
expect_status 2
expect_stderr 'has no key "pasive"; did you mean "passive"?'
expect_stderr 'add the unit: C, F or a gas mark'
printf '{"cooks": 0, "equipment": {"oven": {"kind": "ofen"}}}' >"$work/kitchen.json"
run check "$work/kitchen.json"
expect_status 2
expect_stderr 'cooks'
expect_stderr 'ofen'
run timeline "$work/tart.json"
expect_status 2
expect_stderr 'occasion'

it "the recipes that take-in is measured on are sound"
ran="check_gold.py"
if python3 tests/data/take-in/check_gold.py >"$out" 2>"$err"; then pass; else fail "$(tail -3 "$err")"; fi

it "how far two readers agree is what docs/take-in.md says, of all that is counted"
ran="measure.py --reader"
python3 tests/takein/measure.py tests/data/take-in/tuned --reader >"$out" 2>"$err"
share='\([0-9]*\) of \([0-9]*\)  *\([0-9.]*\) %'
sed -n -e "s/^\([a-z ]*[a-z]\)  *$share  *$share\$/| \1 | \4 % (\2 of \3) | \7 % (\5 of \6) |/p" \
    -e "s/^\([a-z ]*[a-z]\)  *$share\$/| \1 | \4 % (\2 of \3) | |/p" "$out" >"$work/agreed"
[ "$(wc -l <"$work/agreed")" -eq 10 ] || fail "$(wc -l <"$work/agreed") figures, not 10"
while read -r row; do
    if grep -qxF -e "$row" docs/take-in.md; then pass; else fail "docs/take-in.md lacks: $row"; fi
done <"$work/agreed"

it "the figures of docs/take-in.md are those of the measure"
ran="check_figures.py"
if BAKESET=$bakeset python3 tests/takein/check_figures.py >"$out" 2>"$err"; then pass; else fail "$(tail -3 "$err")"; fi

it "a title without a word is none"
for title in '*' '# ' 'Subject:'; do
    printf '%s\n\n500 g flour\n1 egg\n\nKnead for 10 minutes. Bake at 200 C for 20 minutes.\n' "$title" >"$work/untitled.txt"
    run take-in "$work/untitled.txt" --to "$work/untitled-$(echo "$title" | cksum | tr ' ' -).json"
    expect_status 0
    grep -q '"dish": "A dish"' "$work/untitled-$(echo "$title" | cksum | tr ' ' -).json" && pass || fail "the dish of $title has another name"
done

it "words that make no sentence do not make it read what is not there"
for words in 'Bake in a tin be torn.' 'Mix it all be torn, be cut are chopped.' 'Bake it be baked and baked be baked.'; do
    printf 'Rolls\n\n500 g flour\n1 egg\n\nKnead for 10 minutes. %s\n' "$words" >"$work/words.txt"
    run take-in "$work/words.txt"
    expect_status 0
    expect_stdout '"dish": "Rolls"'
done

it "five jars are for nobody knows how many"
printf 'Chutney\nmakes 5 jars\n\nIngredients\n1 kg pears\n\nMethod\n1. Boil the pears for 1 hour.\n' >"$work/jars.txt"
run take-in "$work/jars.txt"
expect_status 0
expect_stdout '// Yield: "makes 5 jars"; how many that serves is not said.'
if grep -q '"serves"' "$out"; then fail "it serves 5"; else pass; fi

finish

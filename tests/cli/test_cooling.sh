#!/bin/sh
# bakeset cooling: the estimate by itself, as typed.
. tests/cli/lib.sh

# ask OPTION...: a set dessert of the usual size; later options take an earlier one's place.
ask() {
    run cooling --shape round --across "8 in" --deep "6 cm" --food "soft cheese" --from "15 C" \
        --to "6 C" --in fridge --base open "$@"
}

# refused TEXT: exit 2, TEXT among the messages, of which there is one, nothing written.
refused() {
    expect_status 2
    expect_quiet_stdout
    expect_stderr "$1"
    if [ "$(wc -l <"$err")" -eq 1 ]; then pass; else fail "not one message"; fi
    expect_only
}

# told EXPRESSION: python3 finds it true of the estimate e on standard output.
told() {
    if command -v python3 >/dev/null 2>&1; then
        if python3 -c '
import json, sys
e = json.load(open(sys.argv[1]))
at = {p["minutes"]: p.get("warmest_c", p.get("coldest_c")) for p in e["curve"]}
assert eval(sys.argv[2]), sys.argv[2]' "$out" "$1" 2>"$work/.python"; then
            pass
        else
            fail "$(tail -n 1 "$work/.python")"
        fi
    else
        skip "no python3 to read the JSON with"
    fi
}

mkdir "$work/box"

it "the question as the manual has it"
run cooling --shape round --across "20 cm" --deep "6 cm" --food custard --from "15 C" --to "6 C" \
    --air "4 C" --base open
expect_status 0
expect_quiet_stderr
for words in "Custard, round, 20 cm across, 6 cm deep" "from 15 °C to 6 °C in a still fridge at 4 °C" \
    LIKELY LEAST MOST "What matters most" "less deep" "in a ceramic dish" "started 5 °C colder" \
    "with a fan" "the base insulated" "18 cm instead of 20 cm" "portions of 7 cm" \
    "not a measurement" "local rules"; do
    expect_stdout "$words"
done
expect_not_stdout "is safe"

# Common practice, no source: an 8-inch set dessert is soft in the middle at 4 h and wants 6 h, or
# a night on a solid shelf. "Firm" is taken as 6 to 7 C.
it "an 8-inch set dessert from 15 C in a still fridge wants 6 h, and is soft at 4 h"
for food in "soft cheese" custard "panna cotta"; do
    ask --json --food "$food"
    expect_status 0
    told "e['least_minutes'] <= 360 <= e['most_minutes']"
    told "e['least_minutes'] > 240 and at[240] > 7"
    ask --json --food "$food" --base insulated
    told "e['likely_minutes'] >= 480 and e['most_minutes'] <= 16 * 60"
done

# Common practice, no source: a thin warm poured layer wants about an hour and a half.
it "a thin warm layer on a base wants about an hour and a half"
for deep in 6 7 8; do
    run cooling --json --shape slab --deep "$deep mm" --food "fruit jelly" --from "60 C" --to "15 C" \
        --in fridge --base insulated
    told "e['least_minutes'] <= 90 <= e['most_minutes']"
done

# Singh & Heldman, example 4.26 (its input; the answer recomputed): 3778 s.
it "an apple in water"
run cooling --json --shape ball --across "6 cm" --k 0.355 --rho 820 --cp 3600 --h 50 \
    --in "water bath" --air "2 C" --from "15 C" --to "3 C"
expect_status 0
told "e['likely_minutes'] == 63 and e['question']['k'] == 0.355"

# Cengel, example 4-4 (from memory): 14.4 min. It warms.
it "an egg in boiling water"
run cooling --json --shape ball --across "5 cm" --k 0.627 --rho 1000 --cp 4152.318 --h 1200-1200-1200 \
    --in "water bath" --air "95 C" --from "5 C" --to "70 C"
told "e['least_minutes'] == e['likely_minutes'] == e['most_minutes'] == 15"
told "e['warming'] and at[0] == 5"

it "the JSON: its keys, its curve"
ask --json
told "set(e) == {'format', 'question', 'least_minutes', 'likely_minutes', 'most_minutes', 'warming', 'start_c', 'onto_warmest_c', 'biot', 'curve', 'what_matters', 'other_sizes', 'notes'}"
told "e['least_minutes'] <= e['likely_minutes'] <= e['most_minutes']"
told "all(set(p) == {'minutes', 'warmest_c', 'least_c', 'most_c'} for p in e['curve'])"
told "at[0] == 15 and list(at.values()) == sorted(at.values(), reverse=True)"
told "max(at) >= e['most_minutes']"
told "e['what_matters'] and any('18 cm instead of 20.3 cm' in o['change'] for o in e['other_sizes'])"
cp "$out" "$work/json"
ask --json="$work/box/t.json" --svg "$work/box/t.svg"
expect_status 0
expect_stdout LIKELY
expect_same "$work/json" "$work/box/t.json"
expect_match "$work/box/t.svg" '</svg>'
cp "$out" "$work/text"
cp "$work/box/t.svg" "$work/svg"
rm "$work/box/"*

it "less deep, narrower, colder, a fan: less time"
for option in "--deep=5 cm" "--across=7 in" "--from=10 C" "--air=3 C" --fan; do
    ask --json "$option"
    expect_status 0
    cp "$out" "$work/other"
    if command -v python3 >/dev/null 2>&1; then
        if python3 -c '
import json, sys
a, b = (json.load(open(f)) for f in sys.argv[1:])
assert all(b[k] < a[k] for k in ("least_minutes", "likely_minutes", "most_minutes"))' \
            "$work/json" "$work/other" 2>/dev/null; then pass; else fail "$option takes no less"; fi
    else
        skip "no python3"
    fi
done

it "the same bytes twice, in another zone and another locale"
for vars in "TZ=" "TZ=Pacific/Auckland LC_ALL=de_DE.UTF-8" "TZ=America/New_York LC_ALL=C.UTF-8 LANG=tr_TR.UTF-8"; do
    run_as "$vars" cooling --shape round --across "8in" --deep 6cm --food soft-cheese --from 15C --to 6C \
        --in fridge --base open --json="$work/box/t.json" --svg "$work/box/t.svg"
    expect_status 0
    expect_same "$out" "$work/text"
    expect_same "$work/box/t.json" "$work/json"
    expect_same "$work/box/t.svg" "$work/svg"
done
rm "$work/box/"*

it "a composition, in parts or as the plan has it"
run cooling --json --shape slab --across "20 cm" --deep "3 cm" --water 0.6 --protein 0.05 --fat 20% \
    --carbohydrate 0.14 --ash 0.01 --air-fraction 0.4 --from "15 C" --to "6 C"
expect_status 0
cp "$out" "$work/parts"
run cooling --json --shape slab --across "20 cm" --deep "3 cm" \
    --food '{"water": 0.6, "protein": 0.05, "fat": 0.2, "carbohydrate": 0.14, "ash": 0.01, "air": 0.4}' \
    --from "15 C" --to "6 C"
expect_same "$out" "$work/parts"

it "a stage of a plan, and what if it were deeper"
plan=plans/wednesday-tea.json
run timeline --json $plan
cp "$out" "$work/timeline"
run cooling --json chill $plan
expect_status 0
expect_quiet_stderr
if command -v python3 >/dev/null 2>&1; then
    if python3 -c '
import json, sys
e, t = (json.load(open(f)) for f in sys.argv[1:])
s = [s for s in t["stages"] if s["dish"] + "/" + s["stage"] == e["question"]["stage"]]
assert len(s) == 1
assert all(s[0][k] == e[k] for k in ("least_minutes", "likely_minutes", "most_minutes"))' \
        "$out" "$work/timeline" 2>"$work/.python"; then pass; else fail "not what the timeline has"; fi
else
    skip "no python3"
fi
cp "$out" "$work/stage"
run cooling --json $plan
expect_same "$out" "$work/stage"
run cooling --deep "8 cm" $plan
expect_status 0
expect_stdout "8 cm across, 8 cm deep"

it "a plan with several such stages, on standard input"
cat >"$work/two.json" <<'END'
{"occasion": "Two", "timezone": "UTC", "serve": "2026-12-06 16:00",
 "kitchen": {"equipment": {"fridge": {"kind": "cold"}}},
 "dishes": [{"dish": "Pots", "stages": [
   {"id": "cool", "do": "Cool", "cooling": {"shape": "round", "across": "8 cm", "deep": "4 cm",
    "food": "custard", "from": "70 C", "to": "30 C", "in": "room"}},
   {"id": "chill", "do": "Chill", "cooling": {"shape": "round", "across": "8 cm", "deep": "4 cm",
    "food": "custard", "from": "30 C", "to": "8 C", "in": "fridge"}}]}]}
END
run_on "$work/two.json" cooling -
expect_status 2
expect_quiet_stdout
expect_stderr '"Pots/cool", "Pots/chill"'
run_on "$work/two.json" cooling Pots/chill -
expect_status 0
expect_stdout "Pots/chill: Custard, round, 8 cm across, 4 cm deep"

it "a stage that is not there, or is not computed"
run cooling chil $plan
expect_status 2
expect_quiet_stdout
expect_stderr 'did you mean "chill"?'
run cooling plans/friday-supper.json
expect_status 2
expect_stderr "cooling"
run cooling plans/nowhere.json
expect_status 3
expect_quiet_stdout
run cooling one two three
expect_status 2
expect_stderr "too many"

it "without a shape nobody knows which sizes are wanted"
run cooling --food custard --from "20 C" --to "8 C"
expect_status 2
expect_stderr 'shape is missing; write "round", "slab" or "ball"'
expect_not_stderr "across"
expect_not_stderr "deep"

it "the foods"
run cooling --food list
expect_status 0
for food in custard "whipped cream" "soft cheese" "fruit jelly" ganache caramel sponge "cooked rice" stew; do
    expect_match "$out" "^$food  "
done
run cooling --food list --svg "$work/box/t.svg"
refused "--food list stands alone"

it "a food-safety limit is named with its source"
ask --from "60 C" --to "5 C" --air "3 C" --width 200
expect_status 0
expect_stdout "FDA Food Code"
ask --from "60 C" --to "21 C"
expect_stdout "within 2 h of 57 °C"
ask
expect_not_stdout "FDA"

it "targets that are never reached, or are there from the start"
ask --to "4 C" --json="$work/box/t.json" --svg "$work/box/t.svg"
refused "never gets to 4 C"
ask --to "3 C" --svg "$work/box/t.svg"
refused "never gets to 3 C"
ask --to "15 C" --json
refused "starts at its target"
ask --to "20 C"
refused "from the start"
ask --from "0 C" --to "20 C" --in room
refused "never gets to 20 C"

it "sizes that are none"
ask --deep "0 cm" --svg "$work/box/t.svg"
refused "more than nothing"
ask --across "0 in" --json="$work/box/t.json"
refused "more than nothing"
ask --deep "-6 cm"
refused "deep"
ask --deep 6
refused "8 in"
ask --across "6 m"
refused "0.1 mm to 5 m"

it "compositions that don't add up"
run cooling --shape slab --deep "3 cm" --water 0.6 --fat 0.3 --from "15 C" --to "6 C" --svg "$work/box/t.svg"
refused "add up to 0.9, not to 1"
run cooling --shape slab --deep "3 cm" --water 0.8 --fat 0.3 --from "15 C" --to "6 C"
refused "add up to 1.1, not to 1"
run cooling --shape slab --deep "3 cm" --water 1 --air-fraction 0.95 --from "15 C" --to "6 C"
refused "air"
run cooling --shape slab --deep "3 cm" --water -1 --fat 2 --from "15 C" --to "6 C"
expect_status 2
expect_quiet_stdout

it "temperatures below -40 or above 300 C"
for option in --from --to --air; do
    for heat in "-41 C" "301 C" "573 F" "1000 C"; do
        ask $option "$heat" --svg "$work/box/t.svg"
        refused "from -40 C to 300 C"
    done
done
ask --from warm
refused "from -40 C to 300 C"

it "a slab without edges has no width: null"
run cooling --shape slab --deep "4 cm" --food water --from "50 C" --to "20 C" --json
expect_status 0
told "e['question']['across_mm'] is None and e['question']['deep_mm'] == 40"

# Common practice, no source: a bird of 2 kg thaws in a fridge in a day or more; a tray of ice
# cubes is hard in 3 to 6 h; puff pastry thaws on the bench in an hour or two.
it "what freezes and thaws takes the time of its ice"
run cooling --json --shape ball --across "15 cm" --food "roast chicken" --from "-18 C" --to "1 C" --in fridge
expect_status 0
told "e['warming'] and 20 * 60 <= e['least_minutes'] and e['most_minutes'] <= 60 * 60"
run cooling --json --shape ball --across "3 cm" --food water --from "15 C" --to "-10 C" --in freezer
expect_status 0
told "120 <= e['least_minutes'] and e['most_minutes'] <= 420"
run cooling --json --shape slab --deep "15 mm" --food "shortcrust pastry" --from "-18 C" --to "5 C" --in room
told "30 <= e['least_minutes'] and e['most_minutes'] <= 180"

it "whatever holds water that can freeze takes longer through its ice than beside it"
for food in butter caramel buttercream "shortcrust pastry" bread custard; do
    run cooling --json --shape slab --deep "4 cm" --food "$food" --from "-18 C" --to "15 C" --in room
    expect_status 0
    told "e['likely_minutes'] > 60"
    run cooling --json --shape slab --deep "4 cm" --food "$food" --from "20 C" --to "-10 C" --in freezer
    expect_status 0
done

it "a warm layer on a cold one: when it has set, and what it does to the one below"
pour() {
    run cooling --shape round --across "20 cm" --deep "5 mm" --food "fruit jelly" --from "60 C" --to "15 C" \
        --onto mousse --onto-deep "4 cm" --onto-from "5 C" "$@"
}
pour --json
expect_status 0
told "e['question']['onto'] == {'food': 'mousse', 'deep_mm': 40, 'from_c': 5, 'melts_c': None}"
told "all(5 < c < 60 for c in e['onto_warmest_c']) and e['most_minutes'] < 90"
pour --melts "20 C" --width 200
expect_stdout "on 4 cm of mousse at 5 °C"
expect_stdout "softens at 20 °C"
pour --melts "59 C" --width 200
expect_stdout "gets no warmer than"
expect_not_stdout "softens"
pour --onto-from "50 C" --json
cp "$out" "$work/warm"
pour --json
if command -v python3 >/dev/null 2>&1; then
    if python3 -c '
import json, sys
a, b = (json.load(open(f)) for f in sys.argv[1:])
assert b["likely_minutes"] < a["likely_minutes"]' "$work/warm" "$out"; then pass; else fail "not sooner"; fi
fi
run cooling --shape ball --across "5 cm" --food "fruit jelly" --from "60 C" --to "15 C" --onto bread \
    --onto-deep "1 cm" --onto-from "5 C"
refused "a ball lies on no layer"
run cooling --shape slab --deep "5 mm" --food "fruit jelly" --from "60 C" --to "15 C" --melts "20 C"
expect_status 2
expect_stderr "onto is missing"

it "a journey: room, then fridge"
run cooling --json --shape round --across "20 cm" --deep "6 cm" --food custard --from "70 C" --to "8 C" \
    --places "room 1 h"
expect_status 0
told "e['question']['places_before'] == [{'in': 'room', 'air_c': 20, 'minutes': 60}]"
told "at[0] == 70 and e['likely_minutes'] > 60"
run cooling --json --shape round --across "20 cm" --deep "6 cm" --food custard --from "70 C" --to "8 C" \
    --places "room 1 h, freezer"
refused "places"

it "bench, fridge, bench: one curve through three stages of a plan"
cat >"$work/three.json" <<'END'
{"occasion": "Three", "timezone": "UTC", "serve": "2026-12-06 20:00",
 "kitchen": {"equipment": {"fridge": {"kind": "cold"}}},
 "dishes": [{"dish": "Tart", "stages": [
   {"id": "bench", "do": "Cool", "cooling": {"shape": "round", "across": "20 cm", "deep": "3 cm",
    "food": "custard", "from": "80 C", "to": "40 C", "in": "room", "tin": "ceramic"}},
   {"id": "fridge", "do": "Chill", "cooling": {"from": "as it was", "to": "8 C", "in": "fridge"}},
   {"id": "table", "do": "Take out", "cooling": {"from": "as it was", "to": "14 C", "in": "room"}}]}]}
END
run cooling --json Tart/fridge "$work/three.json"
expect_status 0
told "30 < e['start_c'] <= 40.01 and e['question']['tin'] == 'ceramic' and at[0] == e['start_c']"
told "e['question']['minutes_before'] == e['question']['places_before'][0]['minutes']"
run cooling --json Tart/table "$work/three.json"
expect_status 0
told "e['warming'] and len(e['question']['places_before']) == 2 and e['start_c'] < 8.01"
run timeline "$work/three.json"
expect_status 0

it "the timeline has the curves, one from bench to fridge to table"
run timeline --json="$work/three.timeline" "$work/three.json"
expect_status 0
expect_json "$work/three.timeline"
python3 - "$work/three.timeline" >"$out" 2>&1 <<'END' || fail "$(cat "$out")"
import json, sys
stages = [s for s in json.load(open(sys.argv[1]))["stages"] if "curve" in s]
assert len(stages) >= 3, len(stages)
for s in stages:
    points = s["curve"]
    assert points[0]["at"] == s["start"] and points[-1]["at"] == s["end"] and 2 <= len(points) <= 13
    assert all(a["at"] < b["at"] for a, b in zip(points, points[1:]))
for before, after in zip(stages, stages[1:]):
    # the warmest point of what cools, the coldest of what warms
    apart = 1.0 if after["curve"][0]["c"] < after["curve"][-1]["c"] else 0.2
    assert abs(before["curve"][-1]["c"] - after["curve"][0]["c"]) < apart, (before, after)
END
pass

it "what goes on from nothing, or from another body, is told"
sed 's/"from": "80 C"/"from": "as it was"/' "$work/three.json" >"$work/first.json"
run check "$work/first.json"
expect_status 2
expect_stderr 'has no "cooling" to go on from'
sed 's/"as it was", "to": "8 C"/"as it was", "deep": "2 cm", "to": "8 C"/' "$work/three.json" >"$work/other.json"
run check "$work/other.json"
expect_status 2
expect_stderr '"deep" is that of the stage above'

it "a layer in a plan that would melt the one below is told"
cat >"$work/melts.json" <<'END'
{"occasion": "Layers", "timezone": "UTC", "serve": "2026-12-06 20:00",
 "kitchen": {"equipment": {"fridge": {"kind": "cold"}}},
 "dishes": [{"dish": "Torte", "stages": [
   {"id": "pour", "do": "Pour", "cooling": {"shape": "round", "across": "20 cm", "deep": "2 cm",
    "food": "fruit jelly", "from": "50 C", "to": "10 C", "in": "fridge",
    "onto": {"food": "mousse", "deep": "4 cm", "from": "5 C", "melts": "22 C"}}}]}]}
END
run check "$work/melts.json"
expect_status 0
expect_stderr "and softens at 22 C"
sed 's|"melts": "22 C"}}}|&, {"id": "colder", "do": "On", "after": {"stage": "pour", "within": "0 min"}, "cooling": {"from": "as it was", "to": "5 C", "in": "fridge"}}|' \
    "$work/melts.json" >"$work/on.json"
run check "$work/on.json"
expect_status 0
if [ "$(grep -c "and softens at" "$err")" -eq 1 ]; then pass; else fail "not said once, where it is poured"; fi
sed 's/"from": "50 C"/"from": "20 C"/' "$work/melts.json" >"$work/cool.json"
run check "$work/cool.json"
expect_not_stderr "softens"

it "places of a plan that make no journey are told"
for places in '[]' '"room"' '[{"in": "room"}, {"in": "fridge"}]' '[{"in": "fridge", "for": "1 h"}]' \
    '[{"in": "room", "for": "0 min"}, {"in": "fridge"}]' '[{"in": "rom", "for": "1 h"}, {"in": "fridge"}]'; do
    sed "s/\"in\": \"fridge\",/\"places\": $places,/" "$work/melts.json" >"$work/bad.json"
    run check "$work/bad.json"
    expect_status 2
    expect_stderr "; "
done
sed 's/"in": "fridge",/"in": "fridge", "places": [{"in": "fridge"}],/' "$work/melts.json" >"$work/bad.json"
run check "$work/bad.json"
expect_status 2
expect_stderr 'has both "in" and "places"'

it "the table of common things in docs/cooling.md is what is printed"
rows=0
while IFS='|' read -r _ thing asked printed _; do
    eval "run cooling --width 200 $(printf '%s' "$asked" | tr -d '`')"
    expect_status 0
    for word in LEAST LIKELY MOST; do
        sed -n "s/^$word  *\\([^,]*\\)\\(,\\| until\\).*/\\1/p" "$out" | sed 's/ until.*//'
    done | tr '\n' '/' | sed 's,/$,,; s,/, / ,g' >"$work/printed"
    if [ "$(cat "$work/printed")" = "$(printf '%s' "$printed" | sed 's/^ *//; s/ *$//')" ]; then
        pass
    else
        fail "$thing: $(cat "$work/printed"), not $printed"
    fi
    rows=$((rows + 1))
done <<END
$(grep -- '--shape' docs/cooling.md | grep '^| .*|.*`--shape')
END
if [ "$rows" -ge 20 ]; then pass; else fail "only $rows common things"; fi

it "a pot of soup: stirred in ice, in a pot that stands, under a lid"
for how in "--stirred" "--cover=lid"; do
    run cooling --json --shape round --across "24 cm" --deep "9 cm" --food soup --from "90 C" --to "10 C" \
        --in "ice bath" "$how"
    expect_status 0
    told "10 <= e['least_minutes'] and e['most_minutes'] <= 90"
done

it "a target just short of the room is not shown as the room"
run cooling --shape slab --deep "1 cm" --food butter --from "5 C" --to "19.95 C" --in room \
    --svg "$work/box/t.svg"
expect_status 0
expect_stdout "from 5 °C to 19.95 °C in a room at 20 °C"
expect_not_stdout "to 20 °C"
expect_match "$work/box/t.svg" "19.95 °C, the target"
rm "$work/box/t.svg"

it "crumb: vapour in its pores, by name, by composition and by the option, is quicker than still air"
crumb='{"water": 0.36, "protein": 0.09, "fat": 0.03, "carbohydrate": 0.48, "fibre": 0.025, "ash": 0.015, "air": 0.7'
for food in bread "$crumb, \"pores\": 1}"; do
    run cooling --json --shape ball --across "12 cm" --food "$food" --from "95 C" --to "30 C" --in room
    expect_status 0
    told "e['likely_minutes'] == 136"
done
run cooling --json --shape ball --across "12 cm" --food "$crumb}" --pores 100% --from "95 C" --to "30 C" --in room
told "e['likely_minutes'] == 136"
run cooling --json --shape ball --across "12 cm" --food "$crumb}" --from "95 C" --to "30 C" --in room
told "e['likely_minutes'] == 210"
run cooling --shape ball --across "12 cm" --food "$crumb, \"pores\": 2}" --from "95 C" --to "30 C" --in room
refused "pores from 0 to 1"

it "unknown words, with the nearest"
ask --shape rond
refused 'did you mean "round"?'
ask --food custrad --svg "$work/box/t.svg"
refused 'did you mean "custard"?'
ask --food granite
refused "no food is known"
ask --tin gold
refused '"metal", "glass", "ceramic" or "none"'
ask --base shut
refused '"open" or "insulated"'
ask --in larder
refused '"fridge"'

it "materials and surfaces that are none"
ask --k 0.5 --rho 1000 --cp 3600
refused "given twice"
run cooling --shape slab --deep "3 cm" --k 0.5 --rho 1000 --from "15 C" --to "6 C"
refused "cp is missing"
run cooling --shape slab --deep "3 cm" --k 0 --rho 1000 --cp 3600 --from "15 C" --to "6 C"
refused "above 0"
run cooling --shape slab --deep "3 cm" --k 5000 --rho 1000 --cp 3600 --from "15 C" --to "6 C"
refused "not a material"
ask --h 0
refused "W/(m2 K)"
ask --fan --still
refused "exclude"

it "everything missing is named at once"
run cooling
expect_status 2
expect_stderr "shape is missing"
expect_stderr "to is missing"

it "a file that cannot be written: exit 3, and the other is not written either"
ask --json="$work/box/t.json" --svg "$work/box/nowhere/t.svg"
expect_status 3
expect_only
ask --json="$work/box/t" --svg "$work/box/t"
refused "asked for twice"

it "never onto the plan it answers for"
cp plans/wednesday-tea.json "$work/tea.json"
cp -r plans/kitchens plans/recipes plans/calendars "$work/"
cp "$work/tea.json" "$work/kept.json"
run cooling "$work/tea.json" --svg "$work/../$(basename "$work")/tea.json"
expect_status 2
expect_stderr "is a file of the plan"
expect_same "$work/tea.json" "$work/kept.json"

finish

#!/bin/sh
# Which small plans draw a warning about food safety, and which do not.
. tests/cli/lib.sh

for table in normal objectionable; do
    it "every $table plan draws what its line says, and nothing else"
    python3 tests/cli/check_food_safety.py "$bakeset" tests/data/safety/$table.txt >"$out" 2>&1 ||
        fail "some do not: $(cat "$out")"
    pass
done

# Regulation (EU) 1169/2011, annex II, and the nine of the American list.
it "allergens are those of the chosen rules' list, each with the word it went by"
for rules in us uk none; do
    key="\"rules\": \"$rules\""
    if [ "$rules" = none ]; then key='"cooks": 1'; fi
    cat >"$work/soup.json" <<END
{"occasion": "Soup", "timezone": "UTC", "serve": "2026-12-20 18:00", "kitchen": {$key},
 "dishes": [{"dish": "Soup", "ingredients": ["celeriac", "rye bread", "pine nuts", "squid", "flour",
   {"item": "mystery powder", "is": ["mustard", "keeps"]}], "stages": [{"id": "a", "do": "Mix", "active": "5 min"}]}]}
END
    run timeline --json "$work/soup.json"
    expect_status 0
    case $rules in
    us) expect_stdout "Soup (wheat: bread, pine nuts)" ;;
    uk) expect_stdout "Soup (gluten: rye, molluscs: squid, celery: celeriac, mustard)" ;;
    none) expect_stdout "Soup (gluten: rye, molluscs: squid, celery: celeriac, mustard, pine nuts)" ;;
    esac
done

it "what an ingredient says it is stands in the place of its name"
sed 's/"celeriac"/{"item": "celeriac", "is": "keeps"}/' "$work/soup.json" >"$work/said.json"
run timeline --json "$work/said.json"
expect_not_stdout "celery"
expect_stdout "mustard"
sed 's/"keeps"\]/"keps"]/' "$work/soup.json" >"$work/slip.json"
run timeline "$work/slip.json"
expect_status 2
expect_stderr 'did you mean "keeps"?'

it "warns where the plan lets raw meat come out of the fridge hours too early, not where \"within\" holds it back"
cat >"$work/out.json" <<'END'
{"occasion": "Roast", "timezone": "UTC", "serve": "2026-12-20 18:00",
 "kitchen": {"rules": "us", "equipment": {"oven": {"kind": "oven"}}},
 "dishes": [{"dish": "Roast", "ingredients": ["chicken"], "stages": [
  {"id": "out", "do": "Take the chicken out of the fridge", "active": "5 min"},
  {"id": "roast", "do": "Roast it", "passive": "2 h", "uses": {"oven": {"at": "180 C"}}, "after": {"stage": "out"}}]}]}
END
run timeline "$work/out.json"
expect_status 0
expect_stdout "Roast/out: the plan lets it come out at any time from"
sed 's/{"stage": "out"}/{"stage": "out", "within": "1 h"}/' "$work/out.json" >"$work/held.json"
run timeline "$work/held.json"
expect_status 0
expect_not_stdout "come out at any time"

finish

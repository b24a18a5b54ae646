#!/bin/sh
# The reasons why a plan cannot be met are a contradiction by themselves: with all else loosened in the
# plan's file it still cannot be met (tests/cli/cores.py).
. tests/cli/lib.sh

it "random plans that are too tight"
ran="cores.py 1 90"
if PYTHONDONTWRITEBYTECODE=1 python3 tests/cli/cores.py "$bakeset" "$work" 1 90 >"$out" 2>"$err"; then
    pass
else
    fail "$(grep -m 1 FAULT "$out")"
fi
expect_match "$out" "^[1-9][0-9] reasons, the longest of [0-9]* facts, [1-9][0-9]* with a serve"

it "an absence that goes on after the serve does not stand in for it"
# Without its serve the salad could wait until somebody is at home again.
cat >"$work/keeps.json" <<'END'
{"occasion": "Keeps", "timezone": "Europe/London", "serve": "2026-12-24 21:00",
 "kitchen": {"away": [{"from": "2026-12-24 19:00", "to": "2026-12-25 02:00"}]},
 "dishes": [{"dish": "Salad", "keeps": "1 h", "stages": [{"id": "dress", "do": "Dress", "active": "20 min"}]}]}
END
run timeline --width 200 "$work/keeps.json"
expect_status 1
expect_stdout "Salad has to be ready at Thu 24 Dec 21:00"
expect_stdout "Salad keeps only 1 h"

finish

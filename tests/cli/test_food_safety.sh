#!/bin/sh
# Which small plans draw a warning about food safety, and which do not.
. tests/cli/lib.sh

for table in normal objectionable; do
    it "every $table plan draws what its line says, and nothing else"
    python3 tests/cli/check_food_safety.py "$bakeset" tests/data/safety/$table.txt >"$out" 2>&1 ||
        fail "some do not: $(cat "$out")"
    pass
done

finish

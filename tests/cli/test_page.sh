#!/bin/sh
# The page's server as browsers, phones and strangers meet it. Needs python3.
. tests/cli/lib.sh

command -v python3 >/dev/null 2>&1 || {
    it "is served"
    skip "no python3 to ask with"
    finish
}

it "tells what it can be asked"
run page --help
expect_status 0
expect_stdout "Usage: bakeset page [options] [FOLDER]"

it "names what is wrong with where it is to be"
run page "$work/no-folder"
expect_status 3
expect_stderr "cannot open the folder"
run page --port 70000
expect_status 2

it "is what its clients expect"
ran="python3 tests/page/clients.py"
status=0
python3 tests/page/clients.py "$bakeset" "$work" >"$out" 2>"$err" || status=$?
expect_status 0
sed -n 's/^SKIPPED: //p' "$out" >"$work/skipped"
while IFS= read -r line; do skip "$line"; done <"$work/skipped"
cat "$out"
finish

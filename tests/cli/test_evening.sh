#!/bin/sh
# The evening in docs/evening.md, with its four slips, is what the program says. With --update the
# page gets what the program gives now; read the difference before you commit it.
. tests/cli/lib.sh

page=docs/evening.md
cp -r plans "$work/plans"
cp "$work/plans/friday-supper.json" "$work/plans/supper.json"

# Each command of the page, "$ bakeset ...", is run in the folder of the plan; what it prints stands below.
awk '/^```console/ { inside = 1; next } /^```/ { inside = 0 } inside && /^\$ /' "$page" >"$work/commands"
it "has an evening in it"
expect_file "$work/commands"
here=$PWD
: >"$work/given"
while IFS= read -r command; do
    printf '%s\n' "$command" >>"$work/given"
    ran=$command
    status=0
    (cd "$work/plans" && eval "'$bakeset' ${command#\$ bakeset }") >"$out" 2>"$err" </dev/null || status=$?
    expect_status 0
    expect_quiet_stderr
    cat "$out" >>"$work/given"
done <"$work/commands"
cd "$here" || exit 1

shown() {
    awk '/^```console/ { inside = 1; next } /^```/ { inside = 0 } inside' "$page"
}

if [ "${1:-}" = --update ]; then
    python3 - "$page" "$work/given" <<'PY'
import re, sys

page, given = open(sys.argv[1]).read(), open(sys.argv[2]).read()
told = re.split(r"(?m)^(?=\$ )", given)[1:]
blocks = re.split(r"(?ms)^(```console\n.*?^```$)", page)
for i in range(1, len(blocks), 2):
    count = len(re.findall(r"(?m)^\$ ", blocks[i]))
    blocks[i] = "```console\n" + "".join(told[:count]) + "```"
    told = told[count:]
open(sys.argv[1], "w").write("".join(blocks))
PY
fi

it "says what the program says"
shown >"$work/shown"
expect_same "$work/given" "$work/shown"

finish

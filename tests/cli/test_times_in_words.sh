#!/bin/sh
# Times as cooks write them: taken, or answered with what to write.
. tests/cli/lib.sh

# say TIME: a plan with a stage of that time.
say() {
    printf '{"occasion": "x", "timezone": "UTC", "serve": "2026-12-12 12:00", "dishes": [{"dish": "d", "stages": [
 {"id": "a", "do": "a", "passive": "%s"}]}]}' "$1" >"$work/plan.json"
}

it "forms that are taken"
for time in "12 to 15 min" "1 1/2 h" "1½ h" "1h30" "1 hr 30" "1 1/2 to 2 h"; do
    say "$time"
    run check "$work/plan.json"
    expect_status 0
done

it "forms that are answered"
while IFS='|' read -r time answer; do
    say "$time"
    run check "$work/plan.json"
    expect_status 2
    expect_stderr "$answer"
done <<'EOF'
overnight|say how long, such as "8 h" or "8-12 h"
at least 4 h|how much longer it may stand as "within" of the step after it
1:30|write "1 h 30 min", or "1 min 30 s"
about 2 h|write a range
until golden|"look"
EOF

it "a range whose long end is over three times its short one is suspected, with what to write"
say "4-24 h"
run check "$work/plan.json"
expect_status 0
expect_stderr '"4-24 h" is a wide range, of which the long end is planned; where 4 h is enough and it may then stay'
expect_stderr '"within": "20 h"'
for time in "4-12 h" "5-20 min"; do
    say "$time"
    run check "$work/plan.json"
    expect_not_stderr "wide range"
done

finish

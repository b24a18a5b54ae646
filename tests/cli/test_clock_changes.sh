#!/bin/sh
# A dessert that sets over the night of a clock change: both changes of 2026 in London and New
# York, and the half-hour changes of Lord Howe Island. Ten hours are ten hours on any night.
. tests/cli/lib.sh

# overnight ZONE DATE: the plan, served at 09:00 on DATE.
overnight() {
    cat >"$work/plan.json" <<END
{
  "occasion": "Breakfast", "timezone": "$1", "serve": "$2 09:00",
  "kitchen": {"asleep": "22:30-07:00", "equipment": {"fridge": {"kind": "cold"}}},
  "dishes": [{"dish": "Mousse", "stages": [
    {"id": "mix", "do": "Mix it", "active": "30 min"},
    {"id": "set", "do": "Set it", "passive": "10 h", "uses": {"fridge": 1},
     "after": {"stage": "mix", "within": "0 min"}},
    {"id": "glaze", "do": "Glaze it", "active": "20 min"}]}]
}
END
}

# By hand: glazed by 09:00, so set by 08:40; ten hours before that is 22:40 on a common night,
# when all are asleep: mixed by 22:30, begun at 22:00. An hour that is missing from the night
# must be begun earlier: set from 21:40, begun at 21:10. An hour that comes twice leaves time:
# 23:40, so again 22:00. Lord Howe's half hour: from 22:10 in spring, begun at 21:40.
while read -r zone date start offset end; do
    it "$zone, the night to $date"
    overnight "$zone" "$date"
    rm -f "$work/timeline.ics"
    run timeline --json=$work/timeline.json --ics $work/timeline.ics "$work/plan.json"
    expect_status 0
    expect_quiet_stderr
    expect_match "$work/timeline.json" "^  \"start\": \"[0-9-]*T$start:00$offset\""
    expect_match "$work/timeline.json" "\"end\": \"${date}T$end:00"
    if command -v python3 >/dev/null 2>&1; then
        if python3 tests/cli/check_clock.py "$work/timeline.json" >"$out" 2>"$err"; then
            pass
        else
            fail "zoneinfo sees it otherwise"
        fi
    else
        skip "no python3 to read the zone data with"
    fi
done <<END
Europe/London 2026-03-28 22:00 +00:00 09:00
Europe/London 2026-03-29 21:10 +00:00 09:00
Europe/London 2026-10-25 22:00 +01:00 09:00
America/New_York 2026-03-08 21:10 -05:00 09:00
America/New_York 2026-11-01 22:00 -04:00 09:00
Australia/Lord_Howe 2026-04-05 22:00 +11:00 09:00
Australia/Lord_Howe 2026-10-04 21:40 +10:30 09:00
END

it "a serve-by that the clock skips is an error, one that it repeats a warning"
overnight Europe/London 2026-03-29
sed 's/2026-03-29 09:00/2026-03-29 01:30/' "$work/plan.json" >"$work/skipped.json"
run check "$work/skipped.json"
expect_status 2
expect_stderr "skipped.json:2:"
sed 's/2026-03-29 09:00/2026-10-25 01:30/' "$work/plan.json" >"$work/twice.json"
run check "$work/twice.json"
expect_status 0
expect_stderr "twice.json:2:"

finish

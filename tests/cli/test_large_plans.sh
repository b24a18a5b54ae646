#!/bin/sh
# Plans far larger than any kitchen end soon: what the tool does beside the search grows with the
# plan and not with its square or worse. The time limits are many times what was measured (2.4 s for
# 20,000 stages); without topological order 2,500 stages took 31 s.
. tests/cli/lib.sh

# chain STAGES KIND: one dish of 1 min stages, each after the one above.
chain() {
    awk -v n="$1" -v kind="$2" 'BEGIN {
        printf "{\"occasion\": \"Chain\", \"timezone\": \"Europe/London\", \"serve\": \"2026-12-24 19:00\",\n"
        printf " \"earliest\": \"2026-11-20 08:00\", \"kitchen\": {%s},\n", kind == "asleep" ? "\"asleep\": \"22:30-06:30\"" : ""
        printf " \"dishes\": [{\"dish\": \"Chain\", \"stages\": [\n"
        for (i = 0; i < n; i++)
            printf "  {\"id\": \"s%d\", \"do\": \"Wait\", \"%s\": \"1 min\"}%s\n", i, kind == "hands" ? "active" : "passive", i + 1 < n ? "," : ""
        print " ]}]}"
    }' </dev/null
}

# run_within SECONDS ARGUMENT...: run, but of no more processor time.
run_within() {
    limit=$1
    shift
    ran="bakeset $*"
    status=0
    (ulimit -t "$limit" && exec "$bakeset" "$@") >"$out" 2>"$err" </dev/null || status=$?
}

it "a chain of 20,000 stages"
chain 20000 plain >"$work/chain.json"
run_within 40 timeline --json --effort 1 "$work/chain.json"
expect_status 0
expect_stdout '"status": "optimal"'
expect_stdout '"first_start": "2026-12-10T21:40:00+00:00"' # 20,000 min before

it "a chain of 2,500 stages, none of which begins while everybody sleeps"
chain 2500 asleep >"$work/asleep.json"
run_within 10 timeline --json --effort 1 "$work/asleep.json"
expect_status 0
expect_stdout '"status": "optimal"'

it "a chain of 2,500 stages for one pair of hands"
chain 2500 hands >"$work/hands.json"
run_within 20 timeline --json --effort 1 "$work/hands.json"
expect_status 0
expect_stdout '"status": "optimal"'
expect_stdout '"first_start": "2026-12-23T01:20:00+00:00"' # 2,500 min before

finish

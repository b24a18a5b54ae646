#!/bin/sh
# Plans far larger than any kitchen end soon: what the tool does beside the search grows with the
# plan and not with its square or worse. The time limits are many times what was measured (2.4 s for
# 20,000 stages); without topological order 2,500 stages took 31 s.
. tests/cli/lib.sh

# chain STAGES KIND: one dish of 1 min stages, each after the one above.
chain() {
    awk -v n="$1" -v kind="$2" 'BEGIN {
        printf "{\"occasion\": \"Chain\", \"timezone\": \"Europe/London\", \"serve\": \"2026-12-24 19:00\",\n"
        printf " \"earliest\": \"2026-12-08 08:00\", \"kitchen\": {%s},\n", kind == "asleep" ? "\"asleep\": \"22:30-06:30\"" : ""
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

# years DISHES DAYS: that many dishes of ten stages, served evenly over the days.
years() {
    python3 - "$1" "$2" <<'END'
import datetime, json, sys
dishes, days = int(sys.argv[1]), int(sys.argv[2])
begin = datetime.datetime(2025, 1, 1, 8)
serves = [begin + datetime.timedelta(hours=11, days=(days - 1) * d // dishes) for d in range(dishes)]
print(json.dumps({
    "occasion": "Years", "timezone": "Europe/London", "earliest": f"{begin:%Y-%m-%d %H:%M}",
    "serve": f"{serves[-1]:%Y-%m-%d %H:%M}",
    "kitchen": {"asleep": "22:30-06:30", "equipment": {"oven": {"kind": "oven", "shelves": 2}}},
    "dishes": [{"dish": f"Dish {d}", "serve": f"{serves[d]:%Y-%m-%d %H:%M}", "stages": [
        {"id": f"s{i}", "do": "Do", "active": "5 min"} if i % 3 == 0 else
        {"id": f"s{i}", "do": "Bake", "passive": "20 min", "uses": {"oven": {"at": "180 C"}}} if i % 3 == 1 else
        {"id": f"s{i}", "do": "Wait", "passive": "15 min"} for i in range(10)]} for d in range(dishes)]}))
END
}

it "a thousand stages over 340 days"
years 100 340 >"$work/year.json"
run_within 40 timeline --json --effort 1 "$work/year.json"
expect_status 0
expect_stdout '"status": "optimal"'

it "what waits adds up to more than can be reckoned with: refused by name, not said to be impossible"
years 100 700 >"$work/years.json"
run_within 40 timeline --json --effort 1 "$work/years.json"
expect_status 2
expect_stderr 'the plan spans more than 347 days, the most for 1000 stages'

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

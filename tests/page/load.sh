#!/bin/sh
# make bench-page [MINUTES=10]: a household's evening, to measure and not to pass: 20 phones that listen
# for events and read ten times a second each, a tick a second that plans the evening anew. Prints how
# long reads took, how long a tick took until it was answered and until all phones were told of it, and
# the memory of the server each minute; beside it a file that only has to be sent, by which the load of
# the machine can be judged. Needs wrk, curl, procps, bash.
# Environment: BAKESET (the command), MINUTES (10), PHONES (20), DELAY (ms between a phone's reads, 100; 0:
# as fast as they can). Run from the root.
set -eu
bakeset=$(realpath "${BAKESET:-build/bakeset}")
minutes=${MINUTES:-10} phones=${PHONES:-20} delay=${DELAY:-100}
work=$(mktemp -d "${TMPDIR:-/tmp}/bakeset-load.XXXXXX")
pids=
finish() {
    for pid in $pids; do kill "$pid" 2>/dev/null || :; done
    wait 2>/dev/null || :
    rm -rf "$work"
}
trap finish EXIT
trap 'exit 130' INT TERM

cp -r plans "$work/folder"
serve=$(date -u -d '+15 hours' '+%Y-%m-%d %H:%M')
cat >"$work/folder/tonight.json" <<PLAN
{
  "occasion": "Tonight", "timezone": "UTC", "serve": "$serve",
  "kitchen": {"equipment": {
    "oven": {"kind": "oven", "fan": true, "shelves": 2}, "hob": {"kind": "hob", "rings": 4},
    "fridge": {"kind": "cold", "at": "4 C", "places": 3}, "mixer": {}, "gratin dish": {}, "baking tray": {}, "stockpot": {}, "roasting tin": {}}},
  "dishes": [{"recipe": "recipes/potato-gratin.json"}, {"recipe": "recipes/glazed-ham.json"},
    {"dish": "Green salad", "stages": [
      {"id": "wash", "do": "Wash and dry the lettuce", "active": "5-8 min"},
      {"id": "dress", "do": "Dress the salad", "active": "5 min"}]}]
}
PLAN
: >"$work/address"
"$bakeset" page "$work/folder" --port 0 >"$work/address" &
server=$!
pids=$server
while ! grep -q http "$work/address"; do sleep 0.05; done
address=$(sed -n '1s|/$||p' "$work/address")

# A phone: what it is told, each with the time it came.
hear() {
    curl -sN "$address/api/events" | bash -c 'while IFS= read -r line; do
        case $line in "data: {\"path\":\"tonight.json\""*\"made\":*) echo "$EPOCHREALTIME ${line##*\"made\":}";; esac
    done'
}
i=0
while [ $i -lt "$phones" ]; do
    hear >"$work/phone-$i" &
    pids="$pids $!"
    i=$((i + 1))
done

cat >"$work/reads.lua" <<LUA
local paths = {"/api/day?path=tonight.json", "/api/day?path=tonight.json", "/api/folder", "/api/file?path=tonight.json",
               "/sheet?path=tonight.json", "/api/file?path=friday-supper.json", "/", "/site/app.js"}
local turn = 0
function request() turn = turn + 1; return wrk.format("GET", paths[turn % #paths + 1]) end
function delay() return $delay end
LUA
printf 'function delay() return %s end\n' "$delay" >"$work/static.lua"

for path in "api/day?path=tonight.json" "sheet?path=tonight.json"; do
    curl -s -o "$work/first" -w "$path: first answer %{http_code} after %{time_total} s\n" "$address/$path"
done
echo "load average before: $(cut -d' ' -f1-3 /proc/loadavg); $(nproc) processors"
wrk -t1 -c"$phones" -d"$((minutes * 60))s" --timeout 30s --latency -s "$work/reads.lua" "$address" >"$work/reads" &
reading=$!
wrk -t1 -c1 -d"$((minutes * 60))s" --timeout 30s --latency -s "$work/static.lua" "$address/site/icon.svg" >"$work/static" &
static=$!
pids="$pids $reading $static"

tick=0 began=$(date +%s) said=-1
: >"$work/ticks"
while kill -0 "$reading" 2>/dev/null; do
    tick=$((tick + 1))
    words='["later", "+1 min"]'
    [ $((tick % 2)) = 1 ] || words='["undo"]'
    at=$(date +%s.%N)
    curl -s -m 30 -o "$work/answer" -w '%{http_code}' -X POST -H "Origin: $address" -H 'Content-Type: application/json' \
        -d "{\"path\": \"tonight.json\", \"words\": $words, \"id\": \"t$tick\"}" "$address/api/day" >"$work/status" || :
    over=$(date +%s.%N)
    made=$(grep -o '"made":[0-9]*' "$work/answer" | head -1 | cut -d: -f2)
    echo "$at $over ${made:-0} $(cat "$work/status")" >>"$work/ticks"
    minute=$(((${over%.*} - began) / 60))
    if [ "$minute" != "$said" ]; then
        echo "minute $minute: RSS $(ps -o rss= -p "$server") kB, load average $(cut -d' ' -f1 /proc/loadavg)"
        said=$minute
    fi
    # until the next full second since the beginning
    sleep "$(echo "$began $tick $(date +%s.%N)" | awk '{s = $1 + $2 - $3; print (s > 0 ? s : 0)}')"
done
wait "$reading" "$static"
sleep 1
echo "at the end: RSS $(ps -o rss= -p "$server") kB, load average $(cut -d' ' -f1-3 /proc/loadavg)"
echo "== reads by $phones phones, with a tick a second"
sed -n '/Latency Distribution/,/99%/p; /requests in/p; /Non-2xx/p; /Socket errors/p' "$work/reads"
awk '/^ *Latency .*%/{print "    longest " $4}' "$work/reads"
echo "== /site/icon.svg meanwhile"
sed -n '/Latency Distribution/,/99%/p; /requests in/p' "$work/static"
echo "== ticks"
percentiles() {
    sort -n "$1" | awk -v what="$2" '{v[NR] = $1} END {if (NR) printf "%s: %d, in ms: 50%% %.1f, 90%% %.1f, 99%% %.1f, longest %.1f\n",
        what, NR, v[int((NR + 1) * .5)] * 1000, v[int((NR + 1) * .9)] * 1000, v[int((NR + 1) * .99)] * 1000, v[NR] * 1000}'
}
awk '$4 == 200 {print $2 - $1}' "$work/ticks" >"$work/answered"
percentiles "$work/answered" "answered"
awk -v phones="$phones" 'FNR == NR {at[$3] = $1; next}
    {split($2, made, /[^0-9]/); if (made[1] in at) {n[made[1]]++; if ($1 > last[made[1]]) last[made[1]] = $1}}
    END {for (m in at) if (n[m] == phones) print last[m] - at[m]; else missing++
         if (missing) print missing " ticks were not told to every phone" >"/dev/stderr"}' "$work/ticks" "$work"/phone-* >"$work/told"
percentiles "$work/told" "told to all $phones phones"
awk '$4 != 200 {n++} END {if (n) print n " ticks were refused"}' "$work/ticks"

#!/bin/sh
# An .ics imported into khal, a calendar for the terminal, and listed again: one JSON line an
# event, as readers.md says. khal shows that there is an alarm, not when: "alarms" is a count.
# Usage: read_khal.sh FILE.ics FOLDER (an empty one of its own)
set -eu
folder=$2
export LC_ALL=C.UTF-8 HOME="$folder" XDG_CONFIG_HOME="$folder" XDG_DATA_HOME="$folder" \
    XDG_CACHE_HOME="$folder" TZ=UTC
mkdir -p "$folder/events"
cat >"$folder/khal.conf" <<END
[calendars]
[[kitchen]]
path = $folder/events
type = calendar
[locale]
local_timezone = UTC
default_timezone = UTC
timeformat = %H:%M
dateformat = %Y-%m-%d
longdateformat = %Y-%m-%d
datetimeformat = %Y-%m-%d %H:%M
longdatetimeformat = %Y-%m-%d %H:%M
[sqlite]
path = $folder/khal.db
[default]
default_calendar = kitchen
END
khal -c "$folder/khal.conf" import --batch "$1" >"$folder/import.log" 2>&1
khal -c "$folder/khal.conf" list --once --day-format '' \
    --format '{uid}|{start-date-long}T{start-time}|{end-date-long}T{end-time}|{alarm-symbol}|{title}' \
    2026-01-01 2027-02-01 | python3 -c '
import datetime, json, sys
def seconds(text):
    if text.endswith("T"):
        return text[:-1]
    return int(datetime.datetime.fromisoformat(text + "+00:00").timestamp())
for line in sys.stdin:
    uid, start, end, alarm, summary = line.rstrip("\n").split("|", 4)
    print(json.dumps({"uid": uid, "start": seconds(start),
                      "end": None if end.endswith("T") else seconds(end),
                      "summary": summary, "alarms": 1 if alarm.strip() else 0}))
'

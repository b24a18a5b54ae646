#!/bin/sh
# The demo's calendars through vdirsyncer into a Radicale server on 127.0.0.1 and back into an
# empty folder: the same events, as python3-icalendar reads them. Usage: sync.sh FOLDER (of run.sh)
set -eu
made=$1
here=tests/clients
sync=$made/sync
rm -rf "$sync"
mkdir -p "$sync/there/kitchen" "$sync/back/kitchen" "$sync/status" "$sync/home"
port=$(python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')
cat >"$sync/radicale.conf" <<END
[server]
hosts = 127.0.0.1:$port
[auth]
type = none
[storage]
filesystem_folder = $sync/radicale
END
HOME="$sync/home" radicale --config "$sync/radicale.conf" >"$sync/radicale.log" 2>&1 &
server=$!
trap 'kill $server 2>/dev/null; wait $server 2>/dev/null || :' EXIT
cat >"$sync/vdirsyncer.conf" <<END
[general]
status_path = "$sync/status"
[pair out]
a = "there"
b = "server"
collections = ["kitchen"]
[pair home]
a = "server"
b = "back"
collections = ["kitchen"]
[storage there]
type = "filesystem"
path = "$sync/there"
fileext = ".ics"
[storage back]
type = "filesystem"
path = "$sync/back"
fileext = ".ics"
[storage server]
type = "caldav"
url = "http://127.0.0.1:$port/cook/"
username = "cook"
password = "not secret"
END
python3 - "$port" <<'END'
import sys, time, urllib.request
for attempt in range(100):
    try:
        request = urllib.request.Request(f"http://127.0.0.1:{sys.argv[1]}/cook/kitchen/", method="MKCALENDAR",
                                         headers={"Authorization": "Basic Y29vazp4"})
        urllib.request.urlopen(request, timeout=5)
        break
    except OSError:
        time.sleep(0.1)
else:
    sys.exit("Radicale did not start")
END
# One file an event, as a CalDAV collection wants them.
/usr/bin/python3 - "$made/files/friday-supper.ics" "$sync/there/kitchen" <<'END'
import sys
from icalendar import Calendar
whole = Calendar.from_ical(open(sys.argv[1], "rb").read())
for event in whole.walk("VEVENT"):
    one = Calendar()
    one.add("VERSION", "2.0")
    one.add("PRODID", whole["PRODID"])
    one.add_component(event)
    name = str(event["UID"]).split("@")[0]
    open(f"{sys.argv[2]}/{name}.ics", "wb").write(one.to_ical())
END
export LC_ALL=C.UTF-8 HOME="$sync/home"
vdirsyncer -c "$sync/vdirsyncer.conf" discover >"$sync/vdirsyncer.log" 2>&1 </dev/null
vdirsyncer -c "$sync/vdirsyncer.conf" sync out >>"$sync/vdirsyncer.log" 2>&1
vdirsyncer -c "$sync/vdirsyncer.conf" sync home >>"$sync/vdirsyncer.log" 2>&1
for file in "$sync"/back/kitchen/*.ics; do
    /usr/bin/python3 $here/read_icalendar.py "$file"
done | sort >"$sync/back.jsonl"
sort "$made/files/friday-supper.icalendar.jsonl" >"$sync/there.jsonl"
[ -s "$sync/back.jsonl" ] && cmp "$sync/there.jsonl" "$sync/back.jsonl"

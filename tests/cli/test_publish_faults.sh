#!/bin/sh
# publish, against a server that misbehaves as it is told to (tests/cli/faulty_server.py).
. tests/cli/lib.sh
plan=tests/data/publish/supper.json
tool=tests/cli/faulty_server.py
secret=correct-horse-battery
login=cook:$secret

if ! command -v python3 >/dev/null 2>&1; then
    it "a server that misbehaves"
    skip "no python3 on this machine"
    finish
fi

started=
stop() {
    for process in $started; do kill "$process" 2>/dev/null; done
    wait 2>/dev/null
    rm -rf "$work"
}
trap stop EXIT

# start_server [CERTIFICATE KEY]: $port is its port.
start_server() {
    port=$(python3 tests/cli/calendar_server.py port)
    python3 $tool serve "$port" "$login" "$@" >"$work/server.log" 2>&1 &
    started="$started $!"
    for try in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20; do
        python3 -c "import socket; socket.create_connection(('127.0.0.1', $port))" 2>/dev/null && break
        sleep 0.2
    done
}

start_server
plain_port=$port
url=http://127.0.0.1:$port/cook/kitchen/
BAKESET_CALDAV_LOGIN=$login
export BAKESET_CALDAV_LOGIN

mode() { python3 $tool mode "$plain_port" "$@" || fail "the server does not know $*"; }
there() { python3 $tool list "$plain_port"; }
text_of() { python3 $tool text "$plain_port" "$1"; }
log() { python3 $tool log "$plain_port"; }
# empty: the calendar is, and the server behaves.
empty() {
    python3 $tool drop "$plain_port"
    mode
}

# expect_there N TEXT: N events on the server have TEXT in "name sequence summary".
expect_there() {
    seen=$(there | grep -c -e "$2")
    if [ "$seen" -eq "$1" ]; then pass; else fail "$seen events on the server match '$2', not $1"; fi
}

# expect_log N TEXT: N requests have TEXT.
expect_log() {
    seen=$(log | grep -c -e "$2")
    if [ "$seen" -eq "$1" ]; then pass; else fail "$seen requests match '$2', not $1"; fi
}

# expect_no_secret: neither output holds the password, in any form it could have.
encoded=$(printf %s "$login" | base64)
expect_no_secret() {
    for one in "$secret" "correct%2Dhorse%2Dbattery" "$encoded"; do
        if grep -qF -e "$one" "$out" "$err"; then fail "the password is in the output ($one)"; else pass; fi
    done
}

sed 's/"prove", "do": "Prove until doubled", "passive": "60 min"/"prove", "do": "Prove until doubled", "passive": "70 min"/' \
    $plan >"$work/longer.json"

# ------------------------------------------------------------------ the password

printf 'machine 127.0.0.1 login cook password %s\n' $secret >"$work/netrc"
chmod 600 "$work/netrc"
it "no message holds the password, whatever the server answers"
empty
run publish --to "$url" $plan
expect_status 0
for answer in redirect=../elsewhere/ redirect=/elsewhere/ redirect=//127.0.0.1/elsewhere/ \
    "redirect=http://$login@127.0.0.1/elsewhere/" "redirect=/$secret/" \
    "redirect=/correct%2Dhorse%2Dbattery/?$secret#$secret" "redirect=$secret" status=301 status=400 \
    status=401 status=403 status=404 status=405 status=409 status=412 status=413 status=423 \
    status=429 status=500 status=503 status=507 doctype broken=Knead "many=Knead" unsaid=Knead \
    return-in-etag weak blanks put-status=400 put-status=412 put-status=423 put-status=507 echo; do
    mode "$answer" echo
    for from in environment netrc; do
        if [ $from = netrc ]; then
            run_as "-u BAKESET_CALDAV_LOGIN" publish --to "$url" --netrc "$work/netrc" "$work/longer.json"
        else
            run publish --to "$url" "$work/longer.json"
        fi
        expect_no_secret
    done
done

it "where a calendar has moved is said, without the login"
mode redirect=../elsewhere/
run publish --to "$url" $plan
expect_status 3
expect_stderr "the calendar has moved (status 302); give http://127.0.0.1:$port/cook/elsewhere/"

it "a wrong password is not shown either"
mode
run_as "BAKESET_CALDAV_LOGIN=cook:wrong-$secret" publish --to "$url" $plan
expect_status 3
expect_no_secret

it "the password is in no argument list, and no core file is left"
python3 - "$work" <<'PYTHON' >"$work/hang-port" &
import socket, sys, time
one = socket.socket()
one.bind(("127.0.0.1", 0))
one.listen()
print(one.getsockname()[1], flush=True)
time.sleep(60)
PYTHON
started="$started $!"
while [ ! -s "$work/hang-port" ]; do sleep 0.1; done
"$bakeset" publish --to "http://127.0.0.1:$(cat "$work/hang-port")/c/" $plan >/dev/null 2>&1 &
hanging=$!
sleep 1
ran="bakeset publish, hanging"
if [ -r /proc/$hanging/limits ]; then
    tr '\0' ' ' <"/proc/$hanging/cmdline" >"$out"
    grep 'core file' "/proc/$hanging/limits" >"$err"
    expect_no_secret
    expect_match "$err" 'core file size  *0  *0 '
else
    skip "no /proc on this machine"
fi
kill $hanging

# ------------------------------------------------------------------ the netrc file

it "a netrc file for another host"
printf 'machine example.org login cook password %s\n' $secret >"$work/other"
chmod 600 "$work/other"
run publish --to "$url" --netrc "$work/other" $plan
expect_status 2
expect_stderr "$work/other: this netrc file has nothing for 127.0.0.1; add a line: machine 127.0.0.1 login NAME"
expect_no_secret

it "a netrc file that everybody can read"
for rights in 644 604 602; do
    chmod $rights "$work/netrc"
    run publish --to "$url" --netrc "$work/netrc" $plan
    expect_status 2
    expect_stderr "$work/netrc: everybody on this machine can read or write this netrc file, and the password in it; write chmod 600 $work/netrc"
done
chmod 600 "$work/netrc"

it "a netrc file with more in it"
cat >"$work/long-netrc" <<NETRC
# machine 127.0.0.1 login nobody password wrong
machine example.org login a
	password b
macdef init
machine 127.0.0.1 login macro password wrong

machine 127.0.0.1
	login "cook" account x
	password "correct-horse-b\\attery"
default login anonymous password me
NETRC
chmod 600 "$work/long-netrc"
run_as "-u BAKESET_CALDAV_LOGIN" publish --to "$url" --netrc "$work/long-netrc" $plan
expect_status 0

# ------------------------------------------------------------------ proxies and certificates

it "no_proxy of the environment holds, and this machine is never asked for by a proxy"
run_as "http_proxy=http://127.0.0.1:1 https_proxy=http://127.0.0.1:1" publish --to "$url" $plan
expect_status 0
run_as "https_proxy=http://127.0.0.1:1" publish --to https://calendar.invalid/c/ $plan
expect_stderr "Couldn't connect to server" # the proxy
run_as "https_proxy=http://127.0.0.1:1 no_proxy=calendar.invalid" publish --to https://calendar.invalid/c/ $plan
expect_stderr "Couldn't resolve host name"

if command -v openssl >/dev/null 2>&1; then
    openssl req -x509 -newkey rsa:2048 -nodes -days 2 -subj /CN=localhost \
        -addext subjectAltName=DNS:localhost -keyout "$work/key.pem" -out "$work/cert.pem" 2>/dev/null
    openssl req -x509 -key "$work/key.pem" -days 2 -subj /CN=elsewhere \
        -addext subjectAltName=DNS:elsewhere -out "$work/elsewhere.pem" 2>/dev/null
    # Long ago: openssl ca can say when a certificate begins and ends.
    (
        cd "$work" || exit 1
        : >index
        echo 01 >serial
        printf '[ca]\ndefault_ca=c\n[c]\ndatabase=index\nserial=serial\nnew_certs_dir=.\ndefault_md=sha256\npolicy=p\nx509_extensions=e\n[p]\ncommonName=supplied\n[e]\nsubjectAltName=DNS:localhost\n' >ca.conf
        openssl req -new -key key.pem -subj /CN=localhost -out request.pem 2>/dev/null
        openssl ca -batch -config ca.conf -selfsign -keyfile key.pem -in request.pem -notext \
            -startdate 20200101000000Z -enddate 20200201000000Z -out expired.pem 2>/dev/null
    )
    for certificate in cert elsewhere expired; do
        start_server "$work/$certificate.pem" "$work/key.pem"
        eval "${certificate}_port=$port"
    done

    it "an expired certificate, another host's, nobody's: each by its own words"
    run publish --to "https://localhost:$expired_port/cook/kitchen/" --certificates "$work/expired.pem" $plan
    expect_status 3
    expect_stderr "the server's certificate has expired"
    run publish --to "https://localhost:$elsewhere_port/cook/kitchen/" --certificates "$work/elsewhere.pem" $plan
    expect_status 3
    expect_stderr "the server's certificate is another host's"
    run publish --to "https://localhost:$cert_port/cook/kitchen/" $plan
    expect_status 3
    expect_stderr "nobody trusted has signed the server's certificate; is it your own, give its file with --certificates"

    it "--certificates trusts that file or folder alone"
    run publish --to "https://localhost:$cert_port/cook/kitchen/" --certificates "$work/cert.pem" $plan
    expect_status 0
    mkdir "$work/trusted" "$work/empty-folder"
    cp "$work/cert.pem" "$work/trusted/$(openssl x509 -hash -noout -in "$work/cert.pem").0"
    run publish --to "https://localhost:$cert_port/cook/kitchen/" --certificates "$work/trusted" $plan
    expect_status 0
    run publish --to "https://localhost:$cert_port/cook/kitchen/" --certificates "$work/empty-folder" $plan
    expect_status 3
    expect_stderr "nobody trusted"
    if command -v strace >/dev/null 2>&1 && strace -o /dev/null true 2>/dev/null; then
        strace -f -e trace=file -o "$work/trace" "$bakeset" publish --certificates "$work/elsewhere.pem" \
            --to "https://localhost:$cert_port/cook/kitchen/" $plan >"$out" 2>"$err"
        if grep -q /etc/ssl/certs "$work/trace"; then fail "the system's certificates are looked at"; else pass; fi
        expect_match "$work/trace" elsewhere.pem
    else
        skip "no strace on this machine"
    fi
else
    it "certificates"
    skip "no openssl on this machine"
fi
port=$plain_port

# ------------------------------------------------------------------ its answers

it "weak ETags are no somebody else"
for how in weak packed; do
    empty
    mode $how
    run publish --to "$url" $plan
    expect_status 0
    run publish --to "$url" "$work/longer.json"
    expect_status 0
    expect_quiet_stderr
    expect_there 1 " 1 Knead the dough"
done

it "with weak ETags somebody else's edit in between is seen"
# What is read and what is there when it is to be changed differ.
empty
mode weak
run publish --to "$url" $plan
mode weak echo
run publish --to "$url" --overwrite "$work/longer.json"
expect_status 3
expect_stderr "somebody else changed it in this moment"
mode

it "blanks round the values of an answer"
empty
run publish --to "$url" $plan
mode blanks
run publish --to "$url" "$work/longer.json"
expect_status 0
expect_quiet_stderr
expect_there 1 " 1 Knead the dough"

it "a line feed in an ETag makes no header"
mode return-in-etag
run publish --to "$url" $plan
expect_status 3
expect_stderr "the server gives no usable ETag for it"
expect_log 0 Forged
expect_log 0 PUT

it "one broken resource does not stop the others"
for how in broken unsaid many; do
    empty
    run publish --to "$url" $plan
    mode $how=Knead
    run publish --to "$url" "$work/longer.json"
    expect_status 3
    expect_stderr ".ics: cannot be read, and is left as it is: "
    expect_stdout "1 not done"
    expect_there 1 " 1 Prove"
    expect_there 1 " 0 Knead"
done
it "a broken resource is put right with --overwrite"
mode broken=Knead
run publish --to "$url" --overwrite "$work/longer.json"
expect_status 0
mode
run publish --to "$url" "$work/longer.json"
expect_stdout "0 put, 0 deleted, 11 as they were"

it "asked to wait, or locked out, it stops, and says how long"
for code in 423 429 503; do
    empty
    mode put-status=$code after=3 retry-after=600
    run publish --to "$url" $plan
    expect_status 3
    expect_log 3 PUT
    expect_stderr "(status $code); try again in 10 min"
    expect_stdout "2 put"
    expect_stdout "9 not done: publish again"
done
mode status=429 retry-after=90
run publish --to "$url" $plan
expect_stderr "the server wants fewer requests (status 429); try again in 90 s"
mode status=423
run publish --to "$url" $plan
expect_stderr "the calendar is locked, somebody else is writing to it (status 423)"

# peak: kilobytes that publish took at most.
peak() {
    /usr/bin/python3 -c '
import resource, subprocess, sys
subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)' "$@"
}

it "a long answer takes memory in proportion, and one that is too long is refused"
empty
mode elements=1800000
run publish --to "$url" $plan
expect_status 0
kilobytes=$(peak "$bakeset" publish --to "$url" $plan)
if [ "$kilobytes" -lt 100000 ] || grep -q __asan_init "$bakeset"; then pass; else fail "$kilobytes kB"; fi
mode long=20000000
run publish --to "$url" $plan
expect_status 3
expect_stderr "the answer is longer than 16 MiB"
mode responses=150000
run publish --to "$url" $plan
expect_status 3
expect_stderr "the calendar has more than 100000 entries"
mode deep=200
run publish --to "$url" $plan
expect_status 3
expect_stderr "the answer's elements are nested too deeply"
mode doctype
run publish --to "$url" $plan
expect_status 3
expect_stderr "the answer has a DOCTYPE, which no answer of a calendar server has"

it "more occasions of one name, events of one occasion or answers in all than are read"
empty
run publish --to "$url" $plan
expect_status 0
mode occasions=51
run publish --to "$url" $plan
expect_status 3
expect_stderr "this calendar has more than 50 occasions of this name"
mode crowd=4900
run publish --to "$url" $plan
expect_not_stderr "more than 5000 events"
mode crowd=5001
run publish --to "$url" $plan
expect_status 3
expect_stderr "this calendar has more than 5000 events of the occasion"
mode crowd=400 long=15000000
run publish --to "$url" $plan
expect_status 3
expect_stderr "the answers together are longer than 64 MiB"

mode
run publish --to "$url" $plan
expect_stdout "0 put"

it "a netrc file of more than 64 KiB"
{
    printf 'machine 127.0.0.1 login cook password %s\n' $secret
    head -c 65536 /dev/zero | tr '\0' ' '
} >"$work/endless"
chmod 600 "$work/endless"
run publish --to "$url" --netrc "$work/endless" $plan
expect_status 2
expect_stderr "$work/endless: a netrc file of more than 64 KiB"

# ------------------------------------------------------------------ what it does to events

it "what a server or phone writes in another form, or adds, is no edit, and is kept"
for form in drop-x drop-status zone add-end snooze reminder \
    "drop-x drop-status zone add-end snooze reminder"; do
    empty
    # shellcheck disable=SC2086
    mode $form
    run publish --to "$url" $plan
    expect_status 0
    run publish --to "$url" $plan
    expect_status 0
    expect_stdout "0 put, 0 deleted, 11 as they were, 0 left alone"
    # What it added once is not to be added again by the server.
    mode
    run publish --to "$url" "$work/longer.json"
    expect_status 0
    expect_quiet_stderr
    expect_not_stdout "somebody else"
    expect_there 1 " 1 Knead the dough"
    text_of "SUMMARY:Knead the dough" >"$work/knead"
    grep -cx "TRIGGER:PT0S.*" "$work/knead" | grep -qx 1 && pass || fail "not one alarm of ours"
    expect_match "$work/knead" "^DTSTART:20261218T175000Z"
    case $form in
    *snooze*) expect_match "$work/knead" "^DESCRIPTION:Snoozed" ;;
    esac
    case $form in
    *reminder*)
        expect_match "$work/knead" "^LOCATION:Our kitchen"
        expect_match "$work/knead" "^X-PHONE-COLOUR:green"
        expect_match "$work/knead" "^TRIGGER:-PT2H"
        ;;
    esac
done

it "a server that takes the marks away: it is said that an edit cannot be told"
empty
mode drop-x
run publish --to "$url" $plan
expect_not_stdout "mark"
run publish --to "$url" "$work/longer.json"
expect_stdout "2 of them without the mark that tells whether somebody edited them: the server takes it away"

it "a zone that the server names is kept, and told"
empty
run publish --to "$url" $plan
name=$(there | sed -n 's/ .*Knead.*//p')
text_of "$name" | sed -e 's/^DTSTART:20261218T180000Z/DTSTART;TZID=Kitchen:20261218T200000/' \
    -e 's/^DTEND:20261218T181500Z/DTEND;TZID=Kitchen:20261218T201500/' \
    -e 's/^\(BEGIN:VEVENT\)/BEGIN:VTIMEZONE\r\nTZID:Kitchen\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\nTZOFFSETFROM:+0200\r\nTZOFFSETTO:+0200\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n\1/' \
    >"$work/zoned.ics"
grep -q TZID=Kitchen:20261218T201 "$work/zoned.ics" && pass || fail "the test's own edit failed"
python3 $tool set "$port" "$name" "$work/zoned.ics"
run publish --to "$url" $plan
expect_stdout "0 put, 0 deleted, 11 as they were, 0 left alone"
run publish --to "$url" "$work/longer.json"
expect_not_stdout "somebody else"
text_of "$name" >"$work/knead"
expect_match "$work/knead" "^BEGIN:VTIMEZONE"

it "a service that wants the end of an all-day entry"
empty
mode wants-end
run publish --to "$url" $plan
expect_status 0

it "no stamp is in the future, whatever the plan's days"
expect_no_future() {
    text_of "" | sed -n 's/^\(DTSTAMP\|LAST-MODIFIED\):\([0-9]*\)T\([0-9]*\)Z.*/\2\3/p' | sort -u >"$work/stamps"
    now=$(date -u +%Y%m%d%H%M%S)
    while read -r stamp; do
        if [ "$stamp" -le "$now" ]; then pass; else fail "a stamp of $stamp"; fi
    done <"$work/stamps"
    expect_match "$work/stamps" .
}
empty
sed 's/2026-12-1/2099-12-1/' $plan >"$work/far.json"
run publish --to "$url" "$work/far.json"
expect_status 0
expect_no_future

# ------------------------------------------------------------------ what comes back

it "a server that takes back nothing that was deleted: what is no longer wanted is cancelled"
empty
mode bin
run publish --to "$url" --now "2026-11-28 12:00" $plan
expect_status 0
run publish --to "$url" --now "2026-11-28 12:00" --only-alarms $plan
expect_status 0
expect_stdout ", 6 cancelled"
expect_log 0 DELETE
text_of "SUMMARY:Prove until doubled" >"$work/cancelled"
expect_match "$work/cancelled" "^STATUS:CANCELLED"
run publish --to "$url" --now "2026-11-28 12:00" --only-alarms $plan
expect_stdout "0 put, 0 deleted, 5 as they were, 0 left alone"
run publish --to "$url" --now "2026-11-28 12:00" $plan
expect_status 0
expect_there 1 " 2 Prove until doubled"
text_of "SUMMARY:Prove until doubled" >"$work/back"
expect_match "$work/back" "^STATUS:CONFIRMED"

it "what is cancelled, and past, is deleted"
run publish --to "$url" --now "2026-11-28 12:00" --only-alarms $plan
expect_stdout ", 6 cancelled"
run publish --to "$url" --now "2026-12-18 20:00" --serve "2026-12-19 12:00" --only-alarms $plan
expect_status 0
expect_stdout "delete  2026-12-18 14:30Z  Set in the fridge"
expect_stdout "5 put, 5 deleted, 0 as they were, 0 left alone"
expect_there 1 "Start by" # its day is not over

it "what was deleted by hand, and is kept in a bin, is told of"
empty
run publish --to "$url" --now "2026-11-28 12:00" $plan
run publish --to "$url" --now "2026-11-28 12:00" --only-alarms --delete $plan
expect_stdout "6 deleted"
mode bin
run publish --to "$url" --now "2026-11-28 12:00" $plan
expect_status 3
expect_stderr "the server refuses an event that was deleted there (status 400): empty the calendar's bin"

# ------------------------------------------------------------------ a name that comes again

# expect_texts N TEXT: N events have a line with TEXT.
expect_texts() {
    seen=$(text_of "" | grep -c -e "$2")
    if [ "$seen" -eq "$1" ]; then pass; else fail "$seen lines match '$2', not $1"; fi
}

sed 's/2026-12-1/2027-12-1/' $plan >"$work/next-year.json"
it "last year's supper is left alone"
empty
run publish --to "$url" --now "2026-11-28 12:00" $plan
expect_status 0
run publish --to "$url" --now "2027-11-28 12:00" "$work/next-year.json"
expect_status 0
expect_stdout "another occasion of this name, on 2026-12-18, is left as it is"
expect_stdout "11 put, 0 deleted, 0 as they were"
expect_there 22 .
expect_texts 11 "^DTSTART.*:20261218"
run publish --to "$url" --now "2027-11-28 12:00" "$work/next-year.json"
expect_stdout "0 put, 0 deleted, 11 as they were, 0 left alone"

it "one that is still to come: the cook says which, before anything happens"
empty
run publish --to "$url" --now "2026-11-28 12:00" $plan
mode
for also in "" --dry-run --overwrite; do
    # shellcheck disable=SC2086
    run publish --to "$url" $also --now "2026-11-28 12:00" "$work/next-year.json"
    expect_status 2
    expect_quiet_stdout
    expect_stderr "this calendar has an occasion of this name on 2026-12-18; nothing is changed. Is it this one, moved to another day, publish with --moved; is it another, with --another"
done
expect_log 0 "PUT\|DELETE"
run publish --to "$url" --moved --another "$work/next-year.json"
expect_status 2
run publish --to "$url" --now "2026-11-28 12:00" --another "$work/next-year.json"
expect_status 0
expect_there 22 .
empty
run publish --to "$url" --now "2026-11-28 12:00" $plan
there | cut -d' ' -f1 >"$work/names"
run publish --to "$url" --now "2026-11-28 12:00" --moved "$work/next-year.json"
expect_status 0
expect_there 11 " 1 "
expect_texts 0 "^DTSTART.*:20261218"
there | cut -d' ' -f1 >"$work/names-after"
expect_same "$work/names" "$work/names-after"
run publish --to "$url" --now "2026-11-28 12:00" "$work/next-year.json"
expect_status 0
expect_quiet_stderr
expect_stdout "0 put, 0 deleted, 11 as they were, 0 left alone"

it "and now one on the first day again"
run publish --to "$url" --now "2026-11-28 12:00" --another $plan
expect_status 2
expect_stderr "what was published for this day and name is on 2027-12-18 now; give this occasion a name of its own"
expect_there 11 .

it "a little later on the same day, or on the eve, is no other occasion"
empty
run publish --to "$url" --now "2026-11-28 12:00" $plan
run publish --to "$url" --now "2026-11-28 12:00" --serve "2026-12-18 22:00" $plan
expect_status 0
expect_quiet_stderr
expect_there 11 .
run publish --to "$url" --now "2026-11-28 12:00" --serve "2026-12-17 22:30" $plan
expect_status 0
expect_there 11 .

it "what version 0.1.0 published, whose names did not have the day, is taken over"
empty
run publish --to "$url" --now "2026-11-28 12:00" $plan
new=$(there | sed -n '1s/-.*//p')
old=$(python3 -c '
h = 0xcbf29ce484222325
for c in b"Winter supper\xff":
    h = (h ^ c) * 0x100000001b3 & 2**64 - 1
print("%016x" % h)')
for name in $(there | cut -d" " -f1); do
    text_of "$name" | sed "s/$new-/$old-/" >"$work/old.ics"
    python3 $tool set "$port" "$old-${name#*-}" "$work/old.ics"
done
there | cut -d" " -f1 | grep "^$old" >"$work/olds"
for name in $(there | cut -d" " -f1 | grep "^$new"); do python3 $tool unset "$port" "$name"; done
expect_there 11 "^$old-"
run publish --to "$url" --now "2026-11-28 12:00" "$work/longer.json"
expect_status 0
expect_quiet_stderr
expect_there 11 "^$old-"
expect_there 11 .
expect_there 1 " 1 Knead"

it "words from the server cannot command a terminal"
empty
run publish --to "$url" $plan
name=$(there | sed -n 's/ .*Knead.*//p')
text_of "$name" | sed "s/^SUMMARY:.*/SUMMARY:$(printf '\302\233 31m \342\200\256 red\342\201\246 \\n next line \303\251')/" >"$work/foreign.ics"
python3 $tool set "$port" "$name" "$work/foreign.ics"
run publish --to "$url" "$work/longer.json"
expect_stdout "somebody else edited it"
expect_stdout "next line é (somebody else edited it)"
if LC_ALL=C grep -q "^ *next line" "$out"; then fail "a line feed of the server's"; else pass; fi
for one in '\302\233' '\342\200\256' '\342\201\246'; do
    if LC_ALL=C grep -qF "$(printf "$one")" "$out"; then fail "$one is in the output"; else pass; fi
done

finish

#!/usr/bin/env python3
"""A CalDAV server for test_publish_faults.sh that misbehaves as it is told to. It keeps one calendar,
/cook/kitchen/, in memory and accepts one login.

    faulty_server.py serve PORT LOGIN [CERTIFICATE KEY]
    faulty_server.py mode PORT [NAME[=VALUE]]...   how it behaves from now on; none: well
    faulty_server.py log PORT                      "METHOD PATH STATUS HEADERS" of each request since then
    faulty_server.py list PORT                     "NAME SEQUENCE SUMMARY" of each event, sorted
    faulty_server.py text PORT NAME-OR-TEXT        the resource of that name, or whose text has TEXT
    faulty_server.py set PORT NAME FILE            a resource, as it is in FILE
    faulty_server.py unset PORT NAME               a resource away
    faulty_server.py drop PORT                     everything away

The modes are the names in MODES below.
"""
import base64
import hashlib
import http.client
import http.server
import re
import ssl
import sys
import threading
import urllib.parse
from xml.sax.saxutils import escape

MODES = """
    redirect=ADDRESS   answers every request with 302 and that Location
    status=N           answers every request with that status; its text holds the password
    put-status=N       the same for PUT; after=K: from the K-th PUT on
    retry-after=TEXT   a header of that
    weak               every ETag is weak, and none ever matches
    packed             every ETag is made weak on its way out
    blanks             blanks round every value of its XML
    return-in-etag     a carriage return, a line feed and a header in every ETag
    broken=TEXT        the event with TEXT comes as rubbish; unsaid=TEXT: does not come;
                       many=TEXT: comes as rubbish of 1 MB
    doctype            a DOCTYPE before every answer
    long=N             N bytes of blanks in every answer; elements=N: that many elements in it;
                       responses=N: so many responses; deep=N: elements within each other
    occasions=N        lists the first event N times more, as of other occasions; crowd=N: N more
                       events of its occasion
    drop-x drop-status zone add-end snooze reminder
                       what it does to an event that is put: takes X- properties away; STATUS;
                       turns Z into TZID=UTC; adds DTEND; a snoozed alarm; a later alarm of a phone's
    bin                what was deleted stays in a bin: its UID cannot be made again
    wants-end          refuses an all-day event without DTEND
    echo               the password in every text it gives: reason, Location, ETag, words of events
""".split()


class State:
    resources = {}
    bin = set()
    mode = {}
    log = []
    puts = 0
    login = ""
    lock = threading.Lock()


def unfolded(text):
    return re.sub(r"\r?\n[ \t]", "", text)


def value(text, name):
    found = re.search(rf"^{name}[;:](.*?)\r?$", unfolded(text), re.M)
    return found.group(1) if found else "-"


def rewritten(text):
    lines, mode = unfolded(text).replace("\r", "").split("\n"), State.mode
    if "drop-x" in mode:
        lines = [line for line in lines if not line.startswith("X-")]
    if "drop-status" in mode:
        lines = [line for line in lines if not line.startswith("STATUS")]
    if "zone" in mode:
        lines = [re.sub(r"^(DTSTART|DTEND):(\d{8}T\d{6})Z$", r"\1;TZID=UTC:\2", line) for line in lines]
    if "add-end" in mode and not any(line.startswith("DTEND") for line in lines):
        for at, line in enumerate(lines):
            found = re.fullmatch(r"DTSTART;VALUE=DATE:(\d{6})(\d\d)", line)
            if found:
                lines.insert(at + 1, f"DTEND;VALUE=DATE:{found[1]}{int(found[2]) + 1:02}")
    alarm = []
    if "snooze" in mode and "BEGIN:VALARM" in lines:
        alarm = ["BEGIN:VALARM", "ACTION:DISPLAY", "DESCRIPTION:Snoozed", "RELATED-TO:1", "UID:2",
                 "TRIGGER;VALUE=DATE-TIME:20261218T180900Z", "END:VALARM"]
    if "reminder" in mode:
        alarm += ["BEGIN:VALARM", "ACTION:DISPLAY", "DESCRIPTION:Reminder", "TRIGGER:-PT2H", "END:VALARM",
                  "LOCATION:Our kitchen", "X-PHONE-COLOUR:green"]
    if alarm:
        at = lines.index("END:VEVENT")
        own = [line for line in alarm if not re.match("LOCATION|X-PHONE", line)]
        lines[at:at] = [line for line in alarm if line not in own] + own
    return "\r\n".join(lines)


class Server(http.server.BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"

    def log_message(self, *ignored):
        pass

    def reply(self, status, text="", **headers):
        mode = State.mode
        State.log.append(f"{self.command} {self.path} {status} " + " ".join(
            f"{name}={self.headers[name]}" for name in ("If-Match", "If-None-Match") if self.headers[name]))
        password = State.login.split(":", 1)[1]
        body = text.encode()
        self.send_response(status, f"As {password} wishes" if "echo" in mode else None)
        if "retry-after" in mode and status >= 400:
            self.send_header("Retry-After", mode["retry-after"])
        for name, header in headers.items():
            self.send_header(name.replace("_", "-"), header)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def etag(self, name):
        tag = '"' + hashlib.md5(State.resources[name].encode()).hexdigest() + '"'
        if "weak" in State.mode or "packed" in State.mode:
            tag = "W/" + tag
        if "return-in-etag" in State.mode:
            tag = tag[:-1] + '"\r\nX-Forged: yes'
        return tag

    def value(self, text):
        text = escape(text).replace("\r", "&#13;")
        return f"\n   {text}\n  " if "blanks" in State.mode else text

    def response(self, name, with_text):
        mode = State.mode
        text = State.resources[name]
        if with_text and mode.get("unsaid") and mode["unsaid"] in text:
            return ""
        if mode.get("broken") and mode["broken"] in text:
            text = "BEGIN:VCALENDAR \x9b31m\u202e\r\nrubbish"
        if mode.get("many") and mode["many"] in text:
            text = "rubbish\n" * 130000
        if "echo" in mode:
            text = text.replace("SUMMARY:", "SUMMARY:" + State.login.split(":", 1)[1] + " ")
        data = f"<C:calendar-data>{escape(text)}</C:calendar-data>" if with_text else ""
        return (f"<response><href>{self.value('/cook/kitchen/' + name)}</href><propstat><prop><getetag>"
                f"{self.value(self.etag(name))}</getetag>{data}</prop><status>"
                f"{self.value('HTTP/1.1 200 OK')}</status></propstat></response>")

    def others(self, first):
        """Listed beside what is there: a name is 16 hexadecimal digits, a hyphen and the step."""
        names = [f"{i:016x}{one[16:]}" for one in first for i in range(int(State.mode.get("occasions", 0)))]
        names += [f"{one[:17]}x{i}.ics" for one in first for i in range(int(State.mode.get("crowd", 0)))]
        return [f"<response><href>/cook/kitchen/{name}</href><propstat><prop><getetag>\"1\"</getetag></prop>"
                "<status>HTTP/1.1 200 OK</status></propstat></response>" for name in names]

    def multistatus(self, responses):
        mode = State.mode
        start = '<?xml version="1.0" encoding="utf-8"?>'
        if "doctype" in mode:
            start += '<!DOCTYPE multistatus [<!ENTITY a "aaaaaaaaaa">]>'
        filler = " " * int(mode.get("long", 0)) + "<x/>" * int(mode.get("elements", 0)) + \
            "<response/>" * int(mode.get("responses", 0)) + \
            "<x>" * int(mode.get("deep", 0)) + "</x>" * int(mode.get("deep", 0))
        return (f'{start}<multistatus xmlns="DAV:" xmlns:C="urn:ietf:params:xml:ns:caldav">'
                f"{filler}{''.join(responses)}</multistatus>")

    def handle_one(self):
        body = self.rfile.read(int(self.headers.get("Content-Length", 0))).decode()
        with State.lock:
            if self.path.startswith("/control/"):
                return self.control(body)
            return self.serve(body)

    do_PROPFIND = do_REPORT = do_PUT = do_DELETE = do_GET = do_POST = do_MKCALENDAR = handle_one

    def control(self, body):
        what = self.path.rsplit("/", 1)[1]
        answer = ""
        if what == "mode":
            State.mode = dict((one.split("=", 1) + [""])[:2] for one in body.split("\n") if one)
            State.log, State.puts = [], 0
        elif what == "log":
            answer = "\n".join(State.log) + "\n"
        elif what == "list":
            answer = "".join(f"{name} {value(text, 'SEQUENCE')} {value(text, 'SUMMARY')}\n"
                             for name, text in sorted(State.resources.items()))
        elif what == "text":
            answer = "\n".join(unfolded(text) for name, text in sorted(State.resources.items())
                               if body in (name, "") or body in unfolded(text))
        elif what == "set":
            name, text = body.split("\n", 1)
            State.resources[name] = text
        elif what == "unset":
            del State.resources[body]
        elif what == "drop":
            State.resources, State.bin = {}, set()
        self.send_response(200)
        self.send_header("Content-Length", str(len(answer.encode())))
        self.end_headers()
        self.wfile.write(answer.encode())

    def serve(self, body):
        mode, password = State.mode, State.login.split(":", 1)[1]
        given = self.headers.get("Authorization", "")
        if given != "Basic " + base64.b64encode(State.login.encode()).decode():
            return self.reply(401, f"not {password}", WWW_Authenticate='Basic realm="kitchen"')
        if "redirect" in mode:
            return self.reply(302, "", Location=mode["redirect"])
        if "status" in mode:
            return self.reply(int(mode["status"]), f"<p>{password}</p>", Location=f"/{password}/?{password}")
        name = urllib.parse.unquote(self.path.rsplit("/", 1)[1])
        if self.command == "PROPFIND":
            own = ("<response><href>/cook/kitchen/</href><propstat><prop><resourcetype><collection/>"
                   f"<C:calendar/></resourcetype></prop><status>{self.value('HTTP/1.1 200 OK')}</status>"
                   "</propstat></response>")
            all_of_it = [own]
            if self.headers.get("Depth") == "1":
                all_of_it += [self.response(one, False) for one in sorted(State.resources)]
                all_of_it += self.others(sorted(State.resources)[:1])
            return self.reply(207, self.multistatus(all_of_it))
        if self.command == "REPORT":
            asked = [urllib.parse.unquote(one.rsplit("/", 1)[1])
                     for one in re.findall(r"<href>\s*(.*?)\s*</href>", body)]
            return self.reply(207, self.multistatus([self.response(one, True) for one in asked
                                                     if one in State.resources]))
        there = name in State.resources
        if self.command == "GET":
            return self.reply(200, State.resources[name]) if there else self.reply(404)
        if self.command == "PUT":
            State.puts += 1
            if "put-status" in mode and State.puts >= int(mode.get("after", 1)):
                return self.reply(int(mode["put-status"]), password)
        wanted = self.headers.get("If-Match")
        if self.headers.get("If-None-Match") == "*" and there:
            return self.reply(412)
        if wanted and (not there or wanted != self.etag(name).removeprefix("W/") or "weak" in mode):
            return self.reply(412)
        if self.command == "DELETE":
            if not there:
                return self.reply(404)
            State.bin.add(value(State.resources.pop(name), "UID"))
            return self.reply(204)
        if "bin" in mode and not there and value(body, "UID") in State.bin:
            return self.reply(400, "Deleted calendar object with uid already exists in this calendar collection.")
        if "wants-end" in mode and "VALUE=DATE:" in body and "\nDTEND" not in body:
            return self.reply(400, "no end")
        State.resources[name] = rewritten(body)
        return self.reply(204 if there else 201)


def ask(port, what, body):
    connection = http.client.HTTPConnection("127.0.0.1", int(port), timeout=10)
    connection.request("POST", "/control/" + what, body.encode())
    return connection.getresponse().read().decode()


def main():
    what, port, *rest = sys.argv[1:]
    if what == "serve":
        State.login = rest[0]
        server = http.server.ThreadingHTTPServer(("127.0.0.1", int(port)), Server)
        if len(rest) > 1:
            context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
            context.load_cert_chain(rest[1], rest[2])
            server.socket = context.wrap_socket(server.socket, server_side=True)
        server.serve_forever()
    elif what == "mode":
        unknown = [one for one in rest if not any(known.split("=")[0] == one.split("=")[0] for known in MODES
                                                  if known[0].islower())]
        if unknown or ask(port, "mode", "\n".join(rest)):
            sys.exit(f"no mode {unknown}")
    elif what == "set":
        with open(rest[1], encoding="utf-8", newline="") as file:
            ask(port, "set", rest[0] + "\n" + file.read())
    else:
        sys.stdout.write(ask(port, what, rest[0] if rest else ""))


main()

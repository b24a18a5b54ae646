#!/usr/bin/env python3
"""A CalDAV server for test_publish.sh and what its tests do to it behind bakeset's back.

    calendar_server.py list URL LOGIN          "NAME SEQUENCE SUMMARY" of each event, sorted
    calendar_server.py etags URL LOGIN         "NAME ETAG" of each resource, sorted
    calendar_server.py make URL LOGIN          MKCALENDAR, waiting for the server to come up
    calendar_server.py put URL LOGIN NAME UID SUMMARY   an event of somebody else's
    calendar_server.py edit URL LOGIN TEXT NEW the event whose summary has TEXT says NEW there
    calendar_server.py proxy PORT TARGET_PORT MODE [N]  a server in between that, at the N-th PUT,
        "cut": closes the connection before passing it on, and answers nothing more;
        "cut-after": the same after passing it on; "blink": closes only this connection, after
        passing it on; "edit": edits the event first; "hang": never answers
    calendar_server.py port                    a free port
"""
import base64
import http.client
import http.server
import re
import socket
import sys
import time
import urllib.error
import urllib.request
import xml.etree.ElementTree


def ask(method, url, login, body=None, headers=None):
    token = base64.b64encode(login.encode()).decode()
    request = urllib.request.Request(url, method=method, data=body,
                                     headers={"Authorization": "Basic " + token, **(headers or {})})
    with urllib.request.urlopen(request, timeout=10) as answer:
        return answer.read().decode()


def resources(url, login):
    """(name, etag, text) of every resource, sorted by name."""
    answer = ask("REPORT", url, login,
                 b'<?xml version="1.0"?><C:calendar-query xmlns="DAV:" '
                 b'xmlns:C="urn:ietf:params:xml:ns:caldav"><prop><getetag/><C:calendar-data/></prop>'
                 b'<C:filter><C:comp-filter name="VCALENDAR"/></C:filter></C:calendar-query>',
                 {"Depth": "1"})
    dav, caldav = "{DAV:}", "{urn:ietf:params:xml:ns:caldav}"
    found = []
    for one in xml.etree.ElementTree.fromstring(answer).iter(dav + "response"):
        found.append((one.findtext(dav + "href").rsplit("/", 1)[1],
                      one.findtext(f".//{dav}getetag"), one.findtext(f".//{caldav}calendar-data")))
    return sorted(found)


def unfolded(text):
    return re.sub(r"\r?\n[ \t]", "", text)


def value(text, name):
    found = re.search(rf"^{name}:(.*?)\r?$", unfolded(text), re.M)
    return found.group(1) if found else "-"


def edit(url, login, old, new):
    for name, etag, text in resources(url, login):
        if old in value(text, "SUMMARY"):
            text = unfolded(text).replace("SUMMARY:" + value(text, "SUMMARY"), "SUMMARY:" + new)
            ask("PUT", url + name, login, text.encode(),
                {"Content-Type": "text/calendar", "If-Match": etag})
            return
    sys.exit(f"no event with {old}")


class Between(http.server.BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    target = mode = nth = None
    seen = 0
    dead = False

    def log_message(self, *ignored):
        pass

    def drop(self):
        self.close_connection = True
        self.connection.shutdown(socket.SHUT_RDWR)

    def pass_on(self):
        body = self.rfile.read(int(self.headers.get("Content-Length", 0)))
        Between.seen += self.command == "PUT"
        here = self.command == "PUT" and Between.seen == Between.nth
        if Between.mode == "hang":
            time.sleep(30)
        if Between.dead or (here and Between.mode == "cut"):
            Between.dead = True
            return self.drop()
        connection = http.client.HTTPConnection("127.0.0.1", Between.target, timeout=10)
        if here and Between.mode == "edit":
            headers = {"Authorization": self.headers["Authorization"]}
            connection.request("GET", self.path, headers=headers)
            text = connection.getresponse().read().decode()
            text = unfolded(text).replace("SUMMARY:", "SUMMARY:Not now! ")
            connection.request("PUT", self.path, text.encode(),
                               {**headers, "Content-Type": "text/calendar"})
            connection.getresponse().read()
        connection.request(self.command, self.path, body, dict(self.headers))
        answer = connection.getresponse()
        text = answer.read()
        if here and Between.mode in ("cut-after", "blink"):
            Between.dead = Between.mode == "cut-after"
            return self.drop()
        self.send_response(answer.status)
        for name, header in answer.getheaders():
            if name.lower() not in ("content-length", "transfer-encoding", "connection", "date", "server"):
                self.send_header(name, header)
        self.send_header("Content-Length", str(len(text)))
        self.end_headers()
        self.wfile.write(text)

    do_PROPFIND = do_REPORT = do_PUT = do_DELETE = do_GET = pass_on


def main():
    what, *rest = sys.argv[1:]
    if what == "port":
        with socket.socket() as one:
            one.bind(("127.0.0.1", 0))
            print(one.getsockname()[1])
    elif what == "list":
        for name, _, text in resources(*rest):
            print(name, value(text, "SEQUENCE"), value(text, "SUMMARY"))
    elif what == "etags":
        for name, etag, _ in resources(*rest):
            print(name, etag)
    elif what == "make":
        for _ in range(100):
            try:
                return ask("MKCALENDAR", *rest)
            except urllib.error.HTTPError:
                raise
            except OSError:
                time.sleep(0.1)
        sys.exit("the server did not start")
    elif what == "put":
        url, login, name, uid, summary = rest
        ask("PUT", url + name, login, (
            f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//EN\r\nBEGIN:VEVENT\r\nUID:{uid}\r\n"
            "DTSTAMP:20261201T000000Z\r\nDTSTART:20261218T090000Z\r\nDTEND:20261218T100000Z\r\n"
            f"SUMMARY:{summary}\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n").encode(),
            {"Content-Type": "text/calendar"})
    elif what == "edit":
        edit(*rest)
    elif what == "proxy":
        Between.target, Between.mode = int(rest[1]), rest[2]
        Between.nth = int(rest[3]) if len(rest) > 3 else 0
        http.server.ThreadingHTTPServer(("127.0.0.1", int(rest[0])), Between).serve_forever()


main()

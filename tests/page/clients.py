"""Clients of `bakeset page`: what a browser asks, what a stranger tries. Standard library alone.

usage: clients.py BAKESET WORK [WORD ...]     WORD: only the tests whose name begins with it
Environment: REQUESTS, how many random requests (2000), and SEED.
"""

import datetime
import fcntl
import http.client
import json
import os
import pty
import random
import re
import shutil
import signal
import socket
import struct
import subprocess
import sys
import termios
import threading
import time
import urllib.parse

BAKESET, WORK = sys.argv[1], sys.argv[2]
failed = passed = 0


def check(name, good, seen=""):
    global failed, passed
    if good:
        passed += 1
    else:
        failed += 1
        print(f"FAILED: {name}: {str(seen)[:600]}")


class Page:
    """A server over a folder."""

    def __init__(self, folder, *options):
        self.folder = folder
        self.process = subprocess.Popen(
            [BAKESET, "page", "--port", "0", *options, folder],
            stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        self.address = self.process.stdout.readline().strip()
        url = urllib.parse.urlsplit(self.address)
        self.host, self.port = url.hostname, url.port
        self.netloc = url.netloc

    def ask(self, method, path, body=None, headers=None, raw=None):
        connection = http.client.HTTPConnection(self.host, self.port, timeout=60)
        heads = {"Host": self.netloc}
        if method not in ("GET", "HEAD"):
            heads["Origin"] = f"http://{self.netloc}"
            heads["Content-Type"] = "application/json"
        heads.update(headers or {})
        heads = {name: value for name, value in heads.items() if value is not None}
        data = raw if raw is not None else None if body is None else json.dumps(body).encode()
        connection.request(method, path, data, heads)
        answer = connection.getresponse()
        text = answer.read()
        connection.close()
        self.heads = {name.lower(): value for name, value in answer.getheaders()}
        try:
            return answer.status, json.loads(text)
        except ValueError:
            return answer.status, text.decode(errors="replace")

    def get(self, path, **more):
        return self.ask("GET", path, **more)

    def end(self, signal_number=signal.SIGTERM):
        self.process.send_signal(signal_number)
        out, err = self.process.communicate(timeout=60)
        return self.process.returncode, out, err


def quoted(path):
    return urllib.parse.quote(path, safe="")


def folder_of_plans(name):
    folder = os.path.join(WORK, name)
    shutil.copytree("plans", folder)
    return folder


def test_reading():
    page = Page(folder_of_plans("reading"))
    status, text = page.get("/")
    check("the first page", status == 200 and "/sheet?path=friday-supper.json" in text, text)
    for name, word in (("content-security-policy", "default-src 'none'"),
                       ("x-content-type-options", "nosniff"), ("referrer-policy", "no-referrer"),
                       ("cross-origin-opener-policy", "same-origin"),
                       ("cross-origin-resource-policy", "same-origin")):
        check(f"the head {name}", word in page.heads.get(name, ""), page.heads)
    status, _ = page.get("/site/app.js")
    tag = page.heads["etag"]
    check("a file of the site", status == 200 and page.heads["cache-control"] == "no-cache")
    status, text = page.get("/site/app.js", headers={"If-None-Match": tag})
    check("that the browser has", status == 304 and text == "", (status, text))
    status, folder = page.get("/api/folder")
    plans = {plan["path"]: plan for plan in folder["plans"]}
    check("the plans", plans["friday-supper.json"]["occasion"] == "Friday supper", folder)
    check("the recipes", "recipes/glazed-ham.json" in [r["path"] for r in folder["recipes"]], folder)
    check("the kitchens", "kitchens/holiday.json" in [k["path"] for k in folder["kitchens"]], folder)
    status, file = page.get("/api/file?path=" + quoted("recipes/glazed-ham.json"))
    with open("plans/recipes/glazed-ham.json", encoding="utf-8") as there:
        check("a file", status == 200 and file["text"] == there.read(), file)
    check("its value", file["value"]["dish"] and file["messages"] == [], file)
    with open(os.path.join(page.folder, "broken.json"), "w", encoding="utf-8") as broken:
        broken.write("{\n  \"dish\": }\n")
    status, file = page.get("/api/file?path=broken.json")
    check("a broken file", file["value"] is None and file["messages"][0]["line"] == 2, file)
    status, answer = page.get("/api/file?path=none.json")
    check("no file", status == 404 and answer["error"]["code"] == "no-file", answer)
    status, answer = page.get("/api/nothing")
    check("no such thing", status == 404, answer)
    status, out, err = page.end()
    check("it ends when told", status == 0 and err == "", (status, err))


def test_paths():
    folder = folder_of_plans("paths")
    secret = os.path.join(WORK, "secret.json")
    with open(secret, "w", encoding="utf-8") as file:
        file.write("{\"secret\": 1}\n")
    os.symlink(secret, os.path.join(folder, "out.json"))
    os.symlink(WORK, os.path.join(folder, "up"))
    os.symlink("recipes", os.path.join(folder, "inside"))
    os.mkfifo(os.path.join(folder, "pipe.json"))
    os.mkdir(os.path.join(folder, "folder.json"))
    with open(os.path.join(folder, ".hidden.json"), "w", encoding="utf-8") as file:
        file.write("{\"secret\": 1}\n")
    with open(os.path.join(folder, "secret.txt"), "w", encoding="utf-8") as file:
        file.write("secret\n")
    page = Page(folder)
    for path, want in (("../secret.json", 400), ("a/../../secret.json", 400), ("/etc/passwd.json", 400),
                       (secret, 400), ("out.json", 403), ("up/secret.json", 403),
                       ("inside/glazed-ham.json", 403), ("./friday-supper.json", 400), ("", 400),
                       ("recipes//glazed-ham.json", 400), (".hidden.json", 400), ("secret.txt", 400),
                       ("..\\secret.json", 400), ("pipe.json", 404), ("folder.json", 404),
                       ("a" * 3000 + ".json", 400), ("x/" * 20 + "y.json", 400), ("\n.json", 400),
                       ("friday-supper.json/x.json", 404), ("é.json", 404)):
        status, answer = page.get("/api/file?path=" + quoted(path))
        check(f"the path {path[:40]!r}", status == want and "secret" not in json.dumps(answer),
              (status, answer))
    for path, want in (("..%2fsecret.json", 400), ("%2e%2e/secret.json", 400), ("..%00.json", 400),
                       ("friday-supper.json%00.json", 400), ("%ff%fe.json", 400),
                       ("%c0%ae%c0%ae/secret.json", 400), ("%252e%252e/secret.json", 404)):
        status, answer = page.get("/api/file?path=" + path)
        check(f"the path as sent {path}", status == want, (status, answer))
    for path in ("/site/../secret.txt", "/site/%2e%2e/secret.txt", "/../secret.txt", "//etc/passwd",
                 "/site/", "/site"):
        status, answer = page.get(path)
        check(f"the address {path}", status == 404, (status, answer))
    status, listed = page.get("/api/folder")
    check("links are told of", "out.json" in [o["path"] for o in listed["other"]], listed["other"])
    check("and not followed", "secret" not in json.dumps(listed), listed)
    status, out, err = page.end(signal.SIGINT)
    check("it ends when interrupted", status == 0 and err == "", (status, err))


def write(page, path, text, version=None):
    return page.ask("PUT", "/api/file?path=" + quoted(path), {"text": text, "version": version})


def test_writing():
    page = Page(folder_of_plans("writing"))
    url = "/api/file?path=rolls.json"
    there = os.path.join(page.folder, "rolls.json")
    text = '// Rolls\n{\n  "dish": "Rolls", // soft\n  "stages": [\n    {"id": "bake", "do": "Bake", "active": "5 min"}\n  ]\n}\n'
    status, new = write(page, "rolls.json", text)
    check("a new file", status == 200 and open(there).read() == text and new["messages"] == [], new)
    status, answer = write(page, "rolls.json", "{}")
    check("nothing is written over", status == 409 and answer["theirs"]["text"] == text, answer)
    status, answer = page.ask("PATCH", url, {"version": new["version"], "patch": [
        {"op": "replace", "path": "/stages/0/active", "value": "7 min"}]})
    want = text.replace("5 min", "7 min")
    check("a value is changed", status == 200 and open(there).read() == want, answer)
    first_undo = answer["undo"]
    status, stale = page.ask("PATCH", url, {"version": new["version"], "patch": []})
    check("a change of what is no more", status == 412 and stale["theirs"]["text"] == want
          and stale["theirs"]["value"]["dish"] == "Rolls", stale)
    status, back = page.ask("POST", "/api/undo", {"id": first_undo})
    check("taken back", status == 200 and open(there).read() == text, back)
    status, again = page.ask("POST", "/api/undo", {"id": first_undo})
    check("once", status == 404, again)
    status, again = page.ask("POST", "/api/undo", {"id": back["undo"]})
    check("and the taking back", status == 200 and open(there).read() == want, again)
    with open(there, "a") as editor:
        editor.write("// by hand\n")
    status, answer = page.ask("POST", "/api/undo", {"id": again["undo"]})
    check("not over what an editor wrote", status == 412 and "by hand" in answer["theirs"]["text"], answer)
    with open(there, "w") as editor:
        editor.write(want)
    status, answer = page.ask("POST", "/api/undo", {"id": again["undo"]})
    check("but once that is gone: what was refused is kept", status == 200 and open(there).read() == text, answer)
    status, again = page.ask("POST", "/api/undo", {"id": answer["undo"]})
    with open(there, "a") as editor:
        editor.write("// by hand\n")
    status, answer = write(page, "rolls.json", "{}", again["version"])
    check("nor is that written over", status == 412 and "by hand" in open(there).read(), answer)
    status, file = page.get(url)
    for name, patch, want, code in (
            ("a test that fails", [{"op": "test", "path": "/dish", "value": 1}], 409, "test"),
            ("no place", [{"op": "remove", "path": "/none"}], 400, "patch"),
            ("no operation", [{"op": "burn", "path": "/dish"}], 400, "patch"),
            ("no list", {}, 400, "request")):
        status, answer = page.ask("PATCH", url, {"version": file["version"], "patch": patch})
        check(name, status == want and answer["error"]["code"] == code, answer)
    status, answer = write(page, "broken.json", "{,")
    check("a broken file is kept, and told of", status == 200 and answer["messages"], answer)
    status, answer = page.ask("PATCH", "/api/file?path=broken.json",
                              {"version": answer["version"], "patch": [{"op": "add", "path": "/a", "value": 1}]})
    check("but not changed in places", status == 422 and answer["error"]["code"] == "not-sound", answer)
    status, answer = write(page, "fresh.json", "{}")
    status, answer = page.ask("POST", "/api/undo", {"id": answer["undo"]})
    check("a new file is taken back", status == 200 and answer["version"] is None
          and not os.path.exists(os.path.join(page.folder, "fresh.json")), answer)
    status, answer = page.ask("POST", "/api/undo", {"id": answer["undo"]})
    check("and is there again", status == 200 and os.path.exists(os.path.join(page.folder, "fresh.json")), answer)
    for body in ({"text": "{}"}, {"version": None}, {"text": 1, "version": None}, {"text": "{}", "version": 7}, {}):
        status, answer = page.ask("PUT", "/api/file?path=other.json", body)
        check(f"a bad request {body}", status == 400, answer)
    status, answer = write(page, "no/folder/x.json", "{}", "0123456789abcdef")
    check("no folder", status == 412 and not os.path.exists(os.path.join(page.folder, "no")), answer)
    status, answer = write(page, "new/folder/x.json", "{}")
    check("a new folder", status == 200 and os.path.exists(os.path.join(page.folder, "new/folder/x.json")), answer)
    os.chmod(there, 0o640)
    status, file = page.get(url)
    status, answer = write(page, "rolls.json", "{}", file["version"])
    check("its rights stay", status == 200 and os.stat(there).st_mode & 0o777 == 0o640, answer)
    check("no temporary is left", [n for n in os.listdir(page.folder) if n.startswith(".")] == [])
    page.end()


def test_several():
    """A change of several files is one: all or none, taken back at once."""
    page = Page(folder_of_plans("several"))
    url = "/api/file?path="
    paths = ["friday-supper.json", "recipes/potato-gratin.json"]
    files = [page.get(url + quoted(path))[1] for path in paths]
    names = ["occasion", "dish"]

    def change(versions, *more):
        return page.ask("POST", "/api/change", {"files": [
            {"path": path, "version": version, "patch": [{"op": "replace", "path": f"/{name}", "value": "Another"}]}
            for path, name, version in zip(paths, names, versions)] + list(more)})

    def texts():
        return [page.get(url + quoted(path))[1]["text"] for path in paths]

    before = texts()
    status, answer = change([files[0]["version"], "0123456789abcdef"])
    check("one that is no more that version", status == 412 and answer["path"] == paths[1]
          and answer["theirs"]["text"] == before[1] and texts() == before, answer)
    status, answer = change([file["version"] for file in files],
                            {"path": "recipes/glazed-ham.json", "version": page.get(url + "recipes/glazed-ham.json")[1]["version"],
                             "patch": [{"op": "remove", "path": "/none"}]})
    check("one that cannot be done", status == 400 and answer["path"] == "recipes/glazed-ham.json" and texts() == before, answer)
    status, answer = change([file["version"] for file in files], {"path": "none.json", "version": "0123456789abcdef", "text": "{}"})
    check("one that is not there", status == 412 and answer["theirs"] is None and texts() == before, answer)
    status, done = change([file["version"] for file in files])
    check("both", status == 200 and [f["path"] for f in done["files"]] == paths and texts() ==
          [text.replace(f'"{name}": "{file["value"][name]}"', f'"{name}": "Another"') for text, name, file in zip(before, names, files)], done)
    status, back = page.ask("POST", "/api/undo", {"id": done["undo"]})
    check("both are taken back", status == 200 and texts() == before and len(back["files"]) == 2, back)
    status, again = page.ask("POST", "/api/undo", {"id": back["undo"]})
    check("and that, too", status == 200 and texts() != before, again)
    with open(os.path.join(page.folder, paths[1]), "a", encoding="utf-8") as editor:
        editor.write("// by hand\n")
    now = texts()
    status, answer = page.ask("POST", "/api/undo", {"id": again["undo"]})
    check("not where one was changed since", status == 412 and texts() == now, answer)
    long = ["x" * 245 + f"{i}.json" for i in (1, 2)]
    made = [write(page, path, "{}")[1] for path in long]
    status, answer = page.ask("POST", "/api/change", {"files": [
        {"path": path, "version": one["version"], "text": f'{{"dish": "{path[-6]}"}}'} for path, one in zip(long, made)]})
    check("two of names that are long and differ in their end",
          status == 200 and [page.get(url + path)[1]["value"]["dish"] for path in long] == ["1", "2"], answer)
    for files in ([], {}, [1], [{"path": "x.json"}], [{"path": "x.json", "version": "1"}],
                  [{"path": "x.json", "version": "1", "text": "{}"}] * 2,
                  [{"path": f"{i}.json", "version": "1", "text": "{}"} for i in range(9)],
                  [{"path": "x.json", "version": "1", "text": "{}", "patch": []}]):
        status, answer = page.ask("POST", "/api/change", {"files": files})
        check(f"a bad change {files}", status == 400, answer)
    status, answer = page.ask("POST", "/api/change", {"files": [{"path": "../x.json", "version": "1", "text": "{}"}]})
    check("a way out", status == 400 and answer["error"]["code"] == "path", answer)
    check("nothing is left", [n for n in os.listdir(page.folder) if n.startswith(".")] == [])
    page.end()


def test_requests_from_elsewhere():
    page = Page(folder_of_plans("elsewhere"))
    body = {"text": "{}", "version": None}
    url = "/api/file?path=made.json"
    for name, heads, want in (
            ("another site", {"Origin": "http://evil.example"}, 403), ("no origin", {"Origin": None}, 403),
            ("a null origin", {"Origin": "null"}, 403),
            ("another port", {"Origin": "http://127.0.0.1:1"}, 403),
            ("TLS", {"Origin": f"https://{page.netloc}"}, 403),
            ("a form", {"Content-Type": "application/x-www-form-urlencoded"}, 415),
            ("a plain form", {"Content-Type": "text/plain"}, 415), ("no type", {"Content-Type": None}, 415),
            ("another name", {"Host": "kitchen.example"}, 403),
            ("another name that leads here", {"Host": f"evil.example:{page.port}"}, 403),
            ("no port", {"Host": "127.0.0.1"}, 403), ("localhost", {"Host": f"LOCALHOST:{page.port}"}, 200)):
        status, answer = page.ask("PUT", url, body, headers=heads)
        check(f"a change by {name}", status == want, (status, answer))
    check("only the last did it", os.path.exists(os.path.join(page.folder, "made.json")))
    for name, raw, want in (("no JSON", b"{", 400), ("a list", b"[]", 400), ("a NUL", b'{"text": "\\u0000"}', 400),
                            ("a raw NUL", b'{"a": 1}\0', 400), ("no UTF-8", b'{"text": "\xff", "version": null}', 400),
                            ("nothing", b"", 400), ("a deep one", b"[" * 100000, 400),
                            ("too much", b'{"text": "' + b"x" * 1100000 + b'"}', 413),
                            ("10 MB", b"x" * 10000000, 413)):
        status, answer = page.ask("PUT", "/api/file?path=bad.json", raw=raw)
        check(f"a body of {name}", status == want, (status, answer))
    check("none of them wrote", not os.path.exists(os.path.join(page.folder, "bad.json")))
    for method in ("OPTIONS", "TRACE", "CONNECT", "FOO"):
        status, answer = page.ask(method, "/api/folder")
        check(f"the method {method}", status in (400, 404, 405), (status, answer))
    status, answer = page.ask("HEAD", "/api/folder")
    check("HEAD", status == 200 and answer == "", (status, answer))
    page.end()


def test_planning():
    page = Page(folder_of_plans("planning"))
    status, answer = page.ask("POST", "/api/plan", {"path": "friday-supper.json"})
    check("a plan", status == 200 and answer["result"] == "ok" and answer["settled"]
          and answer["timeline"]["format"] == "bakeset-timeline-1", answer)
    status, later = page.ask("POST", "/api/plan", {"path": "friday-supper.json", "serve": ["20:00"], "effort": "full"})
    check("served later", later["timeline"]["ready"] == "2026-12-04T19:50:00+00:00" and
          answer["timeline"]["ready"] == "2026-12-04T19:20:00+00:00", (later, answer))
    status, answer = page.ask("POST", "/api/plan", {"path": "impossible-supper.json", "effort": "full"})
    check("an impossible plan", answer["result"] == "impossible" and answer["timeline"]["why"]
          and answer["timeline"]["remedies"], answer)
    status, answer = page.ask("POST", "/api/plan", {"path": "unsaved.json", "text": '{"occasion": "x"}'})
    check("a bad plan", status == 200 and answer["result"] == "bad-input" and answer["timeline"] is None
          and answer["messages"], answer)
    with open(os.path.join(WORK, "outside.json"), "w", encoding="utf-8") as outside:
        outside.write('{"burnt": 1}')
    status, answer = page.ask("POST", "/api/plan", {"path": "x.json", "text":
                              '{"occasion": "x", "timezone": "UTC", "kitchen": "../outside.json", "dishes": []}'})
    check("a plan names no file outside", answer["result"] == "bad-input" and "burnt" not in json.dumps(answer), answer)
    for body in ({}, {"path": 1}, {"path": "friday-supper.json", "serve": [1]}, {"path": "../x.json", "text": "{}"},
                 {"path": "friday-supper.json", "serve": ["18:00\nx"]}):
        status, answer = page.ask("POST", "/api/plan", body)
        check(f"a bad question {body}", status == 400, answer)
    status, answer = page.ask("POST", "/api/check", {"path": "r.json", "text":
                              '{"dish": "Roll", "stages": [{"id": "a", "do": "A", "active": "five"}]}'})
    check("a problem and where it is", answer["messages"][0]["pointer"] == "/stages/0/active"
          and answer["messages"][0]["severity"] == "error" and answer["messages"][0]["line"] == 1, answer)
    status, answer = page.ask("POST", "/api/check", {"path": "recipes/glazed-ham.json"})
    check("no problem", answer == {"messages": []}, answer)
    status, answer = page.ask("POST", "/api/new", {
        "recipes": ["recipes/overnight-rolls.json", "recipes/glazed-ham.json"], "kitchen": "kitchens/holiday.json",
        "serve": "2027-01-09 19:30", "occasion": "New supper", "path": "new-supper.json"})
    check("a new plan", status == 200 and not [m for m in answer["messages"] if m["severity"] == "error"], answer)
    status, file = page.get("/api/file?path=new-supper.json")
    check("of those recipes in that kitchen", file["value"]["kitchen"] == "kitchens/holiday.json"
          and [d["recipe"] for d in file["value"]["dishes"]] == ["recipes/overnight-rolls.json", "recipes/glazed-ham.json"], file)
    status, answer = page.ask("POST", "/api/plan", {"path": "new-supper.json"})
    check("which can be planned", answer["result"] == "ok", answer)
    status, answer = page.ask("POST", "/api/new", {"recipes": ["recipes/glazed-ham.json"], "kitchen": None,
                              "serve": "2027-01-09 19:30", "occasion": "x", "path": "new-supper.json"})
    check("no plan is written over", status == 409, answer)
    for recipes in ([], ["none.json"], ["../secret.json"], [1], ["recipes/glazed-ham.json"] * 51):
        status, answer = page.ask("POST", "/api/new", {"recipes": recipes, "path": "n.json"})
        check(f"no such recipes {recipes[:1]}", status in (400, 404), answer)
    status, answer = page.ask("POST", "/api/new", {"recipes": ["recipes/glazed-ham.json"], "path": "kitchens/n.json"})
    check("a plan beside its recipes", status == 400, answer)
    status, answer = page.ask("POST", "/api/take-in", {"name": "card", "text":
                              "Rolls\n\nIngredients\n500 g flour\n\nMethod\nKnead the dough. Bake at 200 C for 20 minutes.\n"})
    pointers = {guess["pointer"] for guess in answer["guesses"]}
    check("a recipe taken in", status == 200 and answer["value"]["stages"] and answer["draft"].startswith("//")
          and {"/stages/0", "/stages/1"} <= pointers and "" not in pointers
          and all(guess["reason"] for guess in answer["guesses"]), answer)
    status, answer = page.ask("POST", "/api/take-in", {"name": "x", "text": ""})
    check("no recipe", status == 422, answer)
    status, answer = page.ask("POST", "/api/publish", {"path": "friday-supper.json"})
    check("no place to publish to", status == 422 and answer["error"]["code"] == "no-publish", answer)
    plan = page.get("/api/file?path=friday-supper.json")[1]
    with socket.socket() as taken:  # nobody listens there
        taken.bind(("127.0.0.1", 0))
        page.ask("PATCH", "/api/file?path=friday-supper.json", {"version": plan["version"], "patch": [
            {"op": "add", "path": "/publish", "value": f"http://127.0.0.1:{taken.getsockname()[1]}/calendar/"}]})
        status, answer = page.ask("POST", "/api/publish", {"path": "friday-supper.json", "login": "ann:pa55-word"})
    check("a server that is not there", status == 502 and answer["said"] and answer["error"]["what"]
          and "pa55" not in json.dumps(answer), answer)
    status, sheet = page.get("/sheet?path=friday-supper.json")
    check("a sheet", status == 200 and sheet.startswith("<!DOCTYPE html>")
          and "script-src 'sha256-" in page.heads["content-security-policy"], page.heads)
    status, picture = page.get("/picture?path=friday-supper.json")
    check("a picture", status == 200 and "<svg" in picture and page.heads["content-type"] == "image/svg+xml")
    status, calendar = page.get("/calendar?path=friday-supper.json")
    check("a calendar", status == 200 and calendar.startswith("BEGIN:VCALENDAR")
          and page.heads["content-disposition"].startswith("attachment"))
    status, why = page.get("/sheet?path=impossible-supper.json")
    check("no sheet of an impossible plan", status == 409 and page.heads["content-type"].startswith("text/plain"), why)
    status, answer = page.get("/sheet?path=recipes/glazed-ham.json")
    check("no sheet of a recipe", status == 422, answer)
    page.end()


class Listener:
    """Server-sent events, as they come."""

    def __init__(self, page, headers=""):
        self.socket = socket.create_connection((page.host, page.port), timeout=30)
        self.socket.sendall(f"GET /api/events HTTP/1.0\r\nHost: {page.netloc}\r\n{headers}\r\n".encode())
        self.events, self.ended, self.head = [], False, b""
        self.thread = threading.Thread(target=self.read, daemon=True)
        self.thread.start()
        end = time.time() + 10
        while b"retry:" not in self.head and time.time() < end and not self.ended:
            time.sleep(0.005)

    def read(self):
        rest = b""
        try:
            while True:
                got = self.socket.recv(65536)
                if not got:
                    break
                self.head += got[:2000] if len(self.head) < 2000 else b""
                rest += got
                while b"\n\n" in rest:
                    block, rest = rest.split(b"\n\n", 1)
                    lines = [line for line in block.split(b"\n") if b": " in line]
                    fields = dict(line.split(b": ", 1) for line in lines)
                    if b"event" in fields:
                        self.events.append((fields[b"event"].decode(), json.loads(fields[b"data"]), time.time()))
        except OSError:
            pass
        self.ended = True

    def wait(self, name, path=None, seconds=5.0, version=None):
        end = time.time() + seconds
        while time.time() < end:
            for event in self.events:
                if event[0] == name and path in (None, event[1].get("path")) and version in (None, event[1].get("version")):
                    return event
            time.sleep(0.005)
        return None

    def close(self):
        self.socket.close()


def edit(path, change):
    """As an editor saves it: what change makes of the text."""
    with open(path, encoding="utf-8") as file:
        text = file.read()
    with open(path, "w", encoding="utf-8") as file:
        file.write(change(text))


def evening(folder, name="rolls.json", hours=3):
    """A plan that is served in some hours, in UTC."""
    serve = datetime.datetime.now(datetime.timezone.utc) + datetime.timedelta(hours=hours)
    plan = {"occasion": "Rolls", "timezone": "UTC", "serve": serve.strftime("%Y-%m-%d %H:%M"),
            "kitchen": {"equipment": {"oven": {"kind": "oven"}}},
            "dishes": [{"dish": "Rolls", "stages": [
                {"id": "knead", "do": "Knead", "active": "10 min"},
                {"id": "prove", "do": "Prove", "passive": "60 min"},
                {"id": "prove-again", "do": "Prove again", "passive": "20 min"},
                {"id": "bake", "do": "Bake", "passive": "20 min", "uses": {"oven": {"at": "220 C"}}}]},
                {"dish": "Buns", "stages": [{"id": "bake", "do": "Bake", "passive": "15 min",
                                             "uses": {"oven": {"at": "200 C"}}}]}]}
    with open(os.path.join(folder, name), "w", encoding="utf-8") as file:
        json.dump(plan, file)


def entries(folder, name="rolls.day.jsonl"):
    with open(os.path.join(folder, name), encoding="utf-8") as file:
        return [line for line in map(json.loads, file.read().splitlines()[1:]) if line["what"] != "planned"]


def test_evening():
    folder = os.path.join(WORK, "evening")
    os.mkdir(folder)
    evening(folder)
    page = Page(folder)
    journal = os.path.join(folder, "rolls.day.jsonl")
    status, day = page.get("/api/day?path=rolls.json")
    check("a day that has not begun", status == 200 and day["started"] is False and day["version"] is None
          and day["timeline"]["stages"] and not os.path.exists(journal), day)
    first = Listener(page)
    status, day = page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["begun", "knead"], "id": "one"})
    said = time.time()
    check("a step is begun", status == 200 and day["started"] and day["said"]["runs"][0]["stage"] == "knead"
          and "knead began" in day["said"]["changed"][0] and len(day["said"]["changed"]) <= 3, day)
    event = first.wait("day", "rolls.json", version=day["version"])
    check("all are told", event and event[2] - said < 0.5, first.events)
    status, other = page.get("/api/day?path=rolls.json")
    check("and see what was told", other["said"]["changed"] == day["said"]["changed"] and other == day, (day, other))
    status, again = page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["begun", "knead"], "id": "one"})
    status, same = page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["begun", "Rolls/knead"], "id": "two"})
    check("the same twice is one", {**again, "text": 0} == {**day, "text": 0} and same["version"] == day["version"]
          and len(entries(folder)) == 1, (again, same, entries(folder)))
    page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["longer", "knead", "5 min"], "id": "three"})
    page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["longer", "knead", "5 min"], "id": "three"})
    check("one thing sent twice is one", len(entries(folder)) == 2, entries(folder))
    page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["longer", "knead", "5 min"], "id": "four"})
    check("two are two", len(entries(folder)) == 3, entries(folder))
    page.end()
    page = Page(folder)
    first = Listener(page)
    status, again = page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["longer", "knead", "5 min"], "id": "four"})
    check("sent again to one that was started anew", status == 200 and len(entries(folder)) == 3, entries(folder))
    results = []
    ticks = [threading.Thread(target=lambda i=i: results.append(page_ask(page, i))) for i in range(12)]
    for tick in ticks:
        tick.start()
    for tick in ticks:
        tick.join()
    done = [entry for entry in entries(folder) if entry["what"] == "done"]
    check("twelve who tick the same step make one tick", len(done) == 1 and {status for status, _ in results} == {200},
          (done, results))
    versions = {day["version"] for _, day in results}
    told = {json.dumps([day["said"], day["timeline"]["stages"], day["now"]], sort_keys=True) for _, day in results}
    check("and are told the same", len(versions) == 1 and len(told) <= len({day["now"] for _, day in results}), told)
    first.events.clear()
    time.sleep(0.3)
    first.events.clear()
    began = time.time()
    command = subprocess.run([BAKESET, "day", "begun", "prove", "rolls.json"], cwd=folder, capture_output=True, text=True)
    ended = time.time()
    event = first.wait("day", "rolls.json")
    check("the command's word is told within half a second", command.returncode == 0 and event
          and event[2] - ended < 0.5, (command.stderr, event, began, ended))
    status, day = page.get("/api/day?path=rolls.json")
    check("and seen", [run["stage"] for run in day["said"]["runs"]] == ["prove"]
          and event[1]["version"] == day["version"] and event[1]["made"] == day["made"], (event, day))
    check("and what it came to, on every phone", "Rolls/prove began" in day["said"]["changed"][0]
          and len(day["said"]["changed"]) <= 3 and page.get("/api/day?path=rolls.json")[1] == day, day["said"])
    for words, want, code in ((["done", "burn"], 422, "day"), (["begun", "bake"], 409, "which"), (["fly"], 422, "day"),
                              (["done"], 422, "day"), ([], 400, "request"), (["next"], 400, "request"),
                              ([1], 400, "request"), (["done"] * 9, 400, "request")):
        status, answer = page.ask("POST", "/api/day", {"path": "rolls.json", "words": words})
        check(f"words {words}", status == want and answer["error"]["code"] == code, answer)
        if code == "which":
            check("the choices", set(answer["error"]["choices"]) >= {"Rolls/bake", "Buns/bake"}, answer)
    status, day = page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["undo"], "id": "u"})
    check("the last word is taken back", status == 200 and day["said"]["runs"] == [], day)
    evening(folder, hours=4)
    event = first.wait("file", "rolls.json")
    check("an editor's change is told", event is not None, first.events)
    status, day = page.get("/api/day?path=rolls.json")
    check("and the day worked out anew", status == 200, day)
    with open(os.path.join(folder, "new.json"), "w") as file:
        file.write("{}")
    check("a new file is told", first.wait("folder") and first.wait("file", "new.json"), first.events)
    os.remove(journal)
    os.symlink("/etc/passwd", journal)
    status, answer = page.get("/api/day?path=rolls.json")
    check("a journal that is a link", status == 403, answer)
    status, answer = page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["done", "knead"]})
    check("is not written", status == 403 and answer["error"]["code"] == "link", answer)
    status, answer = page.get("/api/day?path=none.json")
    check("no day of no plan", status == 404, answer)
    status, out, err = page.end()
    first.thread.join(5)
    check("it ends while somebody listens", status == 0 and first.ended and err == "", (status, err))


def minutes_apart(text):
    """When a calendar was written, which is another minute's doing."""
    return re.sub(r"(DTSTAMP|LAST-MODIFIED):\w+", "", text)


def test_paper_of_the_day():
    """Sheet, picture and alarms are of the evening as it stands: the bytes that the command writes."""
    folder = os.path.join(WORK, "paper")
    os.mkdir(folder)
    evening(folder)
    page = Page(folder)
    forms = {"sheet": page.get("/sheet?path=rolls.json")[1], "calendar": page.get("/calendar?path=rolls.json")[1]}
    with open(os.path.join(WORK, "given.ics"), "w", encoding="utf-8", newline="") as file:
        file.write(forms["calendar"])
    shutil.copy(os.path.join(WORK, "given.ics"), os.path.join(WORK, "given-before.ics"))
    page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["done", "knead"]})
    page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["later", "+30 min"]})
    for turn in range(3):  # where a minute ends between the two
        shutil.copy(os.path.join(WORK, "given-before.ics"), os.path.join(WORK, "given.ics"))
        minute = int(time.time() / 60)
        sheet, picture = page.get("/sheet?path=rolls.json")[1], page.get("/picture?path=rolls.json")[1]
        calendar = page.get("/calendar?path=rolls.json")[1]
        command = subprocess.run([BAKESET, "day", "--html", os.path.join(WORK, "day.html"), "--ics",
                                  os.path.join(WORK, "given.ics"), "rolls.json"], cwd=folder, capture_output=True, text=True)
        if int(time.time() / 60) == minute:
            break
    with open(os.path.join(WORK, "day.html"), encoding="utf-8", newline="") as file:
        check("the sheet of the day", command.returncode == 0 and sheet == file.read() and sheet != forms["sheet"], sheet)
    check("and its picture", page.get("/picture?path=rolls.json")[0] == 200 and picture.startswith("<"), picture)
    with open(os.path.join(WORK, "given.ics"), encoding="utf-8", newline="") as file:
        by_command = file.read()
    check("the alarms of the day", turn == 2 or minutes_apart(calendar) == minutes_apart(by_command), (calendar, by_command))
    uids = [sorted(set(re.findall("UID:(.*)", text))) for text in (forms["calendar"], calendar)]
    check("are those given before, moved", set(uids[0]) & set(uids[1]) and "SEQUENCE:1" in calendar
          and "SEQUENCE:1" not in forms["calendar"], calendar)
    page.end()
    page = Page(folder)
    check("also of a page that was started anew", "SEQUENCE:1" in page.get("/calendar?path=rolls.json")[1],
          page.get("/calendar?path=rolls.json"))
    os.remove(os.path.join(folder, "rolls.day.jsonl"))
    check("without its journal it is as planned", page.get("/sheet?path=rolls.json")[1] == forms["sheet"])
    page.end()


def test_name_under_way():
    """The journal goes by the occasion's name: that stays while the evening is under way."""
    folder = os.path.join(WORK, "name")
    os.mkdir(folder)
    evening(folder)
    page = Page(folder)
    url = "/api/file?path=rolls.json"

    def rename(name):
        return page.ask("PATCH", url, {"version": page.get(url)[1]["version"],
                                       "patch": [{"op": "replace", "path": "/occasion", "value": name}]})

    status, answer = rename("Rolls for all")
    check("a plan is renamed before its day", status == 200, answer)
    page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["done", "knead"]})
    before = page.get(url)[1]
    status, answer = rename("Buns")
    check("but not on its day", status == 409 and answer["error"]["code"] == "under-way"
          and "Rolls for all" in answer["error"]["what"] and page.get(url)[1] == before, answer)
    status, answer = page.ask("POST", "/api/change", {"files": [{
        "path": "rolls.json", "version": before["version"], "patch": [{"op": "replace", "path": "/occasion", "value": "Buns"}]}]})
    check("nor with other files", status == 409 and answer["error"]["code"] == "under-way", answer)
    status, answer = write(page, "rolls.json", before["text"].replace("Rolls for all", "Buns"), before["version"])
    check("nor as a text", status == 409 and answer["error"]["code"] == "under-way", answer)
    status, answer = write(page, "rolls.json", before["text"].replace('"Knead"', '"Knead it"'), before["version"])
    check("all else is changed", status == 200 and page.get("/api/day?path=rolls.json")[0] == 200, answer)
    edit(os.path.join(folder, "rolls.json"), lambda text: text.replace("Rolls for all", "Buns"))
    status, answer = page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["begun", "prove"]})
    check("where an editor did it, it is told what helps", status == 422
          and '"Rolls for all" again' in answer["error"]["mend"], answer)
    check("and that is done on a phone", rename("Rolls for all")[0] == 200 and page.get("/api/day?path=rolls.json")[0] == 200)
    page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["finish"]})
    check("when the day is over it gets another name", rename("Buns")[0] == 200)
    page.end()


def test_journal_by_hand():
    """A journal that an editor breaks is told to all who listen, and so is its repair."""
    folder = os.path.join(WORK, "by-hand")
    os.mkdir(folder)
    evening(folder)
    page = Page(folder)
    page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["begun", "knead"]})
    listener = Listener(page)
    page.get("/api/day?path=rolls.json")
    time.sleep(0.5)
    for name, broken in (("rolls.day.jsonl", "that was good\n"), ("rolls.json", "{,")):
        path = os.path.join(folder, name)
        with open(path, encoding="utf-8") as file:
            good = file.read()
        listener.events.clear()
        with open(path, "a", encoding="utf-8") as file:
            file.write(broken)
        event = listener.wait("day", "rolls.json")
        check(f"{name} is broken: told", event is not None, listener.events)
        status, answer = page.get("/api/day?path=rolls.json")
        check(f"{name}: where", status == 422 and f"{name}, line " in answer["error"]["what"], answer)
        time.sleep(0.5)
        listener.events.clear()
        with open(path, "w", encoding="utf-8") as file:
            file.write(good)
        event = listener.wait("day", "rolls.json")
        check(f"{name}: its repair is told", event and event[1].get("made"), listener.events)
        status, day = page.get("/api/day?path=rolls.json")
        check(f"{name}: and the day is back", status == 200 and day["said"]["runs"][0]["stage"] == "knead", day)
    page.end()


def test_folder_gone():
    """A folder that is removed is told of, and is right again when it is back."""
    folder = folder_of_plans("gone")
    page = Page(folder)
    listener = Listener(page)
    before = page.get("/api/folder")
    shutil.rmtree(folder)
    for method, path, body in (("GET", "/api/folder", None), ("GET", "/sheet?path=friday-supper.json", None),
                               ("PUT", "/api/file?path=x.json", {"text": "{}", "version": None})):
        status, answer = page.ask(method, path, body)
        check(f"{method} {path} of a folder that is gone", status == 503 and answer["error"]["code"] == "gone", answer)
    check("the page itself comes", page.get("/")[0] == 200 and page.get("/site/app.js")[0] == 200)
    time.sleep(0.6)
    listener.events.clear()
    shutil.copytree("plans", folder)
    check("it is told that it is back", listener.wait("folder") is not None, listener.events)
    check("and all is as before", page.get("/api/folder") == before, page.get("/api/folder"))
    status, answer = write(page, "x.json", "{}")
    check("what is written is there", status == 200 and os.path.exists(os.path.join(folder, "x.json")), answer)
    status, text = page.get("/sheet?path=friday-supper.json")
    check("and planned", status == 200 and "Friday supper" in text, text)
    status, out, err = page.end()
    check("it ends without a word", status == 0 and err == "", (status, err))


def test_reading_beside():
    """Who reads does not wait for who plans: all that was made is given out while plans are made."""
    folder = folder_of_plans("beside")
    shutil.copy("tests/data/cli/long-search.json", folder)
    evening(folder)
    page = Page(folder)
    reads = ["/", "/api/folder", "/api/file?path=friday-supper.json", "/sheet?path=friday-supper.json",
             "/picture?path=friday-supper.json", "/calendar?path=friday-supper.json", "/api/day?path=rolls.json"]
    first = [page.get(read) for read in reads]
    check("all can be read", [status for status, _ in first] == [200] * len(reads), first)
    over = []

    def plan():
        other = http.client.HTTPConnection(page.host, page.port, timeout=300)
        other.request("POST", "/api/plan", json.dumps({"path": "long-search.json", "effort": "full"}),
                      {"Host": page.netloc, "Origin": f"http://{page.netloc}", "Content-Type": "application/json"})
        over.append(other.getresponse().status)

    plans = [threading.Thread(target=plan) for _ in range(6)]
    for thread in plans:
        thread.start()
    time.sleep(0.3)
    for turn in range(3):
        for read, before in zip(reads, first):
            status, answer = page.get(read)
            check(f"{read} while plans are made", (status, answer) == before or status == 200 and read in ("/api/folder", "/api/day?path=rolls.json"), status)
        status, day = page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["later", "+1 min"], "id": f"b{turn}"})
        check("and a tick", status == 200, day)
    check("before any of them is done", over == [], over)
    for thread in plans:
        thread.join()
    check("which are, then", over == [200] * 6, over)
    edit(os.path.join(folder, "friday-supper.json"), lambda text: text.replace("Friday supper", "Saturday lunch"))
    time.sleep(0.02)
    for read in reads[2:6]:
        check(f"{read} of a file that changed is made anew", "Saturday lunch" in json.dumps(page.get(read)[1])
              or read.startswith("/picture"), read)
    status, out, err = page.end()
    check("and it ends", status == 0 and err == "", (status, err))


def test_days_anew():
    """A day is made anew, and told, when a file of its plan changes, breaks, and is whole again."""
    folder = os.path.join(WORK, "anew")
    os.mkdir(folder)
    evening(folder)
    page = Page(folder)
    listener = Listener(page)
    status, day = page.get("/api/day?path=rolls.json")
    time.sleep(0.3)
    evening(folder, hours=5)
    event = listener.wait("day", "rolls.json")
    status, later = page.get("/api/day?path=rolls.json")
    check("a plan that changed", event and event[1]["made"] == later["made"] != day["made"]
          and later["timeline"]["ready"] != day["timeline"]["ready"], (event, later))
    listener.events.clear()
    with open(os.path.join(folder, "rolls.json"), "a", encoding="utf-8") as file:
        file.write("{")
    event = listener.wait("day", "rolls.json")
    status, broken = page.get("/api/day?path=rolls.json")
    check("one that cannot be read any more", event and status == 422, (event, broken))
    evening(folder, hours=5)
    time.sleep(0.3)
    status, whole = page.get("/api/day?path=rolls.json")
    check("one that can again", status == 200 and whole["timeline"]["ready"] == later["timeline"]["ready"], whole)
    listener.close()
    page.end()


def test_search():
    folder = folder_of_plans("search")
    shutil.copy("tests/data/cli/long-search.json", folder)
    page = Page(folder)
    listener = Listener(page)
    status, answer = page.ask("POST", "/api/search", {"path": "friday-supper.json"})
    event = listener.wait("search")
    check("a search that is soon over", status == 200 and event and event[1]["id"] == answer["id"]
          and event[1]["state"] == "the best" and event[1]["over"] and event[1]["timeline"]["stages"], event)
    listener.events.clear()
    page.ask("POST", "/api/search", {"path": "impossible-supper.json"})
    event = listener.wait("search")
    check("a plan that cannot be met", event and event[1]["state"] == "impossible", event)
    listener.events.clear()
    ids = []
    for _ in range(3):
        status, answer = page.ask("POST", "/api/search", {"path": "long-search.json"})
        check("a long search", status == 200, answer)
        ids.append(answer.get("id"))
    status, answer = page.ask("POST", "/api/search", {"path": "long-search.json"})
    check("too many searches", status == 503, answer)
    end = time.time() + 60
    while time.time() < end and not [e for e in listener.events if e[0] == "search" and e[1]["timeline"]]:
        time.sleep(0.05)
    whole = [e[1] for e in listener.events if e[0] == "search" and e[1]["timeline"]]
    check("what there is so far", whole and whole[0]["state"] == "so far" and whole[0]["timeline"]["status"] == "feasible",
          whole and whole[0]["state"])
    one = []
    while time.time() < end and len(one) < 2:
        time.sleep(0.2)
        one = [e for e in listener.events if e[0] == "search" and e[1]["id"] == ids[0] and not e[1]["timeline"]]
    check("and on the way", one and all(e[1]["state"] == "so far" and not e[1]["over"] and e[1]["words"] and e[1]["goal"]
                                        for e in one), [e[1] for e in one])
    check("which is that or better", all(e[1]["first_start"] >= one[0][1]["first_start"] for e in one), [e[1] for e in one])
    check("at most two a second", all(later[2] - sooner[2] > 0.4 for sooner, later in zip(one, one[1:])), [e[2] for e in one])
    began = time.time()
    for number in ids:
        status, answer = page.ask("DELETE", "/api/search?id=" + number)
        check("a search is given up", status == 200, answer)
    while len({e[1]["id"] for e in listener.events if e[1].get("state") == "given up"}) < 3 and time.time() < began + 60:
        time.sleep(0.01)
    given = [e for e in listener.events if e[1].get("state") == "given up"]
    check("all are, with the best so far", len(given) == 3 and all(e[1]["timeline"]["stages"] for e in given), len(given))
    print(f"given up after {max(e[2] for e in given) - began:.3f} s")
    status = None  # what it held is freed after it has told that it ends
    while status != 404 and time.time() < began + 60:
        status, answer = page.ask("DELETE", "/api/search?id=" + ids[0])
    check("a search that is over", status == 404, answer)
    status, answer = page.ask("POST", "/api/search", {"path": "long-search.json"})
    began = time.time()
    status, out, err = page.end()
    check("it ends while it searches", status == 0 and err == "" and time.time() < began + 20, (status, err))


def on_terminal(folder, locale):
    """What the page prints on a terminal, until it has shown its code."""
    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 60, 120, 0, 0))
    process = subprocess.Popen([BAKESET, "page", "--port", "0", "--at-home", "127.0.0.2", folder], stdin=slave, stdout=slave,
                               stderr=slave, env={**os.environ, "LC_ALL": locale})
    os.close(slave)
    seen, end = b"", time.time() + 20
    while b"within ten minutes" not in seen and time.time() < end:
        seen += os.read(master, 65536)
    os.write(master, b"\n")
    while seen.count(b"within ten minutes") < 2 and time.time() < end:
        seen += os.read(master, 65536)
    process.terminate()
    process.wait(20)
    os.close(master)
    return seen.decode()


def modules(seen):
    """The first code on the terminal: rows of which each dark module is true."""
    rows = []
    for line in seen.split("within ten minutes")[0].replace("\r", "").split("\n"):
        if "\033[97;40m" not in line:
            continue
        line = line.replace("\033[97;40m", "").replace("\033[0m", "")
        if "\033[107m" in line or line.strip(" ") == "":
            cells = re.findall("\033\\[107m  \033\\[40m|  ", line)
            rows.append([not cell.startswith("\033") for cell in cells])
        else:
            rows.append([cell in " \u2584" for cell in line])
            rows.append([cell in " \u2580" for cell in line])
    return rows


def test_code():
    """The code on the terminal, as another program reads it."""
    if not shutil.which("zbarimg"):
        print("SKIPPED: no zbarimg to read a QR code with")
        return
    folder = os.path.join(WORK, "code")
    os.mkdir(folder)
    for locale in ("C.UTF-8", "C"):
        seen = on_terminal(folder, locale)
        address = re.search(r"http://\S+", seen).group()
        rows = modules(seen)
        picture = os.path.join(WORK, f"code-{locale}.pgm")
        with open(picture, "w", encoding="ascii") as file:
            width, height = len(rows[0]) * 4, len(rows) * 4
            file.write(f"P2 {width} {height} 1\n")
            for row in rows:
                line = " ".join("0 0 0 0" if dark else "1 1 1 1" for dark in row)
                file.write((line + "\n") * 4)
        read = subprocess.run(["zbarimg", "-q", "--raw", picture], capture_output=True, text=True)
        check(f"the code in {locale}", read.stdout.strip() == address, (read, address))
        keys = set(re.findall(r"/k/(\w+)", seen))
        check("Enter makes another key", len(keys) == 2, keys)


def cookie_of(page):
    return page.heads.get("set-cookie", "").split(";")[0]


def test_at_home():
    folder = folder_of_plans("at-home")
    page = Page(folder, "--at-home", "127.0.0.2")
    phones = os.path.join(folder, ".bakeset-phones")
    key = urllib.parse.urlsplit(page.address).path
    check("a key is printed", page.address.startswith("http://127.0.0.2:") and len(key) == 29, page.address)
    answers = set()
    for method, path in (("GET", "/"), ("GET", "/site/app.js"), ("GET", "/api/folder"), ("GET", "/api/events"),
                         ("GET", "/nothing"), ("PUT", "/api/file?path=x.json"), ("POST", "/api/day"), ("FOO", "/"),
                         ("GET", "/k/"), ("GET", "/k/" + "a" * 26), ("GET", "/api/file?path=../x"), ("HEAD", "/")):
        status, answer = page.ask(method, path, {} if method in ("PUT", "POST") else None)
        check(f"without a key {method} {path}", status == 401, (status, answer))
        if method != "HEAD":
            answers.add(json.dumps(answer) + str(sorted(name for name in page.heads if name != "date")))
    check("is the same answer to all", len(answers) == 1, answers)
    status, answer = page.get(key, headers={"Host": f"evil.example:{page.port}"})
    check("another name is nobody", status == 403)
    status, answer = page.ask("HEAD", key)
    check("a look does not use a key up", status == 401, answer)
    for _ in range(3):
        status, answer = page.get(key)
        check("nor does who only looks where the link leads", status == 200 and f'href="{key}/in"' in answer
              and "set-cookie" not in page.heads and "plans" not in answer, answer)
    a_page = {"Accept": "text/html,application/xhtml+xml"}
    status, answer = page.get("/", headers=a_page)
    check("a person without a key sees a page", status == 401 and page.heads["content-type"].startswith("text/html")
          and "<h1>This phone has no key</h1>" in answer and "supper" not in answer and "script" not in answer, answer)
    pages = {page.get(path, headers=a_page) for path in ("/", "/sheet?path=friday-supper.json", "/none", "/k/" + "a" * 26 + "/in")}
    check("the same for all", len(pages) == 1, pages)
    status, answer = page.get(key + "/in")
    cookie, heads = cookie_of(page), page.heads
    check("a key lets in, by a page that goes on to the page", status == 200 and 'content="0; url=/"' in answer
          and "location" not in heads and "HttpOnly" in heads["set-cookie"]
          and "SameSite=Strict" in heads["set-cookie"] and "Path=/" in heads["set-cookie"]
          and "Secure" not in heads["set-cookie"], heads)
    for used in (key, key + "/in"):
        status, answer = page.get(used)
        check("once", status == 401 and "set-cookie" not in page.heads, answer)
        status, answer = page.get(used, headers=a_page)
        check("which a person sees as a page", status == 401 and "no key</h1>" in answer, answer)
        status, answer = page.get(used, headers={"Cookie": cookie, **a_page})
        check("a phone that is in goes on to the page", status == 200 and 'content="0; url=/"' in answer
              and "set-cookie" not in page.heads, answer)
    status, answer = page.get("/api/folder", headers={"Cookie": cookie})
    check("the cookie is known", status == 200, answer)
    status, answer = page.get("/api/folder", headers={"Cookie": "a=b; " + cookie + "; c=d"})
    check("among others", status == 200, answer)
    for bad in (cookie[:-1], cookie + "a", cookie.upper(), "bakeset=", "bakeset=" + "a" * 52, "x" + cookie):
        status, answer = page.get("/api/folder", headers={"Cookie": bad})
        check(f"a wrong cookie {bad[:20]}", status == 401, answer)
    stored = open(phones).read()
    check("what is kept is no cookie", cookie.split("=")[1] not in stored and len(stored) == 65
          and os.stat(phones).st_mode & 0o777 == 0o600, stored)
    lines = [page.process.stdout.readline() for _ in range(3)]
    check("the next key is printed", "A phone is in" in lines[1] and "/k/" in lines[2], lines)
    second = urllib.parse.urlsplit(lines[2].strip()).path
    status, answer = page.get(second + "/in")
    other = cookie_of(page)
    check("for another phone", status == 200 and other != cookie, page.heads)
    status, answer = page.ask("PUT", "/api/file?path=x.json", {"text": "{}", "version": None},
                              headers={"Cookie": cookie, "Origin": "http://evil.example"})
    check("another site with the cookie", status == 403, answer)
    status, answer = page.ask("PUT", "/api/file?path=x.json", {"text": "{}", "version": None}, headers={"Cookie": cookie})
    check("the page with the cookie", status == 200, answer)
    status, listed = page.get("/api/folder", headers={"Cookie": cookie})
    check("the phones are no file of the page's", "phones" not in json.dumps(listed), listed)
    status, answer = page.get("/api/file?path=.bakeset-phones", headers={"Cookie": cookie})
    check("nor can be asked for", status == 400, answer)
    status, out, err = page.end()
    check("it ends", status == 0, err)

    page = Page(folder, "--at-home", "127.0.0.2")
    status, answer = page.get("/api/folder", headers={"Cookie": cookie})
    check("a phone stays in when it starts anew", status == 200, answer)
    status, answer = page.get(second + "/in")
    check("a key does not", status == 401, answer)
    listener = Listener(page, f"Cookie: {cookie}\r\n")
    check("it listens", b"200 OK" in listener.head, listener.head)
    forgot = subprocess.run([BAKESET, "page", "--forget", folder], capture_output=True, text=True)
    status, answer = page.get("/api/folder", headers={"Cookie": cookie})
    check("all are forgotten", forgot.returncode == 0 and status == 401 and not os.path.exists(phones), (forgot, status))
    listener.thread.join(2)
    check("who listened, too", listener.ended, listener.events)
    forgot = subprocess.run([BAKESET, "page", "--forget", folder], capture_output=True, text=True)
    check("nobody is forgotten twice", forgot.returncode == 0, forgot)
    page.end()

    page = Page(folder, "--at-home", "127.0.0.2", "--behind", "https://kitchen.example")
    key = urllib.parse.urlsplit(page.address)
    check("the proxy's name is printed", page.address.startswith("https://kitchen.example/k/"), page.address)
    listening = [line.split() for line in open("/proc/net/tcp") if line.split()[1].startswith("0200007F:")
                 and line.split()[3] == "0A"]
    page.host, page.port = "127.0.0.2", int(listening[-1][1].split(":")[1], 16)
    page.netloc = "kitchen.example"
    status, answer = page.get(key.path + "/in")
    check("its cookie is for TLS alone", status == 200 and "; Secure" in page.heads["set-cookie"], page.heads)
    cookie = cookie_of(page)
    for origin, want in (("https://kitchen.example", 200), ("http://kitchen.example", 403)):
        status, answer = page.ask("POST", "/api/check", {"path": "x.json", "text": "{}"},
                                  headers={"Cookie": cookie, "Origin": origin})
        check(f"the origin {origin}", status == want, answer)
    page.end()

    os.symlink("/dev/null", phones) if not os.path.exists(phones) else os.chmod(phones, 0o644)
    refused = subprocess.run([BAKESET, "page", "--port", "0", "--at-home", "127.0.0.2", folder],
                             capture_output=True, text=True, stdin=subprocess.DEVNULL, timeout=30)
    check("a file of phones that others could read", refused.returncode == 3 and ".bakeset-phones" in refused.stderr, refused)
    for options, want in ((["--at-home", "0.0.0.0"], 2), (["--at-home", "kitchen"], 3), (["--at-home", "192.0.2.1"], 3),
                          (["--behind", "https://x"], 2), (["--at-home", "127.0.0.2", "--behind", "ftp://x"], 3)):
        refused = subprocess.run([BAKESET, "page", "--port", "0", *options, folder],
                                 capture_output=True, text=True, stdin=subprocess.DEVNULL, timeout=30)
        check(f"options {options}", refused.returncode == want and refused.stderr.startswith("bakeset page: "), refused)


def raw(page, request, seconds=20.0):
    """What comes back for these bytes: the head and what comes with it, or nothing in that time."""
    connection = socket.create_connection((page.host, page.port), timeout=seconds)
    got = b""
    try:
        connection.sendall(request)
    except OSError:
        pass  # the answer came before all was sent
    try:
        while b"\r\n\r\n" not in got:
            more = connection.recv(65536)
            if not more:
                break
            got += more
    except OSError:
        pass
    connection.close()
    return got


def random_json(chance, depth=3):
    kind = chance.randrange(9 if depth else 6)
    if kind < 6:
        return chance.choice(["", "friday-supper.json", "../x", "a" * chance.randrange(300), "\u0001\x7f", "18:30", None, True,
                              0, -1, 1e308, 2 ** 53, "\ud83c\udf70", "done", "torte/bake", "/dishes/0", "add", "full"])
    if kind == 6:
        return [random_json(chance, depth - 1) for _ in range(chance.randrange(5))]
    return {chance.choice(KEYS): random_json(chance, depth - 1) for _ in range(chance.randrange(6))}


KEYS = ["path", "text", "version", "patch", "op", "value", "from", "id", "words", "at", "serve", "effort", "recipes", "kitchen",
        "occasion", "name", "login", "timezone", "x"]
PATHS = ["/", "/site/app.js", "/site/x", "/api/folder", "/api/file", "/api/undo", "/api/check", "/api/plan", "/api/new",
         "/api/take-in", "/api/day", "/api/search", "/api/publish", "/sheet", "/picture", "/calendar", "/k/x", "/api/none"]


def random_request(page, chance):
    path = chance.choice(PATHS)
    if chance.random() < 0.7:
        path += "?path=" + chance.choice(["friday-supper.json", "rolls.json", "..%2f", "%00", "recipes/glazed-ham.json",
                                          "kitchens%2fholiday.json", "%zz", "new" + str(chance.randrange(3)) + ".json", "&id=1"])
    method = chance.choice(["GET", "GET", "POST", "POST", "PUT", "PATCH", "DELETE", "HEAD", "OPTIONS", "", "G\0T"])
    body = json.dumps({**{key: random_json(chance) for key in chance.sample(KEYS, 6)},
                       "path": chance.choice(["friday-supper.json", "rolls.json", "x.json", 1])}).encode()
    if chance.random() < 0.2:
        body = bytes(chance.randrange(256) for _ in range(chance.randrange(200)))
    heads = [f"Host: {page.netloc}", f"Origin: http://{page.netloc}", "Content-Type: application/json",
             f"Content-Length: {len(body)}"]
    if chance.random() < 0.15:
        heads[chance.randrange(4)] = chance.choice(["Host:", "Content-Length: -1", "Content-Length: 99999999999999999999",
                                                    "Transfer-Encoding: chunked", "Cookie: " + "=;" * 200, "X: " + "y" * 9000,
                                                    "Expect: 100-continue", "Range: bytes=0-", "Content-Length: 5"])
    request = f"{method} {path} HTTP/1.{chance.choice('0111')}\r\n".encode() + "\r\n".join(heads).encode() + b"\r\n\r\n"
    request += body if method not in ("GET", "HEAD") else b""
    if chance.random() < 0.1:
        request = bytearray(request)
        for _ in range(chance.randrange(1, 6)):
            request[chance.randrange(len(request))] = chance.randrange(256)
    if chance.random() < 0.05:
        request = request[:chance.randrange(len(request))]
    return bytes(request)


def test_strangers_without_a_key():
    """Who has no key takes no room from who has one."""
    folder = os.path.join(WORK, "crowd")
    os.mkdir(folder)
    evening(folder)
    page = Page(folder, "--at-home", "127.0.0.1")
    page.get(urllib.parse.urlsplit(page.address).path + "/in")
    cookie = cookie_of(page)
    stop = threading.Event()

    def crowd(number):
        """64 connections from one address, each of which sends the half of a head, and comes again."""
        mine = []
        while not stop.is_set():
            if len(mine) < 64:
                one = socket.socket()
                try:
                    one.settimeout(1)
                    one.bind((f"127.0.0.{10 + number}", 0))
                    one.connect((page.host, page.port))
                    one.sendall(b"GET / HT")
                    one.setblocking(False)
                    mine.append(one)
                except OSError:
                    one.close()
            else:
                time.sleep(0.02)
            for one in mine[:]:
                try:
                    over = not one.recv(100)
                except BlockingIOError:
                    continue
                except OSError:
                    over = True
                if over:
                    one.close()
                    mine.remove(one)
        for one in mine:
            one.close()

    threads = [threading.Thread(target=crowd, args=(number,), daemon=True) for number in range(6)]
    for thread in threads:
        thread.start()
    time.sleep(2)
    waits = []
    for _ in range(10):
        began = time.time()
        try:
            status, _ = page.get("/api/folder", headers={"Cookie": cookie})
        except OSError as problem:
            status = problem
        waits.append((round(time.time() - began, 2), status))
    stop.set()
    for thread in threads:
        thread.join()
    check("a phone is answered while a crowd waits", all(status == 200 and took < 5 for took, status in waits), waits)
    slow = socket.create_connection((page.host, page.port), timeout=20)
    slow.sendall(b"GET / HT")
    began = time.time()
    try:
        while slow.recv(1000):
            pass
    except OSError:
        pass
    check("a head without a key is waited for some seconds", time.time() - began < 12, time.time() - began)
    page.end()


def test_strangers():
    """Random requests, slow ones, many: it goes on, and says nothing on standard error."""
    count, seed = int(os.environ.get("REQUESTS", "2000")), int(os.environ.get("SEED", "15"))
    print(f"{count} random requests, seed {seed}")
    folder = folder_of_plans("strangers")
    outside = os.path.join(WORK, "strangers-outside")
    os.mkdir(outside)
    evening(folder)
    page = Page(folder)
    slow = socket.create_connection((page.host, page.port))
    slow.sendall(f"GET / HTTP/1.1\r\nHost: {page.netloc}\r\n".encode())
    slow_body = socket.create_connection((page.host, page.port))
    slow_body.sendall(f"PUT /api/file?path=s.json HTTP/1.1\r\nHost: {page.netloc}\r\nOrigin: http://{page.netloc}\r\n"
                      "Content-Type: application/json\r\nContent-Length: 1000\r\n\r\n{".encode())
    began = time.time()
    ended = []

    def drip(connection):
        try:
            while time.time() < began + 60:
                connection.sendall(b"X" if connection is slow_body else b"X: y\r\n")
                time.sleep(1)
        except OSError:
            pass
        ended.append(time.time() - began)

    for connection in (slow, slow_body):
        threading.Thread(target=drip, args=(connection,), daemon=True).start()
    chance = random.Random(seed)
    answered = 0
    lock = threading.Lock()

    def send(requests):
        nonlocal answered
        for request in requests:
            got = raw(page, request, seconds=0.5)  # what lacks its body waits for it
            with lock:
                answered += got.startswith(b"HTTP/1.")

    requests = [random_request(page, chance) for _ in range(count)]
    threads = [threading.Thread(target=send, args=(requests[i::4],)) for i in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    check("random requests are answered", answered > count * 0.6 and page.process.poll() is None, answered)
    crowd = []
    for _ in range(300):
        try:
            crowd.append(socket.create_connection((page.host, page.port), timeout=5))
        except OSError:
            break
    for connection in crowd:
        connection.close()
    time.sleep(0.5)
    status, answer = page.get("/api/folder")
    check("a crowd that goes away", status == 200, (len(crowd), answer))
    got = raw(page, b"GET / HTTP/1.1\r\nHost: " + page.netloc.encode() + b"\r\n" + b"X: y\r\n" * 20000 + b"\r\n")
    check("a long head", not got.startswith(b"HTTP/1.1 200"), got[:60])
    got = raw(page, b"GET /" + b"a" * 20000 + b" HTTP/1.1\r\nHost: " + page.netloc.encode() + b"\r\n\r\n")
    check("a long address", not got.startswith(b"HTTP/1.1 200"), got[:60])
    chunked = (f"PUT /api/file?path=c.json HTTP/1.1\r\nHost: {page.netloc}\r\nOrigin: http://{page.netloc}\r\n"
               "Content-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n").encode()
    got = raw(page, chunked + b"10000\r\n" + b"x" * 65536 + b"\r\n" + (b"10000\r\n" + b"x" * 65536 + b"\r\n") * 20 + b"0\r\n\r\n")
    check("too much in chunks", got.startswith(b"HTTP/1.1 413"), got[:60])
    while len(ended) < 2 and time.time() < began + 60:
        time.sleep(0.2)
    check("who is slow is ended", len(ended) == 2 and max(ended) < 45, ended)
    status, answer = page.get("/api/folder")
    check("it still answers", status == 200, answer)
    check("nothing outside was touched", os.listdir(outside) == [], os.listdir(outside))
    status, out, err = page.end()
    check("and ends without a word", status == 0 and err == "", (status, err[:3000]))


def test_large_folder():
    """A folder of 5,000 files, links, pipes and deep folders: it is listed as far as that goes, and reads go on."""
    folder = os.path.join(WORK, "large")
    os.mkdir(folder)
    for i in range(5000):
        with open(os.path.join(folder, f"f{i:04}.json"), "w", encoding="utf-8") as file:
            file.write('{"dish": "Dish %d", "stages": []}' % i)
    for i in range(20):
        os.symlink("/etc/passwd", os.path.join(folder, f"a-link{i}.json"))
        os.symlink(".", os.path.join(folder, f"a-loop{i}"))
        os.mkfifo(os.path.join(folder, f"a-pipe{i}.json"))
        os.mkfifo(os.path.join(folder, f"a-pipe{i}.day.jsonl"))
    os.makedirs(os.path.join(folder, "/".join("abcdefghijkl")))
    evening(folder, "a-plan.json")
    os.symlink("/dev/zero", os.path.join(folder, "a-zero.day.jsonl"))
    shutil.copy(os.path.join(folder, "a-plan.json"), os.path.join(folder, "a-zero.json"))
    page = Page(folder)
    listener = Listener(page)
    status, listed = page.get("/api/folder")
    count = sum(len(listed[kind]) for kind in ("plans", "recipes", "kitchens", "other"))
    check("as far as it goes", status == 200 and listed["more"] is True and 1000 < count <= 2000, (status, count))
    status, answer = page.get("/api/day?path=a-zero.json")
    check("a journal that is a link to what never ends", status == 403, answer)
    for i in range(3):
        status, answer = page.get(f"/api/day?path=a-pipe{i}.json")
        check("a pipe is no plan", status == 404, answer)
    status, day = page.get("/api/day?path=a-plan.json")
    check("a day in it", status == 200, day)
    os.mkfifo(os.path.join(folder, "a-plan.day.jsonl"))
    status, day = page.get("/api/day?path=a-plan.json")
    check("whose journal becomes a pipe", status in (200, 404), day)
    status, answer = page.ask("POST", "/api/day", {"path": "a-plan.json", "words": ["begun", "knead"]})
    check("is not written", status != 200, answer)
    os.remove(os.path.join(folder, "a-plan.day.jsonl"))
    status, answer = page.ask("POST", "/api/day", {"path": "a-plan.json", "words": ["begun", "knead"]})
    check("and goes on when it is gone", status == 200 and listener.wait("day", "a-plan.json", version=answer["version"]), answer)
    listener.close()
    status, out, err = page.end()
    check("it ends", status == 0 and err == "", (status, err))


def test_full_folder():
    """Of more files than are listed those on top and the first by name are; what is passed over is counted."""
    folder = os.path.join(WORK, "full")
    for below in ("", "kitchens", "recipes"):
        os.mkdir(os.path.join(folder, below))
    evening(folder, "z-plan.json")
    shutil.copy("plans/kitchens/holiday.json", os.path.join(folder, "kitchens", "z.json"))
    for i in range(2500):
        with open(os.path.join(folder, "recipes", f"r{(i * 7) % 2500:04}.json"), "w", encoding="utf-8") as file:
            file.write('{"dish": "Dish", "stages": []}')
    os.symlink("recipes", os.path.join(folder, "linked"))
    os.symlink("nothing", os.path.join(folder, "dangling"))
    for name in (b"a\nb.json", b"\xff.json", b"\xff.txt"):
        with open(os.path.join(folder.encode(), name), "w", encoding="utf-8") as file:
            file.write("{}")
    page = Page(folder)
    status, listed = page.get("/api/folder")
    check("what is on top", [plan["path"] for plan in listed["plans"]] == ["z-plan.json"]
          and [kitchen["path"] for kitchen in listed["kitchens"]] == ["kitchens/z.json"] and listed["more"] is True, listed)
    check("then by name", [recipe["path"] for recipe in listed["recipes"]] ==
          [f"recipes/r{i:04}.json" for i in range(1998)], listed["recipes"][-3:])
    check("what is passed over", listed["unlisted"] == 3, listed["unlisted"])
    page.end()


def test_what_helps_here():
    """What is advised can be done on a phone: no options of a command."""
    folder = os.path.join(WORK, "advice", "inner")
    os.makedirs(folder)
    evening(folder)
    with open(os.path.join(folder, "rolls.json"), encoding="utf-8") as file:
        plan = json.load(file)
    plan["dishes"].append({"recipe": "../outside.json"})
    shutil.copy("plans/recipes/glazed-ham.json", os.path.join(WORK, "advice", "outside.json"))
    with open(os.path.join(folder, "rolls.json"), "w", encoding="utf-8") as file:
        json.dump(plan, file)
    page = Page(folder)
    for path in ("/sheet", "/api/day", "/api/file"):
        status, answer = page.get(f"{path}?path=rolls.json")
        check(f"{path} of what lies outside", "--allow" not in json.dumps(answer), answer)
    check("but what can be done", page.get("/sheet?path=rolls.json")[1]["error"]["mend"].startswith("copy it into"))
    page.end()


def test_turned_names():
    """Marks that turn the direction of a line reach nobody in the words that the server makes."""
    folder = os.path.join(WORK, "turned")
    os.mkdir(folder)
    evening(folder)
    marks = "\u061c\u200e\u200f\u202a\u202e\u2066\u2069"
    edit(os.path.join(folder, "rolls.json"), lambda text: text.replace(
        '"occasion": "Rolls"', f'"occasion": "Ro{marks}lls – rouleaux"').replace("Knead", f"Kn{marks}ead"))
    page = Page(folder)
    day = page.get("/api/day?path=rolls.json")[1]
    for name, made in (("/", page.get("/")[1]), ("the sheet", page.get("/sheet?path=rolls.json")[1]), ("the day", day["text"]),
                       ("what is said", json.dumps(day["said"], ensure_ascii=False))):
        check(f"{name} has none", not re.search(f"[{marks}]", made), ascii(made)[:3000])
    check("all else is there", "Rolls – rouleaux</a>" in page.get("/")[1], page.get("/"))
    page.end()


def test_full_disk():
    folder = os.path.join(WORK, "full-disk")
    os.mkdir(folder)
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "none", folder], capture_output=True).returncode != 0:
        print("SKIPPED: a full disk: nothing can be mounted here")
        return
    try:
        page = Page(folder)
        status, made = write(page, "a.json", '{"dish": "A"}')
        status, answer = write(page, "a.json", '{"dish": "%s"}' % ("A" * 200000), made["version"])
        check("a full disk", status == 507 and answer["error"]["code"] == "no-room", answer)
        check("the file is as it was", page.get("/api/file?path=a.json")[1]["text"] == '{"dish": "A"}'
              and os.listdir(folder) == ["a.json"], os.listdir(folder))
        page.end()
    finally:
        subprocess.run(["umount", folder], check=True)


def test_killed():
    """kill -9 at any moment leaves the old file or the new one."""
    folder = os.path.join(WORK, "killed")
    os.mkdir(folder)
    evening(folder)
    texts = [json.dumps({"occasion": letter * 60000}) for letter in "abcdefgh"]
    whole = set(texts)
    there = os.path.join(folder, "plan.json")
    chance = random.Random(15)
    wrote = 0
    for turn in range(15):
        page = Page(folder)
        stop = threading.Event()

        def writer():
            nonlocal wrote
            version = None
            try:
                if os.path.exists(there):
                    version = page.get("/api/file?path=plan.json")[1]["version"]
                while not stop.is_set():
                    status, answer = write(page, "plan.json", texts[wrote % 8], version)
                    version = answer["version"]
                    wrote += 1
                    page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["longer", "knead", "1 min"]})
            except (OSError, http.client.HTTPException, KeyError):
                pass

        page.ask("POST", "/api/day", {"path": "rolls.json", "words": ["begun", "knead"]})
        thread = threading.Thread(target=writer)
        thread.start()
        time.sleep(0.02 + chance.random() * 0.3)
        page.process.kill()
        page.process.wait()
        stop.set()
        thread.join()
        if os.path.exists(there):
            with open(there) as file:
                check(f"the file is one of those written, turn {turn}", file.read() in whole)
    check("it wrote", wrote > 15, wrote)
    page = Page(folder)
    status, day = page.get("/api/day?path=rolls.json")
    check("the day goes on", status == 200 and day["started"], day)
    status, file = page.get("/api/file?path=plan.json")
    status, answer = write(page, "plan.json", texts[0], file["version"])
    left = [name for name in os.listdir(folder) if name.startswith(".")]
    check("what a killed one left is gone with the next change", status == 200 and left == [], (answer, left))
    page.end()


def test_killed_between_files():
    """kill -9 within a change of two files: when it is started again both are the old ones or both the new."""
    folder = os.path.join(WORK, "killed-between")
    os.mkdir(folder)
    chance = random.Random(8)
    letters = "ab"
    for letter in letters:
        with open(os.path.join(folder, f"{letter}.json"), "w", encoding="utf-8") as file:
            file.write('{"occasion": 0}')
    wrote = 0
    for turn in range(20):
        page = Page(folder)
        texts = []
        for letter in letters:
            texts.append(page.get(f"/api/file?path={letter}.json")[1])
        check(f"both or none, turn {turn}", texts[0]["text"] == texts[1]["text"], [t["text"][:20] for t in texts])

        def writer():
            nonlocal wrote
            versions = [text["version"] for text in texts]
            try:
                while True:
                    wrote += 1
                    status, answer = page.ask("POST", "/api/change", {"files": [
                        {"path": f"{letter}.json", "version": version, "text": '{"occasion": %d}' % wrote}
                        for letter, version in zip(letters, versions)]})
                    versions = [file["version"] for file in answer["files"]]
            except (OSError, http.client.HTTPException, KeyError):
                pass

        thread = threading.Thread(target=writer)
        thread.start()
        time.sleep(0.03 + chance.random() * 0.15)
        page.process.kill()
        page.process.wait()
        thread.join()
    check("it wrote", wrote > 25, wrote)


def page_ask(page, number):
    connection = http.client.HTTPConnection(page.host, page.port, timeout=60)
    connection.request("POST", "/api/day", json.dumps({"path": "rolls.json", "words": ["done", "knead"], "id": f"t{number}"}),
                       {"Host": page.netloc, "Origin": f"http://{page.netloc}", "Content-Type": "application/json"})
    answer = connection.getresponse()
    return answer.status, json.loads(answer.read())


def main():
    for name, test in sorted(globals().items()):
        if name.startswith("test_") and name[5:].startswith(tuple(sys.argv[3:]) or ""):
            test()
    print(f"clients.py: {passed} passed, {failed} failed")
    sys.exit(1 if failed else 0)


main()

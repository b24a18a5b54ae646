"""Clients of `bakeset page`: what a browser asks, what a stranger tries. Standard library alone.

usage: clients.py BAKESET WORK
"""

import http.client
import json
import os
import shutil
import signal
import subprocess
import sys
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


def main():
    for name, test in sorted(globals().items()):
        if name.startswith("test_"):
            test()
    print(f"clients.py: {passed} passed, {failed} failed")
    sys.exit(1 if failed else 0)


main()

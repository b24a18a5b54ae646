"""Publishing from the page, to a Radicale that asks for a name and a password: the calendar there has the events that
the page's own file has, as python3-icalendar reads both; what moves on the day moves there.

usage: page_publish.py BAKESET FOLDER (for what is made)
"""

import datetime
import http.client
import json
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.parse
import urllib.request
from base64 import b64encode

from icalendar import Calendar

bakeset, made = sys.argv[1], os.path.join(sys.argv[2], "page-publish")
shutil.rmtree(made, ignore_errors=True)
os.makedirs(os.path.join(made, "folder"))
with socket.socket() as free:
    free.bind(("127.0.0.1", 0))
    port = free.getsockname()[1]
with open(os.path.join(made, "users"), "w", encoding="ascii") as users:
    users.write("ann:pa55-word\n")
with open(os.path.join(made, "radicale.conf"), "w", encoding="utf-8") as conf:
    conf.write(f"[server]\nhosts = 127.0.0.1:{port}\n[auth]\ntype = htpasswd\nhtpasswd_filename = {made}/users\n"
               f"htpasswd_encryption = plain\ndelay = 0\n[storage]\nfilesystem_folder = {made}/radicale\n")
serve = datetime.datetime.now(datetime.timezone.utc) + datetime.timedelta(hours=4)
with open(os.path.join(made, "folder", "rolls.json"), "w", encoding="utf-8") as file:
    json.dump({"occasion": "Rolls", "timezone": "UTC", "serve": serve.strftime("%Y-%m-%d %H:%M"),
               "publish": f"http://127.0.0.1:{port}/ann/kitchen/", "kitchen": {"equipment": {"oven": {"kind": "oven"}}},
               "dishes": [{"dish": "Rolls", "stages": [
                   {"id": "knead", "do": "Knead", "active": "10 min"}, {"id": "prove", "do": "Prove", "passive": "60 min"},
                   {"id": "bake", "do": "Bake", "passive": "20 min", "uses": {"oven": {"at": "220 C"}}}]}]}, file)
with open(os.path.join(made, "radicale.log"), "wb") as log:
    server = subprocess.Popen(["radicale", "--config", os.path.join(made, "radicale.conf")], stdout=log, stderr=log,
                              env={**os.environ, "HOME": made})
page = subprocess.Popen([bakeset, "page", "--port", "0", os.path.join(made, "folder")], stdin=subprocess.DEVNULL,
                        stdout=subprocess.PIPE, text=True)
netloc = urllib.parse.urlsplit(page.stdout.readline().strip()).netloc


def dav(method="GET"):
    request = urllib.request.Request(f"http://127.0.0.1:{port}/ann/kitchen/", method=method, headers={
        "Authorization": "Basic " + b64encode(b"ann:pa55-word").decode()})
    with urllib.request.urlopen(request, timeout=5) as answer:
        return answer.read()


def ask(method, path, body=None):
    connection = http.client.HTTPConnection(netloc, timeout=60)
    connection.request(method, path, None if body is None else json.dumps(body), {
        "Host": netloc, "Origin": f"http://{netloc}", "Content-Type": "application/json"})
    answer = connection.getresponse()
    return answer.status, answer.read()


def events(text):
    """The events that stand, by what a person sees."""
    return sorted((str(event.get("SUMMARY")), event.decoded("DTSTART"), str(event.get("UID")))
                  for event in Calendar.from_ical(text).walk("VEVENT") if str(event.get("STATUS")) != "CANCELLED")


def need(good, what):
    if not good:
        sys.exit(f"publishing from the page: {what}")


try:
    for attempt in range(100):
        try:
            dav("MKCALENDAR")
            break
        except OSError:
            time.sleep(0.1)
    else:
        sys.exit("Radicale did not start")
    for login in (None, "ann:wrong-one"):
        status, answer = ask("POST", "/api/publish", {"path": "rolls.json", "login": login})
        need(status == 502 and json.loads(answer)["error"]["what"] and b"wrong-one" not in answer, f"with {login}: {answer}")
        need(b"VEVENT" not in dav(), f"with {login} something is there")
    status, answer = ask("POST", "/api/publish", {"path": "rolls.json", "login": "ann:pa55-word"})
    need(status == 200 and json.loads(answer)["said"] and b"pa55" not in answer, answer)
    first = events(dav())
    own = events(ask("GET", "/calendar?path=rolls.json")[1])
    need(len(first) > 3 and first == own, f"the server has {first}, the page's file {own}")
    status, answer = ask("POST", "/api/publish", {"path": "rolls.json", "login": "ann:pa55-word"})
    need(status == 200 and events(dav()) == first, f"once more: {answer}")

    # the guests are late: what is to come is later there, under the same names
    status, answer = ask("POST", "/api/day", {"path": "rolls.json", "words": ["later", "+25 min"], "id": "one"})
    need(status == 200, answer)
    status, answer = ask("POST", "/api/publish", {"path": "rolls.json", "login": "ann:pa55-word"})
    need(status == 200, answer)
    moved = {uid: start for _, start, uid in events(dav()) if isinstance(start, datetime.datetime)}
    whole = subprocess.run([bakeset, "day", "rolls.json", "--ics", os.path.join(made, "day.ics")],
                           cwd=os.path.join(made, "folder"), capture_output=True, text=True)
    need(whole.returncode == 0, whole)
    with open(os.path.join(made, "day.ics"), "rb") as day:
        planned = {uid: start for _, start, uid in events(day.read()) if isinstance(start, datetime.datetime)}
    need(planned == moved, f"planned {planned}, there {moved}")
    before = {uid: start for _, start, uid in first if isinstance(start, datetime.datetime)}
    need(moved.keys() == before.keys() and all(moved[uid] > before[uid] for uid in moved), f"was {before}, is {moved}")
finally:
    for process in (page, server):
        process.terminate()
        process.wait(20)

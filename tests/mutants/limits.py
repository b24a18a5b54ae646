#!/usr/bin/env python3
"""Every number of the table of food-safety limits, one more and one less, in turn: a test that
plays plans on either side of the limit must fail, not only the one that compares the numbers
with the publications.

Usage: limits.py        from the repository's root; BUILD as for make. Exit status 0: all noticed
"""
import os
import re
import shutil
import subprocess
import sys

TABLE = "src/safety/limits.c"
COMPARES = "limits_are_those_of_the_publications"
# Their sum or choice makes no difference that a plan could show: no set uses the number.
NUMBER = re.compile(r"^    \.(\w+) = \{?(-?\d+\.\d+)")


def main():
    copy = os.path.join(os.environ.get("BUILD", "build"), "limits")
    shutil.rmtree(copy, ignore_errors=True)
    shutil.copytree(".", copy, ignore=shutil.ignore_patterns(".git", "build*"))
    path = os.path.join(copy, TABLE)
    lines = open(path, encoding="utf-8").read().split("\n")
    tried, missed = 0, 0
    for n, line in enumerate(lines):
        found = NUMBER.match(line)
        if not found:
            continue
        for by in (1.0, -1.0):
            value = "%.1f" % (float(found.group(2)) + by)
            changed = line[:found.start(2)] + value + line[found.end(2):]
            with open(path, "w", encoding="utf-8") as file:
                file.write("\n".join(lines[:n] + [changed] + lines[n + 1:]))
            made = subprocess.run(["make", "-s", "BUILD=build", "CFLAGS=-O1",
                                   "build/tests/safety/test_safety"], cwd=copy,
                                  capture_output=True, text=True, check=False)
            if made.returncode:
                sys.exit("does not build: " + made.stderr)
            done = subprocess.run(["build/tests/safety/test_safety"], cwd=copy,
                                  capture_output=True, text=True, check=False)
            failed = set(re.findall(r"\[  FAILED  \] (\w+)", done.stdout + done.stderr))
            tried += 1
            if not failed - {COMPARES}:
                missed += 1
                print("%s:%d: %s -> %s: %s" % (TABLE, n + 1, found.group(1), value,
                                               "only compared" if failed else "SURVIVES"))
    print("%d changes, %d not noticed by a plan" % (tried, missed))
    return 1 if missed or not tried else 0


sys.exit(main())

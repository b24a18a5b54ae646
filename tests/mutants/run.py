#!/usr/bin/env python3
"""Mutations of the code that a test must notice, one after another.

Usage: run.py [WORDS ...]       from the repository's root; with WORDS only those whose file
                                or text holds one of them

Each mutation of mutants.txt is made in a copy of the tree, the test that it names is built
and run there, and must fail. Survivors are printed. Exit status: 0 every one was noticed,
1 not, 2 one could not be made (its text is gone or stands twice: mend the list).
"""

import os
import pathlib
import shutil
import subprocess
import sys

LIST = pathlib.Path("tests/mutants/mutants.txt")
COPY = pathlib.Path(os.environ.get("BUILD", "build")) / "mutants"


def mutations():
    """Blocks of "file:", "old:", "new:", "test:" lines; # begins a comment line."""
    block = {}
    for line in LIST.read_text(encoding="utf-8").split("\n") + [""]:
        if line.startswith("#"):
            continue
        if not line.strip():
            if block:
                yield block
            block = {}
            continue
        key, _, value = line.partition(": ")
        if key.rstrip(":") in block:
            print(f"{LIST}: {key} twice in one block: an empty line is missing before {line!r}")
            sys.exit(2)
        block[key.rstrip(":")] = value
    if block:
        yield block


def test_fails(test):
    make = ["make", "-s", "BUILD=build", "CFLAGS=-O1 -g", "CC=" + os.environ.get("CC", "gcc")]
    if test.endswith(".sh"):
        if subprocess.run(make + ["all"], cwd=COPY, capture_output=True).returncode:
            return "does not build"
        command = ["sh", "tests/" + test]
    else:
        if subprocess.run(make + ["build/tests/" + test], cwd=COPY,
                          capture_output=True).returncode:
            return "does not build"
        command = ["build/tests/" + test]
    environment = dict(os.environ, BAKESET="build/bakeset", BUILD="build")
    try:
        done = subprocess.run(command, cwd=COPY, capture_output=True, env=environment, timeout=300)
    except subprocess.TimeoutExpired:
        return "noticed"  # without end is not passed
    return "noticed" if done.returncode else "SURVIVES"


def main():
    shutil.rmtree(COPY, ignore_errors=True)
    COPY.mkdir(parents=True)
    for name in subprocess.check_output(["git", "ls-files", "-z"], text=True).split("\0"):
        if name and os.path.exists(name):
            (COPY / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(name, COPY / name)
    counts = {"noticed": 0, "SURVIVES": 0, "cannot be made": 0, "does not build": 0}
    for m in mutations():
        words = sys.argv[1:]
        if words and not any(w in m["file"] + m["old"] for w in words):
            continue
        path = COPY / m["file"]
        text = path.read_text(encoding="utf-8") if path.exists() else ""
        if text.count(m["old"]) != 1:
            outcome = "cannot be made"
        else:
            path.write_text(text.replace(m["old"], m["new"]), encoding="utf-8")
            outcome = test_fails(m["test"])
            path.write_text(text, encoding="utf-8")
        counts[outcome] += 1
        if outcome != "noticed":
            print(f"{outcome}: {m['file']}: {m['old']!r} -> {m['new']!r} ({m['test']})", flush=True)
    print(", ".join(f"{count} {outcome}" for outcome, count in counts.items()))
    if counts["cannot be made"] or counts["does not build"]:
        return 2
    return 1 if counts["SURVIVES"] or not counts["noticed"] else 0


sys.exit(main())

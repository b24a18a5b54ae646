#!/usr/bin/env python3
"""Are the figures that docs/take-in.md gives for the recipes with which the rules were made those
of the measure?

Usage: check_figures.py          ($BAKESET: the program)

The part kept apart is not measured by it: its totals are read by hand, and seldom.
"""
import re
import subprocess
import sys

ROW = re.compile(r"([a-z ]+?) +(\d+) of (\d+) +([\d.]+) %(?: +(\d+) of (\d+) +([\d.]+) %)?$")


def measured():
    ran = subprocess.run([sys.executable, "tests/takein/measure.py", "tests/data/take-in/tuned"],
                         capture_output=True, text=True, check=True)
    rows = {}
    for line in ran.stdout.splitlines():
        found = ROW.match(line.strip())
        if found:
            what, right, of, share, drawn, of_drawn, share_drawn = found.groups()
            rows[what] = [f"{share} % ({right} of {of})", f"{share_drawn} % ({drawn} of {of_drawn})" if drawn else ""]
    return rows


def documented():
    with open("docs/take-in.md", encoding="utf-8") as file:
        table = file.read().split("<!-- figures -->")[1].split("\n\n")[0]
    return {cells[0]: cells[3:5] for cells in
            ([cell.strip() for cell in line.strip("|").split("|")] for line in table.strip().splitlines()[2:])}


def main():
    found, said = measured(), documented()
    for what in sorted(set(found) | set(said)):
        if found.get(what) != said.get(what):
            print(f"docs/take-in.md, {what}: {said.get(what)}; measured: {found.get(what)}", file=sys.stderr)
    print(f"{len(found)} figures measured")
    return 0 if found and found == said else 1


sys.exit(main())

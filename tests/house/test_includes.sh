#!/bin/sh
# The house as DEVELOPERS.md draws it: its table lists every folder of src in order, a file
# includes only what stands further down, and of another folder only the one header that is
# named after it. The command is a program like any other: it, page and publish know bakeset.h
# and their own headers, and nothing of the library knows them. tests/api knows bakeset.h.
exec python3 - <<'PYTHON'
import pathlib, re, sys

faults = []
order = []
for line in open("DEVELOPERS.md"):
    row = re.match(r"\| `src/([a-z/]+)/` \|", line)
    if row:
        order.append(row.group(1))
rank = {folder: i for i, folder in enumerate(order)}

folders = {str(p.parent.relative_to("src")) for p in pathlib.Path("src").rglob("*.[ch]")} - {"."}
for folder in sorted(folders - set(order)):
    faults.append(f"DEVELOPERS.md: its table does not list src/{folder}/")
for folder in order:
    if folder not in folders:
        faults.append(f"DEVELOPERS.md: its table lists src/{folder}/, which is not there")

checked = 0
for path in sorted(pathlib.Path("src").rglob("*.[ch]")):
    folder = str(path.parent.relative_to("src"))
    for number, line in enumerate(open(path), 1):
        found = re.match(r'#\s*include "([^"]+)"', line)
        if not found:
            continue
        checked += 1
        at, header = f"{path}:{number}", pathlib.PurePath(found.group(1))
        other = str(header.parent)
        if other in (folder, "."):
            continue
        if header.stem != header.parent.name:
            faults.append(f'{at}: "{header}" is private to src/{other}/; include "{other}/{header.parent.name}.h"')
        if folder in rank and other in rank and rank[other] <= rank[folder]:
            faults.append(f"{at}: src/{other}/ stands above src/{folder}/")

above = {"command", "page", "publish"}
for path in sorted([*pathlib.Path("src").rglob("*.[ch]"), *pathlib.Path("tests/api").glob("*.[ch]")]):
    folder = str(path.parent.relative_to("src")) if path.parts[0] == "src" else "tests/api"
    outside = folder in above | {"tests/api"} or path == pathlib.Path("src/main.c")
    for number, line in enumerate(open(path), 1):
        found = re.match(r'#\s*include "([^"]+)"', line)
        if not found:
            continue
        other = found.group(1).split("/")[0]
        if outside and not (other in above and folder != "tests/api" or found.group(1) in ("bakeset.h", "sample.h")):
            faults.append(f"{path}:{number}: knows {found.group(1)} beside bakeset.h")
        if not outside and other in above:
            faults.append(f"{path}:{number}: the library knows {found.group(1)}, which is the program's")

for fault in faults:
    print(fault)
print(f"{checked} includes looked at, {len(faults)} faults")
sys.exit(1 if faults or checked < 100 else 0)
PYTHON

#!/bin/sh
# make check-page: the page in Chromium, as a cook has it: on a phone, at the hours of the plan, on
# paper, without a mouse, in the dark, with large letters, and with names that mean ill.
# Environment: BAKESET (the command), BUILD (a folder for what is made). Run from the root.
set -eu
bakeset=$(realpath "${BAKESET:-build/bakeset}")
here=tests/page
made=$(realpath "${BUILD:-build}")/page-check
packages="chromium poppler-utils nodejs npm fonts-liberation"

missing=
for package in $packages; do
    case $package in
    nodejs) command -v node >/dev/null && continue ;;
    npm) command -v npm >/dev/null && continue ;;
    esac
    dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q '^install ok installed' ||
        missing="$missing $package"
done
if [ -n "$missing" ]; then
    if [ "$(id -u)" != 0 ]; then
        echo "missing packages:$missing" >&2
        echo "install them as root: apt-get install$missing" >&2
        exit 1
    fi
    echo "installing:$missing"
    apt-get update -qq
    # shellcheck disable=SC2086
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $missing >/dev/null
fi
mkdir -p "$made/node"
cp $here/package.json $here/*.mjs "$made/node/"
if ! cmp -s $here/package.json "$made/node/installed.json"; then
    (cd "$made/node" && npm install --no-audit --no-fund --silent)
    cp $here/package.json "$made/node/installed.json"
fi

rm -f "$made"/*.html "$made"/*.pdf "$made"/*.png
for plan in plans/friday-supper.json plans/winter-holiday.json $here/hostile.json; do
    "$bakeset" timeline "$plan" --effort 20000 --html "$made/$(basename "$plan" .json).html" >/dev/null
done
"$bakeset" timeline plans/friday-supper.json --serve "+25 min" --html "$made/later.html" >/dev/null
node "$made/node/check.mjs" "$made"

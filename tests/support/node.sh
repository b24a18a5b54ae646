# need_modules HERE MADE: copies HERE's package.json and *.mjs into MADE/node, and installs the packages
# there when they are not those of the last time.
need_modules() {
    mkdir -p "$2/node"
    cp "$1"/package.json "$1"/*.mjs "$2/node/"
    if ! cmp -s "$1/package.json" "$2/node/installed.json"; then
        (cd "$2/node" && npm install --no-audit --no-fund --silent)
        cp "$1/package.json" "$2/node/installed.json"
    fi
}

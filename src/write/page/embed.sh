#!/bin/sh
# A text of the page as C: the lines of an array called $1, without comments that are lines of
# their own and without indentation, and NULL behind them; then, as $1_sha256, the digest of those
# lines in base64, which a Content-Security-Policy takes, but of a style, which needs none.
# usage: embed.sh NAME FILE
set -eu
name=$1
text=$(sed -e 's/^ *//' -e '/^\/\*.*\*\/$/d' -e '/^\/\*/,/\*\/$/d' -e '/^$/d' "$2")
printf 'const char *const %s[] = {\n' "$name"
printf '%s\n' "$text" | sed -e 's/[\\"]/\\&/g' -e 's/^/"/' -e 's/$/\\n",/'
printf 'NULL};\n'
case $name in *_style) exit 0 ;; esac
hex=$(printf '%s\n' "$text" | sha256sum | cut -c1-64)
octal=$(printf '%s\n' "$hex" | awk '{
    for (i = 1; i < 64; i += 2)
        printf "\\%03o", 16 * (index("0123456789abcdef", substr($0, i, 1)) - 1) \
            + index("0123456789abcdef", substr($0, i + 1, 1)) - 1
}')
# The octal numbers are the format.
# shellcheck disable=SC2059
printf 'const char *const %s_sha256 = "%s";\n' "$name" "$(printf "$octal" | base64)"

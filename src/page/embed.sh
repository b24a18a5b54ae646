#!/bin/sh
# The files of the page's site as C: the array bk_site_files, each with its name, its bytes and the
# first 64 bits of their SHA-256 in hexadecimal. usage: embed.sh FILE...
set -eu
number=0
for file; do
    number=$((number + 1))
    printf 'static const unsigned char site_%d[] = {\n' "$number"
    od -An -v -tx1 "$file" | sed -e 's/ \([0-9a-f][0-9a-f]\)/0x\1,/g'
    printf '0};\n'
done
printf 'const bk_site_file bk_site_files[] = {\n'
number=0
for file; do
    number=$((number + 1))
    digest=$(sha256sum <"$file" | cut -c1-16)
    printf '    {"%s", site_%d, sizeof site_%d - 1, "%s"},\n' "${file##*/}" "$number" "$number" "$digest"
done
printf '    {NULL, NULL, 0, NULL}};\n'

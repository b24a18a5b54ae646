#!/bin/sh
# What make install puts where, and that a program can be built from it alone: the example of
# the manual, by pkg-config, against the shared library and the static one, gives what the
# command gives. Environment: BUILD.
build=${BUILD:-build}
work=$(mktemp -d "${TMPDIR:-/tmp}/bakeset-install.XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT
failed=0
passed=0
unset MAKEFLAGS MAKELEVEL

check() { # NAME STATUS
    if [ "$2" -eq 0 ]; then passed=$((passed + 1)); else failed=$((failed + 1)) && echo "FAILED: $1"; fi
}

# DESTDIR is where a package is put together; the prefix is where it will be.
root=$work/root prefix=/opt/kitchen
make -s install BUILD="$build" DESTDIR="$root" PREFIX=$prefix >"$work/log" 2>&1
check "make install" $? || exit 1
here=$root$prefix
for file in bin/bakeset include/bakeset.h lib/libbakeset.a lib/libbakeset.so lib/libbakeset.so.0 \
    lib/pkgconfig/bakeset.pc share/man/man1/bakeset.1 share/man/man3/bakeset.3 \
    share/bash-completion/completions/bakeset share/zsh/site-functions/_bakeset \
    share/bakeset/plan.schema.json share/bakeset/recipe.schema.json share/bakeset/kitchen.schema.json; do
    [ -s "$here/$file" ]
    check "$file is installed" $?
done
grep -q "$work" "$here/lib/pkgconfig/bakeset.pc"
[ $? -eq 1 ]
check "bakeset.pc does not know where it was put together" $?

# A build with a sanitizer asks the same of what is linked with it.
sanitize=
nm "$here/lib/libbakeset.a" 2>/dev/null | grep -q ' U __asan_' && sanitize=-fsanitize=address,undefined
sed -n '/^\.Bd -literal$/,/^\.Ed/p' docs/bakeset.3 | sed '1d;$d;s/\\e/\\/g' >"$work/example.c"
pkg() {
    PKG_CONFIG_PATH="$here/lib/pkgconfig" pkg-config --define-variable=prefix="$here" "$@" bakeset
}
cc=${CC:-cc}
# shellcheck disable=SC2046,SC2086
{
    $cc -std=c11 -Wall -Wextra -Wpedantic -Werror $sanitize "$work/example.c" $(pkg --cflags --libs) \
        -Wl,-rpath,"$here/lib" -o "$work/shared"
    check "the example compiles against the shared library" $?
    $cc -std=c11 -Wall -Wextra -Wpedantic -Werror $sanitize $(pkg --cflags) "$work/example.c" \
        $(pkg --static --libs | sed 's/-lbakeset/-l:libbakeset.a/') -o "$work/static"
    check "the example compiles against the static library" $?
}
readelf -d "$work/shared" | grep -q 'NEEDED.*libbakeset\.so\.0'
check "the shared one needs libbakeset.so.0" $?
readelf -d "$work/static" | grep -q 'NEEDED.*libbakeset'
[ $? -eq 1 ]
check "the static one does not" $?
printf '#include <bakeset.h>\nint main() { return bakeset_version() == nullptr; }\n' >"$work/example.cc"
if command -v g++ >/dev/null 2>&1; then
    # shellcheck disable=SC2046,SC2086
    g++ -Wall -Wextra -Wpedantic -Werror $sanitize "$work/example.cc" $(pkg --cflags --libs) -Wl,-rpath,"$here/lib" -o "$work/plus" &&
        "$work/plus"
    check "the header is C++ too" $?
else
    echo "SKIPPED: no g++"
fi

"$here/bin/bakeset" timeline --width 60 plans/friday-supper.json >"$work/command.txt"
check "the installed command" $?
for program in shared static; do
    "$work/$program" plans/friday-supper.json >"$work/$program.txt" 2>"$work/$program.err"
    check "the $program example runs" $?
    cmp -s "$work/$program.txt" "$work/command.txt"
    check "the $program example prints what the command prints" $?
    "$work/$program" plans/not-there.json >/dev/null 2>&1
    [ $? -eq 3 ]
    check "the $program example fails where there is no plan" $?
done
man -l docs/bakeset.3 >"$work/man.txt" 2>"$work/man.err" && [ ! -s "$work/man.err" ]
status=$?
if command -v man >/dev/null 2>&1; then check "the manual is sound" $status; else echo "SKIPPED: no man"; fi
make -s uninstall BUILD="$build" DESTDIR="$root" PREFIX=$prefix >/dev/null 2>&1
[ -z "$(find "$root" ! -type d)" ]
check "make uninstall leaves nothing" $?
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]

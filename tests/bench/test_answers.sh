#!/bin/sh
# bench --answers and --verify on an instance made for this test: a kept schedule is
# accepted, and each kind of wrong row is told. BENCH is the program.
set -u
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
mkdir -p "$folder/data/three"
failed=0

# Three jobs of 4, 3 and 2 that share one place; the third begins 5 after the first at the latest.
cat >"$folder/data/three/a.sch" <<'END'
3 1 0 0
0 1 3 1 2 3 [0] [0] [0]
1 1 1 4 [4]
2 1 1 4 [3]
3 1 2 4 1 [2] [-5]
4 1 0
0 1 0 0
1 1 4 1
2 1 3 1
3 1 2 1
4 1 0 0
1
END
echo 'instance,lower,upper,status,source
a.sch,5,10,open,none' >"$folder/data/three/optima.csv"

expect() { # WHAT STATUS WORDS
    "$BENCH" "$folder/data" --verify "$folder/answers.csv" >"$folder/out" 2>&1
    status=$?
    if [ $status -ne "$2" ] || ! grep -q -- "$3" "$folder/out"; then
        echo "not ok: $1: status $status, and said:"
        cat "$folder/out"
        failed=1
    fi
}

change() { # SED
    sed "$1" "$folder/kept.csv" >"$folder/answers.csv"
}

"$BENCH" "$folder/data" 5 --answers "$folder/kept.csv" >"$folder/out" || failed=1
change ''
expect "what the bench has kept" 0 "valid, better than known; optimal by the engine's bound"
change 's/\(,[0-9]* [0-9]* \)[0-9]* /\10 /'
expect "two jobs at once" 1 "the schedule is not valid"
change 's/,9,9,/,8,8,/'
expect "another end than the schedule's" 1 "the schedule's end is not the row's"
change 's/,9,9,/,9,7,/'
expect "called optimal above its bound" 1 "called optimal, and the bound is another"
change 's/ [0-9]*$//'
expect "a start too few" 1 "one an activity"
change '2s/$/ 9/'
expect "a start too many" 1 "one an activity"
change 's/a\.sch/b.sch/'
expect "an instance that nobody knows" 1 "not in the table"
change '2s/.*/three\/a.sch,optimal/'
expect "a row cut short" 1 "a field is missing"
change '1d'
expect "no head" 1 "does not begin with"
change '2d'
expect "no rows" 1 "0 rows"

# What the table knows is nobody's find.
sed -i 's/5,10,open/9,9,optimal/' "$folder/data/three/optima.csv"
rm -f "$folder/answers.csv"
"$BENCH" "$folder/data" 5 --answers "$folder/answers.csv" >"$folder/out" || failed=1
[ -e "$folder/answers.csv" ] && echo "not ok: a known answer was kept" && failed=1
change ''
expect "an answer that was known" 1 "not open in the table"
[ $failed -eq 0 ] && echo "bench --verify: ok"
exit $failed

#!/bin/sh
# Adds up a file of counts of long.sh, target by target, as the rows of the table in docs/threats.md.
awk -F '\t' 'NR > 1 {
    runs[$3] += $6; seconds[$3] += $7
    if ($9 > edges[$3]) edges[$3] = $9
    if ($11 != "ok") found[$3]++
}
END {
    for (name in runs)
        printf "| %s | %d | %d | %d | %d |\n", name, runs[name], seconds[name] ? runs[name] / seconds[name] : 0, edges[name], found[name]
}' "$@" | sort

#!/bin/sh
# The folders of inputs that a fuzz target begins with.
case $1 in
plan) seeds="tests/data/plan/valid tests/data/plan/invalid tests/data/cli/bad plans/recipes" ;;
calendar) seeds="tests/data/calendar plans/calendars" ;;
journal) seeds="tests/data/day" ;;
multistatus) seeds="tests/data/publish/answers" ;;
takein) seeds="tests/data/take-in/tuned" ;;
patch) seeds="tests/data/patch plans/recipes" ;;
*) seeds= ;;
esac
for folder in $seeds "tests/data/fuzz/$1"; do
    [ -d "$folder" ] && echo "$folder"
done
exit 0

/* The lines that zoneinfo_check.py prints, read and compared with src/time. */
#ifndef TESTS_TIME_ZONE_LINES_H
#define TESTS_TIME_ZONE_LINES_H

#include "time/time.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

/* Checks every line of `in`; fails the running test at the first difference.
 * Returns the number of lines checked. */
static inline size_t check_zone_lines(FILE *in)
{
    bk_arena *arena = bk_arena_new(NULL);
    bk_zone *zone = NULL;
    char line[200];
    size_t count = 0;
    while (fgets(line, sizeof line, in) != NULL) {
        char name[65], word[33] = "";
        long long instant;
        int offset;
        bk_civil want = {0};
        if (line[0] == '#')
            continue;
        bool civil = line[0] == 'c';
        int fields =
            civil ? sscanf(line, "c %64s %d %d %d %d %d %32s %lld", name, &want.year, &want.month,
                           &want.day, &want.hour, &want.minute, word, &instant)
                  : sscanf(line, "i %64s %lld %d %32s %d %d %d %d %d", name, &instant, &offset,
                           word, &want.year, &want.month, &want.day, &want.hour, &want.minute);
        if (fields != (civil ? 8 : 9))
            fail_msg("not understood: %s", line);
        if (zone == NULL || strcmp(bk_zone_name(zone), name) != 0) {
            zone = bk_zone_open(arena, name);
            if (zone == NULL)
                fail_msg("no zone %s", name);
        }
        if (civil) {
            enum bk_civil_kind kind;
            bk_instant got = bk_instant_of(zone, want, &kind);
            if (got != instant || "usr"[kind] != word[0])
                fail_msg("got %c %lld for: %s", "usr"[kind], (long long)got, line);
        } else {
            bk_civil got = bk_civil_at(zone, instant);
            if (bk_zone_offset(zone, instant) != offset ||
                strcmp(bk_zone_abbreviation(zone, instant), word) != 0 ||
                memcmp(&got, &want, sizeof got) != 0)
                fail_msg("got %d %s %d-%d-%d %d:%d for: %s", bk_zone_offset(zone, instant),
                         bk_zone_abbreviation(zone, instant), got.year, got.month, got.day,
                         got.hour, got.minute, line);
        }
        count++;
    }
    bk_arena_free(arena);
    return count;
}

#endif

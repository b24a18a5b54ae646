/* Zones for fuzz targets, linked in place of the real bk_zone_open and bk_zone_nearest (ld --wrap):
 * a zone is read from its file once, not once an input, and of misspelt names one in 128 is
 * compared with all files of the system. */
#include "time/time.h"

#include <stdint.h>
#include <string.h>

enum { MOST_KEPT = 1024, ONE_IN = 128 };

bk_zone *__real_bk_zone_open(bk_arena *arena, const char *name);
bk_zone *__wrap_bk_zone_open(bk_arena *arena, const char *name);
const char *__real_bk_zone_nearest(bk_arena *arena, const char *name);
const char *__wrap_bk_zone_nearest(bk_arena *arena, const char *name);

static uint64_t digest(const char *name)
{
    uint64_t value = UINT64_C(0xcbf29ce484222325); /* FNV-1a */
    for (; *name; name++)
        value = (value ^ (unsigned char)*name) * UINT64_C(0x100000001b3);
    return value ^ value >> 32;
}

/* Of names that are no zone's none is kept: they do not end. */
bk_zone *__wrap_bk_zone_open(bk_arena *arena, const char *name)
{
    static bk_arena *kept;
    static bk_zone *zones[MOST_KEPT];
    if (strlen(name) > 64)
        return __real_bk_zone_open(arena, name);
    if (!kept && !(kept = bk_arena_new(NULL)))
        return NULL;
    size_t at = digest(name) % MOST_KEPT;
    for (size_t tried = 0; tried < MOST_KEPT; tried++, at = (at + 1) % MOST_KEPT) {
        if (zones[at] && strcmp(bk_zone_name(zones[at]), name) == 0)
            return zones[at];
        if (!zones[at])
            break;
    }
    if (!bk_zone_listed(arena, name))
        return NULL;
    if (zones[at])
        return __real_bk_zone_open(arena, name);
    return zones[at] = __real_bk_zone_open(kept, name);
}

const char *__wrap_bk_zone_nearest(bk_arena *arena, const char *name)
{
    return digest(name) % ONE_IN == 0 ? __real_bk_zone_nearest(arena, name) : "Europe/London";
}

/* Zones: opening one by name, and going between instants and civil time. */
#include "time/calendar.h"
#include "time/zone_table.h"

#include <stdio.h>
#include <sys/stat.h>

struct bk_zone {
    const char *name;
    bk_zone_table table;
};

/* The largest file of the zone data is under 4 KiB. */
enum { MOST_BYTES = 1 << 20 };

void bk_zone_table_add(bk_zone_table *table, int64_t seconds, int32_t offset_seconds,
                       const char *abbreviation)
{
    int64_t rest;
    bk_period period = {.abbreviation = abbreviation};
    period.start = INT64_MIN;
    if (seconds != INT64_MIN) {
        period.start = bk_floor_divide(seconds, 60, &rest);
        if (rest > 0)
            period.start++;
    }
    period.offset = (int)bk_floor_divide(offset_seconds, 60, &rest);
    if (table->count > 0 && period.start <= table->items[table->count - 1].start)
        table->items[table->count - 1] = period;
    else
        *BK_PUSH(table->arena, table->items, table->count, table->room) = period;
}

static unsigned char *read_file(bk_arena *arena, const char *path, size_t *length)
{
    struct stat facts;
    if (stat(path, &facts) != 0 || !S_ISREG(facts.st_mode) || facts.st_size > MOST_BYTES)
        return NULL;
    /* Room first: an arena without memory jumps, and must not leave a file open. */
    size_t size = (size_t)facts.st_size;
    unsigned char *bytes = BK_NEW(arena, unsigned char, size + 1);
    FILE *file = fopen(path, "rb");
    if (!file)
        return NULL;
    *length = fread(bytes, 1, size, file);
    bool failed = ferror(file) != 0 || *length != size;
    fclose(file);
    return failed ? NULL : bytes;
}

bool bk_zone_listed(bk_arena *arena, const char *name)
{
    struct stat facts;
    return bk_zone_name_valid(name) &&
           stat(bk_format(arena, "%s/%s", bk_zone_folder(), name), &facts) == 0 &&
           S_ISREG(facts.st_mode);
}

bk_zone *bk_zone_open(bk_arena *arena, const char *name)
{
    if (!bk_zone_name_valid(name))
        return NULL;
    size_t length;
    const char *path = bk_format(arena, "%s/%s", bk_zone_folder(), name);
    const unsigned char *bytes = read_file(arena, path, &length);
    if (!bytes)
        return NULL;
    bk_zone *zone = BK_NEW(arena, bk_zone, 1);
    zone->name = bk_copy_string(arena, name);
    zone->table.arena = arena;
    return bk_tzif_read(&zone->table, bytes, length) ? zone : NULL;
}

bk_zone *bk_zone_from_changes(bk_arena *arena, const char *name, int32_t offset_before,
                              const bk_zone_change *changes, size_t count)
{
    bk_zone *zone = BK_NEW(arena, bk_zone, 1);
    zone->name = bk_copy_string(arena, name);
    zone->table.arena = arena;
    bk_zone_table_add(&zone->table, INT64_MIN, offset_before, "");
    for (size_t i = 0; i < count; i++)
        bk_zone_table_add(&zone->table, changes[i].seconds, changes[i].offset,
                          bk_copy_string(arena, changes[i].abbreviation));
    return zone;
}

const char *bk_zone_name(const bk_zone *zone)
{
    return zone->name;
}

/* The last period that has begun at an instant. */
static size_t period_at(const bk_zone *zone, bk_instant instant)
{
    size_t low = 0, high = zone->table.count; /* the answer is in [low, high) */
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        if (zone->table.items[middle].start <= instant)
            low = middle;
        else
            high = middle;
    }
    return low;
}

int bk_zone_offset(const bk_zone *zone, bk_instant instant)
{
    return zone->table.items[period_at(zone, instant)].offset;
}

const char *bk_zone_abbreviation(const bk_zone *zone, bk_instant instant)
{
    return zone->table.items[period_at(zone, instant)].abbreviation;
}

/* Minutes since 1970-01-01T00:00 on the zone's own clock. */
static int64_t local_minutes(const bk_zone *zone, bk_instant instant)
{
    const bk_instant furthest = INT64_C(10000) * 366 * BK_DAY;
    if (instant > furthest)
        instant = furthest;
    if (instant < -furthest)
        instant = -furthest;
    return instant + bk_zone_offset(zone, instant);
}

bk_civil bk_civil_at(const bk_zone *zone, bk_instant instant)
{
    int64_t minute;
    bk_civil civil = bk_date_of_day(bk_floor_divide(local_minutes(zone, instant), BK_DAY, &minute));
    civil.hour = (int)(minute / 60);
    civil.minute = (int)(minute % 60);
    return civil;
}

size_t bk_zone_instants(const bk_zone *zone, int64_t local, bk_instant *found, size_t most,
                        bk_instant *change)
{
    const bk_zone_table *table = &zone->table;
    size_t count = 0;
    /* No clock is further than 26 h from UTC (RFC 9636 section 3.2). */
    size_t first = period_at(zone, local - 2 * BK_DAY);
    for (size_t i = first; i < table->count; i++) {
        const bk_period *period = &table->items[i];
        if (period->start > local + 2 * BK_DAY)
            break;
        bk_instant instant = local - period->offset;
        bool ended = i + 1 < table->count && instant >= table->items[i + 1].start;
        if (instant >= period->start && !ended) {
            if (count < most)
                found[count] = instant;
            count++;
        }
        if (i > first && instant < period->start &&
            local - table->items[i - 1].offset >= period->start)
            *change = period->start;
    }
    return count;
}

bk_instant bk_instant_of_minutes(const bk_zone *zone, int64_t local, enum bk_civil_kind *kind)
{
    bk_instant found = 0, change = local;
    size_t count = bk_zone_instants(zone, local, &found, 1, &change);
    if (kind)
        *kind = count == 0 ? BK_CIVIL_SKIPPED : count == 1 ? BK_CIVIL_UNIQUE : BK_CIVIL_REPEATED;
    return count == 0 ? change : found;
}

bk_instant bk_instant_of(const bk_zone *zone, bk_civil civil, enum bk_civil_kind *kind)
{
    return bk_instant_of_minutes(zone, bk_civil_minutes(civil), kind);
}

bk_instant bk_day_start(const bk_zone *zone, bk_instant instant)
{
    int64_t minute;
    int64_t day = bk_floor_divide(local_minutes(zone, instant), BK_DAY, &minute);
    return bk_instant_of_minutes(zone, day * BK_DAY, NULL);
}

bk_instant bk_next_day_start(const bk_zone *zone, bk_instant instant)
{
    enum { MOST = 4 };
    int64_t minute;
    int64_t day = bk_floor_divide(local_minutes(zone, instant), BK_DAY, &minute);
    bk_instant found[MOST], change = instant;
    size_t count = bk_zone_instants(zone, (day + 1) * BK_DAY, found, MOST, &change);
    /* A change just after midnight back into the evening gives two midnights:
     * St. John's did so at 00:01 until 2011. The one still to come is meant. */
    for (size_t i = 0; i < count && i < MOST; i++)
        if (found[i] > instant)
            return found[i];
    return change;
}

/* Writes instants and lengths of time in words and in standard forms. */
#include "time/calendar.h"

char *bk_instant_rfc3339(bk_arena *arena, const bk_zone *zone, bk_instant instant)
{
    bk_civil c = bk_civil_at(zone, instant);
    int offset = bk_zone_offset(zone, instant);
    int size = offset < 0 ? -offset : offset;
    return bk_format(arena, "%04d-%02d-%02dT%02d:%02d:00%c%02d:%02d", c.year, c.month, c.day,
                     c.hour, c.minute, offset < 0 ? '-' : '+', size / 60, size % 60);
}

char *bk_instant_utc(bk_arena *arena, bk_instant instant)
{
    int64_t minute;
    bk_civil c = bk_date_of_day(bk_floor_divide(instant, BK_DAY, &minute));
    return bk_format(arena, "%04d%02d%02dT%02d%02d00Z", c.year, c.month, c.day, (int)(minute / 60),
                     (int)(minute % 60));
}

char *bk_minutes(bk_arena *arena, int64_t minutes)
{
    /* The size of the smallest integer is no integer of the same type. */
    uint64_t size = minutes < 0 ? UINT64_C(0) - (uint64_t)minutes : (uint64_t)minutes;
    const struct {
        uint64_t amount;
        const char *unit;
    } parts[] = {{size / BK_DAY, "d"}, {size % BK_DAY / 60, "h"}, {size % 60, "min"}};
    bk_text text = bk_text_new(arena);
    bk_text_add(&text, minutes < 0 ? "-" : "");
    const char *gap = "";
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        bool only_part = size == 0 && i == 2;
        if (parts[i].amount == 0 && !only_part)
            continue;
        bk_text_addf(&text, "%s%llu %s", gap, (unsigned long long)parts[i].amount, parts[i].unit);
        gap = " ";
    }
    return text.data;
}

/* Civil times in words, as a cook reads them. */
#include "time/calendar.h"

char *bk_clock(bk_arena *arena, const bk_zone *zone, bk_instant instant)
{
    bk_civil c = bk_civil_at(zone, instant);
    return bk_format(arena, "%02d:%02d", c.hour, c.minute);
}

char *bk_date_long(bk_arena *arena, const bk_zone *zone, bk_instant instant)
{
    bk_civil c = bk_civil_at(zone, instant);
    return bk_format(arena, "%s %d %s %d", bk_weekday_name(bk_weekday(c)), c.day,
                     bk_month_name(c.month), c.year);
}

char *bk_moment_short(bk_arena *arena, const bk_zone *zone, bk_instant instant)
{
    bk_civil c = bk_civil_at(zone, instant);
    return bk_format(arena, "%.3s %d %.3s %02d:%02d", bk_weekday_name(bk_weekday(c)), c.day,
                     bk_month_name(c.month), c.hour, c.minute);
}

char *bk_moment(bk_arena *arena, const bk_zone *zone, bk_instant instant)
{
    bk_civil c = bk_civil_at(zone, instant);
    return bk_format(arena, "%s %d %s, %s", bk_weekday_name(bk_weekday(c)), c.day,
                     bk_month_name(c.month), bk_clock(arena, zone, instant));
}

char *bk_moment_long(bk_arena *arena, const bk_zone *zone, bk_instant instant)
{
    return bk_format(arena, "%s, %s", bk_date_long(arena, zone, instant),
                     bk_clock(arena, zone, instant));
}

char *bk_hour_on_weekday(bk_arena *arena, const bk_zone *zone, bk_instant instant)
{
    bk_civil c = bk_civil_at(zone, instant);
    return bk_format(arena, "%s on %s", bk_clock(arena, zone, instant),
                     bk_weekday_name(bk_weekday(c)));
}

char *bk_clock_seen_from(bk_arena *arena, const bk_zone *zone, bk_instant seen_from, bk_instant at)
{
    char *clock = bk_clock(arena, zone, at);
    bk_instant today = bk_day_start(zone, seen_from), day = bk_day_start(zone, at);
    if (day == today)
        return clock;
    /* Clock changes make days of 23 to 25 hours: 6 days and a half is under a week. */
    int64_t apart = day > today ? day - today : today - day;
    if (apart >= 6 * BK_DAY + BK_DAY / 2)
        return bk_moment_short(arena, zone, at);
    return bk_format(arena, "%.3s %s", bk_weekday_name(bk_weekday(bk_civil_at(zone, at))), clock);
}

/* Dates and times of a calendar file as seconds, on a wall's clock and in UTC. */
#include "icalendar/values.h"

static int64_t floor_divide(int64_t value, int64_t divisor)
{
    return value / divisor - (value % divisor < 0);
}

bool bk_clock_seconds(bk_date_time time, bk_seconds *seconds)
{
    if (time.year < 1 || time.year > 9999 || !bk_date_exists(time.year, time.month, time.day))
        return false;
    bk_civil date = {time.year, time.month, time.day, 0, 0};
    *seconds = bk_civil_minutes(date) * 60;
    if (time.is_date)
        return true;
    /* Second 60 is a leap second (RFC 5545 section 3.3.12). */
    if (time.hour < 0 || time.hour > 23 || time.minute < 0 || time.minute > 59 || time.second < 0 ||
        time.second > 60)
        return false;
    *seconds += time.hour * 3600 + time.minute * 60 + time.second;
    return true;
}

bk_seconds bk_zone_seconds(const bk_zone *zone, bk_seconds wall, bool *skipped)
{
    int64_t minute = floor_divide(wall, 60);
    enum bk_civil_kind kind;
    bk_instant instant = bk_instant_of_minutes(zone, minute, &kind);
    if (skipped)
        *skipped = kind == BK_CIVIL_SKIPPED;
    if (kind == BK_CIVIL_SKIPPED)
        instant = minute - bk_zone_offset(zone, instant - 1);
    return instant * 60 + (wall - minute * 60);
}

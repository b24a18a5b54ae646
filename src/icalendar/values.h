/* Values of calendar properties (RFC 5545 section 3.3): dates, times, durations, repeat rules.
 * Private to this folder. */
#ifndef BK_ICALENDAR_VALUES_H
#define BK_ICALENDAR_VALUES_H

#include "icalendar/content.h"
#include "time/time.h"

/* Seconds since 1970-01-01T00:00 on some clock: UTC, or a wall's. */
typedef int64_t bk_seconds;

/* A DATE or DATE-TIME, as its digits say; there need be no such date. */
typedef struct bk_date_time {
    int year, month, day, hour, minute, second;
    bool is_date, is_utc;
} bk_date_time;

/* How long: whole days on the wall, then exact seconds (section 3.3.6); both negative where it
 * goes back. */
typedef struct bk_stretch {
    int64_t days;
    bk_seconds seconds;
} bk_stretch;

/* One of RDATE or FREEBUSY: from a time, for a time where it is a period. */
typedef struct bk_period {
    bk_date_time start, end;
    bk_stretch lasts;
    bool is_period, has_end; /* has_end: `end` is given, else `lasts` */
} bk_period;

/* Reads "20261218", "20261218T193000" or "20261218T193000Z" and nothing else. */
bool bk_date_time_read(const char *text, bk_date_time *value);

/* Reads "PT1H30M", "-P1DT12H", "P2W" and nothing else. */
bool bk_stretch_read(const char *text, bk_stretch *value);

/* Reads the next of a list of date-times or periods with commas between them at *text, and
 * moves behind it and its comma. False when it is malformed. */
bool bk_period_next(const char **text, bk_period *value);

/* Fields of a DATE or DATE-TIME as seconds on their own clock. False when there is no such date
 * or time. */
bool bk_clock_seconds(bk_date_time time, bk_seconds *seconds);

/* A wall clock's reading as seconds in UTC. One that comes twice is the first; one that is
 * skipped counts from the offset before the gap (section 3.3.5), so that nothing an event covers
 * is lost; *skipped (or NULL) says so. */
bk_seconds bk_zone_seconds(const bk_zone *zone, bk_seconds wall, bool *skipped);

/* ------------------------------------------------- repeat rules */

enum bk_frequency {
    BK_SECONDLY,
    BK_MINUTELY,
    BK_HOURLY,
    BK_DAILY,
    BK_WEEKLY,
    BK_MONTHLY,
    BK_YEARLY
};

typedef struct bk_number_list {
    int *items;
    size_t count, room;
} bk_number_list;

typedef struct bk_rule_day {
    int ordinal; /* 0: every */
    int weekday; /* 0 Monday .. 6 Sunday */
} bk_rule_day;

typedef struct bk_rule {
    enum bk_frequency frequency;
    int interval;  /* 1 or more */
    int64_t count; /* 0: none */
    bool has_until;
    bk_date_time until;
    int week_start; /* 0 Monday .. 6 Sunday */
    bk_number_list seconds, minutes, hours, month_days, year_days, weeks, months, positions;
    bk_rule_day *days;
    size_t day_count, day_room;
} bk_rule;

/* Reads a RECUR value (section 3.3.10); X- parts are passed over. */
bool bk_rule_read(bk_arena *arena, const char *text, bk_rule *rule);

typedef struct bk_wall_list {
    bk_seconds *items;
    size_t count, room;
} bk_wall_list;

enum bk_rule_fault {
    BK_RULE_FINE,
    BK_RULE_MALFORMED, /* or one that can never come true */
    BK_RULE_TOO_MANY   /* more steps than are left */
};

/* Adds to *found the rule's instances from `start` to `last`, in order, as readings of the clock
 * that `start` is on; COUNT counts what the rule itself gives. UNTIL is met within a day: the
 * caller, who knows the zone, checks it exactly. Takes what it needed from *steps_left. */
enum bk_rule_fault bk_rule_expand(bk_arena *arena, const bk_rule *rule, bk_date_time start,
                                  bk_seconds last, int64_t *steps_left, bk_wall_list *found);

/* ------------------------------------------------- zones of a file */

typedef struct bk_named_zone {
    const char *id;
    const bk_zone *zone; /* NULL: unknown */
} bk_named_zone;

typedef struct bk_file_zones {
    bk_arena *arena;
    const bk_component *calendars;
    bk_seconds last; /* VTIMEZONE rules are followed until then */
    int64_t *steps_left;
    bk_named_zone *items;
    size_t count, room;
} bk_file_zones;

/* The zone of a TZID: the system's when the id is an IANA name, also behind a
 * "/vendor/" prefix; else what the file's VTIMEZONE of that id says. NULL when
 * neither knows it. */
const bk_zone *bk_file_zone(bk_file_zones *zones, const char *id);

#endif

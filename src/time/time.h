/* Instants, civil time and zones, daily windows, sets of spans.
 *
 * An instant is a count of whole minutes since 1970-01-01T00:00Z: the grid of
 * the whole project. Civil time exists only at the edges, with an IANA zone.
 * All counting between instants is elapsed time, also over a clock change.
 */
#ifndef BK_TIME_H
#define BK_TIME_H

#include "base/base.h"

typedef int64_t bk_instant; /* minutes since 1970-01-01T00:00Z */

/* The years that instants may name; outside them is an error at the edge. */
enum { BK_FIRST_YEAR = 1980, BK_LAST_YEAR = 2199, BK_DAY = 1440 };

typedef struct bk_civil {
    int year, month, day; /* month 1-12, day 1-31 */
    int hour, minute;     /* 0-23, 0-59 */
} bk_civil;

typedef struct bk_zone bk_zone;

/* The zone of an IANA name ("Europe/London", "UTC"), from the system's time zone
 * data; NULL when there is none of that name. Names that are paths out of the
 * zone folder are refused. Lives in the arena. */
bk_zone *bk_zone_open(bk_arena *arena, const char *name);

/* One clock change of a zone that somebody else defines (a calendar file). */
typedef struct bk_zone_change {
    int64_t seconds; /* since 1970-01-01T00:00Z */
    int32_t offset;  /* from then on, seconds east of UTC, less than 26 h */
    const char *abbreviation;
} bk_zone_change;

/* A zone from its changes, in order of time; before the first the clock is
 * `offset_before` seconds east of UTC. The name need be no IANA name. Copies
 * what it is given. */
bk_zone *bk_zone_from_changes(bk_arena *arena, const char *name, int32_t offset_before,
                              const bk_zone_change *changes, size_t count);

/* The IANA name it was opened with. */
const char *bk_zone_name(const bk_zone *zone);

/* The IANA name nearest to a mistyped one, or NULL. */
const char *bk_zone_nearest(bk_arena *arena, const char *name);

/* True when the system has a file for this name: that bk_zone_open failed is then no fault
 * of the name. */
bool bk_zone_listed(bk_arena *arena, const char *name);

/* Minutes east of UTC at an instant. */
int bk_zone_offset(const bk_zone *zone, bk_instant instant);

/* The zone's own abbreviation at an instant ("GMT", "CEST", "+1030"). Lives as
 * long as the zone. For the comparison with other readers of zone data, in the tests. */
const char *bk_zone_abbreviation(const bk_zone *zone, bk_instant instant);

bk_civil bk_civil_at(const bk_zone *zone, bk_instant instant);

enum bk_civil_kind {
    BK_CIVIL_UNIQUE,
    BK_CIVIL_SKIPPED, /* a clock change jumps over it */
    BK_CIVIL_REPEATED /* it comes twice: the first is given */
};

/* The instant of a civil time. SKIPPED gives the instant of the change itself
 * (the first instant after the gap). The civil time must be a real date
 * (bk_civil_valid). */
bk_instant bk_instant_of(const bk_zone *zone, bk_civil civil, enum bk_civil_kind *kind);

/* A civil time as minutes since 1970-01-01T00:00 on its own clock, any year, and
 * the instant at which that clock shows them (as bk_instant_of). */
int64_t bk_civil_minutes(bk_civil civil);
bk_instant bk_instant_of_minutes(const bk_zone *zone, int64_t minutes, enum bk_civil_kind *kind);

/* A date of the proleptic Gregorian calendar, any year. */
bool bk_date_exists(int year, int month, int day);

/* A real date of the proleptic Gregorian calendar within the years above. */
bool bk_civil_valid(bk_civil civil);

/* Midnight that begins the civil date of an instant (the date's first instant,
 * where midnight itself is skipped), and that of the next date. */
bk_instant bk_day_start(const bk_zone *zone, bk_instant instant);
bk_instant bk_next_day_start(const bk_zone *zone, bk_instant instant);

/* 0 Monday .. 6 Sunday. */
int bk_weekday(bk_civil civil);

/* "Monday".., "January".. (English, no locale). */
const char *bk_weekday_name(int weekday);
const char *bk_month_name(int month);

/* --------------------------------------------------------------- reading */

enum bk_instant_error {
    BK_INSTANT_OK,
    BK_INSTANT_FORM,    /* not "YYYY-MM-DD HH:MM", with T, or with an offset or Z */
    BK_INSTANT_DATE,    /* no such date or time of day */
    BK_INSTANT_SKIPPED, /* a clock change jumps over this civil time */
    BK_INSTANT_RANGE    /* outside the years above */
};

/* Reads an instant: "2026-12-24 19:30" or with T (in `zone`), optionally ":SS"
 * with SS = 00, or with "+01:00"/"-05:00"/"Z". *repeated becomes true when the
 * civil time comes twice (the first is given). `repeated` may be NULL. */
enum bk_instant_error bk_instant_read(const bk_zone *zone, const char *text, bk_instant *instant,
                                      bool *repeated);

/* Reads a date of those years and nothing else, "2026-12-24"; its hour and minute are 0. */
bool bk_date_read(const char *text, bk_civil *date);

/* Reads an hour of the day and nothing else, "18:30" or "8:30", into minutes of the civil
 * day (0-1439). */
bool bk_hour_read(const char *text, int *minute);

/* Reads "22:30-07:00" into minutes of the civil day (0-1439; "24:00" is
 * accepted as an end and means 0). False when the form is wrong or both ends
 * are the same. */
bool bk_daily_read(const char *text, int *from, int *to);

/* --------------------------------------------------------------- writing */

/* RFC 3339 with the zone's offset, whole minutes: "2026-12-24T19:30:00+00:00". */
char *bk_instant_rfc3339(bk_arena *arena, const bk_zone *zone, bk_instant instant);

/* "20261224T193000Z" */
char *bk_instant_utc(bk_arena *arena, bk_instant instant);

/* "19:30"; "Thursday 24 December 2026". */
char *bk_clock(bk_arena *arena, const bk_zone *zone, bk_instant instant);
char *bk_date_long(bk_arena *arena, const bk_zone *zone, bk_instant instant);

/* "Thu 24 Dec 19:30"; "Thursday 24 December, 19:30"; "Thursday 24 December 2026, 19:30". */
char *bk_moment_short(bk_arena *arena, const bk_zone *zone, bk_instant instant);
char *bk_moment(bk_arena *arena, const bk_zone *zone, bk_instant instant);
char *bk_moment_long(bk_arena *arena, const bk_zone *zone, bk_instant instant);

/* "19:30 on Thursday". */
char *bk_hour_on_weekday(bk_arena *arena, const bk_zone *zone, bk_instant instant);

/* The clock time of `at`, with the weekday when it is not the civil day of
 * `seen_from`: "14:30", "Fri 14:30"; a week or more away: "Fri 25 Dec 14:30". */
char *bk_clock_seen_from(bk_arena *arena, const bk_zone *zone, bk_instant seen_from, bk_instant at);

/* Minutes in words: "45 min", "1 h 30 min", "2 h", "1 d 3 h". Negative values
 * get a leading "-". */
char *bk_minutes(bk_arena *arena, int64_t minutes);

/* ----------------------------------------------------------------- spans */

/* Half-open [from, to). */
typedef struct bk_span {
    bk_instant from, to;
    int tag; /* the caller's: which window it came from */
} bk_span;

typedef struct bk_spans {
    bk_arena *arena;
    bk_span *items;
    size_t count, room;
} bk_spans;

bk_spans bk_spans_new(bk_arena *arena);

/* Adds [from, to) when it is not empty. */
void bk_spans_add(bk_spans *spans, bk_instant from, bk_instant to, int tag);

/* Sorts by from, to, tag. Overlapping spans stay apart (their tags differ). */
void bk_spans_sort(bk_spans *spans);

/* The sorted set cut into a set of disjoint, maximal spans; tags are lost (0). */
bk_spans bk_spans_merged(bk_arena *arena, const bk_spans *spans);

/* The civil date of an instant as a day number: days since 1970-01-01. */
int64_t bk_day_of(const bk_zone *zone, bk_instant instant);

/* A daily civil window, in minutes of the civil day it begins on; to <= from: it ends on
 * the next. */
typedef struct bk_daily {
    int from, to;
    bool (*occurs)(const void *context, int64_t day); /* begins on that day; NULL: on every one */
    const void *context;
} bk_daily;

/* Its occurrence that begins on a day, asked for or not. An end that a clock change skips
 * is the instant of the change; one that it repeats is the first of the two. */
bk_span bk_daily_on(const bk_zone *zone, const bk_daily *daily, int64_t day);

/* Adds every occurrence that touches [from, to), whole. */
void bk_spans_add_daily(bk_spans *spans, const bk_zone *zone, const bk_daily *daily,
                        bk_instant from, bk_instant to, int tag);

#endif

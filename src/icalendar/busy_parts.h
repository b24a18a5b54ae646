/* The parts of the reading of busy hours. Private to this folder. */
#ifndef BK_ICALENDAR_BUSY_PARTS_H
#define BK_ICALENDAR_BUSY_PARTS_H

#include "icalendar/busy.h"

#include <libical/ical.h>

/* Seconds since 1970-01-01T00:00 on some clock: UTC, or a wall's. */
typedef int64_t bk_seconds;

/* ------------------------------------------------- scan: the raw lines */

/* The properties whose loss would change an event's time. libical removes a
 * property that it cannot read and goes on; a line counted here and missing
 * there is an error. It also reads dates of any width (2026121T090000Z): their
 * form is checked here. */
enum bk_timed_property {
    BK_DTSTART,
    BK_DTEND,
    BK_DURATION,
    BK_RRULE,
    BK_EXRULE,
    BK_RDATE,
    BK_EXDATE,
    BK_RECURRENCE_ID,
    BK_FREEBUSY,
    BK_TIMED_PROPERTIES
};

typedef struct bk_scanned {
    size_t offset;                       /* of its BEGIN line */
    size_t lines[BK_TIMED_PROPERTIES];   /* how many lines of each property */
    size_t offsets[BK_TIMED_PROPERTIES]; /* of the first of them, or the first malformed */
    bool malformed[BK_TIMED_PROPERTIES]; /* a date in it is not of the form of RFC 5545 */
} bk_scanned;

typedef struct bk_scanned_list {
    bk_scanned *items;
    size_t count, room;
} bk_scanned_list;

typedef struct bk_scan {
    bk_scanned_list events;    /* VEVENT, in the file's order */
    bk_scanned_list free_busy; /* VFREEBUSY */
} bk_scan;

/* Checks that the text is UTF-8 without NUL, made of whole, properly nested
 * calendars, and finds the events' lines. False when it is not, reported. */
bool bk_calendar_scan(bk_arena *arena, const bk_source *source, bk_scan *scan, bk_report *report);

/* ------------------------------------------------- clock: fields to time */

/* Fields of a DATE or DATE-TIME as seconds on their own clock. False when there
 * is no such date or time: libical accepts month 13 and hour 25. */
bool bk_clock_seconds(struct icaltimetype time, bk_seconds *seconds);

/* A wall clock's reading as seconds in UTC. One that comes twice is the first;
 * one that is skipped counts from the offset before the gap (RFC 5545 section
 * 3.3.5), so that nothing an event covers is lost. */
bk_seconds bk_zone_seconds(const bk_zone *zone, bk_seconds wall);

/* ------------------------------------------------- rules: recurrence */

typedef struct bk_wall_list {
    bk_seconds *items;
    size_t count, room;
} bk_wall_list;

enum bk_rule_fault {
    BK_RULE_FINE,
    BK_RULE_MALFORMED, /* or one that can never come true */
    BK_RULE_TOO_MANY   /* more steps than are left */
};

/* Adds to *found the rule's instances up to `last`, as readings of the clock
 * that `start` is on. The rule's own UNTIL is met within a day: the caller, who
 * knows the zone, checks it exactly. Takes what it needed from *steps_left. */
enum bk_rule_fault bk_rule_expand(bk_arena *arena, struct icalrecurrencetype rule,
                                  struct icaltimetype start, bk_seconds last, int64_t *steps_left,
                                  bk_wall_list *found);

/* ------------------------------------------------- zones of a file */

typedef struct bk_named_zone {
    const char *id;
    const bk_zone *zone; /* NULL: unknown */
} bk_named_zone;

typedef struct bk_file_zones {
    bk_arena *arena;
    icalcomponent *root;
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

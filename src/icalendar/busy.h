/* Hours that a calendar file (RFC 5545) says are taken. */
#ifndef BK_ICALENDAR_BUSY_H
#define BK_ICALENDAR_BUSY_H

#include "base/base.h"
#include "time/time.h"

/* One occurrence of an event, clipped to the span asked for. */
typedef struct bk_busy_event {
    bk_instant from, to; /* whole minutes: from rounded down, to rounded up */
    const char *summary; /* the event's, on one line; "" when it has none */
    bk_place place;      /* its BEGIN:VEVENT line */
} bk_busy_event;

typedef struct bk_busy_events {
    bk_busy_event *items; /* in order of from, to, then of the file */
    size_t count, room;
} bk_busy_events;

/* Most occurrences of all a file's events inside the span, and most steps of
 * all their repeat rules up to its end. More is an error. */
enum { BK_MOST_BUSY = 10000, BK_MOST_RULE_STEPS = 1000000 };

/* Reads an .ics file and adds the occurrences inside [from, to) to *events, a
 * zeroed struct at first. Counted are events that are not cancelled and not
 * marked free (TRANSP:TRANSPARENT), and the busy times of VFREEBUSY. Dates and
 * times without a zone are in `plan_zone`. The source must outlive the events'
 * places.
 *
 * False, with every problem reported, when the file is no well-formed calendar,
 * or when an event's time cannot be known: a date that does not exist, a zone
 * that neither the file nor the system defines, a repeat rule that is malformed
 * or beyond the limits above, RANGE=THISANDFUTURE. */
bool bk_busy_read(bk_arena *arena, const bk_source *source, const bk_zone *plan_zone,
                  bk_instant from, bk_instant to, bk_busy_events *events, bk_report *report);

#endif

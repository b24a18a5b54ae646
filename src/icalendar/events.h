/* A calendar file taken apart into events. */
#ifndef BK_ICALENDAR_EVENTS_H
#define BK_ICALENDAR_EVENTS_H

#include "base/base.h"

/* True when a text is one or more whole, properly nested calendars in UTF-8
 * (RFC 5545 section 3.4), so that libical may read it; else false, reported. */
bool bk_calendar_check(bk_arena *arena, const bk_source *source, bk_report *report);

/* One event of a calendar file, for a server that keeps each by itself. */
typedef struct bk_ics_event {
    const char *uid, *summary, *start; /* start as in the file: "20261218T193000Z" */
    int sequence;
    bool cancelled;
    bool untouched;   /* what a person sees of it is as bk_write_ics wrote it */
    const char *text; /* a whole calendar with this event alone; no METHOD. Several
                         behind one another are a calendar file (RFC 5545 section 3.4) */
} bk_ics_event;

typedef struct bk_ics_events {
    bk_ics_event *items; /* in the file's order */
    size_t count, room;
} bk_ics_events;

/* Adds the events of a calendar to *events. False (reported) when it is none. */
bool bk_ics_split(bk_arena *arena, const bk_source *calendar, bk_ics_events *events,
                  bk_report *report);

/* FNV-1a, 64 bits (RFC 9923), over several texts with a mark between them that no
 * text holds. */
uint64_t bk_calendar_hash(const char *const *texts, size_t count);

#endif

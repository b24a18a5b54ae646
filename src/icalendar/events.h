/* A calendar file taken apart into events, as they were written here or by others. */
#ifndef BK_ICALENDAR_EVENTS_H
#define BK_ICALENDAR_EVENTS_H

#include "icalendar/content.h"

#define BK_ICS_PRODUCT "-//bakeset//bakeset//EN"

/* The property that carries an event's mark. */
#define BK_ICS_MARK "X-BAKESET-WRITTEN"

/* What of an event matters to a person, in one form whatever form a server gave it: times in UTC
 * ("20261218T193000Z") or a date ("20261218"), text without blanks at the ends of its lines. */
typedef struct bk_ics_seen {
    const char *start;
    const char *end; /* "" where there is none; of a whole day: where it ends with the day */
    const char *summary, *description;
    bool cancelled;
    const char *repeats; /* its RRULE, "" for none, as in what is written here */
    bool alarm;
    int64_t trigger; /* alarm: seconds from the start, negative before it */
} bk_ics_seen;

/* A hash, in hexadecimal, of all of this. Servers and phones that write an event in another form
 * or add to it leave it as it is. The same that version 0.1.0 wrote. */
char *bk_ics_mark(bk_arena *arena, const bk_ics_seen *seen);

/* TRIGGER's value: "PT0S", "-PT90M". */
char *bk_ics_trigger(bk_arena *arena, int64_t seconds);

/* Text as it is compared: no carriage returns, no blanks at the ends of lines or of it all. */
char *bk_ics_plain(bk_arena *arena, const char *text);

/* An alarm that rings at a distance from the start. */
typedef struct bk_ics_alarm {
    const bk_component *component;
    int64_t trigger; /* seconds from the start */
} bk_ics_alarm;

/* Most alarms of one event that are looked at, and most bytes of all events' texts together. */
enum { BK_MOST_ALARMS = 50, BK_MOST_EVENT_BYTES = 64 * 1024 * 1024 };

/* One event of a calendar file, for a server that keeps each by itself. */
typedef struct bk_ics_event {
    const char *uid, *stamp; /* stamp: DTSTAMP as in the file */
    bk_ics_seen seen;
    int sequence;
    bool marked;    /* it has a mark */
    bool untouched; /* it has a mark, and what a person sees of it is what was written; or it has
                       none, because a server took that away */
    const bk_component *component, *calendar; /* as it was read, and what it stands in */
    bk_ics_alarm *alarms;                     /* none that is snoozed or rings by the end */
    size_t alarm_count;
    const bk_component *alarm; /* the one of them that was written here, or NULL */
    const char *text; /* a whole calendar with this event alone, with the zones of its calendar and
                         no METHOD. Several behind one another are a calendar file */
} bk_ics_event;

typedef struct bk_ics_events {
    bk_ics_event *items; /* in the file's order */
    size_t count, room;
} bk_ics_events;

/* Adds the events of a calendar to *events. False (reported) when it is none, or too much. */
bool bk_ics_split(bk_arena *arena, const bk_source *calendar, bk_ics_events *events,
                  bk_report *report);

/* A time in UTC, "20261218T193000Z", or a date, its midnight in UTC, in minutes since
 * 1970-01-01T00:00Z. INT64_MIN when the text is neither. */
int64_t bk_ics_minute(const char *text);

/* FNV-1a, 64 bits (RFC 9923), over several texts with a mark between them that no
 * text holds. */
uint64_t bk_calendar_hash(const char *const *texts, size_t count);

#endif

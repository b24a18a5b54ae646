/* What a timeline puts into a calendar, before it has the form of a file.
 * Private to this folder.
 */
#ifndef BK_WRITE_CALENDAR_EVENTS_H
#define BK_WRITE_CALENDAR_EVENTS_H

#include "icalendar/icalendar.h"
#include "write/calendar/calendar.h"

typedef struct bk_calendar_event {
    const char *uid;
    bool all_day; /* the civil date of `start`; `end` is not used */
    bk_instant start, end;
    const char *date;        /* all_day: "20261218", else NULL */
    const char *summary;     /* one line; its first words say what to do */
    const char *description; /* lines */
    bool alarm;              /* needs a person at `start` */
    bool exact;              /* and not before: something comes out, or an oven goes off */
    /* how it is written again */
    bool cancelled;
    int sequence;
    const char *stamp;       /* "20261218T193000Z" */
    const bk_ics_event *old; /* what it replaces, or NULL: what others have added is kept */
    /* while it is made */
    const char *deed, *details, *caution;
} bk_calendar_event;

typedef struct bk_calendar {
    bk_arena *arena;
    const char *prefix;       /* of all UIDs */
    bk_calendar_event *items; /* by start, cancelled ones last */
    size_t count, room;
} bk_calendar;

/* The events of a timeline, each with its UID, none cancelled, SEQUENCE 0.
 *
 * Every person needed at some minute gets one event with an alarm: what has to
 * be done there besides (the oven, a reminder) joins the hands-on stage or
 * check of that minute. Stages that go on by themselves, dishes that are ready
 * and the "start by" date are quiet. */
bk_calendar bk_calendar_of(bk_arena *arena, const bk_timeline *timeline,
                           const bk_ics_options *options);

/* When a calendar is written, as far as it is known: the plan's now, else the stamp of the
 * options. Else it is the beginning of 2026, before anybody could: a stamp in the future makes some
 * readers wait for it. */
bool bk_calendar_written_at(const bk_plan *plan, const bk_ics_options *options, bk_instant *at);

/* What every UID of an occasion begins with, up to its "-". UIDs are hashes of names: of the
 * occasion and the date of its last serve here, of the occasion, dish, stage and role behind
 * it. They hold through re-planning and edits, on any machine, and say nothing of the household.
 * A calendar that replaces one keeps what that one's UIDs begin with, whatever the date now. */
char *bk_calendar_prefix(bk_arena *arena, const bk_plan *plan);
enum { BK_CALENDAR_PREFIX = 17 }; /* its length */

/* A time in UTC, "20261218T193000Z", or a date, its midnight in UTC, as an instant. False when the
 * text is neither, or of a year that no instant names. */
bool bk_calendar_read_time(const char *text, bk_instant *instant);

/* The length of an event that marks a moment, minutes. */
enum { BK_CALENDAR_MOMENT = 5 };

/* Compares with the file written before: an event that is as it was keeps its
 * SEQUENCE and stamp, one that changed gets the next, one that is no longer
 * wanted is added as cancelled. Events of other occasions in that file are left
 * out, with a warning. False (reported) when it is no calendar. */
bool bk_calendar_replace(bk_calendar *calendar, const bk_plan *plan, const bk_ics_options *options,
                         const bk_source *before, bk_report *report);

/* True when a written calendar, read again, has these events and no others, each as it was
 * to be. */
bool bk_calendar_reads_back(const bk_calendar *calendar, const bk_ics_options *options,
                            const char *text);

/* What a person will see of an event. Its alarm rings so many minutes before it; what is exact
 * rings at its minute: nothing comes out of an oven early because its alarm did. */
bk_ics_seen bk_calendar_seen(bk_arena *arena, const bk_ics_options *options,
                             const bk_calendar_event *event);

#endif

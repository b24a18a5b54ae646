/* A timeline as an iCalendar file (RFC 5545), new or in place of one written before. */
#ifndef BK_WRITE_CALENDAR_H
#define BK_WRITE_CALENDAR_H

#include "timeline/timeline.h"

typedef struct bk_ics_options {
    int alarm_before; /* minutes before each step; 0: at its start */
    bool only_alarms; /* leave out events that need nobody */
    bool no_summary;  /* leave out the all-day "start by" event */
    bool has_stamp;
    bk_instant stamp;          /* when it is written (DTSTAMP), where the plan has no now */
    const bk_source *replaces; /* the .ics written before, or NULL */
} bk_ics_options;

/* True when a calendar file has events of the plan's occasion. */
bool bk_ics_holds(bk_arena *arena, const bk_plan *plan, const bk_source *calendar);

/* RFC 5545 calendar. False (reported) when `replaces` is not a calendar. */
bool bk_write_ics(const bk_timeline *timeline, const bk_ics_options *options, bk_text *out,
                  bk_report *report);

#endif

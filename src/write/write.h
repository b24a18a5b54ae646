/* A timeline to text, JSON, iCalendar, SVG and HTML: one file each. Knows
 * nothing of solving. Every function appends to `out` and cannot fail but for
 * memory (which jumps as the arena does).
 */
#ifndef BK_WRITE_H
#define BK_WRITE_H

#include "heat/heat.h"
#include "schedule/schedule.h"

typedef struct bk_text_style {
    int width;   /* columns to fit, 40 to 200; 0: 80 */
    bool colour; /* ANSI colours */
} bk_text_style;

/* The step timeline, read at arm's length. */
void bk_write_text(const bk_timeline *timeline, const bk_text_style *style, bk_text *out);

/* What fixes the first start of a timeline that has stages. */
void bk_write_why_start(const bk_timeline *timeline, const bk_reasons *reasons,
                        const bk_text_style *style, bk_text *out);

/* Why a stage (index in plan.stages) is where it is, and what moving it would
 * take. */
void bk_write_why_stage(const bk_timeline *timeline, size_t stage, const bk_reasons *reasons,
                        const bk_text_style *style, bk_text *out);

/* FORMAT section 8, one JSON object, two-space indented, ends with a newline. */
void bk_write_json(const bk_timeline *timeline, bk_text *out);

/* A picture: lanes by what is scarce. A complete SVG document. */
void bk_write_svg(const bk_timeline *timeline, bk_text *out);

/* A page that works from a file, on a phone and on paper; the picture inside. */
void bk_write_html(const bk_timeline *timeline, bk_text *out);

typedef struct bk_ics_options {
    int alarm_before;      /* minutes before each step; 0: at its start */
    bool only_alarms;      /* leave out events that need nobody */
    bool no_summary;       /* leave out the all-day "start by" event */
    bool has_stamp;
    bk_instant stamp;      /* DTSTAMP; without it the plan's now, else the plan's `earliest` */
    const bk_source *replaces; /* the .ics written before, or NULL */
} bk_ics_options;

/* RFC 5545 calendar. False (reported) when `replaces` is not a calendar. */
bool bk_write_ics(const bk_timeline *timeline, const bk_ics_options *options, bk_text *out,
                  bk_report *report);

/* One event of a calendar file, for a server that keeps each by itself. */
typedef struct bk_ics_event {
    const char *uid, *summary, *start; /* start as in the file: "20261218T193000Z" */
    int sequence;
    bool cancelled;
    bool untouched; /* what a person sees of it is as bk_write_ics wrote it */
    const char *text; /* a whole calendar with this event alone; no METHOD */
} bk_ics_event;

typedef struct bk_ics_events {
    bk_ics_event *items; /* in the file's order */
    size_t count, room;
} bk_ics_events;

/* Adds the events of a calendar to *events. False (reported) when it is none. */
bool bk_ics_split(bk_arena *arena, const bk_source *calendar, bk_ics_events *events,
                  bk_report *report);

/* One calendar with the events of several. */
char *bk_ics_join(bk_arena *arena, const bk_ics_events *events);

/* A question to the cooling estimate with its answer, which is without fault. */
typedef struct bk_cooled {
    const char *stage; /* "Torte/chill", or NULL: not of a plan */
    const char *food;  /* a name of the table, or NULL: a composition or material */
    bk_heat_question question;
    bk_heat_answer answer;
} bk_cooled;

/* Times, a curve, what matters most, other tins, and cautions. */
void bk_write_cooling_text(const bk_cooled *cooled, const bk_text_style *style, bk_text *out);

/* docs/cooling.md describes it; one JSON object. */
void bk_write_cooling_json(const bk_cooled *cooled, bk_text *out);

/* The curve, a complete SVG document. */
void bk_write_cooling_svg(const bk_cooled *cooled, bk_text *out);

/* The foods known by name. */
void bk_write_foods(const bk_text_style *style, bk_text *out);

#endif

/* A timeline as an iCalendar file (RFC 5545), as phones and services take it: VEVENTs in UTC, one
 * DISPLAY alarm at the end of those that need a person, no METHOD, no attendees. */
#include "write/calendar/events.h"
#include "write/words/words.h"

#include <string.h>

/* Of an event that is written again: what stands in it already, or must not stay. */
static bool is_ours(const char *name)
{
    static const char *const names[] = {
        "UID",      "DTSTAMP", "LAST-MODIFIED", "SEQUENCE",      "DTSTART",  "DTEND",
        "DURATION", "SUMMARY", "DESCRIPTION",   "STATUS",        "TRANSP",   "RRULE",
        "RDATE",    "EXDATE",  "EXRULE",        "RECURRENCE-ID", BK_ICS_MARK};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (strcmp(name, names[i]) == 0)
            return true;
    return false;
}

/* What a server or a phone has put to an event stays there. */
static void add_kept_lines(bk_text *out, const bk_ics_event *old)
{
    for (size_t i = 0; old && i < old->component->count; i++)
        if (!is_ours(old->component->lines[i].name))
            bk_content_add(out, old->component->lines[i].text);
}

static void add_kept_alarms(bk_text *out, const bk_ics_event *old)
{
    for (const bk_component *c = !old ? NULL : old->component->first; c; c = c->next)
        if (c != old->alarm)
            bk_content_add_component(out, c);
}

static void add_line(bk_text *out, const char *name, const char *value)
{
    bk_content_add(out, bk_format(out->arena, "%s:%s", name, value));
}

bk_ics_seen bk_calendar_seen(bk_arena *arena, const bk_ics_options *options,
                             const bk_calendar_event *event)
{
    enum { MINUTE = 60 };
    bool early = options->alarm_before > 0 && !event->exact;
    return (bk_ics_seen){.start =
                             event->all_day ? event->date : bk_instant_utc(arena, event->start),
                         .end = event->all_day ? "" : bk_instant_utc(arena, event->end),
                         .summary = bk_ics_plain(arena, event->summary),
                         .description = bk_ics_plain(arena, event->description),
                         .cancelled = event->cancelled,
                         .repeats = "",
                         .alarm = event->alarm && !event->cancelled,
                         .trigger = early ? -(int64_t)options->alarm_before * MINUTE : 0};
}

/* Of "20261231", "20270101". */
static const char *next_date(bk_arena *arena, const char *date)
{
    bk_instant midnight = 0;
    bk_calendar_read_time(date, &midnight);
    return bk_copy(arena, bk_instant_utc(arena, midnight + BK_DAY), strlen("20270101"));
}

static void add_alarm(bk_text *out, const bk_ics_seen *seen)
{
    bk_content_add(out, "BEGIN:VALARM");
    bk_content_add(out, "ACTION:DISPLAY");
    bk_content_add_text(out, "DESCRIPTION", seen->summary);
    /* TRIGGER counts from the event's start, the default of RELATED. */
    add_line(out, "TRIGGER", bk_ics_trigger(out->arena, seen->trigger));
    bk_content_add(out, "END:VALARM");
}

static void add_event(bk_text *out, const bk_calendar_event *event, const bk_ics_options *options)
{
    bk_arena *arena = out->arena;
    bk_ics_seen seen = bk_calendar_seen(arena, options, event);
    bk_content_add(out, "BEGIN:VEVENT");
    add_line(out, "UID", event->uid);
    add_line(out, "DTSTAMP", event->stamp);
    add_line(out, "LAST-MODIFIED", event->stamp);
    add_line(out, "SEQUENCE", bk_format(arena, "%d", event->sequence));
    add_line(out, event->all_day ? "DTSTART;VALUE=DATE" : "DTSTART", seen.start);
    /* A date alone is its day; but one big service is reported to want the end said. */
    if (event->all_day)
        add_line(out, "DTEND;VALUE=DATE", next_date(arena, seen.start));
    else
        add_line(out, "DTEND", seen.end);
    if (seen.summary[0] != '\0') /* an event of an old file may have none */
        bk_content_add_text(out, "SUMMARY", seen.summary);
    if (seen.description[0] != '\0')
        bk_content_add_text(out, "DESCRIPTION", seen.description);
    add_line(out, "STATUS", event->cancelled ? "CANCELLED" : "CONFIRMED");
    /* A plan that reads this calendar again must not find its own work in its way. */
    add_line(out, "TRANSP", "TRANSPARENT");
    bk_content_add(out, bk_format(arena, BK_ICS_MARK ":%s", bk_ics_mark(arena, &seen)));
    add_kept_lines(out, event->old);
    if (seen.alarm)
        add_alarm(out, &seen);
    if (!event->cancelled)
        add_kept_alarms(out, event->old);
    bk_content_add(out, "END:VEVENT");
}

/* The zones that kept lines may name, each once. */
static void add_zones(bk_text *out, const bk_calendar *calendar)
{
    enum { MOST_ZONES = 200 };
    const bk_component **seen = NULL, *last = NULL;
    size_t count = 0, room = 0;
    for (size_t i = 0; i < calendar->count; i++) {
        const bk_ics_event *old = calendar->items[i].old;
        if (!old || old->calendar == last)
            continue;
        last = old->calendar;
        for (const bk_component *zone = !old ? NULL
                                             : bk_component_first(old->calendar, "VTIMEZONE");
             zone && count < MOST_ZONES; zone = bk_component_next(zone, "VTIMEZONE")) {
            const char *id = bk_content_line_text(out->arena, bk_line_first(zone, "TZID"));
            bool known = false;
            for (size_t k = 0; k < count && !known; k++)
                known = strcmp(bk_content_line_text(out->arena, bk_line_first(seen[k], "TZID")),
                               id) == 0;
            if (known)
                continue;
            *BK_PUSH(out->arena, seen, count, room) = zone;
            bk_content_add_component(out, zone);
        }
    }
}

/* Readers take a property that no standard knows as it is, but for what would break its line. */
static const char *without_commas_escaped(bk_arena *arena, const char *text)
{
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "");
    for (; *text != '\0'; text++)
        bk_text_add(&out, *text == '\\' ? "\\\\" : *text == '\n' ? "\\n" : (char[]){*text, '\0'});
    return out.data;
}

bool bk_write_ics(const bk_timeline *timeline, const bk_ics_options *options, bk_text *out,
                  bk_report *report)
{
    bk_arena *arena = out->arena;
    const char *title = bk_words_clean(arena, timeline->plan->occasion);
    bk_calendar calendar = bk_calendar_of(arena, timeline, options);
    if (options->replaces &&
        !bk_calendar_replace(&calendar, timeline->plan, options, options->replaces, report))
        return false;
    bk_content_add(out, "BEGIN:VCALENDAR");
    bk_content_add(out, "VERSION:2.0");
    bk_content_add(out, "PRODID:" BK_ICS_PRODUCT);
    bk_content_add(out, "CALSCALE:GREGORIAN");
    bk_content_add_text(out, "NAME", title);
    add_line(out, "X-WR-CALNAME", without_commas_escaped(arena, title));
    add_zones(out, &calendar);
    for (size_t i = 0; i < calendar.count; i++)
        add_event(out, &calendar.items[i], options);
    bk_content_add(out, "END:VCALENDAR");
    if (bk_calendar_reads_back(&calendar, options, out->data))
        return true;
    bk_error(report, "internal", (bk_place){0}, NULL,
             "internal error: the calendar that was written is not the one that was meant");
    report->machine_failed = true;
    return false;
}

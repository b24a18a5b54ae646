/* A calendar written again: what stays, what changed, what is cancelled. */
#include "icalendar/icalendar.h"
#include "write/calendar/events.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>

/* An event as the file before has it. */
typedef struct old_event {
    const char *uid, *summary, *description, *start, *end, *stamp;
    const char *trigger, *alarm_text; /* NULL: no alarm */
    int sequence;
    bool cancelled, wanted;
    size_t alarms;
} old_event;

typedef struct old_events {
    old_event *items;
    size_t count, room;
} old_events;

static void read_old(bk_arena *arena, icalcomponent *c, old_event *old)
{
    old->uid = bk_ics_value(arena, c, ICAL_UID_PROPERTY);
    old->summary = bk_ics_value(arena, c, ICAL_SUMMARY_PROPERTY);
    old->description = bk_ics_value(arena, c, ICAL_DESCRIPTION_PROPERTY);
    old->start = bk_ics_value(arena, c, ICAL_DTSTART_PROPERTY);
    old->end = bk_ics_value(arena, c, ICAL_DTEND_PROPERTY);
    old->stamp = bk_ics_value(arena, c, ICAL_DTSTAMP_PROPERTY);
    old->sequence = icalcomponent_get_sequence(c);
    old->cancelled = icalcomponent_get_status(c) == ICAL_STATUS_CANCELLED;
    for (icalcomponent *a = icalcomponent_get_first_component(c, ICAL_VALARM_COMPONENT); a;
         a = icalcomponent_get_next_component(c, ICAL_VALARM_COMPONENT)) {
        old->trigger = bk_ics_value(arena, a, ICAL_TRIGGER_PROPERTY);
        old->alarm_text = bk_ics_value(arena, a, ICAL_DESCRIPTION_PROPERTY);
        old->alarms++;
    }
}

static int by_uid(const void *left, const void *right)
{
    const old_event *a = left, *b = right;
    return strcmp(a->uid, b->uid);
}

static old_event *find(const old_events *olds, const char *uid)
{
    old_event wanted = {.uid = uid};
    return olds->count == 0 ? NULL
                            : bsearch(&wanted, olds->items, olds->count, sizeof wanted, by_uid);
}

static bool is_same(bk_arena *arena, const old_event *old, const bk_calendar_event *event,
                    const char *trigger)
{
    const char *start = event->all_day ? event->date : bk_instant_utc(arena, event->start);
    const char *end = event->all_day ? "" : bk_instant_utc(arena, event->end);
    bool same_alarm = event->alarm ? old->alarms == 1 && strcmp(old->trigger, trigger) == 0 &&
                                         strcmp(old->alarm_text, event->summary) == 0
                                   : old->alarms == 0;
    return same_alarm && !old->cancelled && strcmp(old->summary, event->summary) == 0 &&
           strcmp(old->description, event->description) == 0 && strcmp(old->start, start) == 0 &&
           strcmp(old->end, end) == 0;
}

/* "20261218T193000Z": the form that bk_instant_utc gives. */
static bool is_stamp(const char *text)
{
    return strlen(text) == 16 && text[8] == 'T' && text[15] == 'Z';
}

/* Clients take the higher SEQUENCE, and of equal ones the later DTSTAMP: neither
 * may go back. */
static void step_up(const old_event *old, bk_calendar_event *event)
{
    event->sequence = old->sequence < INT_MAX ? old->sequence + 1 : INT_MAX;
    if (is_stamp(old->stamp) && strcmp(old->stamp, event->stamp) > 0)
        event->stamp = old->stamp;
}

static void keep(const old_event *old, bk_calendar_event *event)
{
    event->sequence = old->sequence;
    if (is_stamp(old->stamp))
        event->stamp = old->stamp;
}

/* A stamp's text as an instant; 0 when it is not one of ours. */
static bool read_utc(const char *text, bk_instant *instant)
{
    struct icaltimetype time = icaltime_from_string(text);
    bk_civil civil = {time.year, time.month, time.day, time.hour, time.minute};
    if (icaltime_is_null_time(time) || !bk_civil_valid(civil))
        return false;
    *instant = bk_civil_minutes(civil);
    return true;
}

static void add_cancelled(bk_calendar *calendar, const old_event *old, const char *stamp)
{
    bk_calendar_event event = {.uid = old->uid,
                               .summary = old->summary,
                               .description = old->description,
                               .cancelled = true,
                               .stamp = stamp};
    event.all_day = strlen(old->start) == 8;
    event.date = event.all_day ? old->start : NULL;
    if (!read_utc(old->start, &event.start))
        return; /* not as we wrote it: nothing that could be cancelled */
    if (event.all_day || !read_utc(old->end, &event.end) || event.end < event.start)
        event.end = event.start + BK_CALENDAR_MOMENT;
    if (old->cancelled)
        keep(old, &event);
    else
        step_up(old, &event);
    *BK_PUSH(calendar->arena, calendar->items, calendar->count, calendar->room) = event;
}

static void collect(bk_arena *arena, icalcomponent *calendar, const char *prefix, old_events *olds,
                    size_t *others)
{
    for (icalcomponent *c = icalcomponent_get_first_component(calendar, ICAL_VEVENT_COMPONENT); c;
         c = icalcomponent_get_next_component(calendar, ICAL_VEVENT_COMPONENT)) {
        const char *uid = icalcomponent_get_uid(c);
        if (!uid || strncmp(uid, prefix, strlen(prefix)) != 0)
            ++*others;
        else
            read_old(arena, c, BK_PUSH(arena, olds->items, olds->count, olds->room));
    }
}

/* Of events with one UID only the one with the highest SEQUENCE counts. */
static void sort_and_unite(old_events *olds)
{
    if (olds->count > 1)
        qsort(olds->items, olds->count, sizeof *olds->items, by_uid);
    size_t kept = 0;
    for (size_t i = 0; i < olds->count; i++) {
        old_event *last = kept > 0 ? &olds->items[kept - 1] : NULL;
        if (!last || strcmp(last->uid, olds->items[i].uid) != 0)
            olds->items[kept++] = olds->items[i];
        else if (olds->items[i].sequence > last->sequence)
            *last = olds->items[i];
    }
    olds->count = kept;
}

static bool read_olds(bk_arena *arena, const bk_source *before, const char *prefix,
                      old_events *olds, bk_report *report)
{
    bk_place whole = {before, 0};
    if (!bk_calendar_check(arena, before, report))
        return false;
    icalcomponent *root = icalparser_parse_string(before->text);
    if (!root) {
        bk_error(report, "calendar", whole, NULL, "this calendar cannot be read");
        return false;
    }
    size_t others = 0;
    collect(arena, root, prefix, olds, &others);
    for (icalcomponent *c = icalcomponent_get_first_component(root, ICAL_VCALENDAR_COMPONENT); c;
         c = icalcomponent_get_next_component(root, ICAL_VCALENDAR_COMPONENT))
        collect(arena, c, prefix, olds, &others);
    icalcomponent_free(root);
    sort_and_unite(olds);
    if (others > 0)
        bk_warning(report, "other-occasion", whole, "give the calendar of this occasion",
                   "this calendar has %zu %s that this occasion did not write: left alone", others,
                   others == 1 ? "event" : "events");
    return true;
}

static int by_start(const void *left, const void *right)
{
    const bk_calendar_event *a = left, *b = right;
    if (a->start != b->start)
        return a->start < b->start ? -1 : 1;
    return strcmp(a->uid, b->uid);
}

bool bk_ics_holds(bk_arena *arena, const bk_plan *plan, const bk_source *calendar)
{
    /* A UID's line is not so long that it would be folded within the prefix. */
    const char *line = bk_format(arena, "\nUID:%s", bk_calendar_prefix(arena, plan));
    return strstr(calendar->text, line);
}

bool bk_calendar_replace(bk_calendar *calendar, const bk_plan *plan, const bk_ics_options *options,
                         const bk_source *before, bk_report *report)
{
    bk_arena *arena = calendar->arena;
    old_events olds = {0};
    if (!read_olds(arena, before, bk_calendar_prefix(arena, plan), &olds, report))
        return false;
    const char *stamp =
        calendar->count > 0 ? calendar->items[0].stamp : bk_instant_utc(arena, plan->earliest);
    for (size_t i = 0; i < calendar->count; i++) {
        bk_calendar_event *event = &calendar->items[i];
        old_event *old = find(&olds, event->uid);
        if (!old)
            continue;
        old->wanted = true;
        if (is_same(arena, old, event, bk_calendar_trigger(arena, options, event)))
            keep(old, event);
        else
            step_up(old, event);
    }
    size_t wanted = calendar->count;
    for (size_t i = 0; i < olds.count; i++)
        if (!olds.items[i].wanted)
            add_cancelled(calendar, &olds.items[i], stamp);
    size_t cancelled = calendar->count - wanted;
    if (cancelled > 1)
        qsort(calendar->items + wanted, cancelled, sizeof *calendar->items, by_start);
    return true;
}

bool bk_calendar_reads_back(const bk_calendar *calendar, const bk_plan *plan,
                            const bk_ics_options *options, const char *text)
{
    bk_arena *arena = calendar->arena;
    bk_source written = {"the calendar", text, strlen(text)};
    bk_report unseen = bk_report_new(arena);
    old_events there = {0};
    if (!read_olds(arena, &written, bk_calendar_prefix(arena, plan), &there, &unseen) ||
        unseen.count > 0 || there.count != calendar->count)
        return false;
    for (size_t i = 0; i < calendar->count; i++) {
        const bk_calendar_event *event = &calendar->items[i];
        const old_event *found = find(&there, event->uid);
        if (!found || found->sequence != event->sequence ||
            strcmp(found->stamp, event->stamp) != 0 || found->cancelled != event->cancelled ||
            !(event->cancelled ||
              is_same(arena, found, event, bk_calendar_trigger(arena, options, event))))
            return false;
    }
    return true;
}

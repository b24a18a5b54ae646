/* A calendar written again: what stays, what changed, what is cancelled. */
#include "icalendar/icalendar.h"
#include "write/calendar/events.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>

/* An event as the file before has it. */
typedef struct old_event {
    bk_ics_event event;
    bool wanted;
} old_event;

typedef struct old_events {
    old_event *items;
    size_t count, room;
} old_events;

static int by_uid(const void *left, const void *right)
{
    const old_event *a = left, *b = right;
    return strcmp(a->event.uid, b->event.uid);
}

static old_event *find(const old_events *olds, const char *uid)
{
    old_event wanted = {.event = {.uid = uid}};
    return olds->count == 0 ? NULL
                            : bsearch(&wanted, olds->items, olds->count, sizeof wanted, by_uid);
}

/* The alarm that is wanted is there, whatever others a phone has put beside it; or none of ours
 * is, where none is wanted. */
static bool same_alarm(const bk_ics_event *old, const bk_ics_seen *wanted)
{
    if (!wanted->alarm)
        return !old->alarm;
    for (size_t i = 0; i < old->alarm_count; i++)
        if (old->alarms[i].trigger == wanted->trigger)
            return true;
    return false;
}

static bool is_same(bk_arena *arena, const bk_ics_event *old, const bk_calendar_event *event,
                    const bk_ics_options *options)
{
    bk_ics_seen wanted = bk_calendar_seen(arena, options, event);
    const bk_ics_seen *seen = &old->seen;
    return same_alarm(old, &wanted) && !seen->cancelled &&
           strcmp(seen->summary, wanted.summary) == 0 &&
           strcmp(seen->description, wanted.description) == 0 &&
           strcmp(seen->start, wanted.start) == 0 && strcmp(seen->end, wanted.end) == 0 &&
           seen->repeats[0] == '\0';
}

/* "20261218T193000Z": the form that bk_instant_utc gives. */
static bool is_stamp(const char *text)
{
    return strlen(text) == 16 && text[8] == 'T' && text[15] == 'Z';
}

/* Clients take the higher SEQUENCE, and of equal ones the later DTSTAMP: neither
 * may go back, but for a stamp that is later than now. */
static void step_up(const bk_ics_event *old, bk_calendar_event *event, bool now_known)
{
    event->sequence = old->sequence < INT_MAX ? old->sequence + 1 : INT_MAX;
    if (!now_known && is_stamp(old->stamp) && strcmp(old->stamp, event->stamp) > 0)
        event->stamp = old->stamp;
}

static void keep(const bk_ics_event *old, bk_calendar_event *event)
{
    event->sequence = old->sequence;
    if (is_stamp(old->stamp))
        event->stamp = old->stamp;
}

bool bk_calendar_read_time(const char *text, bk_instant *instant)
{
    int64_t minute = bk_ics_minute(text);
    *instant = minute;
    return minute >= bk_civil_minutes((bk_civil){BK_FIRST_YEAR, 1, 1, 0, 0}) &&
           minute < bk_civil_minutes((bk_civil){BK_LAST_YEAR + 1, 1, 1, 0, 0});
}

static void add_cancelled(bk_calendar *calendar, const bk_ics_event *old, const char *stamp,
                          bool now_known)
{
    const bk_ics_seen *seen = &old->seen;
    bk_calendar_event event = {.uid = old->uid,
                               .summary = seen->summary,
                               .description = seen->description,
                               .cancelled = true,
                               .stamp = stamp,
                               .old = old};
    event.all_day = strlen(seen->start) == 8;
    event.date = event.all_day ? seen->start : NULL;
    if (!bk_calendar_read_time(seen->start, &event.start))
        return; /* not as we wrote it: nothing that could be cancelled */
    if (event.all_day || !bk_calendar_read_time(seen->end, &event.end) || event.end < event.start)
        event.end = event.start + BK_CALENDAR_MOMENT;
    if (seen->cancelled)
        keep(old, &event);
    else
        step_up(old, &event, now_known);
    *BK_PUSH(calendar->arena, calendar->items, calendar->count, calendar->room) = event;
}

/* Of events with one UID only the one with the highest SEQUENCE counts. */
static void sort_and_unite(old_events *olds)
{
    if (olds->count > 1)
        qsort(olds->items, olds->count, sizeof *olds->items, by_uid);
    size_t kept = 0;
    for (size_t i = 0; i < olds->count; i++) {
        old_event *last = kept > 0 ? &olds->items[kept - 1] : NULL;
        if (!last || strcmp(last->event.uid, olds->items[i].event.uid) != 0)
            olds->items[kept++] = olds->items[i];
        else if (olds->items[i].event.sequence > last->event.sequence)
            *last = olds->items[i];
    }
    olds->count = kept;
}

/* Those of a calendar that begin with `prefix`. How many do not to *others. */
static void take_olds(bk_arena *arena, const bk_ics_events *all, const char *prefix,
                      old_events *olds, size_t *others)
{
    *others = 0;
    for (size_t i = 0; i < all->count; i++)
        if (strncmp(all->items[i].uid, prefix, strlen(prefix)) != 0)
            ++*others;
        else
            BK_PUSH(arena, olds->items, olds->count, olds->room)->event = all->items[i];
    sort_and_unite(olds);
}

/* What a UID says behind its "-": which step of which occasion, whatever its date. NULL when it
 * is no UID of ours. */
static const char *step_of(const char *uid)
{
    return strspn(uid, "0123456789abcdef") == BK_CALENDAR_PREFIX - 1 &&
                   uid[BK_CALENDAR_PREFIX - 1] == '-'
               ? uid + BK_CALENDAR_PREFIX
               : NULL;
}

static int by_step(const void *left, const void *right)
{
    const char *const *a = left, *const *b = right;
    return strcmp(*a, *b);
}

/* What the UIDs of the calendar before begin with, where it is of this occasion: this one's own;
 * or, when the occasion had another date, or was written by version 0.1.0, which did not look at
 * the date, that of the latest steps that both have. */
static const char *prefix_of(bk_calendar *calendar, const bk_ics_events *all)
{
    bk_arena *arena = calendar->arena;
    const char **steps = BK_NEW(arena, const char *, calendar->count), *latest = NULL;
    const bk_ics_event *found = NULL;
    for (size_t i = 0; i < calendar->count; i++)
        steps[i] = step_of(calendar->items[i].uid);
    if (calendar->count > 1)
        qsort(steps, calendar->count, sizeof *steps, by_step);
    for (size_t i = 0; i < all->count; i++) {
        const bk_ics_event *event = &all->items[i];
        const char *step = step_of(event->uid);
        if (strncmp(event->uid, calendar->prefix, BK_CALENDAR_PREFIX) == 0)
            return calendar->prefix;
        if (!step || calendar->count == 0 ||
            !bsearch(&step, steps, calendar->count, sizeof *steps, by_step))
            continue;
        if (!found || strcmp(event->seen.start, latest) > 0) {
            found = event;
            latest = event->seen.start;
        }
    }
    return !found ? calendar->prefix : bk_copy(arena, found->uid, BK_CALENDAR_PREFIX);
}

static void take_over_prefix(bk_calendar *calendar, const char *prefix)
{
    if (strcmp(prefix, calendar->prefix) == 0)
        return;
    calendar->prefix = prefix;
    for (size_t i = 0; i < calendar->count; i++)
        calendar->items[i].uid =
            bk_format(calendar->arena, "%s%s", prefix, calendar->items[i].uid + BK_CALENDAR_PREFIX);
}

/* The last step that both have, when it moves by more than a day: perhaps it is another occasion
 * of that name. */
static void warn_of_move(const bk_calendar *calendar, const old_events *olds, const bk_plan *plan,
                         const bk_source *before, bk_report *report)
{
    const bk_calendar_event *last = NULL;
    bk_instant from = 0, there;
    for (size_t i = 0; i < calendar->count; i++) {
        const bk_calendar_event *event = &calendar->items[i];
        const old_event *old = find(olds, event->uid);
        if (event->all_day || !old || !bk_calendar_read_time(old->event.seen.start, &there) ||
            (last && event->start < last->start))
            continue;
        last = event;
        from = there;
    }
    if (!last || (last->start - from <= BK_DAY && from - last->start <= BK_DAY))
        return;
    bk_warning(report, "moved-occasion", (bk_place){before, 0},
               "if that was another occasion of the same name, give this one a file of its own",
               "this calendar has \"%s\" on %s: its events move to %s", plan->occasion,
               bk_date_long(calendar->arena, plan->zone, from),
               bk_date_long(calendar->arena, plan->zone, last->start));
}

static int by_start(const void *left, const void *right)
{
    const bk_calendar_event *a = left, *b = right;
    if (a->start != b->start)
        return a->start < b->start ? -1 : 1;
    return strcmp(a->uid, b->uid);
}

bool bk_calendar_replace(bk_calendar *calendar, const bk_plan *plan, const bk_ics_options *options,
                         const bk_source *before, bk_report *report)
{
    bk_arena *arena = calendar->arena;
    old_events olds = {0};
    bk_ics_events all = {0};
    size_t others;
    if (!bk_ics_split(arena, before, &all, report))
        return false;
    take_over_prefix(calendar, prefix_of(calendar, &all));
    take_olds(arena, &all, calendar->prefix, &olds, &others);
    if (others > 0)
        bk_warning(report, "other-occasion", (bk_place){before, 0},
                   "give the calendar of this occasion",
                   "this calendar has %zu %s that this occasion did not write: left alone", others,
                   others == 1 ? "event" : "events");
    warn_of_move(calendar, &olds, plan, before, report);
    bk_instant now;
    bool now_known = bk_calendar_written_at(plan, options, &now);
    const char *stamp = bk_instant_utc(arena, now);
    for (size_t i = 0; i < calendar->count; i++) {
        bk_calendar_event *event = &calendar->items[i];
        old_event *old = find(&olds, event->uid);
        if (!old)
            continue;
        old->wanted = true;
        event->old = &old->event;
        if (is_same(arena, &old->event, event, options))
            keep(&old->event, event);
        else
            step_up(&old->event, event, now_known);
    }
    size_t wanted = calendar->count;
    for (size_t i = 0; i < olds.count; i++)
        if (!olds.items[i].wanted)
            add_cancelled(calendar, &olds.items[i].event, stamp, now_known);
    size_t cancelled = calendar->count - wanted;
    if (cancelled > 1)
        qsort(calendar->items + wanted, cancelled, sizeof *calendar->items, by_start);
    return true;
}

bool bk_calendar_reads_back(const bk_calendar *calendar, const bk_ics_options *options,
                            const char *text)
{
    bk_arena *arena = calendar->arena;
    bk_source written = {"the calendar", text, strlen(text)};
    bk_report unseen = bk_report_new(arena);
    old_events there = {0};
    bk_ics_events all = {0};
    size_t others;
    if (!bk_ics_split(arena, &written, &all, &unseen))
        return false;
    take_olds(arena, &all, calendar->prefix, &there, &others);
    if (others > 0 || there.count != calendar->count)
        return false;
    for (size_t i = 0; i < calendar->count; i++) {
        const bk_calendar_event *event = &calendar->items[i];
        const old_event *found = find(&there, event->uid);
        if (!found || found->event.sequence != event->sequence ||
            strcmp(found->event.stamp, event->stamp) != 0 ||
            found->event.seen.cancelled != event->cancelled || !found->event.marked ||
            !found->event.untouched ||
            !(event->cancelled || is_same(arena, &found->event, event, options)))
            return false;
    }
    return true;
}

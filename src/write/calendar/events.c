/* Which events a timeline puts into a calendar, and which of them ring. */
#include "write/calendar/events.h"

#include "icalendar/icalendar.h"
#include "write/words/words.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

/* What an event is, beside dish and stage, in its UID: part of the contract with
 * calendars written before. Never change one. */
#define ROLE_STAGE "stage"
#define ROLE_BEGIN "begin"
#define ROLE_OUT "out"
#define ROLE_OVEN_ON "oven-on"
#define ROLE_OVEN_OFF "oven-off"
#define ROLE_CHECK "check"
#define ROLE_READY "ready"
#define ROLE_SERVE "serve"
#define ROLE_SUMMARY "summary"

typedef struct builder {
    bk_arena *arena;
    const bk_timeline *timeline;
    const bk_plan *plan;
    const bk_ics_options *options;
    const char *prefix;
    bk_calendar *calendar;
    /* the minute that is being gathered */
    bk_text moments;        /* what is to be done besides hands-on work, "; " between */
    const char *moment_uid; /* of the first of it */
    bk_text details;
    size_t first_host; /* index of the minute's first event with hands, or SIZE_MAX */
} builder;

/* ---------------------------------------------------------------- identity */

char *bk_calendar_prefix(bk_arena *arena, const bk_plan *plan)
{
    return bk_format(arena, "%016" PRIx64 "-", bk_calendar_hash(&plan->occasion, 1));
}

static char *uid_of(const builder *b, const char *role, const char *dish, const char *stage,
                    size_t index)
{
    const char *texts[] = {b->plan->occasion, role, dish, stage, bk_format(b->arena, "%zu", index)};
    return bk_format(b->arena, "%s%016" PRIx64 "@bakeset", b->prefix, bk_calendar_hash(texts, 5));
}

static char *stage_uid(const builder *b, const char *role, size_t stage, size_t index)
{
    const bk_stage *s = &b->plan->stages[stage];
    return uid_of(b, role, b->plan->dishes[s->dish].name, s->id, index);
}

/* ------------------------------------------------------------------- words */

static const char *dish_name(const builder *b, size_t stage)
{
    return bk_words_clean(b->arena, b->plan->dishes[b->plan->stages[stage].dish].name);
}

/* "Whisk the eggs (Torte)" */
static char *with_dish(const builder *b, const char *text, size_t stage)
{
    return bk_format(b->arena, "%s (%s)", bk_words_clean(b->arena, text), dish_name(b, stage));
}

static void add_line(bk_text *text, const char *line)
{
    if (line[0] == '\0')
        return;
    if (text->length > 0)
        bk_text_add(text, "\n");
    bk_text_add(text, line);
}

static char *stage_details(const builder *b, const bk_placed *placed)
{
    const bk_stage *stage = &b->plan->stages[placed->stage];
    bk_text text = bk_text_new(b->arena);
    bk_text_add(&text, "");
    if (stage->caution != NULL)
        add_line(&text,
                 bk_format(b->arena, "Caution: %s", bk_words_clean(b->arena, stage->caution)));
    add_line(&text, bk_words_course(b->arena, b->timeline, placed));
    if (stage->note != NULL)
        add_line(&text, bk_words_clean(b->arena, stage->note));
    return text.data;
}

/* ----------------------------------------------------------- one minute */

static bk_calendar_event *add_event(builder *b, const char *uid, bk_instant start, bk_instant end)
{
    bk_calendar *c = b->calendar;
    bk_calendar_event *event = BK_PUSH(c->arena, c->items, c->count, c->room);
    event->uid = uid;
    event->start = start;
    event->end = end > start ? end : start + BK_CALENDAR_MOMENT;
    event->summary = event->description = "";
    return event;
}

static void add_moment(builder *b, const char *uid, const char *text, const char *details)
{
    if (b->moments.length > 0)
        bk_text_add(&b->moments, "; ");
    else
        b->moment_uid = uid;
    bk_text_add(&b->moments, text);
    add_line(&b->details, details);
}

static void add_hands(builder *b, const char *uid, bk_instant start, bk_instant end,
                      const char *text, const char *details)
{
    bk_calendar_event *event = add_event(b, uid, start, end);
    event->alarm = true;
    event->summary = text;
    event->description = details;
    if (b->first_host == SIZE_MAX)
        b->first_host = b->calendar->count - 1;
}

static void add_quiet(builder *b, const char *uid, bk_instant start, bk_instant end,
                      const char *text, const char *details)
{
    if (b->options->only_alarms)
        return;
    bk_calendar_event *event = add_event(b, uid, start, end);
    event->summary = text;
    event->description = details;
}

static void begin_minute(builder *b)
{
    b->moments = bk_text_new(b->arena);
    b->details = bk_text_new(b->arena);
    b->moment_uid = NULL;
    b->first_host = SIZE_MAX;
}

/* One pair of hands does what falls in one minute: the moments come first in the
 * first event with hands, or are an event by themselves. */
static void end_minute(builder *b, bk_instant at)
{
    if (b->moments.length == 0)
        return;
    if (b->first_host == SIZE_MAX) {
        bk_calendar_event *event = add_event(b, b->moment_uid, at, at);
        event->alarm = true;
        event->summary = b->moments.data;
        event->description = b->details.length > 0 ? b->details.data : "";
        return;
    }
    bk_calendar_event *host = &b->calendar->items[b->first_host];
    host->summary = bk_format(b->arena, "%s; %s", b->moments.data, host->summary);
    add_line(&b->details, host->description);
    host->description = b->details.length > 0 ? b->details.data : "";
}

/* ---------------------------------------------------------------- stages */

static bool nobody_there(const builder *b, bk_instant at)
{
    const bk_kitchen *kitchen = &b->plan->kitchen;
    for (size_t i = 0; i < kitchen->window_count; i++) {
        const bk_window *w = &kitchen->windows[i];
        if (w->kind != BK_BUSY && w->from <= at && at < w->to)
            return true;
    }
    return false;
}

/* True when the hands-on work before a stage leads straight into it: the cook is
 * there and needs no alarm. */
static bool led_into(const builder *b, const bk_placed *placed)
{
    const bk_stage *stage = &b->plan->stages[placed->stage];
    for (size_t i = 0; i < stage->link_count; i++) {
        size_t before = stage->links[i].stage;
        const bk_placed *other = bk_timeline_placed(b->timeline, before);
        if (other != NULL && b->plan->stages[before].attention == BK_HANDS &&
            other->start <= placed->start && placed->start <= other->end)
            return true;
    }
    return false;
}

static void add_start(builder *b, const bk_row *row)
{
    const bk_placed *placed = &b->timeline->stages[row->placed];
    const bk_stage *stage = &b->plan->stages[placed->stage];
    char *text = with_dish(b, stage->text, placed->stage);
    char *details = stage_details(b, placed);
    char *uid = stage_uid(b, ROLE_STAGE, placed->stage, 0);
    if (stage->attention == BK_HANDS) {
        add_hands(b, uid, placed->start, placed->end, text, details);
        return;
    }
    add_quiet(b, uid, placed->start, placed->end, text, details);
    if (!led_into(b, placed) && !nobody_there(b, placed->start))
        add_moment(b, stage_uid(b, ROLE_BEGIN, placed->stage, 0), text, details);
}

static void add_check(builder *b, const bk_row *row)
{
    const bk_placed *placed = &b->timeline->stages[row->placed];
    const bk_stage *stage = &b->plan->stages[placed->stage];
    const bk_placed_check *check = &placed->checks[row->check];
    size_t index = (size_t)(check->check - stage->checks);
    char *uid = stage_uid(b, ROLE_CHECK, placed->stage, index);
    char *text = with_dish(b, check->check->text, placed->stage);
    char *details = bk_format(b->arena, "During: %s", bk_words_clean(b->arena, stage->text));
    if (check->end > check->start)
        add_hands(b, uid, check->start, check->end, text, details);
    else
        add_moment(b, uid, text, details);
}

static void add_out(builder *b, const bk_row *row)
{
    const bk_placed *placed = &b->timeline->stages[row->placed];
    char *text = bk_format(b->arena, "Take out of the oven: %s", dish_name(b, placed->stage));
    add_moment(b, stage_uid(b, ROLE_OUT, placed->stage, 0), text,
               bk_format(b->arena, "Out: %s",
                         bk_words_clean(b->arena, b->plan->stages[placed->stage].text)));
}

/* ----------------------------------------------------------------- ovens */

/* The stage that a run of an oven is for: the first that starts in it. An oven's
 * event is known by it, so that it stays the same when its hour moves. */
static const bk_placed *first_in_run(const builder *b, const bk_oven_run *run)
{
    const bk_placed *first = NULL;
    for (size_t i = 0; i < b->timeline->stage_count; i++) {
        const bk_placed *placed = &b->timeline->stages[i];
        const bk_stage *stage = &b->plan->stages[placed->stage];
        if (stage->in_oven && stage->oven.equipment == run->equipment &&
            placed->oven_number == run->number && placed->start >= run->ready &&
            placed->start < run->off && (first == NULL || placed->start < first->start))
            first = placed;
    }
    return first;
}

static void add_oven(builder *b, const bk_row *row, bool on)
{
    const bk_oven_run *run = &b->timeline->ovens[row->run];
    const bk_placed *first = first_in_run(b, run);
    const char *role = on ? ROLE_OVEN_ON : ROLE_OVEN_OFF;
    const char *oven = bk_words_oven(b->arena, b->plan, run->equipment, run->number);
    const char *heat = bk_words_heat(b->arena, b->plan, run->equipment, run->temperature_c);
    char *uid =
        first != NULL ? stage_uid(b, role, first->stage, 0) : uid_of(b, role, oven, "", row->run);
    const char *what = !on              ? bk_format(b->arena, "Turn off the %s", oven)
                       : run->from_cold ? bk_format(b->arena, "Turn on the %s to %s", oven, heat)
                                        : bk_format(b->arena, "Turn the %s to %s", oven, heat);
    const char *details =
        on && first != NULL
            ? bk_format(b->arena, "For: %s, in at %s", dish_name(b, first->stage),
                        bk_clock_seen_from(b->arena, b->plan->zone, run->on, first->start))
            : "";
    add_moment(b, uid, what, details);
}

/* ---------------------------------------------------------------- dishes */

static bool waits_in_the_cold(const builder *b, const bk_dish *dish)
{
    for (size_t i = 0; i < dish->stored_count; i++)
        if (b->plan->kitchen.equipment[dish->stored[i].equipment].kind == BK_COLD)
            return true;
    return false;
}

static void add_serve(builder *b, const bk_row *row)
{
    const bk_dish *dish = &b->plan->dishes[row->dish];
    if (waits_in_the_cold(b, dish))
        add_moment(
            b, uid_of(b, ROLE_SERVE, dish->name, "", 0),
            bk_format(b->arena, "Take out and serve: %s", bk_words_clean(b->arena, dish->name)),
            "");
}

static void add_ready(builder *b, size_t index)
{
    const bk_dish *dish = &b->plan->dishes[index];
    bk_instant ready = bk_rows_dish_ready(b->timeline, index);
    add_quiet(b, uid_of(b, ROLE_READY, dish->name, "", 0), ready, ready,
              bk_format(b->arena, "Ready: %s", bk_words_clean(b->arena, dish->name)),
              bk_format(b->arena, "Serve at %s",
                        bk_clock_seen_from(b->arena, b->plan->zone, ready, dish->serve)));
}

/* The civil date of the first thing to do, all day. */
static void add_summary(builder *b, bk_instant first)
{
    if (b->options->no_summary || b->options->only_alarms)
        return;
    const bk_zone *zone = b->plan->zone;
    bk_civil date = bk_civil_at(zone, first);
    bk_calendar_event *event = add_event(b, uid_of(b, ROLE_SUMMARY, "", "", 0), first, first);
    event->all_day = true;
    event->date = bk_format(b->arena, "%04d%02d%02d", date.year, date.month, date.day);
    event->summary = bk_format(b->arena, "Start by %s: %s", bk_clock(b->arena, zone, first),
                               bk_words_clean(b->arena, b->plan->occasion));
    event->description =
        bk_format(b->arena, "Serve at %s", bk_moment(b->arena, zone, b->plan->last_serve));
}

static int by_start(const void *left, const void *right)
{
    const bk_calendar_event *a = left, *b = right;
    if (a->cancelled != b->cancelled)
        return a->cancelled ? 1 : -1;
    if (a->start != b->start)
        return a->start < b->start ? -1 : 1;
    if (a->all_day != b->all_day)
        return a->all_day ? -1 : 1;
    if (a->alarm != b->alarm)
        return a->alarm ? -1 : 1;
    return strcmp(a->uid, b->uid);
}

static void add_row(builder *b, const bk_row *row)
{
    switch (row->kind) {
    case BK_ROW_OUT:
        add_out(b, row);
        break;
    case BK_ROW_OVEN_OFF:
        add_oven(b, row, false);
        break;
    case BK_ROW_OVEN_ON:
        add_oven(b, row, true);
        break;
    case BK_ROW_CHECK:
        add_check(b, row);
        break;
    case BK_ROW_START:
        add_start(b, row);
        break;
    case BK_ROW_SERVE:
        add_serve(b, row);
        break;
    case BK_ROW_CLOCK:
    case BK_ROW_WINDOW:
        break;
    }
}

bk_calendar bk_calendar_of(bk_arena *arena, const bk_timeline *timeline,
                           const bk_ics_options *options)
{
    bk_calendar calendar = {.arena = arena};
    const bk_plan *plan = timeline->plan;
    builder b = {.arena = arena,
                 .timeline = timeline,
                 .plan = plan,
                 .options = options,
                 .prefix = bk_calendar_prefix(arena, plan),
                 .calendar = &calendar};
    bk_rows rows = bk_rows_of(arena, timeline);
    for (size_t i = 0; i < rows.count;) {
        bk_instant at = rows.items[i].at;
        begin_minute(&b);
        for (; i < rows.count && rows.items[i].at == at; i++)
            add_row(&b, &rows.items[i]);
        end_minute(&b, at);
    }
    if (timeline->stage_count > 0) {
        for (size_t i = 0; i < plan->dish_count; i++)
            add_ready(&b, i);
        bk_instant first = timeline->start;
        for (size_t i = 0; i < timeline->oven_count; i++)
            if (timeline->ovens[i].on < first)
                first = timeline->ovens[i].on;
        add_summary(&b, first);
    }
    bk_instant now = options->has_stamp ? options->stamp
                     : plan->has_now    ? plan->now
                                        : plan->earliest;
    for (size_t i = 0; i < calendar.count; i++)
        calendar.items[i].stamp = bk_instant_utc(arena, now);
    if (calendar.count > 1)
        qsort(calendar.items, calendar.count, sizeof *calendar.items, by_start);
    return calendar;
}

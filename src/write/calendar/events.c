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

/* One thing to do: on a phone's first line, and in full. */
typedef struct deed {
    const char *brief, *text, *details, *caution; /* caution: or NULL */
} deed;

typedef struct builder {
    bk_arena *arena;
    const bk_timeline *timeline;
    const bk_plan *plan;
    const bk_ics_options *options;
    const char *prefix;
    bk_calendar *calendar;
    /* the minute that is being gathered */
    deed *moments; /* what is to be done besides hands-on work */
    size_t moment_count, moment_room;
    const char *moment_uid; /* of the first of it */
    bool exact;             /* something of it suffers when it is done early */
    size_t first_host;      /* index of the minute's first event with hands, or SIZE_MAX */
} builder;

/* ---------------------------------------------------------------- identity */

char *bk_calendar_prefix(bk_arena *arena, const bk_plan *plan)
{
    bk_civil date = bk_civil_at(plan->zone, plan->last_serve);
    const char *texts[] = {plan->occasion,
                           bk_format(arena, "%04d-%02d-%02d", date.year, date.month, date.day)};
    return bk_format(arena, "%016" PRIx64 "-", bk_calendar_hash(texts, 2));
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

/* A phone shows about this much of a summary. */
enum { BRIEF_COLUMNS = 40, BRIEF_DISH = 14 };

/* The words of a text that fit into so many columns, with an ellipsis where some are
 * left out; one long word is cut. */
static char *shortened(bk_arena *arena, const char *text, size_t columns)
{
    if (bk_columns(text) <= columns)
        return bk_copy_string(arena, text);
    size_t fits = 0, word = 0;
    for (size_t at = 0; text[at] != '\0';) {
        size_t size = bk_utf8_next(text + at, strlen(text + at), NULL);
        at += size > 0 ? size : 1;
        if (bk_columns(bk_copy(arena, text, at)) + 1 > columns)
            break;
        fits = at;
        if (text[at] == ' ')
            word = at;
    }
    size_t length = word > 0 ? word : fits;
    while (length > 0 && strchr(" ,;:(", text[length - 1]))
        length--;
    return bk_format(arena, "%.*s\u2026", (int)length, text);
}

/* "Whisk the eggs until pale\u2026 (Torte)": the deed first. */
static char *brief_with_dish(const builder *b, const char *text, size_t stage)
{
    const char *dish = shortened(b->arena, dish_name(b, stage), BRIEF_DISH);
    size_t taken = bk_columns(dish) + 3;
    return bk_format(b->arena, "%s (%s)",
                     shortened(b->arena, bk_words_clean(b->arena, text), BRIEF_COLUMNS - taken),
                     dish);
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
    add_line(&text, bk_words_course(b->arena, b->timeline, placed));
    add_line(&text, bk_words_then_cold(b->arena, b->timeline, placed));
    if (stage->note)
        add_line(&text, bk_words_clean(b->arena, stage->note));
    return text.data;
}

/* Cautions first; then each deed in full, with what is to be known of it. What the
 * summary says whole is not said again. */
static char *describe(const builder *b, const deed *deeds, size_t count)
{
    bk_text text = bk_text_new(b->arena);
    bk_text_add(&text, "");
    for (size_t i = 0; i < count; i++)
        if (deeds[i].caution)
            add_line(&text, bk_format(b->arena, "Caution: %s",
                                      bk_words_clean(b->arena, deeds[i].caution)));
    for (size_t i = 0; i < count; i++) {
        if (count > 1 || strcmp(deeds[i].brief, deeds[i].text) != 0)
            add_line(&text, deeds[i].text);
        add_line(&text, deeds[i].details);
    }
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

static void add_moment(builder *b, const char *uid, deed done)
{
    if (b->moment_count == 0)
        b->moment_uid = uid;
    *BK_PUSH(b->arena, b->moments, b->moment_count, b->moment_room) = done;
}

static void add_hands(builder *b, const char *uid, bk_instant start, bk_instant end, deed done)
{
    bk_calendar_event *event = add_event(b, uid, start, end);
    event->alarm = true;
    event->summary = done.brief;
    event->description = describe(b, &done, 1);
    event->deed = done.text;
    event->details = done.details;
    event->caution = done.caution;
    if (b->first_host == SIZE_MAX)
        b->first_host = b->calendar->count - 1;
}

static void add_quiet(builder *b, const char *uid, bk_instant start, bk_instant end, deed done)
{
    if (b->options->only_alarms)
        return;
    bk_calendar_event *event = add_event(b, uid, start, end);
    event->summary = done.brief;
    event->description = describe(b, &done, 1);
}

static void begin_minute(builder *b)
{
    b->moments = NULL;
    b->moment_count = b->moment_room = 0;
    b->moment_uid = NULL;
    b->exact = false;
    b->first_host = SIZE_MAX;
}

/* What fits of the deeds into a phone's first line, and how many more there are. */
static char *brief_of(const builder *b, const deed *deeds, size_t count)
{
    bk_text text = bk_text_new(b->arena);
    bk_text_add(&text, deeds[0].brief);
    for (size_t i = 1; i < count; i++) {
        size_t columns = bk_columns(text.data) + 2 + bk_columns(deeds[i].brief);
        if (columns + (i + 1 < count ? 3 : 0) > BRIEF_COLUMNS) {
            bk_text_addf(&text, " +%zu", count - i);
            break;
        }
        bk_text_addf(&text, "; %s", deeds[i].brief);
    }
    return text.data;
}

/* One pair of hands does what falls in one minute: the moments come first in the
 * first event with hands, or are an event by themselves. */
static void end_minute(builder *b, bk_instant at)
{
    if (b->moment_count == 0)
        return;
    bk_calendar_event *event;
    if (b->first_host == SIZE_MAX) {
        event = add_event(b, b->moment_uid, at, at);
        event->alarm = true;
    } else {
        event = &b->calendar->items[b->first_host];
        *BK_PUSH(b->arena, b->moments, b->moment_count, b->moment_room) =
            (deed){event->summary, event->deed, event->details, event->caution};
    }
    event->exact = b->exact;
    event->summary = brief_of(b, b->moments, b->moment_count);
    event->description = describe(b, b->moments, b->moment_count);
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

/* True when hands-on work of the same dish ends as a stage begins: the cook is there and
 * needs no alarm. */
static bool led_into(const builder *b, const bk_placed *placed)
{
    const bk_dish *dish = &b->plan->dishes[b->plan->stages[placed->stage].dish];
    for (size_t i = 0; i < dish->stage_count; i++) {
        size_t n = dish->first_stage + i;
        const bk_placed *other = bk_timeline_placed(b->timeline, n);
        if (other && b->plan->stages[n].attention == BK_HANDS && other->end == placed->start &&
            other->start < other->end)
            return true;
    }
    return false;
}

static void add_start(builder *b, const bk_row *row)
{
    const bk_placed *placed = &b->timeline->stages[row->placed];
    const bk_stage *stage = &b->plan->stages[placed->stage];
    deed done = {brief_with_dish(b, stage->text, placed->stage),
                 with_dish(b, stage->text, placed->stage), stage_details(b, placed),
                 stage->caution};
    char *uid = stage_uid(b, ROLE_STAGE, placed->stage, 0);
    if (stage->attention == BK_HANDS) {
        add_hands(b, uid, placed->start, placed->end, done);
        return;
    }
    add_quiet(b, uid, placed->start, placed->end, done);
    if (!led_into(b, placed) && !nobody_there(b, placed->start))
        add_moment(b, stage_uid(b, ROLE_BEGIN, placed->stage, 0), done);
}

static void add_check(builder *b, const bk_row *row)
{
    const bk_placed *placed = &b->timeline->stages[row->placed];
    const bk_stage *stage = &b->plan->stages[placed->stage];
    const bk_placed_check *check = &placed->checks[row->check];
    size_t index = (size_t)(check->check - stage->checks);
    char *uid = stage_uid(b, ROLE_CHECK, placed->stage, index);
    deed done = {brief_with_dish(b, check->check->text, placed->stage),
                 with_dish(b, check->check->text, placed->stage),
                 bk_format(b->arena, "During: %s", bk_words_clean(b->arena, stage->text)), NULL};
    if (check->end > check->start)
        add_hands(b, uid, check->start, check->end, done);
    else
        add_moment(b, uid, done);
}

static void add_out(builder *b, const bk_row *row)
{
    const bk_placed *placed = &b->timeline->stages[row->placed];
    deed done = {bk_format(b->arena, "Take out: %s",
                           shortened(b->arena, dish_name(b, placed->stage), BRIEF_COLUMNS - 10)),
                 bk_format(b->arena, "Take out of the oven: %s", dish_name(b, placed->stage)),
                 bk_format(b->arena, "Out: %s",
                           bk_words_clean(b->arena, b->plan->stages[placed->stage].text)),
                 NULL};
    b->exact = true;
    add_moment(b, stage_uid(b, ROLE_OUT, placed->stage, 0), done);
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
        if (bk_is_heated(stage) && stage->oven.equipment == run->equipment &&
            placed->oven_number == run->number && placed->start >= run->ready &&
            placed->start < run->off && (!first || placed->start < first->start))
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
    char *uid = first ? stage_uid(b, role, first->stage, 0) : uid_of(b, role, oven, "", row->run);
    const char *what = !on              ? bk_format(b->arena, "Turn off the %s", oven)
                       : run->from_cold ? bk_format(b->arena, "Turn on the %s to %s", oven, heat)
                                        : bk_format(b->arena, "Turn the %s %s to %s", oven,
                                                    bk_words_turn(b->timeline, row->run), heat);
    const char *brief = shortened(b->arena, what, BRIEF_COLUMNS);
    b->exact = b->exact || !on || !run->from_cold;
    const char *details =
        on && first ? bk_format(b->arena, "For: %s, in at %s", dish_name(b, first->stage),
                                bk_clock_seen_from(b->arena, b->plan->zone, run->on, first->start))
                    : "";
    add_moment(b, uid, (deed){brief, what, details, NULL});
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
    if (!waits_in_the_cold(b, dish))
        return;
    const char *name = bk_words_clean(b->arena, dish->name);
    add_moment(b, uid_of(b, ROLE_SERVE, dish->name, "", 0),
               (deed){bk_format(b->arena, "Take out and serve: %s",
                                shortened(b->arena, name, BRIEF_COLUMNS - 20)),
                      bk_format(b->arena, "Take out and serve: %s", name), "", NULL});
}

static void add_ready(builder *b, size_t index)
{
    const bk_dish *dish = &b->plan->dishes[index];
    bk_instant ready = bk_rows_dish_ready(b->timeline, index);
    const char *name = bk_words_clean(b->arena, dish->name);
    deed done = {bk_format(b->arena, "Ready: %s", shortened(b->arena, name, BRIEF_COLUMNS - 7)),
                 bk_format(b->arena, "Ready: %s", name),
                 bk_format(b->arena, dish->part ? "Last used at %s" : "Serve at %s",
                           bk_clock_seen_from(b->arena, b->plan->zone, ready,
                                              bk_timeline_until(b->timeline, index))),
                 NULL};
    add_quiet(b, uid_of(b, ROLE_READY, dish->name, "", 0), ready, ready, done);
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

bool bk_ics_holds(bk_arena *arena, const bk_plan *plan, const bk_source *calendar)
{
    /* Its entry for the day has the same UID behind its "-" whatever the date; without that entry
     * the date tells. A UID's line is not so long that it would be folded. */
    const builder b = {.arena = arena, .plan = plan, .prefix = bk_calendar_prefix(arena, plan)};
    const char *entry = uid_of(&b, ROLE_SUMMARY, "", "", 0);
    return strstr(calendar->text, bk_format(arena, "\nUID:%s", b.prefix)) ||
           strstr(calendar->text, entry + BK_CALENDAR_PREFIX);
}

bool bk_calendar_written_at(const bk_plan *plan, const bk_ics_options *options, bk_instant *at)
{
    *at = plan->has_now        ? plan->now
          : options->has_stamp ? options->stamp
                               : bk_civil_minutes((bk_civil){2026, 1, 1, 0, 0});
    return plan->has_now || options->has_stamp;
}

bk_calendar bk_calendar_of(bk_arena *arena, const bk_timeline *timeline,
                           const bk_ics_options *options)
{
    const bk_plan *plan = timeline->plan;
    bk_calendar calendar = {.arena = arena, .prefix = bk_calendar_prefix(arena, plan)};
    builder b = {.arena = arena,
                 .timeline = timeline,
                 .plan = plan,
                 .options = options,
                 .prefix = calendar.prefix,
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
        add_summary(&b, bk_rows_first(timeline));
    }
    bk_instant now;
    bk_calendar_written_at(plan, options, &now);
    for (size_t i = 0; i < calendar.count; i++)
        calendar.items[i].stamp = bk_instant_utc(arena, now);
    if (calendar.count > 1)
        qsort(calendar.items, calendar.count, sizeof *calendar.items, by_start);
    return calendar;
}

/* The kitchen's hours: every time in the plan's span at which somebody is asleep,
 * away or busy. */
#include "icalendar/icalendar.h"
#include "plan/reader.h"

#include <string.h>

/* Windows reach this far beyond the span, so that one which begins or ends just
 * outside is still shown whole. */
enum { DAYS_BEFORE = 2, DAYS_AFTER = 1 };

const char *bk_window_key(enum bk_window_kind kind)
{
    static const char *const keys[] = {
        [BK_ASLEEP] = "asleep", [BK_AWAY] = "away", [BK_BUSY] = "busy"};
    return keys[kind];
}

/* Where an occurrence came from; the tags of the spans are indices of these. */
typedef struct origin {
    enum bk_window_kind kind;
    const char *label;
    bk_place place;
} origin;

typedef struct taken {
    bk_reader *reader;
    bk_instant from, to; /* the span; empty when it is not known */
    bk_spans spans;
    origin *origins;
    size_t origin_count, origin_room;
} taken;

static bool room_for(taken *hours, int64_t more, bk_place place)
{
    if ((int64_t)hours->spans.count + more <= BK_MOST_WINDOWS)
        return true;
    bk_problem(hours->reader, "limit", place, "leave out what does not touch the cooking",
               "more than %d times at which somebody is asleep, away or busy", BK_MOST_WINDOWS);
    return false;
}

static int new_origin(taken *hours, enum bk_window_kind kind, const char *label, bk_place place)
{
    *BK_PUSH(hours->reader->arena, hours->origins, hours->origin_count, hours->origin_room) =
        (origin){kind, label, place};
    return (int)(hours->origin_count - 1);
}

static void add_once(taken *hours, bk_instant from, bk_instant to, enum bk_window_kind kind,
                     const char *label, bk_place place)
{
    if (from < to && from < hours->to && to > hours->from && room_for(hours, 1, place))
        bk_spans_add(&hours->spans, from, to, new_origin(hours, kind, label, place));
}

/* --------------------------------------------------------------- the forms */

/* The nights that have hours of their own. */
typedef struct nights {
    int64_t *items;
    size_t count, room;
} nights;

static bool is_own_night(const nights *own, const bk_hours *hours, int64_t day)
{
    for (size_t i = 0; i < own->count; i++)
        if (bk_begins_in_night(hours, day, own->items[i]))
            return true;
    return false;
}

typedef struct some_days {
    const bk_hours *of;
    const nights *own; /* or NULL */
} some_days;

static bool occurs(const void *context, int64_t day)
{
    const some_days *days = context;
    return bk_hours_occur(days->of, day) && !(days->own && is_own_night(days->own, days->of, day));
}

/* Every occurrence of these hours; where nights have their own, not in those. */
static void add_hours(taken *hours, enum bk_window_kind kind, const bk_hours *of, const nights *own)
{
    const bk_zone *zone = hours->reader->plan->zone;
    if (hours->from >= hours->to)
        return;
    /* a few days more than the span touches */
    int64_t most = bk_day_of(zone, hours->to) - bk_day_of(zone, hours->from) + 4;
    if (!room_for(hours, of->has_date ? 1 : most, of->place))
        return;
    some_days days = {of, own};
    bk_daily daily = {.from = of->from, .to = of->to, .occurs = occurs, .context = &days};
    bk_spans_add_daily(&hours->spans, zone, &daily, hours->from, hours->to,
                       new_origin(hours, kind, NULL, of->place));
}

/* One entry of "asleep"; of a date, the night from its noon on is meant. */
static bool read_asleep(taken *hours, bk_json *json, bk_hours *night)
{
    static const char *const mend = "write \"22:30-07:00\"";
    *night = (bk_hours){.days = 0x7F, .place = bk_json_place(json)};
    if (json->type == BK_JSON_OBJECT) {
        if (!bk_read_hours(hours->reader, json, night))
            return false;
        if (night->has_date && !bk_begins_in_night(night, night->date, night->date))
            night->date++; /* 01:00 of that night is the next morning */
        return true;
    }
    if (json->type != BK_JSON_STRING) {
        bk_wrong_type(hours->reader, json, "\"asleep\"", "a daily window", mend);
        return false;
    }
    if (!bk_daily_read(json->string, &night->from, &night->to)) {
        bk_problem(hours->reader, "window", bk_json_place(json), mend,
                   "this is not a daily window: %s", bk_quoted(hours->reader->arena, json->string));
        return false;
    }
    return true;
}

/* Nights with a date stand instead of the others. */
static void read_nights(taken *hours, bk_json *json)
{
    bk_arena *arena = hours->reader->arena;
    bool list = json->type == BK_JSON_LIST;
    bk_hours *entries = BK_NEW(arena, bk_hours, list ? json->count : 1);
    size_t count = 0;
    nights own = {0};
    for (bk_json *item = list ? json->first : json; item; item = list ? item->next : NULL) {
        bk_hours *entry = &entries[count];
        if (!read_asleep(hours, item, entry))
            continue;
        count++;
        if (entry->has_date) {
            *BK_PUSH(arena, own.items, own.count, own.room) =
                bk_begins_in_night(entry, entry->date, entry->date) ? entry->date : entry->date - 1;
        }
    }
    for (size_t i = 0; i < count; i++)
        add_hours(hours, BK_ASLEEP, &entries[i], entries[i].has_date ? NULL : &own);
}

static void read_from_to(taken *hours, bk_json *json, enum bk_window_kind kind)
{
    static const char *const whose = "a time away or busy";
    bk_reader *reader = hours->reader;
    bk_instant from = 0, to = 0;
    bk_check_keys(reader, json, whose, bk_period_keys);
    bool good = bk_get_instant(reader, json, "from", &from);
    good = bk_get_instant(reader, json, "to", &to) && good;
    for (const bk_key *key = bk_period_keys; key->name; key++)
        if (!bk_json_get(json, key->name))
            bk_missing(reader, json, whose, key->name, "write it as \"2026-12-24 09:00\"");
    if (good && from >= to) {
        bk_problem(reader, "empty-range", bk_json_place(bk_json_get(json, "to")),
                   "write a \"to\" after \"from\"",
                   "this time is empty: \"to\" is not after \"from\"");
    } else if (good) {
        add_once(hours, from, to, kind, NULL, bk_json_place(json));
    }
}

static void read_calendar(taken *hours, bk_json *json, enum bk_window_kind kind)
{
    bk_reader *reader = hours->reader;
    size_t length = strlen(json->string);
    if (length < 4 || strcmp(json->string + length - 4, ".ics") != 0) {
        bk_problem(reader, "window", bk_json_place(json),
                   "write {\"from\": …, \"to\": …} or a path that ends in .ics",
                   "this is not a calendar file: %s", bk_quoted(reader->arena, json->string));
        return;
    }
    const bk_source *source = bk_load_beside(reader, json, "the calendar");
    if (!source || hours->from >= hours->to)
        return;
    bk_busy_events events = {0};
    if (!bk_busy_read(reader->arena, source, reader->plan->zone, hours->from, hours->to, &events,
                      reader->report))
        return;
    for (size_t i = 0; i < events.count; i++) {
        const bk_busy_event *event = &events.items[i];
        const char *label = event->summary[0] != '\0' ? event->summary : NULL;
        if (!room_for(hours, 1, bk_json_place(json)))
            break;
        add_once(hours, event->from, event->to, kind, label, event->place);
    }
}

static void read_taken(taken *hours, bk_json *json, enum bk_window_kind kind)
{
    bk_hours some;
    if (json->type == BK_JSON_OBJECT && bk_is_hours(json)) {
        if (bk_read_hours(hours->reader, json, &some))
            add_hours(hours, kind, &some, NULL);
    } else if (json->type == BK_JSON_OBJECT) {
        read_from_to(hours, json, kind);
    } else if (json->type == BK_JSON_STRING) {
        read_calendar(hours, json, kind);
    } else {
        bk_wrong_type(hours->reader, json, "a time away or busy", "an object or a path",
                      "write {\"from\": …, \"to\": …} or the path of an .ics file");
    }
}

/* One key of the kitchen: a value or a list of them. */
static void read_key(taken *hours, bk_json *kitchen, const char *key, enum bk_window_kind kind)
{
    bk_json *json = bk_json_get(kitchen, key);
    if (!json)
        return;
    if (kind == BK_ASLEEP) {
        read_nights(hours, json);
        return;
    }
    bool list = json->type == BK_JSON_LIST;
    for (bk_json *item = list ? json->first : json; item; item = list ? item->next : NULL)
        read_taken(hours, item, kind);
}

/* ------------------------------------------------------------------- whole */

/* The hours of the kitchen, or of one cook. */
static void read_all(bk_reader *reader, bk_json *json, bk_window **windows, size_t *count)
{
    bk_plan *plan = reader->plan;
    taken hours = {.reader = reader, .spans = bk_spans_new(reader->arena)};
    if (reader->has_span) {
        hours.from = plan->earliest - DAYS_BEFORE * BK_DAY;
        hours.to = plan->last_serve + DAYS_AFTER * BK_DAY;
    }
    /* In order of kind, so that sorting by tag sorts equal spans by kind. Cut before they are
     * sorted: what began before the span begins with it. */
    static const enum bk_window_kind kinds[] = {BK_ASLEEP, BK_AWAY, BK_BUSY};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        read_key(&hours, json, bk_window_key(kinds[i]), kinds[i]);
    for (size_t i = 0; i < hours.spans.count; i++) {
        bk_span *span = &hours.spans.items[i];
        span->from = span->from < hours.from ? hours.from : span->from;
        span->to = span->to > hours.to ? hours.to : span->to;
    }
    bk_spans_sort(&hours.spans);
    *windows = BK_NEW(reader->arena, bk_window, hours.spans.count);
    for (size_t i = 0; i < hours.spans.count; i++) {
        const bk_span *span = &hours.spans.items[i];
        const origin *from = &hours.origins[span->tag];
        (*windows)[(*count)++] = (bk_window){.kind = from->kind,
                                             .from = span->from,
                                             .to = span->to,
                                             .label = from->label,
                                             .place = from->place};
    }
}

void bk_read_windows(bk_reader *reader, bk_json *kitchen_json)
{
    bk_kitchen *kitchen = &reader->plan->kitchen;
    read_all(reader, kitchen_json, &kitchen->windows, &kitchen->window_count);
    if (kitchen->people_count == 0)
        return;
    size_t i = 0;
    for (bk_json *item = bk_json_get(kitchen_json, "cooks")->first; item; item = item->next, i++) {
        bk_cook *cook = &kitchen->people[i];
        if (item->type == BK_JSON_OBJECT)
            read_all(reader, item, &cook->windows, &cook->window_count);
    }
    bk_kitchen_gather(reader->arena, kitchen);
}

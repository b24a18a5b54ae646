/* Reads the busy hours of a calendar file: which occurrences there are, and when, in which
 * zone. */
#include "icalendar/busy.h"
#include "icalendar/values.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { MINUTE = 60, DAY = 86400, MOST_EVENTS = 50000, LONGEST_SUMMARY = 200 };

/* One reading of a clock, with what it takes to put it on another. */
typedef struct moment {
    bool is_date;
    const bk_zone *zone; /* whose clock; NULL: UTC */
    bk_seconds wall;     /* a date: its midnight */
} moment;

typedef struct event {
    const bk_component *component;
    const char *uid, *summary;
    bool cancelled, free, faulty;
    bool superseded; /* by a later version of it */
    int64_t sequence;
    const char *stamp; /* DTSTAMP, "" when it has none */
    bool has_replaced;
    moment replaced; /* RECURRENCE-ID */
    moment start;
    bk_date_time start_fields;
    bk_stretch lasts;
} event;

/* Identity of an occurrence: by its instant, or by its date. */
typedef struct occurrence_key {
    const char *uid;
    bool by_date;
    bk_seconds value; /* UTC, or midnight on the wall */
} occurrence_key;

typedef struct key_list {
    occurrence_key *items;
    size_t count, room;
} key_list;

typedef struct reader {
    bk_arena *arena;
    const bk_source *source;
    bk_report *report;
    const bk_zone *plan_zone;
    bk_instant from, to;
    bk_busy_events *out;
    bk_file_zones zones;
    int64_t steps_left;
    key_list replaced; /* occurrences that another event stands for */
    size_t busy;       /* occurrences inside the span so far */
} reader;

/* ------------------------------------------------------------- messages */

static bool fault(const reader *r, const event *e, size_t offset, const char *mend,
                  const char *what)
{
    const char *name = e->summary[0] != '\0' ? e->summary : e->uid;
    bk_error(r->report, "calendar", (bk_place){r->source, offset}, mend, "event \"%s\": %s",
             name[0] != '\0' ? name : "without a name", what);
    return false;
}

static char *one_line(bk_arena *arena, const char *text)
{
    bk_text line = bk_text_new(arena);
    bk_text_add(&line, "");
    size_t left = !text ? 0 : strlen(text);
    while (left > 0 && line.length < LONGEST_SUMMARY) {
        size_t length = bk_utf8_next(text, left, NULL);
        bool control = (unsigned char)*text < ' ' || *text == 0x7f;
        if (length == 0)
            break;
        bk_text_add_bytes(&line, control ? " " : text, length);
        text += length;
        left -= length;
    }
    return line.data;
}

/* ------------------------------------------------------ times of events */

static const bk_zone *zone_of(reader *r, const event *e, const bk_line *line, bk_date_time fields,
                              bool *good)
{
    *good = true;
    if (fields.is_utc)
        return NULL;
    const char *id = bk_line_parameter(r->arena, line, "TZID");
    if (!id || fields.is_date)
        return r->plan_zone;
    const bk_zone *zone = bk_file_zone(&r->zones, id);
    if (!zone && bk_zone_listed(r->arena, id)) {
        r->report->machine_failed = true;
        *good =
            fault(r, e, line->offset, NULL,
                  bk_format(r->arena, "this machine's data of the zone \"%s\" cannot be read", id));
    } else if (!zone)
        *good =
            fault(r, e, line->offset, "use an IANA name such as Europe/London, or give a VTIMEZONE",
                  bk_format(r->arena, "unknown time zone \"%s\"", id));
    return zone;
}

/* The time that a property's digits say, on its clock. */
static bool place(reader *r, const event *e, const bk_line *line, bk_date_time fields, moment *out)
{
    bool good;
    out->is_date = fields.is_date;
    out->zone = zone_of(r, e, line, fields, &good);
    if (good && !bk_clock_seconds(fields, &out->wall))
        good = fault(r, e, line->offset, NULL, "no such date or time");
    return good;
}

static bool unreadable(const reader *r, const event *e, const bk_line *line)
{
    const char *what = strcmp(line->name, "RRULE") == 0 ? "repeat rule (RRULE)" : line->name;
    return fault(r, e, line->offset, NULL, bk_format(r->arena, "its %s cannot be read", what));
}

/* A property that is one date or time. */
static bool read_moment(reader *r, const event *e, const bk_line *line, moment *out)
{
    bk_date_time fields;
    return bk_date_time_read(line->value, &fields) ? place(r, e, line, fields, out)
                                                   : unreadable(r, e, line);
}

static bk_seconds utc_of(const moment *m)
{
    return !m->zone ? m->wall : bk_zone_seconds(m->zone, m->wall, NULL);
}

static bool is_skipped(const moment *m)
{
    bool skipped = false;
    if (m->zone && !m->is_date)
        bk_zone_seconds(m->zone, m->wall, &skipped);
    return skipped;
}

static bk_seconds midnight_of(bk_seconds wall)
{
    return wall - ((wall % DAY) + DAY) % DAY;
}

static bool is_backwards(const bk_stretch *lasts)
{
    return lasts->days < 0 || lasts->seconds < 0;
}

static bk_seconds end_of(const moment *start, const bk_stretch *lasts)
{
    moment last_day = *start;
    last_day.wall += lasts->days * DAY;
    return utc_of(&last_day) + lasts->seconds;
}

/* From start to end. From 02:30 to 03:30 on the night when 02:00 to 03:00 is left out, both
 * readings are one instant: what was meant is an hour. */
static bk_seconds length_of(const moment *start, const moment *stop)
{
    bool on_wall = start->is_date && stop->is_date;
    if (!on_wall && start->zone == stop->zone && is_skipped(start) && !is_skipped(stop))
        on_wall = utc_of(stop) - utc_of(start) < stop->wall - start->wall &&
                  utc_of(stop) <= utc_of(start);
    return on_wall ? stop->wall - start->wall : utc_of(stop) - utc_of(start);
}

static bool read_length(reader *r, event *e)
{
    const bk_line *end = bk_line_first(e->component, "DTEND");
    const bk_line *duration = bk_line_first(e->component, "DURATION");
    if (end) {
        moment stop;
        if (!read_moment(r, e, end, &stop))
            return false;
        bk_seconds length = length_of(&e->start, &stop);
        if (length < 0)
            return fault(r, e, end->offset, NULL, "it ends before it starts");
        if (e->start.is_date && stop.is_date)
            e->lasts.days = length / DAY;
        else
            e->lasts.seconds = length;
    } else if (duration) {
        if (!bk_stretch_read(duration->value, &e->lasts))
            return unreadable(r, e, duration);
        if (is_backwards(&e->lasts))
            return fault(r, e, duration->offset, NULL, "its duration is negative");
    }
    /* A date alone is that day (section 3.6.1); one that ends as it starts, as
     * some programs write it, too. */
    if (e->start.is_date && e->lasts.days == 0 && e->lasts.seconds == 0)
        e->lasts.days = 1;
    return true;
}

static bool read_replaced(reader *r, event *e)
{
    const bk_line *id = bk_line_first(e->component, "RECURRENCE-ID");
    if (!id)
        return true;
    if (bk_line_parameter(r->arena, id, "RANGE"))
        return fault(r, e, id->offset, "export the calendar with each occurrence by itself",
                     "a change of all later occurrences (RANGE) is not supported");
    e->has_replaced = true;
    return read_moment(r, e, id, &e->replaced);
}

/* A property whose value is a word. */
static bool says(const bk_component *component, const char *name, const char *word)
{
    const bk_line *line = bk_line_first(component, name);
    return line && strcasecmp(line->value, word) == 0;
}

static bool read_event(reader *r, const bk_component *calendar, const bk_component *component,
                       event *e)
{
    bk_arena *arena = r->arena;
    const bk_line *sequence = bk_line_first(component, "SEQUENCE");
    e->component = component;
    e->uid = bk_content_line_text(arena, bk_line_first(component, "UID"));
    e->summary = one_line(arena, bk_content_line_text(arena, bk_line_first(component, "SUMMARY")));
    e->stamp = bk_content_line_text(arena, bk_line_first(component, "DTSTAMP"));
    e->sequence = !sequence ? 0 : strtoll(sequence->value, NULL, 10);
    /* What a METHOD:CANCEL lists is called off (RFC 5546 section 3.2.5). */
    e->cancelled = says(component, "STATUS", "CANCELLED") || says(calendar, "METHOD", "CANCEL");
    e->free = says(component, "TRANSP", "TRANSPARENT");
    if (!read_replaced(r, e))
        return false;
    const bk_line *start = bk_line_first(component, "DTSTART");
    if (!start)
        return e->cancelled || fault(r, e, component->offset, NULL, "it has no DTSTART");
    if (!bk_date_time_read(start->value, &e->start_fields))
        return unreadable(r, e, start);
    return place(r, e, start, e->start_fields, &e->start) && read_length(r, e);
}

/* ------------------------------------------------- which version of an event counts */

static bool same_occurrence(const event *a, const event *b)
{
    return a->has_replaced == b->has_replaced &&
           (!a->has_replaced || utc_of(&a->replaced) == utc_of(&b->replaced));
}

/* Which version is later: the higher SEQUENCE, of equal ones the later DTSTAMP (RFC 5546 section
 * 2.1.5). */
static int compare_ages(const event *a, const event *b)
{
    if (a->sequence != b->sequence)
        return a->sequence < b->sequence ? -1 : 1;
    return strcmp(a->stamp, b->stamp);
}

static int by_uid(const void *left, const void *right)
{
    const event *a = *(const event *const *)left, *b = *(const event *const *)right;
    int order = strcmp(a->uid, b->uid);
    if (order == 0)
        order = (int)a->has_replaced - (int)b->has_replaced;
    if (order == 0 && a->has_replaced) {
        bk_seconds at = utc_of(&a->replaced), other = utc_of(&b->replaced);
        order = (at > other) - (at < other);
    }
    if (order == 0)
        order = compare_ages(a, b);
    if (order == 0)
        order = (int)a->cancelled - (int)b->cancelled;
    return order != 0 ? order : (a > b) - (a < b);
}

/* Does the last version of an occurrence take the place of another? Where both are the same age
 * both stay, for some files give one UID to different events; but for one that calls this off. */
static bool supersedes(const event *last, const event *e)
{
    if (compare_ages(e, last) < 0)
        return true;
    return last->cancelled && !e->cancelled &&
           (!bk_line_first(last->component, "DTSTART") ||
            utc_of(&last->start) == utc_of(&e->start));
}

/* Takes earlier versions out, and changed occurrences of a series that was called off since. */
static void settle_versions(reader *r, event *events, size_t count)
{
    event **order = BK_NEW(r->arena, event *, count);
    for (size_t i = 0; i < count; i++)
        order[i] = &events[i];
    if (count > 1)
        qsort(order, count, sizeof *order, by_uid);
    const event *series = NULL; /* the last version of it */
    for (size_t i = 0, end; i < count; i = end) {
        const event *first = order[i];
        bool named = first->uid[0] != '\0';
        for (end = i + 1; end < count && strcmp(order[end]->uid, first->uid) == 0 &&
                          same_occurrence(first, order[end]);)
            end++;
        const event *last = order[end - 1];
        bool of_series = series && named && first->has_replaced &&
                         strcmp(series->uid, first->uid) == 0 && series->cancelled;
        for (size_t k = i; k < end && named; k++)
            order[k]->superseded =
                supersedes(last, order[k]) || (of_series && series->sequence >= order[k]->sequence);
        if (!first->has_replaced)
            series = last;
    }
}

/* ---------------------------------------------------------- occurrences */

static int by_key(const void *left, const void *right)
{
    const occurrence_key *a = left, *b = right;
    int order = strcmp(a->uid, b->uid);
    if (order == 0)
        order = (int)a->by_date - (int)b->by_date;
    return order != 0 ? order : (a->value > b->value) - (a->value < b->value);
}

static void sort_keys(key_list *keys)
{
    if (keys->count > 1)
        qsort(keys->items, keys->count, sizeof *keys->items, by_key);
}

static bool has_key(const key_list *keys, const char *uid, bool by_date, bk_seconds value)
{
    occurrence_key wanted = {uid, by_date, value};
    return keys->count > 0 && bsearch(&wanted, keys->items, keys->count, sizeof wanted, by_key);
}

static void add_key(bk_arena *arena, key_list *keys, const char *uid, const moment *m, bool all_day)
{
    occurrence_key key = {uid, m->is_date || all_day, 0};
    key.value = key.by_date ? midnight_of(m->wall) : utc_of(m);
    *BK_PUSH(arena, keys->items, keys->count, keys->room) = key;
}

/* An occurrence is known by its instant (an all-day one: its midnight) or by its
 * date: files name all-day ones by a date-time, and timed ones by a date, too. */
static bool is_named(const key_list *keys, const char *uid, const moment *start)
{
    return has_key(keys, uid, true, midnight_of(start->wall)) ||
           has_key(keys, uid, false, utc_of(start));
}

static bk_instant minute_down(bk_seconds seconds)
{
    return seconds / MINUTE - (seconds % MINUTE < 0);
}

static bk_instant minute_up(bk_seconds seconds)
{
    return -minute_down(-seconds);
}

static bool add_busy(reader *r, const event *e, bk_seconds start, bk_seconds end)
{
    bk_instant from = minute_down(start), to = minute_up(end);
    if (from < r->from)
        from = r->from;
    if (to > r->to)
        to = r->to;
    if (start >= end || from >= to)
        return true;
    if (r->busy++ == BK_MOST_BUSY)
        return fault(r, e, e->component->offset, "shorten its repetition, or mark it free",
                     bk_format(r->arena,
                               "this calendar has more than %d busy times in the plan's span",
                               BK_MOST_BUSY));
    bk_busy_event *busy = BK_PUSH(r->arena, r->out->items, r->out->count, r->out->room);
    *busy = (bk_busy_event){from, to, e->summary, {r->source, e->component->offset}};
    return true;
}

static bool add_occurrence(reader *r, const event *e, const key_list *excluded, const moment *start,
                           const bk_stretch *lasts)
{
    if (is_named(excluded, "", start) || is_named(&r->replaced, e->uid, start))
        return true;
    return add_busy(r, e, utc_of(start), end_of(start, lasts));
}

static bool expand_rule(reader *r, const event *e, const bk_line *line, bk_wall_list *found)
{
    static const char never[] = "its repeat rule is malformed or can never come true";
    /* The clock may be a day from UTC; nothing later can touch the span. */
    bk_seconds last = r->to * MINUTE + 2 * DAY;
    bk_wall_list all = {0};
    bk_rule rule;
    if (!bk_rule_read(r->arena, line->value, &rule))
        return unreadable(r, e, line);
    switch (bk_rule_expand(r->arena, &rule, e->start_fields, last, &r->steps_left, &all)) {
    case BK_RULE_MALFORMED:
        return fault(r, e, line->offset, NULL, never);
    case BK_RULE_TOO_MANY:
        return fault(r, e, line->offset, "shorten its repetition, or leave the event out",
                     "it repeats too often to be followed");
    case BK_RULE_FINE:
        break;
    }
    bk_seconds until = INT64_MAX;
    if (rule.has_until) {
        moment end = {.is_date = rule.until.is_date, .zone = e->start.zone};
        if (!bk_clock_seconds(rule.until, &end.wall))
            return fault(r, e, line->offset, NULL, never);
        if (end.is_date)
            end.wall += DAY - 1;
        if (rule.until.is_utc && !e->start.is_date)
            end.zone = NULL;
        until = utc_of(&end);
    }
    for (size_t i = 0; i < all.count; i++) {
        moment start = e->start;
        start.wall = all.items[i];
        if (utc_of(&start) <= until)
            *BK_PUSH(r->arena, found->items, found->count, found->room) = start.wall;
    }
    return true;
}

static bool read_excluded(reader *r, const event *e, key_list *excluded)
{
    const bk_component *c = e->component;
    for (const bk_line *p = bk_line_first(c, "EXDATE"); p; p = bk_line_next(c, p)) {
        const char *at = p->value;
        bk_period date;
        moment m;
        do {
            if (!bk_period_next(&at, &date) || date.is_period)
                return unreadable(r, e, p);
            if (!place(r, e, p, date.start, &m))
                return false;
            add_key(r->arena, excluded, "", &m, e->start.is_date);
        } while (*at != '\0');
    }
    for (const bk_line *p = bk_line_first(c, "EXRULE"); p; p = bk_line_next(c, p)) {
        bk_wall_list found = {0};
        if (!expand_rule(r, e, p, &found))
            return false;
        for (size_t i = 0; i < found.count; i++) {
            moment m = e->start;
            m.wall = found.items[i];
            add_key(r->arena, excluded, "", &m, e->start.is_date);
        }
    }
    sort_keys(excluded);
    return true;
}

/* One date or period of an RDATE. */
static bool add_rdate(reader *r, const event *e, const bk_line *line, const bk_period *date,
                      const key_list *excluded)
{
    bk_stretch lasts = date->is_period ? date->lasts : e->lasts;
    moment start, end;
    if (!place(r, e, line, date->start, &start))
        return false;
    if (date->has_end) {
        if (!place(r, e, line, date->end, &end))
            return false;
        lasts = (bk_stretch){0, utc_of(&end) - utc_of(&start)};
    }
    if (is_backwards(&lasts))
        return fault(r, e, line->offset, NULL, "a period of its RDATE ends before it starts");
    return add_occurrence(r, e, excluded, &start, &lasts);
}

static bool add_rdates(reader *r, const event *e, const key_list *excluded)
{
    const bk_component *c = e->component;
    for (const bk_line *p = bk_line_first(c, "RDATE"); p; p = bk_line_next(c, p)) {
        const char *at = p->value;
        bk_period date;
        do {
            if (!bk_period_next(&at, &date))
                return unreadable(r, e, p);
            if (!add_rdate(r, e, p, &date, excluded))
                return false;
        } while (*at != '\0');
    }
    return true;
}

static bool add_event(reader *r, const event *e)
{
    key_list excluded = {0};
    if (e->cancelled || e->free || e->faulty || e->superseded)
        return true;
    if (e->has_replaced) /* one occurrence, as it is now */
        return add_busy(r, e, utc_of(&e->start), end_of(&e->start, &e->lasts));
    if (!read_excluded(r, e, &excluded) || !add_occurrence(r, e, &excluded, &e->start, &e->lasts))
        return false;
    const bk_component *c = e->component;
    for (const bk_line *p = bk_line_first(c, "RRULE"); p; p = bk_line_next(c, p)) {
        bk_wall_list found = {0};
        if (!expand_rule(r, e, p, &found))
            return false;
        for (size_t i = 0; i < found.count; i++) {
            moment start = e->start;
            start.wall = found.items[i];
            /* DTSTART itself, the first occurrence, has been added. */
            if (start.wall != e->start.wall && !add_occurrence(r, e, &excluded, &start, &e->lasts))
                return false;
        }
    }
    return add_rdates(r, e, &excluded);
}

/* Periods of a VFREEBUSY component (section 3.6.4), always in UTC. */
static bool add_free_busy(reader *r, const bk_component *component)
{
    event e = {.component = component, .uid = "", .summary = ""};
    for (const bk_line *p = bk_line_first(component, "FREEBUSY"); p;
         p = bk_line_next(component, p)) {
        const char *type = bk_line_parameter(r->arena, p, "FBTYPE"), *at = p->value;
        bk_period period;
        if (type && strcasecmp(type, "FREE") == 0)
            continue;
        do {
            bk_seconds start, end;
            if (!bk_period_next(&at, &period) || !period.is_period)
                return unreadable(r, &e, p);
            if (!bk_clock_seconds(period.start, &start))
                return fault(r, &e, p->offset, NULL, "no such date or time");
            end = start + period.lasts.days * DAY + period.lasts.seconds;
            if (period.has_end && !bk_clock_seconds(period.end, &end))
                return fault(r, &e, p->offset, NULL, "no such date or time");
            if (!add_busy(r, &e, start, end))
                return false;
        } while (*at != '\0');
    }
    return true;
}

/* ----------------------------------------------------------- whole file */

static int by_from(const void *left, const void *right)
{
    const bk_busy_event *a = left, *b = right;
    int64_t order = a->from != b->from ? a->from - b->from : a->to != b->to ? a->to - b->to : 0;
    if (order == 0 && a->place.offset != b->place.offset)
        return a->place.offset < b->place.offset ? -1 : 1;
    return (order > 0) - (order < 0);
}

/* Sorts what this file added, and keeps one of a rule's date that RDATE repeats. */
static void tidy(bk_busy_events *events, size_t first)
{
    size_t count = events->count - first, kept = 0;
    if (count == 0)
        return; /* there may be no list yet to count from */
    bk_busy_event *items = events->items + first;
    qsort(items, count, sizeof *items, by_from);
    for (size_t i = 0; i < count; i++)
        if (kept == 0 || by_from(&items[kept - 1], &items[i]) != 0)
            items[kept++] = items[i];
    events->count = first + kept;
}

static bool read_calendars(reader *r, const bk_component *calendars, size_t count)
{
    event *events = BK_NEW(r->arena, event, count);
    bool good = true;
    size_t n = 0;
    for (const bk_component *c = calendars; c; c = c->next)
        for (const bk_component *one = bk_component_first(c, "VEVENT"); one;
             one = bk_component_next(one, "VEVENT")) {
            event *e = &events[n++];
            e->faulty = !read_event(r, c, one, e);
            good = good && !e->faulty;
            if (e->has_replaced && !e->faulty)
                add_key(r->arena, &r->replaced, e->uid, &e->replaced, false);
        }
    sort_keys(&r->replaced);
    settle_versions(r, events, count);
    for (size_t i = 0; i < count; i++) {
        good = add_event(r, &events[i]) && good;
        /* More would not be kept. */
        if (r->busy > BK_MOST_BUSY || r->report->errors >= BK_MOST_ERRORS)
            return false;
    }
    for (const bk_component *c = calendars; c; c = c->next)
        for (const bk_component *one = bk_component_first(c, "VFREEBUSY"); one;
             one = bk_component_next(one, "VFREEBUSY"))
            good = add_free_busy(r, one) && good;
    return good;
}

static size_t count_events(const bk_component *calendars)
{
    size_t count = 0;
    for (const bk_component *c = calendars; c; c = c->next)
        for (const bk_component *one = bk_component_first(c, "VEVENT"); one;
             one = bk_component_next(one, "VEVENT"))
            count++;
    return count;
}

bool bk_busy_read(bk_arena *arena, const bk_source *source, const bk_zone *plan_zone,
                  bk_instant from, bk_instant to, bk_busy_events *events, bk_report *report)
{
    const bk_component *calendars = bk_content_read(arena, source, report);
    if (!calendars)
        return false;
    size_t count = count_events(calendars);
    if (count > MOST_EVENTS) {
        bk_error(report, "calendar", (bk_place){source, 0}, "export a shorter time",
                 "this calendar has more than %d events", (int)MOST_EVENTS);
        return false;
    }
    reader r = {.arena = arena,
                .source = source,
                .report = report,
                .plan_zone = plan_zone,
                .from = from,
                .to = to,
                .out = events,
                .steps_left = BK_MOST_RULE_STEPS};
    r.zones = (bk_file_zones){.arena = arena,
                              .calendars = calendars,
                              .last = to * MINUTE + 400 * (bk_seconds)DAY,
                              .steps_left = &r.steps_left};
    size_t first = events->count;
    bool good = read_calendars(&r, calendars, count);
    if (good)
        tidy(events, first);
    else
        events->count = first;
    return good;
}

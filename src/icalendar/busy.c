/* Reads the busy hours of a calendar file. libical reads the properties; which
 * occurrences there are and when, in which zone, is worked out here: 3.0.16
 * neither applies RECURRENCE-ID nor reads RDATE periods, takes an unknown zone
 * for UTC, and puts an all-day event over two days. */
#include "icalendar/busy_parts.h"

#include <stdlib.h>
#include <string.h>

enum { MINUTE = 60, DAY = 86400, MOST_EVENTS = 50000, LONGEST_SUMMARY = 200 };

/* One reading of a clock, with what it takes to put it on another. */
typedef struct moment {
    bool is_date;
    const bk_zone *zone; /* whose clock; NULL: UTC */
    bk_seconds wall;     /* a date: its midnight */
} moment;

/* How long every occurrence lasts: whole days on the wall, then exact seconds
 * (RFC 5545 section 3.3.6). */
typedef struct stretch {
    int64_t days;
    bk_seconds seconds;
} stretch;

typedef struct event {
    icalcomponent *component;
    const bk_scanned *scanned;
    const char *uid, *summary;
    bool counts; /* neither cancelled nor free */
    bool has_replaced;
    moment replaced; /* RECURRENCE-ID */
    moment start;
    struct icaltimetype start_fields;
    stretch lasts;
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

/* The offset of an event's property, else of the event. */
static size_t offset_of(const event *e, enum bk_timed_property property)
{
    return e->scanned->lines[property] > 0 ? e->scanned->offsets[property] : e->scanned->offset;
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

static const bk_zone *zone_of(reader *r, const event *e, icalproperty *property,
                              struct icaltimetype fields, size_t offset, bool *good)
{
    *good = true;
    if (icaltime_is_utc(fields))
        return NULL;
    icalparameter *parameter = icalproperty_get_first_parameter(property, ICAL_TZID_PARAMETER);
    const char *given = !parameter ? NULL : icalparameter_get_tzid(parameter);
    if (!given || fields.is_date)
        return r->plan_zone;
    const char *id = bk_copy_string(r->arena, given);
    const bk_zone *zone = bk_file_zone(&r->zones, id);
    if (!zone && bk_zone_listed(r->arena, id)) {
        r->report->machine_failed = true;
        *good =
            fault(r, e, offset, NULL,
                  bk_format(r->arena, "this machine's data of the zone \"%s\" cannot be read", id));
    } else if (!zone)
        *good = fault(r, e, offset, "use an IANA name such as Europe/London, or give a VTIMEZONE",
                      bk_format(r->arena, "unknown time zone \"%s\"", id));
    return zone;
}

static bool read_moment(reader *r, const event *e, icalproperty *property,
                        struct icaltimetype fields, size_t offset, moment *out)
{
    bool good;
    out->is_date = fields.is_date != 0;
    out->zone = zone_of(r, e, property, fields, offset, &good);
    if (good && !bk_clock_seconds(fields, &out->wall))
        good = fault(r, e, offset, NULL, "no such date or time");
    return good;
}

static bk_seconds utc_of(const moment *m)
{
    return !m->zone ? m->wall : bk_zone_seconds(m->zone, m->wall);
}

static bk_seconds midnight_of(bk_seconds wall)
{
    return wall - ((wall % DAY) + DAY) % DAY;
}

static stretch stretch_of(struct icaldurationtype duration)
{
    stretch result = {(int64_t)duration.weeks * 7 + duration.days,
                      (bk_seconds)duration.hours * 3600 + (bk_seconds)duration.minutes * 60 +
                          duration.seconds};
    return result;
}

static bool is_backwards(struct icaldurationtype duration)
{
    return duration.is_neg != 0 || icaldurationtype_is_bad_duration(duration) != 0;
}

static bk_seconds end_of(const moment *start, const stretch *lasts)
{
    moment last_day = *start;
    last_day.wall += lasts->days * DAY;
    return utc_of(&last_day) + lasts->seconds;
}

static bool read_length(reader *r, event *e)
{
    icalproperty *end = icalcomponent_get_first_property(e->component, ICAL_DTEND_PROPERTY);
    icalproperty *duration = icalcomponent_get_first_property(e->component, ICAL_DURATION_PROPERTY);
    if (end) {
        moment stop;
        size_t offset = offset_of(e, BK_DTEND);
        if (!read_moment(r, e, end, icalproperty_get_dtend(end), offset, &stop))
            return false;
        bk_seconds length = e->start.is_date && stop.is_date ? stop.wall - e->start.wall
                                                             : utc_of(&stop) - utc_of(&e->start);
        if (length < 0)
            return fault(r, e, offset, NULL, "it ends before it starts");
        if (e->start.is_date && stop.is_date)
            e->lasts.days = length / DAY;
        else
            e->lasts.seconds = length;
    } else if (duration) {
        struct icaldurationtype length = icalproperty_get_duration(duration);
        if (is_backwards(length))
            return fault(r, e, offset_of(e, BK_DURATION), NULL, "its duration is negative");
        e->lasts = stretch_of(length);
    }
    /* A date alone is that day (section 3.6.1); one that ends as it starts, as
     * some programs write it, too. */
    if (e->start.is_date && e->lasts.days == 0 && e->lasts.seconds == 0)
        e->lasts.days = 1;
    return true;
}

static size_t count_of(icalcomponent *component, icalproperty_kind kind)
{
    return (size_t)icalcomponent_count_properties(component, kind);
}

/* A property that libical took out because it could not read it. */
static bool nothing_lost(reader *r, const event *e)
{
    static const struct {
        enum bk_timed_property property;
        icalproperty_kind kind;
        const char *problem;
    } kinds[] = {
        {BK_DTSTART, ICAL_DTSTART_PROPERTY, "its DTSTART cannot be read"},
        {BK_DTEND, ICAL_DTEND_PROPERTY, "its DTEND cannot be read"},
        {BK_DURATION, ICAL_DURATION_PROPERTY, "its DURATION cannot be read"},
        {BK_RRULE, ICAL_RRULE_PROPERTY, "its repeat rule (RRULE) cannot be read"},
        {BK_EXRULE, ICAL_EXRULE_PROPERTY, "its EXRULE cannot be read"},
        {BK_RDATE, ICAL_RDATE_PROPERTY, "its RDATE cannot be read"},
        {BK_EXDATE, ICAL_EXDATE_PROPERTY, "its EXDATE cannot be read"},
        {BK_RECURRENCE_ID, ICAL_RECURRENCEID_PROPERTY, "its RECURRENCE-ID cannot be read"},
    };
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (e->scanned->malformed[kinds[i].property] ||
            count_of(e->component, kinds[i].kind) < e->scanned->lines[kinds[i].property])
            return fault(r, e, offset_of(e, kinds[i].property), NULL, kinds[i].problem);
    return true;
}

static bool read_replaced(reader *r, event *e)
{
    icalproperty *id = icalcomponent_get_first_property(e->component, ICAL_RECURRENCEID_PROPERTY);
    if (!id)
        return true;
    size_t offset = offset_of(e, BK_RECURRENCE_ID);
    if (icalproperty_get_first_parameter(id, ICAL_RANGE_PARAMETER))
        return fault(r, e, offset, "export the calendar with each occurrence by itself",
                     "a change of all later occurrences (RANGE) is not supported");
    e->has_replaced = true;
    return read_moment(r, e, id, icalproperty_get_recurrenceid(id), offset, &e->replaced);
}

static bool read_event(reader *r, icalcomponent *component, const bk_scanned *scanned, event *e)
{
    const char *uid = icalcomponent_get_uid(component);
    icalproperty *transparency = icalcomponent_get_first_property(component, ICAL_TRANSP_PROPERTY);
    e->component = component;
    e->scanned = scanned;
    e->uid = bk_copy_string(r->arena, !uid ? "" : uid);
    e->summary = one_line(r->arena, icalcomponent_get_summary(component));
    e->counts = icalcomponent_get_status(component) != ICAL_STATUS_CANCELLED;
    if (transparency) {
        icalproperty_transp value = icalproperty_get_transp(transparency);
        if (value == ICAL_TRANSP_TRANSPARENT || value == ICAL_TRANSP_TRANSPARENTNOCONFLICT)
            e->counts = false;
    }
    if (!nothing_lost(r, e) || !read_replaced(r, e))
        return false;
    icalproperty *start = icalcomponent_get_first_property(component, ICAL_DTSTART_PROPERTY);
    if (!start)
        return fault(r, e, scanned->offset, NULL, "it has no DTSTART");
    e->start_fields = icalproperty_get_dtstart(start);
    return read_moment(r, e, start, e->start_fields, offset_of(e, BK_DTSTART), &e->start) &&
           read_length(r, e);
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
        return fault(r, e, e->scanned->offset, "shorten its repetition, or mark it free",
                     bk_format(r->arena,
                               "this calendar has more than %d busy times in the plan's span",
                               BK_MOST_BUSY));
    bk_busy_event *busy = BK_PUSH(r->arena, r->out->items, r->out->count, r->out->room);
    *busy = (bk_busy_event){from, to, e->summary, {r->source, e->scanned->offset}};
    return true;
}

static bool add_occurrence(reader *r, const event *e, const key_list *excluded, const moment *start,
                           const stretch *lasts)
{
    if (is_named(excluded, "", start) || is_named(&r->replaced, e->uid, start))
        return true;
    return add_busy(r, e, utc_of(start), end_of(start, lasts));
}

static bool expand_rule(reader *r, const event *e, struct icalrecurrencetype rule,
                        enum bk_timed_property property, bk_wall_list *found)
{
    /* The clock may be a day from UTC; nothing later can touch the span. */
    bk_seconds last = r->to * MINUTE + 2 * DAY;
    bk_wall_list all = {0};
    size_t offset = offset_of(e, property);
    switch (bk_rule_expand(r->arena, rule, e->start_fields, last, &r->steps_left, &all)) {
    case BK_RULE_MALFORMED:
        return fault(r, e, offset, NULL, "its repeat rule is malformed or can never come true");
    case BK_RULE_TOO_MANY:
        return fault(r, e, offset, "shorten its repetition, or leave the event out",
                     "it repeats too often to be followed");
    case BK_RULE_FINE:
        break;
    }
    bk_seconds until = INT64_MAX;
    if (!icaltime_is_null_time(rule.until)) {
        moment end = {.is_date = rule.until.is_date != 0, .zone = e->start.zone};
        if (!bk_clock_seconds(rule.until, &end.wall))
            return fault(r, e, offset, NULL, "its repeat rule is malformed or can never come true");
        if (end.is_date)
            end.wall += DAY - 1;
        if (icaltime_is_utc(rule.until) && !e->start.is_date)
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
    for (icalproperty *p = icalcomponent_get_first_property(e->component, ICAL_EXDATE_PROPERTY); p;
         p = icalcomponent_get_next_property(e->component, ICAL_EXDATE_PROPERTY)) {
        moment m;
        if (!read_moment(r, e, p, icalproperty_get_exdate(p), offset_of(e, BK_EXDATE), &m))
            return false;
        add_key(r->arena, excluded, "", &m, e->start.is_date);
    }
    for (icalproperty *p = icalcomponent_get_first_property(e->component, ICAL_EXRULE_PROPERTY); p;
         p = icalcomponent_get_next_property(e->component, ICAL_EXRULE_PROPERTY)) {
        bk_wall_list found = {0};
        if (!expand_rule(r, e, icalproperty_get_exrule(p), BK_EXRULE, &found))
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

static bool add_rdate(reader *r, const event *e, icalproperty *property, const key_list *excluded)
{
    struct icaldatetimeperiodtype value = icalproperty_get_rdate(property);
    bool is_period = !icaltime_is_null_time(value.period.start);
    size_t offset = offset_of(e, BK_RDATE);
    stretch lasts = e->lasts;
    moment start;
    if (!read_moment(r, e, property, is_period ? value.period.start : value.time, offset, &start))
        return false;
    if (is_period && !icaltime_is_null_time(value.period.end)) {
        moment end;
        if (!read_moment(r, e, property, value.period.end, offset, &end))
            return false;
        lasts = (stretch){0, utc_of(&end) - utc_of(&start)};
    } else if (is_period) {
        lasts = stretch_of(value.period.duration);
    }
    if (is_period && (lasts.seconds < 0 || is_backwards(value.period.duration)))
        return fault(r, e, offset, NULL, "a period of its RDATE ends before it starts");
    return add_occurrence(r, e, excluded, &start, &lasts);
}

static bool add_event(reader *r, const event *e)
{
    key_list excluded = {0};
    if (!e->counts)
        return true;
    if (e->has_replaced) /* one occurrence, as it is now */
        return add_busy(r, e, utc_of(&e->start), end_of(&e->start, &e->lasts));
    if (!read_excluded(r, e, &excluded) || !add_occurrence(r, e, &excluded, &e->start, &e->lasts))
        return false;
    for (icalproperty *p = icalcomponent_get_first_property(e->component, ICAL_RRULE_PROPERTY); p;
         p = icalcomponent_get_next_property(e->component, ICAL_RRULE_PROPERTY)) {
        bk_wall_list found = {0};
        if (!expand_rule(r, e, icalproperty_get_rrule(p), BK_RRULE, &found))
            return false;
        for (size_t i = 0; i < found.count; i++) {
            moment start = e->start;
            start.wall = found.items[i];
            /* DTSTART itself, the first occurrence, has been added. */
            if (start.wall != e->start.wall && !add_occurrence(r, e, &excluded, &start, &e->lasts))
                return false;
        }
    }
    for (icalproperty *p = icalcomponent_get_first_property(e->component, ICAL_RDATE_PROPERTY); p;
         p = icalcomponent_get_next_property(e->component, ICAL_RDATE_PROPERTY))
        if (!add_rdate(r, e, p, &excluded))
            return false;
    return true;
}

/* Periods of a VFREEBUSY component (section 3.6.4), always in UTC. */
static bool add_free_busy(reader *r, icalcomponent *component, const bk_scanned *scanned)
{
    event e = {.component = component, .scanned = scanned, .uid = "", .summary = ""};
    size_t offset = offset_of(&e, BK_FREEBUSY);
    if (scanned->malformed[BK_FREEBUSY] ||
        count_of(component, ICAL_FREEBUSY_PROPERTY) < scanned->lines[BK_FREEBUSY])
        return fault(r, &e, offset, NULL, "its FREEBUSY cannot be read");
    for (icalproperty *p = icalcomponent_get_first_property(component, ICAL_FREEBUSY_PROPERTY); p;
         p = icalcomponent_get_next_property(component, ICAL_FREEBUSY_PROPERTY)) {
        icalparameter *type = icalproperty_get_first_parameter(p, ICAL_FBTYPE_PARAMETER);
        struct icalperiodtype period = icalproperty_get_freebusy(p);
        bk_seconds start, end;
        if (type && icalparameter_get_fbtype(type) == ICAL_FBTYPE_FREE)
            continue;
        if (!bk_clock_seconds(period.start, &start))
            return fault(r, &e, offset, NULL, "no such date or time");
        stretch lasts = stretch_of(period.duration);
        end = start + lasts.days * DAY + lasts.seconds;
        if (!icaltime_is_null_time(period.end) && !bk_clock_seconds(period.end, &end))
            return fault(r, &e, offset, NULL, "no such date or time");
        if (!add_busy(r, &e, start, end))
            return false;
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

/* The components of one kind, in the file's order over all its calendars. */
static size_t collect(icalcomponent *root, icalcomponent_kind kind, icalcomponent **list,
                      size_t most)
{
    size_t count = 0;
    bool single = icalcomponent_isa(root) == ICAL_VCALENDAR_COMPONENT;
    icalcomponent *calendar =
        single ? root : icalcomponent_get_first_component(root, ICAL_VCALENDAR_COMPONENT);
    while (calendar) {
        for (icalcomponent *c = icalcomponent_get_first_component(calendar, kind); c;
             c = icalcomponent_get_next_component(calendar, kind)) {
            if (count < most)
                list[count] = c;
            count++;
        }
        calendar = single ? NULL : icalcomponent_get_next_component(root, ICAL_VCALENDAR_COMPONENT);
    }
    return count;
}

static bool read_root(reader *r, icalcomponent *root, const bk_scan *scan)
{
    size_t count = scan->events.count, periods = scan->free_busy.count;
    icalcomponent **list = BK_NEW(r->arena, icalcomponent *, count + periods + 1);
    if (collect(root, ICAL_VEVENT_COMPONENT, list, count) != count ||
        collect(root, ICAL_VFREEBUSY_COMPONENT, list + count, periods) != periods) {
        bk_error(r->report, "calendar", (bk_place){r->source, 0}, "export the calendar again",
                 "this calendar's events cannot be told apart");
        return false;
    }
    event *events = BK_NEW(r->arena, event, count);
    bool good = true;
    for (size_t i = 0; i < count; i++) {
        event *e = &events[i];
        if (!read_event(r, list[i], &scan->events.items[i], e)) {
            e->counts = false;
            good = false;
        } else if (e->has_replaced) {
            add_key(r->arena, &r->replaced, e->uid, &e->replaced, false);
        }
    }
    sort_keys(&r->replaced);
    for (size_t i = 0; i < count; i++) {
        good = add_event(r, &events[i]) && good;
        /* More would not be kept, and a bad rule takes libical its time. */
        if (r->busy > BK_MOST_BUSY || r->report->errors >= BK_MOST_ERRORS)
            return false;
    }
    for (size_t i = 0; i < periods; i++)
        good = add_free_busy(r, list[count + i], &scan->free_busy.items[i]) && good;
    return good;
}

bool bk_busy_read(bk_arena *arena, const bk_source *source, const bk_zone *plan_zone,
                  bk_instant from, bk_instant to, bk_busy_events *events, bk_report *report)
{
    bk_scan scan = {0};
    if (!bk_calendar_scan(arena, source, &scan, report))
        return false;
    bk_place whole = {source, 0};
    if (scan.events.count > MOST_EVENTS) {
        bk_error(report, "calendar", whole, "export a shorter time",
                 "this calendar has more than %d events", (int)MOST_EVENTS);
        return false;
    }
    bool has_mark = source->length >= 3 && memcmp(source->text, "\xef\xbb\xbf", 3) == 0;
    icalcomponent *root = icalparser_parse_string(source->text + (has_mark ? 3 : 0));
    if (!root) {
        bk_error(report, "calendar", whole, "give an .ics file (BEGIN:VCALENDAR …)",
                 "this calendar cannot be read");
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
                              .root = root,
                              .last = to * MINUTE + 400 * (bk_seconds)DAY,
                              .steps_left = &r.steps_left};
    size_t first = events->count;
    bool good = read_root(&r, root, &scan);
    icalcomponent_free(root);
    if (good)
        tidy(events, first);
    else
        events->count = first;
    return good;
}

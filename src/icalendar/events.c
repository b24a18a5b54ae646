/* A calendar file taken apart into events. */
#include "icalendar/events.h"
#include "icalendar/values.h"

#include <inttypes.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { DAY = 86400, MINUTE = 60, MOST_STEPS = 1000000 };

uint64_t bk_calendar_hash(const char *const *texts, size_t count)
{
    uint64_t sum = UINT64_C(0xcbf29ce484222325);
    for (size_t i = 0; i < count; i++)
        for (const char *c = texts[i];; c++) {
            sum = (sum ^ (*c == '\0' ? 0xffU : (unsigned char)*c)) * UINT64_C(0x100000001b3);
            if (*c == '\0')
                break;
        }
    return sum;
}

char *bk_ics_trigger(bk_arena *arena, int64_t seconds)
{
    const char *sign = seconds < 0 ? "-" : "";
    int64_t size = seconds < 0 ? -seconds : seconds;
    if (size > 0 && size % MINUTE == 0)
        return bk_format(arena, "%sPT%" PRId64 "M", sign, size / MINUTE);
    return bk_format(arena, "%sPT%" PRId64 "S", sign, size);
}

char *bk_ics_plain(bk_arena *arena, const char *text)
{
    char *plain = bk_copy_string(arena, text), *to = plain, *solid = plain;
    for (const char *from = text; *from != '\0'; from++) {
        if (*from == '\r')
            continue;
        if (*from == '\n')
            to = solid; /* blanks before it go */
        *to++ = *from;
        if (*from != ' ' && *from != '\t')
            solid = to;
    }
    while (solid > plain && (solid[-1] == '\n' || solid[-1] == ' ' || solid[-1] == '\t'))
        solid--;
    *solid = '\0';
    return plain;
}

char *bk_ics_mark(bk_arena *arena, const bk_ics_seen *seen)
{
    const char *alarm =
        !seen->alarm
            ? ""
            : bk_format(arena, "%s %s\n", bk_ics_trigger(arena, seen->trigger), seen->summary);
    /* The fifth is LOCATION, which 0.1.0 looked at and never wrote. */
    const char *texts[] = {
        seen->start,       seen->end, seen->summary,
        seen->description, "",        seen->cancelled ? "CANCELLED" : "CONFIRMED",
        seen->repeats,     alarm};
    return bk_format(arena, "%016" PRIx64, bk_calendar_hash(texts, sizeof texts / sizeof *texts));
}

/* ------------------------------------------------------------ times, by meaning */

int64_t bk_ics_minute(const char *text)
{
    bk_date_time time;
    if (!bk_date_time_read(text, &time) || (!time.is_date && !time.is_utc) ||
        !bk_date_exists(time.year, time.month, time.day) || time.hour > 23 || time.minute > 59)
        return INT64_MIN;
    return bk_civil_minutes((bk_civil){time.year, time.month, time.day, time.hour, time.minute});
}

static char *utc_text(bk_arena *arena, bk_seconds utc)
{
    bk_instant minute = utc / MINUTE - (utc % MINUTE < 0);
    char *text = bk_instant_utc(arena, minute);
    int second = (int)(utc - minute * MINUTE);
    if (strlen(text) == 16) {
        text[13] = (char)('0' + second / 10);
        text[14] = (char)('0' + second % 10);
    }
    return text;
}

/* A line's time as seconds in UTC, or, of a date, its midnight. False where it has no one meaning:
 * it is malformed, floating, or in a zone that nobody knows. */
static bool time_of(bk_file_zones *zones, const bk_line *line, bool *is_date, bk_seconds *utc)
{
    bk_date_time value;
    bk_seconds wall;
    if (!line || !bk_date_time_read(line->value, &value) || !bk_clock_seconds(value, &wall))
        return false;
    *is_date = value.is_date;
    *utc = wall;
    if (value.is_date || value.is_utc)
        return true;
    const char *id = bk_line_parameter(zones->arena, line, "TZID");
    const bk_zone *zone = !id ? NULL : bk_file_zone(zones, id);
    if (zone)
        *utc = bk_zone_seconds(zone, wall, NULL);
    return zone;
}

static char *date_text(bk_arena *arena, bk_seconds midnight)
{
    char *text = bk_instant_utc(arena, midnight / MINUTE);
    return bk_copy(arena, text, strcspn(text, "T"));
}

static void read_times(bk_file_zones *zones, const bk_component *c, bk_ics_seen *seen)
{
    bk_arena *arena = zones->arena;
    const bk_line *start = bk_line_first(c, "DTSTART"), *end = bk_line_first(c, "DTEND");
    const bk_line *duration = bk_line_first(c, "DURATION");
    bool date = false, end_date = false;
    bk_seconds from, to;
    bk_stretch lasts;
    seen->start = !start ? "" : bk_content_line_text(arena, start);
    seen->end = end        ? bk_content_line_text(arena, end)
                : duration ? bk_content_line_text(arena, duration)
                           : "";
    if (!time_of(zones, start, &date, &from))
        return;
    seen->start = date ? date_text(arena, from) : utc_text(arena, from);
    if (end) {
        if (!time_of(zones, end, &end_date, &to) || date != end_date)
            return;
    } else if (duration) {
        if (!bk_stretch_read(duration->value, &lasts) || (date && lasts.seconds != 0))
            return;
        to = from + lasts.days * DAY + lasts.seconds;
    } else {
        return;
    }
    if (date && to == from + DAY)
        seen->end = "";
    else
        seen->end = date ? date_text(arena, to) : utc_text(arena, to);
}

/* ------------------------------------------------------------ alarms */

/* An alarm as it was written here rings so long before or after the event's start, by itself: a
 * snoozed one points to another. *seconds is the distance. */
static bool read_trigger(bk_file_zones *zones, const bk_component *event, const bk_component *alarm,
                         int64_t *seconds)
{
    const bk_line *line = bk_line_first(alarm, "TRIGGER");
    const char *related = !line ? NULL : bk_line_parameter(zones->arena, line, "RELATED");
    bk_stretch distance;
    bool date, event_date;
    bk_seconds at, start;
    if (!line || bk_line_first(alarm, "RELATED-TO"))
        return false;
    if (bk_stretch_read(line->value, &distance)) {
        *seconds = distance.days * DAY + distance.seconds;
        return !related || strcasecmp(related, "END") != 0;
    }
    /* Some servers reckon the time out. */
    if (!time_of(zones, line, &date, &at) || date ||
        !time_of(zones, bk_line_first(event, "DTSTART"), &event_date, &start) || event_date)
        return false;
    *seconds = at - start;
    return true;
}

static void read_alarms(bk_file_zones *zones, bk_ics_event *event)
{
    event->alarms = BK_NEW(zones->arena, bk_ics_alarm, BK_MOST_ALARMS);
    for (const bk_component *a = bk_component_first(event->component, "VALARM");
         a && event->alarm_count < BK_MOST_ALARMS; a = bk_component_next(a, "VALARM")) {
        bk_ics_alarm *alarm = &event->alarms[event->alarm_count];
        alarm->component = a;
        event->alarm_count += read_trigger(zones, event->component, a, &alarm->trigger);
    }
}

/* The mark tells which alarm, if any, was written with it: the one, or none, with which the event
 * is as it was marked. Else it is the one that says what the event says. */
static void find_alarm(bk_arena *arena, bk_ics_event *event)
{
    const bk_line *line = bk_line_first(event->component, BK_ICS_MARK);
    const char *mark = bk_content_line_text(arena, line);
    event->marked = line;
    event->untouched = line && strcmp(mark, bk_ics_mark(arena, &event->seen)) == 0;
    for (size_t i = 0; i < event->alarm_count && !event->untouched; i++) {
        const bk_ics_alarm *a = &event->alarms[i];
        const bk_line *words = bk_line_first(a->component, "DESCRIPTION");
        bk_ics_seen with = event->seen;
        with.alarm = true;
        with.trigger = a->trigger;
        event->untouched = line && strcmp(mark, bk_ics_mark(arena, &with)) == 0;
        bool likely =
            strcmp(bk_ics_plain(arena, bk_content_line_text(arena, words)), with.summary) == 0;
        if (!event->untouched && (event->alarm || !likely))
            continue;
        event->alarm = a->component;
        event->seen.trigger = a->trigger;
    }
    event->seen.alarm = event->alarm;
    event->untouched = event->untouched || !line;
}

/* ------------------------------------------------------------ events */

/* The zones of a calendar, as each of its events takes them along. */
static const char *zones_text(bk_arena *arena, const bk_component *calendar)
{
    bk_text text = bk_text_new(arena);
    for (const bk_component *zone = bk_component_first(calendar, "VTIMEZONE"); zone;
         zone = bk_component_next(zone, "VTIMEZONE"))
        bk_content_add_component(&text, zone);
    return text.data;
}

static const char *alone(bk_arena *arena, const bk_ics_event *event, const char *zones)
{
    bk_text text = bk_text_new(arena);
    bk_content_add(&text, "BEGIN:VCALENDAR");
    bk_content_add(&text, "VERSION:2.0");
    bk_content_add(&text, "PRODID:" BK_ICS_PRODUCT);
    bk_text_add(&text, zones);
    bk_content_add_component(&text, event->component);
    bk_content_add(&text, "END:VCALENDAR");
    return text.data;
}

static int sequence_of(const bk_component *c)
{
    const bk_line *line = bk_line_first(c, "SEQUENCE");
    long long value = !line ? 0 : strtoll(line->value, NULL, 10);
    return value < 0 ? 0 : value > INT_MAX ? INT_MAX : (int)value;
}

static void read_event(bk_file_zones *zones, const bk_component *calendar, const bk_component *c,
                       const char *taken_along, bk_ics_event *event)
{
    bk_arena *arena = zones->arena;
    const bk_line *status = bk_line_first(c, "STATUS"), *method = bk_line_first(calendar, "METHOD");
    *event = (bk_ics_event){.component = c, .calendar = calendar};
    event->uid = bk_content_line_text(arena, bk_line_first(c, "UID"));
    event->stamp = bk_content_line_text(arena, bk_line_first(c, "DTSTAMP"));
    event->sequence = sequence_of(c);
    event->seen.summary =
        bk_ics_plain(arena, bk_content_line_text(arena, bk_line_first(c, "SUMMARY")));
    event->seen.description =
        bk_ics_plain(arena, bk_content_line_text(arena, bk_line_first(c, "DESCRIPTION")));
    event->seen.cancelled = (status && strcasecmp(status->value, "CANCELLED") == 0) ||
                            (method && strcasecmp(method->value, "CANCEL") == 0);
    event->seen.repeats = bk_content_line_text(arena, bk_line_first(c, "RRULE"));
    read_times(zones, c, &event->seen);
    read_alarms(zones, event);
    find_alarm(arena, event);
    event->text = alone(arena, event, taken_along);
}

bool bk_ics_split(bk_arena *arena, const bk_source *calendar, bk_ics_events *events,
                  bk_report *report)
{
    const bk_component *calendars = bk_content_read(arena, calendar, report);
    int64_t steps = MOST_STEPS;
    bk_file_zones zones = {.arena = arena,
                           .calendars = calendars,
                           .last =
                               bk_civil_minutes((bk_civil){BK_LAST_YEAR, 12, 31, 0, 0}) * MINUTE,
                           .steps_left = &steps};
    size_t length = 0;
    for (const bk_component *c = calendars; c; c = c->next) {
        const char *taken_along = zones_text(arena, c); /* once: events may be 50,000 */
        for (const bk_component *one = bk_component_first(c, "VEVENT"); one;
             one = bk_component_next(one, "VEVENT")) {
            bk_ics_event *event = BK_PUSH(arena, events->items, events->count, events->room);
            read_event(&zones, c, one, taken_along, event);
            length += strlen(event->text);
            if (length > BK_MOST_EVENT_BYTES) {
                bk_error(report, "calendar", (bk_place){calendar, one->offset},
                         "export a shorter time", "this calendar's events are more than 64 MiB");
                return false;
            }
        }
    }
    return calendars;
}

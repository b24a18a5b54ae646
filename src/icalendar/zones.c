/* The zones that a calendar file names: the system's, or its own VTIMEZONE. */
#include "icalendar/values.h"

#include <stdlib.h>
#include <string.h>

enum { MOST_ZONES = 200, MOST_CHANGES = 20000 };

typedef struct onset {
    bk_seconds utc;
    int before, after; /* seconds east of UTC */
    const char *name;
} onset;

typedef struct onset_list {
    onset *items;
    size_t count, room;
} onset_list;

static int by_time(const void *left, const void *right)
{
    const onset *a = left, *b = right;
    return (a->utc > b->utc) - (a->utc < b->utc);
}

/* "+0100", "-053020": seconds east of UTC (section 3.3.14), less than 26 h. */
static bool read_offset(const bk_line *line, int *seconds)
{
    const char *text = line->value;
    size_t length = strlen(text);
    if ((*text != '+' && *text != '-') || (length != 5 && length != 7) ||
        strspn(text + 1, "0123456789") != length - 1)
        return false;
    int parts[3] = {0};
    for (size_t i = 0; i < (length - 1) / 2; i++)
        parts[i] = 10 * (text[2 * i + 1] - '0') + (text[2 * i + 2] - '0');
    *seconds = (parts[0] * 3600 + parts[1] * 60 + parts[2]) * (*text == '-' ? -1 : 1);
    return parts[0] < 26;
}

/* The onsets of one STANDARD or DAYLIGHT part: RFC 5545 section 3.6.5. Its times
 * are read on the clock that it ends. */
static bool add_onsets(bk_file_zones *zones, const bk_component *part, onset_list *list)
{
    const bk_line *start = bk_line_first(part, "DTSTART");
    const bk_line *from = bk_line_first(part, "TZOFFSETFROM");
    const bk_line *to = bk_line_first(part, "TZOFFSETTO");
    onset each = {.name = bk_content_line_text(zones->arena, bk_line_first(part, "TZNAME"))};
    bk_date_time first;
    bk_seconds wall;
    if (!start || !from || !to || !read_offset(from, &each.before) ||
        !read_offset(to, &each.after) || !bk_date_time_read(start->value, &first) ||
        !bk_clock_seconds(first, &wall))
        return false;
    each.utc = wall - each.before;
    *BK_PUSH(zones->arena, list->items, list->count, list->room) = each;

    for (const bk_line *p = bk_line_first(part, "RRULE"); p; p = bk_line_next(part, p)) {
        bk_rule rule;
        bk_wall_list found = {0};
        if (!bk_rule_read(zones->arena, p->value, &rule) ||
            bk_rule_expand(zones->arena, &rule, first, zones->last + each.before, zones->steps_left,
                           &found) != BK_RULE_FINE)
            return false;
        bk_seconds until = INT64_MAX; /* the rule's end, in UTC as section 3.6.5 wants it */
        if (rule.has_until) {
            if (!bk_clock_seconds(rule.until, &until))
                return false;
            if (rule.until.is_date)
                until += 86399 - each.before;
            else if (!rule.until.is_utc)
                until -= each.before;
        }
        for (size_t i = 0; i < found.count; i++) {
            each.utc = found.items[i] - each.before;
            if (each.utc <= until)
                *BK_PUSH(zones->arena, list->items, list->count, list->room) = each;
        }
    }
    for (const bk_line *p = bk_line_first(part, "RDATE"); p; p = bk_line_next(part, p)) {
        const char *at = p->value;
        bk_period date;
        do {
            if (!bk_period_next(&at, &date) || !bk_clock_seconds(date.start, &wall))
                return false;
            each.utc = wall - each.before;
            *BK_PUSH(zones->arena, list->items, list->count, list->room) = each;
        } while (*at != '\0');
    }
    return list->count <= MOST_CHANGES;
}

static const bk_zone *zone_of_rules(bk_file_zones *zones, const char *id,
                                    const bk_component *definition)
{
    onset_list list = {0};
    for (const bk_component *part = definition->first; part; part = part->next) {
        bool is_part = strcmp(part->name, "STANDARD") == 0 || strcmp(part->name, "DAYLIGHT") == 0;
        if (is_part && !add_onsets(zones, part, &list))
            return NULL;
    }
    if (list.count == 0)
        return NULL;
    qsort(list.items, list.count, sizeof *list.items, by_time);
    bk_zone_change *changes = BK_NEW(zones->arena, bk_zone_change, list.count);
    for (size_t i = 0; i < list.count; i++)
        changes[i] = (bk_zone_change){list.items[i].utc, list.items[i].after, list.items[i].name};
    return bk_zone_from_changes(zones->arena, id, list.items[0].before, changes, list.count);
}

static const bk_zone *system_zone(bk_file_zones *zones, const char *id)
{
    const bk_zone *zone = bk_zone_open(zones->arena, id);
    /* A globally unique id (RFC 5545 section 3.8.3.1) is "/vendor/…/" and often
     * an IANA name behind it, of two or three parts. */
    const char *rest = id[0] == '/' ? strchr(id + 1, '/') : NULL;
    while (!zone && rest) {
        const char *next = strchr(rest + 1, '/');
        if (next)
            zone = bk_zone_open(zones->arena, rest + 1);
        rest = next;
    }
    return zone;
}

/* The system's zone that X-LIC-LOCATION names, or NULL. */
static const bk_zone *located_zone(bk_file_zones *zones, const bk_component *definition)
{
    const bk_line *line = bk_line_first(definition, "X-LIC-LOCATION");
    return !line ? NULL : system_zone(zones, bk_content_line_text(zones->arena, line));
}

static const bk_component *find_definition(bk_file_zones *zones, const char *id)
{
    for (const bk_component *c = zones->calendars; c; c = c->next)
        for (const bk_component *zone = bk_component_first(c, "VTIMEZONE"); zone;
             zone = bk_component_next(zone, "VTIMEZONE"))
            if (strcmp(bk_content_line_text(zones->arena, bk_line_first(zone, "TZID")), id) == 0)
                return zone;
    return NULL;
}

static const bk_zone *find_zone(bk_file_zones *zones, const char *id)
{
    const bk_zone *zone = system_zone(zones, id);
    const bk_component *definition = !zone ? find_definition(zones, id) : NULL;
    if (definition) {
        zone = located_zone(zones, definition);
        if (!zone)
            zone = zone_of_rules(zones, id, definition);
    }
    return zone;
}

const bk_zone *bk_file_zone(bk_file_zones *zones, const char *id)
{
    for (size_t i = 0; i < zones->count; i++)
        if (strcmp(zones->items[i].id, id) == 0)
            return zones->items[i].zone;
    if (zones->count == MOST_ZONES)
        return NULL;
    bk_named_zone *named = BK_PUSH(zones->arena, zones->items, zones->count, zones->room);
    named->id = bk_copy_string(zones->arena, id);
    const bk_zone *zone = find_zone(zones, named->id);
    named->zone = zone;
    return zone;
}

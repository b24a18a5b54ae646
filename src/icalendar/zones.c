/* The zones that a calendar file names: the system's, or its own VTIMEZONE. */
#include "icalendar/busy_parts.h"

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

static icalproperty *property(icalcomponent *component, icalproperty_kind kind)
{
    return icalcomponent_get_first_property(component, kind);
}

static bool offset_fits(int seconds)
{
    return seconds > -26 * 3600 && seconds < 26 * 3600;
}

/* The onsets of one STANDARD or DAYLIGHT part: RFC 5545 section 3.6.5. Its times
 * are read on the clock that it ends. */
static bool add_onsets(bk_file_zones *zones, icalcomponent *part, onset_list *list)
{
    icalproperty *start = property(part, ICAL_DTSTART_PROPERTY);
    icalproperty *from = property(part, ICAL_TZOFFSETFROM_PROPERTY);
    icalproperty *to = property(part, ICAL_TZOFFSETTO_PROPERTY);
    icalproperty *name = property(part, ICAL_TZNAME_PROPERTY);
    if (!start || !from || !to)
        return false;
    onset each = {.before = icalproperty_get_tzoffsetfrom(from),
                  .after = icalproperty_get_tzoffsetto(to),
                  .name = ""};
    if (name && icalproperty_get_tzname(name))
        each.name = bk_copy_string(zones->arena, icalproperty_get_tzname(name));
    struct icaltimetype first = icalproperty_get_dtstart(start);
    bk_seconds wall;
    if (!offset_fits(each.before) || !offset_fits(each.after) || !bk_clock_seconds(first, &wall))
        return false;
    each.utc = wall - each.before;
    *BK_PUSH(zones->arena, list->items, list->count, list->room) = each;

    for (icalproperty *p = property(part, ICAL_RRULE_PROPERTY); p;
         p = icalcomponent_get_next_property(part, ICAL_RRULE_PROPERTY)) {
        struct icalrecurrencetype rule = icalproperty_get_rrule(p);
        bk_wall_list found = {0};
        if (bk_rule_expand(zones->arena, rule, first, zones->last + each.before, zones->steps_left,
                           &found) != BK_RULE_FINE)
            return false;
        bk_seconds until = INT64_MAX; /* the rule's end, in UTC as section 3.6.5 wants it */
        if (!icaltime_is_null_time(rule.until)) {
            if (!bk_clock_seconds(rule.until, &until))
                return false;
            if (rule.until.is_date)
                until += 86399 - each.before;
            else if (!icaltime_is_utc(rule.until))
                until -= each.before;
        }
        for (size_t i = 0; i < found.count; i++) {
            each.utc = found.items[i] - each.before;
            if (each.utc <= until)
                *BK_PUSH(zones->arena, list->items, list->count, list->room) = each;
        }
    }
    for (icalproperty *p = property(part, ICAL_RDATE_PROPERTY); p;
         p = icalcomponent_get_next_property(part, ICAL_RDATE_PROPERTY)) {
        if (!bk_clock_seconds(icalproperty_get_rdate(p).time, &wall))
            return false;
        each.utc = wall - each.before;
        *BK_PUSH(zones->arena, list->items, list->count, list->room) = each;
    }
    return list->count <= MOST_CHANGES;
}

static const bk_zone *zone_of_rules(bk_file_zones *zones, const char *id, icalcomponent *definition)
{
    onset_list list = {0};
    for (icalcomponent *part = icalcomponent_get_first_component(definition, ICAL_ANY_COMPONENT);
         part; part = icalcomponent_get_next_component(definition, ICAL_ANY_COMPONENT)) {
        icalcomponent_kind kind = icalcomponent_isa(part);
        if ((kind == ICAL_XSTANDARD_COMPONENT || kind == ICAL_XDAYLIGHT_COMPONENT) &&
            !add_onsets(zones, part, &list))
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
static const bk_zone *located_zone(bk_file_zones *zones, icalcomponent *definition)
{
    for (icalproperty *p = property(definition, ICAL_X_PROPERTY); p;
         p = icalcomponent_get_next_property(definition, ICAL_X_PROPERTY)) {
        const char *name = icalproperty_get_x_name(p);
        const char *value = icalproperty_get_x(p);
        if (name && value && strcmp(name, "X-LIC-LOCATION") == 0)
            return system_zone(zones, value);
    }
    return NULL;
}

static icalcomponent *definition_in(icalcomponent *calendar, const char *id)
{
    for (icalcomponent *c = icalcomponent_get_first_component(calendar, ICAL_VTIMEZONE_COMPONENT);
         c; c = icalcomponent_get_next_component(calendar, ICAL_VTIMEZONE_COMPONENT)) {
        icalproperty *p = property(c, ICAL_TZID_PROPERTY);
        const char *value = !p ? NULL : icalproperty_get_tzid(p);
        if (value && strcmp(value, id) == 0)
            return c;
    }
    return NULL;
}

static icalcomponent *find_definition(icalcomponent *root, const char *id)
{
    icalcomponent *found = definition_in(root, id);
    for (icalcomponent *c = icalcomponent_get_first_component(root, ICAL_VCALENDAR_COMPONENT);
         c && !found; c = icalcomponent_get_next_component(root, ICAL_VCALENDAR_COMPONENT))
        found = definition_in(c, id);
    return found;
}

static const bk_zone *find_zone(bk_file_zones *zones, const char *id)
{
    const bk_zone *zone = system_zone(zones, id);
    icalcomponent *definition = !zone ? find_definition(zones->root, id) : NULL;
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

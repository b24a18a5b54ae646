/* A calendar file taken apart into events. */
#include "icalendar/events.h"
#include "icalendar/mark.h"

#include <inttypes.h>
#include <string.h>

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

const char *bk_ics_value(bk_arena *arena, icalcomponent *component, icalproperty_kind kind)
{
    icalproperty *property = icalcomponent_get_first_property(component, kind);
    const icalvalue *value = !property ? NULL : icalproperty_get_value(property);
    if (!value)
        return "";
    if (icalvalue_isa(value) == ICAL_TEXT_VALUE) {
        const char *text = icalvalue_get_text(value);
        return bk_copy_string(arena, !text ? "" : text);
    }
    char *text = icalproperty_get_value_as_string_r(property);
    const char *copied = bk_copy_string(arena, !text ? "" : text);
    icalmemory_free_buffer(text);
    return copied;
}

char *bk_ics_mark(bk_arena *arena, icalcomponent *event)
{
    bk_text alarms = bk_text_new(arena);
    bk_text_add(&alarms, "");
    for (icalcomponent *a = icalcomponent_get_first_component(event, ICAL_VALARM_COMPONENT); a;
         a = icalcomponent_get_next_component(event, ICAL_VALARM_COMPONENT))
        bk_text_addf(&alarms, "%s %s\n", bk_ics_value(arena, a, ICAL_TRIGGER_PROPERTY),
                     bk_ics_value(arena, a, ICAL_DESCRIPTION_PROPERTY));
    const char *seen[] = {bk_ics_value(arena, event, ICAL_DTSTART_PROPERTY),
                          bk_ics_value(arena, event, ICAL_DTEND_PROPERTY),
                          bk_ics_value(arena, event, ICAL_SUMMARY_PROPERTY),
                          bk_ics_value(arena, event, ICAL_DESCRIPTION_PROPERTY),
                          bk_ics_value(arena, event, ICAL_LOCATION_PROPERTY),
                          bk_ics_value(arena, event, ICAL_STATUS_PROPERTY),
                          bk_ics_value(arena, event, ICAL_RRULE_PROPERTY),
                          alarms.data};
    return bk_format(arena, "%016" PRIx64, bk_calendar_hash(seen, sizeof seen / sizeof *seen));
}

static bool is_untouched(bk_arena *arena, icalcomponent *event)
{
    for (icalproperty *p = icalcomponent_get_first_property(event, ICAL_X_PROPERTY); p;
         p = icalcomponent_get_next_property(event, ICAL_X_PROPERTY)) {
        const char *name = icalproperty_get_x_name(p), *value = icalproperty_get_x(p);
        if (name && value && strcmp(name, BK_ICS_MARK) == 0)
            return strcmp(value, bk_ics_mark(arena, event)) == 0;
    }
    return false;
}

static icalcomponent *empty_calendar(void)
{
    return icalcomponent_vanew(ICAL_VCALENDAR_COMPONENT, icalproperty_new_version("2.0"),
                               icalproperty_new_prodid(BK_ICS_PRODUCT), (void *)0);
}

static const char *text_of(bk_arena *arena, icalcomponent *component)
{
    char *text = icalcomponent_as_ical_string_r(component);
    const char *copied = bk_copy_string(arena, !text ? "" : text);
    icalmemory_free_buffer(text);
    return copied;
}

static void add_events(bk_arena *arena, icalcomponent *calendar, bk_ics_events *events)
{
    for (icalcomponent *c = icalcomponent_get_first_component(calendar, ICAL_VEVENT_COMPONENT); c;
         c = icalcomponent_get_next_component(calendar, ICAL_VEVENT_COMPONENT)) {
        bk_ics_event *event = BK_PUSH(arena, events->items, events->count, events->room);
        event->uid = bk_ics_value(arena, c, ICAL_UID_PROPERTY);
        event->summary = bk_ics_value(arena, c, ICAL_SUMMARY_PROPERTY);
        event->start = bk_ics_value(arena, c, ICAL_DTSTART_PROPERTY);
        event->sequence = icalcomponent_get_sequence(c);
        event->cancelled = icalcomponent_get_status(c) == ICAL_STATUS_CANCELLED;
        event->untouched = is_untouched(arena, c);
        icalcomponent *alone = empty_calendar();
        icalcomponent *copy = !alone ? NULL : icalcomponent_new_clone(c);
        if (copy)
            icalcomponent_add_component(alone, copy);
        event->text = !alone ? "" : text_of(arena, alone);
        if (alone)
            icalcomponent_free(alone);
    }
}

bool bk_ics_split(bk_arena *arena, const bk_source *calendar, bk_ics_events *events,
                  bk_report *report)
{
    if (!bk_calendar_check(arena, calendar, report))
        return false;
    icalcomponent *root = icalparser_parse_string(calendar->text);
    if (!root) {
        bk_error(report, "calendar", (bk_place){calendar, 0}, NULL, "this calendar cannot be read");
        return false;
    }
    add_events(arena, root, events);
    for (icalcomponent *c = icalcomponent_get_first_component(root, ICAL_VCALENDAR_COMPONENT); c;
         c = icalcomponent_get_next_component(root, ICAL_VCALENDAR_COMPONENT))
        add_events(arena, c, events);
    icalcomponent_free(root);
    return true;
}

/* A timeline as an iCalendar file (RFC 5545), by libical, as phones and services
 * take it: VEVENTs in UTC, one DISPLAY alarm at the end of those that need a
 * person, no METHOD, no attendees. */
#include "icalendar/icalendar.h"
#include "write/calendar/events.h"
#include "write/words/words.h"

#include <string.h>

/* libical gives NULL where there is no memory; `good` remembers that. */
static void add(icalcomponent *component, icalproperty *property, bool *good)
{
    if (!property)
        *good = false;
    else
        icalcomponent_add_property(component, property);
}

static struct icaltimetype time_of(const char *text)
{
    return icaltime_from_string(text);
}

/* libical 3.0.16 leaves commas and semicolons in it as they are, which readers
 * take as they are; NAME, of RFC 7986, is escaped. */
static icalproperty *named(const char *name, const char *text)
{
    icalproperty *property = icalproperty_new_x(text);
    if (property)
        icalproperty_set_x_name(property, name);
    return property;
}

/* TRIGGER counts from the event's start, the default of RELATED. */
static icalcomponent *alarm_of(const char *trigger, const char *text)
{
    struct icaltriggertype when;
    memset(&when, 0, sizeof when);
    when.time = icaltime_null_time();
    when.duration = icaldurationtype_from_string(trigger);
    icalcomponent *alarm = icalcomponent_new_valarm();
    bool good = alarm;
    if (!good)
        return NULL;
    add(alarm, icalproperty_new_action(ICAL_ACTION_DISPLAY), &good);
    add(alarm, icalproperty_new_description(text), &good);
    add(alarm, icalproperty_new_trigger(when), &good);
    if (!good) {
        icalcomponent_free(alarm);
        return NULL;
    }
    return alarm;
}

static icalcomponent *component_of(bk_arena *arena, const bk_calendar_event *event,
                                   const char *trigger)
{
    icalcomponent *c = icalcomponent_new_vevent();
    bool good = c;
    if (!good)
        return NULL;
    add(c, icalproperty_new_uid(event->uid), &good);
    add(c, icalproperty_new_dtstamp(time_of(event->stamp)), &good);
    add(c, icalproperty_new_lastmodified(time_of(event->stamp)), &good);
    add(c, icalproperty_new_sequence(event->sequence), &good);
    if (event->all_day) {
        add(c, icalproperty_new_dtstart(time_of(event->date)), &good);
    } else {
        add(c, icalproperty_new_dtstart(time_of(bk_instant_utc(arena, event->start))), &good);
        add(c, icalproperty_new_dtend(time_of(bk_instant_utc(arena, event->end))), &good);
    }
    if (event->summary[0] != '\0') /* an event of an old file may have none */
        add(c, icalproperty_new_summary(event->summary), &good);
    if (event->description[0] != '\0')
        add(c, icalproperty_new_description(event->description), &good);
    add(c,
        icalproperty_new_status(event->cancelled ? ICAL_STATUS_CANCELLED : ICAL_STATUS_CONFIRMED),
        &good);
    /* A plan that reads this calendar again must not find its own work in its way. */
    add(c, icalproperty_new_transp(ICAL_TRANSP_TRANSPARENT), &good);
    if (event->alarm && !event->cancelled) {
        icalcomponent *alarm = alarm_of(trigger, event->summary);
        if (!alarm)
            good = false;
        else
            icalcomponent_add_component(c, alarm);
    }
    if (good)
        add(c, named(BK_ICS_MARK, bk_ics_mark(arena, c)), &good);
    if (!good) {
        icalcomponent_free(c);
        return NULL;
    }
    return c;
}

static icalcomponent *whole_calendar(const bk_calendar *calendar, const char *title,
                                     const bk_ics_options *options)
{
    icalcomponent *root = icalcomponent_new(ICAL_VCALENDAR_COMPONENT);
    bool good = root;
    if (!good)
        return NULL;
    add(root, icalproperty_new_version("2.0"), &good);
    add(root, icalproperty_new_prodid(BK_ICS_PRODUCT), &good);
    add(root, icalproperty_new_calscale("GREGORIAN"), &good);
    add(root, icalproperty_new_name(title), &good);
    add(root, named("X-WR-CALNAME", title), &good);
    for (size_t i = 0; i < calendar->count && good; i++) {
        icalcomponent *event =
            component_of(calendar->arena, &calendar->items[i],
                         bk_calendar_trigger(calendar->arena, options, &calendar->items[i]));
        if (!event)
            good = false;
        else
            icalcomponent_add_component(root, event);
    }
    if (!good) {
        icalcomponent_free(root);
        return NULL;
    }
    return root;
}

char *bk_calendar_trigger(bk_arena *arena, const bk_ics_options *options,
                          const bk_calendar_event *event)
{
    return options->alarm_before > 0 && !event->exact
               ? bk_format(arena, "-PT%dM", options->alarm_before)
               : bk_copy_string(arena, "PT0S");
}

bool bk_write_ics(const bk_timeline *timeline, const bk_ics_options *options, bk_text *out,
                  bk_report *report)
{
    bk_arena *arena = out->arena;
    bk_calendar calendar = bk_calendar_of(arena, timeline, options);
    if (options->replaces &&
        !bk_calendar_replace(&calendar, timeline->plan, options, options->replaces, report))
        return false;
    icalcomponent *root =
        whole_calendar(&calendar, bk_words_clean(arena, timeline->plan->occasion), options);
    char *text = !root ? NULL : icalcomponent_as_ical_string_r(root);
    if (text)
        bk_text_add(out, text);
    else
        bk_error(report, "memory", (bk_place){0}, NULL, "no memory for the calendar");
    report->machine_failed = report->machine_failed || !text;
    bool good = text;
    icalmemory_free_buffer(text);
    if (root)
        icalcomponent_free(root);
    if (good && !bk_calendar_reads_back(&calendar, timeline->plan, options, out->data)) {
        bk_error(report, "internal", (bk_place){0}, NULL,
                 "internal error: the calendar that was written is not the one that was meant");
        report->machine_failed = true;
        good = false;
    }
    return good;
}

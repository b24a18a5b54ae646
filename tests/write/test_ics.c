/* The calendar file: what is in it, what rings, and what replaces what. Read back
 * with libical, and line by line where libical is too kind. */
#include "fixture.h"

#include "icalendar/icalendar.h"
#include "write/calendar/events.h"
#include "write/write.h"

#include <libical/ical.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static bk_arena *arena;
static bk_report report;

static int set_up(void **state)
{
    (void)state;
    arena = bk_arena_new(NULL);
    report = bk_report_new(arena);
    return arena == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    bk_arena_free(arena);
    return 0;
}

static const char *write_with(const bk_timeline *timeline, const bk_ics_options *options)
{
    bk_text out = bk_text_new(arena);
    assert_true(bk_write_ics(timeline, options, &out, &report));
    return out.data;
}

static const char *written(const bk_timeline *timeline)
{
    bk_ics_options options = {0};
    return write_with(timeline, &options);
}

static const char *replacing(const bk_timeline *timeline, const char *old, bk_instant stamp)
{
    bk_source source = {"old.ics", old, strlen(old)};
    bk_ics_options options = {.replaces = &source, .has_stamp = true, .stamp = stamp};
    return write_with(timeline, &options);
}

/* One line an event: "17T18:00-18:15 ! Do this" in UTC, "!" where it rings, "x"
 * when it is cancelled; with the sequence when `with_sequence`. */
static const char *listed(const char *ics, bool with_sequence)
{
    icalcomponent *root = icalparser_parse_string(ics);
    assert_non_null(root);
    assert_int_equal(icalcomponent_count_errors(root), 0);
    bk_text text = bk_text_new(arena);
    bk_text_add(&text, "");
    for (icalcomponent *c = icalcomponent_get_first_component(root, ICAL_VEVENT_COMPONENT);
         c != NULL; c = icalcomponent_get_next_component(root, ICAL_VEVENT_COMPONENT)) {
        struct icaltimetype start = icalcomponent_get_dtstart(c), end = icalcomponent_get_dtend(c);
        int alarms = icalcomponent_count_components(c, ICAL_VALARM_COMPONENT);
        assert_in_range(alarms, 0, 1);
        bool cancelled = icalcomponent_get_status(c) == ICAL_STATUS_CANCELLED;
        if (start.is_date)
            bk_text_addf(&text, "%02d all day", start.day);
        else
            bk_text_addf(&text, "%02dT%02d:%02d-%02d:%02d", start.day, start.hour, start.minute,
                         end.hour, end.minute);
        bk_text_add(&text, cancelled ? " x " : alarms ? " ! " : " - ");
        if (with_sequence)
            bk_text_addf(&text, "%d ", icalcomponent_get_sequence(c));
        bk_text_addf(&text, "%s\n", icalcomponent_get_summary(c));
    }
    icalcomponent_free(root);
    return text.data;
}

static size_t lines_with(const char *text, const char *part)
{
    size_t count = 0;
    for (const char *at = text; (at = strstr(at, part)) != NULL; at++)
        count++;
    return count;
}

/* Worked out by hand from the fixture's times: GMT is UTC in December. */
static void events_of_a_supper(void **state)
{
    (void)state;
    assert_string_equal(listed(written(fixture_supper(arena)), false),
                        "17 all day - Start by 18:00: Friday supper\n"
                        "17T18:00-18:15 ! Turn on the oven to 180 °C +1\n"
                        "17T18:15-18:40 - Bake the sponge until… (Blackcurrant…)\n"
                        "17T18:27-18:32 ! Turn the tin round (Blackcurrant…)\n"
                        "17T18:40-18:45 ! Take out: Blackcurrant mousse torte +2\n"
                        "17T18:40-19:40 - Cool on a rack (Blackcurrant…)\n"
                        "17T19:40-20:20 ! Make the mousse and… (Blackcurrant…)\n"
                        "17T20:20-20:35 ! Warm cream with vanilla… (Panna cotta)\n"
                        "17T20:20-02:20 - Set in the fridge (Blackcurrant…)\n"
                        "17T20:35-01:35 - Set in the fridge (Panna cotta)\n"
                        "18T08:10-08:30 ! Pour the glaze (Blackcurrant…)\n"
                        "18T08:30-08:35 - Ready: Blackcurrant mousse torte\n"
                        "18T16:50-16:55 ! Turn on the oven to 200 °C\n"
                        "18T16:55-17:05 ! Season the joint (Roast beef)\n"
                        "18T17:05-18:25 - Roast (Roast beef)\n"
                        "18T17:15-17:30 ! Knead the dough (Milk rolls)\n"
                        "18T17:30-18:45 - Prove until doubled (Milk rolls)\n"
                        "18T17:45-17:48 ! Baste (Roast beef)\n"
                        "18T18:25-18:30 ! Take out: Roast beef +2\n"
                        "18T18:25-18:55 - Rest under foil (Roast beef)\n"
                        "18T18:45-18:50 ! Bake the rolls (Milk rolls)\n"
                        "18T18:45-19:00 - Bake the rolls (Milk rolls)\n"
                        "18T18:55-19:00 - Ready: Roast beef\n"
                        "18T19:00-19:05 ! Take out: Milk rolls; Turn off the oven\n"
                        "18T19:00-19:05 - Ready: Milk rolls\n"
                        "18T19:20-19:25 ! Simmer the sauce (Panna cotta)\n"
                        "18T19:20-19:30 - Simmer the sauce (Panna cotta)\n"
                        "18T19:30-19:35 ! Take out and serve: Blackcurrant mousse…\n"
                        "18T19:30-19:35 - Ready: Panna cotta\n");
}

static void form_of_the_file(void **state)
{
    (void)state;
    const char *ics = written(fixture_supper(arena));
    assert_string_equal(ics, written(fixture_supper(arena)));
    assert_int_equal(strncmp(ics, "BEGIN:VCALENDAR\r\nVERSION:2.0\r\n", 30), 0);
    assert_non_null(strstr(ics, "END:VEVENT\r\nEND:VCALENDAR\r\n"));
    assert_non_null(strstr(ics, "\r\nX-WR-CALNAME:Friday supper\r\n"));
    static const char *const banned[] = {"\nMETHOD", "\nORGANIZER", "\nATTENDEE", "TZID", "VTODO",
                                         "TRIGGER;", "\nRRULE",     "AUDIO",      "EMAIL"};
    for (size_t i = 0; i < sizeof banned / sizeof *banned; i++)
        assert_null(strstr(ics, banned[i]));
    /* RFC 5545 section 3.1: CRLF, 75 octets at most; the alarm closes its event. */
    size_t length = 0;
    for (const char *c = ics; *c != '\0'; c++) {
        if (*c == '\n') {
            assert_true(c > ics && c[-1] == '\r');
            assert_true(length <= 76);
            length = 0;
        } else {
            length++;
        }
    }
    size_t alarms = lines_with(ics, "BEGIN:VALARM\r\nACTION:DISPLAY\r\nDESCRIPTION:");
    assert_int_equal(alarms, lines_with(ics, "BEGIN:VALARM"));
    assert_int_equal(alarms, lines_with(ics, "END:VALARM\r\nEND:VEVENT\r\n"));
    assert_int_equal(alarms, lines_with(ics, "\r\nTRIGGER:PT0S\r\n"));
    size_t events = lines_with(ics, "BEGIN:VEVENT\r\nUID:");
    assert_int_equal(events, 29);
    /* When it is written nobody has said: a stamp that is surely past, whatever the plan's days. */
    assert_int_equal(events, lines_with(ics, "\r\nDTSTAMP:20260101T000000Z\r\n"));
    /* The end of the all-day entry is said: some services refuse one without. */
    assert_int_equal(1, lines_with(ics, "\r\nDTSTART;VALUE=DATE:20261217\r\n"
                                        "DTEND;VALUE=DATE:20261218\r\n"));
    assert_int_equal(events, lines_with(ics, "\r\nSEQUENCE:0\r\n"));
    /* A plan that reads this calendar back is not in its own way. */
    assert_int_equal(events, lines_with(ics, "\r\nTRANSP:TRANSPARENT\r\n"));
}

static void cautions_come_first(void **state)
{
    (void)state;
    const char *ics = written(fixture_supper(arena));
    icalcomponent *root = icalparser_parse_string(ics);
    bool found = false;
    for (icalcomponent *c = icalcomponent_get_first_component(root, ICAL_VEVENT_COMPONENT);
         c != NULL; c = icalcomponent_get_next_component(root, ICAL_VEVENT_COMPONENT)) {
        const char *text = icalcomponent_get_description(c);
        const char *caution = "Caution: Raw egg white: not for those who must avoid it\n";
        found = found || (text != NULL && strncmp(text, caution, strlen(caution)) == 0);
        /* The alarm says the same as the event. */
        icalcomponent *alarm = icalcomponent_get_first_component(c, ICAL_VALARM_COMPONENT);
        if (alarm != NULL)
            assert_string_equal(icalcomponent_get_description(alarm), icalcomponent_get_summary(c));
    }
    icalcomponent_free(root);
    assert_true(found);
}

static void options_of_alarms(void **state)
{
    (void)state;
    bk_timeline *supper = fixture_supper(arena);
    bk_ics_options before = {.alarm_before = 10};
    const char *ics = write_with(supper, &before);
    /* Three times something comes out of the oven: not ten minutes early. */
    assert_int_equal(lines_with(ics, "\r\nTRIGGER:-PT10M\r\n"), 12);
    assert_int_equal(lines_with(ics, "\r\nTRIGGER:PT0S\r\n"), 3);
    assert_int_equal(lines_with(ics, "BEGIN:VALARM"), 15);
    /* Nor does an oven go over to another temperature early, by itself in its minute. */
    bk_timeline *over = fixture_supper(arena);
    over->ovens[2].on += 3;
    ics = write_with(over, &before);
    assert_int_equal(lines_with(ics, "\r\nTRIGGER:PT0S\r\n"), 4);
    bk_ics_options only = {.only_alarms = true};
    ics = write_with(supper, &only);
    assert_int_equal(lines_with(ics, "BEGIN:VEVENT"), lines_with(ics, "BEGIN:VALARM"));
    assert_int_equal(lines_with(ics, "BEGIN:VALARM"), 15);
    bk_ics_options plain = {.no_summary = true};
    ics = write_with(supper, &plain);
    assert_int_equal(lines_with(ics, "Start by"), 0);
    assert_int_equal(lines_with(ics, "BEGIN:VEVENT"), 28);
    bk_ics_options stamped = {.has_stamp = true, .stamp = fixture_at(supper, 16, 9, 0)};
    ics = write_with(supper, &stamped);
    assert_int_equal(lines_with(ics, "\r\nDTSTAMP:20261216T090000Z\r\n"), 29);
    fixture_plan(supper)->has_now = true;
    fixture_plan(supper)->now = fixture_at(supper, 15, 8, 30);
    assert_int_equal(lines_with(written(supper), "\r\nDTSTAMP:20261215T083000Z\r\n"), 29);
}

/* Two people can begin two things in one minute; the oven is for one of them. */
static void one_event_for_each_pair_of_hands(void **state)
{
    (void)state;
    bk_timeline *supper = fixture_supper(arena);
    fixture_plan(supper)->kitchen.cooks = 2;
    supper->ovens[1].on = supper->stages[8].start; /* as the joint is seasoned */
    supper->stages[9].start = supper->stages[8].start;
    supper->stages[9].end = supper->stages[9].start + 15;
    bk_placed joint = supper->stages[8], rolls = supper->stages[10];
    assert_int_equal(rolls.stage, 9); /* 10 is the dough */
    supper->stages[10].start = joint.start;
    supper->stages[10].end = joint.start + 15;
    const char *list = listed(written(supper), false);
    assert_non_null(strstr(list, "18T16:55-17:05 ! Turn on the oven to 200 °C +2\n"));
    assert_non_null(strstr(list, "18T16:55-17:10 ! Knead the dough (Milk rolls)\n"));
}

/* What begins by itself while all are asleep or out wakes nobody. */
static void nothing_rings_at_night(void **state)
{
    (void)state;
    bk_timeline *supper = fixture_supper(arena);
    bk_placed *sauce = &supper->stages[supper->stage_count - 1];
    sauce->start = fixture_at(supper, 18, 3, 0);
    sauce->end = sauce->start + 10;
    const char *list = listed(written(supper), false);
    assert_null(strstr(list, "! Simmer the sauce"));
    assert_non_null(strstr(list, "18T03:00-03:10 - Simmer the sauce (Panna cotta)\n"));
}

/* ---------------------------------------------------------------- identity */

/* "uid summary" of every event, sorted. */
static const char *uids(const char *ics)
{
    icalcomponent *root = icalparser_parse_string(ics);
    const char *lines[100];
    size_t count = 0;
    for (icalcomponent *c = icalcomponent_get_first_component(root, ICAL_VEVENT_COMPONENT);
         c != NULL; c = icalcomponent_get_next_component(root, ICAL_VEVENT_COMPONENT))
        lines[count++] = bk_copy_string(arena, icalcomponent_get_uid(c));
    icalcomponent_free(root);
    bk_text text = bk_text_new(arena);
    for (size_t left = count; left > 0; left--) {
        size_t least = SIZE_MAX;
        for (size_t i = 0; i < count; i++)
            if (lines[i] != NULL && (least == SIZE_MAX || strcmp(lines[i], lines[least]) < 0))
                least = i;
        assert_true(text.length == 0 || strstr(text.data, lines[least]) == NULL); /* unique */
        bk_text_addf(&text, "%s\n", lines[least]);
        lines[least] = NULL;
    }
    return text.data;
}

static void move_all(bk_timeline *timeline, bk_instant by)
{
    for (size_t i = 0; i < timeline->stage_count; i++) {
        bk_placed *placed = &timeline->stages[i];
        placed->start += by;
        placed->end += by;
        for (size_t k = 0; k < placed->check_count; k++) {
            placed->checks[k].start += by;
            placed->checks[k].end += by;
        }
    }
    for (size_t i = 0; i < timeline->oven_count; i++) {
        timeline->ovens[i].on += by;
        timeline->ovens[i].ready += by;
        timeline->ovens[i].off += by;
    }
    timeline->start += by;
    timeline->ready += by;
}

static void uids_hold(void **state)
{
    (void)state;
    const char *first = uids(written(fixture_supper(arena)));
    /* Kept in the test: calendars already on phones know these. */
    assert_non_null(strstr(first, "@bakeset\n"));
    bk_timeline *later = fixture_supper(arena);
    bk_plan *plan = fixture_plan(later);
    move_all(later, -3 * BK_DAY - 20);
    for (size_t i = 0; i < plan->dish_count; i++)
        plan->dishes[i].serve -= 3 * BK_DAY + 20;
    plan->stages[3].text = "Make the mousse, then pour it";
    plan->stages[3].note = "New note";
    assert_string_equal(uids(written(later)), first);
    /* Another occasion shares none. */
    plan->occasion = "Saturday supper";
    const char *other = uids(written(later));
    char *prefix = bk_calendar_prefix(arena, plan);
    assert_null(strstr(first, prefix));
    assert_int_equal(lines_with(other, prefix), 29);
}

/* One UID in full: if this changes, every calendar written before is orphaned.
 * FNV-1a by an independent line of python3:
 *   h=0xcbf29ce484222325
 *   for b in b"Friday supper\xff": h=((h^b)*0x100000001b3)%2**64 */
static void uid_known_in_full(void **state)
{
    (void)state;
    bk_timeline *supper = fixture_supper(arena);
    /* FNV-1a of "Friday supper" and "2026-12-18", each with FF behind it, reckoned by python3. */
    assert_string_equal(bk_calendar_prefix(arena, supper->plan), "0d09a02735bb3683-");
    assert_non_null(strstr(written(supper), "UID:0d09a02735bb3683-616eb64135ea0ccb@bakeset"));
}

/* `ics` with what its UIDs begin with turned into something else. */
static const char *with_prefix(const char *ics, const char *prefix, const char *other)
{
    bk_text out = bk_text_new(arena);
    for (const char *at; (at = strstr(ics, prefix)); ics = at + strlen(prefix)) {
        bk_text_add_bytes(&out, ics, (size_t)(at - ics));
        bk_text_add(&out, other);
    }
    bk_text_add(&out, ics);
    return out.data;
}

/* A name may come again: the date of the last serve tells two suppers apart, and one that is
 * written again keeps its UIDs, also where it moves to another date, and where version 0.1.0
 * wrote it, to which the name was all. */
static void same_name_another_date(void **state)
{
    (void)state;
    bk_timeline *supper = fixture_supper(arena), *moved = fixture_supper(arena);
    const char *prefix = bk_calendar_prefix(arena, supper->plan), *first = written(supper);
    move_all(moved, 371 * (bk_instant)BK_DAY);
    fixture_plan(moved)->last_serve += 371 * (bk_instant)BK_DAY;
    const char *next_year = written(moved);
    assert_int_equal(lines_with(first, prefix), 29);
    assert_null(strstr(next_year, prefix));

    bk_instant now = fixture_at(supper, 16, 9, 0);
    assert_int_equal(report.count, 0);
    const char *taken_over = replacing(moved, first, now);
    assert_string_equal(
        uids(taken_over),
        uids(with_prefix(next_year, bk_calendar_prefix(arena, moved->plan), prefix)));
    /* All but the serving, whose hour move_all leaves. */
    assert_int_equal(lines_with(taken_over, "\r\nSEQUENCE:1\r\n"), 28);
    assert_int_equal(lines_with(taken_over, "STATUS:CANCELLED"), 0);
    assert_int_equal(report.count, 1);
    assert_string_equal(
        report.messages[0].text,
        "this calendar has \"Friday supper\" on Friday 18 December 2026: its events "
        "move to Friday 24 December 2027");
    /* And from then on without a word. */
    report = bk_report_new(arena);
    assert_string_equal(replacing(moved, taken_over, now), taken_over);
    assert_int_equal(report.count, 0);

    const char *old = with_prefix(first, prefix, "2cf83950b5a47332-"); /* by 0.1.0 */
    assert_string_equal(replacing(supper, old, now), old);
    assert_int_equal(report.count, 0);
    /* In a file with both years' the one of its own date is meant. */
    const char *both = bk_format(arena, "%s%s", next_year, first);
    assert_string_equal(uids(replacing(supper, both, now)), uids(first));
    assert_int_equal(report.count, 1);
    assert_non_null(strstr(report.messages[0].text, "29 events that this occasion did not write"));
    report = bk_report_new(arena);

    /* Written over, it is known by its name alone. */
    bk_source source = {"old.ics", next_year, strlen(next_year)};
    assert_true(bk_ics_holds(arena, supper->plan, &source));
    fixture_plan(supper)->occasion = "Saturday supper";
    assert_false(bk_ics_holds(arena, supper->plan, &source));
}

/* ------------------------------------------------------------- replacement */

static void nothing_changed(void **state)
{
    (void)state;
    bk_timeline *supper = fixture_supper(arena);
    const char *first = written(supper);
    const char *again = replacing(supper, first, fixture_at(supper, 16, 9, 0));
    assert_string_equal(again, first);
    assert_string_equal(replacing(supper, again, fixture_at(supper, 16, 10, 0)), first);
}

static void only_what_changed(void **state)
{
    (void)state;
    bk_timeline *supper = fixture_supper(arena);
    const char *first = written(supper);
    supper->stages[7].start += 5; /* the glaze */
    supper->stages[7].end += 5;
    const char *second = replacing(supper, first, fixture_at(supper, 16, 9, 0));
    const char *list = listed(second, true);
    assert_non_null(strstr(list, "18T08:15-08:35 ! 1 Pour the glaze"));
    assert_non_null(strstr(list, "18T08:35-08:40 - 1 Ready: Blackcurrant"));
    assert_int_equal(lines_with(second, "\r\nSEQUENCE:1\r\n"), 2);
    assert_int_equal(lines_with(second, "\r\nSEQUENCE:0\r\n"), 27);
    assert_int_equal(lines_with(second, "\r\nDTSTAMP:20261216T090000Z\r\n"), 2);
    assert_int_equal(lines_with(second, "\r\nDTSTAMP:20260101T000000Z\r\n"), 27);
    /* Back again: the number still rises. A stamp goes back only where it was later than now. */
    supper->stages[7].start -= 5;
    supper->stages[7].end -= 5;
    const char *third = replacing(supper, second, fixture_at(supper, 1, 9, 0));
    assert_non_null(strstr(listed(third, true), "18T08:10-08:30 ! 2 Pour the glaze"));
    assert_int_equal(lines_with(third, "\r\nDTSTAMP:20261201T090000Z\r\n"), 2);
    bk_source unknown = {"second.ics", second, strlen(second)};
    bk_ics_options no_clock = {.replaces = &unknown};
    third = write_with(supper, &no_clock);
    assert_non_null(strstr(listed(third, true), "18T08:10-08:30 ! 2 Pour the glaze"));
    assert_int_equal(lines_with(third, "\r\nDTSTAMP:20261216T090000Z\r\n"), 2);
    /* Another alarm is a change of every event that rings. */
    bk_source source = {"old.ics", first, strlen(first)};
    bk_ics_options options = {.replaces = &source, .alarm_before = 5};
    const char *earlier = write_with(supper, &options);
    assert_int_equal(lines_with(earlier, "\r\nSEQUENCE:1\r\n"), 12); /* all but what comes out */
}

/* The glaze goes: its event is cancelled, without alarm, and stays so; when it
 * comes back it is confirmed with a higher number. */
static void dropped_and_wanted_again(void **state)
{
    (void)state;
    bk_timeline *supper = fixture_supper(arena);
    const char *first = written(supper);
    bk_placed kept[16];
    memcpy(kept, supper->stages, supper->stage_count * sizeof *kept);
    size_t count = supper->stage_count;
    memmove(supper->stages + 7, supper->stages + 8, (count - 8) * sizeof *kept);
    supper->stage_count--;
    bk_timeline_index(arena, supper);
    const char *second = replacing(supper, first, fixture_at(supper, 16, 9, 0));
    const char *list = listed(second, true);
    const char *cancelled = strstr(list, " x ");
    assert_non_null(cancelled);
    assert_string_equal(cancelled - 14, "18T08:10-08:30 x 1 Pour the glaze (Blackcurrant…)\n");
    assert_string_equal(listed(replacing(supper, second, fixture_at(supper, 16, 10, 0)), true),
                        list);
    memcpy(supper->stages, kept, count * sizeof *kept);
    supper->stage_count = count;
    bk_timeline_index(arena, supper);
    list = listed(replacing(supper, second, fixture_at(supper, 16, 11, 0)), true);
    assert_non_null(strstr(list, "18T08:10-08:30 ! 2 Pour the glaze"));
    assert_null(strstr(list, " x "));
}

static void strangers_are_left_alone(void **state)
{
    (void)state;
    bk_timeline *supper = fixture_supper(arena);
    const char *mixed =
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\nUID:dentist\r\n"
        "DTSTART:20261218T090000Z\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\n"
        "DTSTART:20261218T090000Z\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n";
    const char *ics = replacing(supper, mixed, bk_civil_minutes((bk_civil){2026, 1, 1, 0, 0}));
    assert_string_equal(ics, written(supper));
    assert_int_equal(report.count, 1);
    assert_int_equal(report.errors, 0);
    assert_non_null(strstr(report.messages[0].text, "2 events"));
    report = bk_report_new(arena);
}

static void old_files_of_any_kind(void **state)
{
    (void)state;
    bk_timeline *supper = fixture_supper(arena);
    static const char *const bad[] = {"", "{}", "BEGIN:VCALENDAR\r\n", "END:VCALENDAR\r\n",
                                      "BEGIN:VCALENDAR\r\nX:\xff\r\nEND:VCALENDAR\r\n"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        bk_source source = {"old.ics", bad[i], strlen(bad[i])};
        bk_ics_options options = {.replaces = &source};
        bk_text out = bk_text_new(arena);
        report = bk_report_new(arena);
        assert_false(bk_write_ics(supper, &options, &out, &report));
        assert_int_equal(report.errors, 1);
        assert_int_equal(out.length, 0);
    }
    report = bk_report_new(arena);
    /* Events of this occasion with everything missing or odd: replaced, or left. */
    const char *prefix = bk_calendar_prefix(arena, supper->plan);
    const char *odd = bk_format(
        arena,
        "BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nUID:%sa\r\nEND:VEVENT\r\n"
        "BEGIN:VEVENT\r\nUID:%sb\r\nDTSTART:20269918T090000Z\r\nDTSTAMP:x\r\nEND:VEVENT\r\n"
        "BEGIN:VEVENT\r\nUID:%sc\r\nDTSTART:20261218T090000Z\r\nSEQUENCE:2147483647\r\n"
        "DTSTAMP:20300101T000000Z\r\nBEGIN:VALARM\r\nEND:VALARM\r\nEND:VEVENT\r\n"
        "BEGIN:VEVENT\r\nUID:%sc\r\nDTSTART:20261219T090000Z\r\nSEQUENCE:3\r\nEND:VEVENT\r\n"
        "END:VCALENDAR\r\n",
        prefix, prefix, prefix, prefix);
    bk_source source = {"odd.ics", odd, strlen(odd)};
    bk_ics_options options = {.replaces = &source};
    const char *ics = write_with(supper, &options);
    assert_int_equal(lines_with(ics, "STATUS:CANCELLED"), 1);
    assert_non_null(strstr(ics, "DTSTAMP:20300101T000000Z"));
    assert_non_null(strstr(listed(ics, true), "18T09:00-09:05 x 2147483647 "));
}

/* ------------------------------------------------------------------- events */

static void taken_apart_and_joined(void **state)
{
    (void)state;
    const char *ics = written(fixture_supper(arena));
    bk_source source = {"supper.ics", ics, strlen(ics)};
    bk_ics_events events = {0};
    assert_true(bk_ics_split(arena, &source, &events, &report));
    assert_int_equal(events.count, 29);
    for (size_t i = 0; i < events.count; i++) {
        assert_true(events.items[i].untouched);
        assert_false(events.items[i].seen.cancelled);
        assert_int_equal(lines_with(events.items[i].text, "BEGIN:VEVENT"), 1);
    }
    assert_string_equal(events.items[1].seen.start, "20261217T180000Z");
    bk_text joined = bk_text_new(arena);
    for (size_t i = 0; i < events.count; i++)
        bk_text_add(&joined, events.items[i].text);
    bk_source again = {"joined.ics", joined.data, joined.length};
    bk_ics_events same = {0};
    assert_true(bk_ics_split(arena, &again, &same, &report));
    assert_int_equal(same.count, 29);
    for (size_t i = 0; i < same.count; i++)
        assert_string_equal(same.items[i].text, events.items[i].text);
    /* The same supper against the joined calendars: nothing changed. */
    bk_timeline *supper = fixture_supper(arena);
    assert_string_equal(replacing(supper, joined.data, fixture_at(supper, 16, 9, 0)), ics);
}

/* An event that somebody moved, renamed or silenced no longer has its mark; one that a server put
 * into another form, or that a server or phone added to, still has. */
static void touched_by_somebody_else(void **state)
{
    (void)state;
    const char *ics = written(fixture_supper(arena));
    static const struct {
        const char *old, *new;
        size_t touched;
    } edits[] = {
        {"DTSTART:20261218T081000Z", "DTSTART:20261218T081500Z", 1},
        {"DTSTART:20261218T081000Z", "DTSTART;TZID=Europe/Berlin:20261218T081000", 1},
        {"DTSTART:20261218T081000Z", "DTSTART:20261218T081000", 1}, /* nobody knows where */
        {"DTEND:20261218T083000Z", "DTEND:20261218T083500Z", 1},
        {"DTSTART;VALUE=DATE:20261217\r\nDTEND;VALUE=DATE:20261218",
         "DTSTART;VALUE=DATE:20261217\r\nDTEND;VALUE=DATE:20261219", 1},
        {"SUMMARY:Pour the glaze", "SUMMARY:Pour all of the glaze", 1},
        {"DESCRIPTION:Turn", "DESCRIPTION:Do not turn", 1},
        {"STATUS:CONFIRMED", "STATUS:CANCELLED", 1},
        {"SEQUENCE:0", "SEQUENCE:0\r\nRRULE:FREQ=DAILY", 1},
        {"TRIGGER:PT0S", "TRIGGER:-PT5M", 1},
        {"TRIGGER:PT0S", "TRIGGER;RELATED=END:PT0S", 1},
        {"TRIGGER:PT0S", "TRIGGER;VALUE=DATE-TIME:19760401T005545Z", 1},
        {"TRIGGER:PT0S", "RELATED-TO:1\r\nTRIGGER:PT0S", 1},
        /* the same in other forms */
        {"DTSTART:20261218T081000Z", "DTSTART;TZID=UTC:20261218T081000", 0},
        {"DTSTART:20261218T081000Z", "DTSTART;TZID=Europe/Berlin:20261218T091000", 0},
        {"DTSTART;VALUE=DATE:20261217\r\nDTEND;VALUE=DATE:20261218", "DTSTART;VALUE=DATE:20261217",
         0},
        {"STATUS:CONFIRMED\r\n", "", 0},
        {"STATUS:CONFIRMED", "STATUS:TENTATIVE", 0},
        {"TRIGGER:PT0S", "TRIGGER:-P0D", 0},
        {"TRIGGER:PT0S", "TRIGGER;RELATED=START:-PT0M", 0},
        {"SUMMARY:Pour the glaze", "SUMMARY;LANGUAGE=en:Pour the g\r\n laze", 0},
        {"X-BAKESET-WRITTEN", "X-OTHER", 0},
        /* with more in it */
        {"TRIGGER:PT0S", "TRIGGER:PT0S\r\nACKNOWLEDGED:20261217T180001Z", 0},
        {"SEQUENCE:0", "SEQUENCE:0\r\nX-MOZ-GENERATION:2\r\nCREATED:20261204T193000Z", 0},
        {"STATUS:CONFIRMED", "LOCATION:Grandmother's\r\nSTATUS:CONFIRMED", 0},
        {"BEGIN:VALARM",
         "BEGIN:VALARM\r\nACTION:DISPLAY\r\nDESCRIPTION:x\r\nTRIGGER:-PT1H\r\nEND:VALARM\r\n"
         "BEGIN:VALARM",
         0},
        {"BEGIN:VALARM",
         "BEGIN:VALARM\r\nACTION:DISPLAY\r\nDESCRIPTION:x\r\nRELATED-TO:1\r\n"
         "TRIGGER;VALUE=DATE-TIME:20261217T180900Z\r\nEND:VALARM\r\nBEGIN:VALARM",
         0},
    };
    for (size_t i = 0; i < sizeof edits / sizeof *edits; i++) {
        const char *at = strstr(ics, edits[i].old);
        if (!at)
            fail_msg("there is no %s", edits[i].old);
        const char *edited = bk_format(arena, "%.*s%s%s", (int)(at - ics), ics, edits[i].new,
                                       at + strlen(edits[i].old));
        bk_source source = {"supper.ics", edited, strlen(edited)};
        bk_ics_events events = {0};
        assert_true(bk_ics_split(arena, &source, &events, &report));
        size_t touched = 0;
        for (size_t k = 0; k < events.count; k++)
            touched += !events.items[k].untouched;
        if (touched != edits[i].touched)
            fail_msg("%zu touched by %s", touched, edits[i].new);
    }
}

/* ------------------------------------------------------------------- words */

static void any_text_survives(void **state)
{
    (void)state;
    bk_timeline *supper = fixture_supper(arena);
    bk_plan *plan = fixture_plan(supper);
    bk_text longest = bk_text_new(arena);
    for (int i = 0; i < 40; i++)
        bk_text_add(&longest, "Gâteau 🎂 à l’orange; with, comma\\slash ");
    plan->stages[5].text = longest.data;
    plan->occasion = "Supper, for six; \\ or \"more\" 👨‍👩‍👧";
    plan->dishes[1].name = "Roast\nbeef\x01 and\xff rest\r\nEND:VCALENDAR";
    const char *ics = written(supper);
    for (const char *c = ics; *c != '\0'; c++)
        assert_true((unsigned char)*c >= ' ' || *c == '\r' || *c == '\n');
    for (size_t at = 0, length = strlen(ics); at < length;) {
        size_t step = bk_utf8_next(ics + at, length - at, NULL);
        assert_true(step > 0);
        /* No character is cut by a fold: what follows one starts a character. */
        at += step;
    }
    assert_int_equal(lines_with(ics, "\r\nEND:VCALENDAR\r\n"), 1);
    icalcomponent *root = icalparser_parse_string(ics);
    assert_int_equal(icalcomponent_count_errors(root), 0);
    assert_non_null(
        strstr(ics, "\r\nX-WR-CALNAME:Supper, for six; \\\\ or \"more\" 👨‍👩‍👧\r\n"));
    assert_non_null(
        strstr(ics, "\r\nNAME:Supper\\, for six\\; \\\\ or \"more\" 👨‍👩‍👧\r\n"));
    bool found = false;
    for (icalcomponent *c = icalcomponent_get_first_component(root, ICAL_VEVENT_COMPONENT);
         c != NULL; c = icalcomponent_get_next_component(root, ICAL_VEVENT_COMPONENT)) {
        const char *text = icalcomponent_get_description(c);
        assert_true(bk_columns(icalcomponent_get_summary(c)) <= 60);
        const char *behind = text != NULL && strncmp(text, longest.data, longest.length - 1) == 0
                                 ? text + longest.length - 1
                                 : NULL;
        const char *dish = " (Blackcurrant mousse torte)\n";
        found = found || (behind != NULL && strncmp(behind, dish, strlen(dish)) == 0);
    }
    icalcomponent_free(root);
    icalmemory_free_ring();
    assert_true(found);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(events_of_a_supper),
        cmocka_unit_test(form_of_the_file),
        cmocka_unit_test(cautions_come_first),
        cmocka_unit_test(options_of_alarms),
        cmocka_unit_test(one_event_for_each_pair_of_hands),
        cmocka_unit_test(nothing_rings_at_night),
        cmocka_unit_test(uids_hold),
        cmocka_unit_test(uid_known_in_full),
        cmocka_unit_test(same_name_another_date),
        cmocka_unit_test(nothing_changed),
        cmocka_unit_test(only_what_changed),
        cmocka_unit_test(dropped_and_wanted_again),
        cmocka_unit_test(strangers_are_left_alone),
        cmocka_unit_test(old_files_of_any_kind),
        cmocka_unit_test(taken_apart_and_joined),
        cmocka_unit_test(touched_by_somebody_else),
        cmocka_unit_test(any_text_survives),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}

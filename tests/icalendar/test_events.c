/* A calendar file taken apart into its events: how much of one is looked at. */
#include "icalendar/icalendar.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static const char *repeated(bk_arena *arena, const char *text, size_t count)
{
    bk_text all = bk_text_new(arena);
    for (size_t i = 0; i < count; i++)
        bk_text_add(&all, text);
    return all.data;
}

static bool split(bk_arena *arena, const char *body, bk_ics_events *events, bk_report *report)
{
    const char *text = bk_format(
        arena, "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//test//EN\r\n%sEND:VCALENDAR\r\n", body);
    bk_source source = {"test.ics", text, strlen(text)};
    *report = bk_report_new(arena);
    *events = (bk_ics_events){0};
    return bk_ics_split(arena, &source, events, report);
}

#define EVENT(alarms)                                                                              \
    "BEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20261201T090000Z\r\nDTSTART:20261218T090000Z\r\n"            \
    "DURATION:PT1H\r\n" alarms "END:VEVENT\r\n"
#define ALARM "BEGIN:VALARM\r\nACTION:DISPLAY\r\nTRIGGER:-PT5M\r\nEND:VALARM\r\n"

static void fifty_alarms_are_looked_at(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_ics_events events;
    bk_report report;
    static const size_t alarms[][2] = {{49, 49}, {50, 50}, {51, 50}, {500, 50}};
    for (size_t i = 0; i < sizeof alarms / sizeof *alarms; i++) {
        const char *body = bk_format(arena, EVENT("%s"), repeated(arena, ALARM, alarms[i][0]));
        assert_true(split(arena, body, &events, &report));
        assert_int_equal(events.count, 1);
        assert_int_equal(events.items[0].alarm_count, alarms[i][1]);
    }
    bk_arena_free(arena);
}

/* Each event's text has the zones of its calendar: a file of 1 MiB can make any number. */
static void sixty_four_mib_of_events_are_made(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_ics_events events;
    bk_report report;
    enum { OF_ZONE = 1024 * 1024 / 64 };
    char line[65] = "X-LONG:";
    memset(line + 7, 'x', 55);
    strcpy(line + 62, "\r\n");
    const char *zone =
        bk_format(arena,
                  "BEGIN:VTIMEZONE\r\nTZID:Home\r\n%sBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\n"
                  "TZOFFSETFROM:+0000\r\nTZOFFSETTO:+0000\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n",
                  repeated(arena, line, OF_ZONE));
    const char *body = bk_format(arena, "%s%s", zone, repeated(arena, EVENT(""), 63));
    assert_true(split(arena, body, &events, &report));
    assert_int_equal(events.count, 63);
    body = bk_format(arena, "%s%s", zone, repeated(arena, EVENT(""), 64));
    assert_false(split(arena, body, &events, &report));
    assert_int_equal(report.errors, 1);
    assert_non_null(strstr(report.messages[0].text, "64 MiB"));
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fifty_alarms_are_looked_at),
        cmocka_unit_test(sixty_four_mib_of_events_are_made),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Busy hours from calendar files (RFC 5545). Expected times are worked out by
 * hand from the text of each event; UTC offsets as zoneinfo gives them. */
#include "icalendar/icalendar.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

static bk_arena *arena;
static bk_report report;
static const bk_zone *london;

static int set_up(void **state)
{
    (void)state;
    arena = bk_arena_new(NULL);
    report = bk_report_new(arena);
    london = bk_zone_open(arena, "Europe/London");
    return arena == NULL || london == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    bk_arena_free(arena);
    return 0;
}

static bk_instant at(const char *text)
{
    bk_instant instant = 0;
    if (bk_instant_read(london, text, &instant, NULL) != BK_INSTANT_OK)
        fail_msg("test data: %s", text);
    return instant;
}

static bk_source *source_of(const char *text, size_t length)
{
    bk_source *source = BK_NEW(arena, bk_source, 1);
    source->name = "family.ics";
    source->text = bk_copy(arena, text, length);
    source->length = length;
    return source;
}

/* A calendar around `body`, with CRLF for every LF. */
static bk_source *calendar(const char *body)
{
    bk_text text = bk_text_new(arena);
    bk_text_add(&text, "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//test//EN\r\n");
    for (; *body != '\0'; body++)
        bk_text_add(&text, *body == '\n' ? "\r\n" : (char[]){*body, '\0'});
    bk_text_add(&text, "END:VCALENDAR\r\n");
    return source_of(text.data, text.length);
}

static bool read_between(const bk_source *source, const char *from, const char *to,
                         bk_busy_events *events)
{
    return bk_busy_read(arena, source, london, at(from), at(to), events, &report);
}

/* What a body gives from Monday 14 to Monday 28 December 2026 (GMT), one line an
 * event: "14T09:00 14T10:00 Dentist". */
static const char *busy(const char *body)
{
    bk_busy_events events = {0};
    if (!read_between(calendar(body), "2026-12-14 00:00", "2026-12-28 00:00", &events)) {
        bk_text out = bk_text_new(arena);
        for (size_t i = 0; i < report.count; i++)
            bk_message_write(&report.messages[i], &out);
        fail_msg("%s", out.data);
    }
    bk_text text = bk_text_new(arena);
    bk_text_add(&text, "");
    for (size_t i = 0; i < events.count; i++) {
        bk_civil from = bk_civil_at(london, events.items[i].from);
        bk_civil to = bk_civil_at(london, events.items[i].to);
        bk_text_addf(&text, "%02dT%02d:%02d %02dT%02d:%02d %s\n", from.day, from.hour, from.minute,
                     to.day, to.hour, to.minute, events.items[i].summary);
    }
    return text.data;
}

#define EVENT(lines) "BEGIN:VEVENT\nUID:1\nSUMMARY:Work\n" lines "END:VEVENT\n"

/* The body is refused; the message has `part` in it, at line `line`. */
static void refused(const char *body, const char *part, size_t line)
{
    size_t before = report.count;
    bk_busy_events events = {0};
    bk_source *source = calendar(body);
    if (read_between(source, "2026-12-14 00:00", "2026-12-28 00:00", &events))
        fail_msg("accepted: %s", body);
    assert_int_equal(events.count, 0);
    assert_true(report.count > before);
    const bk_message *message = &report.messages[before];
    if (strstr(message->text, part) == NULL)
        fail_msg("message \"%s\" for %s", message->text, body);
    size_t found, column;
    assert_ptr_equal(message->place.source, source);
    bk_place_locate(message->place, &found, &column);
    assert_int_equal(found, line);
    report = bk_report_new(arena);
}

/* ------------------------------------------------------- single events */

static void times_in_every_form(void **state)
{
    (void)state;
    assert_string_equal(busy(EVENT("DTSTART:20261218T090000Z\nDTEND:20261218T173000Z\n")),
                        "18T09:00 18T17:30 Work\n");
    /* Floating: the plan's zone. A zone of the system: Berlin is an hour ahead. */
    assert_string_equal(busy(EVENT("DTSTART:20261218T090000\nDTEND:20261218T173000\n")),
                        "18T09:00 18T17:30 Work\n");
    assert_string_equal(busy(EVENT("DTSTART;TZID=Europe/Berlin:20261218T090000\nDURATION:PT90M\n")),
                        "18T08:00 18T09:30 Work\n");
    /* Start and end in different zones: a flight. */
    assert_string_equal(busy(EVENT("DTSTART;TZID=America/New_York:20261218T090000\n"
                                   "DTEND;TZID=Europe/Berlin:20261218T233000\n")),
                        "18T14:00 18T22:30 Work\n");
    /* Seconds: every minute that is touched is busy. */
    assert_string_equal(busy(EVENT("DTSTART:20261218T090030Z\nDTEND:20261218T093001Z\n")),
                        "18T09:00 18T09:31 Work\n");
    /* A date-time alone takes no time (section 3.6.1). */
    assert_string_equal(busy(EVENT("DTSTART:20261218T090000Z\n")), "");
    assert_string_equal(busy(EVENT("DTSTART:20261218T090000Z\nDTEND:20261218T090000Z\n")), "");
}

static void all_day_and_over_days(void **state)
{
    (void)state;
    assert_string_equal(busy(EVENT("DTSTART;VALUE=DATE:20261218\n")), "18T00:00 19T00:00 Work\n");
    assert_string_equal(busy(EVENT("DTSTART;VALUE=DATE:20261218\nDTEND;VALUE=DATE:20261219\n")),
                        "18T00:00 19T00:00 Work\n");
    assert_string_equal(busy(EVENT("DTSTART;VALUE=DATE:20261218\nDTEND;VALUE=DATE:20261221\n")),
                        "18T00:00 21T00:00 Work\n");
    assert_string_equal(busy(EVENT("DTSTART;VALUE=DATE:20261218\nDURATION:P1W\n")),
                        "18T00:00 25T00:00 Work\n");
    assert_string_equal(busy(EVENT("DTSTART:20261218T200000Z\nDTEND:20261220T080000Z\n")),
                        "18T20:00 20T08:00 Work\n");
    /* Some programs end an all-day event on its own day. */
    assert_string_equal(busy(EVENT("DTSTART;VALUE=DATE:20261218\nDTEND;VALUE=DATE:20261218\n")),
                        "18T00:00 19T00:00 Work\n");
    /* Clipped to the span; and one that only borders on it is left out. */
    assert_string_equal(busy(EVENT("DTSTART:20261201T000000Z\nDTEND:20261231T000000Z\n")),
                        "14T00:00 28T00:00 Work\n");
    assert_string_equal(busy(EVENT("DTSTART:20261213T000000Z\nDTEND:20261214T000000Z\n")), "");
    assert_string_equal(busy(EVENT("DTSTART;VALUE=DATE:20261228\n")), "");
}

/* The day of a clock change is 23 or 25 hours long; a day of DURATION follows
 * the wall, hours are exact (section 3.3.6). */
static void days_of_a_clock_change(void **state)
{
    (void)state;
    static const struct {
        const char *lines, *from, *to;
    } cases[] = {
        {"DTSTART;VALUE=DATE:20260329\n", "2026-03-29 00:00Z", "2026-03-29 23:00Z"},
        {"DTSTART;VALUE=DATE:20261025\n", "2026-10-24 23:00Z", "2026-10-26 00:00Z"},
        {"DTSTART:20260328T120000\nDURATION:P1D\n", "2026-03-28 12:00Z", "2026-03-29 11:00Z"},
        {"DTSTART:20260328T120000\nDURATION:PT24H\n", "2026-03-28 12:00Z", "2026-03-29 12:00Z"},
        /* Given by its end, an occurrence lasts as long as the first (3.8.5.3). */
        {"DTSTART:20260327T120000\nDTEND:20260328T120000\nRRULE:FREQ=DAILY;COUNT=2\n"
         "EXDATE:20260327T120000\n",
         "2026-03-28 12:00Z", "2026-03-29 12:00Z"},
        /* Skipped: by the offset before the gap; repeated: the first (3.3.5). */
        {"DTSTART:20260329T013000\nDTEND:20260329T040000\n", "2026-03-29 01:30Z",
         "2026-03-29 03:00Z"},
        {"DTSTART:20261025T013000\nDURATION:PT1H\n", "2026-10-25 00:30Z", "2026-10-25 01:30Z"},
        /* From 01:30 to 02:30 on the night that leaves out 01:00 to 02:00: an hour is meant. */
        {"DTSTART:20260329T013000\nDTEND:20260329T023000\n", "2026-03-29 01:30Z",
         "2026-03-29 02:30Z"},
        {"DTSTART:20260329T013000\nDTEND:20260329T021500\n", "2026-03-29 01:30Z",
         "2026-03-29 02:15Z"},
        {"DTSTART;TZID=Europe/Berlin:20260329T023000\nDTEND;TZID=Europe/Berlin:20260329T033000\n",
         "2026-03-29 01:30Z", "2026-03-29 02:30Z"},
        {"DTSTART:20260329T010500\nDTEND:20260329T015500\n", "2026-03-29 01:05Z",
         "2026-03-29 01:55Z"},
        {"DTSTART;TZID=Australia/Lord_Howe:20261004T020000\nDURATION:PT1H\n", "2026-10-03 15:30Z",
         "2026-10-03 16:30Z"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bk_busy_events events = {0};
        const char *body = bk_format(arena, "BEGIN:VEVENT\nUID:1\n%sEND:VEVENT\n", cases[i].lines);
        assert_true(read_between(calendar(body), "2026-01-01 00:00", "2027-01-01 00:00", &events));
        assert_int_equal(events.count, 1);
        assert_int_equal(events.items[0].from, at(cases[i].from));
        assert_int_equal(events.items[0].to, at(cases[i].to));
    }
}

static void free_and_cancelled(void **state)
{
    (void)state;
#define HOUR_ON_18 "DTSTART:20261218T090000Z\nDURATION:PT1H\n"
    assert_string_equal(busy(EVENT(HOUR_ON_18 "TRANSP:TRANSPARENT\n")), "");
    assert_string_equal(busy(EVENT(HOUR_ON_18 "STATUS:CANCELLED\n")), "");
    assert_string_equal(busy(EVENT(HOUR_ON_18 "TRANSP:OPAQUE\nSTATUS:TENTATIVE\n")),
                        "18T09:00 18T10:00 Work\n");
    /* The rest of the file counts. */
    assert_string_equal(busy(EVENT(HOUR_ON_18 "STATUS:CANCELLED\n")
                                 EVENT("DTSTART:20261219T090000Z\nDURATION:PT1H\n")),
                        "19T09:00 19T10:00 Work\n");
    /* To-dos and journals are not appointments; an alarm's DURATION is its own. */
    assert_string_equal(
        busy(
            "BEGIN:VTODO\nUID:2\nDTSTART:20261218T090000Z\nDUE:20261218T100000Z\nEND:VTODO\n" EVENT(
                HOUR_ON_18 "BEGIN:VALARM\nACTION:DISPLAY\nDESCRIPTION:x\nTRIGGER:-PT15M\n"
                           "DURATION:PT5M\nREPEAT:2\nEND:VALARM\n")),
        "18T09:00 18T10:00 Work\n");
}

static void words_of_the_summary(void **state)
{
    (void)state;
    assert_string_equal(busy("BEGIN:VEVENT\nUID:1\nSUMMARY:Mum\\, Dad\\; \\nand the ca\n"
                             " kes \xf0\x9f\x8e\x82 for\n  all\n" HOUR_ON_18 "END:VEVENT\n"),
                        "18T09:00 18T10:00 Mum, Dad;  and the cakes \xf0\x9f\x8e\x82 for all\n");
    assert_string_equal(busy("BEGIN:VEVENT\nUID:1\n" HOUR_ON_18 "END:VEVENT\n"),
                        "18T09:00 18T10:00 \n");
    /* Folded anywhere, with a tab, in the middle of a time. */
    assert_string_equal(busy(EVENT("DTSTART;TZID=Europe\n /Berlin:20261218T0\n\t90000\nDURA\n"
                                   " TION:PT1H\n")),
                        "18T08:00 18T09:00 Work\n");
}

/* RFC 5545 section 3.1 lets a line be folded between any two bytes, and old programs do. */
static void folded_inside_a_character(void **state)
{
    (void)state;
    assert_string_equal(
        busy("BEGIN:VEVENT\nUID:1\nSUMMARY:R\xc3\n \xb4ti \xf0\x9f\n \x8e\n\t\x82\n" HOUR_ON_18
             "END:VEVENT\n"),
        "18T09:00 18T10:00 R\xc3\xb4ti \xf0\x9f\x8e\x82\n");
    /* What is no character when it is whole again is none; the place is that of its byte. */
    refused("BEGIN:VEVENT\nUID:1\nSUMMARY:R\n b\xc3\n  x\nEND:VEVENT\n", "not UTF-8", 7);
    refused("BEGIN:VEVENT\nUID:1\nSUMMARY:R\n b\n \xb4x\nEND:VEVENT\n", "not UTF-8", 8);
}

/* Of two versions of one event the later counts (RFC 5546 section 2.1.5). */
static void versions_of_an_event(void **state)
{
    (void)state;
#define VERSION(uid, lines) "BEGIN:VEVENT\nUID:" uid "\nSUMMARY:Work\n" lines "END:VEVENT\n"
#define WHOLE "18T09:00 18T10:00 Work\n"
    static const char cancelled[] = VERSION("a", HOUR_ON_18 "SEQUENCE:1\nSTATUS:CANCELLED\n");
    static const char first[] = VERSION("a", HOUR_ON_18 "SEQUENCE:0\n");
    assert_string_equal(busy(bk_format(arena, "%s%s", first, cancelled)), "");
    assert_string_equal(busy(bk_format(arena, "%s%s", cancelled, first)), "");
    assert_string_equal(busy(bk_format(arena, "%s%s", cancelled, VERSION("b", HOUR_ON_18))), WHOLE);
    /* It was moved, and then moved back. */
    assert_string_equal(busy(VERSION("a", "SEQUENCE:2\n" HOUR_ON_18) VERSION(
                            "a", "SEQUENCE:1\nDTSTART:20261219T090000Z\nDURATION:PT1H\n")),
                        WHOLE);
    assert_string_equal(
        busy(VERSION("a", "DTSTAMP:20261202T000000Z\n" HOUR_ON_18) VERSION(
            "a", "DTSTAMP:20261201T000000Z\nDTSTART:20261219T090000Z\nDURATION:PT1H\n")),
        WHOLE);
    /* No age tells two apart that are there at different times: nothing is lost. */
    assert_string_equal(
        busy(VERSION("a", HOUR_ON_18) VERSION("a", "DTSTART:20261219T090000Z\nDURATION:PT1H\n")),
        WHOLE "19T09:00 19T10:00 Work\n");
    assert_string_equal(busy(VERSION("a", HOUR_ON_18 "STATUS:CANCELLED\n")
                                 VERSION("a", "DTSTART:20261219T090000Z\nDURATION:PT1H\n")),
                        "19T09:00 19T10:00 Work\n");
    assert_string_equal(
        busy(VERSION("a", HOUR_ON_18 "STATUS:CANCELLED\n") VERSION("a", HOUR_ON_18)), "");
    /* A series that is called off takes its changed occurrences with it; one of them alone does
     * not call off the series. */
    static const char daily[] =
        VERSION("a", "SEQUENCE:%d\nDTSTART:20261217T090000Z\nDURATION:PT1H\n"
                     "RRULE:FREQ=DAILY;COUNT=2\n%s");
    static const char moved[] =
        VERSION("a", "SEQUENCE:1\nRECURRENCE-ID:20261217T090000Z\nDTSTART:20261217T120000Z\n"
                     "DURATION:PT1H\n%s");
    assert_string_equal(
        busy(bk_format(arena, "%s%s", bk_format(arena, daily, 1, "STATUS:CANCELLED\n"),
                       bk_format(arena, moved, ""))),
        "");
    assert_string_equal(busy(bk_format(arena, "%s%s", bk_format(arena, daily, 0, ""),
                                       bk_format(arena, moved, "STATUS:CANCELLED\n"))),
                        WHOLE);
}

static void a_calendar_that_calls_off(void **state)
{
    (void)state;
    assert_string_equal(busy("METHOD:CANCEL\n" EVENT(HOUR_ON_18)), "");
    assert_string_equal(busy("METHOD:cancel\n" EVENT("SEQUENCE:1\n")), ""); /* without a time */
    assert_string_equal(busy("METHOD:PUBLISH\n" EVENT(HOUR_ON_18)), WHOLE);
    /* With the event it calls off in another calendar of the file. */
    static const char both[] =
        EVENT("SEQUENCE:%d\n" HOUR_ON_18) "END:VCALENDAR\nBEGIN:VCALENDAR\nMETHOD:CANCEL\n" EVENT(
            "SEQUENCE:1\n" HOUR_ON_18);
    assert_string_equal(busy(bk_format(arena, both, 0)), "");
    assert_string_equal(busy(bk_format(arena, both, 1)), "");
    assert_string_equal(busy(bk_format(arena, both, 2)), WHOLE); /* and it was called anew */
}

static void plain_line_ends_and_byte_order_mark(void **state)
{
    (void)state;
    static const char text[] =
        "\xef\xbb\xbf"
        "BEGIN:VCALENDAR\nBEGIN:VEVENT\nUID:1\n" HOUR_ON_18 "END:VEVENT\nEND:VCALENDAR";
    bk_busy_events events = {0};
    assert_true(read_between(source_of(text, sizeof text - 1), "2026-12-14 00:00",
                             "2026-12-28 00:00", &events));
    assert_int_equal(events.count, 1);
    /* The place is the event's line. */
    size_t line, column;
    bk_place_locate(events.items[0].place, &line, &column);
    assert_int_equal(line, 2);
}

static void several_calendars_in_a_file(void **state)
{
    (void)state;
    assert_string_equal(
        busy(EVENT(HOUR_ON_18) "END:VCALENDAR\nBEGIN:VCALENDAR\nVERSION:2.0\n" EVENT(
            "DTSTART:20261217T090000Z\nDURATION:PT1H\n")),
        "17T09:00 17T10:00 Work\n18T09:00 18T10:00 Work\n");
}

static void free_busy_components(void **state)
{
    (void)state;
    assert_string_equal(
        busy("BEGIN:VFREEBUSY\nUID:f\nDTSTAMP:20261201T000000Z\n"
             "FREEBUSY;FBTYPE=BUSY:20261218T090000Z/PT1H,20261219T090000Z/20261219T120000Z\n"
             "FREEBUSY;FBTYPE=FREE:20261220T090000Z/PT1H\nFREEBUSY:20261221T090000Z/P1D\n"
             "END:VFREEBUSY\n"),
        "18T09:00 18T10:00 \n19T09:00 19T12:00 \n21T09:00 22T09:00 \n");
}

/* ------------------------------------------------------------ recurrence */

static void repeats(void **state)
{
    (void)state;
    assert_string_equal(busy(EVENT("DTSTART:20261102T090000\nDURATION:PT8H\n"
                                   "RRULE:FREQ=WEEKLY;BYDAY=MO,WE\n")),
                        "14T09:00 14T17:00 Work\n16T09:00 16T17:00 Work\n"
                        "21T09:00 21T17:00 Work\n23T09:00 23T17:00 Work\n");
    assert_string_equal(busy(EVENT("DTSTART:20261214T090000\nDURATION:PT1H\n"
                                   "RRULE:FREQ=DAILY;INTERVAL=2;COUNT=3\n")),
                        "14T09:00 14T10:00 Work\n16T09:00 16T10:00 Work\n18T09:00 18T10:00 Work\n");
    /* COUNT counts from DTSTART, before the span too. */
    assert_string_equal(busy(EVENT("DTSTART:20261212T090000\nDURATION:PT1H\n"
                                   "RRULE:FREQ=DAILY;COUNT=3\n")),
                        "14T09:00 14T10:00 Work\n");
    /* Born 1955, all day, every year. */
    assert_string_equal(busy(EVENT("DTSTART;VALUE=DATE:19551224\nRRULE:FREQ=YEARLY\n")),
                        "24T00:00 25T00:00 Work\n");
    assert_string_equal(busy(EVENT("DTSTART:20260131T090000\nDURATION:PT1H\n"
                                   "RRULE:FREQ=MONTHLY;BYDAY=-1FR\n")),
                        "25T09:00 25T10:00 Work\n");
    /* An occurrence that began before the span reaches into it. */
    assert_string_equal(busy(EVENT("DTSTART:20261201T220000\nDURATION:PT8H\n"
                                   "RRULE:FREQ=WEEKLY;BYDAY=SU\n")),
                        "14T00:00 14T06:00 Work\n20T22:00 21T06:00 Work\n27T22:00 28T00:00 Work\n");
    /* Every second week begins on WKST, Monday: the Sunday of DTSTART's own week
     * counts, also for a COUNT (section 3.3.10). As dateutil has it, too. */
    assert_string_equal(busy(EVENT("DTSTART:20261217T090000\nDURATION:PT1H\n"
                                   "RRULE:FREQ=WEEKLY;INTERVAL=2;BYDAY=SU;COUNT=1\n")),
                        "17T09:00 17T10:00 Work\n20T09:00 20T10:00 Work\n");
    assert_string_equal(busy(EVENT("DTSTART:20261203T090000\nDURATION:PT1H\n"
                                   "RRULE:FREQ=WEEKLY;INTERVAL=2;BYDAY=TU,TH;COUNT=3\n")),
                        "15T09:00 15T10:00 Work\n17T09:00 17T10:00 Work\n");
    /* Where the rule does not give DTSTART, DTSTART still counts (3.8.5.3). */
    assert_string_equal(busy(EVENT("DTSTART:20261215T090000\nDURATION:PT1H\n"
                                   "RRULE:FREQ=WEEKLY;BYDAY=MO;UNTIL=20261221T090000Z\n")),
                        "15T09:00 15T10:00 Work\n21T09:00 21T10:00 Work\n");
    /* A date by its day of the month and of the week: libical 3.0.16 finds one in four. */
    assert_string_equal(busy(EVENT("DTSTART:20261001T090000\nDURATION:PT1H\n"
                                   "RRULE:FREQ=YEARLY;BYMONTHDAY=17,18,20,21;BYDAY=FR,MO\n")),
                        "18T09:00 18T10:00 Work\n21T09:00 21T10:00 Work\n");
}

static void ends_of_rules(void **state)
{
    (void)state;
#define DAILY_BERLIN "DTSTART;TZID=Europe/Berlin:20261201T090000\nDURATION:PT1H\n"
    /* 09:00 in Berlin is 08:00Z: an UNTIL of exactly then still counts. */
    assert_string_equal(busy(EVENT(DAILY_BERLIN "RRULE:FREQ=DAILY;UNTIL=20261215T080000Z\n")),
                        "14T08:00 14T09:00 Work\n15T08:00 15T09:00 Work\n");
    assert_string_equal(busy(EVENT(DAILY_BERLIN "RRULE:FREQ=DAILY;UNTIL=20261215T075959Z\n")),
                        "14T08:00 14T09:00 Work\n");
    /* A date ends with that day, where the event is. */
    assert_string_equal(busy(EVENT(DAILY_BERLIN "RRULE:FREQ=DAILY;UNTIL=20261214\n")),
                        "14T08:00 14T09:00 Work\n");
    assert_string_equal(busy(EVENT("DTSTART;VALUE=DATE:20261201\n"
                                   "RRULE:FREQ=DAILY;UNTIL=20261214\n")),
                        "14T00:00 15T00:00 Work\n");
}

/* A meeting at 09:00 in New York stays at 09:00 there when London has changed
 * its clock and New York not yet (25 October to 1 November 2026). */
static void rules_keep_their_wall_time(void **state)
{
    (void)state;
    bk_busy_events events = {0};
    const char *body = EVENT("DTSTART;TZID=America/New_York:20261001T090000\nDURATION:PT1H\n"
                             "RRULE:FREQ=DAILY\n");
    assert_true(read_between(calendar(body), "2026-10-24 00:00", "2026-11-03 00:00", &events));
    static const char *const starts[] = {"2026-10-24 14:00", "2026-10-25 13:00", "2026-10-26 13:00",
                                         "2026-10-27 13:00", "2026-10-28 13:00", "2026-10-29 13:00",
                                         "2026-10-30 13:00", "2026-10-31 13:00", "2026-11-01 14:00",
                                         "2026-11-02 14:00"};
    assert_int_equal(events.count, 10);
    for (size_t i = 0; i < 10; i++)
        assert_int_equal(events.items[i].from, at(starts[i]));
    /* A night shift from 01:30 is worked on the night that skips 01:30 too. */
    events = (bk_busy_events){0};
    body = EVENT("DTSTART:20260327T013000\nDURATION:PT4H\nRRULE:FREQ=DAILY\n");
    assert_true(read_between(calendar(body), "2026-03-29 00:00", "2026-03-30 00:00", &events));
    assert_int_equal(events.count, 1);
    assert_int_equal(events.items[0].from, at("2026-03-29 02:30"));
}

#define WEEK_DAYS                                                                                  \
    "DTSTART;TZID=Europe/Berlin:20261214T100000\nDURATION:PT1H\n"                                  \
    "RRULE:FREQ=DAILY;COUNT=4\n"

static void exceptions(void **state)
{
    (void)state;
    /* By the same zone, by another, in UTC, two in a line, by date. */
    assert_string_equal(busy(EVENT(WEEK_DAYS "EXDATE;TZID=Europe/Berlin:20261215T100000\n")),
                        "14T09:00 14T10:00 Work\n16T09:00 16T10:00 Work\n17T09:00 17T10:00 Work\n");
    assert_string_equal(busy(EVENT(WEEK_DAYS "EXDATE;TZID=America/New_York:20261215T040000\n")),
                        "14T09:00 14T10:00 Work\n16T09:00 16T10:00 Work\n17T09:00 17T10:00 Work\n");
    assert_string_equal(busy(EVENT(WEEK_DAYS "EXDATE:20261214T090000Z,20261216T090000Z\n")),
                        "15T09:00 15T10:00 Work\n17T09:00 17T10:00 Work\n");
    assert_string_equal(busy(EVENT(WEEK_DAYS "EXDATE;VALUE=DATE:20261214,20261216\n"
                                             "EXDATE:20261217T090000Z\n")),
                        "15T09:00 15T10:00 Work\n");
    assert_string_equal(busy(EVENT("DTSTART;VALUE=DATE:20261214\nRRULE:FREQ=DAILY;COUNT=3\n"
                                   "EXDATE;VALUE=DATE:20261215\n")),
                        "14T00:00 15T00:00 Work\n16T00:00 17T00:00 Work\n");
    /* One that is not an occurrence excepts nothing. */
    assert_string_equal(busy(EVENT("DTSTART:20261214T090000Z\nDURATION:PT1H\n"
                                   "EXDATE:20261214T093000Z\n")),
                        "14T09:00 14T10:00 Work\n");
    /* EXRULE, of RFC 2445, is still found in old files. */
    assert_string_equal(busy(EVENT(WEEK_DAYS "EXRULE:FREQ=DAILY;INTERVAL=2\n")),
                        "15T09:00 15T10:00 Work\n17T09:00 17T10:00 Work\n");
}

static void additions(void **state)
{
    (void)state;
#define HOUR_ON_14 "DTSTART:20261214T090000Z\nDURATION:PT1H\n"
    assert_string_equal(busy(EVENT(HOUR_ON_14 "RDATE:20261216T120000Z,20261217T120000Z\n")),
                        "14T09:00 14T10:00 Work\n16T12:00 16T13:00 Work\n17T12:00 17T13:00 Work\n");
    assert_string_equal(busy(EVENT("DTSTART;VALUE=DATE:20261214\nRDATE;VALUE=DATE:20261216\n")),
                        "14T00:00 15T00:00 Work\n16T00:00 17T00:00 Work\n");
    assert_string_equal(
        busy(EVENT(HOUR_ON_14 "RDATE;VALUE=PERIOD:20261216T120000Z/20261216T150000Z,\n"
                              " 20261217T120000Z/PT30M\n")),
        "14T09:00 14T10:00 Work\n16T12:00 16T15:00 Work\n17T12:00 17T12:30 Work\n");
    assert_string_equal(
        busy(EVENT(HOUR_ON_14
                   "RDATE;VALUE=PERIOD;TZID=Europe/Berlin:20261216T120000/20261216T150000\n")),
        "14T09:00 14T10:00 Work\n16T11:00 16T14:00 Work\n");
    /* The rule's own date again is one occurrence. */
    assert_string_equal(busy(EVENT(HOUR_ON_14 "RRULE:FREQ=DAILY;COUNT=2\n"
                                              "RDATE:20261215T090000Z\n")),
                        "14T09:00 14T10:00 Work\n15T09:00 15T10:00 Work\n");
}

#define CHANGED(lines) "BEGIN:VEVENT\nUID:1\nSUMMARY:Changed\n" lines "END:VEVENT\n"

static void moved_and_cancelled_occurrences(void **state)
{
    (void)state;
    /* Moved to the afternoon, longer. The change may come before its event. */
    assert_string_equal(
        busy(CHANGED("RECURRENCE-ID;TZID=Europe/Berlin:20261215T100000\n"
                     "DTSTART;TZID=Europe/Berlin:20261215T150000\nDURATION:PT2H\n")
                 EVENT(WEEK_DAYS)),
        "14T09:00 14T10:00 Work\n15T14:00 15T16:00 Changed\n16T09:00 16T10:00 Work\n"
        "17T09:00 17T10:00 Work\n");
    /* The same named in UTC; moved out of the span: nothing is left of it. */
    assert_string_equal(busy(EVENT(WEEK_DAYS) CHANGED("RECURRENCE-ID:20261215T090000Z\n"
                                                      "DTSTART:20270115T150000Z\nDURATION:PT2H\n")),
                        "14T09:00 14T10:00 Work\n16T09:00 16T10:00 Work\n17T09:00 17T10:00 Work\n");
    assert_string_equal(
        busy(EVENT(WEEK_DAYS) CHANGED("RECURRENCE-ID:20261215T090000Z\nSTATUS:CANCELLED\n"
                                      "DTSTART:20261215T090000Z\nDURATION:PT1H\n")),
        "14T09:00 14T10:00 Work\n16T09:00 16T10:00 Work\n17T09:00 17T10:00 Work\n");
    assert_string_equal(
        busy(EVENT(WEEK_DAYS) CHANGED("RECURRENCE-ID:20261215T090000Z\nTRANSP:TRANSPARENT\n"
                                      "DTSTART:20261215T090000Z\nDURATION:PT1H\n")),
        "14T09:00 14T10:00 Work\n16T09:00 16T10:00 Work\n17T09:00 17T10:00 Work\n");
    /* An all-day occurrence that becomes an hour. */
    assert_string_equal(busy(EVENT("DTSTART;VALUE=DATE:20261214\nRRULE:FREQ=DAILY;COUNT=2\n")
                                 CHANGED("RECURRENCE-ID;VALUE=DATE:20261215\n"
                                         "DTSTART:20261215T090000Z\nDURATION:PT1H\n")),
                        "14T00:00 15T00:00 Work\n15T09:00 15T10:00 Changed\n");
    /* Another event's change is none of its business. */
    assert_string_equal(
        busy(EVENT(HOUR_ON_14) "BEGIN:VEVENT\nUID:2\nSUMMARY:Other\nSTATUS:CANCELLED\n"
                               "RECURRENCE-ID:20261214T090000Z\nDTSTART:20261214T090000Z\n"
                               "END:VEVENT\n"),
        "14T09:00 14T10:00 Work\n");
    /* A free series with one occurrence that counts. */
    assert_string_equal(busy(EVENT(WEEK_DAYS "TRANSP:TRANSPARENT\n")
                                 CHANGED("RECURRENCE-ID:20261215T090000Z\n"
                                         "DTSTART:20261215T090000Z\nDURATION:PT1H\n")),
                        "15T09:00 15T10:00 Changed\n");
}

/* ----------------------------------------------------------------- zones */

#define VTIMEZONE(id, extra)                                                                       \
    "BEGIN:VTIMEZONE\nTZID:" id "\n" extra                                                         \
    "BEGIN:STANDARD\nDTSTART:16010101T030000\nTZOFFSETFROM:+0200\nTZOFFSETTO:+0100\n"              \
    "RRULE:FREQ=YEARLY;BYDAY=-1SU;BYMONTH=10\nEND:STANDARD\n"                                      \
    "BEGIN:DAYLIGHT\nDTSTART:16010101T020000\nTZOFFSETFROM:+0100\nTZOFFSETTO:+0200\n"              \
    "RRULE:FREQ=YEARLY;BYDAY=-1SU;BYMONTH=3\nEND:DAYLIGHT\nEND:VTIMEZONE\n"

static void zones_of_the_file(void **state)
{
    (void)state;
    /* A name of another system, as mail servers write it, with its rules. */
    const char *winter = VTIMEZONE("W. Europe Standard Time", "")
        EVENT("DTSTART;TZID=\"W. Europe Standard Time\":20261218T090000\nDURATION:PT1H\n");
    assert_string_equal(busy(winter), "18T08:00 18T09:00 Work\n");
    bk_busy_events events = {0};
    const char *summer = VTIMEZONE("Home", "")
        EVENT("DTSTART;TZID=Home:20260329T013000\nDURATION:PT1H\nRRULE:FREQ=DAILY;COUNT=3\n"
              "RDATE;TZID=Home:20261024T120000,20261025T120000\n");
    assert_true(read_between(calendar(summer), "2026-01-01 00:00", "2027-01-01 00:00", &events));
    assert_int_equal(events.count, 5);
    assert_int_equal(events.items[0].from, at("2026-03-29 00:30Z"));
    assert_int_equal(events.items[1].from, at("2026-03-29 23:30Z"));
    assert_int_equal(events.items[3].from, at("2026-10-24 10:00Z"));
    assert_int_equal(events.items[4].from, at("2026-10-25 11:00Z"));
    /* Rules that ended (one a second before its next turn), and single dates. */
    assert_string_equal(
        busy("BEGIN:VTIMEZONE\nTZID:Odd\nBEGIN:DAYLIGHT\nDTSTART:19900325T020000\n"
             "TZOFFSETFROM:+0500\nTZOFFSETTO:+0600\nRRULE:FREQ=YEARLY;BYDAY=-1SU;BYMONTH=3;\n"
             " UNTIL=20260328T205959Z\nEND:DAYLIGHT\nBEGIN:STANDARD\nDTSTART:19900930T030000\n"
             "TZOFFSETFROM:+0600\nTZOFFSETTO:+0500\nRRULE:FREQ=YEARLY;BYDAY=-1SU;BYMONTH=9;\n"
             " UNTIL=20250927T210000Z\nEND:STANDARD\n"
             "BEGIN:DAYLIGHT\nDTSTART:20261219T120000\nTZOFFSETFROM:+0500\nTZOFFSETTO:+0530\n"
             "END:DAYLIGHT\nBEGIN:STANDARD\nDTSTART:19700101T000000\nTZOFFSETFROM:+0500\n"
             "TZOFFSETTO:+0500\nRDATE:20261220T120000\nEND:STANDARD\nEND:VTIMEZONE\n" EVENT(
                 "DTSTART;TZID=Odd:20261218T093000\nDURATION:PT1H\nRRULE:FREQ=DAILY;COUNT=4\n")),
        "18T04:30 18T05:30 Work\n19T04:30 19T05:30 Work\n20T04:00 20T05:00 Work\n"
        "21T04:30 21T05:30 Work\n");
    /* X-LIC-LOCATION says which zone is meant. */
    assert_string_equal(
        busy("BEGIN:VTIMEZONE\nTZID:Mine\nX-LIC-LOCATION:Asia/Kathmandu\n"
             "END:VTIMEZONE\n" EVENT("DTSTART;TZID=Mine:20261218T094500\nDURATION:PT1H\n")),
        "18T04:00 18T05:00 Work\n");
}

static void prefixed_zone_names(void **state)
{
    (void)state;
    static const char *const ids[] = {
        "/freeassociation.sourceforge.net/America/Argentina/Buenos_Aires",
        "/citadel.org/20210210_1/America/Argentina/Buenos_Aires",
        "/softwarestudio.org/Olson_20011030_5/America/Argentina/Buenos_Aires"};
    for (size_t i = 0; i < 3; i++)
        assert_string_equal(busy(bk_format(arena,
                                           "BEGIN:VEVENT\nUID:1\nDTSTART;TZID=%s:20261218T090000\n"
                                           "DURATION:PT1H\nEND:VEVENT\n",
                                           ids[i])),
                            "18T12:00 18T13:00 \n");
}

/* ---------------------------------------------------------------- refusals */

static void zones_that_nobody_knows(void **state)
{
    (void)state;
    refused(EVENT("DTSTART;TZID=Europe/Lundon:20261218T090000\nDURATION:PT1H\n"),
            "event \"Work\": unknown time zone \"Europe/Lundon\"", 7);
    refused(EVENT("DTSTART:20261218T090000Z\nDTEND;TZID=../UTC:20261218T100000\n"),
            "unknown time zone", 8);
    refused(EVENT(WEEK_DAYS "EXDATE;TZID=Nowhere:20261215T100000\n"), "\"Nowhere\"", 10);
    refused("BEGIN:VTIMEZONE\nTZID:Broken\nBEGIN:STANDARD\nTZOFFSETTO:+0100\nEND:STANDARD\n"
            "END:VTIMEZONE\n" EVENT("DTSTART;TZID=Broken:20261218T090000\n"),
            "\"Broken\"", 13);
    refused("BEGIN:VTIMEZONE\nTZID:Floods\nBEGIN:STANDARD\nDTSTART:16010101T000000\n"
            "TZOFFSETFROM:+0000\nTZOFFSETTO:+0100\nRRULE:FREQ=SECONDLY\nEND:STANDARD\n"
            "END:VTIMEZONE\n" EVENT("DTSTART;TZID=Floods:20261218T090000\n"),
            "\"Floods\"", 16);
}

static void dates_that_do_not_exist(void **state)
{
    (void)state;
    static const char *const starts[] = {"20261305T090000Z", "20261232T090000Z",
                                         "20260229T090000Z", "20261218T250000Z",
                                         "20261218T096000Z", "00001218T090000Z"};
    for (size_t i = 0; i < sizeof starts / sizeof *starts; i++)
        refused(bk_format(arena, "BEGIN:VEVENT\nUID:1\nDTSTART:%s\nEND:VEVENT\n", starts[i]),
                "event \"1\": no such date or time", 6);
    refused(EVENT("DTSTART;VALUE=DATE:20261301\n"), "no such date", 7);
    refused(EVENT(HOUR_ON_18 "RDATE:20261301T000000Z\n"), "no such date", 9);
    refused(EVENT(HOUR_ON_18 "EXDATE:20261301T000000Z\n"), "no such date", 9);
    refused(EVENT("RECURRENCE-ID:20261301T000000Z\n" HOUR_ON_18), "no such date", 7);
}

/* libical takes such properties out and goes on as if they were not there. */
static void properties_that_cannot_be_read(void **state)
{
    (void)state;
    refused(EVENT("DTSTART:2026121T090000Z\n"), "DTSTART cannot be read", 7);
    refused(EVENT("DTSTART:20261218T0900Z\n"), "DTSTART cannot be read", 7);
    refused(EVENT("DTSTART:2026-12-18T09:00:00Z\n"), "DTSTART cannot be read", 7);
    refused(EVENT("DTSTART:20261218T090000+01\n"), "DTSTART cannot be read", 7);
    refused(EVENT("DTSTART:20261218T090000Z,20261219T090000Z\n"), "DTSTART cannot be read", 7);
    refused(EVENT("DTSTART:20261218T\n 090000Zx\n"), "DTSTART cannot be read", 7);
    refused(EVENT("DTSTART;X=\"a:b\":2026121\n"), "DTSTART cannot be read", 7);
    refused(EVENT("DTSTART:\n"), "DTSTART cannot be read", 7);
    refused(EVENT("DTSTART;VALUE=PERIOD:20261218T090000Z/PT1H\n"), "DTSTART cannot be read", 7);
    refused(EVENT("DTSTART:20261218T090000Z\nDTEND:tomorrow\n"), "DTEND cannot be read", 8);
    refused(EVENT("DTSTART:20261218T090000Z\nDURATION:P1H\n"), "DURATION cannot be read", 8);
    refused(EVENT(HOUR_ON_18 "RRULE:FREQ=FORTNIGHTLY\n"), "RRULE) cannot be read", 9);
    refused(EVENT(HOUR_ON_18 "RRULE:FREQ=DAILY;INTERVAL=0\n"), "RRULE) cannot be read", 9);
    refused(EVENT(HOUR_ON_18 "EXDATE:never\n"), "EXDATE cannot be read", 9);
    refused(EVENT(HOUR_ON_18 "RDATE:20261219T090000Z,nonsense\n"), "RDATE cannot be read", 9);
    refused(EVENT(HOUR_ON_18 "RDATE;VALUE=DURATION:PT1H\n"), "RDATE cannot be read", 9);
    refused(EVENT("DTSTART:20261218T090000Z\nDURATION;VALUE=DATE-TIME:20261218T090000Z\n"),
            "DURATION cannot be read", 8);
    refused(EVENT(HOUR_ON_18 "RRULE;VALUE=DURATION:PT1H\n"), "RRULE) cannot be read", 9);
    refused(EVENT("RECURRENCE-ID:x\n" HOUR_ON_18), "RECURRENCE-ID cannot be read", 7);
    refused(EVENT(HOUR_ON_18 "RECURRENCE-ID;RANGE=THISANDFUTURE:20261218T090000Z\n"), "RANGE", 9);
    refused(EVENT("DURATION:PT1H\n"), "no DTSTART", 4);
    refused(EVENT("DTSTART:20261218T090000Z\nDTEND:20261218T080000Z\n"), "ends before it starts",
            8);
    refused(EVENT("DTSTART:20261218T090000Z\nDURATION:-PT1H\n"), "duration is negative", 8);
    refused(EVENT(HOUR_ON_18 "RDATE;VALUE=PERIOD:20261219T090000Z/20261219T080000Z\n"),
            "period of its RDATE", 9);
    refused(EVENT(HOUR_ON_18 "RDATE;VALUE=PERIOD:20261219T090000Z/2026121T080000Z\n"),
            "RDATE cannot be read", 9);
    assert_string_equal(busy(EVENT("DTSTART;X=\"a:b\":20261218T090000Z\nDURATION:PT1H\n")),
                        "18T09:00 18T10:00 Work\n");
    /* What has nothing to do with time may be as empty as it likes. */
    assert_string_equal(busy(EVENT(HOUR_ON_18 "LOCATION:\nGEO:here\nX-FOO\nATTENDEE:\n")),
                        "18T09:00 18T10:00 Work\n");
    /* Every bad event is named, not only the first. */
    bk_busy_events events = {0};
    assert_false(read_between(calendar(EVENT("DTSTART:x\n") EVENT("DTSTART:y\n")),
                              "2026-12-14 00:00", "2026-12-28 00:00", &events));
    assert_int_equal(report.errors, 2);
    report = bk_report_new(arena);
}

static void absurd_rules(void **state)
{
    (void)state;
    refused(EVENT(HOUR_ON_14 "RRULE:FREQ=SECONDLY\n"), "repeats too often", 9);
    refused(EVENT(HOUR_ON_14 "RRULE:FREQ=SECONDLY;BYMONTH=2;BYMONTHDAY=30\n"), "", 9);
    refused(EVENT("DTSTART:20200101T000000Z\nDURATION:PT1H\nRRULE:FREQ=MINUTELY;BYMONTH=2\n"),
            "repeats too often", 9);
    refused(EVENT(HOUR_ON_14 "RRULE:FREQ=MINUTELY\n"), "more than 10000 busy times", 4);
    refused(EVENT(HOUR_ON_14 "RRULE:FREQ=MONTHLY;BYMONTH=2,4;BYMONTHDAY=31,30\n"
                             "RRULE:FREQ=MONTHLY;BYMONTH=2;BYMONTHDAY=30,31\n"),
            "can never come true", 10);
    refused(EVENT(HOUR_ON_14 "RRULE:FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30\n"), "never come true", 9);
    refused(EVENT(HOUR_ON_14 "RRULE:FREQ=DAILY;UNTIL=20261315T000000Z\n"), "malformed", 9);
    /* Endless but modest: only the plan's span is expanded. */
    assert_string_equal(busy(EVENT("DTSTART:20000101T120000Z\nDURATION:PT1H\n"
                                   "RRULE:FREQ=HOURLY;INTERVAL=240\n")),
                        "20T12:00 20T13:00 Work\n"); /* 9,850 days after */
    assert_string_equal(busy(EVENT("DTSTART:20261214T000000Z\nDURATION:PT1H\n"
                                   "RRULE:FREQ=HOURLY;BYMONTH=7;BYMONTHDAY=30\n")),
                        "14T00:00 14T01:00 Work\n");
    /* Rules that give little, but are long to search without an end: each takes
     * libical 14 s until the year 2582. */
    bk_text rare = bk_text_new(arena);
    for (int i = 0; i < 20; i++)
        bk_text_addf(&rare,
                     "BEGIN:VEVENT\nUID:%d\n" HOUR_ON_14
                     "RRULE:FREQ=HOURLY;BYMONTH=11;BYMONTHDAY=30;BYDAY=1MO\nEND:VEVENT\n",
                     i);
    alarm(60);
    bk_busy_events twenty = {0};
    assert_true(read_between(calendar(rare.data), "2026-12-14 00:00", "2026-12-28 00:00", &twenty));
    alarm(0);
    assert_int_equal(twenty.count, 20);
    /* Just as many as are allowed, over several events. */
    bk_busy_events events = {0};
    const char *body =
        EVENT("DTSTART:20261214T000000Z\nDURATION:PT1M\n"
              "RRULE:FREQ=MINUTELY;COUNT=5000\n") "BEGIN:VEVENT\nUID:2\nDTSTART:"
                                                  "20261220T000000Z\nDURATION:PT1M\n"
                                                  "RRULE:FREQ=MINUTELY;COUNT=5000\nEND:VEVENT\n";
    assert_true(read_between(calendar(body), "2026-12-14 00:00", "2026-12-28 00:00", &events));
    assert_int_equal(events.count, BK_MOST_BUSY);
}

static void files_that_are_no_calendars(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        size_t length; /* 0: all */
        const char *part;
        size_t line;
    } files[] = {
        {"", 0, "not a calendar", 1},
        {"\n\n", 0, "not a calendar", 1},
        {"<html>\n", 0, "not a calendar", 1},
        {"{\"plan\": 1}\n", 0, "not a calendar", 1},
        {"BEGIN:VEVENT\nUID:1\nEND:VEVENT\n", 0, "outside VCALENDAR", 1},
        {"BEGIN:VCALENDAR\nVERSION:2.0\nBEGIN:VEVENT\nUID:1\n", 0, "breaks off", 3},
        {"BEGIN:VCALENDAR\nVERSION:2.0\n", 0, "breaks off", 1},
        {"BEGIN:VCALENDAR\nBEGIN:VEVENT\nEND:VCALENDAR\n", 0, "no BEGIN", 3},
        {"END:VCALENDAR\nBEGIN:VCALENDAR\nEND:VCALENDAR\n", 0, "no BEGIN", 1},
        {"BEGIN:VCALENDAR\nEND:VEVENT\nEND:VCALENDAR\n", 0, "no BEGIN", 2},
        {"BEGIN:VCALENDAR\nBEGIN:VEVENT\nBEGIN:VEVENT\nEND:VEVENT\nEND:VEVENT\nEND:VCALENDAR\n", 0,
         "inside another", 3},
        {"BEGIN:VCALENDAR\nBEGIN:VCALENDAR\nEND:VCALENDAR\nEND:VCALENDAR\n", 0,
         "inside a component", 2},
        {"BEGIN:VCALENDAR\nBEGIN:A\nBEGIN:A\nBEGIN:A\nBEGIN:A\nBEGIN:A\nBEGIN:A\nBEGIN:A\nBEGIN:"
         "A\n",
         0, "too deeply", 9},
        {"BEGIN:VCALENDAR\nX-A:\xff\nEND:VCALENDAR\n", 0, "not UTF-8", 2},
        {"BEGIN:VCALENDAR\nX-A:\xc0\xaf\nEND:VCALENDAR\n", 0, "not UTF-8", 2},
        {"BEGIN:VCALENDAR\nX-A:\xed\xa0\x80\nEND:VCALENDAR\n", 0, "not UTF-8", 2},
        {"BEGIN:VCALENDAR\nX-A:\0\nEND:VCALENDAR\n", 35, "NUL", 2},
        {"\xff\xfe"
         "B\0E\0G\0I\0N\0",
         12, "not UTF-8", 1},
    };
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        size_t length = files[i].length > 0 ? files[i].length : strlen(files[i].text);
        report = bk_report_new(arena);
        bk_busy_events events = {0};
        if (read_between(source_of(files[i].text, length), "2026-12-14 00:00", "2026-12-28 00:00",
                         &events))
            fail_msg("accepted file %zu", i);
        assert_int_equal(report.errors, 1);
        if (strstr(report.messages[0].text, files[i].part) == NULL)
            fail_msg("file %zu: %s", i, report.messages[0].text);
        size_t line, column;
        bk_place_locate(report.messages[0].place, &line, &column);
        assert_int_equal(line, files[i].line);
    }
}

static void endless_lines(void **state)
{
    (void)state;
    char *line = BK_NEW(arena, char, (1 << 20) + 2);
    memset(line, 'x', (1 << 20) + 1);
    refused(bk_format(arena, EVENT(HOUR_ON_18 "DESCRIPTION:%s\n"), line), "more than 1 MiB", 9);
    line[(1 << 20) - 20] = '\0';
    assert_string_equal(busy(bk_format(arena, EVENT(HOUR_ON_18 "DESCRIPTION:%s\n"), line)),
                        "18T09:00 18T10:00 Work\n");
}

/* `count` times the same, in one text. */
static const char *repeated(const char *text, size_t count)
{
    bk_text all = bk_text_new(arena);
    for (size_t i = 0; i < count; i++)
        bk_text_add(&all, text);
    return all.data;
}

static void as_many_events_and_lines_as_are_read(void **state)
{
    (void)state;
    static const char past[] = EVENT("DTSTART:20200101T090000Z\n");
    bk_busy_events none = {0};
    assert_true(read_between(calendar(repeated(past, 50000)), "2026-12-14 00:00",
                             "2026-12-28 00:00", &none));
    refused(repeated(past, 50001), "more than 50000 events", 1);
    /* VCALENDAR has four lines round what is in it, EVENT four and HOUR_ON_18 two. */
    const char *long_one = bk_format(arena, EVENT(HOUR_ON_18 "%s"), repeated("X:\n", 999990));
    assert_string_equal(busy(long_one), "18T09:00 18T10:00 Work\n");
    refused(bk_format(arena, EVENT(HOUR_ON_18 "%s"), repeated("X:\n", 999991)),
            "more than 1000000 lines", 1000001);
}

/* A good file with one byte changed at a time, and cut short: read or refused
 * with a message, never a crash. */
static void damaged_files(void **state)
{
    (void)state;
    const bk_source *whole =
        calendar(VTIMEZONE("Home", "") EVENT("DTSTART;TZID=Home:20261214T100000\nDURATION:PT1H\n"
                                             "RRULE:FREQ=WEEKLY;BYDAY=MO,TU;COUNT=9\n"
                                             "EXDATE;TZID=Home:20261215T100000\n"
                                             "RDATE;VALUE=PERIOD:20261217T120000Z/PT30M\n")
                     CHANGED("RECURRENCE-ID;TZID=Home:20261221T100000\n"
                             "DTSTART;VALUE=DATE:20261221\nDTEND;VALUE=DATE:20261223\n"));
    static const char marks[] = {'\0', '\n', ':', ';', '9', '-', 'Z', '\x80'};
    size_t accepted = 0, refusals = 0;
    for (size_t i = 0; i < whole->length; i++) {
        bk_arena *kept = arena;
        arena = bk_arena_new(NULL);
        bk_source *copy = source_of(whole->text, whole->length);
        ((char *)copy->text)[i] = marks[i % sizeof marks];
        report = bk_report_new(arena);
        bk_busy_events events = {0};
        bool good = bk_busy_read(arena, copy, london, at("2026-12-14 00:00"),
                                 at("2026-12-28 00:00"), &events, &report);
        assert_int_equal(good, report.errors == 0);
        *(good ? &accepted : &refusals) += 1;

        bk_source *cut = source_of(whole->text, i);
        report = bk_report_new(arena);
        good = bk_busy_read(arena, cut, london, at("2026-12-14 00:00"), at("2026-12-28 00:00"),
                            &events, &report);
        if (i + 2 < whole->length)
            assert_false(good);
        bk_arena_free(arena);
        arena = kept;
    }
    report = bk_report_new(arena);
    assert_true(accepted > 100);
    assert_true(refusals > 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(times_in_every_form),
        cmocka_unit_test(all_day_and_over_days),
        cmocka_unit_test(days_of_a_clock_change),
        cmocka_unit_test(free_and_cancelled),
        cmocka_unit_test(words_of_the_summary),
        cmocka_unit_test(folded_inside_a_character),
        cmocka_unit_test(versions_of_an_event),
        cmocka_unit_test(a_calendar_that_calls_off),
        cmocka_unit_test(plain_line_ends_and_byte_order_mark),
        cmocka_unit_test(several_calendars_in_a_file),
        cmocka_unit_test(free_busy_components),
        cmocka_unit_test(repeats),
        cmocka_unit_test(ends_of_rules),
        cmocka_unit_test(rules_keep_their_wall_time),
        cmocka_unit_test(exceptions),
        cmocka_unit_test(additions),
        cmocka_unit_test(moved_and_cancelled_occurrences),
        cmocka_unit_test(zones_of_the_file),
        cmocka_unit_test(prefixed_zone_names),
        cmocka_unit_test(zones_that_nobody_knows),
        cmocka_unit_test(dates_that_do_not_exist),
        cmocka_unit_test(properties_that_cannot_be_read),
        cmocka_unit_test(absurd_rules),
        cmocka_unit_test(files_that_are_no_calendars),
        cmocka_unit_test(endless_lines),
        cmocka_unit_test(as_many_events_and_lines_as_are_read),
        cmocka_unit_test(damaged_files),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}

/* Reading and writing instants, daily windows and lengths of time. */
#include "time/time.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

static bk_arena *arena;

static int set_up(void **state)
{
    (void)state;
    arena = bk_arena_new(NULL);
    return arena == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    bk_arena_free(arena);
    return 0;
}

/* Well-formed texts, with the RFC 3339 form that the answer is written in. */
static void reads_every_form(void **state)
{
    (void)state;
    static const struct {
        const char *zone, *text, *written;
        bool repeated;
    } good[] = {
        {"Europe/London", "2026-12-24 19:30", "2026-12-24T19:30:00+00:00", false},
        {"Europe/London", "2026-12-24T19:30", "2026-12-24T19:30:00+00:00", false},
        {"Europe/London", "2026-12-24 19:30:00", "2026-12-24T19:30:00+00:00", false},
        {"Europe/London", "2026-12-24T19:30:00+01:00", "2026-12-24T18:30:00+00:00", false},
        {"Europe/London", "2026-12-24T19:30-05:00", "2026-12-25T00:30:00+00:00", false},
        {"Europe/London", "2026-07-01T19:30Z", "2026-07-01T20:30:00+01:00", false},
        {"Europe/London", "2026-07-01 19:30:00Z", "2026-07-01T20:30:00+01:00", false},
        {"Europe/London", "2026-10-25 01:30", "2026-10-25T01:30:00+01:00", true},
        {"Europe/London", "2026-10-25 01:30+00:00", "2026-10-25T01:30:00+00:00", false},
        {"Europe/London", "2026-10-25 02:00", "2026-10-25T02:00:00+00:00", false},
        {"Europe/London", "2026-10-25 00:59", "2026-10-25T00:59:00+01:00", false},
        {"Europe/London", "2026-03-29 00:59", "2026-03-29T00:59:00+00:00", false},
        {"Europe/London", "2026-03-29 02:00", "2026-03-29T02:00:00+01:00", false},
        {"America/New_York", "2026-11-01 01:00", "2026-11-01T01:00:00-04:00", true},
        {"America/New_York", "2026-03-08 03:00", "2026-03-08T03:00:00-04:00", false},
        {"Australia/Lord_Howe", "2026-04-05 01:45", "2026-04-05T01:45:00+11:00", true},
        {"Australia/Lord_Howe", "2026-04-05 01:29", "2026-04-05T01:29:00+11:00", false},
        {"Asia/Kathmandu", "2026-12-24 19:30", "2026-12-24T19:30:00+05:45", false},
        {"America/St_Johns", "2026-12-24 19:30", "2026-12-24T19:30:00-03:30", false},
        {"UTC", "2028-02-29 00:00", "2028-02-29T00:00:00+00:00", false},
        {"UTC", "2000-02-29 23:59", "2000-02-29T23:59:00+00:00", false},
        {"UTC", "1980-01-01 00:00", "1980-01-01T00:00:00+00:00", false},
        {"UTC", "2199-12-31 23:59", "2199-12-31T23:59:00+00:00", false},
        {"UTC", "2199-12-31 23:59-23:59", "2200-01-01T23:58:00+00:00", false},
    };
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        const bk_zone *zone = bk_zone_open(arena, good[i].zone);
        bk_instant instant;
        bool repeated = !good[i].repeated;
        if (bk_instant_read(zone, good[i].text, &instant, &repeated) != BK_INSTANT_OK)
            fail_msg("refused %s", good[i].text);
        assert_string_equal(bk_instant_rfc3339(arena, zone, instant), good[i].written);
        assert_int_equal(repeated, good[i].repeated);
        assert_int_equal(bk_instant_read(zone, good[i].text, &instant, NULL), BK_INSTANT_OK);
    }
}

static void refuses_every_other_form(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        enum bk_instant_error error;
    } bad[] = {
        {"", BK_INSTANT_FORM},
        {"2", BK_INSTANT_FORM},
        {"tomorrow", BK_INSTANT_FORM},
        {"2026-12-24", BK_INSTANT_FORM},
        {"19:30", BK_INSTANT_FORM},
        {"2026-12-24 ", BK_INSTANT_FORM},
        {"2026-12-24  19:30", BK_INSTANT_FORM},
        {"2026-12-24t19:30", BK_INSTANT_FORM},
        {"2026-12-24 19:30z", BK_INSTANT_FORM},
        {" 2026-12-24 19:30", BK_INSTANT_FORM},
        {"2026-12-24 19:30 ", BK_INSTANT_FORM},
        {"2026-12-24 19:30 Z", BK_INSTANT_FORM},
        {"2026-12-24 19:30ZZ", BK_INSTANT_FORM},
        {"2026-12-24 19.30", BK_INSTANT_FORM},
        {"2026-12-24 1930", BK_INSTANT_FORM},
        {"2026-12-24 9:30", BK_INSTANT_FORM},
        {"2026-12-24 19:3", BK_INSTANT_FORM},
        {"2026-12-24 19:30:", BK_INSTANT_FORM},
        {"2026-12-24 19:30:30", BK_INSTANT_FORM},
        {"2026-12-24 19:30:00.0", BK_INSTANT_FORM},
        {"2026-12-24 19:30+1", BK_INSTANT_FORM},
        {"2026-12-24 19:30+0100", BK_INSTANT_FORM},
        {"2026-12-24 19:30+24:00", BK_INSTANT_FORM},
        {"2026-12-24 19:30+01:60", BK_INSTANT_FORM},
        {"2026-12-24 19:30+01:00Z", BK_INSTANT_FORM},
        {"2026/12/24 19:30", BK_INSTANT_FORM},
        {"24-12-2026 19:30", BK_INSTANT_FORM},
        {"26-12-24 19:30", BK_INSTANT_FORM},
        {"2026-1-24 19:30", BK_INSTANT_FORM},
        {"+2026-12-24 19:30", BK_INSTANT_FORM},
        {"-026-12-24 19:30", BK_INSTANT_FORM},
        {"2026-12-24 7:30 PM", BK_INSTANT_FORM},
        {"2026-12-2\xd9\xa4 19:30", BK_INSTANT_FORM},
        {"2026-13-24 19:30", BK_INSTANT_DATE},
        {"2026-00-24 19:30", BK_INSTANT_DATE},
        {"2026-12-00 19:30", BK_INSTANT_DATE},
        {"2026-12-32 19:30", BK_INSTANT_DATE},
        {"2026-11-31 19:30", BK_INSTANT_DATE},
        {"2026-02-29 19:30", BK_INSTANT_DATE},
        {"2100-02-29 19:30", BK_INSTANT_DATE},
        {"2026-12-24 24:00", BK_INSTANT_DATE},
        {"2026-12-24 19:60", BK_INSTANT_DATE},
        {"2026-03-29 01:00", BK_INSTANT_SKIPPED},
        {"2026-03-29T01:59:00", BK_INSTANT_SKIPPED},
        {"1979-12-31 23:59", BK_INSTANT_RANGE},
        {"2200-01-01 00:00", BK_INSTANT_RANGE},
        {"0000-01-01 00:00", BK_INSTANT_RANGE},
        {"9999-12-31 23:59Z", BK_INSTANT_RANGE},
    };
    const bk_zone *zone = bk_zone_open(arena, "Europe/London");
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        bk_instant instant;
        enum bk_instant_error error = bk_instant_read(zone, bad[i].text, &instant, NULL);
        if (error != bad[i].error)
            fail_msg("\"%s\" gave %d", bad[i].text, (int)error);
    }
}

static void skipped_in_each_zone(void **state)
{
    (void)state;
    bk_instant instant;
    const bk_zone *new_york = bk_zone_open(arena, "America/New_York");
    assert_int_equal(bk_instant_read(new_york, "2026-03-08 02:30", &instant, NULL),
                     BK_INSTANT_SKIPPED);
    const bk_zone *lord_howe = bk_zone_open(arena, "Australia/Lord_Howe");
    assert_int_equal(bk_instant_read(lord_howe, "2026-10-04 02:29", &instant, NULL),
                     BK_INSTANT_SKIPPED);
    assert_int_equal(bk_instant_read(lord_howe, "2026-10-04 02:30", &instant, NULL), BK_INSTANT_OK);
}

static void daily_windows(void **state)
{
    (void)state;
    int from, to;
    assert_true(bk_daily_read("22:30-07:00", &from, &to));
    assert_int_equal(from, 22 * 60 + 30);
    assert_int_equal(to, 7 * 60);
    assert_true(bk_daily_read("13:00-24:00", &from, &to));
    assert_int_equal(to, 0);
    assert_true(bk_daily_read("00:00-23:59", &from, &to));
    static const char *const bad[] = {"",
                                      "22:30",
                                      "22:30-",
                                      "-07:00",
                                      "22:30-22:30",
                                      "22:30 - 07:00",
                                      "22:30-07:00 ",
                                      "22.30-07.00",
                                      "9:00-17:00",
                                      "22:60-07:00",
                                      "24:00-07:00",
                                      "22:30-24:01",
                                      "00:00-24:00",
                                      "25:00-26:00",
                                      "22:30-07:000",
                                      "22:30–07:00",
                                      "22:30-07:00,"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        if (bk_daily_read(bad[i], &from, &to))
            fail_msg("accepted \"%s\"", bad[i]);
}

static void writes_words(void **state)
{
    (void)state;
    const bk_zone *zone = bk_zone_open(arena, "Europe/London");
    bk_instant instant;
    assert_int_equal(bk_instant_read(zone, "2026-07-24 19:05", &instant, NULL), BK_INSTANT_OK);
    assert_string_equal(bk_clock(arena, zone, instant), "19:05");
    assert_string_equal(bk_date_long(arena, zone, instant), "Friday 24 July 2026");
    assert_string_equal(bk_instant_utc(arena, instant), "20260724T180500Z");
    assert_string_equal(bk_minutes(arena, 0), "0 min");
    assert_string_equal(bk_minutes(arena, 45), "45 min");
    assert_string_equal(bk_minutes(arena, 90), "1 h 30 min");
    assert_string_equal(bk_minutes(arena, 120), "2 h");
    assert_string_equal(bk_minutes(arena, 27 * 60), "1 d 3 h");
    assert_string_equal(bk_minutes(arena, 2 * 1440 + 61), "2 d 1 h 1 min");
    assert_string_equal(bk_minutes(arena, -90), "-1 h 30 min");
    assert_string_equal(bk_minutes(arena, INT64_MIN), "-6405119470038038 d 18 h 8 min");
}

/* Weekdays from memory of dates anybody can look up; then each day follows. */
static void calendar_arithmetic(void **state)
{
    (void)state;
    assert_int_equal(bk_weekday((bk_civil){2000, 1, 1, 0, 0}), 5);
    assert_int_equal(bk_weekday((bk_civil){2026, 12, 25, 0, 0}), 4);
    const bk_zone *zone = bk_zone_open(arena, "UTC");
    bk_instant instant;
    assert_int_equal(bk_instant_read(zone, "1980-01-01 00:00", &instant, NULL), BK_INSTANT_OK);
    bk_civil before = bk_civil_at(zone, instant - BK_DAY);
    int days = 0;
    for (; bk_civil_at(zone, instant).year <= BK_LAST_YEAR; instant += BK_DAY, days++) {
        bk_civil now = bk_civil_at(zone, instant);
        assert_true(bk_civil_valid(now));
        assert_int_equal(bk_weekday(now), (bk_weekday(before) + 1) % 7);
        assert_int_equal(bk_instant_of(zone, now, NULL), instant);
        bool next_day = now.month == before.month && now.day == before.day + 1;
        bool next_month = now.day == 1 && now.month == before.month % 12 + 1;
        assert_true(next_day || next_month);
        before = now;
    }
    /* 220 years of 365 days and 54 leap days (2100 has none). */
    assert_int_equal(days, 220 * 365 + 54);
    assert_false(bk_civil_valid((bk_civil){2026, 2, 29, 0, 0}));
    assert_false(bk_civil_valid((bk_civil){2026, 0, 1, 0, 0}));
    assert_false(bk_civil_valid((bk_civil){2026, 1, 1, 24, 0}));
    assert_false(bk_civil_valid((bk_civil){2026, 1, 1, 0, -1}));
    assert_string_equal(bk_weekday_name(7), "");
    assert_string_equal(bk_month_name(0), "");
}

static void far_instants_do_no_harm(void **state)
{
    (void)state;
    const bk_zone *zone = bk_zone_open(arena, "America/New_York");
    static const bk_instant far[] = {INT64_MIN, INT64_MAX, INT64_MIN / 2, INT64_MAX / 2, 0};
    for (size_t i = 0; i < sizeof far / sizeof *far; i++) {
        assert_non_null(bk_instant_rfc3339(arena, zone, far[i]));
        assert_non_null(bk_instant_utc(arena, far[i]));
        assert_non_null(bk_date_long(arena, zone, far[i]));
        bk_day_start(zone, far[i]);
        bk_next_day_start(zone, far[i]);
    }
}

static void reads_dates(void **state)
{
    (void)state;
    static const char *const bad[] = {"",           "2026-12-24 ", "2026-12-24T", "2026-2-3",
                                      "2026-02-30", "1979-12-31",  "2200-01-01",  "24-12-2026",
                                      "2026/12/24", " 2026-12-24", "2026-12-2"};
    bk_civil date = {.hour = 7, .minute = 7};
    assert_true(bk_date_read("2028-02-29", &date));
    assert_int_equal(bk_civil_minutes(date), bk_civil_minutes((bk_civil){2028, 2, 29, 0, 0}));
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        if (bk_date_read(bad[i], &date))
            fail_msg("\"%s\" is read", bad[i]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_dates),
        cmocka_unit_test(reads_every_form),
        cmocka_unit_test(refuses_every_other_form),
        cmocka_unit_test(skipped_in_each_zone),
        cmocka_unit_test(daily_windows),
        cmocka_unit_test(writes_words),
        cmocka_unit_test(calendar_arithmetic),
        cmocka_unit_test(far_instants_do_no_harm),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}

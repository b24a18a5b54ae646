/* Sets of spans, and daily windows on the nights of a clock change. */
#include "time/time.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

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

static bk_instant instant(const bk_zone *zone, const char *text)
{
    bk_instant result = 0;
    assert_int_equal(bk_instant_read(zone, text, &result, NULL), BK_INSTANT_OK);
    return result;
}

static void sorts_and_merges(void **state)
{
    (void)state;
    bk_spans spans = bk_spans_new(arena);
    bk_spans_add(&spans, 50, 60, 3);
    bk_spans_add(&spans, 10, 20, 2);
    bk_spans_add(&spans, 30, 30, 9); /* empty: not added */
    bk_spans_add(&spans, 30, 29, 9);
    bk_spans_add(&spans, 15, 18, 5);
    bk_spans_add(&spans, 10, 20, 1);
    bk_spans_add(&spans, 20, 25, 4); /* touches: one span with the one before */
    bk_spans_sort(&spans);
    assert_int_equal(spans.count, 5);
    static const int tags[] = {1, 2, 5, 4, 3};
    for (size_t i = 0; i < spans.count; i++)
        assert_int_equal(spans.items[i].tag, tags[i]);
    bk_spans merged = bk_spans_merged(arena, &spans);
    assert_int_equal(merged.count, 2);
    assert_int_equal(merged.items[0].from, 10);
    assert_int_equal(merged.items[0].to, 25);
    assert_int_equal(merged.items[1].from, 50);
    assert_int_equal(merged.items[1].to, 60);
    assert_int_equal(spans.count, 5);
    bk_spans none = bk_spans_new(arena);
    bk_spans_sort(&none);
    assert_int_equal(bk_spans_merged(arena, &none).count, 0);
}

/* Windows on the nights of the clock changes of 2026: civil ends as written,
 * elapsed lengths as a clock on the wall would not tell. */
static void nights_of_the_changes(void **state)
{
    (void)state;
    static const struct {
        const char *zone, *window;
        const char *from, *to; /* of the span, with offsets; NULL: none that night */
        const char *noon;      /* of the day before the night, UTC */
    } nights[] = {
        {"Europe/London", "22:30-07:00", "2026-03-28 22:30+00:00", "2026-03-29 07:00+01:00",
         "2026-03-28 12:00Z"},
        {"Europe/London", "22:30-07:00", "2026-10-24 22:30+01:00", "2026-10-25 07:00+00:00",
         "2026-10-24 12:00Z"},
        {"America/New_York", "22:30-07:00", "2026-03-07 22:30-05:00", "2026-03-08 07:00-04:00",
         "2026-03-07 12:00Z"},
        {"America/New_York", "22:30-07:00", "2026-10-31 22:30-04:00", "2026-11-01 07:00-05:00",
         "2026-10-31 12:00Z"},
        {"Australia/Lord_Howe", "22:30-07:00", "2026-04-04 22:30+11:00", "2026-04-05 07:00+10:30",
         "2026-04-04 02:00Z"},
        {"Australia/Lord_Howe", "22:30-07:00", "2026-10-03 22:30+10:30", "2026-10-04 07:00+11:00",
         "2026-10-03 02:00Z"},
        /* An end that is skipped is the change; one that is repeated, the first. */
        {"Europe/London", "22:30-01:30", "2026-03-28 22:30+00:00", "2026-03-29 01:00+00:00",
         "2026-03-28 12:00Z"},
        {"Europe/London", "22:30-01:30", "2026-10-24 22:30+01:00", "2026-10-25 01:30+01:00",
         "2026-10-24 12:00Z"},
        {"Europe/London", "01:30-05:00", "2026-03-29 01:00+00:00", "2026-03-29 05:00+01:00",
         "2026-03-28 12:00Z"},
        {"Europe/London", "01:30-05:00", "2026-10-25 01:30+01:00", "2026-10-25 05:00+00:00",
         "2026-10-24 12:00Z"},
        {"Europe/London", "01:10-01:50", NULL, NULL, "2026-03-28 12:00Z"},
        {"Australia/Lord_Howe", "02:10-02:45", "2026-10-04 02:00+10:30", "2026-10-04 02:45+11:00",
         "2026-10-03 02:00Z"},
    };
    for (size_t i = 0; i < sizeof nights / sizeof *nights; i++) {
        const bk_zone *zone = bk_zone_open(arena, nights[i].zone);
        int from, to;
        assert_true(bk_daily_read(nights[i].window, &from, &to));
        bk_instant noon = instant(zone, nights[i].noon);
        bk_spans spans = bk_spans_new(arena);
        bk_spans_add_daily(&spans, zone, &(bk_daily){.from = from, .to = to}, noon, noon + BK_DAY,
                           7);
        if (nights[i].from == NULL) {
            assert_int_equal(spans.count, 0);
            continue;
        }
        assert_int_equal(spans.count, 1);
        assert_int_equal(spans.items[0].from, instant(zone, nights[i].from));
        assert_int_equal(spans.items[0].to, instant(zone, nights[i].to));
        assert_int_equal(spans.items[0].tag, 7);
    }
}

/* 22:30-07:00 is 8 h 30 min by the clock: 7 h 30 and 9 h 30 when an hour goes
 * missing or comes twice, 8 h and 9 h on Lord Howe. */
static void elapsed_lengths_of_nights(void **state)
{
    (void)state;
    static const struct {
        const char *zone, *noon;
        int minutes;
    } nights[] = {
        {"Europe/London", "2026-03-27 12:00Z", 510},
        {"Europe/London", "2026-03-28 12:00Z", 450},
        {"Europe/London", "2026-10-24 12:00Z", 570},
        {"America/New_York", "2026-03-07 17:00Z", 450},
        {"America/New_York", "2026-10-31 16:00Z", 570},
        {"Australia/Lord_Howe", "2026-04-04 01:00Z", 540},
        {"Australia/Lord_Howe", "2026-10-03 01:30Z", 480},
    };
    for (size_t i = 0; i < sizeof nights / sizeof *nights; i++) {
        const bk_zone *zone = bk_zone_open(arena, nights[i].zone);
        bk_instant noon = instant(zone, nights[i].noon);
        bk_spans spans = bk_spans_new(arena);
        bk_spans_add_daily(&spans, zone, &(bk_daily){.from = 22 * 60 + 30, .to = 7 * 60}, noon,
                           noon + BK_DAY, 0);
        assert_int_equal(spans.count, 1);
        assert_int_equal(spans.items[0].to - spans.items[0].from, nights[i].minutes);
    }
}

static void touches_the_range_whole(void **state)
{
    (void)state;
    const bk_zone *zone = bk_zone_open(arena, "Europe/London");
    bk_instant midnight = instant(zone, "2026-12-25 00:00");
    bk_spans spans = bk_spans_new(arena);
    /* A minute inside the night gives the whole night. */
    bk_spans_add_daily(&spans, zone, &(bk_daily){.from = 22 * 60, .to = 6 * 60}, midnight,
                       midnight + 1, 0);
    assert_int_equal(spans.count, 1);
    assert_int_equal(spans.items[0].from, midnight - 120);
    assert_int_equal(spans.items[0].to, midnight + 360);
    /* A range that only borders on windows touches none. */
    spans = bk_spans_new(arena);
    bk_spans_add_daily(&spans, zone, &(bk_daily){.from = 22 * 60, .to = 6 * 60}, midnight + 360,
                       midnight + 22 * 60, 0);
    assert_int_equal(spans.count, 0);
    bk_spans_add_daily(&spans, zone, &(bk_daily){.from = 22 * 60, .to = 6 * 60}, midnight + 1,
                       midnight + 1, 0);
    assert_int_equal(spans.count, 0);
    /* A year has 366 nights that touch it, and until midnight means until midnight. */
    bk_instant year = instant(zone, "2027-01-01 00:00"), next = instant(zone, "2028-01-01 00:00");
    spans = bk_spans_new(arena);
    bk_spans_add_daily(&spans, zone, &(bk_daily){.from = 22 * 60, .to = 6 * 60}, year, next, 0);
    assert_int_equal(spans.count, 366);
    spans = bk_spans_new(arena);
    bk_spans_add_daily(&spans, zone, &(bk_daily){.from = 18 * 60, .to = 0}, year, next, 0);
    assert_int_equal(spans.count, 365);
    assert_int_equal(spans.items[364].to, next);
}

/* Samoa had no 30 December 2011: the nights around it follow each other. */
static void windows_across_a_missing_date(void **state)
{
    (void)state;
    const bk_zone *zone = bk_zone_open(arena, "Pacific/Apia");
    bk_instant change = instant(zone, "2011-12-31 00:00");
    bk_spans spans = bk_spans_new(arena);
    bk_spans_add_daily(&spans, zone, &(bk_daily){.from = 22 * 60, .to = 6 * 60}, change - 720,
                       change + 720, 0);
    assert_int_equal(spans.count, 2);
    assert_int_equal(spans.items[0].from, change - 120);
    assert_int_equal(spans.items[0].to, change);
    assert_int_equal(spans.items[1].from, change);
    assert_int_equal(spans.items[1].to, change + 360);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sorts_and_merges),
        cmocka_unit_test(nights_of_the_changes),
        cmocka_unit_test(elapsed_lengths_of_nights),
        cmocka_unit_test(touches_the_range_whole),
        cmocka_unit_test(windows_across_a_missing_date),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}

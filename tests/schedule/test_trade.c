/* What a cook would reckon on paper: common practice, no source. And overnight
 * sets through the nights on which clocks change, against the zone data as
 * python3's zoneinfo reads it. Every plan goes through the reader.
 */
#include "support/plan_text.h"

#include <inttypes.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

static bk_timeline *best(bk_arena *arena, const char *json)
{
    bk_timeline *timeline = schedule_plan_text(arena, json, &(bk_schedule_options){0});
    assert_int_equal(timeline->status, BK_TIMELINE_OPTIMAL);
    return timeline;
}

/* "Fri 10:25" */
static const char *when(bk_arena *arena, const bk_timeline *timeline, bk_instant instant)
{
    bk_civil civil = bk_civil_at(timeline->plan->zone, instant);
    return bk_format(arena, "%.3s %02d:%02d", bk_weekday_name(bk_weekday(civil)), civil.hour,
                     civil.minute);
}

/* The whole timeline as a cook would pencil it: "mix Fri 10:25-10:40; …". */
static const char *on_paper(bk_arena *arena, const bk_timeline *timeline)
{
    bk_text out = bk_text_new(arena);
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *placed = &timeline->stages[i];
        bk_civil end = bk_civil_at(timeline->plan->zone, placed->end);
        bk_text_addf(&out, "%s%s %s-%02d:%02d", i > 0 ? "; " : "",
                     timeline->plan->stages[placed->stage].id, when(arena, timeline, placed->start),
                     end.hour, end.minute);
    }
    return out.data;
}

/* ------------------------------------------------------------- temperatures */

/* Common practice, no source: gas mark 4 is a moderate oven, 180 °C. */
static void test_gas_mark_4_is_180(void **state)
{
    (void)state;
    bk_temperature temperature;
    const char *mend = NULL;
    assert_true(bk_read_oven_temperature("gas 4", &temperature, &mend));
    assert_true(temperature.nominal == 180);
    bk_arena *arena = bk_arena_new(NULL);
    bk_timeline *timeline = best(
        arena,
        "{\"occasion\": \"tea\", \"timezone\": \"Europe/London\", \"serve\": \"2026-12-18 16:00\","
        "\"kitchen\": {\"equipment\": {\"oven\": {\"kind\": \"oven\", \"shelves\": 2}}},"
        "\"dishes\": [{\"dish\": \"rolls\", \"stages\": [{\"id\": \"a\", \"do\": \"bake\","
        "\"passive\": \"20 min\", \"uses\": {\"oven\": {\"at\": \"gas 4\"}}}]},"
        "{\"dish\": \"biscuits\", \"stages\": [{\"id\": \"b\", \"do\": \"bake\","
        "\"passive\": \"15 min\", \"uses\": {\"oven\": {\"at\": \"180 C\"}}}]}]}");
    /* One setting serves both: side by side, until four. */
    assert_string_equal(on_paper(arena, timeline), "a Fri 15:40-16:00; b Fri 15:45-16:00");
    assert_int_equal(timeline->oven_count, 1);
    assert_true(timeline->ovens[0].temperature_c == 180);
    assert_string_equal(when(arena, timeline, timeline->ovens[0].on), "Fri 15:25");
    bk_arena_free(arena);
}

/* --------------------------------------------------------------- the torte */

/* A blackcurrant mousse torte for a table at 19:30 on Friday 18 December 2026:
 * base mixed in 15 min, baked 12-15 min at gas mark 4, cooled 45 min; an hour and
 * a half of work for the mousse, the middle layer, poured at once; set 6 h; turned
 * out and glazed in 20 min. */
static const char *torte(bk_arena *arena, const char *more, const char *kitchen,
                         const char *of_dish)
{
    return bk_format(
        arena,
        "{\"occasion\": \"Friday supper\", \"timezone\": \"Europe/London\","
        "\"serve\": \"2026-12-18 19:30\", %s"
        "\"kitchen\": {%s\"equipment\": {\"oven\": {\"kind\": \"oven\", \"preheat\": \"15 min\"},"
        "\"fridge\": {\"kind\": \"cold\", \"places\": 1}}},"
        "\"dishes\": [{\"dish\": \"blackcurrant mousse torte\", %s\"stages\": ["
        "{\"id\": \"mix\", \"do\": \"mix the almond base\", \"active\": \"15 min\"},"
        "{\"id\": \"bake\", \"do\": \"bake it\", \"passive\": \"12-15 min\","
        "\"uses\": {\"oven\": {\"at\": \"gas 4\"}}},"
        "{\"id\": \"cool\", \"do\": \"cool it\", \"passive\": \"45 min\"},"
        "{\"id\": \"mousse\", \"do\": \"make the mousse\", \"active\": \"1 h 30 min\"},"
        "{\"id\": \"set\", \"do\": \"set it\", \"passive\": \"6 h\", \"uses\": {\"fridge\": 1},"
        "\"after\": {\"stage\": \"mousse\", \"within\": \"0 min\"}},"
        "{\"id\": \"glaze\", \"do\": \"turn out and glaze\", \"active\": \"20 min\"}]}]}",
        more, kitchen, of_dish);
}

/* One after the other, back from the table:
 *   19:30 - 20 min  = 19:10 glaze
 *   19:10 - 6 h     = 13:10 set
 *   13:10 - 90 min  = 11:40 mousse
 *   11:40 - 45 min  = 10:55 cool
 *   10:55 - 15 min  = 10:40 bake (the longer of 12-15)
 *   10:40 - 15 min  = 10:25 mix; and the oven on, 15 min before the bake. */
static void test_back_from_the_table(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_timeline *timeline = best(arena, torte(arena, "", "", ""));
    assert_string_equal(on_paper(arena, timeline),
                        "mix Fri 10:25-10:40; bake Fri 10:40-10:55; cool Fri 10:55-11:40; "
                        "mousse Fri 11:40-13:10; set Fri 13:10-19:10; "
                        "glaze Fri 19:10-19:30");
    assert_int_equal(timeline->oven_count, 1);
    assert_string_equal(when(arena, timeline, timeline->ovens[0].on), "Fri 10:25");
    /* Serve less end, in minutes: mix 8 h 50, bake 8 h 35, cool 7 h 50, mousse 6 h 20,
     * set 20 min, glaze 0: 530 + 515 + 470 + 380 + 20. */
    assert_int_equal(timeline->waiting, 1915);
    /* Hands: 15 + 90 + 20. */
    assert_int_equal(timeline->hands_on_serving_day, 125);
    bk_arena_free(arena);
}

/* The shorter bake saves 3 min at the beginning, the likely one (13.5, up to 14)
 * one; a margin of 10 min moves everything. */
static void test_ends_of_the_range_and_margin(void **state)
{
    (void)state;
    static const struct {
        const char *more, *start;
    } cases[] = {{"\"plan_on\": \"least\",", "Fri 10:28"},
                 {"\"plan_on\": \"likely\",", "Fri 10:26"},
                 {"\"plan_on\": \"most\",", "Fri 10:25"},
                 {"\"margin\": \"10 min\",", "Fri 10:15"},
                 {"\"plan_on\": \"least\", \"margin\": \"1 h\",", "Fri 09:28"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        bk_timeline *timeline = best(arena, torte(arena, cases[i].more, "", ""));
        assert_string_equal(when(arena, timeline, timeline->start), cases[i].start);
        bk_arena_free(arena);
    }
}

/* At work from 08:30 to 17:30 on Friday, in bed from 22:30 to 07:00.
 *   glaze after work, at 19:10.
 *   The mousse wants 90 min of hands at least 6 h before: not during work, so
 *   before it: 07:00-08:30, just enough. It sets at once: 08:30-14:30.
 *   The base has to be cool at 07:00, and in the night nobody takes it off its tray:
 *   it is set to cool before bed, 22:30-23:15.
 *   The bake is watched, so before bed: 22:15-22:30 on Thursday, oven on 22:00.
 *   The base is mixed by then: 22:00-22:15. */
static void test_a_working_day_before(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const char *week = "\"asleep\": \"22:30-07:00\","
                       "\"away\": [{\"from\": \"2026-12-17 08:30\", \"to\": \"2026-12-17 17:30\"},"
                       "{\"from\": \"2026-12-18 08:30\", \"to\": \"2026-12-18 17:30\"}],";
    bk_timeline *timeline = best(arena, torte(arena, "", week, ""));
    assert_string_equal(on_paper(arena, timeline),
                        "mix Thu 22:00-22:15; bake Thu 22:15-22:30; cool Thu 22:30-23:15; "
                        "mousse Fri 07:00-08:30; set Fri 08:30-14:30; "
                        "glaze Fri 19:10-19:30");
    assert_string_equal(when(arena, timeline, timeline->ovens[0].on), "Thu 22:00");
    assert_int_equal(timeline->hands_on_serving_day, 110);

    /* The same kitchen, as much as possible ahead, and the glaze shines for an hour
     * only: it is all that is left for Friday.
     *   mousse until bed: 21:00-22:30; cool 20:15-21:00; bake 20:00-20:15; mix 19:45. */
    timeline = best(arena, torte(arena, "\"style\": \"ahead\",", week, "\"keeps\": \"1 h\","));
    assert_string_equal(on_paper(arena, timeline),
                        "mix Thu 19:45-20:00; bake Thu 20:00-20:15; cool Thu 20:15-21:00; "
                        "mousse Thu 21:00-22:30; set Thu 22:30-04:30; "
                        "glaze Fri 19:10-19:30");
    assert_int_equal(timeline->hands_on_serving_day, 20);

    /* When it keeps, nothing is left: glaze before bed on Thursday, 22:10; set by
     * then, so the mousse before work, 07:00-08:30; the base before bed on Wednesday. */
    timeline = best(arena, torte(arena, "\"style\": \"ahead\",", week, ""));
    assert_string_equal(on_paper(arena, timeline),
                        "mix Wed 22:00-22:15; bake Wed 22:15-22:30; cool Wed 22:30-23:15; "
                        "mousse Thu 07:00-08:30; set Thu 08:30-14:30; "
                        "glaze Thu 22:10-22:30");
    assert_int_equal(timeline->hands_on_serving_day, 0);
    bk_arena_free(arena);
}

/* The middle layer made while the base is in the oven and cools, by one cook.
 *   glaze 19:10, set 13:10, put together 13:00-13:10.
 *   mousse 11:30-13:00; the base has to be cool at 13:00: 12:15-13:00.
 *   The bake needs no hands, but goes in within 10 min of the mixing, and mixing
 *   does: the hands are free until 11:30. So mix 11:15-11:30 and into the oven before
 *   the mousse is begun, 11:30-11:45; it has to come out while the hands are in the
 *   mousse, and is set to cool in the same minute: once is the least. Oven on 11:15. */
static void test_middle_layer_beside_the_bake(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_timeline *timeline = best(
        arena,
        "{\"occasion\": \"Friday supper\", \"timezone\": \"Europe/London\","
        "\"serve\": \"2026-12-18 19:30\","
        "\"kitchen\": {\"equipment\": {\"oven\": {\"kind\": \"oven\", \"preheat\": \"15 min\"}}},"
        "\"dishes\": [{\"dish\": \"blackcurrant mousse torte\", \"stages\": ["
        "{\"id\": \"mix\", \"do\": \"mix the base\", \"active\": \"15 min\"},"
        "{\"id\": \"bake\", \"do\": \"bake it\", \"passive\": \"12-15 min\","
        "\"after\": {\"stage\": \"mix\", \"within\": \"10 min\"},"
        "\"uses\": {\"oven\": {\"at\": \"gas 4\"}}},"
        "{\"id\": \"cool\", \"do\": \"cool it\", \"passive\": \"45 min\"},"
        "{\"id\": \"mousse\", \"do\": \"make the mousse\", \"active\": \"1 h 30 min\","
        "\"after\": []},"
        "{\"id\": \"layer\", \"do\": \"pour the mousse over the base\", \"active\": \"10 min\","
        "\"after\": [\"cool\", {\"stage\": \"mousse\", \"within\": \"0 min\"}]},"
        "{\"id\": \"set\", \"do\": \"set it\", \"passive\": \"6 h\"},"
        "{\"id\": \"glaze\", \"do\": \"turn out and glaze\", \"active\": \"20 min\"}]}]}");
    assert_string_equal(on_paper(arena, timeline), "mix Fri 11:15-11:30; bake Fri 11:30-11:45; "
                                                   "mousse Fri 11:30-13:00; cool Fri 11:45-12:30; "
                                                   "layer Fri 13:00-13:10; set Fri 13:10-19:10; "
                                                   "glaze Fri 19:10-19:30");
    assert_string_equal(when(arena, timeline, timeline->ovens[0].on), "Fri 11:15");
    assert_int_equal(timeline->interruptions, 1);
    bk_arena_free(arena);
}

/* ------------------------------------------------------------ clock changes */

/* A panna cotta for breakfast at 08:00: stirred 30 min, set for 10 hours through
 * the night, turned out in 15 min; in bed from 23:00 to 07:00. What sets counts
 * hours that pass, not what the clock shows. Made by python3:
 *
 * from datetime import datetime, timedelta as d, timezone as u
 * from zoneinfo import ZoneInfo
 * def night(name, *day):
 *     zone = ZoneInfo(name)
 *     serve = datetime(2026, *day, 8, tzinfo=zone)
 *     def back(minutes):
 *         return (serve.astimezone(u.utc) - d(minutes=minutes)).astimezone(zone).isoformat()
 *     bed = datetime(2026, *day, 23, tzinfo=zone) - d(days=1)
 *     up = datetime(2026, *day, 7, tzinfo=zone)
 *     print(name, back(0), back(15), back(615), back(645), bed.isoformat(), up.isoformat())
 * night("Europe/London", 3, 29); night("Europe/London", 10, 25)
 * night("America/New_York", 3, 8); night("America/New_York", 11, 1)
 * night("Australia/Lord_Howe", 4, 5); night("Australia/Lord_Howe", 10, 4)
 */
static const struct {
    const char *zone, *serve;
    const char *ready, *turn_out, *set, *stir; /* starts, but ready is the last end */
    const char *bed, *up;
} nights[] = {
    {"Europe/London", "2026-03-29 08:00", "2026-03-29T08:00:00+01:00", "2026-03-29T07:45:00+01:00",
     "2026-03-28T20:45:00+00:00", "2026-03-28T20:15:00+00:00", "2026-03-28T23:00:00+00:00",
     "2026-03-29T07:00:00+01:00"},
    {"Europe/London", "2026-10-25 08:00", "2026-10-25T08:00:00+00:00", "2026-10-25T07:45:00+00:00",
     "2026-10-24T22:45:00+01:00", "2026-10-24T22:15:00+01:00", "2026-10-24T23:00:00+01:00",
     "2026-10-25T07:00:00+00:00"},
    {"America/New_York", "2026-03-08 08:00", "2026-03-08T08:00:00-04:00",
     "2026-03-08T07:45:00-04:00", "2026-03-07T20:45:00-05:00", "2026-03-07T20:15:00-05:00",
     "2026-03-07T23:00:00-05:00", "2026-03-08T07:00:00-04:00"},
    {"America/New_York", "2026-11-01 08:00", "2026-11-01T08:00:00-05:00",
     "2026-11-01T07:45:00-05:00", "2026-10-31T22:45:00-04:00", "2026-10-31T22:15:00-04:00",
     "2026-10-31T23:00:00-04:00", "2026-11-01T07:00:00-05:00"},
    {"Australia/Lord_Howe", "2026-04-05 08:00", "2026-04-05T08:00:00+10:30",
     "2026-04-05T07:45:00+10:30", "2026-04-04T22:15:00+11:00", "2026-04-04T21:45:00+11:00",
     "2026-04-04T23:00:00+11:00", "2026-04-05T07:00:00+10:30"},
    {"Australia/Lord_Howe", "2026-10-04 08:00", "2026-10-04T08:00:00+11:00",
     "2026-10-04T07:45:00+11:00", "2026-10-03T21:15:00+10:30", "2026-10-03T20:45:00+10:30",
     "2026-10-03T23:00:00+10:30", "2026-10-04T07:00:00+11:00"},
};

static void test_set_through_a_clock_change(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof nights / sizeof *nights; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        const char *json = bk_format(
            arena,
            "{\"occasion\": \"breakfast\", \"timezone\": \"%s\", \"serve\": \"%s\","
            "\"kitchen\": {\"asleep\": \"23:00-07:00\"}, \"dishes\": [{\"dish\": \"panna cotta\","
            "\"stages\": [{\"id\": \"stir\", \"do\": \"stir\", \"active\": \"30 min\"},"
            "{\"id\": \"set\", \"do\": \"set\", \"passive\": \"10 h\","
            "\"after\": {\"stage\": \"stir\", \"within\": \"0 min\"}},"
            "{\"id\": \"turn out\", \"do\": \"turn out\", \"active\": \"15 min\"}]}]}",
            nights[i].zone, nights[i].serve);
        bk_timeline *timeline = best(arena, json);
        const bk_zone *zone = timeline->plan->zone;
        assert_int_equal(timeline->stage_count, 3);
        assert_string_equal(bk_instant_rfc3339(arena, zone, timeline->stages[0].start),
                            nights[i].stir);
        assert_string_equal(bk_instant_rfc3339(arena, zone, timeline->stages[1].start),
                            nights[i].set);
        assert_string_equal(bk_instant_rfc3339(arena, zone, timeline->stages[2].start),
                            nights[i].turn_out);
        assert_string_equal(bk_instant_rfc3339(arena, zone, timeline->ready), nights[i].ready);
        assert_int_equal(timeline->stages[1].end - timeline->stages[1].start, 600);
        const bk_kitchen *kitchen = &timeline->plan->kitchen;
        const bk_window *night = NULL; /* the last before breakfast */
        for (size_t w = 0; w < kitchen->window_count; w++)
            if (kitchen->windows[w].to <= timeline->ready)
                night = &kitchen->windows[w];
        assert_non_null(night);
        assert_string_equal(bk_instant_rfc3339(arena, zone, night->from), nights[i].bed);
        assert_string_equal(bk_instant_rfc3339(arena, zone, night->to), nights[i].up);
        bk_arena_free(arena);
    }
}

/* The hour that comes twice in New York, 1 November 2026: a watched bake of 90 min
 * that must be out by the second 01:30 starts at the first 01:00 by the clock. */
static void test_a_bake_in_the_hour_that_comes_twice(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_timeline *timeline =
        best(arena,
             "{\"occasion\": \"midnight feast\", \"timezone\": \"America/New_York\","
             "\"serve\": \"2026-11-01T01:30:00-05:00\","
             "\"kitchen\": {\"equipment\": {\"oven\": {\"kind\": \"oven\"}}},"
             "\"dishes\": [{\"dish\": \"rolls\", \"stages\": [{\"id\": \"bake\", \"do\": \"bake\","
             "\"passive\": \"90 min\", \"uses\": {\"oven\": {\"at\": \"200 C\"}}}]}]}");
    const bk_zone *zone = timeline->plan->zone;
    assert_string_equal(bk_instant_rfc3339(arena, zone, timeline->start),
                        "2026-11-01T01:00:00-04:00");
    assert_string_equal(bk_instant_rfc3339(arena, zone, timeline->ready),
                        "2026-11-01T01:30:00-05:00");
    assert_string_equal(bk_instant_rfc3339(arena, zone, timeline->ovens[0].on),
                        "2026-11-01T00:45:00-04:00");
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_gas_mark_4_is_180),
        cmocka_unit_test(test_back_from_the_table),
        cmocka_unit_test(test_ends_of_the_range_and_margin),
        cmocka_unit_test(test_a_working_day_before),
        cmocka_unit_test(test_middle_layer_beside_the_bake),
        cmocka_unit_test(test_set_through_a_clock_change),
        cmocka_unit_test(test_a_bake_in_the_hour_that_comes_twice),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

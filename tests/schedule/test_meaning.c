/* What a cook means and a rule easily gets wrong: one kitchen evening each, with the
 * answer that a cook would give. Common practice, no source. */
#include "support/plan_text.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#define PLAN(keys, kitchen, dishes)                                                                \
    "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-05 19:00\"," keys      \
    "\"kitchen\":{" kitchen "},\"dishes\":[" dishes "]}"

static bk_timeline *schedule(bk_arena *arena, const char *json)
{
    return schedule_plan_text(arena, json, &(bk_schedule_options){0});
}

static bk_timeline *best(bk_arena *arena, const char *json)
{
    bk_timeline *timeline = schedule(arena, json);
    assert_int_equal(timeline->status, BK_TIMELINE_OPTIMAL);
    return timeline;
}

/* Where a stage starts: "Sat 14:30". */
static const char *starts(bk_arena *arena, const bk_timeline *timeline, const char *name)
{
    const bk_placed *placed = bk_timeline_placed(timeline, bk_stage_find(timeline->plan, name));
    assert_non_null(placed);
    bk_civil civil = bk_civil_at(timeline->plan->zone, placed->start);
    return bk_format(arena, "%.3s %02d:%02d", bk_weekday_name(bk_weekday(civil)), civil.hour,
                     civil.minute);
}

/* ------------------------------------------------------- one tin, one dish */

/* The only tin is filled, baked in and unmoulded: one tin does. A second batter in
 * the same tin has to wait for the first to be out of it. */
static void test_a_dish_bakes_in_the_tin_it_holds(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
#define CAKE(name)                                                                                 \
    "{\"dish\":\"" name "\",\"stages\":["                                                          \
    "{\"id\":\"fill\",\"do\":\"Fill the tin\",\"active\":\"10 min\",\"uses\":{\"tin\":1},"         \
    "\"holds\":{\"tin\":{\"until\":\"unmould\"}}},"                                                \
    "{\"id\":\"bake\",\"do\":\"Bake\",\"passive\":\"30 min\",\"uses\":{\"tin\":1}},"               \
    "{\"id\":\"unmould\",\"do\":\"Unmould\",\"active\":\"5 min\",\"uses\":{\"tin\":1}}]}"
    const bk_timeline *one = best(arena, PLAN("", "\"equipment\":{\"tin\":{}}", CAKE("A")));
    assert_string_equal(starts(arena, one, "A/fill"), "Sat 18:15");
    const bk_timeline *two =
        best(arena, PLAN("", "\"equipment\":{\"tin\":{}}", CAKE("A") "," CAKE("B")));
    const char *a = starts(arena, two, "A/fill"), *b = starts(arena, two, "B/fill");
    assert_true((strcmp(a, "Sat 17:30") == 0) != (strcmp(b, "Sat 17:30") == 0));
    assert_true((strcmp(a, "Sat 18:15") == 0) != (strcmp(b, "Sat 18:15") == 0));
    bk_arena_free(arena);
}

/* What it uses beyond what is held is another one: two tins held one of, with one in
 * the cupboard, cannot be. And one outside the hold finds none of it. */
static void test_what_is_beyond_the_hold_counts(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
#define TINS(count, ends)                                                                          \
    PLAN("", "\"equipment\":{\"tin\":{\"count\":" count "},\"bowl\":{}}",                          \
         "{\"dish\":\"A\",\"stages\":["                                                            \
         "{\"id\":\"fill\",\"do\":\"Fill\",\"active\":\"10 min\",\"holds\":{\"tin\":{\"until\":"   \
         "\"" ends "\"}}},"                                                                        \
         "{\"id\":\"bake\",\"do\":\"Bake\",\"passive\":\"30 min\",\"uses\":{\"tin\":2},"           \
         "\"after\":{\"stage\":\"fill\",\"from\":\"start\",\"within\":\"0 min\"}},"                \
         "{\"id\":\"turn\",\"do\":\"Turn\",\"active\":\"5 min\",\"after\":\"fill\"}]}")
    /* `bake` is linked after `fill`, and nothing links it before `turn`: it is outside. */
    assert_int_equal(schedule(arena, TINS("2", "turn"))->status, BK_TIMELINE_IMPOSSIBLE);
    assert_int_equal(schedule(arena, TINS("3", "turn"))->status, BK_TIMELINE_OPTIMAL);
    /* Held until `bake` itself it is inside, and takes one tin more. */
    assert_int_equal(schedule(arena, TINS("2", "bake"))->status, BK_TIMELINE_OPTIMAL);
    bk_arena_free(arena);
}

/* --------------------------------------------------- hands that are full */

/* Slicing for twenty minutes up to the table, and a pan that simmers a quarter of an
 * hour: the pan goes on as the slicing begins, not five minutes into it; with a second
 * pair of hands at its own time. */
static void test_the_pan_goes_on_before_the_slicing(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
#define SUPPER(cooks, of_pan)                                                                      \
    PLAN("", "\"cooks\":" cooks ",\"equipment\":{\"hob\":{\"kind\":\"hob\"}}",                     \
         "{\"dish\":\"Salad\",\"stages\":[{\"id\":\"slice\",\"do\":\"Slice\",\"active\":\"20 "     \
         "min\"}]},"                                                                               \
         "{\"dish\":\"Sauce\",\"stages\":[{\"id\":\"simmer\",\"do\":\"Simmer\"," of_pan            \
         "\"passive\":\"15 min\",\"uses\":{\"hob\":1}}]}")
    const bk_timeline *one = best(arena, SUPPER("1", ""));
    assert_string_equal(starts(arena, one, "Salad/slice"), "Sat 18:40");
    assert_string_equal(starts(arena, one, "Sauce/simmer"), "Sat 18:40");
    assert_int_equal(one->interruptions, 0);
    assert_int_equal(one->waiting, 5);
    assert_string_equal(starts(arena, best(arena, SUPPER("2", "")), "Sauce/simmer"), "Sat 18:45");
    /* A touch that nobody has to see to interrupts nobody. */
    assert_string_equal(
        starts(arena, best(arena, SUPPER("1", "\"begins\":\"itself\",")), "Sauce/simmer"),
        "Sat 18:45");
    bk_arena_free(arena);
}

/* An hour's work that leaves no minute before serve, and two dishes that have to be
 * begun half an hour before they are eaten: hands are full then, once for both. */
static void test_two_touches_of_one_minute_interrupt_once(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
#define STEEPS(name, minutes)                                                                      \
    "{\"dish\":\"" name "\",\"keeps\":\"0 min\",\"stages\":["                                      \
    "{\"id\":\"steep\",\"do\":\"Steep\",\"passive\":\"" minutes " min\"}]}"
#define WORK                                                                                       \
    "{\"dish\":\"Rolls\",\"stages\":[{\"id\":\"shape\",\"do\":\"Shape\",\"active\":\"60 min\"}]}"
    const bk_timeline *t = best(arena, PLAN("\"earliest\":\"2026-12-05 18:00\",", "",
                                            WORK "," STEEPS("Tea", "30") "," STEEPS("Mint", "30")));
    assert_int_equal(t->interruptions, 1);
    assert_int_equal(t->bound_interruptions, 1);
    t = best(arena, PLAN("\"earliest\":\"2026-12-05 18:00\",", "",
                         WORK "," STEEPS("Tea", "30") "," STEEPS("Mint", "29")));
    assert_int_equal(t->interruptions, 2);
    bk_arena_free(arena);
}

/* Nobody is asked to take the cake out in the middle of kneading. */
static void test_what_comes_out_of_an_oven_finds_hands(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = best(
        arena,
        PLAN("", "\"equipment\":{\"oven\":{\"kind\":\"oven\"}}",
             "{\"dish\":\"Bread\",\"stages\":[{\"id\":\"knead\",\"do\":\"Knead\",\"active\":\"20 "
             "min\"},"
             "{\"id\":\"rise\",\"do\":\"Rise\",\"passive\":\"1 h\",\"after\":{\"stage\":\"knead\","
             "\"within\":\"0 min\"}}]},"
             "{\"dish\":\"Cake\",\"stages\":[{\"id\":\"bake\",\"do\":\"Bake\",\"passive\":\"30 "
             "min\","
             "\"uses\":{\"oven\":{\"at\":\"180 C\"}}},{\"id\":\"cool\",\"do\":\"Cool\",\"passive\":"
             "\"70 min\",\"begins\":\"itself\"}]}"));
    /* The cake comes out at 17:50, no later; the kneading, at its latest 17:40-18:00,
     * is over by then. */
    const bk_placed *bake = bk_timeline_placed(t, bk_stage_find(t->plan, "Cake/bake"));
    const bk_placed *knead = bk_timeline_placed(t, bk_stage_find(t->plan, "Bread/knead"));
    assert_int_equal(t->start, bake->start);
    assert_string_equal(starts(arena, t, "Cake/bake"), "Sat 17:20");
    assert_int_equal(t->interruptions, 0);
    assert_true(bake->end <= knead->start || bake->end >= knead->end);
    bk_arena_free(arena);
}

/* ------------------------------------------------------------ three days */

/* Five doughs of an hour, to be ready by Saturday at noon, from Wednesday on; in bed from
 * 22:30 to 7:00. Ahead all stand on the Friday evening; spread, two are the most on a day. */
static void test_work_is_spread_over_the_days(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
#define DOUGH(name)                                                                                \
    "{\"dish\":\"" name "\",\"stages\":[{\"id\":\"knead\",\"do\":\"Knead\",\"active\":\"1 h\"}]}"
#define WEEK(style)                                                                                \
    PLAN("\"style\":\"" style "\",\"earliest\":\"2026-12-02 18:00\",",                             \
         "\"asleep\":\"22:30-07:00\"",                                                             \
         DOUGH("A") "," DOUGH("B") "," DOUGH("C") "," DOUGH("D") "," DOUGH("E"))
    const bk_timeline *ahead = best(arena, WEEK("ahead")), *spread = best(arena, WEEK("spread"));
    assert_int_equal(ahead->hands_on_serving_day, 0);
    assert_int_equal(ahead->busiest_other_day, 300);
    assert_int_equal(spread->hands_on_serving_day, 0);
    assert_int_equal(spread->busiest_other_day, 120);
    assert_int_equal(spread->bound_busiest, 120);
    bk_arena_free(arena);
}

/* Without a night's sleep work may stand across midnight, and is cut there. */
static void test_work_across_midnight_counts_on_both_days(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t =
        best(arena, PLAN("\"style\":\"spread\",\"earliest\":\"2026-12-03 12:00\",", "",
                         DOUGH("A") "," DOUGH("B") ","
                                                   "{\"dish\":\"C\",\"stages\":[{\"id\":\"stir\","
                                                   "\"do\":\"Stir\",\"active\":\"41 min\"}]}"));
    /* 161 min over two days before the last: 81 at least, and one piece stands across. */
    assert_int_equal(t->hands_on_serving_day, 0);
    assert_int_equal(t->busiest_other_day, 81);
    bk_arena_free(arena);
}

/* ------------------------------------------------------------ who does it */

/* "Ada,Ben": whose hands a stage takes. */
static const char *by(bk_arena *arena, const bk_timeline *t, const char *name)
{
    const bk_placed *placed = bk_timeline_placed(t, bk_stage_find(t->plan, name));
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "");
    for (size_t i = 0; i < placed->by_count; i++)
        bk_text_addf(&out, "%s%s", i > 0 ? "," : "", t->plan->kitchen.people[placed->by[i]].name);
    return out.data;
}

#define ONE_STAGE(name, text)                                                                      \
    "{\"dish\":\"" name "\",\"stages\":[{\"id\":\"s\",\"do\":\"Do\"," text "}]}"
#define ADA_AND_BEN                                                                                \
    "\"cooks\":[{\"cook\":\"Ada\",\"away\":{\"from\":\"2026-12-05 18:00\",\"to\":\"2026-12-06 "    \
    "00:00\"}},"                                                                                   \
    "{\"cook\":\"Ben\",\"away\":{\"from\":\"2026-12-04 00:00\",\"to\":\"2026-12-05 17:00\"}}]"

/* Ada is there until six, Ben from five. An hour's work up to the table is Ben's; what is
 * longer than either has before seven passes from Ada to Ben; what one of them can do is
 * not cut in two, though hands enough were there for half of it each. */
static void test_cooks_with_hours_of_their_own(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t =
        best(arena, PLAN("", ADA_AND_BEN, ONE_STAGE("Rolls", "\"active\":\"1 h\"")));
    assert_string_equal(starts(arena, t, "Rolls/s"), "Sat 18:00");
    assert_string_equal(by(arena, t, "Rolls/s"), "Ben");
    t = best(arena, PLAN("\"earliest\":\"2026-12-05 16:00\",", ADA_AND_BEN,
                         ONE_STAGE("Rolls", "\"active\":\"2 h 30 min\"")));
    assert_string_equal(starts(arena, t, "Rolls/s"), "Sat 16:30");
    assert_string_equal(by(arena, t, "Rolls/s"), "Ada,Ben");
    /* Two of an hour and a half: Ben's up to the table, and Ada's, who has to be gone by
     * six; not one handed from her to him at 18:00 while he is busy with the other. */
    t = best(arena, PLAN("", ADA_AND_BEN,
                         ONE_STAGE("Rolls", "\"active\":\"90 min\"") "," ONE_STAGE(
                             "Pies", "\"active\":\"90 min\"")));
    assert_int_equal(t->start, t->plan->last_serve - 150);
    assert_string_not_equal(by(arena, t, "Rolls/s"), by(arena, t, "Pies/s"));
    /* Both together, from five to six. */
    t = best(arena, PLAN("", ADA_AND_BEN, ONE_STAGE("Rolls", "\"active\":\"1 h\",\"cooks\":2")));
    assert_string_equal(starts(arena, t, "Rolls/s"), "Sat 17:00");
    assert_string_equal(by(arena, t, "Rolls/s"), "Ada,Ben");
    assert_int_equal(schedule(arena, PLAN("\"earliest\":\"2026-12-05 08:00\",", ADA_AND_BEN,
                                          ONE_STAGE("Rolls", "\"active\":\"61 min\",\"cooks\":2")))
                         ->status,
                     BK_TIMELINE_IMPOSSIBLE);
    bk_arena_free(arena);
}

/* Asleep at different hours, somebody is up to watch, and to begin; asleep or away in
 * the same hours, nobody is. */
static void test_a_time_in_which_none_can(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
#define NIGHTS(one, two)                                                                           \
    PLAN("",                                                                                       \
         "\"cooks\":[{\"cook\":\"Ada\",\"asleep\":\"" one "\"},"                                   \
         "{\"cook\":\"Ben\",\"away\":{\"time\":\"" two "\"}}]",                                    \
         "{\"dish\":\"Bread\",\"stages\":[{\"id\":\"set\",\"do\":\"Set\",\"passive\":\"16 h\"}]}")
    /* 16 h before 19:00 is 03:00. */
    assert_string_equal(
        starts(arena, best(arena, NIGHTS("22:00-06:00", "08:00-17:00")), "Bread/set"), "Sat 03:00");
    const bk_timeline *t = best(arena, NIGHTS("22:00-06:00", "02:00-10:00"));
    assert_string_equal(starts(arena, t, "Bread/set"), "Sat 02:00");
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_dish_bakes_in_the_tin_it_holds),
        cmocka_unit_test(test_what_is_beyond_the_hold_counts),
        cmocka_unit_test(test_the_pan_goes_on_before_the_slicing),
        cmocka_unit_test(test_two_touches_of_one_minute_interrupt_once),
        cmocka_unit_test(test_what_comes_out_of_an_oven_finds_hands),
        cmocka_unit_test(test_work_is_spread_over_the_days),
        cmocka_unit_test(test_work_across_midnight_counts_on_both_days),
        cmocka_unit_test(test_cooks_with_hours_of_their_own),
        cmocka_unit_test(test_a_time_in_which_none_can),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

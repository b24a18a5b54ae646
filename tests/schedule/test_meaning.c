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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_dish_bakes_in_the_tin_it_holds),
        cmocka_unit_test(test_what_is_beyond_the_hold_counts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Parts: when they are wanted, over a part of a part too, and until when they are stored.
 * The times are worked out by hand from the plan format; random plans with parts are in
 * tests/schedule/test_oracle.c. */
#include "schedule/schedule.h"
#include "support/plan_text.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#define PLAN(kitchen, dishes)                                                                      \
    "{\"occasion\":\"o\",\"timezone\":\"UTC\",\"serve\":\"2026-12-05 19:00\","                     \
    "\"kitchen\":{" kitchen "},\"dishes\":[" dishes "]}"

#define STAGE(id, minutes, after)                                                                  \
    "{\"id\":\"" id "\",\"do\":\"d\",\"passive\":\"" minutes "\",\"after\":[" after "]}"

static void wanted_with_the_latest_it_is_for(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_plan *plan = read_plan_text(
        arena,
        PLAN(
            "\"cooks\":1",
            "{\"dish\":\"syrup\",\"part\":true,\"stages\":[" STAGE(
                "boil", "5 min",
                "") "]},"
                    "{\"dish\":\"sponge\",\"part\":true,\"stages\":[" STAGE(
                        "soak", "5 min",
                        "\"syrup/boil\"") "]},"
                                          "{\"dish\":\"cakes\",\"serve\":\"2026-12-05 "
                                          "16:00\",\"stages\":[" STAGE(
                                              "cut", "5 min",
                                              "\"sponge/soak\",\"syrup/boil\"") "]},"
                                                                                "{\"dish\":"
                                                                                "\"trifle\","
                                                                                "\"serve\":\"2026-"
                                                                                "12-05 "
                                                                                "20:00\","
                                                                                "\"stages\":"
                                                                                "[" STAGE(
                                                                                    "layer",
                                                                                    "5 min",
                                                                                    "\"sponge/"
                                                                                    "soak\"") "]}"),
        &(bk_read_options){0});
    assert_int_equal(plan->dishes[1].serve, plan->dishes[3].serve);
    assert_int_equal(plan->dishes[0].serve, plan->dishes[3].serve);
    assert_int_equal(plan->first_serve, plan->dishes[2].serve);
    assert_int_equal(plan->last_serve, plan->dishes[3].serve);
    bk_arena_free(arena);
}

/* One place of the larder: the sponge stands there from 18:30, when the trifle is begun,
 * until the cakes are cut at 18:40; then the jelly can set there until 19:00. */
static void stored_until_it_is_last_used(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_plan_text(
        arena,
        PLAN("\"equipment\":{\"larder\":{\"kind\":\"cold\",\"places\":1}}",
             "{\"dish\":\"sponge\",\"part\":true,\"stored\":{\"larder\":1},\"stages\":[" STAGE(
                 "bake", "20 min",
                 "") "]},"
                     "{\"dish\":\"trifle\",\"stages\":[" STAGE(
                         "layer", "30 min",
                         "\"sponge/bake\"") "]},"
                                            "{\"dish\":\"cakes\",\"stages\":[" STAGE(
                                                "cut", "20 min",
                                                "\"sponge/bake\"") "]},"
                                                                   "{\"dish\":\"jelly\",\"stages\":"
                                                                   "[{\"id\":\"set\",\"do\":\"d\","
                                                                   "\"passive\":\"15 min\","
                                                                   "\"uses\":{\"larder\":1}}]}"),
        &(bk_schedule_options){0});
    assert_int_equal(t->status, BK_TIMELINE_OPTIMAL);
    bk_instant serve = t->plan->last_serve;
    assert_int_equal(bk_timeline_until(t, 0), serve - 20);
    assert_int_equal(bk_timeline_until(t, 1), serve);
    assert_int_equal(bk_timeline_placed(t, bk_stage_find(t->plan, "sponge/bake"))->end, serve - 30);
    /* After the sponge has left the larder: the jelly sets until it is served. */
    assert_int_equal(bk_timeline_placed(t, bk_stage_find(t->plan, "jelly/set"))->start, serve - 15);
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wanted_with_the_latest_it_is_for),
        cmocka_unit_test(stored_until_it_is_last_used),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

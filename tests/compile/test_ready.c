/* When a dish is ready, where its last stage is no matter of the order in the list. */
#include "support/plan_text.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#define PLAN(kitchen, dish)                                                                        \
    "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-05 19:00\","           \
    "\"earliest\":\"2026-12-05 12:00\",\"kitchen\":{" kitchen "},\"dishes\":[" dish "]}"

static bk_timeline *schedule(bk_arena *arena, const char *json)
{
    return schedule_plan_text(arena, json, &(bk_schedule_options){0});
}

/* A stage that is linked to the start of another may end before it: the other is what the
 * dish waits for. The bird is eaten as it comes out; the sauce was stirred while it roasted. */
static void a_link_from_the_start_orders_no_ends(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule(
        arena,
        PLAN("\"equipment\":{\"oven\":{\"kind\":\"oven\"}}",
             "{\"dish\":\"bird\",\"keeps\":\"0 min\",\"stages\":["
             "{\"id\":\"roast\",\"do\":\"d\",\"passive\":\"1 h\",\"uses\":{\"oven\":{\"at\":\"180 "
             "C\"}}},"
             "{\"id\":\"sauce\",\"do\":\"d\",\"active\":\"10 min\",\"after\":{\"stage\":\"roast\","
             "\"from\":\"start\",\"within\":\"5 min\"}}]}"));
    assert_int_equal(t->status, BK_TIMELINE_OPTIMAL);
    assert_int_equal(t->ready, t->plan->last_serve);
    bk_arena_free(arena);
}

/* The same with what it is stored in: the place is taken from the roast's end, not from
 * the sauce's. */
static void stored_from_when_all_is_done(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule(
        arena,
        PLAN("\"equipment\":{\"larder\":{\"kind\":\"cold\",\"places\":1}}",
             "{\"dish\":\"ham\",\"stored\":{\"larder\":1},\"stages\":["
             "{\"id\":\"simmer\",\"do\":\"d\",\"passive\":\"1 h\"},"
             "{\"id\":\"glaze\",\"do\":\"d\",\"active\":\"10 min\",\"after\":{\"stage\":\"simmer\","
             "\"from\":\"start\",\"within\":\"5 min\"}}]},"
             "{\"dish\":\"milk\",\"keeps\":\"30 min\",\"stages\":["
             "{\"id\":\"cool\",\"do\":\"d\",\"passive\":\"30 min\",\"uses\":{\"larder\":1}}]}"));
    /* One place: the ham has to wait for the milk, or the milk for the ham. */
    assert_int_equal(t->status, BK_TIMELINE_OPTIMAL);
    const bk_placed *cool = bk_timeline_placed(t, bk_stage_find(t->plan, "milk/cool"));
    const bk_placed *simmer = bk_timeline_placed(t, bk_stage_find(t->plan, "ham/simmer"));
    assert_true(cool->end <= simmer->end);
    assert_true(cool->start < simmer->end); /* and may, while the ham is on the hob */
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_link_from_the_start_orders_no_ends),
        cmocka_unit_test(stored_from_when_all_is_done),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

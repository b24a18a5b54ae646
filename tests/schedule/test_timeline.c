/* What a timeline says beside its times: reminders that move or fall away, steps
 * that somebody has to begin, checks near their minute. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "support/plan_text.h"

#define PLAN(kitchen, stages)                                                                      \
    "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-05 12:00\","           \
    "\"kitchen\":{" kitchen "},\"dishes\":[{\"dish\":\"d\",\"stages\":[" stages "]}]}"

static const bk_message *warning(const bk_timeline *timeline, const char *code)
{
    for (size_t i = 0; i < timeline->warning_count; i++)
        if (strcmp(timeline->warnings[i].code, code) == 0)
            return &timeline->warnings[i];
    return NULL;
}

static bk_timeline *schedule(bk_arena *arena, const char *json)
{
    return schedule_plan_text(arena, json, &(bk_schedule_options){0});
}

/* The mixing before bed, a chilling as late as may be: not at 04:00, when no one is up
 * to put it in the fridge, but before the night; what begins by itself may. */
static void a_step_that_somebody_begins(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
#define NIGHT(begins)                                                                              \
    schedule(arena, PLAN("\"asleep\":\"22:30-06:30\"",                                             \
                         "{\"id\":\"mix\",\"do\":\"Mix\",\"active\":\"20 min\"},"                  \
                         "{\"id\":\"chill\",\"do\":\"Chill\",\"passive\":\"8 h\"" begins "}"))
    const bk_timeline *by_hand = NIGHT(""), *itself = NIGHT(",\"begins\":\"itself\"");
    const bk_placed *chill = &by_hand->stages[1];
    assert_string_equal(bk_moment_short(arena, by_hand->plan->zone, chill->start),
                        "Fri 4 Dec 22:30");
    assert_string_equal(bk_moment_short(arena, itself->plan->zone, itself->stages[1].start),
                        "Sat 5 Dec 04:00");
    /* What keeps it from starting later names the night. */
    assert_true(chill->pinned_count > 0);
    const bk_fact *fact = &chill->pinned_by[0];
    assert_int_equal(fact->kind, BK_FACT_BEGINS);
    assert_int_equal(fact->stage, 1);
    assert_string_equal(fact->message, "somebody has to begin d/chill, and nobody can between Fri "
                                       "4 Dec 22:30 and Sat 5 Dec 06:30 (asleep)");
    bk_arena_free(arena);
}

/* A reminder in the night waits for the morning; one whose stage is over by then
 * falls away, and says so. */
static void reminders_in_the_night(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t =
        schedule(arena, PLAN("\"asleep\":\"22:30-06:30\"",
                             "{\"id\":\"set\",\"do\":\"Set\",\"passive\":\"10 h\",\"begins\":"
                             "\"itself\",\"checks\":["
                             "{\"at\":\"2 h\",\"do\":\"Look\"}]}"));
    assert_int_equal(t->stages[0].checks[0].start - t->stages[0].start, 4 * 60 + 30);
    assert_false(t->stages[0].checks[0].dropped);
    assert_null(warning(t, "reminder-dropped"));
    t = schedule(
        arena, PLAN("\"asleep\":\"22:30-06:30\"",
                    "{\"id\":\"set\",\"do\":\"Set\",\"passive\":\"2 h\",\"begins\":"
                    "\"itself\",\"checks\":["
                    "{\"at\":\"1 h\",\"do\":\"Look\"}]},"
                    "{\"id\":\"hold\",\"do\":\"Hold\",\"passive\":\"6 h\",\"begins\":\"itself\"}"));
    assert_true(t->stages[0].checks[0].dropped);
    assert_non_null(warning(t, "reminder-dropped"));
    bk_arena_free(arena);
}

/* The search may leave a check anywhere within its leeway; it is shown at its
 * minute when that is free. */
static void checks_at_their_minute(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule(
        arena, PLAN("\"cooks\":1", "{\"id\":\"roast\",\"do\":\"Roast\",\"passive\":\"90 min\","
                                   "\"checks\":[{\"at\":\"45 min\",\"do\":\"Baste\",\"takes\":"
                                   "\"3 min\",\"give\":\"10 min\"}]}"));
    assert_int_equal(t->stages[0].checks[0].start - t->stages[0].start, 45);
    bk_arena_free(arena);
}

static size_t pins_of(const bk_placed *placed, enum bk_fact_kind kind)
{
    size_t count = 0;
    for (size_t i = 0; i < placed->pinned_count; i++)
        count += placed->pinned_by[i].kind == kind;
    return count;
}

/* The hour at which a dish has to be ready has the margin in it. Its second step is tied
 * to the first, so that their hands are kept apart twice over: told once, with the
 * other's name. */
static void what_pins_a_stage(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule(
        arena, "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-05 12:00\","
               "\"margin\":\"10 min\",\"dishes\":[{\"dish\":\"d\",\"stages\":["
               "{\"id\":\"beat\",\"do\":\"Beat\",\"active\":\"10 min\"},"
               "{\"id\":\"fill\",\"do\":\"Fill\",\"active\":\"5 min\",\"after\":{"
               "\"stage\":\"beat\",\"within\":\"30 min\",\"from\":\"start\"}}]}]}");
    assert_int_equal(t->stage_count, 2);
    const bk_placed *beat = &t->stages[0], *fill = &t->stages[1];
    assert_int_equal(pins_of(beat, BK_FACT_HANDS), 1);
    for (size_t i = 0; i < beat->pinned_count; i++)
        if (beat->pinned_by[i].kind == BK_FACT_HANDS)
            assert_string_equal(beat->pinned_by[i].message,
                                "there is one pair of hands; d/fill needs hands then");
    assert_int_equal(pins_of(fill, BK_FACT_SERVE), 1);
    for (size_t i = 0; i < fill->pinned_count; i++)
        if (fill->pinned_by[i].kind == BK_FACT_SERVE)
            assert_string_equal(fill->pinned_by[i].message,
                                "d has to be ready at Sat 5 Dec 11:50, 10 min before it is served");
    bk_arena_free(arena);
}

/* Two things follow at once, each as late as it can be: both keep the first from starting
 * later, and both are told. */
static void all_that_pins_a_stage_is_told(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule(
        arena, "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-05 12:00\","
               "\"kitchen\":{\"cooks\":2},\"dishes\":[{\"dish\":\"d\",\"stages\":["
               "{\"id\":\"beat\",\"do\":\"Beat\",\"active\":\"10 min\"},"
               "{\"id\":\"fill\",\"do\":\"Fill\",\"active\":\"5 min\",\"after\":\"beat\"},"
               "{\"id\":\"top\",\"do\":\"Top\",\"active\":\"5 min\",\"after\":\"beat\"}]}]}");
    const bk_placed *beat = &t->stages[0];
    assert_int_equal(pins_of(beat, BK_FACT_WAIT), 2);
    assert_true(beat->pinned_by[0].stage != beat->pinned_by[1].stage);
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_step_that_somebody_begins),   cmocka_unit_test(reminders_in_the_night),
        cmocka_unit_test(checks_at_their_minute),        cmocka_unit_test(what_pins_a_stage),
        cmocka_unit_test(all_that_pins_a_stage_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* What a stage has come to, by what was said and by what was told: cases worked out by
 * hand. A torte of four stages (10 min of hands, 30 in the oven, 60 of cooling, 10 of hands)
 * and rolls of one, told to start at 10:00, 10:10, 10:40, 11:40 and 11:00. */
#include "day/parts.h"
#include "support/plan_text.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static const char text[] =
    "{\"occasion\": \"Tea\", \"timezone\": \"UTC\", \"serve\": \"2026-03-01 12:00\","
    " \"kitchen\": {\"equipment\": {\"oven\": {\"kind\": \"oven\", \"shelves\": 1}}},"
    " \"dishes\": ["
    "  {\"dish\": \"Torte\", \"stages\": ["
    "   {\"id\": \"mix\", \"do\": \"Mix\", \"active\": \"10 min\"},"
    "   {\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"30 min\","
    "    \"uses\": {\"oven\": {\"at\": \"180 C\"}},"
    "    \"after\": {\"stage\": \"mix\", \"within\": \"15 min\"}},"
    "   {\"id\": \"cool\", \"do\": \"Cool\", \"passive\": \"60 min\"},"
    "   {\"id\": \"cut\", \"do\": \"Cut\", \"active\": \"10 min\"}]},"
    "  {\"dish\": \"Rolls\", \"stages\": ["
    "   {\"id\": \"bake\", \"do\": \"Bake rolls\", \"passive\": \"20 min\","
    "    \"uses\": {\"oven\": {\"at\": \"200 C\"}}}]}]}";

enum { MIX, BAKE, COOL, CUT, ROLLS, STAGES };

typedef struct scene {
    bk_arena *arena;
    jmp_buf no_memory;
    const bk_plan *plan;
    bk_instant ten; /* 10:00 */
    bk_told told;
    bk_day_entry entries[8];
    size_t count;
} scene;

static void set_scene(scene *s)
{
    static const int after_ten[STAGES] = {0, 10, 40, 100, 60};
    memset(s, 0, sizeof *s);
    s->arena = bk_arena_new(&s->no_memory);
    s->plan = read_plan_text(s->arena, text, NULL);
    s->ten = s->plan->last_serve - 120;
    s->told = (bk_told){BK_NEW(s->arena, bool, STAGES), BK_NEW(s->arena, bk_instant, STAGES),
                        BK_NEW(s->arena, int, STAGES)};
    for (size_t i = 0; i < STAGES; i++) {
        s->told.has[i] = true;
        s->told.start[i] = s->ten + after_ten[i];
    }
}

static void heard(scene *s, enum bk_day_what what, size_t stage, int after_ten, int64_t minutes)
{
    const bk_stage *of = &s->plan->stages[stage];
    s->entries[s->count++] = (bk_day_entry){.what = what,
                                            .at = s->ten + after_ten,
                                            .dish = s->plan->dishes[of->dish].name,
                                            .stage = of->id,
                                            .minutes = minutes,
                                            .temperature_c = NAN};
}

static bk_state state_at(scene *s, int after_ten)
{
    bk_journal journal = {.there = true, .entries = s->entries, .count = s->count};
    size_t count;
    const bk_day_entry **entries = bk_day_effective(s->arena, &journal, s->ten + after_ten, &count);
    return bk_day_state(s->arena, s->plan, entries, count, &s->told, s->ten + after_ten);
}

/* In minutes after ten. */
static void is(const scene *s, const bk_state *state, size_t stage, enum bk_progress progress,
               int start, int end, bool assumed)
{
    const bk_stage_state *at = &state->stages[stage];
    assert_int_equal(at->progress, progress);
    if (progress == BK_NOT_BEGUN)
        return;
    assert_int_equal(at->start - s->ten, start);
    assert_int_equal(at->end - s->ten, end);
    assert_int_equal(at->assumed, assumed);
}

#define SCENE                                                                                      \
    (void)state;                                                                                   \
    scene s;                                                                                       \
    set_scene(&s)

static void nothing_said_goes_as_told(void **state)
{
    SCENE;
    bk_state at = state_at(&s, 45);
    is(&s, &at, MIX, BK_DONE, 0, 10, true);
    is(&s, &at, BAKE, BK_DONE, 10, 40, true);
    is(&s, &at, COOL, BK_RUNNING, 40, 100, true);
    is(&s, &at, CUT, BK_NOT_BEGUN, 0, 0, false);
    is(&s, &at, ROLLS, BK_NOT_BEGUN, 0, 0, false);
    bk_arena_free(s.arena);
}

static void what_is_due_now_has_not_begun(void **state)
{
    SCENE;
    bk_state at = state_at(&s, 10);
    is(&s, &at, MIX, BK_DONE, 0, 10, true);
    is(&s, &at, BAKE, BK_NOT_BEGUN, 0, 0, false);
    at = state_at(&s, 11);
    is(&s, &at, BAKE, BK_RUNNING, 10, 40, true);
    bk_arena_free(s.arena);
}

static void what_began_late_ends_late(void **state)
{
    SCENE;
    heard(&s, BK_DAY_BEGUN, BAKE, 18, 0);
    bk_state at = state_at(&s, 20);
    is(&s, &at, MIX, BK_DONE, 0, 10, true);
    is(&s, &at, BAKE, BK_RUNNING, 18, 48, false);
    /* nobody said that it is done: it lasts until now, and what follows has not begun */
    at = state_at(&s, 60);
    is(&s, &at, BAKE, BK_RUNNING, 18, 60, false);
    assert_true(at.stages[BAKE].overdue);
    assert_int_equal(at.stages[BAKE].due - s.ten, 48);
    is(&s, &at, COOL, BK_NOT_BEGUN, 0, 0, false);
    bk_arena_free(s.arena);
}

static void what_is_done_late_lets_the_next_begin_then(void **state)
{
    SCENE;
    heard(&s, BK_DAY_DONE, BAKE, 50, 0);
    bk_state at = state_at(&s, 60);
    is(&s, &at, BAKE, BK_DONE, 10, 50, false);
    is(&s, &at, COOL, BK_RUNNING, 50, 110, true);
    bk_arena_free(s.arena);
}

static void longer_counts_from_the_end_thought_of_or_from_when_it_is_said(void **state)
{
    SCENE;
    heard(&s, BK_DAY_LONGER, COOL, 70, 20);
    bk_state at = state_at(&s, 70);
    is(&s, &at, COOL, BK_RUNNING, 40, 120, false);
    s.count = 0;
    heard(&s, BK_DAY_LONGER, COOL, 110, 20); /* after its hour: so much from now */
    at = state_at(&s, 110);
    is(&s, &at, COOL, BK_RUNNING, 40, 130, false);
    is(&s, &at, CUT, BK_NOT_BEGUN, 0, 0, false);
    heard(&s, BK_DAY_LONGER, COOL, 125, 5);
    at = state_at(&s, 125);
    is(&s, &at, COOL, BK_RUNNING, 40, 135, false);
    bk_arena_free(s.arena);
}

static void what_follows_tells_that_it_is_over(void **state)
{
    SCENE;
    heard(&s, BK_DAY_BEGUN, COOL, 35, 0); /* five minutes ahead of the plan */
    bk_state at = state_at(&s, 36);
    is(&s, &at, MIX, BK_DONE, -5, 5, true); /* 35 - 30 of baking - 10 of mixing */
    is(&s, &at, BAKE, BK_DONE, 5, 35, true);
    is(&s, &at, COOL, BK_RUNNING, 35, 95, false);
    bk_arena_free(s.arena);
}

static void left_out_has_no_length(void **state)
{
    SCENE;
    heard(&s, BK_DAY_SKIPPED, COOL, 45, 0);
    bk_state at = state_at(&s, 45);
    is(&s, &at, COOL, BK_LEFT_OUT, 45, 45, false);
    bk_arena_free(s.arena);
}

static void a_dish_that_is_out_does_not_begin(void **state)
{
    SCENE;
    s.entries[s.count++] =
        (bk_day_entry){.what = BK_DAY_OUT, .at = s.ten + 20, .dish = "Rolls", .temperature_c = NAN};
    bk_state at = state_at(&s, 90);
    is(&s, &at, ROLLS, BK_LEFT_OUT, 20, 20, false);
    bk_arena_free(s.arena);
}

static void a_dish_that_is_served_is_done(void **state)
{
    SCENE;
    s.entries[s.count++] = (bk_day_entry){
        .what = BK_DAY_SERVED, .at = s.ten + 105, .dish = "Torte", .temperature_c = NAN};
    bk_state at = state_at(&s, 106);
    is(&s, &at, CUT, BK_DONE, 95, 105, true);
    bk_arena_free(s.arena);
}

static void undo_takes_back_the_last_and_what_it_planned(void **state)
{
    SCENE;
    heard(&s, BK_DAY_BEGUN, MIX, 5, 0);
    heard(&s, BK_DAY_BEGUN, BAKE, 18, 0);
    s.entries[s.count++] = (bk_day_entry){.what = BK_DAY_PLANNED, .at = s.ten + 18};
    s.entries[s.count++] = (bk_day_entry){.what = BK_DAY_UNDO, .at = s.ten + 19};
    bk_journal journal = {.there = true, .entries = s.entries, .count = s.count};
    size_t count;
    const bk_day_entry **entries = bk_day_effective(s.arena, &journal, s.ten + 30, &count);
    assert_int_equal(count, 1);
    assert_ptr_equal(entries[0], &s.entries[0]);
    assert_false(bk_day_tells(entries, count));
    bk_arena_free(s.arena);
}

/* ------------------------------------------------------------------- the rest */

static bk_plan *rest_at(scene *s, int after_ten, bk_day *day)
{
    bk_journal journal = {.there = true, .entries = s->entries, .count = s->count};
    size_t count;
    *day =
        (bk_day){.now = s->ten + after_ten, .late = BK_NEW(s->arena, int64_t, s->plan->dish_count)};
    const bk_day_entry **entries = bk_day_effective(s->arena, &journal, day->now, &count);
    bk_state at = bk_day_state(s->arena, s->plan, entries, count, &s->told, day->now);
    return bk_day_rest(s->arena, &at, &s->told, entries, count, day);
}

static void a_within_that_ran_out_is_dropped_and_said(void **state)
{
    SCENE;
    bk_day day;
    heard(&s, BK_DAY_DONE, MIX, 10, 0);
    heard(&s, BK_DAY_LONGER, MIX, 10, 1); /* it took until 10:11 */
    heard(&s, BK_DAY_DONE, MIX, 11, 0);
    s.told.start[BAKE] = s.ten + 30;
    bk_plan *rest = rest_at(&s, 26, &day); /* 11 + 15 = 26: it can still begin */
    assert_true(rest->stages[BAKE].links[0].has_within);
    assert_int_equal(day.broken_count, 0);
    rest = rest_at(&s, 27, &day);
    assert_false(rest->stages[BAKE].links[0].has_within);
    assert_int_equal(day.broken_count, 1);
    assert_string_equal(day.broken[0].rule, "within");
    assert_int_equal(day.broken[0].since - s.ten, 26);
    bk_arena_free(s.arena);
}

static void what_follows_what_is_left_out_follows_what_went_before(void **state)
{
    SCENE;
    bk_day day;
    heard(&s, BK_DAY_SKIPPED, COOL, 20, 0);
    bk_plan *rest = rest_at(&s, 20, &day);
    bool after_bake = false;
    for (size_t k = 0; k < rest->stages[CUT].link_count; k++)
        after_bake = after_bake || rest->stages[CUT].links[k].stage == BAKE;
    assert_true(after_bake);
    bk_arena_free(s.arena);
}

/* Degrees of what is known to be hot by `ready` minutes after ten; 0: nothing. */
static double hot_by(const scene *s, const bk_plan *rest, int ready)
{
    double celsius = 0;
    for (size_t i = 0; i < rest->hot_count; i++)
        if (rest->hot[i].ready <= s->ten + ready)
            celsius = rest->hot[i].celsius;
    return celsius;
}

static void is_about(double seen, double celsius)
{
    assert_true(fabs(seen - celsius) < 1e-9);
}

static void an_oven_in_use_is_hot_and_one_long_empty_is_not(void **state)
{
    SCENE;
    bk_day day;
    is_about(hot_by(&s, rest_at(&s, 20, &day), 20), 180);
    s.told.start[ROLLS] = s.ten + 69;
    is_about(hot_by(&s, rest_at(&s, 50, &day), 50), 180); /* left on for half an hour */
    s.told.start[ROLLS] = s.ten + 75;
    is_about(hot_by(&s, rest_at(&s, 50, &day), 50), 0);
    /* turned on 15 min before the rolls, as planned: on the way at 11:05, hot at 11:15 */
    bk_plan *rest = rest_at(&s, 65, &day);
    is_about(hot_by(&s, rest, 65), 0);
    is_about(hot_by(&s, rest, 75), 200);
    s.entries[s.count++] =
        (bk_day_entry){.what = BK_DAY_HOT, .at = s.ten + 50, .oven = "oven", .temperature_c = NAN};
    is_about(hot_by(&s, rest_at(&s, 50, &day), 50), 200); /* hot for what comes next */
    bk_arena_free(s.arena);
}

static void facts_are_in_the_plan(void **state)
{
    SCENE;
    bk_day day;
    heard(&s, BK_DAY_BEGUN, BAKE, 18, 0);
    bk_plan *rest = rest_at(&s, 20, &day);
    assert_true(rest->under_way);
    assert_int_equal(rest->earliest - s.ten, 20);
    assert_int_equal(rest->stages[BAKE].progress, BK_RUNNING);
    assert_int_equal(rest->stages[BAKE].began - s.ten, 18);
    assert_int_equal(rest->stages[BAKE].oven_number, 1);
    assert_int_equal(s.plan->stages[BAKE].progress, BK_NOT_BEGUN); /* the plan itself stays */
    bk_arena_free(s.arena);
}

/* ---------------------------------------------------------------------- hours */

static void an_hour_is_the_last_or_the_next(void **state)
{
    SCENE;
    bk_instant at;
    assert_true(bk_day_instant(s.plan->zone, "09:50", s.ten, false, &at));
    assert_int_equal(at - s.ten, -10);
    assert_true(bk_day_instant(s.plan->zone, "10:05", s.ten, false, &at)); /* not yesterday's */
    assert_int_equal(at - s.ten, 5);
    assert_true(bk_day_instant(s.plan->zone, "23:50", s.ten - 590, false, &at)); /* at 00:10 */
    assert_int_equal(at - s.ten, -610);
    assert_true(bk_day_instant(s.plan->zone, "00:30", s.ten, true, &at)); /* past midnight */
    assert_int_equal(at - s.ten, 870);
    assert_false(bk_day_instant(s.plan->zone, "teatime", s.ten, true, &at));
    bk_arena_free(s.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_said_goes_as_told),
        cmocka_unit_test(what_is_due_now_has_not_begun),
        cmocka_unit_test(what_began_late_ends_late),
        cmocka_unit_test(what_is_done_late_lets_the_next_begin_then),
        cmocka_unit_test(longer_counts_from_the_end_thought_of_or_from_when_it_is_said),
        cmocka_unit_test(what_follows_tells_that_it_is_over),
        cmocka_unit_test(left_out_has_no_length),
        cmocka_unit_test(a_dish_that_is_out_does_not_begin),
        cmocka_unit_test(a_dish_that_is_served_is_done),
        cmocka_unit_test(undo_takes_back_the_last_and_what_it_planned),
        cmocka_unit_test(a_within_that_ran_out_is_dropped_and_said),
        cmocka_unit_test(what_follows_what_is_left_out_follows_what_went_before),
        cmocka_unit_test(an_oven_in_use_is_hot_and_one_long_empty_is_not),
        cmocka_unit_test(facts_are_in_the_plan),
        cmocka_unit_test(an_hour_is_the_last_or_the_next),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

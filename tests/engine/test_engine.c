/* The engine's contract, case by case. What is best in each case follows from a
 * line of arithmetic beside it. */
#include "engine/engine.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <time.h>

#include <cmocka.h>

static bk_solve_options options_with(size_t facts, bool explain)
{
    bk_solve_options options = {.facts = facts, .explain = explain};
    return options;
}

static void test_lags_fix_the_least(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    bk_var a = bk_problem_var(p, 0, 1000000), b = bk_problem_var(p, 0, 1000000);
    bk_problem_lag(p, BK_CONSTANT, a, 7, NULL, 0, BK_NO_FACT); /* a >= 7 */
    bk_problem_lag(p, a, b, 5, NULL, 0, BK_NO_FACT);           /* b >= 12 */
    bk_problem_cost(p, bk_problem_level(p), b, 2);
    bk_result r = bk_solve(arena, p, NULL);
    assert_int_equal(r.status, BK_OPTIMAL);
    assert_int_equal(r.value[b], 12);
    assert_int_equal(r.sum[0], 24);
    assert_int_equal(r.bound[0], 24);
    assert_true(r.complete);
    bk_arena_free(arena);
}

/* A thing that nobody uses, in a problem where nothing uses anything. */
static void test_resource_without_uses(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    bk_var a = bk_problem_var(p, 3, 9);
    bk_problem_cumulative(p, 1, NULL, 0, BK_NO_FACT);
    bk_problem_cost(p, bk_problem_level(p), a, 1);
    bk_result r = bk_solve(arena, p, NULL);
    assert_int_equal(r.status, BK_OPTIMAL);
    assert_int_equal(r.value[a], 3);
    assert_true(bk_problem_check(p, r.value, NULL, NULL));
    bk_arena_free(arena);
}

/* A circle of lags of length 1 over a domain of half a billion: the bounds alone
 * would take that many steps. */
static void test_circle_of_lags(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    bk_var v[5];
    for (int i = 0; i < 5; i++)
        v[i] = bk_problem_var(p, 0, BK_FAR - 1);
    for (int i = 0; i < 4; i++)
        bk_problem_lag(p, v[i], v[i + 1], 10, NULL, 0, i);
    bk_problem_lag(p, v[4], v[0], -39, NULL, 0, 4);
    bk_problem_lag(p, v[4], v[2], -100, NULL, 0, 5);
    bk_solve_options options = options_with(6, true);
    bk_result r = bk_solve(arena, p, &options);
    assert_int_equal(r.status, BK_INFEASIBLE);
    assert_int_equal(r.core_count, 5); /* the circle needs each of its lags */
    for (int i = 0; i < 5; i++)
        assert_int_equal(r.core[i], i);
    bool dropped[6] = {false, false, true};
    options.dropped = dropped;
    assert_int_equal(bk_solve(arena, p, &options).status, BK_OPTIMAL);
    bk_arena_free(arena);
}

/* The same under a condition: the condition is then known to fail. */
static void test_conditional_circle(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    bk_var a = bk_problem_var(p, 0, BK_FAR - 1), b = bk_problem_var(p, 0, BK_FAR - 1);
    bk_var c = bk_problem_var(p, 0, 1);
    bk_bound when = {c, 1, true};
    bk_problem_lag(p, a, b, 1, &when, 1, BK_NO_FACT);
    bk_problem_lag(p, b, a, 0, NULL, 0, BK_NO_FACT);
    bk_problem_cost(p, bk_problem_level(p), c, -1);
    bk_result r = bk_solve(arena, p, NULL);
    assert_int_equal(r.status, BK_OPTIMAL);
    assert_int_equal(r.value[c], 0);
    bk_arena_free(arena);
}

/* Three tasks of 10, 20, 30 on one machine: ends 10 + 30 + 60 shortest first. */
static void test_one_machine_sum(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    bk_use uses[3];
    for (int i = 0; i < 3; i++) {
        bk_var start = bk_problem_var(p, 0, 100000);
        uses[i] = (bk_use){{start, 0}, {start, 10 * (i + 1)}, 1, BK_ALWAYS};
    }
    bk_problem_cumulative(p, 1, uses, 3, BK_NO_FACT);
    int level = bk_problem_level(p);
    for (int i = 0; i < 3; i++)
        bk_problem_cost(p, level, uses[i].from.var, 1);
    bk_result r = bk_solve(arena, p, NULL);
    assert_int_equal(r.status, BK_OPTIMAL);
    assert_int_equal(r.sum[0], 0 + 10 + 30);
    bk_arena_free(arena);
}

/* First the makespan, then the sum: the short task goes first among schedules
 * that end at 30. */
static void test_levels_in_order(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    bk_var a = bk_problem_var(p, 0, 20160), b = bk_problem_var(p, 0, 20160);
    bk_var end = bk_problem_var(p, 0, 20160);
    bk_use uses[2] = {{{a, 0}, {a, 20}, 1, BK_ALWAYS}, {{b, 0}, {b, 10}, 1, BK_ALWAYS}};
    bk_problem_cumulative(p, 1, uses, 2, BK_NO_FACT);
    bk_problem_lag(p, a, end, 20, NULL, 0, BK_NO_FACT);
    bk_problem_lag(p, b, end, 10, NULL, 0, BK_NO_FACT);
    int first = bk_problem_level(p), second = bk_problem_level(p);
    bk_problem_cost(p, first, end, 1);
    bk_problem_cost(p, second, a, 1);
    bk_problem_cost(p, second, b, 1);
    bk_result r = bk_solve(arena, p, NULL);
    assert_int_equal(r.status, BK_OPTIMAL);
    assert_int_equal(r.sum[0], 30);
    assert_int_equal(r.sum[1], 10);
    assert_int_equal(r.bound[1], 10);
    bk_arena_free(arena);
}

/* Two tasks that may not run at night, together longer than what is left before
 * it: one waits until the night is over. */
static void test_holes(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    static const bk_hole sorted[] = {{50, 50, 1}, {100, 600, 0}, {1540, 2040, 2}};
    bk_var a = bk_problem_var(p, 0, 20160), b = bk_problem_var(p, 0, 20160);
    bk_use uses[2] = {{{a, 0}, {a, 60}, 1, BK_ALWAYS}, {{b, 0}, {b, 60}, 1, BK_ALWAYS}};
    bk_problem_cumulative(p, 1, uses, 2, BK_NO_FACT);
    bk_problem_holes(p, uses[0].from, uses[0].to, sorted, 3);
    bk_problem_holes(p, uses[1].from, uses[1].to, sorted, 3);
    int level = bk_problem_level(p);
    bk_problem_cost(p, level, a, 1);
    bk_problem_cost(p, level, b, 1);
    bk_result r = bk_solve(arena, p, NULL);
    assert_int_equal(r.sum[0], 600);
    bool dropped[3] = {true, false, false};
    bk_solve_options options = {.facts = 3, .dropped = dropped};
    r = bk_solve(arena, p, &options);
    assert_int_equal(r.sum[0], 60);
    bk_arena_free(arena);
}

/* A core leaves out what has no part in the impossibility. */
static void test_core(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    bk_var a = bk_problem_var(p, 0, 100), b = bk_problem_var(p, 0, 100);
    bk_var c = bk_problem_var(p, 0, 100);
    bk_use uses[2] = {{{a, 0}, {a, 30}, 1, BK_ALWAYS}, {{b, 0}, {b, 30}, 1, BK_ALWAYS}};
    bk_problem_cumulative(p, 1, uses, 2, 0);
    bk_bound soon_a = {a, 29, false}, soon_b = {b, 29, false}, soon_c = {c, 5, false};
    bk_problem_clause(p, &soon_a, 1, 1);
    bk_problem_clause(p, &soon_b, 1, 2);
    bk_problem_clause(p, &soon_c, 1, 3);
    bk_problem_lag(p, a, c, 0, NULL, 0, 4);
    bk_solve_options options = options_with(5, true);
    bk_result r = bk_solve(arena, p, &options);
    assert_int_equal(r.status, BK_INFEASIBLE);
    /* {0,1,2} alone; or with c's limit in a's place */
    assert_true(r.core_count >= 3 && r.core_count <= 4);
    assert_int_equal(r.core[0], 0);
    bk_arena_free(arena);
}

/* A limit gives what was found, and bounds that hold. */
static void test_limit(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    enum { TASKS = 30 };
    bk_use uses[TASKS];
    int64_t best = 0, done = 0;
    for (int i = 0; i < TASKS; i++) {
        bk_var start = bk_problem_var(p, 0, 100000);
        uses[i] = (bk_use){{start, 0}, {start, 5 + i}, 1, BK_ALWAYS};
        best += done; /* shortest first is best (Smith 1956) */
        done += 5 + i;
    }
    bk_problem_cumulative(p, 1, uses, TASKS, BK_NO_FACT);
    int level = bk_problem_level(p);
    for (int i = 0; i < TASKS; i++)
        bk_problem_cost(p, level, uses[i].from.var, 1);
    bk_solve_options options = {.conflicts = 200};
    bk_result r = bk_solve(arena, p, &options);
    assert_non_null(r.value);
    assert_true(bk_problem_check(p, r.value, NULL, NULL));
    assert_true(r.bound[0] <= best);
    assert_true(r.sum[0] >= best);
    bk_result again = bk_solve(arena, p, &options);
    assert_memory_equal(r.value, again.value, TASKS * sizeof *r.value);
    assert_int_equal(r.conflicts, again.conflicts);
    bk_arena_free(arena);
}

static void test_first_only_and_hint(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    bk_var a = bk_problem_var(p, 0, 100);
    int level = bk_problem_level(p);
    bk_problem_cost(p, level, a, -1);
    bk_solve_options options = {.first_only = true};
    bk_result r = bk_solve(arena, p, &options);
    assert_non_null(r.value);
    assert_int_equal(r.bound[0], -100);
    int32_t hint[1] = {55};
    options.first_only = false;
    options.hint = hint;
    r = bk_solve(arena, p, &options);
    assert_int_equal(r.sum[0], -100);
    bk_arena_free(arena);
}

static bool count_broken(void *context, const bk_broken *broken)
{
    int *count = context;
    count[broken->kind]++;
    return true;
}

static void test_check_names_what_is_broken(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    static const bk_hole hole[] = {{5, 8, 3}};
    bk_var a = bk_problem_var(p, 0, 10), b = bk_problem_var(p, 0, 10);
    bk_use uses[2] = {{{a, 0}, {a, 4}, 1, BK_ALWAYS}, {{b, 0}, {b, 4}, 1, BK_ALWAYS}};
    bk_point points[2] = {{a, 0}, {b, 0}};
    bk_bound late = {a, 9, true};
    bk_problem_lag(p, a, b, 5, NULL, 0, 1);
    bk_problem_cumulative(p, 1, uses, 2, 2);
    bk_problem_holes(p, uses[1].from, uses[1].to, hole, 1);
    bk_problem_minimum(p, b, points, 2, 4);
    bk_problem_clause(p, &late, 1, 5);
    int32_t value[2] = {3, 4};
    int count[6] = {0};
    assert_false(bk_problem_check(p, value, count_broken, count));
    assert_int_equal(count[BK_BROKEN_DOMAIN], 0);
    assert_int_equal(count[BK_BROKEN_LAG], 1);        /* 4 < 3 + 5 */
    assert_int_equal(count[BK_BROKEN_CUMULATIVE], 2); /* both run at 4 */
    assert_int_equal(count[BK_BROKEN_HOLE], 1);       /* [4, 8) and [5, 8) */
    assert_int_equal(count[BK_BROKEN_MINIMUM], 1);    /* 4, not 3 */
    assert_int_equal(count[BK_BROKEN_CLAUSE], 1);     /* 3 < 9 */
    value[0] = -1;
    assert_false(bk_problem_check(p, value, NULL, NULL));
    bk_arena_free(arena);
}

/* A use stands under its start, its end and its presence: an overload is told once, whichever of
 * them changed, in whatever order. */
static void test_near_check_looks_at_a_use_once(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    bk_var a = bk_problem_var(p, 0, 10), b = bk_problem_var(p, 0, 10), in = bk_problem_var(p, 0, 1);
    bk_use uses[2] = {{{a, 0}, {a, 4}, 1, in}, {{b, 0}, {b, 4}, 1, BK_ALWAYS}};
    bk_problem_cumulative(p, 1, uses, 2, 0);
    const bk_check_index *index = bk_check_index_new(arena, p);
    int32_t value[3] = {3, 4, 1};
    const bk_var orders[2][2] = {{a, in}, {in, a}};
    for (int i = 0; i < 2; i++) {
        int count[6] = {0};
        assert_false(bk_problem_check_near(p, index, value, orders[i], 2, count_broken, count));
        assert_int_equal(count[BK_BROKEN_CUMULATIVE], 2); /* both run at 4 */
    }
    bk_arena_free(arena);
}

static bool stop_at_once(void *context)
{
    (void)context;
    return true;
}

static void test_stop(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    bk_var a = bk_problem_var(p, 3, 10);
    bk_problem_cost(p, bk_problem_level(p), a, 1);
    bk_solve_options options = {.stop = stop_at_once};
    bk_result r = bk_solve(arena, p, &options);
    assert_int_equal(r.status, BK_UNKNOWN);
    assert_false(r.complete);
    assert_null(r.value);
    assert_int_equal(r.bound[0], 3);
    bk_arena_free(arena);
}

static bool after_ten_seconds(void *begin)
{
    return clock() - *(clock_t *)begin > 10 * CLOCKS_PER_SEC;
}

/* A chain, the last first; with `most` each is at most so much after the one before. Numbered so
 * that taking the lags in the order of their variables takes a raise for each two. */
static void solve_chain(int length, int most)
{
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    for (int i = 0; i < length; i++)
        bk_problem_var(p, 0, BK_FAR - 1);
    for (int i = 0; i + 1 < length; i++) {
        bk_problem_lag(p, i + 1, i, 1, NULL, 0, BK_NO_FACT);
        if (most > 0)
            bk_problem_lag(p, i, i + 1, -most, NULL, 0, BK_NO_FACT);
    }
    bk_problem_cost(p, bk_problem_level(p), 0, 1);
    clock_t begin = clock();
    bk_solve_options options = {.stop = after_ten_seconds, .stop_context = &begin};
    bk_result r = bk_solve(arena, p, &options);
    assert_int_equal(r.status, BK_OPTIMAL);
    for (int i = 0; i < length; i++)
        assert_int_equal(r.value[i], length - 1 - i);
    assert_false(after_ten_seconds(&begin));
    bk_arena_free(arena);
}

static void test_long_chains(void **state)
{
    (void)state;
    solve_chain(20000, 0);
    solve_chain(20000, 1);
    solve_chain(1000, 2);
}

/* A chain of which every lag is needed: each attempt to spare one has to load all of it. The work
 * of that is counted, so that it ends within what is granted, with a contradiction, if no short
 * one. */
static void test_core_of_a_long_chain(void **state)
{
    (void)state;
    enum { LENGTH = 2000 };
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    bk_var before = BK_CONSTANT;
    for (int i = 0; i < LENGTH; i++) {
        bk_var next = bk_problem_var(p, 0, LENGTH - 1);
        bk_problem_lag(p, before, next, 1, NULL, 0, i);
        before = next;
    }
    bk_solve_options options = options_with(LENGTH, true);
    options.conflicts = 20000;
    options.work = 20000;
    options.shrink = 3000;
    bk_result r = bk_solve(arena, p, &options);
    assert_int_equal(r.status, BK_INFEASIBLE);
    assert_false(r.core_irreducible);
    assert_true(r.conflicts < LENGTH / 4); /* an attempt counts as one */
    bool *dropped = BK_NEW(arena, bool, LENGTH);
    for (int i = 0; i < LENGTH; i++)
        dropped[i] = true;
    for (size_t i = 0; i < r.core_count; i++)
        dropped[r.core[i]] = false;
    options.explain = false;
    options.dropped = dropped;
    assert_int_equal(bk_solve(arena, p, &options).status, BK_INFEASIBLE);
    bk_arena_free(arena);
}

/* Three values of more than a third of what a sum may be: there is an answer, but none whose sum
 * could be told, which is not to be taken for none. */
static void test_sum_beyond_range(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    for (int sign = -1; sign <= 1; sign += 2) {
        bk_problem *p = bk_problem_new(arena);
        int level = bk_problem_level(p);
        for (int i = 0; i < 3; i++)
            bk_problem_cost(p, level, bk_problem_var(p, BK_FAR / 2, BK_FAR / 2 + 9), sign);
        assert_int_equal(bk_solve(arena, p, NULL).status, BK_UNKNOWN);
    }
    bk_arena_free(arena);
}

static bool later_than_five(void *context, const int32_t *value)
{
    return value[0] > 5 || !++*(int *)context;
}

/* An answer that a stricter check refuses is an internal error, not a limit. */
static void test_refused_answer(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    bk_var a = bk_problem_var(p, 5, 10);
    bk_problem_cost(p, bk_problem_level(p), a, 1);
    int refused = 0;
    bk_solve_options options = {.accept = later_than_five, .accept_context = &refused};
    bk_result r = bk_solve(arena, p, &options);
    assert_int_equal(r.status, BK_WRONG);
    assert_int_equal(refused, 1);
    assert_false(r.complete);
    assert_null(r.value);
    assert_null(r.sum);
    bk_problem_lag(p, BK_CONSTANT, a, 6, NULL, 0, BK_NO_FACT); /* a >= 6: the check is content */
    r = bk_solve(arena, p, &options);
    assert_int_equal(r.status, BK_OPTIMAL);
    assert_int_equal(r.value[a], 6);
    bk_arena_free(arena);
}

/* What breaks a constraint that was left out breaks nothing; it is checked all the same that the
 * others hold. */
static void test_left_out_is_not_checked(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    bk_var a = bk_problem_var(p, 0, 10);
    bk_problem_lag(p, BK_CONSTANT, a, 7, NULL, 0, 0);
    bk_problem_lag(p, BK_CONSTANT, a, 4, NULL, 0, 1);
    bk_problem_cost(p, bk_problem_level(p), a, 1);
    bool dropped[2] = {true, false};
    bk_solve_options options = {.dropped = dropped, .facts = 2};
    bk_result r = bk_solve(arena, p, &options);
    assert_int_equal(r.status, BK_OPTIMAL);
    assert_int_equal(r.value[a], 4);
    bk_arena_free(arena);
}

/* Many starts that are open at once: what begins first is what may begin first, of these what has
 * to begin first, and of these what was named first. Jobs of one minute on fifty machines: each
 * begins at its place. Every tenth has a follower, due later than all jobs and named after them,
 * but to begin within a minute of its start: once that is known it has to begin before all others.
 */
static void test_many_open_starts(void **state)
{
    (void)state;
    enum { JOBS = 700, FOLLOWERS = JOBS / 10, MACHINES = 50 };
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    bk_use uses[JOBS + FOLLOWERS];
    bk_var job[JOBS], follower[FOLLOWERS];
    for (int i = 0; i < JOBS; i++)
        job[i] = bk_problem_var(p, 0, 2000);
    for (int k = 0; k < FOLLOWERS; k++) {
        follower[k] = bk_problem_var(p, 0, 100000);
        bk_var before = job[10 * k];
        bk_problem_lag(p, before, follower[k], 0, NULL, 0, BK_NO_FACT);
        bk_problem_lag(p, follower[k], before, -1, NULL, 0, BK_NO_FACT);
    }
    for (int i = 0; i < JOBS + FOLLOWERS; i++) {
        bk_var v = i < JOBS ? job[i] : follower[i - JOBS];
        uses[i] = (bk_use){{v, 0}, {v, 1}, 1, BK_ALWAYS};
    }
    bk_problem_cumulative(p, MACHINES, uses, JOBS + FOLLOWERS, BK_NO_FACT);
    bk_solve_options options = options_with(0, false);
    options.first_only = true;
    bk_result r = bk_solve(arena, p, &options);
    assert_int_equal(r.status, BK_OPTIMAL); /* nothing is to be minimised */
    int32_t at = 0;
    for (int i = 0; i < JOBS; i++) {
        assert_int_equal(r.value[job[i]], at++ / MACHINES);
        if (i % 10 == 0)
            assert_int_equal(r.value[follower[i / 10]], at++ / MACHINES);
    }
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_lags_fix_the_least),
        cmocka_unit_test(test_resource_without_uses),
        cmocka_unit_test(test_circle_of_lags),
        cmocka_unit_test(test_conditional_circle),
        cmocka_unit_test(test_one_machine_sum),
        cmocka_unit_test(test_levels_in_order),
        cmocka_unit_test(test_holes),
        cmocka_unit_test(test_core),
        cmocka_unit_test(test_limit),
        cmocka_unit_test(test_first_only_and_hint),
        cmocka_unit_test(test_check_names_what_is_broken),
        cmocka_unit_test(test_near_check_looks_at_a_use_once),
        cmocka_unit_test(test_stop),
        cmocka_unit_test(test_long_chains),
        cmocka_unit_test(test_core_of_a_long_chain),
        cmocka_unit_test(test_sum_beyond_range),
        cmocka_unit_test(test_refused_answer),
        cmocka_unit_test(test_left_out_is_not_checked),
        cmocka_unit_test(test_many_open_starts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

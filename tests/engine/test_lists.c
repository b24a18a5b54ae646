/* The search over activity lists alone, on projects made up by a seed: lags shorter
 * than what they lead away from, tasks of unlike length on unlike resources, and more
 * resources than one word holds. */
#include "engine/activity_lists.h"
#include "engine/load.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "support/splitmix.h"

enum { TASKS = 60, RESOURCES = 6, CAPACITY = 12, SPAN = 800, SEEDS = 6 };

static uint64_t state;

static int32_t below(int32_t most)
{
    return (int32_t)(splitmix64(&state) % (uint64_t)most);
}

/* The last variable is the end of all. */
static bk_problem *project(bk_arena *arena, uint64_t seed)
{
    bk_problem *problem = bk_problem_new(arena);
    bk_use uses[TASKS];
    int32_t length[TASKS];
    state = seed;
    for (int i = 0; i <= TASKS; i++)
        bk_problem_var(problem, i < TASKS ? below(4) : 0, SPAN);
    for (int i = 0; i < TASKS; i++) {
        length[i] = 1 + below(10);
        bk_problem_lag(problem, i, TASKS, length[i], NULL, 0, BK_NO_FACT);
        for (int k = 0; k < 2 && i > 5; k++)
            bk_problem_lag(problem, below(i), i, below(6), NULL, 0, BK_NO_FACT);
    }
    for (int r = 0; r < RESOURCES; r++) {
        size_t count = 0;
        for (int i = 0; i < TASKS; i++)
            if (below(2))
                uses[count++] = (bk_use){{i, 0},
                                         {i, below(5) ? length[i] : 1 + below(length[i])},
                                         1 + below(CAPACITY / 2),
                                         BK_ALWAYS};
        bk_problem_cumulative(problem, CAPACITY, uses, count, BK_NO_FACT);
    }
    bk_problem_cost(problem, bk_problem_level(problem), TASKS, 1);
    return problem;
}

typedef struct bench {
    bk_arena *arena;
    bk_problem *problem;
    bk_solve_options options;
    bk_solver solver;
    bk_objective objective;
    struct bk_lists *lists;
} bench;

static void begin(bench *b, uint64_t seed)
{
    *b = (bench){.arena = bk_arena_new(NULL)};
    b->problem = project(b->arena, seed);
    bk_solver_begin(&b->solver, b->arena, b->problem, &b->options);
    assert_true(bk_load(&b->solver, false));
    b->objective = bk_objective_new(&b->solver, 0);
    assert_true(bk_settle_root(&b->solver));
    b->lists = bk_lists_new(&b->solver, &b->objective);
    assert_non_null(b->lists);
}

static void end(bench *b)
{
    bk_memory_free(&b->solver.memory);
    bk_arena_free(b->arena);
}

/* Schedules until `schedules` in a row bring nothing; with `tighten` the root knows
 * of each result and only a better one is left to it. Returns the last one. */
static int32_t descend(bench *b, int32_t schedules, bool tighten)
{
    int32_t best = INT32_MAX;
    while (bk_lists_evolve(&b->solver, b->lists, best, schedules)) {
        assert_true(bk_problem_check(b->problem, b->solver.found + 1, NULL, NULL));
        assert_true(b->solver.found[TASKS + 1] < best);
        best = b->solver.found[TASKS + 1];
        if (tighten && !bk_raise_root(&b->solver, (bk_literal){b->objective.side ^ 1, 1 - best}))
            break; /* proved the best */
    }
    return best;
}

static void test_schedules_are_valid_and_get_better(void **unused)
{
    (void)unused;
    int32_t first = 0, last = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        bench b;
        begin(&b, seed);
        assert_true(bk_lists_evolve(&b.solver, b.lists, INT32_MAX, 1));
        int32_t one = b.solver.found[TASKS + 1], best = descend(&b, 2000, false);
        assert_true(best <= one);
        printf("seed %d: first %d, last %d\n", (int)seed, one, best);
        first += one;
        last += best;
        end(&b);
    }
    assert_true(last < first);
}

/* Each is as early as it fits: a minute earlier, nothing else moved, it breaks a rule. */
static void test_nothing_could_be_earlier(void **unused)
{
    (void)unused;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        bench b;
        begin(&b, seed);
        for (int schedules = 0; schedules < 20; schedules++) {
            assert_true(bk_lists_evolve(&b.solver, b.lists, INT32_MAX, 1));
            int32_t *value = b.solver.found + 1;
            for (int i = 0; i <= TASKS; i++) {
                value[i]--;
                assert_false(bk_problem_check(b.problem, value, NULL, NULL));
                value[i]++;
            }
        }
        end(&b);
    }
}

/* Moved back, each is as late as it fits before the end: a minute later it breaks a rule. */
static void test_nothing_could_be_later(void **unused)
{
    (void)unused;
    int moved = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        bench b;
        begin(&b, seed);
        for (int schedules = 0; schedules < 20; schedules++) {
            assert_true(bk_lists_evolve(&b.solver, b.lists, INT32_MAX, 1));
            const int32_t *late = bk_list_latest(&b.solver, b.lists, &b.lists->child);
            if (!late)
                continue; /* one would have to begin before it may */
            moved++;
            int32_t *value = b.solver.found + 1;
            for (int i = 0; i <= TASKS; i++)
                value[i] = late[i + 1];
            assert_true(bk_problem_check(b.problem, value, NULL, NULL));
            for (int i = 0; i < TASKS; i++) {
                value[i]++;
                assert_false(bk_problem_check(b.problem, value, NULL, NULL));
                value[i]--;
            }
        }
        end(&b);
    }
    assert_true(moved > 0);
}

/* What the root has learned of better schedules says nothing about the lists, which
 * must go through ones no better: both ways the same results. */
static void test_a_tighter_root_changes_nothing(void **unused)
{
    (void)unused;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        bench loose, tight;
        begin(&loose, seed);
        begin(&tight, seed);
        assert_int_equal(descend(&loose, 2000, false), descend(&tight, 2000, true));
        end(&loose);
        end(&tight);
    }
}

/* A schedule from elsewhere is taken up, and never made worse. */
static void test_an_offer(void **unused)
{
    (void)unused;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        bench b;
        begin(&b, seed);
        assert_int_equal(bk_search(&b.solver, NULL, 0, 1000), BK_FOUND);
        bk_backtrack(&b.solver, 0);
        int32_t offered = b.solver.found[TASKS + 1];
        bool better = bk_lists_offer(&b.solver, b.lists);
        assert_true(bk_problem_check(b.problem, b.solver.found + 1, NULL, NULL));
        if (better)
            assert_true(b.solver.found[TASKS + 1] < offered);
        else
            assert_int_equal(b.solver.found[TASKS + 1], offered);
        b.solver.solution = b.solver.found;
        int32_t length = b.solver.found[TASKS + 1];
        const int32_t *late = bk_lists_vary(&b.solver, b.lists);
        if (late) {
            assert_true(bk_problem_check(b.problem, late + 1, NULL, NULL));
            assert_int_equal(late[TASKS + 1], length);
        }
        assert_true(bk_problem_check(b.problem, b.solver.solution + 1, NULL, NULL));
        assert_int_equal(b.solver.solution[TASKS + 1], length);
        end(&b);
    }
}

/* Lists count as work, so that a limit of work ends them. */
static void test_work_ends_it(void **unused)
{
    (void)unused;
    bench b;
    begin(&b, 1);
    b.solver.effort.work_limit = 100000;
    (void)descend(&b, 1000000, false);
    assert_true(b.solver.effort.stopped);
    assert_true(b.solver.effort.work < 1000000);
    end(&b);
}

/* A start that may lie far behind the end, which it does not come before. */
static void test_a_start_behind_the_end(void **unused)
{
    (void)unused;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *problem = bk_problem_new(arena);
    static const int32_t length[] = {5, 4, 4, 4, 1, 6}, amount[] = {2, 3, 1, 1, 2, 3};
    bk_use uses[6];
    for (bk_var v = 0; v < 6; v++) {
        bk_problem_var(problem, 0, 30);
        uses[v] = (bk_use){{v, 0}, {v, length[v]}, amount[v], BK_ALWAYS};
    }
    bk_var end = bk_problem_var(problem, 0, 36);
    bk_problem_var(problem, 200, 300);
    bk_problem_cumulative(problem, 4, uses, 6, BK_NO_FACT);
    for (bk_var v = 0; v < 6; v++)
        bk_problem_lag(problem, v, end, length[v], NULL, 0, BK_NO_FACT);
    for (bk_var v = 0; v < 3; v++)
        bk_problem_lag(problem, v, v + 3, length[v], NULL, 0, BK_NO_FACT);
    bk_problem_cost(problem, bk_problem_level(problem), end, 1);
    bk_result result = bk_solve(arena, problem, NULL);
    assert_int_equal(result.status, BK_OPTIMAL);
    /* Of the first, the second and the last no two fit at once. */
    assert_int_equal(result.sum[0], 5 + 4 + 6);
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_schedules_are_valid_and_get_better),
        cmocka_unit_test(test_nothing_could_be_earlier),
        cmocka_unit_test(test_nothing_could_be_later),
        cmocka_unit_test(test_a_tighter_root_changes_nothing),
        cmocka_unit_test(test_an_offer),
        cmocka_unit_test(test_work_ends_it),
        cmocka_unit_test(test_a_start_behind_the_end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

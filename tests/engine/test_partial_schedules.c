/* Partial schedules alone, on small projects made up by a seed, against the search by clauses:
 * tasks that take nothing, variables of no length, releases and due times, more resources than one
 * word holds, and targets that go down while it is at work. */
#include "engine/load.h"
#include "engine/partial_schedules.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "support/splitmix.h"

enum { MOST_TASKS = 12, MOST_RESOURCES = 6, CAPACITY = 5, SPAN = 120, PROJECTS = 2500 };

static uint64_t state;

static int32_t below(int32_t most)
{
    return (int32_t)(splitmix64(&state) % (uint64_t)most);
}

/* The last variable is the end of all. */
static bk_problem *project(bk_arena *arena, uint64_t seed, int *end)
{
    bk_problem *problem = bk_problem_new(arena);
    bk_use uses[MOST_TASKS];
    int32_t length[MOST_TASKS];
    state = seed;
    int tasks = 5 + below(MOST_TASKS - 4), resources = 1 + below(MOST_RESOURCES);
    *end = tasks;
    for (int i = 0; i <= tasks; i++) {
        bool due = i < tasks && below(8) == 0;
        bk_problem_var(problem, i < tasks && below(4) == 0 ? below(12) : 0, due ? 30 : SPAN);
    }
    for (int i = 0; i < tasks; i++) {
        length[i] = below(9) == 0 ? 0 : 1 + below(9);
        bk_problem_lag(problem, i, tasks, length[i], NULL, 0, BK_NO_FACT);
        for (int k = 0; k < 2 && i > 1 && below(3); k++) {
            int from = below(i);
            bk_problem_lag(problem, from, i, length[from], NULL, 0, BK_NO_FACT);
        }
    }
    for (int r = 0; r < resources; r++) {
        size_t count = 0;
        for (int i = 0; i < tasks; i++)
            if (length[i] > 0 && below(3))
                uses[count++] =
                    (bk_use){{i, 0}, {i, length[i]}, 1 + below(CAPACITY - 1), BK_ALWAYS};
        bk_problem_cumulative(problem, CAPACITY, uses, count, BK_NO_FACT);
    }
    bk_problem_cost(problem, bk_problem_level(problem), tasks, 1);
    return problem;
}

typedef struct bench {
    bk_arena *arena;
    bk_problem *problem;
    bk_solve_options options;
    bk_solver solver;
    bk_objective objective;
    struct bk_lists *lists;
    struct bk_partials *partials; /* or NULL */
} bench;

static void load(bench *b)
{
    bk_solver_begin(&b->solver, b->arena, b->problem, &b->options);
    if (!bk_load(&b->solver, false))
        return;
    b->objective = bk_objective_new(&b->solver, 0);
    assert_true(bk_settle_root(&b->solver));
    b->lists = bk_lists_new(&b->solver, &b->objective);
    if (b->lists) /* not where the root has found orders of tasks */
        b->partials = bk_partials_new(&b->solver, b->lists);
}

static void end(bench *b)
{
    bk_memory_free(&b->solver.memory);
    bk_arena_free(b->arena);
}

static bool aim(bench *b, int32_t target)
{
    return bk_raise_root(&b->solver, (bk_literal){b->objective.side ^ 1, -target});
}

/* What is told of the target. It goes down now and then while there is no answer, to nothing below
 * `least`. */
static enum bk_outcome ask(bench *b, int32_t *target, int32_t least)
{
    for (;;) {
        enum bk_outcome outcome =
            bk_partials_search(&b->solver, b->partials, *target, 1 + below(20));
        if (outcome != BK_LIMIT)
            return outcome;
        assert_false(b->partials->given_up);
        if (*target <= least || below(4))
            continue;
        if (!aim(b, --*target))
            return BK_REFUTED;
    }
}

static void test_the_same_answers(void **unused)
{
    (void)unused;
    int found = 0, refuted = 0, best = 0, mirrored = 0, others = 0;
    for (uint64_t seed = 1; seed <= PROJECTS; seed++) {
        bench b = {.arena = bk_arena_new(NULL)};
        int sink;
        b.problem = project(b.arena, seed, &sink);
        bk_result known = bk_solve(b.arena, b.problem, NULL);
        assert_true(known.status == BK_OPTIMAL || known.status == BK_INFEASIBLE);
        load(&b);
        if (!b.partials || known.status == BK_INFEASIBLE) {
            others += b.lists == NULL;
            assert_true(known.status == BK_INFEASIBLE || !b.lists);
            if (b.partials) {
                int32_t target = SPAN;
                assert_int_equal(ask(&b, &target, SPAN), BK_REFUTED);
                refuted++;
            }
            end(&b);
            continue;
        }
        int32_t optimum = (int32_t)known.sum[0];
        /* Targets above, at and below the optimum. */
        int32_t target = optimum + below(6), least = target - below(4);
        while (aim(&b, target)) {
            enum bk_outcome outcome = ask(&b, &target, least);
            assert_int_equal(outcome, target < optimum ? BK_REFUTED : BK_FOUND);
            mirrored += b.partials->turn == 1;
            if (outcome == BK_REFUTED) {
                refuted++;
                break;
            }
            found++;
            assert_true(bk_problem_check(b.problem, b.solver.found + 1, NULL, NULL));
            int32_t value = b.solver.found[sink + 1];
            assert_true(value <= target && value >= optimum);
            if (b.partials->best) {
                best++;
                assert_int_equal(value, optimum);
            }
            target = value - 1;
            least = target;
        }
        assert_true(target < optimum);
        end(&b);
    }
    printf("found %d (%d told to be the best), refuted %d; %d times in mirrored time; %d others\n",
           found, best, refuted, mirrored, others);
    assert_true(found > 500 && best > 100 && refuted > 500 && mirrored > 100);
    assert_true(others < PROJECTS / 4);
}

/* A lag that is not as long as its task, two tasks of unlike length on one variable, and an end
 * that is not the end of all. */
static void test_other_problems(void **unused)
{
    (void)unused;
    for (int kind = 0; kind < 4; kind++) {
        bench b = {.arena = bk_arena_new(NULL)};
        b.problem = bk_problem_new(b.arena);
        bk_use uses[4];
        for (int i = 0; i < 4; i++) {
            bk_problem_var(b.problem, 0, 50);
            uses[i] = (bk_use){{i, 0}, {i, 3}, 1, BK_ALWAYS};
        }
        bk_problem_cumulative(b.problem, 2, uses, 3, BK_NO_FACT);
        for (int i = 0; i < (kind == 3 ? 2 : 3); i++)
            bk_problem_lag(b.problem, i, 3, kind == 1 && i == 1 ? 2 : 3, NULL, 0, BK_NO_FACT);
        if (kind == 2)
            bk_problem_cumulative(
                b.problem, 1,
                (bk_use[]){{{0, 0}, {0, 2}, 1, BK_ALWAYS}, {{1, 0}, {1, 2}, 1, BK_ALWAYS}}, 2,
                BK_NO_FACT);
        bk_problem_cost(b.problem, bk_problem_level(b.problem), 3, 1);
        load(&b);
        assert_int_equal(b.partials != NULL, kind == 0);
        end(&b);
    }
}

/* Sixty tasks in any order, or sixty-four, which are too many for a word. */
static void test_too_many(void **unused)
{
    (void)unused;
    for (int tasks = 60; tasks <= 64; tasks += 4) {
        bench b = {.arena = bk_arena_new(NULL)};
        b.problem = bk_problem_new(b.arena);
        bk_use uses[64];
        for (int i = 0; i <= tasks; i++)
            bk_problem_var(b.problem, 0, 600);
        for (int i = 0; i < tasks; i++) {
            uses[i] = (bk_use){{i, 0}, {i, 2 + i % 7}, 1 + i % 4, BK_ALWAYS};
            bk_problem_lag(b.problem, i, tasks, 2 + i % 7, NULL, 0, BK_NO_FACT);
        }
        bk_problem_cumulative(b.problem, 7, uses, (size_t)tasks, BK_NO_FACT);
        bk_problem_cost(b.problem, bk_problem_level(b.problem), tasks, 1);
        load(&b);
        assert_int_equal(b.partials != NULL, tasks == 60);
        if (b.partials) {
            assert_true(aim(&b, 200));
            int64_t work = b.solver.effort.work;
            assert_int_equal(bk_partials_search(&b.solver, b.partials, 200, INT64_MAX), BK_LIMIT);
            assert_true(b.partials->given_up);
            assert_true(b.solver.effort.work - work < 10000000);
            work = b.solver.effort.work;
            assert_int_equal(bk_partials_search(&b.solver, b.partials, 200, INT64_MAX), BK_LIMIT);
            assert_int_equal(b.solver.effort.work, work);
        }
        end(&b);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_same_answers),
        cmocka_unit_test(test_other_problems),
        cmocka_unit_test(test_too_many),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

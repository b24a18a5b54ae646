/* The profile that is kept from call to call, and what the timetable makes of it, on a random
 * walk of decisions and returns: against heights summed up anew, minute by minute. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "engine/profile.h"
#include "support/splitmix.h"

enum { HORIZON = 40, STARTS = 9, WALKS = 300, STEPS = 120 };

static int32_t below(uint64_t *state, int32_t count)
{
    return (int32_t)(splitmix64(state) % (uint64_t)count);
}

/* Tasks of a fixed length, some of which share a start; some of an open length; some that may be
 * left out, or have no choice. */
static void make(bk_solver *solver, uint64_t *state)
{
    int32_t starts[STARTS];
    for (int i = 0; i < STARTS; i++)
        starts[i] = 2 * bk_variable_new(solver, 0, below(state, 6) ? HORIZON - 8 : 0, BK_STARTS);
    bk_cumulative cumulative = {.capacity = 1 + below(state, 4), .fact = {-1, 0}, .table = -1};
    for (int i = 0; i < STARTS + 2; i++) {
        bk_task task = {.from = starts[i % STARTS], .present = {-1, 0}};
        task.from_plus = i < STARTS ? 0 : 5;
        task.to = task.from;
        task.to_plus = task.from_plus + 1 + below(state, 8);
        task.amount = 1 + below(state, cumulative.capacity);
        if (below(state, 5) == 0) {
            task.to = 2 * bk_variable_new(solver, 0, HORIZON, BK_REST);
            task.to_plus = 0;
        }
        if (below(state, 4) == 0)
            task.present = (bk_literal){2 * bk_variable_new(solver, 0, 1, BK_BOOLEANS), 1};
        if (task.amount > cumulative.most)
            cumulative.most = task.amount;
        bk_task_new(solver, task);
        cumulative.count++;
    }
    *BK_ADD(solver, solver->resources.cumulatives) = cumulative;
}

static bool runs(const bk_solver *solver, const bk_task *task, int32_t time)
{
    return bk_is_true(solver, task->present) && bk_latest_start(solver, task) <= time &&
           time < bk_earliest_end(solver, task);
}

static int32_t height_at(const bk_solver *solver, int32_t time, int32_t except)
{
    int32_t height = 0;
    for (int32_t i = 0; i < solver->resources.tasks.count; i++)
        if (i != except && runs(solver, &solver->resources.tasks.at[i], time))
            height += solver->resources.tasks.at[i].amount;
    return height;
}

static int32_t kept_height(const bk_cumulative *cumulative, int32_t time)
{
    int32_t height = 0;
    for (int32_t k = 0; k < cumulative->profile.count; k++)
        if (cumulative->profile.at[k].time <= time)
            height = cumulative->profile.at[k].height;
    return height;
}

/* Is every minute of [from, to) free for the task beside the others? */
static bool fits(const bk_solver *solver, int32_t index, int32_t from, int32_t to)
{
    const bk_cumulative *cumulative = &solver->resources.cumulatives.at[0];
    for (int32_t time = from; time < to; time++)
        if (height_at(solver, time, index) + solver->resources.tasks.at[index].amount >
            cumulative->capacity)
            return false;
    return true;
}

/* At the fixed point. */
static void check(const bk_solver *solver)
{
    const bk_cumulative *cumulative = &solver->resources.cumulatives.at[0];
    for (int32_t time = 0; time < HORIZON; time++)
        assert_int_equal(kept_height(cumulative, time), height_at(solver, time, -1));
    for (int32_t i = 0; i < solver->resources.tasks.count; i++) {
        const bk_task *task = &solver->resources.tasks.at[i];
        if (bk_is_false(solver, task->present))
            continue;
        if (bk_is_true(solver, task->present)) {
            assert_true(
                fits(solver, i, bk_earliest_start(solver, task), bk_earliest_end(solver, task)));
            assert_true(
                fits(solver, i, bk_latest_start(solver, task), bk_latest_end(solver, task)));
        } else {
            assert_true(
                fits(solver, i, bk_latest_start(solver, task), bk_earliest_end(solver, task)));
        }
    }
}

static bool to_fixed_point(bk_solver *solver)
{
    for (;;) {
        int32_t before = solver->trail.events.count;
        if (!bk_propagate_timetable(solver, 0))
            return false;
        if (solver->trail.events.count == before)
            return true;
    }
}

static void walk(uint64_t *state)
{
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *problem = bk_problem_new(arena);
    bk_solve_options options = {0};
    bk_solver solver;
    bk_solver_begin(&solver, arena, problem, &options);
    bk_new_level(&solver);
    make(&solver, state);
    for (int step = 0; step < STEPS; step++) {
        int32_t side = below(state, solver.trail.sides);
        int32_t room = -solver.trail.lb[side ^ 1] - solver.trail.lb[side];
        if (room > 0) {
            bk_new_level(&solver);
            assert_true(bk_raise(
                &solver,
                (bk_literal){side, solver.trail.lb[side] + 1 + below(state, room < 9 ? room : 9)},
                (bk_reason){BK_BY_DECISION, 0, 0}));
        }
        if (below(state, 8) == 0)
            bk_update_profile(&solver, &solver.resources.cumulatives.at[0]);
        if (below(state, 8) == 0)
            continue;
        if (to_fixed_point(&solver))
            check(&solver);
        else if (bk_level_now(&solver) > 0)
            bk_backtrack(&solver, bk_level_now(&solver) - 1);
        if (bk_level_now(&solver) > 0 && below(state, 4) == 0)
            bk_backtrack(&solver, below(state, bk_level_now(&solver)));
    }
    bk_memory_free(&solver.memory);
    bk_arena_free(arena);
}

static void test_random_walks(void **unused)
{
    (void)unused;
    uint64_t state = 20261129;
    for (int i = 0; i < WALKS; i++)
        walk(&state);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_random_walks)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* The events of a bound, looked for among many: against all of them, one by one; and in few steps,
 * for a bound that goes up by a minute at a time has as many events as there are minutes. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "engine/solver.h"
#include "support/splitmix.h"

enum { MINUTES = 20000, SIDES = 3, ASKED = 4000 };

static int32_t below(uint64_t *state, int32_t count)
{
    return (int32_t)(splitmix64(state) % (uint64_t)count);
}

static void begin(bk_solver *solver, bk_arena *arena)
{
    static const bk_solve_options options = {0};
    bk_solver_begin(solver, arena, bk_problem_new(arena), &options);
    bk_new_level(solver);
    for (int i = 0; i < SIDES; i++)
        bk_variable_new(solver, 0, 10 * MINUTES, BK_STARTS);
    bk_new_level(solver);
}

/* Up by one, or by some. */
static void raise_by(bk_solver *solver, int32_t side, int32_t minutes)
{
    assert_true(bk_raise(solver, (bk_literal){side, solver->trail.lb[side] + minutes},
                         (bk_reason){BK_BY_DECISION, 0, 0}));
}

static int32_t event_one_by_one(const bk_solver *solver, bk_literal literal)
{
    for (int32_t i = 0; i < solver->trail.events.count; i++)
        if (solver->trail.events.at[i].side == literal.side &&
            solver->trail.events.at[i].value >= literal.value)
            return i;
    return -1;
}

static int32_t bound_one_by_one(const bk_solver *solver, int32_t side, int32_t event)
{
    int32_t value = 0;
    for (int32_t i = 0; i < event && i < solver->trail.events.count; i++)
        if (solver->trail.events.at[i].side == side)
            value = solver->trail.events.at[i].value;
    return value;
}

static void test_finds_what_one_by_one_finds(void **state)
{
    (void)state;
    uint64_t random = 7;
    bk_arena *arena = bk_arena_new(NULL);
    bk_solver solver;
    begin(&solver, arena);
    for (int i = 0; i < 3000; i++) {
        raise_by(&solver, 2 * below(&random, SIDES), 1 + below(&random, 3));
        if (below(&random, 500) == 0)
            bk_new_level(&solver);
        if (below(&random, 900) == 0)
            bk_backtrack(&solver, below(&random, bk_level_now(&solver)) + 1);
    }
    assert_true(solver.trail.events.count > 1000);
    for (int i = 0; i < ASKED; i++) {
        int32_t side = 2 * below(&random, SIDES);
        bk_literal literal = {side, 1 + below(&random, solver.trail.lb[side])};
        assert_int_equal(bk_event_of(&solver, literal), event_one_by_one(&solver, literal));
        int32_t event = below(&random, solver.trail.events.count + 1);
        assert_int_equal(bk_lb_before(&solver, side, event),
                         bound_one_by_one(&solver, side, event));
    }
    bk_memory_free(&solver.memory);
    bk_arena_free(arena);
}

/* From the last event back to the first, by jumps where they do not lead too far. */
static void test_few_steps_back(void **state)
{
    (void)state;
    uint64_t random = 11;
    bk_arena *arena = bk_arena_new(NULL);
    bk_solver solver;
    begin(&solver, arena);
    for (int i = 0; i < MINUTES; i++)
        raise_by(&solver, 0, 1);
    for (int i = 0; i < ASKED; i++) {
        int32_t to = below(&random, MINUTES), e = solver.trail.last[0], steps = 0;
        for (; e > to; steps++) {
            const bk_event *at = &solver.trail.events.at[e];
            e = at->jump >= to ? at->jump : at->previous;
        }
        assert_int_equal(e, to);
        assert_in_range(steps, 0, 64); /* four times the logarithm, and those nearby */
    }
    bk_memory_free(&solver.memory);
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_finds_what_one_by_one_finds),
        cmocka_unit_test(test_few_steps_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Minimum lags between two sides, plain and under conditions. A maximum lag is
 * the same lag read from the other side: to >= from + w is -from >= -to + w. */
#include "engine/solver.h"

bool bk_propagate_lags(bk_solver *solver, int32_t side, int32_t event)
{
    (void)event;
    for (int32_t i = solver->arc_first[side]; i < solver->arc_first[side + 1]; i++) {
        bk_arc arc = solver->arcs[i];
        int32_t value = solver->bound[side] + arc.weight;
        if (solver->bound[arc.to] < value &&
            !bk_raise(solver, (bk_literal){arc.to, value},
                      (bk_reason){BK_BY_LAG, side, arc.weight}))
            return false;
    }
    return true;
}

void bk_conditional_new(bk_solver *solver, int32_t from, int32_t to, int32_t least,
                        const bk_literal *when, int32_t count)
{
    int32_t index = solver->conditionals.count;
    bk_conditional lag = {from, to, least, solver->when.count, count};
    for (int32_t i = 0; i < count; i++) {
        *BK_ADD(solver, solver->when) = when[i];
        *BK_ADD(solver, solver->conditional_at[when[i].side]) = index;
    }
    *BK_ADD(solver, solver->conditionals) = lag;
    *BK_ADD(solver, solver->conditional_at[from]) = index;
    *BK_ADD(solver, solver->conditional_at[to ^ 1]) = index;
}

bool bk_propagate_conditional(bk_solver *solver, int32_t index)
{
    bk_conditional lag = solver->conditionals.at[index];
    int32_t open = -1;
    for (int32_t i = 0; i < lag.when_count; i++) {
        bk_literal condition = solver->when.at[lag.first + i];
        if (bk_is_true(solver, condition))
            continue;
        if (open >= 0 || bk_is_false(solver, condition))
            return true;
        open = i;
    }
    if (open < 0)
        return bk_raise(solver, (bk_literal){lag.to, solver->bound[lag.from] + lag.weight},
                        (bk_reason){BK_BY_CONDITIONAL, index, 0}) &&
               bk_raise(solver,
                        (bk_literal){lag.from ^ 1, solver->bound[lag.to ^ 1] + lag.weight},
                        (bk_reason){BK_BY_CONDITIONAL, index, 1});
    if (solver->bound[lag.from] + lag.weight + solver->bound[lag.to ^ 1] > 0)
        return bk_raise(solver, bk_not(solver->when.at[lag.first + open]),
                        (bk_reason){BK_BY_CONDITIONAL, index, 2 + open});
    return true;
}

void bk_explain_conditional(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event)
{
    bk_conditional lag = solver->conditionals.at[reason.index];
    for (int32_t i = 0; i < lag.when_count; i++)
        if (i != reason.aux - 2)
            *BK_ADD(solver, solver->why) = solver->when.at[lag.first + i];
    if (reason.aux == 0) {
        *BK_ADD(solver, solver->why) = (bk_literal){lag.from, literal.value - lag.weight};
    } else if (reason.aux == 1) {
        *BK_ADD(solver, solver->why) = (bk_literal){lag.to ^ 1, literal.value - lag.weight};
    } else {
        int32_t most = bk_bound_before(solver, lag.to ^ 1, event);
        *BK_ADD(solver, solver->why) = (bk_literal){lag.from, 1 - lag.weight - most};
        *BK_ADD(solver, solver->why) = (bk_literal){lag.to ^ 1, most};
    }
}

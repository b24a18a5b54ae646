/* Lags: propagation, explanation, cycles. */
#include "engine/solver.h"

bool bk_propagate_lags(bk_solver *solver, int32_t side)
{
    const bk_arc *end = solver->lags.arcs + solver->lags.first[side + 1];
    for (const bk_arc *at = solver->lags.arcs + solver->lags.first[side]; at < end; at++) {
        bk_arc arc = *at;
        int32_t value = solver->trail.lb[side] + arc.weight;
        if (solver->trail.lb[arc.to] < value && !bk_raise(solver, (bk_literal){arc.to, value},
                                                          (bk_reason){BK_BY_LAG, side, arc.weight}))
            return false;
    }
    return true;
}

static void hang_on(bk_solver *solver, int32_t side, bk_hanging hanging, const bk_literal *when,
                    int32_t count)
{
    int32_t found = 0;
    hanging.one = hanging.two = (bk_literal){-1, 0};
    for (int32_t i = 0; i < count && found < 2; i++)
        if (when[i].side != side)
            *(found++ == 0 ? &hanging.one : &hanging.two) = when[i];
    if (found < count)
        hanging.other = -1;
    *BK_ADD(solver, solver->lags.conditional_at[side]) = hanging;
}

void bk_conditional_new(bk_solver *solver, int32_t from, int32_t to, int32_t weight,
                        const bk_literal *when, int32_t count)
{
    int32_t index = solver->lags.conditionals.count;
    bk_conditional lag = {from, to, weight, solver->lags.conditions.count, count};
    for (int32_t i = 0; i < count; i++) {
        *BK_ADD(solver, solver->lags.conditions) = when[i];
        hang_on(solver, when[i].side, (bk_hanging){.conditional = index, .other = -1}, when, count);
    }
    *BK_ADD(solver, solver->lags.conditionals) = lag;
    bk_hanging first = {.conditional = index, .other = to, .weight = weight, .aux = 0};
    bk_hanging last = {.conditional = index, .other = from ^ 1, .weight = weight, .aux = 1};
    hang_on(solver, from, first, when, count);
    hang_on(solver, to ^ 1, last, when, count);
}

static bool not_true(const bk_solver *solver, bk_literal literal)
{
    return !bk_is_true(solver, literal);
}

/* All conditions hold, or all but one that it forbids. */
static bool says_something(const bk_solver *solver, const bk_hanging *hanging, bool open,
                           int32_t value)
{
    const int32_t *lb = solver->trail.lb;
    return open ? value + lb[hanging->other ^ 1] > 0 : lb[hanging->other] < value;
}

bool bk_propagate_conditionals(bk_solver *solver, int32_t side)
{
    bk_hangings at = solver->lags.conditional_at[side];
    solver->effort.work += 1 + at.count;
    for (int32_t i = 0; i < at.count; i++) {
        const bk_hanging *hanging = &at.at[i];
        bool one = not_true(solver, hanging->one), two = not_true(solver, hanging->two);
        if ((one && (two || bk_is_false(solver, hanging->one))) ||
            (two && bk_is_false(solver, hanging->two)))
            continue;
        if (hanging->other >= 0) {
            int32_t value = solver->trail.lb[side] + hanging->weight;
            if (!says_something(solver, hanging, one || two, value))
                continue;
            if (!one && !two) {
                if (!bk_raise(solver, (bk_literal){hanging->other, value},
                              (bk_reason){BK_BY_CONDITIONAL, hanging->conditional, hanging->aux}))
                    return false;
                continue;
            }
        }
        if (!bk_propagate_conditional(solver, hanging->conditional))
            return false;
    }
    return true;
}

bool bk_propagate_conditional(bk_solver *solver, int32_t index)
{
    bk_conditional lag = solver->lags.conditionals.at[index];
    int32_t open = -1;
    for (int32_t i = 0; i < lag.when_count; i++) {
        bk_literal condition = solver->lags.conditions.at[lag.first + i];
        if (bk_is_true(solver, condition))
            continue;
        if (open >= 0 || bk_is_false(solver, condition))
            return true;
        open = i;
    }
    if (open < 0)
        return bk_raise(solver, (bk_literal){lag.to, solver->trail.lb[lag.from] + lag.weight},
                        (bk_reason){BK_BY_CONDITIONAL, index, 0}) &&
               bk_raise(solver,
                        (bk_literal){lag.from ^ 1, solver->trail.lb[lag.to ^ 1] + lag.weight},
                        (bk_reason){BK_BY_CONDITIONAL, index, 1});
    if (solver->trail.lb[lag.from] + lag.weight + solver->trail.lb[lag.to ^ 1] > 0)
        return bk_raise(solver, bk_not(solver->lags.conditions.at[lag.first + open]),
                        (bk_reason){BK_BY_CONDITIONAL, index, 2 + open});
    return true;
}

void bk_explain_conditional(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event)
{
    bk_conditional lag = solver->lags.conditionals.at[reason.index];
    for (int32_t i = 0; i < lag.when_count; i++)
        if (i != reason.aux - 2)
            bk_premise(solver, solver->lags.conditions.at[lag.first + i]);
    if (reason.aux == 0) {
        bk_premise(solver, (bk_literal){lag.from, literal.value - lag.weight});
    } else if (reason.aux == 1) {
        bk_premise(solver, (bk_literal){lag.to ^ 1, literal.value - lag.weight});
    } else {
        int32_t most = bk_lb_before(solver, lag.to ^ 1, event);
        bk_premise(solver, (bk_literal){lag.from, 1 - lag.weight - most});
        bk_premise(solver, (bk_literal){lag.to ^ 1, most});
    }
}

int32_t bk_lag_source(const bk_solver *solver, bk_reason reason)
{
    if (reason.kind == BK_BY_LAG)
        return reason.index;
    if (reason.kind != BK_BY_CONDITIONAL || reason.aux > 1)
        return -1;
    const bk_conditional *lag = &solver->lags.conditionals.at[reason.index];
    return reason.aux == 0 ? lag->from : lag->to ^ 1;
}

static void name_conditions(bk_solver *solver, bk_reason reason)
{
    if (reason.kind != BK_BY_CONDITIONAL)
        return;
    const bk_conditional *lag = &solver->lags.conditionals.at[reason.index];
    for (int32_t i = 0; i < lag->when_count; i++)
        *BK_ADD(solver, solver->analysis.conflict) = solver->lags.conditions.at[lag->first + i];
}

/* A first pass finds out, a second names the conditions. */
bool bk_lag_cycle(bk_solver *solver, int32_t side, bk_reason reason)
{
    for (int pass = 0; pass < 2; pass++) {
        bk_reason by = reason;
        int32_t source = bk_lag_source(solver, by), event = -1;
        if (source >= 0)
            event = solver->trail.last[source];
        for (;;) {
            if (source < 0)
                return false;
            if (pass == 1)
                name_conditions(solver, by);
            if (source == side)
                break;
            if (event < 0)
                return false;
            by = solver->trail.events.at[event].reason;
            source = bk_lag_source(solver, by);
            event = solver->trail.events.at[event].lag_cause;
        }
        if (pass == 0)
            solver->analysis.conflict.count = 0;
    }
    return true;
}

/* Propagation to the fixed point, and the way from a reason to its literals. */
#include "engine/solver.h"

int32_t bk_propagator_new(bk_solver *solver, enum bk_propagator_kind kind, int32_t index)
{
    *BK_ADD(solver, solver->propagators) = (bk_propagator){.kind = kind, .index = index};
    return solver->propagators.count - 1;
}

void bk_wake(bk_solver *solver, int32_t propagator)
{
    bk_propagator *woken = &solver->propagators.at[propagator];
    if (woken->queued)
        return;
    woken->queued = true;
    bool last = woken->kind == BK_RUN_ENERGY || woken->kind == BK_RUN_COMPLETIONS;
    int queue = last ? 2 : woken->kind == BK_RUN_CUMULATIVE ? 1 : 0;
    *BK_ADD(solver, solver->queue[queue]) = propagator;
}

/* What hangs on one side's bound, after `event` (or -1: after loading). */
static bool propagate_side(bk_solver *solver, int32_t side, int32_t event)
{
    if (event >= 0) {
        /* Sums follow first: a conflict below must not leave them half done. */
        const bk_event *raised = &solver->trail.at[event];
        const bk_linear_uses *uses = &solver->linear_at[side];
        for (int32_t k = 0; k < uses->count; k++)
            solver->linears.at[uses->at[k].linear].least +=
                (int64_t)uses->at[k].weight * (raised->value - raised->old);
        int32_t old = raised->old;
        if (!bk_propagate_clauses(solver, side, old))
            return false;
    }
    if (side < solver->arc_sides && !bk_propagate_lags(solver, side, event))
        return false;
    solver->work += 1 + solver->conditional_at[side].count;
    for (int32_t i = 0; i < solver->conditional_at[side].count; i++)
        if (!bk_propagate_conditional(solver, solver->conditional_at[side].at[i]))
            return false;
    for (int32_t i = 0; i < solver->wakes[side].count; i++)
        bk_wake(solver, solver->wakes[side].at[i]);
    return true;
}

static bool run(bk_solver *solver, const bk_propagator *propagator)
{
    int32_t index = propagator->index;
    switch (propagator->kind) {
    case BK_RUN_LINEAR: return bk_propagate_linear(solver, index);
    case BK_RUN_HOLES: return bk_propagate_holes(solver, index);
    case BK_RUN_MINIMUM: return bk_propagate_minimum(solver, index);
    case BK_RUN_CUMULATIVE: return bk_propagate_cumulative(solver, index);
    case BK_RUN_ENERGY: return bk_propagate_energy(solver, index);
    case BK_RUN_COMPLETIONS: return bk_propagate_completions(solver, index);
    }
    return true;
}

bool bk_propagate(bk_solver *solver)
{
    for (;;) {
        while (solver->head < solver->trail.count) {
            int32_t event = solver->head++;
            if (!propagate_side(solver, solver->trail.at[event].side, event))
                return false;
        }
        int p = 0;
        while (p < BK_PRIORITIES && solver->queue_head[p] == solver->queue[p].count) {
            solver->queue_head[p] = solver->queue[p].count = 0;
            p++;
        }
        if (p == BK_PRIORITIES)
            return true;
        bk_propagator *propagator =
            &solver->propagators.at[solver->queue[p].at[solver->queue_head[p]++]];
        propagator->queued = false;
        bool over_tasks =
            propagator->kind == BK_RUN_CUMULATIVE || propagator->kind == BK_RUN_ENERGY;
        solver->work += 1 + (over_tasks ? solver->cumulatives.at[propagator->index].count : 0);
        if (!run(solver, propagator))
            return false;
    }
}

void bk_wake_all(bk_solver *solver)
{
    for (int32_t i = 0; i < solver->propagators.count; i++)
        bk_wake(solver, i);
}

static void explain_clause(bk_solver *solver, bk_literal literal, int32_t clause)
{
    const int32_t *words = solver->clauses.at + clause;
    for (int32_t i = 0; i < words[0]; i++) {
        bk_literal other = {words[BK_CLAUSE_HEAD + 2 * i], words[BK_CLAUSE_HEAD + 2 * i + 1]};
        if (other.side != literal.side)
            *BK_ADD(solver, solver->why) = bk_not(other);
    }
}

void bk_explain(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event)
{
    switch (reason.kind) {
    case BK_BY_DECISION: break;
    case BK_BY_CLAUSE:
        bk_clause_bump(solver, reason.index);
        explain_clause(solver, literal, reason.index);
        break;
    case BK_BY_LAG:
        *BK_ADD(solver, solver->why) = (bk_literal){reason.index, literal.value - reason.aux};
        break;
    case BK_BY_CONDITIONAL: bk_explain_conditional(solver, literal, reason, event); break;
    case BK_BY_CUMULATIVE: bk_explain_cumulative(solver, literal, reason, event); break;
    case BK_BY_ENERGY: bk_explain_energy(solver, literal, reason, event); break;
    case BK_BY_COMPLETIONS: bk_explain_completions(solver, literal, reason, event); break;
    case BK_BY_HOLE: bk_explain_hole(solver, literal, reason, event); break;
    case BK_BY_MINIMUM: bk_explain_minimum(solver, literal, reason, event); break;
    case BK_BY_LINEAR: bk_explain_linear(solver, literal, reason, event); break;
    case BK_BY_LIST:
        for (int32_t i = 0; i < reason.aux; i++)
            *BK_ADD(solver, solver->why) = solver->listed.at[reason.index + i];
        break;
    }
}

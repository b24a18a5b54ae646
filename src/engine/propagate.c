/* Propagation to the fixed point, and the way from a reason to its literals. */
#include "engine/solver.h"

static int queue_of(enum bk_propagator_kind kind)
{
    if (kind == BK_RUN_EDGE_FINDING || kind == BK_RUN_COMPLETIONS)
        return 2;
    return kind == BK_RUN_TIMETABLE ? 1 : 0;
}

int32_t bk_propagator_new(bk_solver *solver, enum bk_propagator_kind kind, int32_t index)
{
    *BK_ADD(solver, solver->queue.propagators) =
        (bk_propagator){.kind = kind, .index = index, .queue = queue_of(kind)};
    return solver->queue.propagators.count - 1;
}

void bk_wake(bk_solver *solver, int32_t propagator)
{
    bk_propagator *woken = &solver->queue.propagators.at[propagator];
    if (woken->queued)
        return;
    woken->queued = true;
    *BK_ADD(solver, solver->queue.waiting[woken->queue]) = propagator;
}

/* What hangs on one side's bound, after `event` (or -1: after loading). */
static bool propagate_side(bk_solver *solver, int32_t side, int32_t event)
{
    if (event >= 0) {
        /* Sums follow first: a conflict below must not leave them half done. */
        const bk_event *raised = &solver->trail.events.at[event];
        int32_t old = raised->old;
        bk_linears_follow(solver, side, old, raised->value);
        if (!bk_propagate_clauses(solver, side, old))
            return false;
    }
    if (side < solver->lags.sides && !bk_propagate_lags(solver, side))
        return false;
    if (!bk_propagate_conditionals(solver, side))
        return false;
    bk_ints wakes = solver->queue.wakes[side];
    for (int32_t i = 0; i < wakes.count; i++)
        bk_wake(solver, wakes.at[i]);
    return true;
}

static bool run_propagator(bk_solver *solver, const bk_propagator *propagator)
{
    int32_t index = propagator->index;
    switch (propagator->kind) {
    case BK_RUN_LINEAR:
        return bk_propagate_linear(solver, index);
    case BK_RUN_HOLES:
        return bk_propagate_holes(solver, index);
    case BK_RUN_MINIMUM:
        return bk_propagate_minimum(solver, index);
    case BK_RUN_TIMETABLE:
        return bk_propagate_timetable(solver, index);
    case BK_RUN_EDGE_FINDING:
        return bk_propagate_edge_finding(solver, index);
    case BK_RUN_COMPLETIONS:
        return bk_propagate_completions(solver, index);
    }
    return true;
}

bool bk_propagate(bk_solver *solver)
{
    for (;;) {
        while (solver->trail.propagated < solver->trail.events.count) {
            int32_t event = solver->trail.propagated++;
            if (!propagate_side(solver, solver->trail.events.at[event].side, event))
                return false;
        }
        if (solver->queue.held)
            return true;
        int p = 0;
        while (p < BK_PRIORITIES && solver->queue.first[p] == solver->queue.waiting[p].count) {
            solver->queue.first[p] = solver->queue.waiting[p].count = 0;
            p++;
        }
        if (p == BK_PRIORITIES)
            return true;
        bk_propagator *propagator =
            &solver->queue.propagators.at[solver->queue.waiting[p].at[solver->queue.first[p]++]];
        propagator->queued = false;
        bool over_tasks =
            propagator->kind == BK_RUN_TIMETABLE || propagator->kind == BK_RUN_EDGE_FINDING;
        solver->effort.work +=
            1 + (over_tasks ? solver->resources.cumulatives.at[propagator->index].count : 0);
        if (!run_propagator(solver, propagator))
            return false;
    }
}

void bk_queue_clear(bk_solver *solver)
{
    bk_queue *queue = &solver->queue;
    for (int p = 0; p < BK_PRIORITIES; p++) {
        for (int32_t i = queue->first[p]; i < queue->waiting[p].count; i++)
            queue->propagators.at[queue->waiting[p].at[i]].queued = false;
        queue->waiting[p].count = queue->first[p] = 0;
    }
}

void bk_wake_all(bk_solver *solver)
{
    for (int32_t i = 0; i < solver->queue.propagators.count; i++)
        bk_wake(solver, i);
}

void bk_explain(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event)
{
    switch (reason.kind) {
    case BK_BY_DECISION:
        break;
    case BK_BY_CLAUSE:
        bk_clause_bump(solver, reason.index);
        bk_explain_clause(solver, literal, reason.index);
        break;
    case BK_BY_LAG:
        bk_premise(solver, (bk_literal){reason.index, literal.value - reason.aux});
        break;
    case BK_BY_CONDITIONAL:
        bk_explain_conditional(solver, literal, reason, event);
        break;
    case BK_BY_TIMETABLE:
        bk_explain_timetable(solver, literal, reason, event);
        break;
    case BK_BY_EDGE_FINDING:
        bk_explain_edge_finding(solver, literal, reason, event);
        break;
    case BK_BY_COMPLETIONS:
        bk_explain_completions(solver, literal, reason, event);
        break;
    case BK_BY_HOLE:
        bk_explain_hole(solver, literal, reason, event);
        break;
    case BK_BY_MINIMUM:
        bk_explain_minimum(solver, literal, reason, event);
        break;
    case BK_BY_LINEAR:
        bk_explain_linear(solver, literal, reason, event);
        break;
    }
}

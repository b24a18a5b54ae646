/* Weighted sums with a limit: what a level adds up. */
#include "engine/solver.h"

static int64_t range(const bk_solver *solver, int32_t side)
{
    return -(int64_t)solver->bound[side ^ 1] - solver->bound[side];
}

int32_t bk_linear_new(bk_solver *solver, const bk_term *terms, int32_t count, int64_t most)
{
    int32_t index = solver->linears.count;
    bk_linear linear = {.most = most, .first = solver->terms.count, .count = count};
    int32_t propagator = bk_propagator_new(solver, BK_RUN_LINEAR, index);
    for (int32_t i = 0; i < count; i++) {
        bk_term term = terms[i];
        *BK_ADD(solver, solver->terms) = term;
        linear.least += (int64_t)term.weight * solver->bound[term.side];
        if (linear.largest < term.weight * range(solver, term.side))
            linear.largest = term.weight * range(solver, term.side);
        *BK_ADD(solver, solver->linear_at[term.side]) = (bk_linear_use){index, term.weight};
        *BK_ADD(solver, solver->wakes[term.side]) = propagator;
    }
    *BK_ADD(solver, solver->linears) = linear;
    bk_wake(solver, propagator);
    return index;
}

bool bk_propagate_linear(bk_solver *solver, int32_t index)
{
    const bk_linear *linear = &solver->linears.at[index];
    int64_t slack = linear->most - linear->least;
    if (slack >= linear->largest)
        return true;
    if (slack < 0) {
        solver->why.count = 0;
        bk_explain_linear(solver, (bk_literal){-1, 0}, (bk_reason){BK_BY_LINEAR, index, -1},
                          solver->trail.count);
        solver->conflict.count = 0;
        for (int32_t i = 0; i < solver->why.count; i++)
            *BK_ADD(solver, solver->conflict) = solver->why.at[i];
        return false;
    }
    for (int32_t i = 0; i < linear->count; i++) {
        bk_term term = solver->terms.at[linear->first + i];
        if (term.weight * range(solver, term.side) <= slack)
            continue;
        int32_t most = (int32_t)(solver->bound[term.side] + slack / term.weight);
        if (!bk_raise(solver, (bk_literal){term.side ^ 1, -most},
                      (bk_reason){BK_BY_LINEAR, index, i}))
            return false;
    }
    return true;
}

/* The bounds of the other terms leave no room for more; what they leave over is
 * used to ask less of them, the latest raised first. */
void bk_explain_linear(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event)
{
    const bk_linear *linear = &solver->linears.at[reason.index];
    const bk_term *terms = solver->terms.at + linear->first;
    int64_t sum = -linear->most - 1;
    int32_t start = solver->why.count;
    for (int32_t i = 0; i < linear->count; i++) {
        if (i == reason.aux) {
            sum += (int64_t)terms[i].weight * (1 - (int64_t)literal.value);
            continue;
        }
        int32_t value = bk_bound_before(solver, terms[i].side, event);
        sum += (int64_t)terms[i].weight * value;
        *BK_ADD(solver, solver->why) = (bk_literal){terms[i].side, value};
    }
    int32_t kept = start, k = start;
    for (int32_t i = 0; i < linear->count; i++) {
        if (i == reason.aux)
            continue;
        bk_literal premise = solver->why.at[k++];
        int32_t e = bk_event_of(solver, premise);
        while (e >= 0) {
            const bk_event *made = &solver->trail.at[e];
            int64_t drop = (int64_t)terms[i].weight * ((int64_t)premise.value - made->old);
            if (drop > sum) {
                int32_t less = (int32_t)(sum / terms[i].weight);
                premise.value -= less;
                sum -= (int64_t)less * terms[i].weight;
                break;
            }
            sum -= drop;
            premise.value = made->old;
            e = made->previous;
        }
        if (e >= 0)
            solver->why.at[kept++] = premise;
    }
    solver->why.count = kept;
}

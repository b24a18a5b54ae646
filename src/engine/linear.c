/* What is left below the limit bounds each term. */
#include "engine/solver.h"

static int64_t range(const bk_solver *solver, int32_t side)
{
    return -(int64_t)solver->trail.lb[side ^ 1] - solver->trail.lb[side];
}

void bk_linear_new(bk_solver *solver, const bk_term *terms, int32_t count, int64_t most)
{
    int32_t index = solver->linears.list.count;
    bk_linear linear = {.most = most, .first = solver->linears.terms.count, .count = count};
    int32_t propagator = linear.propagator = bk_propagator_new(solver, BK_RUN_LINEAR, index);
    for (int32_t i = 0; i < count; i++) {
        bk_term term = terms[i];
        *BK_ADD(solver, solver->linears.terms) = term;
        linear.least += (int64_t)term.weight * solver->trail.lb[term.side];
        if (linear.largest < term.weight * range(solver, term.side))
            linear.largest = term.weight * range(solver, term.side);
        *BK_ADD(solver, solver->linears.uses[term.side]) = (bk_linear_use){index, term.weight};
        *BK_ADD(solver, solver->queue.wakes[term.side]) = propagator;
    }
    *BK_ADD(solver, solver->linears.list) = linear;
    bk_wake(solver, propagator);
}

void bk_linear_drop(bk_solver *solver, int32_t index)
{
    bk_linear *linear = &solver->linears.list.at[index];
    for (int32_t i = 0; i < linear->count; i++) {
        int32_t side = solver->linears.terms.at[linear->first + i].side, kept = 0;
        bk_linear_uses *uses = &solver->linears.uses[side];
        for (int32_t k = 0; k < uses->count; k++)
            if (uses->at[k].linear != index)
                uses->at[kept++] = uses->at[k];
        uses->count = kept;
        bk_ints *wakes = &solver->queue.wakes[side];
        kept = 0;
        for (int32_t k = 0; k < wakes->count; k++)
            if (wakes->at[k] != linear->propagator)
                wakes->at[kept++] = wakes->at[k];
        wakes->count = kept;
    }
    linear->count = 0;
    linear->most = linear->least = linear->largest = 0;
}

void bk_linears_follow(bk_solver *solver, int32_t side, int32_t from, int32_t to)
{
    const bk_linear_uses *uses = &solver->linears.uses[side];
    for (int32_t k = 0; k < uses->count; k++)
        solver->linears.list.at[uses->at[k].linear].least +=
            (int64_t)uses->at[k].weight * (to - from);
}

bool bk_propagate_linear(bk_solver *solver, int32_t index)
{
    const bk_linear *linear = &solver->linears.list.at[index];
    int64_t slack = linear->most - linear->least;
    if (slack >= linear->largest)
        return true;
    if (slack < 0) {
        solver->analysis.premises.count = 0;
        bk_explain_linear(solver, (bk_literal){-1, 0}, (bk_reason){BK_BY_LINEAR, index, -1},
                          solver->trail.events.count);
        bk_conflict_is_premises(solver);
        return false;
    }
    const bk_term *terms = solver->linears.terms.at + linear->first;
    const int32_t *lb = solver->trail.lb;
    for (int32_t i = 0, count = linear->count; i < count; i++) {
        bk_term term = terms[i];
        if (term.weight * (-(int64_t)lb[term.side ^ 1] - lb[term.side]) <= slack)
            continue;
        int32_t most = (int32_t)(lb[term.side] + slack / term.weight);
        if (!bk_raise(solver, (bk_literal){term.side ^ 1, -most},
                      (bk_reason){BK_BY_LINEAR, index, i}))
            return false;
    }
    return true;
}

/* What it would leave over to ask nothing of the term, beyond what the root says. */
static int64_t whole(const bk_solver *solver, const bk_term *term, bk_literal premise)
{
    int64_t root = bk_lb_before(solver, premise.side, 0);
    return (int64_t)term->weight * (premise.value - root);
}

/* Of the premises from `start` on, one a term, those that can be spared altogether lose their side,
 * the latest raised first. Returns what is then left of `sum`. */
static int64_t spare(bk_solver *solver, const bk_term *terms, int32_t start, int32_t aux,
                     int64_t sum)
{
    bk_literal *premises = solver->analysis.premises.at + start;
    int32_t count = solver->analysis.premises.count - start;
    bk_literals *order = &solver->linears.order;
    order->count = 0;
    for (int32_t k = 0; k < count; k++) {
        int32_t event = bk_event_of(solver, premises[k]), i = order->count;
        if (event < 0 || whole(solver, &terms[k + (aux >= 0 && k >= aux)], premises[k]) > sum)
            continue;
        *BK_ADD(solver, *order) = (bk_literal){k, event};
        for (; i > 0 && order->at[i - 1].value < event; i--)
            order->at[i] = order->at[i - 1];
        order->at[i] = (bk_literal){k, event};
    }
    for (int32_t i = 0; i < order->count && sum > 0; i++) {
        int32_t k = order->at[i].side;
        int64_t drop = whole(solver, &terms[k + (aux >= 0 && k >= aux)], premises[k]);
        if (drop > sum)
            continue;
        sum -= drop;
        premises[k].side = -1;
    }
    return sum;
}

/* The bounds of the other terms leave no room for more; what they leave over is used to ask less of
 * them. */
void bk_explain_linear(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event)
{
    const bk_linear *linear = &solver->linears.list.at[reason.index];
    const bk_term *terms = solver->linears.terms.at + linear->first;
    int64_t sum = -linear->most - 1;
    int32_t start = solver->analysis.premises.count;
    for (int32_t i = 0; i < linear->count; i++) {
        if (i == reason.aux) {
            sum += (int64_t)terms[i].weight * (1 - (int64_t)literal.value);
            continue;
        }
        int32_t value = bk_lb_before(solver, terms[i].side, event);
        sum += (int64_t)terms[i].weight * value;
        bk_premise(solver, (bk_literal){terms[i].side, value});
    }
    sum = spare(solver, terms, start, reason.aux, sum);
    int32_t kept = start, k = start;
    for (int32_t i = 0; i < linear->count; i++) {
        if (i == reason.aux)
            continue;
        bk_literal premise = solver->analysis.premises.at[k++];
        if (premise.side < 0)
            continue;
        int32_t e = bk_event_of(solver, premise);
        while (e >= 0) {
            const bk_event *made = &solver->trail.events.at[e];
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
            solver->analysis.premises.at[kept++] = premise;
    }
    solver->analysis.premises.count = kept;
}

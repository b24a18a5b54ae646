/* Cores of failed assumptions. */
#include "engine/core_guided.h"

#include "engine/solver.h"

enum {
    EXHAUST = 300,
    TRIM = 100,
    SHRINK_MOST = 40,
    /* Of many terms, one more or less makes a search end in a whole schedule, which costs more
     * than what such a search is for. */
    MANY = 150,
    CALM = 30
};

static int64_t calm_of(const bk_core_guided *bound)
{
    return bound->terms.count > MANY ? CALM : 0;
}

static void add_term(bk_solver *solver, bk_core_guided *bound, bk_term term)
{
    *BK_ADD(solver, bound->terms) = term;
    while (bound->term_of.count <= term.side)
        *BK_ADD(solver, bound->term_of) = 0;
    bound->term_of.at[term.side] = bound->terms.count;
}

void bk_core_guided_begin(bk_solver *solver, bk_core_guided *bound, const bk_objective *objective)
{
    for (int32_t i = 0; i < objective->terms.count; i++)
        add_term(solver, bound, objective->terms.at[i]);
}

static bk_literal at_least_now(const bk_solver *solver, int32_t side)
{
    return (bk_literal){side ^ 1, -solver->trail.lb[side]};
}

/* The sum cannot be less. */
static int64_t least_sum(const bk_solver *solver, const bk_core_guided *bound)
{
    int64_t sum = 0;
    for (int32_t i = 0; i < bound->terms.count; i++)
        sum += (int64_t)bound->terms.at[i].weight * solver->trail.lb[bound->terms.at[i].side];
    return sum;
}

/* What the terms prove, put on the objective's own variable. */
static void raise_objective(bk_solver *solver, const bk_core_guided *bound,
                            const bk_objective *objective)
{
    int64_t sum = least_sum(solver, bound);
    if (sum > solver->trail.lb[objective->side])
        bk_raise_root(solver, (bk_literal){objective->side, (int32_t)sum});
}

/* Raises one term alone as far as a few conflicts allow. */
static void exhaust(bk_solver *solver, const bk_core_guided *bound, int32_t side)
{
    for (;;) {
        bk_literal stay = at_least_now(solver, side);
        if (bk_refute(solver, &stay, 1, EXHAUST, calm_of(bound)) != BK_REFUTED)
            break;
        bk_backtrack(solver, 0);
        if (solver->analysis.core.count == 0) {
            solver->impossible = true;
            return;
        }
        if (!bk_raise_root(solver, bk_not(solver->analysis.core.at[0])))
            return;
    }
    bk_backtrack(solver, 0);
}

static void take_core(bk_solver *solver, bk_literals *core)
{
    core->count = 0;
    for (int32_t i = 0; i < solver->analysis.core.count; i++)
        *BK_ADD(solver, *core) = solver->analysis.core.at[i];
}

/* Solves under the core alone, and under the core without one or other of its
 * literals, while that makes it smaller. */
static void shrink_core(bk_solver *solver, const bk_core_guided *bound, bk_literals *core)
{
    for (int round = 0; round < 3 && core->count > 1; round++) {
        int32_t before = core->count;
        if (bk_search(solver, core->at, core->count, TRIM) != BK_REFUTED)
            break;
        take_core(solver, core);
        if (core->count >= before)
            break;
    }
    for (int32_t i = 0; i < core->count && core->count > 1 && core->count <= SHRINK_MOST;) {
        bk_literal out = core->at[i];
        core->at[i] = core->at[core->count - 1];
        core->count--;
        if (bk_refute(solver, core->at, core->count, TRIM, calm_of(bound)) == BK_REFUTED) {
            take_core(solver, core);
            continue;
        }
        core->at[core->count++] = core->at[i];
        core->at[i] = out;
        i++;
    }
    bk_backtrack(solver, 0);
}

/* The terms of a core become, by their common weight, one term above their sum. False where that is
 * too far for a variable. */
static bool merge(bk_solver *solver, bk_core_guided *bound, const bk_literals *core)
{
    int32_t weight = INT32_MAX, least_step = INT32_MAX;
    int64_t least = 0, most = 0;
    for (int32_t i = 0; i < core->count; i++) {
        int32_t side = core->at[i].side ^ 1;
        const bk_term *term = &bound->terms.at[bound->term_of.at[side] - 1];
        int32_t step = -core->at[i].value + 1 - solver->trail.lb[side];
        if (term->weight < weight)
            weight = term->weight;
        if (step < least_step)
            least_step = step;
        least += solver->trail.lb[side];
        most -= solver->trail.lb[side ^ 1];
    }
    if (least_step <= 0)
        return true; /* the root has gone up meanwhile */
    if (most >= BK_FAR)
        return false;
    if (least + least_step > most) {
        solver->impossible = true;
        return true;
    }
    int32_t variable = bk_variable_new(solver, (int32_t)least + least_step, (int32_t)most, BK_REST);
    BK_VECTOR(bk_term) terms = {NULL, 0, 0};
    for (int32_t i = 0; i < core->count; i++) {
        int32_t side = core->at[i].side ^ 1;
        bound->terms.at[bound->term_of.at[side] - 1].weight -= weight;
        *BK_ADD(solver, terms) = (bk_term){side, 1};
    }
    *BK_ADD(solver, terms) = (bk_term){2 * variable + 1, 1};
    bk_linear_new(solver, terms.at, terms.count, 0);
    bk_memory_release(&solver->memory, terms.at);
    add_term(solver, bound, (bk_term){2 * variable, weight});
    /* Used-up terms leave the list. */
    int32_t kept = 0;
    for (int32_t i = 0; i < bound->terms.count; i++) {
        bk_term term = bound->terms.at[i];
        bound->term_of.at[term.side] = 0;
        if (term.weight > 0) {
            bound->terms.at[kept++] = term;
            bound->term_of.at[term.side] = kept;
        }
    }
    bound->terms.count = kept;
    bk_settle_root(solver);
    if (!solver->impossible)
        exhaust(solver, bound, 2 * variable);
    return true;
}

/* No term can rise above its bound by more than what is left between the sum of the bounds and the
 * best sum known (hardening: Ansotegui, Bonet, Gabas, Levy, "Improving SAT-based weighted MaxSAT
 * solvers", CP 2012), or the sum is worse. It is the terms' own sum that counts here: that the
 * objective's variable stands higher for another reason says nothing of any one of them. */
static void harden(bk_solver *solver, const bk_core_guided *bound, const bk_objective *objective)
{
    int64_t left = solver->best - objective->offset - least_sum(solver, bound);
    bool lower = false;
    bk_backtrack(solver, 0);
    for (int32_t i = 0; i < bound->terms.count && left >= 0 && !solver->impossible; i++) {
        bk_term term = bound->terms.at[i];
        int64_t most = solver->trail.lb[term.side] + left / term.weight;
        if (most >= -(int64_t)solver->trail.lb[term.side ^ 1])
            continue;
        lower = true;
        if (!bk_raise(solver, (bk_literal){term.side ^ 1, (int32_t)-most},
                      (bk_reason){BK_BY_DECISION, 0, 0}))
            solver->impossible = true;
    }
    if (lower && !solver->impossible)
        bk_settle_root(solver);
}

enum bk_outcome bk_core_guided_raise(bk_solver *solver, bk_core_guided *bound,
                                     const bk_objective *objective, int64_t budget)
{
    int64_t until = solver->effort.conflicts + budget;
    bk_literals assumptions = {NULL, 0, 0}, core = {NULL, 0, 0};
    enum bk_outcome outcome = BK_LIMIT;
    while (solver->effort.conflicts < until) {
        harden(solver, bound, objective);
        if (solver->impossible)
            break;
        assumptions.count = 0;
        for (int32_t i = 0; i < bound->terms.count; i++) {
            int32_t side = bound->terms.at[i].side;
            if (solver->trail.lb[side] < -solver->trail.lb[side ^ 1])
                *BK_ADD(solver, assumptions) = at_least_now(solver, side);
        }
        outcome =
            bk_search(solver, assumptions.at, assumptions.count, until - solver->effort.conflicts);
        if (outcome != BK_REFUTED)
            break;
        take_core(solver, &core);
        bk_backtrack(solver, 0);
        if (core.count > 1)
            shrink_core(solver, bound, &core);
        if (core.count == 0 || solver->impossible) {
            solver->impossible = true;
            break;
        }
        if (core.count == 1) {
            int32_t side = core.at[0].side ^ 1;
            if (!bk_raise_root(solver, bk_not(core.at[0])))
                break;
            exhaust(solver, bound, side);
        } else if (!merge(solver, bound, &core)) {
            outcome = BK_LIMIT;
            break;
        }
        if (solver->impossible)
            break;
        raise_objective(solver, bound, objective);
        outcome = BK_LIMIT;
        if (solver->impossible || bk_is_spent(&solver->effort))
            break;
    }
    bk_backtrack(solver, 0);
    bk_memory_release(&solver->memory, assumptions.at);
    bk_memory_release(&solver->memory, core.at);
    return outcome;
}

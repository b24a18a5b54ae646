/* Cores of failed assumptions. */
#include "engine/core_guided.h"

#include "engine/solver.h"

enum {
    EXHAUST = 1000,
    TRIM = 100,
    SHRINK_MOST = 40,
    /* Of many terms, one more or less makes a search end in a whole schedule, which costs more
     * than what such a search is for. */
    MANY = 150,
    CALM = 30,
    LARGEST_GROUP = 16
};

static void add_term(bk_solver *solver, bk_core_guided *bound, bk_term term)
{
    *BK_ADD(solver, bound->terms) = term;
    while (bound->term_of.count <= term.side)
        *BK_ADD(solver, bound->term_of) = 0;
    bound->term_of.at[term.side] = bound->terms.count;
}

/* Terms that are grouped: each stands for its group, or is in that of another. */
typedef struct groups {
    const bk_objective *objective;
    int32_t *up, *size; /* by term: towards the one that stands for it; of its group */
    int32_t *term_of;   /* by side: term + 1 */
} groups;

static int32_t group_of(const groups *g, int32_t term)
{
    while (g->up[term] != term)
        term = g->up[term];
    return term;
}

static void join(groups *g, int32_t one, int32_t other)
{
    const bk_term *terms = g->objective->terms.at;
    one = group_of(g, one);
    other = group_of(g, other);
    if (one == other || terms[one].weight != terms[other].weight ||
        g->size[one] + g->size[other] > LARGEST_GROUP)
        return;
    g->up[other] = one;
    g->size[one] += g->size[other];
}

static void find_groups(bk_solver *solver, groups *g)
{
    int32_t count = g->objective->terms.count;
    for (int32_t i = 0; i < count; i++) {
        g->up[i] = i;
        g->size[i] = 1;
        g->term_of[g->objective->terms.at[i].side] = i + 1;
    }
    for (int32_t i = 0; i < count; i++) {
        int32_t side = g->objective->terms.at[i].side;
        if (side >= solver->lags.sides)
            continue;
        for (int32_t a = solver->lags.first[side]; a < solver->lags.first[side + 1]; a++)
            if (g->term_of[solver->lags.arcs[a].to] > 0)
                join(g, i, g->term_of[solver->lags.arcs[a].to] - 1);
    }
}

/* A new variable above the sum of the sides, from `least` to `most`. */
static int32_t variable_above(bk_solver *solver, const bk_literals *sides, int64_t least,
                              int64_t most)
{
    int32_t variable = bk_variable_new(solver, (int32_t)least, (int32_t)most, BK_REST);
    BK_VECTOR(bk_term) terms = {NULL, 0, 0};
    for (int32_t i = 0; i < sides->count; i++)
        *BK_ADD(solver, terms) = (bk_term){sides->at[i].side, 1};
    *BK_ADD(solver, terms) = (bk_term){2 * variable + 1, 1};
    bk_linear_new(solver, terms.at, terms.count, 0);
    bk_memory_release(&solver->memory, terms.at);
    return variable;
}

/* The terms of a group as one, or each by itself where the sum is too far for a variable. */
static void add_group(bk_solver *solver, bk_core_guided *bound, const groups *g, int32_t group,
                      bk_literals *sides)
{
    const bk_term *terms = g->objective->terms.at;
    int64_t least = 0, most = 0;
    sides->count = 0;
    for (int32_t i = 0; i < g->objective->terms.count && sides->count < g->size[group]; i++) {
        if (group_of(g, i) != group)
            continue;
        *BK_ADD(solver, *sides) = (bk_literal){terms[i].side, 0};
        least += solver->trail.lb[terms[i].side];
        most -= solver->trail.lb[terms[i].side ^ 1];
    }
    if (sides->count > 1 && least > -BK_FAR && most < BK_FAR) {
        int32_t variable = variable_above(solver, sides, least, most);
        add_term(solver, bound, (bk_term){2 * variable, terms[group].weight});
        return;
    }
    for (int32_t i = 0; i < sides->count; i++)
        add_term(solver, bound, (bk_term){sides->at[i].side, terms[group].weight});
}

void bk_core_guided_begin(bk_solver *solver, bk_core_guided *bound, const bk_objective *objective)
{
    int32_t count = objective->terms.count;
    bk_memory *memory = &solver->memory;
    groups g = {.objective = objective,
                .up = bk_memory_new(memory, (size_t)count, sizeof *g.up),
                .size = bk_memory_new(memory, (size_t)count, sizeof *g.size),
                .term_of = bk_memory_new(memory, (size_t)solver->trail.sides, sizeof *g.term_of)};
    bk_literals sides = {NULL, 0, 0};
    bound->calm = count > MANY ? CALM : 0;
    bk_backtrack(solver, 0);
    find_groups(solver, &g);
    for (int32_t i = 0; i < count; i++)
        if (g.up[i] == i)
            add_group(solver, bound, &g, i, &sides);
    bk_memory_release(memory, g.up);
    bk_memory_release(memory, g.size);
    bk_memory_release(memory, g.term_of);
    bk_memory_release(memory, sides.at);
    bk_settle_root(solver);
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

/* What was found while cores were looked for may happen to be better than the best. */
static enum bk_outcome noted(bk_solver *solver, enum bk_outcome outcome)
{
    if (outcome != BK_FOUND)
        return outcome;
    int64_t sum = bk_problem_sum(solver->problem, solver->level, solver->found + 1);
    if (sum < solver->best) {
        solver->best = sum;
        bk_keep_solution(solver);
    }
    return outcome;
}

/* Raises one term alone as far as some conflicts allow: by steps that double until one is too long,
 * and from then on halve. What is learned from a long step says something of all shorter ones. */
static void exhaust(bk_solver *solver, const bk_core_guided *bound, int32_t side)
{
    int32_t step = 0, longest = 1 << 20;
    while (solver->effort.conflicts < bound->until) {
        bk_literal stay = at_least_now(solver, side);
        stay.value -= step;
        enum bk_outcome outcome = noted(solver, bk_refute(solver, &stay, 1, EXHAUST, bound->calm));
        bk_backtrack(solver, 0);
        if (outcome != BK_REFUTED && step == 0)
            break;
        if (outcome != BK_REFUTED) {
            longest = step /= outcome == BK_FOUND ? 4 : 2;
            continue;
        }
        if (solver->analysis.core.count == 0) {
            solver->impossible = true;
            return;
        }
        if (!bk_raise_root(solver, bk_not(solver->analysis.core.at[0])))
            return;
        step = step == 0 ? 1 : 2 * step;
        if (step > longest)
            step = longest;
    }
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
        if (noted(solver, bk_search(solver, core->at, core->count, TRIM)) != BK_REFUTED)
            break;
        take_core(solver, core);
        if (core->count >= before)
            break;
    }
    for (int32_t i = 0; i < core->count && core->count > 1 && core->count <= SHRINK_MOST;) {
        bk_literal out = core->at[i];
        core->at[i] = core->at[core->count - 1];
        core->count--;
        if (noted(solver, bk_refute(solver, core->at, core->count, TRIM, bound->calm)) ==
            BK_REFUTED) {
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
    bk_literals sides = {NULL, 0, 0};
    for (int32_t i = 0; i < core->count; i++) {
        int32_t side = core->at[i].side ^ 1;
        bound->terms.at[bound->term_of.at[side] - 1].weight -= weight;
        *BK_ADD(solver, sides) = (bk_literal){side, 0};
    }
    int32_t variable = variable_above(solver, &sides, least + least_step, most);
    bk_memory_release(&solver->memory, sides.at);
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

void bk_core_guided_together(bk_solver *solver, bk_core_guided *bound,
                             const bk_objective *objective)
{
    bk_backtrack(solver, 0);
    if (bound->together > 0)
        bk_linear_drop(solver, bound->together - 1);
    harden(solver, bound, objective);
    BK_VECTOR(bk_term) terms = {NULL, 0, 0};
    for (int32_t i = 0; i < bound->terms.count; i++)
        *BK_ADD(solver, terms) = bound->terms.at[i];
    *BK_ADD(solver, terms) = (bk_term){objective->side ^ 1, 1};
    bk_linear_new(solver, terms.at, terms.count, 0);
    bound->together = solver->linears.list.count;
    bk_memory_release(&solver->memory, terms.at);
    if (!solver->impossible)
        bk_settle_root(solver);
}

enum bk_outcome bk_core_guided_raise(bk_solver *solver, bk_core_guided *bound,
                                     const bk_objective *objective, int64_t budget)
{
    int64_t until = solver->effort.conflicts + budget;
    bk_literals assumptions = {NULL, 0, 0}, core = {NULL, 0, 0};
    enum bk_outcome outcome = BK_LIMIT;
    bound->until = until;
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

/* Upper bounds from above, lower bounds from below, in turns of growing length. */
#include "engine/optimise.h"

#include "engine/core_guided.h"
#include "engine/neighbourhood.h"
#include "engine/partial_schedules.h"

#include <assert.h>

enum {
    FIRST_TURN = 500,
    PROVABLE = 2, /* per cent between bound and best */
    LEAST_LISTS = 2,
    MANY_STARTS = 100, /* beyond: a better schedule is likelier than a proof, to the last */
    LEAST_LISTS_OF_MANY = 10,
    MOST_LISTS = 60,
    PATIENCE = 16, /* fruitless schedules by the square of the number of starts: then */
    FEWER = 8,     /* a part of the lists, and in the end of the neighbourhoods */
    /* A quarter of a turn's conflicts for the bound from below: the last refutation,
     * that nothing is better than the best, is the one that counts. */
    REFUTE_PART = 4,
    DISPATCH = 1000,
    DISPATCH_CASE = 100,
    LEAST_SHARE = 8,
    STATES = 800, /* partial schedules for a conflict: where there is hope they are soon done */
    STATES_FROM = 1000, /* a turn: most small problems are proved before */
    FEW_TERMS = 4       /* so many left: cores have said what they can, and where nothing better
                           was found in a turn all that is left is to refute it */
};

static int64_t sum_of(const bk_solver *solver, int level, const int32_t *value)
{
    return bk_problem_sum(solver->problem, level, value + 1);
}

static int64_t lb_of(const bk_solver *solver, const bk_objective *objective)
{
    return objective->offset + solver->trail.lb[objective->side];
}

/* objective <= sum, as a literal */
static bk_literal at_most(const bk_objective *objective, int64_t sum)
{
    return (bk_literal){objective->side ^ 1, -(int32_t)(sum - objective->offset)};
}

/* Looks for a sum of at most `target`; a refutation raises the bound. */
static enum bk_outcome search_below(bk_solver *solver, const bk_objective *objective,
                                    int64_t target, int64_t budget)
{
    bk_literal wanted = at_most(objective, target);
    enum bk_outcome outcome = bk_search(solver, &wanted, 1, budget);
    bk_backtrack(solver, 0);
    if (outcome != BK_REFUTED)
        return outcome;
    /* "at most u" failed, where u is the target or more: at least u + 1 */
    if (solver->analysis.core.count == 0)
        solver->impossible = true;
    else
        bk_raise_root(solver, bk_not(solver->analysis.core.at[0]));
    return outcome;
}

typedef struct progress {
    bk_solver *solver;
    int level;
    const bk_objective *objective;
    struct bk_lists *lists;
    struct bk_partials *partials;
    bool last;   /* nothing comes after */
    bool strict; /* the root takes nothing that is no better than the best */
    int64_t ub, lb;
    int64_t schedules; /* by lists, since the upper bound was found */
} progress;

/* On the last level the search may forget all that is no better; refuting that proves the best. Not
 * where cores bound a sum: they are what the terms cost by themselves, found and tried with less in
 * a few conflicts while the rest may be as bad as it likes, and in hundreds when all of it has to
 * be better, too. */
static void only_better(progress *p)
{
    if (p->strict && !p->solver->impossible)
        bk_raise_root(p->solver, at_most(p->objective, p->ub - 1));
}

/* Takes over what the last search found. True when nothing is left to do. */
static bool settle(progress *p)
{
    bk_solver *solver = p->solver;
    bk_backtrack(solver, 0);
    int64_t best = sum_of(solver, p->level, solver->found);
    bool better = best < p->ub;
    if (better) {
        if (p->lists && bk_lists_offer(solver, p->lists))
            best = sum_of(solver, p->level, solver->found);
        p->ub = best;
        p->schedules = 0;
        bk_keep_solution(solver);
        only_better(p);
    }
    int64_t bound = solver->impossible ? p->ub : lb_of(solver, p->objective);
    if (bound > p->ub)
        bound = p->ub;
    p->lb = bound > p->lb ? bound : p->lb;
    solver->best = p->ub;
    solver->bound = p->lb;
    return p->lb >= p->ub;
}

/* Better solutions one after the other, for about `turn` conflicts. */
static void improve_ub(progress *p, int64_t turn)
{
    int64_t until = p->solver->effort.conflicts + turn;
    while (p->solver->effort.conflicts < until && !settle(p))
        if (search_below(p->solver, p->objective, p->ub - 1, until - p->solver->effort.conflicts) !=
            BK_FOUND)
            break;
}

/* Better solutions near the best one. */
static void search_near(progress *p, int64_t turn)
{
    int64_t until = p->solver->effort.conflicts + turn;
    while (p->solver->effort.conflicts < until && !bk_is_spent(&p->solver->effort) && !settle(p)) {
        const int32_t *late = p->lists ? bk_lists_vary(p->solver, p->lists) : NULL;
        if (!bk_search_neighbourhoods(p->solver, p->objective, late, p->ub,
                                      until - p->solver->effort.conflicts))
            break;
    }
}

/* Refutes the bound itself, again and again: the destructive lower bound. */
static void refute_lb(progress *p, int64_t turn)
{
    int64_t until = p->solver->effort.conflicts + turn;
    while (p->solver->effort.conflicts < until && !settle(p))
        if (search_below(p->solver, p->objective, p->lb, until - p->solver->effort.conflicts) !=
            BK_REFUTED)
            break;
}

/* A small problem's lists have soon found what they can: what is left is mostly a proof. */
static bool exhausted(const progress *p)
{
    int64_t starts = p->solver->branching.open[BK_STARTS].count;
    return p->schedules > PATIENCE * starts * starts;
}

/* Schedules for a turn of conflicts; a schedule costs about a tenth of one. The further the best is
 * from a bound that stands still, the more likely there is something better, and the less likely a
 * proof. */
static int64_t lists_of_turn(const progress *p, int64_t turn, bool rising)
{
    if (exhausted(p))
        return LEAST_LISTS * turn / FEWER;
    int64_t per_cent = p->ub > 0 ? 100 * (p->ub - p->lb) / p->ub : 0;
    bool many = p->solver->branching.open[BK_STARTS].count > MANY_STARTS;
    int64_t least = many ? LEAST_LISTS_OF_MANY : LEAST_LISTS;
    int64_t lists = LEAST_LISTS + 10 * (per_cent - PROVABLE);
    if (lists < least || rising)
        lists = least;
    return turn * (lists < MOST_LISTS ? lists : MOST_LISTS);
}

/* Better schedules by lists. */
static void evolve_lists(progress *p, int64_t schedules)
{
    if (!p->lists)
        return;
    for (int64_t left = schedules; left > 0 && !settle(p); left -= 500) {
        if (bk_is_spent(&p->solver->effort))
            return;
        p->schedules += 500;
        bk_lists_evolve(p->solver, p->lists, (int32_t)(p->ub - p->objective->offset),
                        left < 500 ? (int32_t)left : 500);
    }
}

/* Partial schedules: all of them, or none where they are too many. */
static void search_partials(progress *p, int64_t turn)
{
    if (!p->partials || turn < STATES_FROM || bk_is_spent(&p->solver->effort) || settle(p))
        return;
    int32_t target = (int32_t)(p->ub - 1 - p->objective->offset);
    enum bk_outcome outcome = bk_partials_search(p->solver, p->partials, target, STATES * turn);
    if (outcome == BK_REFUTED || (outcome == BK_FOUND && !settle(p) && p->partials->best))
        p->solver->impossible = true;
}

static bool minimise_one(progress *p)
{
    int64_t bound = INT64_MIN; /* before the last turn */
    int64_t part = 1;          /* of the neighbourhoods */
    for (int64_t turn = FIRST_TURN; !settle(p); turn += turn / 2) {
        bool rising = p->lb > bound;
        bound = p->lb;
        search_partials(p, turn);
        evolve_lists(p, lists_of_turn(p, turn, rising));
        if (!settle(p))
            improve_ub(p, turn);
        if (!bk_is_spent(&p->solver->effort) && !settle(p))
            search_near(p, turn / 2 / part);
        part = !exhausted(p) ? 1 : part < FEWER ? 2 * part : part;
        if (!bk_is_spent(&p->solver->effort) && !settle(p))
            refute_lb(p, turn / REFUTE_PART);
        if (bk_is_spent(&p->solver->effort) && !settle(p))
            return false;
    }
    return true;
}

/* Better solutions by rate: at each moment what weighs most for its length. */
static void dispatch(progress *p)
{
    if (p->solver->completions.list.count == 0)
        return;
    p->solver->branching.by_rate = true;
    improve_ub(p, DISPATCH);
    p->solver->branching.by_rate = false;
}

/* The same in each case for which a bound was fitted: with what it puts beyond a night put there.
 */
static void dispatch_cases(progress *p)
{
    bk_solver *solver = p->solver;
    bk_completion_bounds *bounds = &solver->completions;
    bk_literals wanted = {NULL, 0, 0};
    for (int32_t i = 0; i < bounds->cases.count; i++) {
        bk_case it = bounds->cases.at[i];
        for (int32_t v = 0; v < bounds->starts; v++)
            solver->branching.rate[v] = it.rate[v];
        bk_memory_release(&solver->memory, it.rate);
        if (settle(p))
            continue;
        wanted.count = 0;
        *BK_ADD(solver, wanted) = at_most(p->objective, p->ub - 1);
        for (int32_t k = it.first; k < it.first + it.count; k++)
            *BK_ADD(solver, wanted) = bounds->put.at[k];
        solver->branching.by_rate = true;
        bk_search(solver, wanted.at, wanted.count, DISPATCH_CASE);
        solver->branching.by_rate = false;
    }
    bounds->cases.count = bounds->put.count = 0;
    bk_memory_release(&solver->memory, wanted.at);
}

static bool minimise_sum(progress *p)
{
    bk_core_guided bound = {0};
    int64_t share = 1; /* of a turn for better solutions near, less while there are none */
    dispatch(p);
    bk_core_guided_begin(p->solver, &bound, p->objective);
    for (int64_t turn = FIRST_TURN; !settle(p); turn += turn / 2) {
        if (bk_is_spent(&p->solver->effort))
            return false;
        int64_t ub = p->ub;
        bool refuting = bound.terms.count <= FEW_TERMS && share > 1;
        improve_ub(p, turn);
        dispatch_cases(p);
        if (!settle(p) && !refuting)
            search_near(p, turn / share);
        if (settle(p))
            break;
        if (!refuting && bk_core_guided_raise(p->solver, &bound, p->objective, turn) == BK_FOUND) {
            settle(p);
            p->lb = p->ub;
            break;
        }
        if (p->solver->best < p->ub)
            p->ub = p->solver->best;
        share = p->ub < ub ? 1 : share < LEAST_SHARE ? 2 * share : share;
        if (!p->solver->impossible)
            bk_core_guided_together(p->solver, &bound, p->objective);
    }
    return true;
}

bool bk_optimise(bk_solver *solver, int level, const bk_objective *objective,
                 struct bk_lists *lists, int64_t *bound)
{
    progress p = {.solver = solver,
                  .level = level,
                  .objective = objective,
                  .lists = lists,
                  .last = level == solver->problem->levels - 1,
                  .strict = level == solver->problem->levels - 1 && objective->terms.count == 1,
                  .ub = sum_of(solver, level, solver->solution),
                  .lb = INT64_MIN};
    bool proved = true;
    bk_backtrack(solver, 0);
    solver->level = level;
    solver->best = p.ub;
    solver->bound = objective->side >= 0 ? lb_of(solver, objective) : p.ub;
    for (int32_t v = 0; v < solver->trail.sides / 2; v++)
        solver->found[v] = solver->solution[v];
    if (lists && p.strict && objective->side >= 0)
        p.partials = bk_partials_new(solver, lists);
    if (objective->side >= 0) {
        only_better(&p);
        proved = objective->terms.count == 1 ? minimise_one(&p) : minimise_sum(&p);
        settle(&p);
    } else {
        p.lb = p.ub;
    }
    assert(!proved || objective->side < 0 || p.lb >= p.ub);
    *bound = p.lb < p.ub ? p.lb : p.ub;
    if (!proved || objective->side < 0 || p.last)
        return proved;
    bk_raise_root(solver, at_most(objective, p.ub));
    return true;
}

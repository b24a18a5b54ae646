/* The way down to a level's least: better solutions from above, proofs from
 * below, in turns of growing length. */
#include "engine/solver.h"

enum {
    FIRST_TURN = 500,
    PROVABLE = 2, /* per cent between bound and best */
    LEAST_LISTS = 2,
    MOST_LISTS = 60,
    PATIENCE = 64, /* fruitless schedules by the square of the number of starts */
    /* A quarter of a turn's conflicts for the bound from below: the last refutation,
     * that nothing is better than the best, is the one that counts. */
    ASCEND_PART = 4,
    DISPATCH = 1000
};

static int64_t reached(const bk_solver *solver, int level, const int32_t *value)
{
    return bk_problem_sum(solver->problem, level, value + 1);
}

static int64_t lower(const bk_solver *solver, const bk_objective *objective)
{
    return objective->offset + solver->bound[objective->side];
}

static void tell(bk_solver *solver, int level, int64_t best, int64_t bound)
{
    if (solver->options->progress)
        solver->options->progress(solver->options->progress_context, level, best, bound);
}

/* objective <= sum, as a literal */
static bk_literal at_most(const bk_objective *objective, int64_t sum)
{
    return (bk_literal){objective->side ^ 1, -(int32_t)(sum - objective->offset)};
}

/* Looks for a sum of at most `target`; a refutation raises the bound. */
static enum bk_outcome probe(bk_solver *solver, const bk_objective *objective, int64_t target,
                             int64_t budget)
{
    bk_literal wanted = at_most(objective, target);
    enum bk_outcome outcome = bk_search(solver, &wanted, 1, budget);
    bk_backtrack(solver, 0);
    if (outcome != BK_REFUTED)
        return outcome;
    /* "at most u" failed, where u is the target or more: at least u + 1 */
    if (solver->core.count == 0)
        solver->impossible = true;
    else
        bk_raise_root(solver, bk_not(solver->core.at[0]));
    return outcome;
}

typedef struct progress {
    bk_solver *solver;
    int level;
    const bk_objective *objective;
    struct bk_lists *lists;
    bool last; /* nothing comes after: only better solutions still matter */
    int64_t best, bound;
    int64_t schedules; /* by lists, since the best was found */
} progress;

/* On the last level the search may forget all that is no better; refuting that
 * proves the best. */
static void only_better(progress *p)
{
    if (p->last && !p->solver->impossible)
        bk_raise_root(p->solver, at_most(p->objective, p->best - 1));
}

/* Takes over what the last search found. True when nothing is left to do. */
static bool settle(progress *p)
{
    bk_solver *solver = p->solver;
    bk_backtrack(solver, 0);
    int64_t best = reached(solver, p->level, solver->found);
    bool better = best < p->best;
    if (better) {
        if (p->lists && bk_lists_offer(solver, p->lists))
            best = reached(solver, p->level, solver->found);
        p->best = best;
        p->schedules = 0;
        bk_keep_solution(solver);
        only_better(p);
    }
    int64_t bound = solver->impossible ? p->best : lower(solver, p->objective);
    if (bound > p->best)
        bound = p->best;
    if (better || bound > p->bound) {
        p->bound = bound > p->bound ? bound : p->bound;
        tell(solver, p->level, p->best, p->bound);
    }
    return p->bound >= p->best;
}

static bool out_of_time(const bk_solver *solver)
{
    return solver->stopped || solver->conflicts >= solver->limit;
}

/* Better solutions one after the other, for about `turn` conflicts. */
static void descend(progress *p, int64_t turn)
{
    int64_t until = p->solver->conflicts + turn;
    while (p->solver->conflicts < until && !settle(p))
        if (probe(p->solver, p->objective, p->best - 1, until - p->solver->conflicts) != BK_FOUND)
            break;
}

/* Better solutions near the best one. */
static void improve(progress *p, int64_t turn)
{
    int64_t until = p->solver->conflicts + turn;
    while (p->solver->conflicts < until && !out_of_time(p->solver) && !settle(p)) {
        const int32_t *late = p->lists ? bk_lists_vary(p->solver, p->lists) : NULL;
        if (!bk_improve(p->solver, p->objective, late, p->best, until - p->solver->conflicts))
            break;
    }
}

/* Refutes the bound itself, again and again: the destructive lower bound. */
static void ascend(progress *p, int64_t turn)
{
    int64_t until = p->solver->conflicts + turn;
    while (p->solver->conflicts < until && !settle(p))
        if (probe(p->solver, p->objective, p->bound, until - p->solver->conflicts) !=
            BK_REFUTED)
            break;
}

/* Schedules for each conflict of a turn; a schedule costs about a tenth of one. The
 * further the best is from a bound that stands still, the more likely there is
 * something better, and the less likely a proof; but a small problem's lists have soon
 * found what they can. */
static int64_t lists_a_conflict(const progress *p, bool rising)
{
    int64_t per_cent = p->best > 0 ? 100 * (p->best - p->bound) / p->best : 0;
    int64_t lists = LEAST_LISTS + 10 * (per_cent - PROVABLE);
    int64_t starts = p->solver->open[BK_STARTS].count;
    if (lists < LEAST_LISTS || rising || p->schedules > PATIENCE * starts * starts)
        return LEAST_LISTS;
    return lists < MOST_LISTS ? lists : MOST_LISTS;
}

/* Better schedules by lists. */
static void try_lists(progress *p, int64_t schedules)
{
    if (!p->lists)
        return;
    for (int64_t left = schedules; left > 0 && !settle(p); left -= 500) {
        if (out_of_time(p->solver))
            return;
        p->schedules += 500;
        bk_lists_improve(p->solver, p->lists, (int32_t)(p->best - p->objective->offset),
                         left < 500 ? (int32_t)left : 500);
    }
}

static bool minimise_one(progress *p)
{
    int64_t bound = INT64_MIN; /* before the last turn */
    for (int64_t turn = FIRST_TURN; !settle(p); turn += turn / 2) {
        int64_t lists = lists_a_conflict(p, p->bound > bound);
        bound = p->bound;
        try_lists(p, lists * turn);
        if (!settle(p))
            descend(p, turn);
        if (!out_of_time(p->solver) && !settle(p))
            improve(p, turn / 2);
        if (!out_of_time(p->solver) && !settle(p))
            ascend(p, turn / ASCEND_PART);
        if (out_of_time(p->solver) && !settle(p))
            return false;
    }
    return true;
}

/* Better solutions by rate: at each moment what weighs most for its length. */
static void dispatch(progress *p)
{
    if (p->solver->completions.count == 0)
        return;
    p->solver->dispatch = true;
    descend(p, DISPATCH);
    p->solver->dispatch = false;
}

static bool minimise_sum(progress *p)
{
    bk_cores cores = {0};
    dispatch(p);
    bk_cores_begin(p->solver, &cores, p->objective);
    for (int64_t turn = FIRST_TURN; !settle(p); turn += turn / 2) {
        if (out_of_time(p->solver))
            return false;
        descend(p, turn);
        if (!settle(p))
            improve(p, turn);
        if (settle(p))
            break;
        if (bk_cores_step(p->solver, &cores, p->objective, turn) == BK_FOUND) {
            settle(p);
            p->bound = p->best;
            break;
        }
    }
    return true;
}

bool bk_minimise(bk_solver *solver, int level, bk_objective *objective, struct bk_lists *lists,
                 int64_t *bound)
{
    progress p = {.solver = solver,
                  .level = level,
                  .objective = objective,
                  .lists = lists,
                  .last = level == solver->problem->levels - 1,
                  .best = reached(solver, level, solver->solution),
                  .bound = INT64_MIN};
    bool proved = true;
    bk_backtrack(solver, 0);
    for (int32_t v = 0; v < solver->sides / 2; v++)
        solver->found[v] = solver->solution[v];
    if (objective->side >= 0) {
        only_better(&p);
        proved = objective->terms.count == 1 ? minimise_one(&p) : minimise_sum(&p);
        settle(&p);
    } else {
        p.bound = p.best;
    }
    *bound = p.bound < p.best ? p.bound : p.best;
    if (!proved || objective->side < 0 || p.last)
        return proved;
    bk_raise_root(solver, at_most(objective, p.best));
    return true;
}

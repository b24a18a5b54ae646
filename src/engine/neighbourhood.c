/* Most variables may only go down from where they are, some are free. */
#include "engine/neighbourhood.h"

#include "engine/solver.h"

enum { PER_NEIGHBOURHOOD = 200, LEAST_WIDTH = 50, MOST_WIDTH = 1000 };

typedef struct neighbourhood {
    bk_literals assumptions;
    int32_t from, to;    /* free: what the solution has between */
    int32_t behind;      /* how far down those behind have to go */
    const int32_t *late; /* where those behind may go down from, or NULL */
} neighbourhood;

/* A variable may go down, or must by some steps, from the solution's value. */
static void hold(bk_solver *solver, neighbourhood *near, int32_t side)
{
    int32_t v = side / 2, value = solver->solution[v];
    if (value >= near->from && value <= near->to)
        return;
    /* What lies behind need not move as long as it stays clear of its latest place. */
    bool behind = value > near->to;
    if (near->late && behind)
        value = near->late[v];
    int32_t most = (side & 1 ? -value : value) - (behind ? near->behind : 0);
    if (most < solver->trail.lb[side])
        most = solver->trail.lb[side];
    *BK_ADD(solver, near->assumptions) = (bk_literal){side ^ 1, -most};
}

/* A window around the solution's value of one of the variables. */
static void place(bk_solver *solver, neighbourhood *near, int32_t centre, int32_t span)
{
    int32_t width = near->late ? (int32_t)((int64_t)span * solver->neighbourhood_width / 2000)
                               : span / (3 + (int32_t)bk_random_below(&solver->random, 10)) + 1;
    near->from = solver->solution[centre] - width;
    near->to = solver->solution[centre] + width;
}

/* As wide as the conflicts of one neighbourhood mostly decide. */
static void adapt_width(bk_solver *solver, enum bk_outcome outcome)
{
    int32_t step = solver->neighbourhood_width / 50 + 1;
    if (outcome == BK_REFUTED && solver->neighbourhood_width < MOST_WIDTH)
        solver->neighbourhood_width += step;
    else if (outcome == BK_LIMIT && solver->neighbourhood_width > LEAST_WIDTH)
        solver->neighbourhood_width -= step;
}

bool bk_search_neighbourhoods(bk_solver *solver, const bk_objective *objective, const int32_t *late,
                              int64_t best, int64_t budget)
{
    int64_t until = solver->effort.conflicts + budget;
    const bk_term *terms = objective->terms.at;
    bool one = objective->terms.count == 1, better = false;
    neighbourhood near = {.behind = one, .late = late};
    const bk_ints *starts = &solver->branching.open[BK_STARTS];
    int32_t count = one ? starts->count : objective->terms.count;
    int32_t lowest = INT32_MAX, highest = INT32_MIN;
    for (int32_t i = 0; i < count; i++) {
        int32_t value = solver->solution[one ? starts->at[i] : terms[i].side / 2];
        lowest = value < lowest ? value : lowest;
        highest = value > highest ? value : highest;
    }
    for (int32_t tries = 0; solver->effort.conflicts < until && tries < 50 && !better; tries++) {
        int32_t chosen = (int32_t)bk_random_below(&solver->random, (uint32_t)count);
        place(solver, &near, one ? starts->at[chosen] : terms[chosen].side / 2, highest - lowest);
        near.assumptions.count = 0;
        *BK_ADD(solver, near.assumptions) =
            (bk_literal){objective->side ^ 1, -(int32_t)(best - 1 - objective->offset)};
        for (int32_t i = 0; i < count; i++)
            if (!one || !solver->branching.owner[starts->at[i]])
                hold(solver, &near, one ? 2 * starts->at[i] : terms[i].side);
        enum bk_outcome outcome =
            bk_search(solver, near.assumptions.at, near.assumptions.count, PER_NEIGHBOURHOOD);
        bk_backtrack(solver, 0);
        better = outcome == BK_FOUND;
        adapt_width(solver, outcome);
        if (outcome == BK_REFUTED && solver->analysis.core.count == 0)
            solver->impossible = true;
        if (solver->impossible || bk_is_spent(&solver->effort))
            break;
        if (outcome == BK_REFUTED && solver->analysis.core.count == 1 &&
            solver->analysis.core.at[0].side == (objective->side ^ 1)) {
            bk_raise_root(solver, bk_not(solver->analysis.core.at[0]));
            break;
        }
    }
    bk_memory_release(&solver->memory, near.assumptions.at);
    return better;
}

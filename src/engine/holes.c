/* An interval that would overlap a hole starts after it, or ends before it. */
#include "engine/solver.h"

static bool fact_holds(const bk_solver *solver, int32_t hole)
{
    return bk_is_true(solver, solver->holes.fact.at[hole]);
}

int32_t bk_first_hole_beyond(const bk_solver *solver, const bk_hole_table *table, int32_t time)
{
    int32_t low = table->first, high = table->first + table->count;
    while (low < high) {
        int32_t middle = low + (high - low) / 2;
        if (solver->holes.reach.at[middle] > time)
            high = middle;
        else
            low = middle + 1;
    }
    return low;
}

/* The same, looked at first where it was the last time. */
static int32_t first_beyond_near(const bk_solver *solver, const bk_hole_table *table, int32_t *near,
                                 int32_t time)
{
    const int32_t *reach = solver->holes.reach.at;
    int32_t at = *near, end = table->first + table->count;
    if (at >= table->first && at <= end && (at == table->first || reach[at - 1] <= time) &&
        (at == end || reach[at] > time))
        return at;
    return *near = bk_first_hole_beyond(solver, table, time);
}

/* The first hole that starts at `time` or later, likewise. */
static int32_t first_from_near(const bk_solver *solver, const bk_hole_table *table, int32_t *near,
                               int32_t time)
{
    const int32_t *from = solver->holes.from.at;
    int32_t at = *near, end = table->first + table->count;
    if (at >= table->first && at <= end && (at == table->first || from[at - 1] < time) &&
        (at == end || from[at] >= time))
        return at;
    int32_t low = table->first, high = end;
    while (low < high) {
        int32_t middle = low + (high - low) / 2;
        if (from[middle] < time)
            low = middle + 1;
        else
            high = middle;
    }
    return *near = low;
}

/* For different variables: is there surely something between them? Only then do they keep clear. */
static bool not_empty(const bk_solver *solver, const bk_interval *interval)
{
    return solver->trail.lb[interval->to] + interval->to_plus >
           bk_ub(solver, interval->from) + interval->from_plus;
}

bool bk_propagate_holes(bk_solver *solver, int32_t index)
{
    bk_interval *interval = &solver->holes.intervals.at[index];
    const bk_hole_table *table = &solver->holes.tables.at[interval->table];
    const int32_t *hole_from = solver->holes.from.at, *hole_to = solver->holes.to.at;
    int32_t end = table->first + table->count;
    if (interval->from != interval->to && !not_empty(solver, interval))
        return true;
    /* Forward: an end beyond a hole's start needs a start after its end. */
    int32_t from = solver->trail.lb[interval->from] + interval->from_plus;
    for (int32_t h = first_beyond_near(solver, table, &interval->near_from, from); h < end; h++) {
        int32_t to = solver->trail.lb[interval->to] + interval->to_plus;
        if (hole_from[h] >= to)
            break;
        if (hole_to[h] <= from || !fact_holds(solver, h))
            continue;
        from = hole_to[h];
        if (!bk_raise(solver, (bk_literal){interval->from, from - interval->from_plus},
                      (bk_reason){BK_BY_HOLE, index, h}))
            return false;
    }
    /* Backward: a start before a hole's end needs an end before its start. */
    int32_t to = bk_ub(solver, interval->to) + interval->to_plus;
    int32_t low = first_from_near(solver, table, &interval->near_to, to);
    for (int32_t h = low - 1; h >= table->first; h--) {
        int32_t most = bk_ub(solver, interval->from) + interval->from_plus;
        if (solver->holes.reach.at[h] <= most)
            break;
        if (hole_to[h] <= most || hole_from[h] >= to || !fact_holds(solver, h))
            continue;
        to = hole_from[h];
        if (!bk_raise(solver, (bk_literal){interval->to ^ 1, interval->to_plus - to},
                      (bk_reason){BK_BY_HOLE, index, h}))
            return false;
    }
    return true;
}

void bk_explain_hole(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event)
{
    bk_interval interval = solver->holes.intervals.at[reason.index];
    bk_literal fact = solver->holes.fact.at[reason.aux];
    bk_premise(solver, fact);
    if (interval.from != interval.to) {
        int32_t start = -bk_lb_before(solver, interval.from ^ 1, event);
        bk_premise(solver, (bk_literal){interval.from ^ 1, -start});
        bk_premise(solver,
                   (bk_literal){interval.to, start + interval.from_plus + 1 - interval.to_plus});
    }
    if (literal.side == interval.from)
        bk_premise(solver, (bk_literal){interval.to,
                                        solver->holes.from.at[reason.aux] + 1 - interval.to_plus});
    else
        bk_premise(solver, (bk_literal){interval.from ^ 1,
                                        interval.from_plus + 1 - solver->holes.to.at[reason.aux]});
}

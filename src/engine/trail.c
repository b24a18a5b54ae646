/* Bounds, the trail of their changes, and levels. */
#include "engine/solver.h"

#include <assert.h>

enum { NEAR = 8 }; /* events of a side that are looked at one by one, before jumps pay */

static void widen(bk_solver *solver)
{
    int32_t had = solver->trail.room, room = had < 64 ? 64 : had * 2;
    size_t h = (size_t)had, r = (size_t)room;
#define WIDEN(array)                                                                               \
    solver->array = bk_memory_resize(&solver->memory, solver->array, h, r, sizeof *solver->array)
    WIDEN(trail.lb);
    WIDEN(trail.last);
    WIDEN(clauses.watched);
    WIDEN(lags.conditional_at);
    WIDEN(linears.uses);
    WIDEN(queue.wakes);
    WIDEN(analysis.need_value);
    WIDEN(analysis.need_event);
    WIDEN(analysis.need_lock);
#undef WIDEN
#define WIDEN(array)                                                                               \
    solver->array =                                                                                \
        bk_memory_resize(&solver->memory, solver->array, h / 2, r / 2, sizeof *solver->array)
    WIDEN(branching.kind);
    WIDEN(branching.owner);
    WIDEN(branching.rate);
    WIDEN(branching.phase);
    WIDEN(solution);
    WIDEN(found);
#undef WIDEN
    solver->trail.room = room;
}

int32_t bk_variable_new(bk_solver *solver, int32_t lb, int32_t ub, enum bk_branch_kind kind)
{
    if (solver->trail.sides + 2 > solver->trail.room)
        widen(solver);
    assert(bk_level_now(solver) == 0);
    int32_t side = solver->trail.sides;
    solver->trail.sides += 2;
    solver->trail.lb[side] = lb;
    solver->trail.lb[side + 1] = -ub;
    solver->trail.last[side] = solver->trail.last[side + 1] = -1;
    solver->analysis.need_event[side] = solver->analysis.need_event[side + 1] = -1;
    solver->branching.kind[side / 2] = (unsigned char)kind;
    *BK_ADD(solver, solver->branching.open[kind]) = side / 2;
    solver->branching.open_count[kind] = solver->branching.open[kind].count;
    solver->branching.phase[side / 2] = lb;
    if (lb > ub)
        solver->impossible = true;
    return side / 2;
}

void bk_new_level(bk_solver *solver)
{
    bk_level *level = BK_ADD(solver, solver->trail.levels);
    *level = (bk_level){.trail = solver->trail.events.count,
                        .popped = solver->activity.popped.count,
                        .windows = solver->edges.windows.count};
    for (int kind = 0; kind < BK_KINDS; kind++)
        level->open[kind] = solver->branching.open_count[kind];
}

/* Where an event behind this one of its side jumps to: two jumps of one length are followed by one
 * as long as both and a step (Myers, An applicative random-access stack, 1983). */
static int32_t jump_behind(const bk_solver *solver, int32_t previous)
{
    const bk_event *events = solver->trail.events.at;
    if (previous < 0 || events[previous].before < NEAR)
        return -1;
    int32_t first = events[previous].jump;
    if (first < 0)
        return previous;
    int32_t second = events[first].jump;
    int32_t to_second = second < 0 ? NEAR - 1 : events[second].before;
    return events[previous].before - events[first].before == events[first].before - to_second
               ? second
               : previous;
}

bool bk_raise(bk_solver *solver, bk_literal literal, bk_reason reason)
{
    int32_t side = literal.side;
    assert(side >= 0 && side < solver->trail.sides);
    if (solver->trail.lb[side] >= literal.value)
        return true;
    int32_t other = solver->trail.lb[side ^ 1];
    if (other >= 1 - literal.value) {
        /* The least value that already conflicts asks least of the reason. */
        bk_literal least = {side, 1 - other};
        solver->analysis.premises.count = 0;
        bk_explain(solver, least, reason, solver->trail.events.count);
        bk_conflict_is_premises(solver);
        *BK_ADD(solver, solver->analysis.conflict) = (bk_literal){side ^ 1, other};
        return false;
    }
    int32_t source = bk_lag_source(solver, reason);
    int32_t cause = source < 0 ? -1 : solver->trail.last[source];
    int32_t depth = cause >= 0 ? solver->trail.events.at[cause].lag_depth + 1 : source >= 0;
    if (depth >= 16 && (depth & (depth - 1)) == 0 && bk_lag_cycle(solver, side, reason))
        return false;
    int32_t previous = solver->trail.last[side];
    bk_event *event = BK_ADD(solver, solver->trail.events);
    *event = (bk_event){.side = side,
                        .value = literal.value,
                        .old = solver->trail.lb[side],
                        .previous = previous,
                        .jump = jump_behind(solver, previous),
                        .before = previous < 0 ? 0 : solver->trail.events.at[previous].before + 1,
                        .level = bk_level_now(solver),
                        .lag_cause = cause,
                        .lag_depth = depth,
                        .reason = reason};
    solver->trail.last[side] = solver->trail.events.count - 1;
    solver->trail.lb[side] = literal.value;
    return true;
}

void bk_backtrack(bk_solver *solver, int32_t level)
{
    if (level >= bk_level_now(solver))
        return;
    assert(level >= 0);
    bk_level to = solver->trail.levels.at[level + 1];
    for (int32_t i = solver->trail.events.count - 1; i >= to.trail; i--) {
        const bk_event *event = &solver->trail.events.at[i];
        int32_t side = event->side;
        if (!solver->branching.phases_kept && solver->trail.lb[side] == -solver->trail.lb[side ^ 1])
            solver->branching.phase[side / 2] =
                side & 1 ? -solver->trail.lb[side] : solver->trail.lb[side];
        if (i < solver->trail.propagated)
            bk_linears_follow(solver, side, event->value, event->old);
        solver->trail.lb[side] = event->old;
        solver->trail.last[side] = event->previous;
    }
    solver->trail.events.count = to.trail;
    solver->edges.windows.count = to.windows;
    for (int kind = 0; kind < BK_KINDS; kind++)
        solver->branching.open_count[kind] = to.open[kind];
    if (solver->trail.propagated > to.trail)
        solver->trail.propagated = to.trail;
    solver->trail.levels.count = level + 1;
    bk_activity_restore(solver, to.popped);
    bk_forget_starts(solver);
    bk_queue_clear(solver);
}

int32_t bk_lb_before(const bk_solver *solver, int32_t side, int32_t event)
{
    int32_t e = solver->trail.last[side], value = solver->trail.lb[side];
    while (e >= event) {
        const bk_event *at = &solver->trail.events.at[e];
        value = at->old;
        e = at->jump >= event ? at->jump : at->previous;
    }
    return value;
}

int32_t bk_event_of(const bk_solver *solver, bk_literal literal)
{
    int32_t e = solver->trail.last[literal.side];
    for (int near = 0; e >= 0 && near < NEAR && solver->trail.events.at[e].old >= literal.value;
         near++)
        e = solver->trail.events.at[e].previous;
    while (e >= 0) {
        const bk_event *at = &solver->trail.events.at[e];
        if (at->old < literal.value)
            break;
        bool far = at->jump >= 0 && solver->trail.events.at[at->jump].old >= literal.value;
        e = far ? at->jump : at->previous;
    }
    return e;
}

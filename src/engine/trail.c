/* Bounds, the trail of their changes, and levels. */
#include "engine/solver.h"

static void widen(bk_solver *solver)
{
    int32_t had = solver->sides_room, room = had < 64 ? 64 : had * 2;
    size_t h = (size_t)had, r = (size_t)room;
#define WIDEN(array) solver->array = bk_solver_resize(solver, solver->array, h, r, sizeof *solver->array)
    WIDEN(bound);
    WIDEN(last);
    WIDEN(thresholds);
    WIDEN(conditional_at);
    WIDEN(linear_at);
    WIDEN(wakes);
    WIDEN(need_value);
    WIDEN(need_event);
    WIDEN(need_lock);
#undef WIDEN
#define WIDEN(array)                                                                               \
    solver->array = bk_solver_resize(solver, solver->array, h / 2, r / 2, sizeof *solver->array)
    WIDEN(kind);
    WIDEN(owner);
    WIDEN(rate);
    WIDEN(guide);
    WIDEN(solution);
    WIDEN(found);
#undef WIDEN
    solver->sides_room = room;
}

int32_t bk_solver_var(bk_solver *solver, int32_t least, int32_t most, int kind)
{
    if (solver->sides + 2 > solver->sides_room)
        widen(solver);
    int32_t side = solver->sides;
    solver->sides += 2;
    solver->bound[side] = least;
    solver->bound[side + 1] = -most;
    solver->last[side] = solver->last[side + 1] = -1;
    solver->need_event[side] = solver->need_event[side + 1] = -1;
    solver->kind[side / 2] = (unsigned char)kind;
    *BK_ADD(solver, solver->open[kind]) = side / 2;
    solver->open_count[kind] = solver->open[kind].count;
    solver->guide[side / 2] = least;
    if (least > most)
        solver->impossible = true;
    return side / 2;
}

void bk_solver_kind(bk_solver *solver, int32_t variable, int kind)
{
    bk_ints *from = &solver->open[solver->kind[variable]];
    int32_t i = 0;
    while (from->at[i] != variable)
        i++;
    from->at[i] = from->at[--from->count];
    solver->open_count[solver->kind[variable]] = from->count;
    solver->kind[variable] = (unsigned char)kind;
    *BK_ADD(solver, solver->open[kind]) = variable;
    solver->open_count[kind] = solver->open[kind].count;
}

void bk_new_level(bk_solver *solver)
{
    bk_level *level = BK_ADD(solver, solver->levels);
    *level = (bk_level){.trail = solver->trail.count,
                        .popped = solver->popped.count,
                        .windows = solver->windows.count};
    for (int kind = 0; kind < BK_KINDS; kind++)
        level->open[kind] = solver->open_count[kind];
}

/* A chain of lags that comes back to the side it left has raised it: a cycle of
 * positive length, which no bound would stop soon. The conflict is what the
 * cycle's lags depend on. */
static bool lag_cycle(bk_solver *solver, int32_t side, bk_reason reason)
{
    bool found = false;
    for (int pass = 0; pass < 2; pass++) {
        int32_t event = solver->trail.count;
        bk_reason by = reason;
        for (;;) {
            int32_t cause;
            if (by.kind == BK_BY_LAG) {
                cause = by.index;
            } else if (by.kind == BK_BY_CONDITIONAL && by.aux < 2) {
                const bk_conditional *lag = &solver->conditionals.at[by.index];
                cause = by.aux == 0 ? lag->from : lag->to ^ 1;
                if (pass == 1)
                    for (int32_t i = 0; i < lag->when_count; i++)
                        *BK_ADD(solver, solver->conflict) = solver->when.at[lag->first + i];
            } else {
                return false;
            }
            if (cause == side) {
                found = true;
                break;
            }
            int32_t e = solver->last[cause];
            while (e >= event)
                e = solver->trail.at[e].previous;
            if (e < 0)
                return false;
            event = e;
            by = solver->trail.at[e].reason;
        }
        if (!found)
            return false;
        if (pass == 0)
            solver->conflict.count = 0;
    }
    return true;
}

static int32_t depth_of(bk_solver *solver, bk_reason reason)
{
    int32_t cause;
    if (reason.kind == BK_BY_LAG) {
        cause = reason.index;
    } else if (reason.kind == BK_BY_CONDITIONAL && reason.aux < 2) {
        const bk_conditional *lag = &solver->conditionals.at[reason.index];
        cause = reason.aux == 0 ? lag->from : lag->to ^ 1;
    } else {
        return 0;
    }
    int32_t e = solver->last[cause];
    return e < 0 ? 1 : solver->trail.at[e].lag_depth + 1;
}

bool bk_raise(bk_solver *solver, bk_literal literal, bk_reason reason)
{
    int32_t side = literal.side;
    if (solver->bound[side] >= literal.value)
        return true;
    int32_t other = solver->bound[side ^ 1];
    if (other >= 1 - literal.value) {
        /* The least value that already conflicts asks least of the reason. */
        bk_literal least = {side, 1 - other};
        solver->why.count = 0;
        bk_explain(solver, least, reason, solver->trail.count);
        solver->conflict.count = 0;
        for (int32_t i = 0; i < solver->why.count; i++)
            *BK_ADD(solver, solver->conflict) = solver->why.at[i];
        *BK_ADD(solver, solver->conflict) = (bk_literal){side ^ 1, other};
        return false;
    }
    int32_t depth = depth_of(solver, reason);
    if (depth >= 16 && (depth & (depth - 1)) == 0 && lag_cycle(solver, side, reason))
        return false;
    bk_event *event = BK_ADD(solver, solver->trail);
    *event = (bk_event){.side = side,
                        .value = literal.value,
                        .old = solver->bound[side],
                        .previous = solver->last[side],
                        .level = bk_level_now(solver),
                        .lag_depth = depth,
                        .reason = reason};
    solver->last[side] = solver->trail.count - 1;
    solver->bound[side] = literal.value;
    return true;
}

void bk_backtrack(bk_solver *solver, int32_t level)
{
    if (level >= bk_level_now(solver))
        return;
    bk_level to = solver->levels.at[level + 1];
    for (int32_t i = solver->trail.count - 1; i >= to.trail; i--) {
        const bk_event *event = &solver->trail.at[i];
        int32_t side = event->side;
        if (!solver->guided && solver->bound[side] == -solver->bound[side ^ 1])
            solver->guide[side / 2] = side & 1 ? -solver->bound[side] : solver->bound[side];
        if (i < solver->head) {
            const bk_linear_uses *uses = &solver->linear_at[side];
            for (int32_t k = 0; k < uses->count; k++)
                solver->linears.at[uses->at[k].linear].least -=
                    (int64_t)uses->at[k].weight * (event->value - event->old);
        }
        solver->bound[side] = event->old;
        solver->last[side] = event->previous;
    }
    solver->trail.count = to.trail;
    solver->windows.count = to.windows;
    for (int kind = 0; kind < BK_KINDS; kind++)
        solver->open_count[kind] = to.open[kind];
    if (solver->head > to.trail)
        solver->head = to.trail;
    solver->levels.count = level + 1;
    bk_atoms_restore(solver, to.popped);
    for (int p = 0; p < BK_PRIORITIES; p++) {
        for (int32_t i = solver->queue_head[p]; i < solver->queue[p].count; i++)
            solver->propagators.at[solver->queue[p].at[i]].queued = false;
        solver->queue[p].count = solver->queue_head[p] = 0;
    }
}

int32_t bk_bound_before(const bk_solver *solver, int32_t side, int32_t event)
{
    int32_t e = solver->last[side], value = solver->bound[side];
    while (e >= event) {
        value = solver->trail.at[e].old;
        e = solver->trail.at[e].previous;
    }
    return value;
}

int32_t bk_event_of(const bk_solver *solver, bk_literal literal)
{
    int32_t e = solver->last[literal.side];
    while (e >= 0 && solver->trail.at[e].old >= literal.value)
        e = solver->trail.at[e].previous;
    return e;
}

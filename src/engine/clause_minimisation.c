/* Recursive minimisation of the learned clause, with a memory of what was tried. */
#include "engine/solver.h"

enum { DEEPEST = 200 };

static void memo_room(bk_solver *solver)
{
    while (solver->analysis.memo_stamp.count < solver->trail.events.count) {
        *BK_ADD(solver, solver->analysis.memo_stamp) = 0;
        *BK_ADD(solver, solver->analysis.memo_good) = 0;
        *BK_ADD(solver, solver->analysis.memo_bad) = 0;
    }
}

/* Do the other needed literals imply this one? By its reason, to a limited
 * depth. `top`: the literal itself is in the set (and taken out of it by the
 * caller for the while). A stronger literal of a later event may serve, but is
 * then locked: otherwise two literals could each go for the other's sake. */
static bool implied(bk_solver *solver, bk_literal literal, bool top, int depth)
{
    int32_t side = literal.side;
    int32_t event = bk_event_of(solver, literal);
    if (event < 0)
        return true;
    if (!top && solver->analysis.need_event[side] >= 0 &&
        solver->analysis.need_value[side] >= literal.value) {
        if (solver->analysis.need_event[side] != event)
            solver->analysis.need_lock[side] = solver->analysis.stamp;
        return true;
    }
    bk_reason reason = solver->trail.events.at[event].reason;
    if (reason.kind == BK_BY_DECISION || depth >= DEEPEST)
        return false;
    /* No needed literal of its level: nothing there can imply it. */
    if (solver->analysis.level_stamp.at[solver->trail.events.at[event].level] !=
        solver->analysis.level_now)
        return false;
    if (solver->analysis.memo_stamp.at[event] == solver->analysis.stamp) {
        if (literal.value <= solver->analysis.memo_good.at[event])
            return true;
        if (literal.value >= solver->analysis.memo_bad.at[event])
            return false;
    } else {
        solver->analysis.memo_stamp.at[event] = solver->analysis.stamp;
        solver->analysis.memo_good.at[event] = INT32_MIN;
        solver->analysis.memo_bad.at[event] = INT32_MAX;
    }
    int32_t start = solver->analysis.premises.count;
    bk_explain(solver, literal, reason, event);
    bool fine = true;
    for (int32_t i = start; fine && i < solver->analysis.premises.count; i++)
        fine = implied(solver, solver->analysis.premises.at[i], false, depth + 1);
    solver->analysis.premises.count = start;
    if (fine)
        solver->analysis.memo_good.at[event] = literal.value;
    else if (!top)
        solver->analysis.memo_bad.at[event] = literal.value;
    return fine;
}

void bk_minimise_clause(bk_solver *solver, int32_t asserting)
{
    memo_room(solver);
    solver->analysis.stamp++;
    solver->analysis.level_now++;
    while (solver->analysis.level_stamp.count < solver->trail.levels.count)
        *BK_ADD(solver, solver->analysis.level_stamp) = 0;
    for (int32_t i = 0; i < solver->analysis.needed.count; i++)
        solver->analysis.level_stamp.at[bk_level_needed(solver, solver->analysis.needed.at[i])] =
            solver->analysis.level_now;
    int32_t kept = 0;
    for (int32_t i = 0; i < solver->analysis.needed.count; i++) {
        int32_t side = solver->analysis.needed.at[i];
        int32_t event = solver->analysis.need_event[side];
        solver->analysis.premises.count = 0;
        if (side != asserting && solver->analysis.need_lock[side] != solver->analysis.stamp) {
            solver->analysis.need_event[side] = -1;
            if (implied(solver, (bk_literal){side, solver->analysis.need_value[side]}, true, 0))
                continue;
            solver->analysis.need_event[side] = event;
        }
        solver->analysis.needed.at[kept++] = side;
    }
    solver->analysis.needed.count = kept;
}

/* Conflict analysis to the first unique implication point.
 *
 * The conflict is a set of true literals; one literal a side at most, the
 * strongest asked for. The latest is replaced by its reason until a single one
 * of the current level is left. A literal may ask less than its event gave: its
 * reason then answers for the lesser value only. */
#include "engine/solver.h"

/* Adds a literal to the set; those true at the root need no mention. */
static void need(bk_solver *solver, bk_literal literal)
{
    if (literal.side < 0)
        return;
    int32_t side = literal.side;
    if (solver->need_event[side] >= 0 && solver->need_value[side] >= literal.value)
        return;
    int32_t event = bk_event_of(solver, literal);
    if (event < 0)
        return;
    if (solver->need_event[side] < 0)
        *BK_ADD(solver, solver->needed) = side;
    solver->need_value[side] = literal.value;
    solver->need_event[side] = event;
}

static void forget(bk_solver *solver, int32_t side)
{
    solver->need_event[side] = -1;
}

static void need_all(bk_solver *solver, const bk_literals *literals)
{
    for (int32_t i = 0; i < literals->count; i++)
        need(solver, literals->at[i]);
}

/* Drops forgotten and repeated sides from the list. */
static void tidy(bk_solver *solver)
{
    int32_t kept = 0;
    for (int32_t i = 0; i < solver->needed.count; i++) {
        int32_t side = solver->needed.at[i];
        if (solver->need_event[side] < 0)
            continue;
        solver->need_event[side] = -2 - solver->need_event[side]; /* seen */
        solver->needed.at[kept++] = side;
    }
    solver->needed.count = kept;
    for (int32_t i = 0; i < kept; i++)
        solver->need_event[solver->needed.at[i]] = -2 - solver->need_event[solver->needed.at[i]];
}

static int32_t level_of(const bk_solver *solver, int32_t side)
{
    return solver->trail.at[solver->need_event[side]].level;
}

static void clear(bk_solver *solver)
{
    for (int32_t i = 0; i < solver->needed.count; i++)
        solver->need_event[solver->needed.at[i]] = -1;
    solver->needed.count = 0;
}

/* Replaces everything of levels <= level by decisions. */
static void expand_to_decisions(bk_solver *solver, int32_t level)
{
    int32_t end = level + 1 < solver->levels.count ? solver->levels.at[level + 1].trail
                                                   : solver->trail.count;
    for (int32_t i = end - 1; i >= 0; i--) {
        int32_t side = solver->trail.at[i].side;
        if (solver->need_event[side] != i ||
            solver->trail.at[i].reason.kind == BK_BY_DECISION)
            continue;
        bk_literal literal = {side, solver->need_value[side]};
        forget(solver, side);
        solver->why.count = 0;
        bk_explain(solver, literal, solver->trail.at[i].reason, i);
        need_all(solver, &solver->why);
    }
}

static void core_from_needed(bk_solver *solver)
{
    expand_to_decisions(solver, 1);
    tidy(solver);
    solver->core.count = 0;
    for (int32_t i = 0; i < solver->needed.count; i++) {
        int32_t side = solver->needed.at[i];
        *BK_ADD(solver, solver->core) = (bk_literal){side, solver->need_value[side]};
    }
    clear(solver);
}

void bk_analyze_assumption(bk_solver *solver, bk_literal failed)
{
    need(solver, bk_not(failed));
    core_from_needed(solver);
    bool same = false;
    for (int32_t i = 0; i < solver->core.count; i++)
        same = same || (solver->core.at[i].side == failed.side &&
                        solver->core.at[i].value >= failed.value);
    if (!same)
        *BK_ADD(solver, solver->core) = failed;
}

/* ------------------------------------------------------------ minimisation */

enum { DEEPEST = 200 };

static void memo_room(bk_solver *solver)
{
    while (solver->memo_stamp.count < solver->trail.count) {
        *BK_ADD(solver, solver->memo_stamp) = 0;
        *BK_ADD(solver, solver->memo_good) = 0;
        *BK_ADD(solver, solver->memo_bad) = 0;
    }
}

/* Do the other needed literals imply this one? By its reason, to a limited
 * depth. `top`: the literal itself is in the set (and taken out of it by the
 * caller for the while). A stronger literal of a later event may serve, but is
 * then locked: otherwise two literals could each go for the other's sake. */
static bool implied(bk_solver *solver, bk_literal literal, bool top, int depth)
{
    int32_t side = literal.side;
    if (side < 0)
        return true;
    int32_t event = bk_event_of(solver, literal);
    if (event < 0)
        return true;
    if (!top && solver->need_event[side] >= 0 && solver->need_value[side] >= literal.value) {
        if (solver->need_event[side] != event)
            solver->need_lock[side] = solver->stamp;
        return true;
    }
    bk_reason reason = solver->trail.at[event].reason;
    if (reason.kind == BK_BY_DECISION || depth >= DEEPEST)
        return false;
    /* No needed literal of its level: nothing there can imply it. */
    if (solver->level_stamp.at[solver->trail.at[event].level] != solver->level_now)
        return false;
    if (solver->memo_stamp.at[event] == solver->stamp) {
        if (literal.value <= solver->memo_good.at[event])
            return true;
        if (literal.value >= solver->memo_bad.at[event])
            return false;
    } else {
        solver->memo_stamp.at[event] = solver->stamp;
        solver->memo_good.at[event] = INT32_MIN;
        solver->memo_bad.at[event] = INT32_MAX;
    }
    int32_t start = solver->why.count;
    bk_explain(solver, literal, reason, event);
    bool fine = true;
    for (int32_t i = start; fine && i < solver->why.count; i++)
        fine = implied(solver, solver->why.at[i], false, depth + 1);
    solver->why.count = start;
    if (fine)
        solver->memo_good.at[event] = literal.value;
    else if (!top)
        solver->memo_bad.at[event] = literal.value;
    return fine;
}

static void minimise(bk_solver *solver, int32_t asserting)
{
    memo_room(solver);
    solver->stamp++;
    solver->level_now++;
    while (solver->level_stamp.count < solver->levels.count)
        *BK_ADD(solver, solver->level_stamp) = 0;
    for (int32_t i = 0; i < solver->needed.count; i++)
        solver->level_stamp.at[level_of(solver, solver->needed.at[i])] = solver->level_now;
    int32_t kept = 0;
    for (int32_t i = 0; i < solver->needed.count; i++) {
        int32_t side = solver->needed.at[i];
        int32_t event = solver->need_event[side];
        solver->why.count = 0;
        if (side != asserting && solver->need_lock[side] != solver->stamp) {
            solver->need_event[side] = -1;
            if (implied(solver, (bk_literal){side, solver->need_value[side]}, true, 0))
                continue;
            solver->need_event[side] = event;
        }
        solver->needed.at[kept++] = side;
    }
    solver->needed.count = kept;
}

static int32_t count_levels(bk_solver *solver)
{
    int32_t count = 0;
    solver->level_now++;
    for (int32_t i = 0; i < solver->needed.count; i++) {
        int32_t *stamp = &solver->level_stamp.at[level_of(solver, solver->needed.at[i])];
        if (*stamp != solver->level_now) {
            *stamp = solver->level_now;
            count++;
        }
    }
    return count;
}

/* ----------------------------------------------------------------- learning */

bool bk_analyze(bk_solver *solver, int32_t *back, int32_t *distance)
{
    clear(solver);
    need_all(solver, &solver->conflict);
    int32_t level = 0;
    for (int32_t i = 0; i < solver->needed.count; i++)
        if (level_of(solver, solver->needed.at[i]) > level)
            level = level_of(solver, solver->needed.at[i]);
    if (level <= 1) {
        core_from_needed(solver);
        return false;
    }
    bk_backtrack(solver, level);
    int32_t floor = solver->levels.at[level].trail;
    int32_t current = 0;
    for (int32_t i = 0; i < solver->needed.count; i++)
        current += solver->need_event[solver->needed.at[i]] >= floor;
    int32_t i = solver->trail.count, asserting = -1;
    for (;;) {
        do
            i--;
        while (solver->need_event[solver->trail.at[i].side] != i);
        int32_t side = solver->trail.at[i].side;
        bk_literal literal = {side, solver->need_value[side]};
        bk_atoms_bump(solver, literal, false);
        if (current == 1) {
            asserting = side;
            break;
        }
        forget(solver, side);
        current--;
        solver->why.count = 0;
        bk_explain(solver, literal, solver->trail.at[i].reason, i);
        for (int32_t k = 0; k < solver->why.count; k++) {
            bk_literal premise = solver->why.at[k];
            if (premise.side < 0)
                continue;
            int32_t before = solver->need_event[premise.side];
            need(solver, premise);
            int32_t now = solver->need_event[premise.side];
            current += (now >= floor) - (before >= floor);
        }
    }
    if (solver->expand_base)
        expand_to_decisions(solver, 1);
    tidy(solver);
    minimise(solver, asserting);
    *distance = count_levels(solver);
    solver->clause.count = 0;
    *BK_ADD(solver, solver->clause) =
        bk_not((bk_literal){asserting, solver->need_value[asserting]});
    *back = 0;
    int32_t highest = -1;
    for (int32_t k = 0; k < solver->needed.count; k++) {
        int32_t side = solver->needed.at[k];
        bk_literal literal = {side, solver->need_value[side]};
        int32_t its = level_of(solver, side);
        bk_atoms_bump(solver, literal, its > 1);
        if (side == asserting)
            continue;
        *BK_ADD(solver, solver->clause) = bk_not(literal);
        if (its > *back) {
            *back = its;
            highest = solver->clause.count - 1;
        }
    }
    if (highest > 1) {
        bk_literal swap = solver->clause.at[1];
        solver->clause.at[1] = solver->clause.at[highest];
        solver->clause.at[highest] = swap;
    }
    clear(solver);
    return true;
}

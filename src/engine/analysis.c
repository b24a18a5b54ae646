/* The conflict is a set of true literals; one literal a side at most, the
 * strongest asked for. The latest is replaced by its reason until a single one
 * of the current level is left. A literal may ask less than its event gave: its
 * reason then answers for the lesser value only. */
#include "engine/solver.h"

#include <assert.h>

void bk_conflict_is_premises(bk_solver *solver)
{
    bk_analysis *analysis = &solver->analysis;
    analysis->conflict.count = 0;
    for (int32_t i = 0; i < analysis->premises.count; i++) {
        assert(bk_is_true(solver, analysis->premises.at[i]));
        *BK_ADD(solver, analysis->conflict) = analysis->premises.at[i];
    }
}

/* Adds a literal to the set; those true at the root need no mention. */
static void need(bk_solver *solver, bk_literal literal)
{
    int32_t side = literal.side;
    if (solver->analysis.need_event[side] >= 0 &&
        solver->analysis.need_value[side] >= literal.value)
        return;
    int32_t event = bk_event_of(solver, literal);
    if (event < 0)
        return;
    if (solver->analysis.need_event[side] < 0)
        *BK_ADD(solver, solver->analysis.needed) = side;
    solver->analysis.need_value[side] = literal.value;
    solver->analysis.need_event[side] = event;
}

static void forget(bk_solver *solver, int32_t side)
{
    solver->analysis.need_event[side] = -1;
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
    for (int32_t i = 0; i < solver->analysis.needed.count; i++) {
        int32_t side = solver->analysis.needed.at[i];
        if (solver->analysis.need_event[side] < 0)
            continue;
        solver->analysis.need_event[side] = -2 - solver->analysis.need_event[side]; /* seen */
        solver->analysis.needed.at[kept++] = side;
    }
    solver->analysis.needed.count = kept;
    for (int32_t i = 0; i < kept; i++)
        solver->analysis.need_event[solver->analysis.needed.at[i]] =
            -2 - solver->analysis.need_event[solver->analysis.needed.at[i]];
}

int32_t bk_level_needed(const bk_solver *solver, int32_t side)
{
    return solver->trail.events.at[solver->analysis.need_event[side]].level;
}

static void clear(bk_solver *solver)
{
    for (int32_t i = 0; i < solver->analysis.needed.count; i++)
        solver->analysis.need_event[solver->analysis.needed.at[i]] = -1;
    solver->analysis.needed.count = 0;
}

/* Replaces everything of levels <= level by decisions. */
static void expand_to_decisions(bk_solver *solver, int32_t level)
{
    int32_t end = level + 1 < solver->trail.levels.count ? solver->trail.levels.at[level + 1].trail
                                                         : solver->trail.events.count;
    for (int32_t i = end - 1; i >= 0; i--) {
        int32_t side = solver->trail.events.at[i].side;
        if (solver->analysis.need_event[side] != i ||
            solver->trail.events.at[i].reason.kind == BK_BY_DECISION)
            continue;
        bk_literal literal = {side, solver->analysis.need_value[side]};
        forget(solver, side);
        solver->analysis.premises.count = 0;
        bk_explain(solver, literal, solver->trail.events.at[i].reason, i);
        need_all(solver, &solver->analysis.premises);
    }
}

static void core_from_needed(bk_solver *solver)
{
    expand_to_decisions(solver, 1);
    tidy(solver);
    solver->analysis.core.count = 0;
    for (int32_t i = 0; i < solver->analysis.needed.count; i++) {
        int32_t side = solver->analysis.needed.at[i];
        *BK_ADD(solver, solver->analysis.core) =
            (bk_literal){side, solver->analysis.need_value[side]};
    }
    clear(solver);
}

void bk_analyze_assumption(bk_solver *solver, bk_literal failed)
{
    need(solver, bk_not(failed));
    core_from_needed(solver);
    bool same = false;
    for (int32_t i = 0; i < solver->analysis.core.count; i++)
        same = same || (solver->analysis.core.at[i].side == failed.side &&
                        solver->analysis.core.at[i].value >= failed.value);
    if (!same)
        *BK_ADD(solver, solver->analysis.core) = failed;
}

static int32_t count_levels(bk_solver *solver)
{
    int32_t count = 0;
    solver->analysis.level_now++;
    for (int32_t i = 0; i < solver->analysis.needed.count; i++) {
        int32_t *stamp = &solver->analysis.level_stamp
                              .at[bk_level_needed(solver, solver->analysis.needed.at[i])];
        if (*stamp != solver->analysis.level_now) {
            *stamp = solver->analysis.level_now;
            count++;
        }
    }
    return count;
}

/* The highest level of what is needed. */
static int32_t conflict_level(const bk_solver *solver)
{
    int32_t level = 0;
    for (int32_t i = 0; i < solver->analysis.needed.count; i++)
        if (bk_level_needed(solver, solver->analysis.needed.at[i]) > level)
            level = bk_level_needed(solver, solver->analysis.needed.at[i]);
    return level;
}

/* Replaces a needed literal by its reason. Returns by how much that changes the number of those
 * needed from event `floor` on, the literal itself apart. */
static int32_t resolve(bk_solver *solver, bk_literal literal, int32_t event, int32_t floor)
{
    int32_t more = 0;
    forget(solver, literal.side);
    solver->analysis.premises.count = 0;
    bk_explain(solver, literal, solver->trail.events.at[event].reason, event);
    for (int32_t k = 0; k < solver->analysis.premises.count; k++) {
        bk_literal premise = solver->analysis.premises.at[k];
        int32_t before = solver->analysis.need_event[premise.side];
        need(solver, premise);
        int32_t now = solver->analysis.need_event[premise.side];
        more += (now >= floor) - (before >= floor);
    }
    return more;
}

/* Replaces what is needed of the current level, the latest first, until one literal of it is left:
 * the first unique implication point. Returns its side. */
static int32_t first_unique_point(bk_solver *solver, int32_t level)
{
    bk_analysis *analysis = &solver->analysis;
    int32_t floor = solver->trail.levels.at[level].trail, current = 0;
    for (int32_t i = 0; i < analysis->needed.count; i++)
        current += analysis->need_event[analysis->needed.at[i]] >= floor;
    for (int32_t i = solver->trail.events.count;;) {
        do
            i--;
        while (analysis->need_event[solver->trail.events.at[i].side] != i);
        int32_t side = solver->trail.events.at[i].side;
        bk_literal literal = {side, analysis->need_value[side]};
        bk_activity_bump(solver, literal, false);
        if (current == 1)
            return side;
        current += resolve(solver, literal, i, floor) - 1;
        assert(current >= 1); /* a reason never speaks of what came after */
    }
}

/* The clause: what is needed, negated, the asserting literal first and one of the highest level
 * below it second. Returns that level. */
static int32_t write_clause(bk_solver *solver, int32_t asserting)
{
    bk_analysis *analysis = &solver->analysis;
    int32_t back = 0, highest = -1;
    analysis->clause.count = 0;
    *BK_ADD(solver, analysis->clause) =
        bk_not((bk_literal){asserting, analysis->need_value[asserting]});
    for (int32_t k = 0; k < analysis->needed.count; k++) {
        int32_t side = analysis->needed.at[k];
        bk_literal literal = {side, analysis->need_value[side]};
        int32_t its = bk_level_needed(solver, side);
        bk_activity_bump(solver, literal, its > 1);
        if (side == asserting)
            continue;
        *BK_ADD(solver, analysis->clause) = bk_not(literal);
        if (its > back) {
            back = its;
            highest = analysis->clause.count - 1;
        }
    }
    if (highest > 1) {
        bk_literal swap = analysis->clause.at[1];
        analysis->clause.at[1] = analysis->clause.at[highest];
        analysis->clause.at[highest] = swap;
    }
    return back;
}

bool bk_analyze(bk_solver *solver, int32_t *back, int32_t *lbd)
{
    clear(solver);
    need_all(solver, &solver->analysis.conflict);
    int32_t level = conflict_level(solver);
    if (level <= 1) {
        core_from_needed(solver);
        return false;
    }
    assert(level <= bk_level_now(solver));
    bk_backtrack(solver, level);
    int32_t asserting = first_unique_point(solver, level);
    if (solver->analysis.expand_assumption)
        expand_to_decisions(solver, 1);
    tidy(solver);
    bk_minimise_clause(solver, asserting);
    *lbd = count_levels(solver);
    *back = write_clause(solver, asserting);
    clear(solver);
    return true;
}

/* Which way to go next. */
#include "engine/solver.h"

void bk_branch_as(bk_solver *solver, int32_t variable, enum bk_branch_kind kind)
{
    bk_ints *from = &solver->branching.open[solver->branching.kind[variable]];
    int32_t i = 0;
    while (from->at[i] != variable)
        i++;
    from->at[i] = from->at[--from->count];
    solver->branching.open_count[solver->branching.kind[variable]] = from->count;
    solver->branching.kind[variable] = (unsigned char)kind;
    *BK_ADD(solver, solver->branching.open[kind]) = variable;
    solver->branching.open_count[kind] = solver->branching.open[kind].count;
}

/* The literal or its negation, as the saved phase has it. */
static bk_literal towards_phase(const bk_solver *solver, const bk_atom *atom)
{
    bk_literal literal = {atom->side, atom->value};
    return solver->branching.phase[atom->side / 2] >= atom->value ? literal : bk_not(literal);
}

static bool fixed(const bk_solver *solver, int32_t variable)
{
    return solver->trail.lb[2 * variable] == -solver->trail.lb[2 * variable + 1];
}

static void close_at(bk_solver *solver, int kind, int32_t place)
{
    int32_t *open = solver->branching.open[kind].at, last = --solver->branching.open_count[kind];
    int32_t variable = open[place];
    open[place] = open[last];
    open[last] = variable;
}

/* Of the open starts the earliest; then, to dispatch, the one of the highest rate;
 * then the one that must start earliest. A choice counts as its owner's start, once
 * that is fixed. */
static int32_t earliest_start(bk_solver *solver)
{
    int32_t best = -1, best_least = 0, best_most = 0;
    int64_t best_rate = 0;
    for (int32_t i = 0; i < solver->branching.open_count[BK_STARTS];) {
        int32_t v = solver->branching.open[BK_STARTS].at[i], owner = solver->branching.owner[v];
        if (fixed(solver, v)) {
            close_at(solver, BK_STARTS, i);
            continue;
        }
        i++;
        int32_t time = owner ? owner : v;
        if (owner && !fixed(solver, owner))
            continue;
        int32_t least = solver->trail.lb[2 * time], most = -solver->trail.lb[2 * time + 1];
        int64_t rate = solver->branching.by_rate ? solver->branching.rate[time] : 0;
        bool better = best < 0 || least < best_least;
        if (!better && least == best_least)
            better = rate > best_rate ||
                     (rate == best_rate && (most < best_most || (most == best_most && v < best)));
        if (better) {
            best = v;
            best_least = least;
            best_most = most;
            best_rate = rate;
        }
    }
    return best;
}

/* The last open variable of a kind, or -1. */
static int32_t any_open(bk_solver *solver, int kind)
{
    while (solver->branching.open_count[kind] > 0) {
        int32_t v = solver->branching.open[kind].at[solver->branching.open_count[kind] - 1];
        if (!fixed(solver, v))
            return v;
        solver->branching.open_count[kind]--;
    }
    return -1;
}

bool bk_decide(bk_solver *solver, bk_literal *decision)
{
    while (solver->activity.heap.count > 0 && !solver->branching.by_rate) {
        const bk_atom *atom = &solver->activity.atoms.at[solver->activity.heap.at[0]];
        bk_literal literal = {atom->side, atom->value};
        bool open = !bk_is_true(solver, literal) && !bk_is_false(solver, literal);
        int32_t taken = bk_activity_pop(solver);
        if (open) {
            *decision = towards_phase(solver, &solver->activity.atoms.at[taken]);
            bk_new_level(solver);
            *BK_ADD(solver, solver->activity.popped) = taken;
            return true;
        }
        *BK_ADD(solver, solver->activity.popped) = taken;
    }
    bk_new_level(solver);
    int32_t variable = earliest_start(solver);
    for (int kind = BK_BOOLEANS; variable < 0 && kind < BK_KINDS; kind++)
        variable = any_open(solver, kind);
    if (variable < 0)
        return false;
    if (solver->branching.owner[variable] &&
        (!solver->branching.phases_kept || solver->branching.phase[variable] > 0))
        *decision = (bk_literal){2 * variable, 1};
    else
        *decision = (bk_literal){2 * variable + 1, -solver->trail.lb[2 * variable]};
    return true;
}

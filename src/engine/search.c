/* The main loop: propagate, learn, restart, decide. */
#include "engine/solver.h"

enum { RESTART_UNIT = 50, FIRST_REDUCE = 2000, MORE_REDUCE = 300 };

static int64_t luby(int64_t i)
{
    int64_t size = 1, power = 0;
    while (size < i + 1) {
        size = 2 * size + 1;
        power++;
    }
    while (size - 1 != i) {
        size = (size - 1) / 2;
        power--;
        i %= size;
    }
    return INT64_C(1) << power;
}

bool bk_raise_root(bk_solver *solver, bk_literal literal)
{
    bk_backtrack(solver, 0);
    if (solver->impossible || bk_is_false(solver, literal) ||
        !bk_raise(solver, literal, (bk_reason){BK_BY_DECISION, 0, 0}) || !bk_propagate(solver))
        solver->impossible = true;
    if (solver->impossible)
        return false;
    /* Nothing asks again why the root is as it is. */
    for (int32_t i = 0; i < solver->trail.count; i++)
        solver->last[solver->trail.at[i].side] = -1;
    solver->trail.count = solver->head = solver->windows.count = 0;
    return true;
}

static bool settle_root(bk_solver *solver)
{
    return bk_raise_root(solver, (bk_literal){0, 0});
}

/* Level 1: the assumptions. False when they cannot hold together. */
static bool assume(bk_solver *solver, const bk_literal *assumptions, int32_t count)
{
    bk_new_level(solver);
    for (int32_t i = 0; i < count; i++) {
        bk_literal literal = assumptions[i];
        if (bk_is_true(solver, literal))
            continue;
        if (bk_is_false(solver, literal)) {
            bk_analyze_assumption(solver, literal);
            return false;
        }
        bk_raise(solver, literal, (bk_reason){BK_BY_DECISION, 0, 0});
        if (!bk_propagate(solver)) {
            int32_t back, distance;
            bk_analyze(solver, &back, &distance);
            return false;
        }
    }
    bk_wake_all(solver);
    if (!bk_propagate(solver)) {
        int32_t back, distance;
        bk_analyze(solver, &back, &distance);
        return false;
    }
    return true;
}

static void keep_found(bk_solver *solver)
{
    for (int32_t v = 0; v < solver->sides / 2; v++)
        solver->found[v] = solver->bound[2 * v];
}

void bk_keep_solution(bk_solver *solver)
{
    bk_orders_follow(solver);
    for (int32_t v = 0; v < solver->sides / 2; v++)
        solver->guide[v] = solver->solution[v] = solver->found[v];
    solver->guided = true;
}

bool bk_stopped(bk_solver *solver)
{
    const bk_solve_options *options = solver->options;
    if (solver->work >= solver->work_limit)
        solver->stopped = true;
    if (!solver->stopped && options && options->stop && options->stop(options->stop_context))
        solver->stopped = true;
    return solver->stopped;
}

/* Half of the learned clauses go when there are too many; each time more stay. */
static void reduce(bk_solver *solver)
{
    if (solver->reduce_at == 0)
        solver->reduce_at = FIRST_REDUCE;
    if (solver->learned.count < solver->reduce_at)
        return;
    bk_clauses_reduce(solver);
    bk_atoms_collect(solver);
    solver->reduce_at += MORE_REDUCE;
    if (solver->reduce_at < solver->learned.count + MORE_REDUCE)
        solver->reduce_at = solver->learned.count + MORE_REDUCE;
}

enum bk_outcome bk_search(bk_solver *solver, const bk_literal *assumptions, int32_t count,
                          int64_t budget)
{
    int64_t start = solver->conflicts, restart_at = start, restarts = 0;
    solver->core.count = 0;
    solver->expand_base = count == 1;
    if (!settle_root(solver))
        return BK_REFUTED;
    if (bk_stopped(solver))
        return BK_LIMIT;
    if (!assume(solver, assumptions, count)) {
        solver->conflicts++; /* an answer has its price, also where there was no search */
        return BK_REFUTED;
    }
    reduce(solver);
    restart_at += RESTART_UNIT * luby(restarts++);
    for (;;) {
        if (!bk_propagate(solver)) {
            int32_t back, distance;
            solver->conflicts++;
            if (!bk_analyze(solver, &back, &distance))
                return BK_REFUTED;
            if (solver->clause.count == 1) {
                bk_backtrack(solver, 0);
                if (!bk_raise_root(solver, solver->clause.at[0])) {
                    solver->core.count = 0;
                    return BK_REFUTED;
                }
                if (!assume(solver, assumptions, count))
                    return BK_REFUTED;
            } else {
                bk_backtrack(solver, back < 1 ? 1 : back);
                bk_clause_learned(solver, distance);
            }
            bk_atoms_decay(solver);
            continue;
        }
        if (solver->conflicts - start >= budget || solver->conflicts >= solver->limit ||
            ((solver->decisions & 63) == 0 && bk_stopped(solver)))
            return BK_LIMIT;
        if (solver->conflicts >= restart_at) {
            restart_at = solver->conflicts + RESTART_UNIT * luby(restarts++);
            bk_backtrack(solver, 1);
            reduce(solver);
        }
        if (solver->probe < solver->when.count) {
            bk_backtrack(solver, 1);
            if (bk_next_probe(solver))
                continue;
            solver->probe = INT32_MAX;
        }
        bk_literal decision;
        solver->decisions++;
        solver->work += solver->open_count[BK_STARTS] / 4; /* looked at for the earliest */
        if (!bk_decide(solver, &decision)) {
            keep_found(solver);
            return BK_FOUND;
        }
        bk_raise(solver, decision, (bk_reason){BK_BY_DECISION, 0, 0});
    }
}

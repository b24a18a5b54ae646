/* The main loop: propagate, learn, restart, decide. */
#include "engine/lagrangian.h"
#include "engine/solver.h"

#include <assert.h>

enum { RESTART_UNIT = 50, MOST_PROBES = 4000, ONE_BY_ONE = 150 };

/* 1, 1, 2, 1, 1, 2, 4, ... (Luby, Sinclair, Zuckerman, "Optimal speedup of Las Vegas algorithms",
 * Information Processing Letters 47, 1993). */
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
    for (int32_t i = 0; i < solver->trail.events.count; i++)
        solver->trail.last[solver->trail.events.at[i].side] = -1;
    solver->trail.events.count = solver->trail.propagated = solver->edges.windows.count = 0;
    return true;
}

bool bk_settle_root(bk_solver *solver)
{
    return bk_raise_root(solver, (bk_literal){0, 0});
}

/* False when they do not hold together; the core says which. */
static bool propagate_assumptions(bk_solver *solver)
{
    int32_t back, lbd;
    if (bk_propagate(solver))
        return true;
    bk_analyze(solver, &back, &lbd);
    return false;
}

/* Level 1: the assumptions. False when they cannot hold together. Few are propagated one by one,
 * so that a core stops at the first that fails; with many that would cost more than it is worth. */
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
        if (count <= ONE_BY_ONE && !propagate_assumptions(solver))
            return false;
    }
    bk_wake_all(solver);
    return propagate_assumptions(solver);
}

static void keep_found(bk_solver *solver)
{
    for (int32_t v = 0; v < solver->trail.sides / 2; v++) {
        assert(bk_lb(solver, 2 * v) == bk_ub(solver, 2 * v));
        solver->found[v] = bk_lb(solver, 2 * v);
    }
}

void bk_keep_solution(bk_solver *solver)
{
    bk_disjunctions_follow(solver);
    for (int32_t v = 0; v < solver->trail.sides / 2; v++)
        solver->branching.phase[v] = solver->solution[v] = solver->found[v];
    solver->branching.phases_kept = true;
    solver->solved = true;
}

/* Tells who looks on. True when that one wants an end. */
static bool ask_onlooker(bk_solver *solver)
{
    bk_effort *effort = &solver->effort;
    bk_onlooker *onlooker = solver->options->onlooker;
    if (!onlooker || onlooker->over)
        return onlooker;
    bk_standing standing = {.value = solver->solved ? solver->solution + 1 : NULL,
                            .level = solver->solved ? solver->level : -1,
                            .best = solver->best,
                            .bound = solver->bound,
                            .conflicts = effort->conflicts - effort->told_conflicts,
                            .work = effort->work - effort->told_work};
    effort->told_conflicts = effort->conflicts;
    effort->told_work = effort->work;
    onlooker->over = !onlooker->look(onlooker, &standing);
    return onlooker->over;
}

bool bk_stopped(bk_solver *solver)
{
    const bk_solve_options *options = solver->options;
    if (solver->effort.work >= solver->effort.work_limit)
        solver->effort.stopped = true;
    if (!solver->effort.stopped && options->stop && options->stop(options->stop_context))
        solver->effort.stopped = true;
    if (!solver->effort.stopped && ask_onlooker(solver))
        solver->effort.stopped = true;
    return solver->effort.stopped;
}

/* Conditions of lags are tried one by one before the search proper (failed literals: Freeman,
 * "Improvements to propositional satisfiability search algorithms", 1995): one that two lags
 * refute at once (an order that a maximum wait forbids) is then known, and need not be found
 * out minute by minute. False when all were tried. */
static bool probe(bk_solver *solver)
{
    bk_lags *lags = &solver->lags;
    if (lags->probed >= lags->conditions.count)
        return false;
    bk_backtrack(solver, 1);
    while (lags->probed < lags->conditions.count && lags->probed < MOST_PROBES) {
        bk_literal condition = lags->conditions.at[lags->probed++];
        if (bk_is_true(solver, condition) || bk_is_false(solver, condition))
            continue;
        bk_new_level(solver);
        bk_raise(solver, condition, (bk_reason){BK_BY_DECISION, 0, 0});
        return true;
    }
    lags->probed = INT32_MAX;
    return false;
}

/* ----------------------------------------------------------- the main loop */

typedef struct searching {
    bk_solver *solver;
    const bk_literal *assumptions;
    int32_t count;
    int64_t until;      /* in conflicts */
    int64_t restart_at; /* in conflicts */
    int64_t restarts;
    int64_t calm;       /* decisions after a conflict; <= 0: no limit */
    int64_t calm_until; /* in decisions */
} searching;

static bool spent(const searching *s)
{
    bk_effort *effort = &s->solver->effort;
    return effort->conflicts >= s->until || effort->conflicts >= effort->conflict_limit ||
           (s->calm > 0 && effort->decisions >= s->calm_until) ||
           ((effort->decisions & 63) == 0 && bk_stopped(s->solver));
}

static void schedule_restart(searching *s, int64_t from)
{
    s->restart_at = from + RESTART_UNIT * luby(s->restarts++);
}

static void restart(searching *s)
{
    if (s->solver->effort.conflicts < s->restart_at)
        return;
    schedule_restart(s, s->solver->effort.conflicts);
    bool noted = bk_note_case(s->solver);
    bk_backtrack(s->solver, 1);
    if (noted)
        bk_fit_to_case(s->solver);
    bk_clauses_reduce(s->solver);
}

/* What was learned is a bound: the root has it from now on, and the assumptions anew. */
static bool learn_bound(searching *s)
{
    bk_solver *solver = s->solver;
    bk_backtrack(solver, 0);
    if (!bk_raise_root(solver, solver->analysis.clause.at[0])) {
        solver->analysis.core.count = 0;
        return false;
    }
    return assume(solver, s->assumptions, s->count);
}

/* Learns from the conflict and goes back to where what was learned says something new. False when
 * it refutes the assumptions. */
static bool learn(searching *s)
{
    bk_solver *solver = s->solver;
    int32_t back, lbd;
    solver->effort.conflicts++;
    s->calm_until = solver->effort.decisions + s->calm;
    if (!bk_analyze(solver, &back, &lbd))
        return false;
    if (solver->analysis.clause.count == 1) {
        if (!learn_bound(s))
            return false;
    } else {
        bk_backtrack(solver, back < 1 ? 1 : back);
        bk_clause_learned(solver, lbd);
    }
    bk_activity_decay(solver);
    return true;
}

/* False when everything is decided. */
static bool decide(bk_solver *solver)
{
    bk_literal decision;
    solver->effort.decisions++;
    if (!bk_decide(solver, &decision))
        return false;
    bk_raise(solver, decision, (bk_reason){BK_BY_DECISION, 0, 0});
    return true;
}

static enum bk_outcome search(searching *s)
{
    bk_solver *solver = s->solver;
    for (;;) {
        if (!bk_propagate(solver)) {
            if (!learn(s))
                return BK_REFUTED;
            continue;
        }
        if (spent(s))
            return BK_LIMIT;
        restart(s);
        if (probe(solver))
            continue;
        if (!decide(solver))
            return BK_FOUND;
    }
}

enum bk_outcome bk_refute(bk_solver *solver, const bk_literal *assumptions, int32_t count,
                          int64_t budget, int64_t calm)
{
    int64_t start = solver->effort.conflicts;
    searching s = {.solver = solver,
                   .assumptions = assumptions,
                   .count = count,
                   .calm = calm,
                   .calm_until = solver->effort.decisions + calm};
    s.until = budget < INT64_MAX - start ? start + budget : INT64_MAX;
    solver->analysis.core.count = 0;
    solver->analysis.expand_assumption = count == 1;
    if (!bk_settle_root(solver))
        return BK_REFUTED;
    if (bk_stopped(solver))
        return BK_LIMIT;
    if (!assume(solver, assumptions, count)) {
        solver->effort.conflicts++; /* an answer has its price, also where there was no search */
        return BK_REFUTED;
    }
    bk_clauses_reduce(solver);
    schedule_restart(&s, start);
    enum bk_outcome outcome = search(&s);
    if (outcome == BK_FOUND)
        keep_found(solver);
    return outcome;
}

enum bk_outcome bk_search(bk_solver *solver, const bk_literal *assumptions, int32_t count,
                          int64_t budget)
{
    return bk_refute(solver, assumptions, count, budget, 0);
}

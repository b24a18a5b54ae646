/* The state of one solve: each part is kept by the file that its header names. */
#ifndef BK_ENGINE_SOLVER_H
#define BK_ENGINE_SOLVER_H

#include "engine/analysis.h"
#include "engine/branching.h"
#include "engine/clauses.h"
#include "engine/disjunctive.h"
#include "engine/holes.h"
#include "engine/lags.h"
#include "engine/linear.h"
#include "engine/minimum.h"
#include "engine/problem.h"
#include "engine/queue.h"
#include "engine/random.h"
#include "engine/resources.h"
#include "engine/search.h"
#include "engine/weighted_completion.h"

struct bk_solver {
    bk_memory memory;
    const bk_problem *problem;
    const bk_solve_options *options;

    bk_trail trail;
    bk_queue queue;

    /* constraints */
    bk_clauses clauses;
    bk_lags lags;
    bk_resources resources;
    bk_edge_finding edges;
    bk_holes holes;
    bk_minimums minimums;
    bk_linears linears;
    bk_completion_bounds completions;
    BK_VECTOR(bk_disjunction) disjunctions;

    bk_analysis analysis;
    bk_activity activity;
    bk_branching branching;

    bk_effort effort;
    bk_random random;
    int32_t neighbourhood_width; /* in thousandths of the whole */
    int32_t *found;              /* by variable: what the last search found */
    int32_t *solution;           /* by variable: the best so far */
    bool impossible;
    bool beyond; /* a sum may reach BK_FAR: then `impossible` is only of sums below it */
    bool solved; /* `solution` is one */
    int level;   /* of the objective, that is looked at; with its best sum and its bound */
    int64_t best, bound;
};

/* A solver with nothing in it. Ends with bk_memory_free(&solver->memory). */
void bk_solver_begin(bk_solver *solver, bk_arena *arena, const bk_problem *problem,
                     const bk_solve_options *options);

static inline bool bk_is_true(const bk_solver *solver, bk_literal literal)
{
    return literal.side < 0 || solver->trail.lb[literal.side] >= literal.value;
}

static inline bool bk_is_false(const bk_solver *solver, bk_literal literal)
{
    return literal.side >= 0 && solver->trail.lb[literal.side ^ 1] >= 1 - literal.value;
}

static inline int32_t bk_level_now(const bk_solver *solver)
{
    return solver->trail.levels.count - 1;
}

/* Bounds of a variable, by its even side. */
static inline int32_t bk_lb(const bk_solver *solver, int32_t even)
{
    return solver->trail.lb[even];
}

static inline int32_t bk_ub(const bk_solver *solver, int32_t even)
{
    return -solver->trail.lb[even ^ 1];
}

/* One of the literals that bk_explain names; what always holds needs no mention. */
static inline void bk_premise(bk_solver *solver, bk_literal literal)
{
    if (literal.side >= 0)
        *BK_ADD(solver, solver->analysis.premises) = literal;
}

#endif

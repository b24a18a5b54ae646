/* From the problem to the solver's constraints. */
#ifndef BK_ENGINE_LOAD_H
#define BK_ENGINE_LOAD_H

#include "engine/solver.h"

/* Reads the problem. With `facts`, every constraint with a fact depends on that fact's variable.
 * False when impossible. */
bool bk_load(bk_solver *solver, bool facts);
/* The variable that says that a fact holds: those of the facts follow those of the problem. */
static inline int32_t bk_fact_variable(const bk_solver *solver, size_t fact)
{
    return (int32_t)(1 + solver->problem->vars + fact);
}

/* ---------------------------------------------------------- presolve.c */

/* Is the fact one that the caller leaves out? */
bool bk_is_dropped(const bk_solver *solver, int fact);
/* By variable of the problem: what it always is, in terms of one of a smaller number, where plain
 * lags that always hold leave a difference no choice. An interval between the two has then a
 * fixed length, and gets the stronger treatment. `facts`: no constraint with a fact always
 * holds. */
bk_point *bk_fixed_differences(bk_solver *solver, bool facts);
/* Holes that every task of a cumulative keeps clear of take its capacity too. */
void bk_share_holes(bk_solver *solver);
/* Whether a task is present is chosen right after its start. */
void bk_own_choices(bk_solver *solver);

#endif

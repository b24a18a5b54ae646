/* Which resource bounds a weighted sum best, and with which weights. */
#ifndef BK_ENGINE_LAGRANGIAN_H
#define BK_ENGINE_LAGRANGIAN_H

#include "engine/disjunctive.h"
#include "engine/objective.h"

/* Bounds a level that is a sum by the resource that does it best. */
void bk_add_completions(bk_solver *solver, const bk_disjunctive *pairs,
                        const bk_objective *objective);

#endif

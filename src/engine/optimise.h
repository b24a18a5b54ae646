/* One level of the objective: upper bounds by search, lists and neighbourhoods, lower bounds by
 * refutation, in turns. */
#ifndef BK_ENGINE_OPTIMISE_H
#define BK_ENGINE_OPTIMISE_H

#include "engine/activity_lists.h"
#include "engine/objective.h"

/* Minimises the level and fixes it at what was reached. Writes the proved lower
 * bound of the sum. False when the limit came first. */
bool bk_optimise(bk_solver *solver, int level, const bk_objective *objective,
                 struct bk_lists *lists, int64_t *bound);

#endif

/* Large neighbourhood search (Shaw, "Using constraint programming and local search methods to
 * solve vehicle routing problems", CP 1998). */
#ifndef BK_ENGINE_NEIGHBOURHOOD_H
#define BK_ENGINE_NEIGHBOURHOOD_H

#include "engine/objective.h"

/* Looks for something better than the solution near it: in one neighbourhood
 * after another all but some variables may only go down; from `late`, by variable, where it
 * is not NULL and they lie behind the free ones. Calls for at most `budget` conflicts;
 * true when a better solution was found. */
bool bk_search_neighbourhoods(bk_solver *solver, const bk_objective *objective, const int32_t *late,
                              int64_t best, int64_t budget);

#endif

/* What a level minimises, as one side of one variable. */
#ifndef BK_ENGINE_OBJECTIVE_H
#define BK_ENGINE_OBJECTIVE_H

#include "engine/linear.h"

/* offset + side; `side` is a variable of its own above the sum of the terms when there are
 * several. */
typedef struct bk_objective {
    int32_t side; /* -1: nothing but the offset */
    int64_t offset;
    BK_VECTOR(bk_term) terms;
} bk_objective;

/* Makes the level's objective variable; at level 0, before any search. */
bk_objective bk_objective_new(bk_solver *solver, int level);

#endif

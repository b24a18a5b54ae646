/* bottom = the least of some points. That bottom is at most each of them is a lag; the rest is
 * here. */
#ifndef BK_ENGINE_MINIMUM_H
#define BK_ENGINE_MINIMUM_H

#include "engine/trail.h"

typedef struct bk_minimum {
    int32_t bottom;
    int32_t first, count; /* in `points` */
    bk_literal fact;
} bk_minimum;

typedef struct bk_side_point {
    int32_t side, plus;
} bk_side_point;

typedef struct bk_minimums {
    BK_VECTOR(bk_minimum) list;
    BK_VECTOR(bk_side_point) points;
} bk_minimums;

bool bk_propagate_minimum(bk_solver *solver, int32_t index);
void bk_explain_minimum(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);

#endif

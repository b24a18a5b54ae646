/* How a problem is kept: flat arrays in the order of the calls. Private to the
 * engine. Points, bounds and uses of all constraints stand one after another in
 * shared arrays; a constraint names its slice. */
#ifndef BK_ENGINE_PROBLEM_H
#define BK_ENGINE_PROBLEM_H

#include "engine/engine.h"

enum bk_constraint_kind { BK_IS_LAG, BK_IS_CUMULATIVE, BK_IS_HOLES, BK_IS_MINIMUM, BK_IS_CLAUSE };

typedef struct bk_constraint {
    enum bk_constraint_kind kind;
    int fact;
    bk_var from, to;     /* lag; minimum: from is the bottom */
    int32_t amount;      /* lag: least; cumulative: capacity */
    size_t first, count; /* lag, clause: bounds; cumulative: uses; minimum, holes: points */
    const bk_hole *holes;
    size_t hole_count;
} bk_constraint;

typedef struct bk_cost {
    int level;
    bool conditional;
    bk_var var;
    bk_bound bound;
    int32_t weight;
} bk_cost;

struct bk_problem {
    bk_arena *arena;
    int32_t *least, *most; /* domains */
    size_t vars, vars_room, most_room;
    bk_constraint *constraints;
    size_t constraint_count, constraint_room;
    bk_bound *bounds;
    size_t bound_count, bound_room;
    bk_use *uses;
    size_t use_count, use_room;
    bk_point *points;
    size_t point_count, point_room;
    bk_cost *costs;
    size_t cost_count, cost_room;
    int levels;
};

#endif

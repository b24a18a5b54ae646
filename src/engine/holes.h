/* Intervals that keep clear of holes, as a working calendar has them. Holes are sorted by their
 * start and may overlap; `reach` (the farthest end so far) lets the first one that matters be
 * found by bisection. */
#ifndef BK_ENGINE_HOLES_H
#define BK_ENGINE_HOLES_H

#include "engine/problem.h"
#include "engine/trail.h"

typedef struct bk_hole_table {
    const bk_hole *holes; /* the caller's array */
    size_t given;
    int32_t first, count; /* in from, to, reach, fact */
} bk_hole_table;

typedef struct bk_interval {
    int32_t from, from_plus, to, to_plus;
    int32_t table;
    int32_t near_from, near_to; /* where its bounds were among the holes, the last time; a guess */
} bk_interval;

typedef struct bk_holes {
    BK_VECTOR(bk_interval) intervals;
    BK_VECTOR(bk_hole_table) tables;
    bk_ints from, to, reach; /* by hole */
    bk_literals fact;        /* by hole */
} bk_holes;

/* The first hole of the table that reaches beyond `time`, itself or by one before it; the
 * end of the table when there is none. */
int32_t bk_first_hole_beyond(const bk_solver *solver, const bk_hole_table *table, int32_t time);
bool bk_propagate_holes(bk_solver *solver, int32_t index);
void bk_explain_hole(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);

#endif

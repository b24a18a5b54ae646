/* Linear constraints: weighted sums with a limit, filtered by bounds consistency (Harvey and
 * Schimpf, "Bounds consistency techniques for long linear constraints", TRICS 2002). */
#ifndef BK_ENGINE_LINEAR_H
#define BK_ENGINE_LINEAR_H

#include "engine/trail.h"

typedef struct bk_term {
    int32_t side, weight; /* weight > 0 */
} bk_term;

/* Sum of weight * side over the terms is at most `most`. */
typedef struct bk_linear {
    int64_t most;
    int64_t least;   /* the sum at the bounds propagated so far */
    int64_t largest; /* the largest weight * range of a term: no work while the slack is above */
    int32_t first, count; /* in `terms` */
    int32_t propagator;
} bk_linear;

typedef struct bk_linear_use {
    int32_t linear, weight;
} bk_linear_use;
typedef BK_VECTOR(bk_linear_use) bk_linear_uses;

typedef struct bk_linears {
    BK_VECTOR(bk_linear) list;
    BK_VECTOR(bk_term) terms;
    bk_linear_uses *uses; /* by side */
    bk_literals order;    /* scratch: a premise and its event */
} bk_linears;

/* A new linear constraint, only at level 0. */
void bk_linear_new(bk_solver *solver, const bk_term *terms, int32_t count, int64_t most);
/* Nothing is left of a constraint; only at level 0. What was learned from it stays learned. */
void bk_linear_drop(bk_solver *solver, int32_t index);
/* A side's bound went from `from` to `to`: the sums that it counts in follow. */
void bk_linears_follow(bk_solver *solver, int32_t side, int32_t from, int32_t to);
bool bk_propagate_linear(bk_solver *solver, int32_t index);
void bk_explain_linear(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);

#endif

/* Lower bounds of weighted sums of completion times on one resource. */
#ifndef BK_ENGINE_WEIGHTED_COMPLETION_H
#define BK_ENGINE_WEIGHTED_COMPLETION_H

#include "engine/trail.h"

/* A share of a weighted sum: `weight` times the side's bound, and a task that runs
 * from side + plus for `length`, which weighs `rate` for each unit of its energy. */
typedef struct bk_part {
    int32_t side, plus, length;
    int32_t energy;       /* length times amount */
    int64_t weight, rate; /* in units of 1 / BK_COMPLETION_UNIT */
} bk_part;
enum { BK_COMPLETION_UNIT = 1 << 20 };

/* `side` is at least the sum of the parts, whose tasks share a resource. */
typedef struct bk_completions {
    int32_t side;
    int32_t first, count; /* in `parts` */
    int32_t table;        /* holes that all its tasks keep clear of, or -1 */
    int64_t places;       /* the resource's capacity */
    int64_t constant;     /* in units of 1 / (2 places BK_COMPLETION_UNIT) */
} bk_completions;

/* Scratch of the preemptive schedule, by part. */
typedef struct bk_preemptive {
    int32_t *least, *root, *event, *order, *open, *left, *release;
    int32_t room;
} bk_preemptive;

/* What a level's bound was fitted to. */
typedef struct bk_fitted {
    const struct bk_objective *objective;
    int level;
    int32_t cumulative;
} bk_fitted;

/* Tasks that the search put beyond holes, for which a bound was fitted; not dispatched yet. */
typedef struct bk_case {
    int32_t first, count; /* in `put`: what it takes */
    int64_t *rate;        /* by start: as branching.rate */
} bk_case;

typedef struct bk_completion_bounds {
    BK_VECTOR(bk_completions) list;
    BK_VECTOR(bk_part) parts;
    bk_preemptive scratch;

    /* to fit them again: lagrangian.c */
    BK_VECTOR(bk_fitted) fitted;
    int32_t *path, starts;         /* of bk_disjunctive; NULL where nothing was fitted */
    int32_t *raised;               /* by start: scratch */
    BK_VECTOR(uint64_t) fitted_to; /* the cases that were looked at, hashed */
    int64_t spent;                 /* on that: steps */
    BK_VECTOR(bk_case) cases;
    bk_literals put;
} bk_completion_bounds;

/* Makes the scratch fit for sums of so many parts. */
void bk_completions_room(bk_solver *solver, int32_t parts);
/* A lower bound of the sum, in the units of its constant, when each part's side is at
 * least least[part]. */
int64_t bk_completions_least(bk_solver *solver, const bk_completions *sum, const bk_part *parts,
                             const int32_t *least);
bool bk_propagate_completions(bk_solver *solver, int32_t index);
void bk_explain_completions(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);

#endif

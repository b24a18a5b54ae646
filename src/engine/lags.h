/* Generalised precedence relations: minimum lags between two sides, plain and under conditions.
 * A maximum lag is the same lag read from the other side: to >= from + w is -from >= -to + w. */
#ifndef BK_ENGINE_LAGS_H
#define BK_ENGINE_LAGS_H

#include "engine/trail.h"

typedef struct bk_arc {
    int32_t to, weight; /* side `to` >= this side + weight */
} bk_arc;

/* Side `to` >= side `from` + weight when all its conditions hold. */
typedef struct bk_conditional {
    int32_t from, to, weight;
    int32_t first, when_count; /* in `conditions` */
} bk_conditional;

/* A conditional lag where it hangs on a bound, with two of its conditions (or always): while both
 * are open, or one is false, it says nothing. Where the bound is that of an end of the lag, and
 * there are no other conditions, it need only be looked up when it forbids the one that is open. */
typedef struct bk_hanging {
    int32_t conditional;
    int32_t other, weight; /* side `other` >= this side + weight; other < 0: it is looked up */
    int32_t aux;           /* of the reason for that */
    bk_literal one, two;
} bk_hanging;
typedef BK_VECTOR(bk_hanging) bk_hangings;

typedef struct bk_lags {
    int32_t sides;  /* those of the loaded variables: later ones have no plain lags */
    int32_t *first; /* by side, one more at the end: its arcs */
    bk_arc *arcs;
    BK_VECTOR(bk_conditional) conditionals;
    bk_literals conditions;
    bk_hangings *conditional_at; /* by side: the conditionals that hang on its bound */
    int32_t probed;              /* conditions before this have been tried; INT32_MAX: all */
} bk_lags;

bool bk_propagate_lags(bk_solver *solver, int32_t side);
/* A new conditional lag, which is not propagated yet. */
void bk_conditional_new(bk_solver *solver, int32_t from, int32_t to, int32_t weight,
                        const bk_literal *when, int32_t count);
bool bk_propagate_conditional(bk_solver *solver, int32_t index);
/* All that hang on the side's bound. */
bool bk_propagate_conditionals(bk_solver *solver, int32_t side);
void bk_explain_conditional(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);

/* The side whose bound the reason carries on by a lag, or -1. */
int32_t bk_lag_source(const bk_solver *solver, bk_reason reason);
/* Do the lags that lead to a raise of `side` come from `side` itself? It is then a cycle of
 * positive length, which no bound would stop soon; analysis.conflict is what its lags depend
 * on. */
bool bk_lag_cycle(bk_solver *solver, int32_t side, bk_reason reason);

/* --------------------------------------------------------- longest_paths.c */

/* Runs plain lags until none raises a bound, after loading: sides in topological order, so that
 * a chain takes as many steps as it has lags. Cycles may be left to propagation. False on a
 * conflict. */
bool bk_propagate_longest_paths(bk_solver *solver);

#endif

/* Disjunctive pairs: tasks that cannot run at once, over all resources together, because two
 * amounts do not fit beside each other or lags keep two starts apart. */
#ifndef BK_ENGINE_DISJUNCTIVE_H
#define BK_ENGINE_DISJUNCTIVE_H

#include "engine/objective.h"
#include "engine/relations.h"

/* By starts (variables), at the root. */
typedef struct bk_disjunctive {
    int32_t count; /* of starts: the loaded variables */
    int32_t *path; /* [i * count + j]: longest path, j is always at least this much after i, or
                      BK_NO_PATH */
    int32_t *gap;  /* [i * count + j]: if i goes before j, j is at least this much after i; or
                      BK_NO_PATH: they may overlap, or their order is settled */
} bk_disjunctive;

/* 1 when `other` comes at least `gap` after `one` (variables), else 0: of two that cannot run at
 * once, which goes first. */
typedef struct bk_disjunction {
    int32_t variable, one, other, gap;
} bk_disjunction;

/* Adds what follows from disjunctive pairs: an order variable each, cliques, and bounds of the
 * levels that are sums. Once, at the root, after loading; small problems only. False when it
 * shows the problem to be impossible. */
bool bk_add_disjunctions(bk_solver *solver, const bk_objective *objectives, int levels);
/* Orders as the starts of solver->found have them, when these come from elsewhere. */
void bk_disjunctions_follow(bk_solver *solver);

/* ------------------------------------------------------------- cliques.c */

/* Sets of tasks of which no two can run at once, each as a resource of one place for edge
 * finding. */
void bk_add_cliques(bk_solver *solver, const bk_disjunctive *pairs);

#endif

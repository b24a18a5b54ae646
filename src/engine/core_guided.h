/* Core-guided optimisation: the lower bound of a sum, raised core by core. Terms that cannot all
 * stay at their least are replaced, in equal parts, by one new variable above their sum (OLL:
 * Andres, Kaufmann, Matheis, Schaub, "Unsatisfiability-based optimization in clasp", ICLP 2012;
 * Morgado, Dodaro, Marques-Silva, CP 2014). */
#ifndef BK_ENGINE_CORE_GUIDED_H
#define BK_ENGINE_CORE_GUIDED_H

#include "engine/objective.h"
#include "engine/search.h"

typedef struct bk_core_guided {
    BK_VECTOR(bk_term) terms;
    bk_ints term_of;  /* by side: term + 1 */
    int32_t together; /* the linear constraint of bk_core_guided_together, + 1 */
    int64_t calm;     /* see bk_refute */
    int64_t until;    /* in conflicts: the end of the turn */
} bk_core_guided;

/* Terms of one weight that lags tie into a group, as the stages of a dish, are one term above their
 * sum from the beginning: cores then speak of groups. */
void bk_core_guided_begin(bk_solver *solver, bk_core_guided *bound, const bk_objective *objective);
/* The terms as they are now bound the objective together, in place of those of the last call: a sum
 * that is asked for leaves each of them only what it has over (core-boosted search: Gange, Berg,
 * Demirovic, Stuckey, "Core-guided and core-boosted search for CP", CPAIOR 2020). */
void bk_core_guided_together(bk_solver *solver, bk_core_guided *bound,
                             const bk_objective *objective);
/* Goes on for a number of conflicts. FOUND: solver->found is the best there is. REFUTED: nothing is
 * better than what was found before. What is found on the way and better becomes the solution, and
 * solver->best. */
enum bk_outcome bk_core_guided_raise(bk_solver *solver, bk_core_guided *bound,
                                     const bk_objective *objective, int64_t budget);

#endif

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
    bk_ints term_of; /* by side: term + 1 */
} bk_core_guided;

void bk_core_guided_begin(bk_solver *solver, bk_core_guided *bound, const bk_objective *objective);
/* Goes on for a number of conflicts. FOUND: solver->found is the best there is. REFUTED: nothing is
 * better than what was found before. */
enum bk_outcome bk_core_guided_raise(bk_solver *solver, bk_core_guided *bound,
                                     const bk_objective *objective, int64_t budget);

#endif

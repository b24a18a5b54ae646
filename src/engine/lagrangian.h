/* Which resource bounds a weighted sum best, and with which weights. */
#ifndef BK_ENGINE_LAGRANGIAN_H
#define BK_ENGINE_LAGRANGIAN_H

#include "engine/disjunctive.h"
#include "engine/objective.h"

/* Bounds a level that is a sum by the resource that does it best. The objective outlives the
 * search. */
void bk_add_completions(bk_solver *solver, const bk_disjunctive *pairs,
                        const bk_objective *objective, int level);

/* Where all that a bound rests on is what the root knows, weight has gone from a task to the one it
 * follows as if they ran on the same day: of tasks that the search has put beyond a night it then
 * counts a part of what that costs. Keeps in mind which tasks it has put beyond which holes.
 * False: there is nothing new to be fitted to. */
bool bk_note_case(bk_solver *solver);
/* After going back: one more bound, fitted to what was kept in mind, where it is higher there. */
void bk_fit_to_case(bk_solver *solver);

#endif

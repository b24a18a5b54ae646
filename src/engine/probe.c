/* Trying conditions one by one before the search proper: a condition that two lags
 * refute at once (an order that a maximum wait forbids) is then known, and need not
 * be found out minute by minute. */
#include "engine/solver.h"

enum { MOST_PROBES = 4000 };

bool bk_next_probe(bk_solver *solver)
{
    while (solver->probe < solver->when.count && solver->probe < MOST_PROBES) {
        bk_literal condition = solver->when.at[solver->probe++];
        if (bk_is_true(solver, condition) || bk_is_false(solver, condition))
            continue;
        bk_new_level(solver);
        bk_raise(solver, condition, (bk_reason){BK_BY_DECISION, 0, 0});
        return true;
    }
    return false;
}

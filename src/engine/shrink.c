/* From a core to an irreducible one: each fact is left out in turn, and what was
 * learned serves all attempts. */
#include "engine/solver.h"

static void keep_core(const bk_solver *solver, bool *used, int32_t first_fact)
{
    size_t facts = solver->options->facts;
    for (size_t f = 0; f < facts; f++)
        used[f] = false;
    for (int32_t i = 0; i < solver->core.count; i++) {
        int32_t fact = solver->core.at[i].side / 2 - first_fact;
        if (fact >= 0 && (size_t)fact < facts)
            used[fact] = true;
    }
}

enum bk_outcome bk_search_facts(bk_solver *solver, bool *used, int32_t first_fact, int64_t budget)
{
    bk_literals assumptions = {NULL, 0, 0};
    for (size_t f = 0; f < solver->options->facts; f++)
        if (used[f])
            *BK_ADD(solver, assumptions) = (bk_literal){2 * (first_fact + (int32_t)f), 1};
    enum bk_outcome outcome = bk_search(solver, assumptions.at, assumptions.count, budget);
    if (outcome == BK_REFUTED)
        keep_core(solver, used, first_fact);
    bk_backtrack(solver, 0);
    bk_solver_release(solver, assumptions.at);
    return outcome;
}

bool bk_shrink_core(bk_solver *solver, bool *used, int32_t first_fact)
{
    const bk_solve_options *options = solver->options;
    bool sure = true;
    int most = 0;
    for (size_t f = 0; f < options->facts; f++)
        if (options->patience && options->patience[f] > most)
            most = options->patience[f];
    for (int round = 0; round <= most; round++)
        for (size_t f = 0; f < options->facts; f++) {
            if (!used[f] || (options->patience ? options->patience[f] : 0) != round)
                continue;
            used[f] = false;
            enum bk_outcome outcome = bk_search_facts(solver, used, first_fact, options->shrink);
            if (outcome != BK_REFUTED)
                used[f] = true;
            if (outcome == BK_LIMIT)
                sure = false;
        }
    return sure;
}

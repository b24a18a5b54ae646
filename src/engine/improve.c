/* Better solutions in the neighbourhood of one: most variables may only go down
 * from where they are, some are free. */
#include "engine/solver.h"

enum { PER_NEIGHBOURHOOD = 200 };

static uint32_t random_below(bk_solver *solver, uint32_t most)
{
    uint64_t z = (solver->random += UINT64_C(0x9e3779b97f4a7c15));
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return (uint32_t)((z ^ (z >> 31)) % most);
}

bool bk_improve(bk_solver *solver, const bk_objective *objective, int64_t best, int64_t budget)
{
    int64_t until = solver->conflicts + budget;
    bk_literals assumptions = {NULL, 0, 0};
    const bk_term *terms = objective->terms.at;
    int32_t count = objective->terms.count;
    bool better = false;
    int32_t tries = 0;
    while (solver->conflicts < until && tries++ < 50 && !better) {
        /* Free: terms near in time to one of them. */
        int32_t centre = terms[random_below(solver, (uint32_t)count)].side / 2;
        int32_t lowest = INT32_MAX, highest = INT32_MIN;
        for (int32_t i = 0; i < count; i++) {
            int32_t value = solver->solution[terms[i].side / 2];
            if (value < lowest)
                lowest = value;
            if (value > highest)
                highest = value;
        }
        int32_t width = (highest - lowest) / (2 + (int32_t)random_below(solver, 8)) + 1;
        assumptions.count = 0;
        *BK_ADD(solver, assumptions) =
            (bk_literal){objective->side ^ 1, -(int32_t)(best - 1 - objective->offset)};
        for (int32_t i = 0; i < count; i++) {
            int32_t v = terms[i].side / 2, value = solver->solution[v];
            int32_t far = value - solver->solution[centre];
            if (far < 0)
                far = -far;
            if (far > width)
                *BK_ADD(solver, assumptions) =
                    terms[i].side & 1 ? (bk_literal){2 * v, value} : (bk_literal){2 * v + 1, -value};
        }
        enum bk_outcome outcome =
            bk_search(solver, assumptions.at, assumptions.count, PER_NEIGHBOURHOOD);
        bk_backtrack(solver, 0);
        if (outcome == BK_FOUND)
            better = true;
        if (solver->impossible || solver->stopped || solver->conflicts >= solver->limit)
            break;
        if (outcome == BK_REFUTED && solver->core.count == 1 &&
            solver->core.at[0].side == (objective->side ^ 1)) {
            bk_raise_root(solver, bk_not(solver->core.at[0]));
            break;
        }
    }
    bk_solver_release(solver, assumptions.at);
    return better;
}

/* The bottom is at least the least of the points; one that alone can reach it has to. */
#include "engine/solver.h"

bool bk_propagate_minimum(bk_solver *solver, int32_t index)
{
    bk_minimum minimum = solver->minimums.list.at[index];
    if (!bk_is_true(solver, minimum.fact))
        return true;
    const bk_side_point *points = solver->minimums.points.at + minimum.first;
    int32_t least = BK_FAR, reaching = -1, reach = 0;
    int32_t most = bk_ub(solver, minimum.bottom);
    for (int32_t i = 0; i < minimum.count; i++) {
        int32_t value = solver->trail.lb[points[i].side] + points[i].plus;
        if (value < least)
            least = value;
        if (value <= most) {
            reaching = i;
            reach++;
        }
    }
    if (!bk_raise(solver, (bk_literal){minimum.bottom, least},
                  (bk_reason){BK_BY_MINIMUM, index, -1}))
        return false;
    if (reach == 1)
        return bk_raise(solver,
                        (bk_literal){points[reaching].side ^ 1, points[reaching].plus - most},
                        (bk_reason){BK_BY_MINIMUM, index, reaching});
    return true;
}

void bk_explain_minimum(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event)
{
    bk_minimum minimum = solver->minimums.list.at[reason.index];
    const bk_side_point *points = solver->minimums.points.at + minimum.first;
    bk_premise(solver, minimum.fact);
    if (reason.aux < 0) {
        for (int32_t i = 0; i < minimum.count; i++)
            bk_premise(solver, (bk_literal){points[i].side, literal.value - points[i].plus});
        return;
    }
    /* literal: -x >= value, that is point <= most */
    int32_t most = points[reason.aux].plus - literal.value;
    for (int32_t i = 0; i < minimum.count; i++) {
        int32_t above = i == reason.aux
                            ? most
                            : bk_lb_before(solver, points[i].side, event) + points[i].plus - 1;
        if (above < most)
            most = above;
    }
    bk_premise(solver, (bk_literal){minimum.bottom ^ 1, -most});
    for (int32_t i = 0; i < minimum.count; i++)
        if (i != reason.aux)
            bk_premise(solver, (bk_literal){points[i].side, most + 1 - points[i].plus});
}

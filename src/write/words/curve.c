#include "write/words/curve.h"

#include "heat/heat.h"

bool bk_has_curve(const bk_plan *plan, const bk_placed *placed)
{
    return plan->stages[placed->stage].cooling && placed->end > placed->start;
}

bk_curve bk_curve_of(bk_arena *arena, const bk_plan *plan, const bk_placed *placed)
{
    bk_curve curve = {0};
    double minutes[BK_CURVE_POINTS];
    int64_t span = placed->end - placed->start;
    for (int64_t i = 0; i < BK_CURVE_POINTS; i++) {
        int64_t at = span * i / (BK_CURVE_POINTS - 1);
        if (curve.count > 0 && placed->start + at <= curve.at[curve.count - 1])
            continue;
        minutes[curve.count] = (double)at;
        curve.at[curve.count++] = placed->start + at;
    }
    bk_heat_question question;
    bk_cooling_question(plan->stages[placed->stage].cooling, &question);
    bk_heat_curve(arena, &question, BK_HEAT_TYPICAL, minutes, curve.celsius, curve.count);
    return curve;
}

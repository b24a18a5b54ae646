/* How long an oven takes to warm and to cool: by its fixed times, or by its rates and the
 * temperatures it may be set to. */
#include "plan/plan.h"

#include <math.h>

static const double COLD = 20.0; /* a kitchen, degrees Celsius (the plan format) */

static bool alike(const bk_temperature *a, const bk_temperature *b)
{
    return fabs(a->low - b->low) < 1e-9 && fabs(a->high - b->high) < 1e-9 &&
           fabs(a->nominal - b->nominal) < 1e-9 && a->exact == b->exact &&
           a->fahrenheit == b->fahrenheit;
}

/* Whether something that could go into the oven with it accepts other temperatures. */
static bool may_share(const bk_plan *plan, size_t stage)
{
    const bk_need *own = &plan->stages[stage].oven;
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_need *other = &plan->stages[i].oven;
        if (bk_is_heated(&plan->stages[i]) && other->equipment == own->equipment &&
            other->at.low <= own->at.high + 1e-6 && own->at.low <= other->at.high + 1e-6 &&
            !alike(&own->at, &other->at))
            return true;
    }
    return false;
}

bk_heats bk_heats_of(bk_arena *arena, const bk_plan *plan)
{
    bk_heats heats = {BK_NEW(arena, double, plan->stage_count),
                      BK_NEW(arena, double, plan->stage_count)};
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        if (!bk_is_heated(stage))
            continue;
        const bk_equipment *oven = &plan->kitchen.equipment[stage->oven.equipment];
        bool rates = oven->warms > 0 || oven->cools > 0;
        if (rates && may_share(plan, i)) {
            heats.coolest[i] = stage->oven.at.low;
            heats.hottest[i] = stage->oven.at.high;
        } else {
            heats.coolest[i] = heats.hottest[i] = bk_dial_wanted(bk_dial_of(oven), &stage->oven.at);
        }
    }
    return heats;
}

static int64_t minutes(double degrees, double rate)
{
    return degrees <= 0 ? 0 : (int64_t)ceil(degrees / rate - 1e-9);
}

int64_t bk_oven_preheat(const bk_equipment *oven, double celsius)
{
    return oven->warms > 0 ? minutes(celsius - COLD, oven->warms) : oven->preheat;
}

int64_t bk_oven_ready_in(const bk_plan *plan, size_t stage, int number, double celsius)
{
    const bk_need *need = &plan->stages[stage].oven;
    const bk_equipment *oven = &plan->kitchen.equipment[need->equipment];
    int64_t least = bk_oven_preheat(oven, celsius);
    for (size_t i = 0; i < plan->hot_count; i++) {
        const bk_hot *hot = &plan->hot[i];
        if (hot->equipment != need->equipment || hot->number != number)
            continue;
        bool suits = hot->celsius >= need->at.low - 1e-6 && hot->celsius <= need->at.high + 1e-6;
        int64_t in = suits ? 0 : bk_oven_change(oven, hot->celsius, celsius);
        if (hot->ready > plan->now)
            in += hot->ready - plan->now;
        if (in < least)
            least = in;
    }
    return least;
}

int64_t bk_oven_change(const bk_equipment *oven, double from, double to)
{
    if (to > from)
        return oven->warms > 0 ? minutes(to - from, oven->warms) : oven->change;
    return oven->cools > 0 ? minutes(from - to, oven->cools) : oven->change;
}

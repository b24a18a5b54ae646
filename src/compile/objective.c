/* Plan to problem: what makes one timeline better than another. */
#include "compile/parts.h"

/* Mirrored, a hole covers the first minute after midnight, or the last before. What has begun
 * may stand across it all the same. */
bool bk_never_across(const bk_builder *b, bk_instant midnight)
{
    int32_t at_midnight = bk_narrow(b->out->mirror - midnight);
    for (size_t i = 0; i < b->plan->stage_count; i++) {
        const bk_stage *stage = &b->plan->stages[i];
        if (bk_has_begun(stage) && stage->began < midnight &&
            midnight < stage->began + stage->planned)
            return false;
    }
    for (size_t i = 0; i < b->hands_hole_count; i++)
        if (b->hands_holes[i].from < at_midnight && at_midnight <= b->hands_holes[i].to)
            return true;
    return false;
}

/* Minutes of [start, end) after midnight that begins the last serving day, as
 * costs on the end: one for each minute the end may reach past it. */
static void cost_hands_after(bk_builder *b, bk_var end, int64_t length, bk_instant midnight)
{
    bk_compiled *out = b->out;
    int32_t at_midnight = bk_narrow(out->mirror - midnight);
    if (bk_never_across(b, midnight)) {
        /* Who ends after midnight also starts after it. */
        bk_problem_cost_if(out->problem, out->level_hands, (bk_bound){end, at_midnight - 1, false},
                           bk_narrow(length));
        return;
    }
    for (int64_t k = 1; k <= length; k++)
        bk_problem_cost_if(out->problem, out->level_hands,
                           (bk_bound){end, at_midnight - bk_narrow(k), false}, 1);
}

static void build_hands_level(bk_builder *b)
{
    const bk_plan *plan = b->plan;
    bk_compiled *out = b->out;
    bk_instant midnight = bk_day_start(plan->zone, plan->last_serve);
    out->level_hands = bk_problem_level(out->problem);
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        if (stage->attention == BK_HANDS)
            cost_hands_after(b, out->stage_end[i], stage->planned, midnight);
        for (size_t k = 0; k < stage->check_count; k++)
            if (stage->checks[k].takes > 0)
                cost_hands_after(b, out->check_end[out->first_check[i] + k], stage->checks[k].takes,
                                 midnight);
    }
}

/* The fewest stages that start at another time than the cook was told. */
static void build_moved(bk_builder *b)
{
    const bk_plan *plan = b->plan;
    bk_compiled *out = b->out;
    out->level_moved = bk_problem_level(out->problem);
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        if (bk_has_begun(stage) || !stage->told)
            continue;
        bk_point start = bk_start_of(b, i);
        int32_t told = bk_narrow(out->mirror - stage->told_start) - start.plus;
        bk_problem_cost_if(out->problem, out->level_moved,
                           (bk_bound){start.var, told + BK_NO_MOVE + 1, true}, 1);
        bk_problem_cost_if(out->problem, out->level_moved,
                           (bk_bound){start.var, told - BK_NO_MOVE - 1, false}, 1);
    }
}

void bk_build_objective(bk_builder *b)
{
    const bk_plan *plan = b->plan;
    bk_compiled *out = b->out;
    if (plan->under_way)
        build_moved(b);
    if (plan->style != BK_FRESH)
        build_hands_level(b);
    if (plan->style == BK_SPREAD)
        bk_build_spread(b);
    int32_t least = 0; /* what has begun may have done so after it was to be served */
    for (size_t i = 0; i < plan->stage_count; i++)
        if (bk_has_begun(&plan->stages[i]) &&
            bk_narrow(out->mirror - plan->stages[i].began) < least)
            least = bk_narrow(out->mirror - plan->stages[i].began);
    out->first_start = bk_problem_var(out->problem, least, b->past);
    for (size_t i = 0; i < plan->stage_count; i++)
        if (bk_happens(plan, i))
            bk_builder_lag(b, bk_start_of(b, i), (bk_point){out->first_start, 0}, 0, BK_NO_FACT);
    out->level_start = bk_problem_level(out->problem);
    bk_problem_cost(out->problem, out->level_start, out->first_start, 1);
    bk_build_interruptions(b);
    out->level_waiting = bk_problem_level(out->problem);
    for (size_t i = 0; i < plan->stage_count; i++) {
        bk_problem_cost(out->problem, out->level_waiting, out->stage_end[i], 1);
        out->waiting_offset += out->mirror - plan->dishes[plan->stages[i].dish].serve;
    }
}

void bk_build_delay_objective(bk_builder *b)
{
    int level = bk_problem_level(b->out->problem);
    if (b->plan->dish_count > 0)
        bk_problem_cost(b->out->problem, level, b->out->put_off[0], -1);
}

void bk_build_lateness_objective(bk_builder *b)
{
    bk_compiled *out = b->out;
    int late = bk_problem_level(out->problem), margins = bk_problem_level(out->problem);
    for (size_t d = 0; d < b->plan->dish_count; d++) {
        /* nobody waits for a part but what it is for */
        bk_problem_cost(out->problem, b->plan->dishes[d].part ? margins : late, out->put_off[d],
                        -1);
        bk_problem_cost(out->problem, margins, out->overrun[d], -1);
    }
    int soonest = bk_problem_level(out->problem);
    for (size_t i = 0; i < b->plan->stage_count; i++)
        if (bk_is_run_out(&b->plan->stages[i]))
            bk_problem_cost(out->problem, soonest, bk_start_of(b, i).var, -1);
    for (size_t d = 0; d < b->plan->dish_count; d++)
        if (b->plan->dishes[d].keeps_run_out)
            bk_problem_cost(out->problem, soonest, out->ready[d], 1);
    build_moved(b);
}

/* How late the dishes of a day are at least, when they cannot be on time any more. */
#include "schedule/schedule.h"

#include "compile/compile.h"

/* How far a dish's last stage goes beyond `due` in the answer found; less than 0: it does not. */
static int64_t beyond(const bk_compiled *compiled, const int32_t *value, size_t d, bk_instant due)
{
    const bk_plan *plan = compiled->plan;
    const bk_dish *dish = &plan->dishes[d];
    int64_t most = -1;
    for (size_t i = dish->first_stage; i < dish->first_stage + dish->stage_count; i++) {
        bk_instant end = compiled->mirror - value[compiled->stage_end[i]];
        most = end - due > most ? end - due : most;
    }
    return most;
}

static int64_t least(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

bk_lateness bk_least_lateness(bk_arena *arena, const bk_plan *plan, int64_t most, int64_t effort,
                              bk_follower *follower)
{
    bk_follower_turn(follower, BK_GOAL_ANY);
    bk_compiled *compiled = bk_compile(arena, plan, &(bk_compile_options){.late_most = most});
    bk_result result =
        bk_solve(arena, compiled->problem,
                 &(bk_solve_options){.conflicts = effort,
                                     .work = effort * BK_WORK_A_CONFLICT,
                                     .facts = compiled->fact_count,
                                     .onlooker = follower ? &follower->onlooker : NULL});
    bk_lateness lateness = {.wrong = result.status == BK_WRONG,
                            .possible = result.value,
                            .proved = result.status == BK_OPTIMAL};
    if (!result.value)
        return lateness;
    lateness.late = BK_NEW(arena, int64_t, plan->dish_count);
    lateness.margin_used = BK_NEW(arena, int64_t, plan->dish_count);
    lateness.start = BK_NEW(arena, bk_instant, plan->stage_count);
    for (size_t i = 0; i < plan->stage_count; i++) {
        bk_point start = compiled->stage_start[i];
        lateness.start[i] = compiled->mirror - (result.value[start.var] + start.plus);
    }
    lateness.ready = BK_NEW(arena, bk_instant, plan->dish_count);
    for (size_t d = 0; d < plan->dish_count; d++) {
        if (plan->dishes[d].keeps_run_out)
            lateness.ready[d] = compiled->mirror - result.value[compiled->ready[d]];
        lateness.late[d] = -(int64_t)result.value[compiled->put_off[d]];
        int64_t overrun = -(int64_t)result.value[compiled->overrun[d]];
        if (plan->at_table == 0) { /* where the effort ran out it may be more than it comes to */
            const bk_dish *dish = &plan->dishes[d];
            int64_t margin = bk_margin_of(plan, dish);
            int64_t late = beyond(compiled, result.value, d, dish->serve);
            int64_t over = beyond(compiled, result.value, d, dish->serve - margin);
            lateness.late[d] = least(lateness.late[d], late > 0 ? late : 0);
            overrun = least(overrun, over > 0 ? over : 0);
        }
        /* What is served later has that much more. */
        int64_t used = plan->dishes[d].margin_used + overrun - lateness.late[d];
        lateness.margin_used[d] = used < 0 ? 0 : used < plan->margin ? used : plan->margin;
    }
    return lateness;
}

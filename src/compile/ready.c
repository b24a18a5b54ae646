/* Plan to problem: when a dish is ready, until when it waits, and how long it keeps. */
#include "compile/parts.h"

/* The stage whose end is the dish's by the links alone: every other stage of the
 * dish has to end before it starts. SIZE_MAX when there is none. */
static size_t structural_last(bk_builder *b, const bk_dish *dish)
{
    const bk_plan *plan = b->plan;
    bool *before = BK_NEW(b->arena, bool, dish->stage_count);
    size_t *stack = BK_NEW(b->arena, size_t, dish->stage_count);
    for (size_t last = dish->stage_count; last-- > 0;) {
        for (size_t i = 0; i < dish->stage_count; i++)
            before[i] = i == last;
        size_t depth = 0, reached = 1;
        stack[depth++] = last;
        while (depth > 0) {
            const bk_stage *stage = &plan->stages[dish->first_stage + stack[--depth]];
            for (size_t k = 0; k < stage->link_count; k++) {
                size_t other = stage->links[k].stage - dish->first_stage;
                if (stage->links[k].from_start || other >= dish->stage_count || before[other])
                    continue;
                before[other] = true;
                reached++;
                stack[depth++] = other;
            }
        }
        if (reached == dish->stage_count)
            return dish->first_stage + last;
        /* Only a stage that nothing follows can be the last; try a few from the end. */
        if (last + 4 < dish->stage_count)
            break;
    }
    return SIZE_MAX;
}

/* Until when a dish waits: its serve; of a part, the start of the last stage of another
 * dish that is linked to it. */
static void build_until(bk_builder *b, size_t d)
{
    const bk_plan *plan = b->plan;
    const bk_dish *dish = &plan->dishes[d];
    bk_compiled *out = b->out;
    out->until[d] = bk_serve_of(b, dish);
    if (!dish->part)
        return;
    bk_point *starts = NULL;
    size_t count = 0, room = 0, users_room = 0;
    for (size_t i = 0; i < plan->stage_count; i++) {
        bool linked = false;
        for (size_t k = 0; k < plan->stages[i].link_count; k++)
            linked = linked || plan->stages[plan->stages[i].links[k].stage].dish == d;
        if (!linked || plan->stages[i].dish == d)
            continue;
        *BK_PUSH(b->arena, starts, count, room) = bk_start_of(b, i);
        *BK_PUSH(b->arena, out->users[d], out->user_count[d], users_room) = i;
    }
    if (count == 1)
        out->until[d] = starts[0];
    if (count < 2)
        return;
    int32_t leeway = b->options.droppable ? b->leeway : 0;
    bk_var until =
        bk_problem_var(out->problem, -leeway - bk_narrow(bk_put_off_most(b)), b->past + 2 * leeway);
    bk_problem_minimum(out->problem, until, starts, count, BK_NO_FACT);
    out->until[d] = (bk_point){until, 0};
    out->until_own[d] = true;
}

/* What has begun need not have kept to its links. */
static bool any_begun(const bk_plan *plan, const bk_dish *dish)
{
    for (size_t i = dish->first_stage; i < dish->first_stage + dish->stage_count; i++)
        if (bk_has_begun(&plan->stages[i]))
            return true;
    return false;
}

void bk_build_ready(bk_builder *b, size_t d)
{
    const bk_dish *dish = &b->plan->dishes[d];
    bk_compiled *out = b->out;
    out->ready[d] = BK_CONSTANT;
    if (!dish->has_keeps && !dish->keeps_run_out && dish->stored_count == 0)
        return;
    build_until(b, d);
    bool loose = b->options.droppable || any_begun(b->plan, dish);
    size_t last = loose ? SIZE_MAX : structural_last(b, dish);
    if (last != SIZE_MAX) {
        out->ready[d] = out->stage_end[last];
    } else {
        int32_t leeway = b->options.droppable ? b->leeway : 0;
        int32_t least = -leeway - bk_narrow(bk_put_off_most(b));
        for (size_t i = dish->first_stage; i < dish->first_stage + dish->stage_count; i++) {
            const bk_stage *stage = &b->plan->stages[i];
            int32_t end = bk_narrow(out->mirror - stage->began - stage->planned);
            if (bk_has_begun(stage) && end < least)
                least = end;
        }
        out->ready[d] = bk_problem_var(out->problem, least, b->past + leeway);
        out->ready_own[d] = true;
        bk_point *ends = BK_NEW(b->arena, bk_point, dish->stage_count);
        for (size_t i = 0; i < dish->stage_count; i++)
            ends[i] = bk_end_of(b, dish->first_stage + i);
        bk_problem_minimum(out->problem, out->ready[d], ends, dish->stage_count, BK_NO_FACT);
    }
    if (dish->has_keeps) {
        int fact = bk_builder_fact(b, BK_FACT_KEEPS, dish->keeps_place);
        bk_builder_fact_at(b, fact)->dish = d;
        bk_builder_lag(b, (bk_point){out->ready[d], 0}, out->until[d], -dish->keeps, fact);
    }
}

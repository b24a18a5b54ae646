/* Plan to problem: what a stage finds in the hands of its own dish already. A dish that
 * holds a tin from pouring to unmoulding does not take another to bake in. */
#include "compile/parts.h"

/* Marks with `number` what comes after `stage`, and it. */
static void mark_after(const bk_followers *f, size_t stage, size_t *mark, size_t *stack,
                       size_t number)
{
    size_t depth = 0;
    stack[depth++] = stage;
    mark[stage] = number;
    while (depth > 0) {
        size_t at = stack[--depth];
        for (size_t k = f->first[at]; k < f->first[at + 1]; k++)
            if (mark[f->stage[k]] != number) {
                mark[f->stage[k]] = number;
                stack[depth++] = f->stage[k];
            }
    }
}

/* Marks with `number` what comes before the end of a hold, and what it lasts until. */
static void mark_before(const bk_plan *plan, const bk_hold *hold, size_t *mark, size_t *stack,
                        size_t number)
{
    size_t depth = 0;
    for (size_t k = 0; k <= hold->before; k++) {
        stack[depth++] = hold->until - k * hold->step;
        mark[hold->until - k * hold->step] = number;
    }
    while (depth > 0) {
        const bk_stage *at = &plan->stages[stack[--depth]];
        for (size_t k = 0; k < at->link_count; k++)
            if (mark[at->links[k].stage] != number) {
                mark[at->links[k].stage] = number;
                stack[depth++] = at->links[k].stage;
            }
    }
}

static bool needs(const bk_stage *stage, size_t e)
{
    for (size_t k = 0; k < stage->need_count; k++)
        if (stage->needs[k].equipment == e)
            return true;
    return false;
}

static bool is_until(const bk_hold *hold, size_t stage)
{
    for (size_t k = 0; k <= hold->before; k++)
        if (stage == hold->until - k * hold->step)
            return true;
    return false;
}

int64_t *bk_build_held(bk_builder *b, size_t e)
{
    const bk_plan *plan = b->plan;
    size_t n = plan->stage_count, number = 0;
    int64_t *held = BK_NEW(b->arena, int64_t, n);
    bool *dish_needs = BK_NEW(b->arena, bool, plan->dish_count);
    for (size_t i = 0; i < n; i++)
        dish_needs[plan->stages[i].dish] |= needs(&plan->stages[i], e);
    bk_followers f = {0};
    size_t *after = NULL, *before = NULL, *stack = NULL;
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < plan->stages[i].hold_count; k++) {
            const bk_hold *hold = &plan->stages[i].holds[k];
            const bk_dish *dish = &plan->dishes[plan->stages[i].dish];
            if (hold->equipment != e || !dish_needs[plan->stages[i].dish])
                continue;
            if (number++ == 0) {
                f = bk_followers_of(b->arena, plan);
                after = BK_NEW(b->arena, size_t, n);
                before = BK_NEW(b->arena, size_t, n);
                stack = BK_NEW(b->arena, size_t, n);
            }
            mark_after(&f, i, after, stack, number);
            mark_before(plan, hold, before, stack, number);
            for (size_t s = dish->first_stage; s < dish->first_stage + dish->stage_count; s++)
                if (s == i || is_until(hold, s) || (after[s] == number && before[s] == number))
                    held[s] += hold->amount;
        }
    return held;
}

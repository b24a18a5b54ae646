/* The links read forward. */
#include "plan/plan.h"

bk_followers bk_followers_of(bk_arena *arena, const bk_plan *plan)
{
    size_t n = plan->stage_count;
    bk_followers f = {.first = BK_NEW(arena, size_t, n + 1)};
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < plan->stages[i].link_count; k++)
            f.first[plan->stages[i].links[k].stage + 1]++;
    for (size_t i = 0; i < n; i++)
        f.first[i + 1] += f.first[i];
    f.stage = BK_NEW(arena, size_t, f.first[n]);
    size_t *filled = BK_NEW(arena, size_t, n);
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < plan->stages[i].link_count; k++) {
            size_t before = plan->stages[i].links[k].stage;
            f.stage[f.first[before] + filled[before]++] = i;
        }
    return f;
}

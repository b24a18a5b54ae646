/* The stages of a timeline by their index in the plan. */
#include "timeline/timeline.h"

void bk_timeline_index(bk_arena *arena, bk_timeline *timeline)
{
    size_t count = timeline->plan->stage_count;
    timeline->position = BK_NEW(arena, size_t, count);
    for (size_t i = 0; i < count; i++)
        timeline->position[i] = SIZE_MAX;
    for (size_t i = 0; i < timeline->stage_count; i++)
        timeline->position[timeline->stages[i].stage] = i;
}

const bk_placed *bk_timeline_placed(const bk_timeline *timeline, size_t stage)
{
    if (!timeline->position || timeline->position[stage] == SIZE_MAX)
        return NULL;
    return &timeline->stages[timeline->position[stage]];
}

bk_instant bk_timeline_until(const bk_timeline *timeline, size_t dish)
{
    const bk_plan *plan = timeline->plan;
    bk_instant last = INT64_MIN;
    for (size_t i = 0; plan->dishes[dish].part && i < timeline->stage_count; i++) {
        const bk_stage *stage = &plan->stages[timeline->stages[i].stage];
        for (size_t k = 0; k < stage->link_count; k++)
            if (stage->dish != dish && plan->stages[stage->links[k].stage].dish == dish &&
                timeline->stages[i].start > last)
                last = timeline->stages[i].start;
    }
    return last == INT64_MIN ? plan->dishes[dish].serve : last;
}

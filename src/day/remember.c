/* What a day that is over leaves for the next: how long its stages really took. */
#include "day/parts.h"

#include "learn/learn.h"

#include <string.h>

/* Somebody said that it was done: what is only taken to have gone as planned teaches nothing. */
static bool teaches(const bk_stage *stage)
{
    return stage->progress == BK_DONE && !stage->assumed && stage->planned <= BK_MOST_REAL;
}

static bk_real_time time_of(const bk_plan *as_written, const bk_stage *stage, size_t index)
{
    const bk_stage *written = &as_written->stages[index];
    return (bk_real_time){.at = stage->began + stage->planned,
                          .dish = as_written->dishes[stage->dish].name,
                          .stage = written->id,
                          .batch = written->batch,
                          .minutes = stage->planned,
                          .planned = written->planned,
                          .times = written->times};
}

/* The id as written: a batch's number is apart. */
static const char *plain_id(bk_arena *arena, const bk_stage *stage)
{
    const char *number = stage->batch > 0 ? strrchr(stage->id, '#') : NULL;
    return number ? bk_copy(arena, stage->id, (size_t)(number - stage->id)) : stage->id;
}

bool bk_day_remember(bk_arena *arena, const bk_plan *as_written, const bk_plan *rest,
                     size_t *remembered, bk_report *report)
{
    size_t n = rest->stage_count;
    bool *done = BK_NEW(arena, bool, n);
    *remembered = 0;
    for (size_t i = 0; i < n; i++) {
        const bk_source *source = rest->stages[i].range_place.source;
        const char *path = source ? bk_history_path(arena, source->name) : NULL;
        if (done[i] || !teaches(&rest->stages[i]) || !path)
            continue;
        bk_real_time *times = NULL;
        size_t count = 0, room = 0;
        for (size_t k = i; k < n; k++) {
            const bk_source *other = rest->stages[k].range_place.source;
            if (!teaches(&rest->stages[k]) || !other || strcmp(other->name, source->name) != 0)
                continue;
            done[k] = true;
            bk_real_time *time = BK_PUSH(arena, times, count, room);
            *time = time_of(as_written, &rest->stages[k], k);
            time->stage = plain_id(arena, &as_written->stages[k]);
        }
        if (!bk_history_append(arena, path, rest->zone, times, count, report))
            return false;
        *remembered += count;
    }
    return true;
}

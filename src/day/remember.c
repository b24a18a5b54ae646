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

/* How long an oven took from when it was to be turned on until somebody said that it was
 * hot, where that was for what was to go in next and nobody said so before. */
static bool warming_of(bk_arena *arena, const bk_plan *as_written, const bk_told *told,
                       const bk_day_entry *entry, bk_real_time *time)
{
    size_t e;
    int number;
    if (entry->what != BK_DAY_HOT || !bk_day_oven(as_written, entry->oven, &e, &number))
        return false;
    const bk_equipment *oven = &as_written->kitchen.equipment[e];
    bk_heats heats = bk_heats_of(arena, as_written);
    bool found = false;
    for (size_t i = 0; i < as_written->stage_count; i++) {
        const bk_stage *stage = &as_written->stages[i];
        int of = told->oven_number[i] > 0 ? told->oven_number[i] : 1;
        if (!bk_is_heated(stage) || stage->oven.equipment != e || of != number || !told->has[i])
            continue;
        int64_t preheat = bk_oven_preheat(oven, heats.hottest[i]);
        bk_instant on = told->start[i] - preheat;
        if (entry->at <= on || entry->at > told->start[i] + oven->idle ||
            (found && on > time->at - time->minutes))
            continue;
        *time = (bk_real_time){.at = entry->at,
                               .oven = oven->name,
                               .minutes = entry->at - on,
                               .planned = preheat,
                               .times = 1};
        found = true;
    }
    return found;
}

/* Beside the kitchen that says how long it takes. */
static bool remember_ovens(bk_arena *arena, const bk_plan *as_written, const bk_told *told,
                           const bk_day_entry *const *entries, size_t count, size_t *remembered,
                           bk_report *report)
{
    for (size_t i = 0; i < count; i++) {
        bk_real_time time;
        if (!warming_of(arena, as_written, told, entries[i], &time))
            continue;
        size_t e;
        int number;
        bk_day_oven(as_written, entries[i]->oven, &e, &number);
        const bk_source *source = as_written->kitchen.equipment[e].place.source;
        const char *path = source ? bk_history_path(arena, source->name) : NULL;
        if (!path)
            continue;
        if (!bk_history_append(arena, path, as_written->zone, &time, 1, report))
            return false;
        ++*remembered;
    }
    return true;
}

bool bk_day_remember(bk_arena *arena, const bk_plan *as_written, const bk_plan *rest,
                     const bk_told *told, const bk_day_entry *const *entries, size_t entry_count,
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
            time->stage = bk_written_id(arena, &as_written->stages[k]);
        }
        if (!bk_history_append(arena, path, rest->zone, times, count, report))
            return false;
        *remembered += count;
    }
    return remember_ovens(arena, as_written, told, entries, entry_count, remembered, report);
}

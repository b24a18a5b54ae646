/* Compulsory parts and the profile of their heights. Both outlive a call: few tasks have other
 * bounds than the last time, and where none has another compulsory part the profile is as it was.
 * Bounds are compared, not followed, so that nothing is to be taken back with the trail. */
#include "engine/profile.h"

void bk_task_new(bk_solver *solver, bk_task task)
{
    *BK_ADD(solver, solver->resources.tasks) = task;
    /* No task has these bounds, so that it is looked at. */
    *BK_ADD(solver, solver->resources.seen) = (bk_seen){.from = {BK_FAR, BK_FAR}};
    *BK_ADD(solver, solver->resources.by_start) = 0;
    *BK_ADD(solver, solver->resources.by_end) = 0;
    *BK_ADD(solver, solver->resources.compulsory_from) = BK_FAR;
    *BK_ADD(solver, solver->resources.compulsory_to) = BK_FAR;
    *BK_ADD(solver, solver->resources.start_near) = 0;
    *BK_ADD(solver, solver->resources.end_near) = 0;
}

void bk_sort_nearly(int32_t *order, int32_t count, const int32_t *key)
{
    for (int32_t i = 1; i < count; i++) {
        int32_t task = order[i], mine = key[task], k = i;
        while (k > 0 && key[order[k - 1]] > mine) {
            order[k] = order[k - 1];
            k--;
        }
        order[k] = task;
    }
}

static void widen(int32_t *from, int32_t *to, int32_t more_from, int32_t more_to)
{
    if (*from >= *to) {
        *from = more_from;
        *to = more_to;
        return;
    }
    if (more_from < *from)
        *from = more_from;
    if (more_to > *to)
        *to = more_to;
}

/* What has changed since the profile was built: where compulsory parts have grown. */
typedef struct changes {
    bool any, gone;
    int32_t from, to;
} changes;

/* The task's compulsory part by its bounds now. */
static void follow(bk_solver *solver, bk_cumulative *cumulative, int32_t index, changes *change)
{
    const bk_task *task = &solver->resources.tasks.at[index];
    bk_seen *seen = &solver->resources.seen.at[index];
    const int32_t *lb = solver->trail.lb;
    for (int side = 0; side < 2; side++) {
        seen->from[side] = lb[task->from + side];
        seen->to[side] = lb[task->to + side];
    }
    seen->presence = bk_presence_of(solver, task);
    seen->quiet = false;
    int32_t from = bk_latest_start(solver, task), to = bk_earliest_end(solver, task);
    if (from >= to || seen->presence != BK_PRESENT)
        from = to = BK_FAR; /* surely nowhere */
    int32_t *had_from = &solver->resources.compulsory_from.at[index],
            *had_to = &solver->resources.compulsory_to.at[index];
    if (from == *had_from && to == *had_to)
        return;
    change->any = true;
    if (from < *had_from)
        widen(&change->from, &change->to, from, *had_from < to ? *had_from : to);
    if (to > *had_to && to < BK_FAR)
        widen(&change->from, &change->to, *had_to > from ? *had_to : from, to);
    *had_from = from;
    *had_to = to;
    change->gone = change->gone || from == BK_FAR;
    if (from < BK_FAR && !seen->part) {
        seen->part = true;
        int32_t place = cumulative->first + cumulative->parts++;
        solver->resources.by_start.at[place] = solver->resources.by_end.at[place] = index;
    }
}

/* Without what has no compulsory part any more. Returns how many are left. */
static int32_t drop_gone(int32_t *order, int32_t count, const int32_t *from)
{
    int32_t kept = 0;
    for (int32_t i = 0; i < count; i++)
        if (from[order[i]] < BK_FAR)
            order[kept++] = order[i];
    return kept;
}

static void sort_parts(bk_solver *solver, bk_cumulative *cumulative, bool gone)
{
    const int32_t *from = solver->resources.compulsory_from.at,
                  *to = solver->resources.compulsory_to.at;
    int32_t *starts = solver->resources.by_start.at + cumulative->first,
            *ends = solver->resources.by_end.at + cumulative->first;
    if (gone) {
        for (int32_t i = 0; i < cumulative->parts; i++)
            solver->resources.seen.at[starts[i]].part = from[starts[i]] < BK_FAR;
        drop_gone(starts, cumulative->parts, from);
        cumulative->parts = drop_gone(ends, cumulative->parts, from);
    }
    bk_sort_nearly(starts, cumulative->parts, from);
    bk_sort_nearly(ends, cumulative->parts, to);
}

/* What is full, anew. Returns the time before which nothing has got so. */
static int32_t find_full(bk_solver *solver, bk_cumulative *cumulative)
{
    int32_t count = cumulative->profile.count, room = cumulative->capacity - cumulative->most;
    int32_t had = cumulative->full.count, same = BK_FAR;
    cumulative->full.count = 0;
    for (int32_t k = 0; k < count; k++) {
        bk_step step = cumulative->profile.at[k];
        if (step.height <= room)
            continue;
        int32_t at = cumulative->full.count,
                to = k + 1 < count ? cumulative->profile.at[k + 1].time : BK_FAR;
        bk_full *full = BK_ADD(solver, cumulative->full);
        if (same == BK_FAR &&
            (at >= had || full->from != step.time || full->to != to || full->height != step.height))
            same = at < had && full->from < step.time ? full->from : step.time;
        *full = (bk_full){step.time, to, step.height};
    }
    return same;
}

static void sweep(bk_solver *solver, bk_cumulative *cumulative)
{
    int32_t count = cumulative->parts;
    const bk_task *tasks = solver->resources.tasks.at;
    const int32_t *from = solver->resources.compulsory_from.at,
                  *to = solver->resources.compulsory_to.at;
    const int32_t *starts = solver->resources.by_start.at + cumulative->first,
                  *ends = solver->resources.by_end.at + cumulative->first;
    while (cumulative->profile.room < 2 * count)
        cumulative->profile.at =
            bk_memory_grow(&solver->memory, cumulative->profile.at, sizeof *cumulative->profile.at,
                           &cumulative->profile.room);
    bk_step *step = cumulative->profile.at;
    int32_t height = 0, peak = 0, s = 0, e = 0;
    while (e < count) {
        int32_t end = to[ends[e]], start = s < count ? from[starts[s]] : BK_FAR;
        int32_t time = start < end ? start : end;
        for (; end == time; end = e < count ? to[ends[e]] : BK_FAR)
            height -= tasks[ends[e++]].amount;
        for (; start == time; start = s < count ? from[starts[s]] : BK_FAR)
            height += tasks[starts[s++]].amount;
        if (height > peak)
            peak = height;
        *step++ = (bk_step){time, height};
    }
    cumulative->profile.count = (int32_t)(step - cumulative->profile.at);
    cumulative->peak = peak;
}

void bk_update_profile(bk_solver *solver, bk_cumulative *cumulative)
{
    changes change = {false, false, 0, 0};
    for (int32_t i = cumulative->first; i < cumulative->first + cumulative->count; i++)
        if (!bk_as_seen(solver, &solver->resources.tasks.at[i], &solver->resources.seen.at[i]))
            follow(solver, cumulative, i, &change);
    if (!change.any)
        return;
    sort_parts(solver, cumulative, change.gone);
    sweep(solver, cumulative);
    int32_t same = find_full(solver, cumulative);
    if (change.from < same)
        change.from = same;
    if (change.from < change.to)
        widen(&cumulative->grown_from, &cumulative->grown_to, change.from, change.to);
}

/* A task as its bounds are now. */
#ifndef BK_ENGINE_PROFILE_H
#define BK_ENGINE_PROFILE_H

#include "engine/solver.h"

#include <string.h>

static inline int32_t bk_earliest_start(const bk_solver *solver, const bk_task *task)
{
    return bk_lb(solver, task->from) + task->from_plus;
}

static inline int32_t bk_latest_start(const bk_solver *solver, const bk_task *task)
{
    return bk_ub(solver, task->from) + task->from_plus;
}

static inline int32_t bk_earliest_end(const bk_solver *solver, const bk_task *task)
{
    return bk_lb(solver, task->to) + task->to_plus;
}

static inline int32_t bk_latest_end(const bk_solver *solver, const bk_task *task)
{
    return bk_ub(solver, task->to) + task->to_plus;
}

static inline enum bk_presence bk_presence_of(const bk_solver *solver, const bk_task *task)
{
    return bk_is_true(solver, task->present)    ? BK_PRESENT
           : bk_is_false(solver, task->present) ? BK_ABSENT
                                                : BK_UNDECIDED;
}

/* Has this pair of sides the bounds of the other two? At once, since it is asked so often. */
static inline bool bk_same_pair(const int32_t *sides, const int32_t *others)
{
    return memcmp(sides, others, 2 * sizeof *sides) == 0;
}

/* Are the task's bounds those that the profile was last brought up to? */
static inline bool bk_as_seen(const bk_solver *solver, const bk_task *task, const bk_seen *seen)
{
    const int32_t *lb = solver->trail.lb;
    return bk_same_pair(&lb[task->from], seen->from) && bk_same_pair(&lb[task->to], seen->to) &&
           (task->present.side < 0 || bk_presence_of(solver, task) == seen->presence);
}

#endif

/* What longest paths alone decide, whatever the times: the orders of tasks that cannot run at
 * once, conditions whose lag no time allows, and overloads that move with the tasks. */
#ifndef BK_ENGINE_RELATIONS_H
#define BK_ENGINE_RELATIONS_H

#include "engine/resources.h"

/* [i * count + j]: variable j is always at least so much after i, or BK_NO_PATH. */
typedef struct bk_paths {
    int32_t count; /* of variables; 0: too many to measure */
    int32_t *at;
} bk_paths;
enum { BK_NO_PATH = INT32_MIN / 4, BK_MOST_MEASURED = 400 };

/* All longest paths by the lags that hold at the root and the bounds, for the loaded variables.
 * The lags are at their fixed point, so that no cycle is of positive length. */
bk_paths bk_longest_paths(bk_solver *solver);

/* `to` is always at least `least` after `from`; can never be. */
static inline bool bk_always_after(const bk_paths *paths, int32_t from, int32_t to, int32_t least)
{
    return paths->at[from * paths->count + to] >= least;
}

static inline bool bk_never_after(const bk_paths *paths, int32_t from, int32_t to, int32_t least)
{
    return paths->at[to * paths->count + from] + least > 0;
}

/* Is the task surely not empty (if it is present)? */
bool bk_has_length(const bk_paths *paths, const bk_task *task);

/* Settles at the root what the paths settle. False when that leaves nothing. */
bool bk_settle_relations(bk_solver *solver);

#endif

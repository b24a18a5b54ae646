/* What longest paths alone decide, whatever the times: the orders of tasks that cannot run at
 * once, conditions whose lag no time allows, and overloads that move with the tasks. */
#ifndef BK_ENGINE_RELATIONS_H
#define BK_ENGINE_RELATIONS_H

#include "engine/resources.h"

/* The longest paths between the variables that lags and tasks speak of. */
typedef struct bk_paths {
    int32_t count;  /* of those; 0: too many to measure */
    int32_t *index; /* by variable: its place among them, or -1 */
    int32_t *at;    /* [i * count + j]: the one is always at least so much after the other, or
                       BK_NO_PATH */
} bk_paths;
enum { BK_NO_PATH = INT32_MIN / 4, BK_MOST_MEASURED = 1000 };

/* All of them by the lags that hold at the root and the bounds. The lags are at their fixed
 * point, so that no cycle is of positive length. Ends with bk_paths_free. */
bk_paths bk_longest_paths(bk_solver *solver);
void bk_paths_free(bk_solver *solver, bk_paths *paths);

/* Of two variables that are measured. */
static inline int32_t bk_path(const bk_paths *paths, int32_t from, int32_t to)
{
    return paths->at[paths->index[from] * paths->count + paths->index[to]];
}

/* `to` is always at least `least` after `from`; can never be. */
static inline bool bk_always_after(const bk_paths *paths, int32_t from, int32_t to, int32_t least)
{
    return bk_path(paths, from, to) >= least;
}

static inline bool bk_never_after(const bk_paths *paths, int32_t from, int32_t to, int32_t least)
{
    return bk_path(paths, to, from) + least > 0;
}

/* Do lags, and not the bounds alone, lead from the one to the other? */
static inline bool bk_led_by_lags(const bk_paths *paths, int32_t from, int32_t to)
{
    return bk_path(paths, from, to) > bk_path(paths, from, 0) + bk_path(paths, 0, to);
}

/* Is the task surely not empty (if it is present)? */
bool bk_has_length(const bk_paths *paths, const bk_task *task);

/* Settles at the root what the paths settle. False when that leaves nothing. */
bool bk_settle_relations(bk_solver *solver);

/* ------------------------------------------------- relative_energy.c */

/* Has more to run near some variable, wherever that is, than the cumulative has room for? The
 * steps it took are added. */
bool bk_relative_overload(bk_solver *solver, const bk_paths *paths, int32_t cumulative,
                          int64_t *steps);

#endif

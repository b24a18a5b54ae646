/* Overloads that move with the tasks: as seen from any variable, wherever it is, tasks have an
 * earliest start and a latest end, and what falls between two of those has to fit (the overload
 * check of Erschler, Lopez, Thuriot, "Raisonnement temporel sous contraintes de ressource",
 * Revue d'Intelligence Artificielle 5, 1991, in differences). */
#include "engine/relations.h"
#include "engine/solver.h"

/* A task as seen from the variable. */
typedef struct seen {
    int32_t first_start, last_end;
    int64_t energy;
} seen;

typedef struct view {
    bk_solver *solver;
    const bk_paths *paths;
    const bk_task *tasks;
    int32_t count;
    seen *by_end; /* those with a length, by last end */
} view;

/* The tasks that lags keep near the variable on both sides. */
static int32_t look_from(const view *v, int32_t variable)
{
    int32_t n = 0;
    for (int32_t i = 0; i < v->count; i++) {
        const bk_task *task = &v->tasks[i];
        int64_t length = (int64_t)bk_path(v->paths, task->from / 2, task->to / 2) + task->to_plus -
                         task->from_plus;
        if (length <= 0 || !bk_is_true(v->solver, task->present) ||
            (task->from / 2 != variable && !bk_led_by_lags(v->paths, variable, task->from / 2)) ||
            (task->to / 2 != variable && !bk_led_by_lags(v->paths, task->to / 2, variable)))
            continue;
        seen now = {.first_start = bk_path(v->paths, variable, task->from / 2) + task->from_plus,
                    .last_end = task->to_plus - bk_path(v->paths, task->to / 2, variable),
                    .energy = length * task->amount};
        int32_t k = n++;
        for (; k > 0 && v->by_end[k - 1].last_end > now.last_end; k--)
            v->by_end[k] = v->by_end[k - 1];
        v->by_end[k] = now;
    }
    return n;
}

/* Is more to be done from some earliest start to some latest end than there is room for? */
static bool overloaded(const view *v, int32_t n, int32_t capacity)
{
    for (int32_t a = 0; a < n; a++) {
        int32_t from = v->by_end[a].first_start;
        int64_t energy = 0;
        for (int32_t b = 0; b < n; b++) {
            if (v->by_end[b].first_start < from)
                continue;
            energy += v->by_end[b].energy;
            if (energy > (int64_t)capacity * ((int64_t)v->by_end[b].last_end - from))
                return true;
        }
    }
    return false;
}

bool bk_relative_overload(bk_solver *solver, const bk_paths *paths, int32_t cumulative,
                          int64_t *steps)
{
    const bk_cumulative *resource = &solver->resources.cumulatives.at[cumulative];
    view v = {.solver = solver,
              .paths = paths,
              .tasks = solver->resources.tasks.at + resource->first,
              .count = resource->count};
    v.by_end = bk_memory_new(&solver->memory, (size_t)v.count + 1, sizeof *v.by_end);
    bool found = false;
    for (int32_t from = 1; from < solver->lags.sides / 2 && !found; from++) {
        if (paths->index[from] < 0)
            continue;
        int32_t n = look_from(&v, from);
        *steps += v.count + (int64_t)n * n;
        found = n > 1 && overloaded(&v, n, resource->capacity);
    }
    bk_memory_release(&solver->memory, v.by_end);
    return found;
}

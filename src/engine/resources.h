/* Cumulative resources: tasks that take an amount of a capacity while they run. Two kinds of
 * filtering, the timetable of compulsory parts (timetable.c) and timetable edge finding
 * (edge_finding.c), by one profile (profile.c). */
#ifndef BK_ENGINE_RESOURCES_H
#define BK_ENGINE_RESOURCES_H

#include "engine/trail.h"

typedef struct bk_task {
    int32_t from, from_plus, to, to_plus; /* even sides */
    int32_t amount;
    bk_literal present; /* side -1: always */
    int32_t cumulative;
} bk_task;

/* From `time` on compulsory parts take `height`. */
typedef struct bk_step {
    int32_t time, height;
} bk_step;

typedef struct bk_full {
    int32_t from, to, height;
} bk_full;

typedef struct bk_cumulative {
    int32_t capacity;
    int32_t first, count;    /* in `tasks` */
    bk_literal fact;         /* side -1: always */
    int32_t table;           /* holes that all its tasks keep clear of, or -1 */
    int32_t patience, pause; /* of edge finding: fruitless runs are followed by a pause */
    int32_t most;            /* of its tasks: the largest amount */
    /* Of the profile, by the bounds in `seen` of its tasks: */
    BK_VECTOR(bk_step) profile;
    int32_t peak;
    BK_VECTOR(bk_full) full;      /* what no task of the largest amount fits beside, ascending */
    int32_t parts;                /* compulsory parts in it: the first of by_start and by_end */
    int32_t grown_from, grown_to; /* outside of this nothing has got full since all quiet tasks were
                                     last found so */
} bk_cumulative;

enum bk_presence { BK_ABSENT, BK_UNDECIDED, BK_PRESENT };

/* Of a task: the bounds by which it is in the profile. */
typedef struct bk_seen {
    int32_t from[2], to[2]; /* of `from` and its other side, of `to` and its */
    enum bk_presence presence;
    bool part;  /* in by_start and by_end */
    bool quiet; /* by these bounds nothing full pushes it, but for what has got so since */
} bk_seen;

typedef struct bk_resources {
    BK_VECTOR(bk_task) tasks;
    BK_VECTOR(bk_cumulative) cumulatives;
    BK_VECTOR(bk_seen) seen;  /* by task */
    bk_ints by_start, by_end; /* of each cumulative: the tasks that have compulsory parts, nearly
                                 sorted by these; then room for the others */
    bk_ints compulsory_from, compulsory_to; /* by task: where it runs whatever is decided */
    bk_ints start_near, end_near; /* by task: what was full beside its bounds, the last time; a
                                     guess now */
} bk_resources;

/* Windows are cut back with the trail. The rest is scratch, room for the tasks of the largest
 * cumulative. */
typedef struct bk_edge_finding {
    bk_literals windows; /* of reasons: side = from, value = to */
    BK_VECTOR(int64_t) profile_energy;
    int32_t *task, *first_start, *last_start, *first_end, *last_end, *open, *by_start, *by_end,
        *spare;
    int64_t *sure_at_start, *sure_at_end, *loss;
    int32_t room;
} bk_edge_finding;

/* A task of a fixed length that is always there. */
static inline bool bk_is_plain(const bk_task *task)
{
    return task->from == task->to && task->present.side < 0;
}

/* A task at the end of those there are. */
void bk_task_new(bk_solver *solver, bk_task task);
bool bk_propagate_timetable(bk_solver *solver, int32_t index);
void bk_explain_timetable(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);
/* Brings the profile up to the bounds now (profile.c). */
void bk_update_profile(bk_solver *solver, bk_cumulative *cumulative);
/* Insertion sort by key, in order where keys are equal: for what hardly changes from one call to
 * the next. */
void bk_sort_nearly(int32_t *order, int32_t count, const int32_t *key);

/* Makes the scratch of edge finding fit for cumulatives of so many tasks. */
void bk_edge_finding_room(bk_solver *solver, int32_t tasks);
bool bk_propagate_edge_finding(bk_solver *solver, int32_t index);
void bk_explain_edge_finding(bk_solver *solver, bk_literal literal, bk_reason reason,
                             int32_t event);

#endif

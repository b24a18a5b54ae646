/* Partial schedules of a project, layer by layer: where a problem is nothing but precedences and
 * cumulative resources, and small, an exact search of another kind. What can follow a partial
 * schedule depends on which tasks it has and on when those that still run end, not on how it came
 * to that: of all with the same tasks only those stay that no other is at least as good as (the
 * cutset rule: Demeulemeester and Herroelen, "New benchmark results for the resource-constrained
 * project scheduling problem", Management Science 43, 1997). Learned clauses cannot say that, and
 * find it out anew for each. */
#ifndef BK_ENGINE_PARTIAL_SCHEDULES_H
#define BK_ENGINE_PARTIAL_SCHEDULES_H

#include "engine/activity_lists.h"

enum {
    BK_PARTIAL_TASKS = 63, /* a set of them is a word, of which the top bit stays free */
    BK_PARTIAL_LANES = 4   /* resources come in so many; the last ones may be none */
};

/* The project in one direction of time, as the root's bounds have it. By task, where nothing else
 * is said. */
typedef struct bk_partial_tasks {
    int32_t count, resources;
    int32_t *length, *least, *most; /* of the start */
    uint64_t *before;               /* tasks that have to end before this one starts */
    int32_t *need;                  /* by task and resource */
    int32_t *capacity;              /* by resource */
    int32_t *deadline;              /* latest ends, ascending, each once */
    int32_t deadlines;
    int32_t *late;  /* by task, deadline and resource: the work that falls before the deadline at
                       least, with nothing of the task before the time at hand */
    int32_t *total; /* by deadline and resource: the sum of those, less what fits before it */
} bk_partial_tasks;

typedef struct bk_partial_state {
    uint64_t set;  /* its tasks; all bits: one that is as good came */
    int32_t time;  /* the last start: nothing starts earlier any more */
    int32_t sum;   /* of all ends, those before its time counted as that */
    int32_t after; /* the next of the same hash, of no smaller sum; or -1 */
} bk_partial_state;

/* Partial schedules of as many tasks each. */
typedef struct bk_layer {
    bk_partial_state *states;
    int16_t *ends; /* by state and task: 0 where it is not in the set */
    int32_t count, room;
} bk_layer;

typedef struct bk_direction {
    bk_partial_tasks tasks;
    bk_layer now, next;
    bool closed;     /* it has become too large */
    int32_t depth;   /* tasks of each state of `now` */
    int32_t at;      /* states of `now` before this have been extended */
    int32_t *head;   /* by hash of the set: a state of `next`, or -1 */
    int32_t heads;   /* a power of two */
    int64_t looks;   /* at other states, for the one that is extended */
    uint64_t summed; /* the set that `open` is of */
    int32_t *open;   /* by deadline and resource: `total` without the tasks of the set */
} bk_direction;

struct bk_partials {
    const struct bk_lists *lists;
    int32_t *length;  /* by variable: until what comes after it may start; 0: no task */
    int32_t *task_of; /* by variable, or -1 */
    int32_t *variable;
    uint64_t *before, *after; /* by variable: tasks */
    int32_t count, stride;    /* tasks; words of a state's ends */
    int32_t target;           /* what is looked for: the sink's start at most; -1: nothing yet */
    int32_t end;              /* the mirror of time: no task ends later */
    bool given_up;            /* on this target */
    bool best;                /* what was found has no better */
    int64_t spent;            /* on this target, in states */
    int32_t turn;             /* the direction at work */
    bk_direction direction[2];
    int32_t *rest, *gap; /* scratch: by deadline and resource; by resource */
};

/* Room for the search; NULL for other problems, or larger ones. */
struct bk_partials *bk_partials_new(bk_solver *solver, const struct bk_lists *lists);
/* Looks for a schedule with the sink's start at most `target`, which the root knows to be asked
 * for; targets only go down. It goes on from where it was, and extends about so many partial
 * schedules. FOUND: solver->found, and partials->best where nothing is better. LIMIT: not yet, or
 * it has become too large. */
enum bk_outcome bk_partials_search(bk_solver *solver, struct bk_partials *partials, int32_t target,
                                   int64_t states);

/* ---------------------------------------------------------- partial_tasks.c */

/* The tasks as they are at the root now, and mirrored; room for them is there. */
void bk_partial_tasks_read(bk_solver *solver, struct bk_partials *partials);

#endif

/* Propagators and the queues in which they wait: cheap ones first. */
#ifndef BK_ENGINE_QUEUE_H
#define BK_ENGINE_QUEUE_H

#include "engine/trail.h"

enum bk_propagator_kind {
    BK_RUN_LINEAR,
    BK_RUN_HOLES,
    BK_RUN_MINIMUM,
    BK_RUN_TIMETABLE,
    BK_RUN_EDGE_FINDING,
    BK_RUN_COMPLETIONS
};
enum { BK_PRIORITIES = 3 };

typedef struct bk_propagator {
    enum bk_propagator_kind kind;
    int32_t index;
    bool queued;
    int queue; /* by kind: what is cheap comes first */
} bk_propagator;

typedef struct bk_queue {
    BK_VECTOR(bk_propagator) propagators;
    bk_ints *wakes; /* by side: propagators */
    bk_ints waiting[BK_PRIORITIES];
    int32_t first[BK_PRIORITIES]; /* those before it have run */
    bool held; /* lags and clauses alone are propagated: what waits goes on waiting */
} bk_queue;

int32_t bk_propagator_new(bk_solver *solver, enum bk_propagator_kind kind, int32_t index);
void bk_wake(bk_solver *solver, int32_t propagator);
/* Wakes all, as after loading. */
void bk_wake_all(bk_solver *solver);
/* Nothing waits any more. */
void bk_queue_clear(bk_solver *solver);

/* To the fixed point. False on a conflict. */
bool bk_propagate(bk_solver *solver);
/* Adds to analysis.premises the literals, all true before the event (events.count for "now"),
 * that imply `literal`, which `reason` gave. */
void bk_explain(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);

#endif

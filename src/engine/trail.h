/* Bounds, the trail of their changes with the reason of each, and decision levels (Marques-Silva
 * and Sakallah, "GRASP", IEEE Trans. Computers 48, 1999). A reason is spelled out as literals
 * only when conflict analysis asks (bk_explain). */
#ifndef BK_ENGINE_TRAIL_H
#define BK_ENGINE_TRAIL_H

#include "engine/branching.h"
#include "engine/literal.h"

typedef struct bk_solver bk_solver;

enum bk_reason_kind {
    BK_BY_DECISION,
    BK_BY_CLAUSE,       /* index: the clause */
    BK_BY_LAG,          /* index: the side that pushed, aux: by how much */
    BK_BY_CONDITIONAL,  /* index: the conditional lag; aux: 0 forward, 1 backward, 2+k: condition k
                           fails */
    BK_BY_TIMETABLE,    /* index: the task, aux: the overloaded time */
    BK_BY_HOLE,         /* index: the interval, aux: the hole */
    BK_BY_MINIMUM,      /* index: the minimum, aux: -1 for the bottom, else the point */
    BK_BY_LINEAR,       /* index: the linear constraint, aux: the term */
    BK_BY_EDGE_FINDING, /* index: the task, aux: the window in edges.windows */
    BK_BY_COMPLETIONS   /* index: the bound of a weighted sum of completions */
};

typedef struct bk_reason {
    enum bk_reason_kind kind;
    int32_t index, aux;
} bk_reason;

typedef struct bk_event {
    int32_t side, value, old;
    int32_t previous; /* event before this on the same side, or -1 */
    int32_t jump;     /* one further before, or -1: back to any takes as many steps as the logarithm
                         of how many there are */
    int32_t before;   /* how many there are before it on its side */
    int32_t level;
    int32_t lag_cause; /* by a lag: the event it came from; else, or from the root, -1 */
    int32_t lag_depth; /* lags in a row that led here: see bk_lag_cycle */
    bk_reason reason;
} bk_event;

/* Where a decision level began. */
typedef struct bk_level {
    int32_t trail, popped, windows;
    int32_t open[BK_KINDS];
} bk_level;

typedef struct bk_trail {
    int32_t sides, room;
    int32_t *lb;   /* by side: its lower bound; the upper bound of x is -lb[2x + 1] */
    int32_t *last; /* by side: its last event, or -1 */
    BK_VECTOR(bk_event) events;
    int32_t propagated; /* events before this are propagated */
    BK_VECTOR(bk_level)
    levels; /* levels.count - 1 is the current one; level 0 is the root, level 1
               holds assumptions */
} bk_trail;

/* Makes a new variable of domain lb..ub; only at level 0. Returns its number. */
int32_t bk_variable_new(bk_solver *solver, int32_t lb, int32_t ub, enum bk_branch_kind kind);

/* Raises a bound. False on a conflict, which is then in analysis.conflict. */
bool bk_raise(bk_solver *solver, bk_literal literal, bk_reason reason);
void bk_new_level(bk_solver *solver);
void bk_backtrack(bk_solver *solver, int32_t level);
/* The bound of a side just before an event. */
int32_t bk_lb_before(const bk_solver *solver, int32_t side, int32_t event);
/* The event that made a true literal true, or -1 when it holds at the root. */
int32_t bk_event_of(const bk_solver *solver, bk_literal literal);

#endif

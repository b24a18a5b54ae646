/* Branching: on the literal of the highest activity (VSIDS: Moskewicz, Madigan, Zhao, Zhang,
 * Malik, "Chaff", DAC 2001), and where none is open on the earliest start; towards a saved
 * phase (Pipatsrisawat and Darwiche, "A lightweight component caching scheme for
 * satisfiability solvers", SAT 2007), which is that of the best solution once there is one. */
#ifndef BK_ENGINE_BRANCHING_H
#define BK_ENGINE_BRANCHING_H

#include "engine/literal.h"

struct bk_solver;

/* Branching order: starts and choices that go with one, other booleans, what follows from the
 * rest (facts, objectives). */
enum bk_branch_kind { BK_STARTS, BK_BOOLEANS, BK_REST, BK_KINDS };

/* A statement x >= value that learned clauses speak of. */
typedef struct bk_atom {
    int32_t side, value; /* an even side */
    int32_t heap;        /* place in the heap, or -1 */
    double activity;
} bk_atom;

typedef struct bk_activity {
    BK_VECTOR(bk_atom) atoms;
    bk_ints heap;   /* the most active first */
    bk_ints popped; /* taken from the heap at this level or one below */
    int32_t *table; /* by hash: atom + 1 */
    int32_t table_size;
    double step; /* what a conflict adds */
} bk_activity;

/* An open start, and what says which is the next: the least time; to dispatch, the highest rate;
 * then the one that must start earliest. */
typedef struct bk_start {
    int32_t variable, least, most;
    int64_t rate;
} bk_start;

/* The starts that were next when all were looked at. Until the search goes back least times only
 * rise: another comes before `beyond` only where its greatest falls, and is then added. */
typedef struct bk_next_starts {
    BK_VECTOR(bk_start) list; /* while it is gathered a heap, the last at the top */
    bk_start beyond;          /* the first of all others */
    int32_t seen;             /* events of the trail */
    bool looked;              /* the search has not gone back since all were looked at */
} bk_next_starts;

typedef struct bk_branching {
    unsigned char *kind; /* by variable */
    int32_t *owner;      /* by variable: a choice waits until this start is fixed; or 0 */
    /* Variables by kind; those before open_count include all that are not fixed. Fixed ones
     * move behind, and come back when the count does on backtracking. */
    bk_ints open[BK_KINDS];
    int32_t open_count[BK_KINDS];
    bk_next_starts next;
    int64_t *rate;    /* by variable: what a level's sum gains by an early start, or 0 */
    bool by_rate;     /* branch by start and rate alone */
    int32_t *phase;   /* by variable: the value to lean to */
    bool phases_kept; /* they are a solution's or the hint's: backtracking saves no others */
} bk_branching;

/* Branches on `variable` as another kind; at level 0. */
void bk_branch_as(struct bk_solver *solver, int32_t variable, enum bk_branch_kind kind);
/* The next decision, on a new level. False when every variable is fixed. */
bool bk_decide(struct bk_solver *solver, bk_literal *decision);

/* The search goes back: what was next need not be so now. */
void bk_forget_starts(struct bk_solver *solver);

/* ----------------------------------------------------------- activity.c */

/* Counts a conflict that speaks of the literal; `make`: also for one not known yet. */
void bk_activity_bump(struct bk_solver *solver, bk_literal literal, bool make);
void bk_activity_decay(struct bk_solver *solver);
/* Takes the most active atom off the heap. */
int32_t bk_activity_pop(struct bk_solver *solver);
/* Back into the heap with all that was popped after `popped`. */
void bk_activity_restore(struct bk_solver *solver, int32_t popped);
/* Forgets atoms that no kept clause speaks of. */
void bk_activity_collect(struct bk_solver *solver);

#endif

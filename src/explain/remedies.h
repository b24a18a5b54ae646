/* Private to explain: the single changes that settle one conflict. */
#ifndef BK_EXPLAIN_REMEDIES_H
#define BK_EXPLAIN_REMEDIES_H

#include "explain/explain.h"

enum { BK_MOST_HARMS = 16 /* of one change */ };

/* A food-safety warning about the timeline that a change was tried with. */
typedef struct bk_warned {
    const char *code;
    size_t stage;
} bk_warned;

/* A copy of a plan with so much of the change made; NULL when it cannot be made. */
typedef bk_plan *bk_plan_change(bk_arena *arena, const bk_plan *old, void *context, int64_t amount);

/* A change that was found to help. */
typedef struct bk_attempt {
    bk_plan_change *change; /* and what it is called with, to make it again */
    void *context;
    int64_t amount;
    int64_t size; /* how much it asks: minutes, or their like */
    bk_remedy remedy;
    size_t eased;        /* the dish of the wait that is changed, or SIZE_MAX */
    size_t left_out;     /* the dish left out, or SIZE_MAX */
    size_t target;       /* of changes by the same function: which thing; more of it includes less.
                            SIZE_MAX: not told */
    bk_instant from, to; /* of hours given up (`target`: whose, and of what kind): these */
    bk_warned harms[BK_MOST_HARMS];
    size_t harm_count;
    bool drawback; /* its message says of one */
    bool far;      /* no cook would take it */
} bk_attempt;

/* Conflicts of the search for each attempt, of the effort for all. */
static inline int64_t bk_effort_of_each(int64_t effort)
{
    return effort / 20 + 100;
}

/* The changes that settle a conflict while the facts of others, put aside, are taken as met:
 * the small ones first, those with a drawback behind them, and last what no cook would take, where
 * there is little else. With facts put aside none of them is
 * scheduled, as it does not make the plan possible. `effort` is for each attempt. */
size_t bk_attempts_of(bk_arena *arena, bk_timeline *timeline, const bk_conflict *conflict,
                      const bk_fact *aside, size_t aside_count, int64_t effort,
                      bk_onlooker *onlooker, bk_reschedule *reschedule, bk_attempt **found);

/* What the first `count` of them say. */
bk_remedy *bk_remedies_of(bk_arena *arena, const bk_attempt *attempts, size_t count);

#endif

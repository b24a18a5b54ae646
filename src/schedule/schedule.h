/* The kitchen's meaning: a plan in, the best timeline out, checked by code that
 * shares nothing with what made it.
 */
#ifndef BK_SCHEDULE_H
#define BK_SCHEDULE_H

#include "engine/engine.h"
#include "timeline/timeline.h"

/* What a search is at. */
enum bk_goal {
    BK_GOAL_ANY, /* a first timeline, whatever it is like */
    BK_GOAL_HANDS_ON,
    BK_GOAL_BUSIEST_OTHER_DAY,
    BK_GOAL_MOVED, /* of a day under way: the fewest stages at another time than was told */
    BK_GOAL_FIRST_START,
    BK_GOAL_INTERRUPTIONS,
    BK_GOAL_WAITING,
    BK_GOAL_WHY,
    BK_GOAL_REMEDIES
};

typedef struct bk_search_state {
    enum bk_goal goal;
    int level, levels;      /* of the objective, from 0, and how many; -1 without one */
    bool found;             /* there is a timeline */
    bk_instant first_start; /* of the best so far */
    int64_t best, bound;    /* of the goal: minutes, a number, or for the first start instants:
                               none starts after `bound`; else none is less than that */
    int64_t used, effort;   /* in conflicts, or as many steps */
    const bk_zone *zone;    /* of the plan; NULL as long as nothing is found */
} bk_search_state;

/* Somebody who is told how far a search is, every so many steps. */
typedef struct bk_follower {
    bk_onlooker onlooker;                                         /* this first */
    bool (*tell)(void *context, const bk_search_state *progress); /* false calls the search off */
    void *context;
    const struct bk_compiled *compiled; /* what is solved; NULL: something on the way */
    int from_level;                     /* of it: nothing is told of those before */
    bk_search_state progress;
    int64_t conflicts, work, untold;
    int64_t every; /* told after so many steps; 0: as most want it */
} bk_follower;

/* `effort` as in bk_schedule_options. */
bk_follower bk_follower_new(bool (*tell)(void *context, const bk_search_state *progress),
                            void *context, int64_t effort);

/* What is sought from now on is something else; accepts NULL. */
void bk_follower_turn(bk_follower *follower, enum bk_goal goal);

typedef struct bk_schedule_options {
    int64_t effort;        /* limit in conflicts; <= 0: the default, BK_DEFAULT_EFFORT */
    bool remedies;         /* impossible: also find what would help */
    bool unexplained;      /* impossible: that is all there is to know */
    bk_follower *follower; /* or NULL */
    bk_onlooker *onlooker; /* of whom this is one step only; or NULL */
} bk_schedule_options;

/* The best timeline of a plan, verified. NULL only when the timeline failed
 * verification: an internal error, reported. */
bk_timeline *bk_schedule(bk_arena *arena, const bk_plan *plan, const bk_schedule_options *options,
                         bk_report *report);

/* How late each dish is at least, of a day under way that cannot keep its hours. */
typedef struct bk_lateness {
    bool wrong;                  /* an internal error: nothing else counts */
    bool possible;               /* false: not even so, or the effort ran out */
    bool proved;                 /* false: less may do */
    int64_t *late, *margin_used; /* by dish: minutes after its serve; of the margin before it */
    bk_instant *start;           /* by stage */
    bk_instant *ready;           /* by dish, of those whose keeps_run_out */
} bk_lateness;

/* The least sum over the dishes of the minutes after serve, each at most `most`; then the least
 * of the margins taken; then what should have begun already as soon, and what will be ready too
 * soon as late, as it can, by the sum of its minutes; then the fewest stages that move. `follower`:
 * or NULL. */
bk_lateness bk_least_lateness(bk_arena *arena, const bk_plan *plan, int64_t most, int64_t effort,
                              bk_follower *follower);

#endif

/* The kitchen's meaning: a plan in, the best timeline out, checked by code that
 * shares nothing with what made it.
 */
#ifndef BK_SCHEDULE_H
#define BK_SCHEDULE_H

#include "timeline/timeline.h"

typedef struct bk_schedule_options {
    int64_t effort;   /* limit in conflicts; <= 0: the default, BK_DEFAULT_EFFORT */
    bool remedies;    /* impossible: also find what would help */
    bool unexplained; /* impossible: that is all there is to know */
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
} bk_lateness;

/* The least sum over the dishes of the minutes after serve, each at most `most`; then the least
 * of the margins taken; then the fewest stages that move. */
bk_lateness bk_least_lateness(bk_arena *arena, const bk_plan *plan, int64_t most, int64_t effort);

#endif

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

#endif

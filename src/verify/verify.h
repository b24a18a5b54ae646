/* A timeline held against its plan by code that shares nothing with what made it. */
#ifndef BK_VERIFY_H
#define BK_VERIFY_H

#include "timeline/timeline.h"

/* One broken rule: its number in the format's section 6 (8 = serve, keeps,
 * stored; 0 = the timeline's own figures: order, objective, oven runs). */
typedef struct bk_breach {
    int rule;
    size_t stage;        /* index in plan.stages, or SIZE_MAX */
    const char *message; /* what is wrong, with times */
} bk_breach;

/* Re-reads a timeline against its plan, rule by rule, sharing no code with what
 * scheduled it. Returns the number of breaches (at most 100 are kept in
 * *breaches). Does not check that the timeline is the best. */
size_t bk_verify(bk_arena *arena, const bk_timeline *timeline, bk_breach **breaches);

#endif

/* Private to schedule: why a plan cannot be met. */
#ifndef BK_SCHEDULE_EXPLAIN_H
#define BK_SCHEDULE_EXPLAIN_H

#include "schedule/schedule.h"

/* Fills timeline->why with facts that together cannot be met, shrunk until no one
 * of them can be left out (within `effort` conflicts for each attempt), in the
 * order of the plan's own chain, each with its sentence. */
void bk_explain(bk_arena *arena, bk_timeline *timeline, int64_t effort);

#endif

/* Private to schedule: why a plan cannot be met, and what would help. */
#ifndef BK_SCHEDULE_EXPLAIN_H
#define BK_SCHEDULE_EXPLAIN_H

#include "schedule/compile.h"

/* Facts of a plan, compiled with these options, that together cannot be met:
 * shrunk until no one of them can be left out, each attempt within `effort`
 * conflicts, in the order of the chain they form, each with its sentence. Not
 * `proved` when the plan fits or the effort ran out. */
bk_reasons bk_reasons_of(bk_arena *arena, const bk_plan *plan, bk_compile_options options,
                         int64_t effort);

/* Fills timeline->remedies of an impossible plan from the facts in timeline->why:
 * single changes, each the least of its kind, each solved and verified. */
void bk_remedies(bk_arena *arena, bk_timeline *timeline, int64_t effort);

#endif

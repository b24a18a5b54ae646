/* Why a plan cannot be met, and what would help. */
#ifndef BK_EXPLAIN_H
#define BK_EXPLAIN_H

#include "compile/compile.h"

/* Each function's `onlooker` is who looks on, or NULL: once that one has called it off, the
 * function ends with what it has. */

/* Facts of a plan, compiled with these options, that together cannot be met:
 * shrunk until no one of them can be left out, each attempt within `effort`
 * conflicts, in the order of the chain they form, each with its sentence. Not
 * `proved` when the plan fits or the effort ran out. */
bk_reasons bk_reasons_of(bk_arena *arena, const bk_plan *plan, bk_compile_options options,
                         int64_t effort, bk_onlooker *onlooker);

/* The same with some facts put aside, as if they were met: what is wrong besides. */
bk_reasons bk_reasons_beside(bk_arena *arena, const bk_plan *plan, const bk_fact *aside,
                             size_t aside_count, int64_t effort, bk_onlooker *onlooker);

/* By fact of a compiled plan: it is one of `aside`. */
bool *bk_facts_aside(bk_arena *arena, const bk_compiled *compiled, const bk_fact *aside,
                     size_t aside_count);

/* Schedules a changed plan within `effort` conflicts; NULL where its timeline fails
 * verification. What schedules stands above this folder, so it is handed down. */
typedef bk_timeline *bk_reschedule(bk_arena *arena, const bk_plan *plan, int64_t effort,
                                   bk_onlooker *onlooker);

/* Fills timeline->remedies of an impossible plan from the facts in timeline->why:
 * single changes, each the least of its kind, each solved and verified. True when one of them asks
 * for little: no more than three hours, or what is like that. */
bool bk_remedies(bk_arena *arena, bk_timeline *timeline, int64_t effort, bk_onlooker *onlooker,
                 bk_reschedule *reschedule);

/* Where bk_remedies found none that asks for little: looks for up to two further conflicts, which
 * share no fact with those found, or only hours, hands, things and the like; changes that settle
 * each of them, and one set of changes, verified, that makes the plan possible. Fills
 * timeline->all_conflicts and timeline->together. */
void bk_more_conflicts(bk_arena *arena, bk_timeline *timeline, int64_t effort,
                       bk_onlooker *onlooker, bk_reschedule *reschedule);

/* What fixes the first start of a timeline: why nothing of it can start later. */
bk_reasons bk_why_start(bk_arena *arena, const bk_timeline *timeline, int64_t effort,
                        bk_onlooker *onlooker);

/* What would have to change for a stage (index in plan.stages) to start a minute
 * later than it does, the rest free to move but the first start no earlier. */
bk_reasons bk_why_stage(bk_arena *arena, const bk_timeline *timeline, size_t stage, int64_t effort,
                        bk_onlooker *onlooker);

#endif

/* Private to schedule: from a solution of the compiled problem to a timeline. */
#ifndef BK_SCHEDULE_PLACE_H
#define BK_SCHEDULE_PLACE_H

#include "compile/compile.h"

/* Fills stages, checks, ovens, figures, slack and what pins each stage. `value`
 * is a valid assignment; it is changed where a check can stand nearer to its
 * written minute. Warnings go to the report. */
void bk_timeline_place(bk_arena *arena, bk_timeline *timeline, const bk_compiled *compiled,
                       int32_t *value, bk_report *report);

/* Whose hands each stage and check takes, where the cooks have names; the stages are in
 * order. */
void bk_timeline_hands(bk_arena *arena, bk_timeline *timeline, const bk_compiled *compiled,
                       const int32_t *value);

/* The oven runs of placed stages; also sets each stage's temperature. */
void bk_timeline_ovens(bk_arena *arena, bk_timeline *timeline);

#endif

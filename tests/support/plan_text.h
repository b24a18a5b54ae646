/* A plan's text straight to the plan or to its timeline, for tests of what a cook
 * would write. */
#ifndef BK_TEST_PLAN_TEXT_H
#define BK_TEST_PLAN_TEXT_H

#include "schedule/schedule.h"

/* Reads; fails the test with the text and the messages when it cannot be read. */
bk_plan *read_plan_text(bk_arena *arena, const char *json, const bk_read_options *options);

/* Reads and schedules; fails the test likewise, also when the timeline does not
 * stand. */
bk_timeline *schedule_plan_text(bk_arena *arena, const char *json,
                                const bk_schedule_options *options);

#endif

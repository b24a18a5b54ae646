/* A plan's text straight to its timeline, for tests of what a cook would write. */
#ifndef BK_TEST_PLAN_TEXT_H
#define BK_TEST_PLAN_TEXT_H

#include "schedule/schedule.h"

/* Reads and schedules; fails the test with the messages when the plan cannot be
 * read or the timeline does not stand. */
bk_timeline *schedule_plan_text(bk_arena *arena, const char *json,
                                const bk_schedule_options *options);

#endif

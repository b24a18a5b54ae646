/* Private to schedule: facts of a plan in words. */
#ifndef BK_SCHEDULE_FACTS_H
#define BK_SCHEDULE_FACTS_H

#include "schedule/schedule.h"

/* A fact of a kind that speaks of nothing yet. */
bk_fact bk_fact_new(enum bk_fact_kind kind, bk_place place);

/* Whether two facts are of one kind and speak of the same. */
bool bk_fact_same(const bk_fact *a, const bk_fact *b);

/* The sentence of a fact, with names, amounts and civil times. */
const char *bk_fact_sentence(bk_arena *arena, const bk_plan *plan, const bk_fact *fact);

/* When a dish has to be ready, the margin included: "Torte has to be ready at Thu 24 Dec
 * 19:20, 10 min before it is served". */
const char *bk_ready_sentence(bk_arena *arena, const bk_plan *plan, size_t dish);

/* "Thu 24 Dec 19:30" in the plan's zone. */
const char *bk_when_words(bk_arena *arena, const bk_plan *plan, bk_instant instant);

/* "19:30 on Saturday" in the plan's zone. */
const char *bk_hour_words(bk_arena *arena, const bk_plan *plan, bk_instant instant);

/* "asleep", "away" or "busy", with the calendar's label and the times: "asleep
 * Thu 22:30 to Fri 07:00". */
const char *bk_window_words(bk_arena *arena, const bk_plan *plan, const bk_window *window);

#endif

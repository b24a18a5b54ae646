/* A household's timeline made by hand: the writers are tested without reading
 * plans and without solving. Invented data. */
#ifndef BK_TESTS_WRITE_FIXTURE_H
#define BK_TESTS_WRITE_FIXTURE_H

#include "schedule/schedule.h"

/* Torte, roast, rolls and panna cotta for Friday 2026-12-18 19:30 in London:
 * begun on Thursday evening, two sets over night, one oven at two temperatures,
 * checks of both kinds, a stage watched on the hob. Status optimal. The caller
 * may change it; it lives in the arena. */
bk_timeline *fixture_supper(bk_arena *arena);

/* The supper on the Sunday on which summer time ends: all of it
 * moved there, nobody asleep or away, no oven. */
bk_timeline *fixture_clock_change(bk_arena *arena);

/* The same plan with no timeline: two facts that do not fit, two remedies. */
bk_timeline *fixture_impossible(bk_arena *arena);

/* `count` stages in one dish with long names, one after the other. */
bk_timeline *fixture_long(bk_arena *arena, size_t count);

/* The timeline's plan, to be changed: the fixtures made it. */
bk_plan *fixture_plan(bk_timeline *timeline);

/* The instant of a civil time in the fixture's zone. */
bk_instant fixture_at(const bk_timeline *timeline, int day, int hour, int minute);

#endif

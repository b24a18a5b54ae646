/* Stages that cannot drift apart. */
#ifndef BK_COMPILE_TIED_H
#define BK_COMPILE_TIED_H

#include "plan/plan.h"

/* For every stage the number of its group: stages that waits hold together from
 * both sides (each starts neither long before nor long after the other) share one.
 * These are the strongly connected parts of the graph of links, with an arc back
 * for each `within`. */
size_t *bk_tied_groups(bk_arena *arena, const bk_plan *plan);

#endif

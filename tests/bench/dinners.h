/* Dinners made up by a seed, in the plan format, of the dishes that a home kitchen knows:
 * for measuring what of them is proved. */
#ifndef BENCH_DINNERS_H
#define BENCH_DINNERS_H

#include "base/base.h"

/* A dinner of 6 to 14 dishes for one evening, with one or two cooks, an oven or two, a hob
 * and a fridge; most of them can be met. */
const char *made_up_dinner(bk_arena *arena, uint64_t seed);

/* Twelve dishes of five hands-on steps each, one cook, all for one hour. */
const char *made_up_buffet(bk_arena *arena, uint64_t seed);

#endif

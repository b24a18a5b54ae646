/* Plans made up by a seed that ask too much, in the plan format, for measuring how
 * soon that is known. */
#ifndef BENCH_IMPOSSIBLE_H
#define BENCH_IMPOSSIBLE_H

#include "base/base.h"

/* A plan of 2 to 40 stages, with everything that the format has; every third is an easy
 * one in which one number was changed, every third has little room between its stages. Many of them
 * cannot be met; no other limit is set on what they ask. `days`: from its earliest to its serve; 0:
 * 1 to 14. */
const char *impossible_plan(bk_arena *arena, uint64_t seed, int days);

enum { IMPOSSIBLE_NAMED = 8 };

/* Plans that cannot be met for one plain reason each. Writes the reason. */
const char *impossible_named(bk_arena *arena, int number, int days, const char **reason);

#endif

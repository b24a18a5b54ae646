/* Generated kitchens: the engine on what the scheduler of a kitchen gives it. */
#ifndef BENCH_KITCHENS_H
#define BENCH_KITCHENS_H

#include "engine/engine.h"

/* Prints a row a kitchen (those whose name begins so, or all). False when a
 * schedule is not valid. */
bool bench_kitchens(double seconds, int64_t conflicts, const char *only);

#endif

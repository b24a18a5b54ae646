/* How a stage cools or warms inside. Private to this folder. */
#ifndef BK_WRITE_WORDS_CURVE_H
#define BK_WRITE_WORDS_CURVE_H

#include "timeline/timeline.h"

/* Points of a curve, and stages of a timeline that get one: each takes some 10 ms. */
enum { BK_CURVE_POINTS = 13, BK_MOST_CURVES = 100 };

/* The likely course of the slowest point, at even steps from the stage's start to its end, of
 * which a short stage has fewer. */
typedef struct bk_curve {
    bk_instant at[BK_CURVE_POINTS];
    double celsius[BK_CURVE_POINTS];
    size_t count;
} bk_curve;

/* Whether a stage has a curve: it has `cooling` and takes time. */
bool bk_has_curve(const bk_plan *plan, const bk_placed *placed);

/* The curve of a stage that has one. */
bk_curve bk_curve_of(bk_arena *arena, const bk_plan *plan, const bk_placed *placed);

#endif

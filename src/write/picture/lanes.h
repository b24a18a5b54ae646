/* What the picture shows in each lane: hands, ovens, places, tools, and what
 * stands by itself. Private to this folder. */
#ifndef BK_WRITE_PICTURE_LANES_H
#define BK_WRITE_PICTURE_LANES_H

#include "timeline/timeline.h"

enum bk_bar_kind {
    BK_BAR_STAGE,
    BK_BAR_CHECK, /* a check that needs hands, in their lane */
    BK_BAR_HOLD,  /* equipment held beyond its stage */
    BK_BAR_STORED /* the finished dish in its place until it is served */
};

typedef struct bk_bar {
    enum bk_bar_kind kind;
    bk_instant from, to;
    size_t placed; /* index in timeline.stages; of a stored dish: its last stage */
    size_t check;  /* index in its checks, or SIZE_MAX */
} bk_bar;

enum bk_lane_kind { BK_LANE_HANDS, BK_LANE_OVEN, BK_LANE_PLACE, BK_LANE_ITSELF, BK_LANE_TOOL };

typedef struct bk_lane {
    enum bk_lane_kind kind;
    const char *name, *detail; /* clean; detail may be "" */
    size_t equipment;          /* SIZE_MAX for hands and what stands by itself */
    int number;                /* which oven, which cook; from 1 */
    bk_bar *bars;              /* by start, then timeline order */
    size_t count, room;
} bk_lane;

typedef struct bk_lanes {
    bk_lane *items;
    size_t count, room;
} bk_lanes;

/* Lanes with something in them, in the order of the kinds above, then of the
 * kitchen. With several cooks, each has a lane: work goes to the first who is
 * free. */
bk_lanes bk_lanes_of(bk_arena *arena, const bk_timeline *timeline);

/* The chain to draw strongest, one flag for each of timeline.stages: the stages
 * that can't start later; where that is all of them, the ones that follow one
 * from the other, by what pins each, from the first stage on. */
bool *bk_lanes_chain(bk_arena *arena, const bk_timeline *timeline);

#endif

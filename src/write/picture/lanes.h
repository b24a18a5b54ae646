/* What the picture shows in each lane: hands, ovens, places, the bench, tools. Private to
 * this folder. */
#ifndef BK_WRITE_PICTURE_LANES_H
#define BK_WRITE_PICTURE_LANES_H

#include "write/picture/stand.h"

enum bk_part_kind {
    BK_PART_STAGE,    /* a stage that goes on there */
    BK_PART_CHECK,    /* a check: one that needs hands in their lane, a reminder in its own */
    BK_PART_STAYS,    /* in its place between two stages that go on there */
    BK_PART_RESERVED, /* its place is kept for it: it stands elsewhere */
    BK_PART_STORED    /* the finished dish in its place until it is served */
};

/* What a thing does for a while in its lane. */
typedef struct bk_part {
    enum bk_part_kind kind;
    bk_instant from, to;
    size_t placed; /* index in timeline.stages; of a stored dish: its last stage */
    size_t check;  /* index in its checks, or SIZE_MAX */
} bk_part;

/* One thing in a lane: for as long as a dish takes the same places without a break. */
typedef struct bk_bar {
    bk_instant from, to;
    size_t dish;
    int64_t amount; /* places, rings, shelves or pieces that it takes */
    size_t *rows;   /* the rows that it takes, ascending; none where rows are not counted */
    size_t row_count;
    bk_part *parts; /* in order, without a gap */
    size_t count, room;
} bk_bar;

enum bk_lane_kind {
    BK_LANE_HANDS,
    BK_LANE_LOOK,
    BK_LANE_OVEN,
    BK_LANE_PLACE,
    BK_LANE_BENCH,
    BK_LANE_TOOL
};

/* A lane of more than so many places is not drawn a row for each. */
enum { BK_MOST_ROWS = 12 };

typedef struct bk_lane {
    enum bk_lane_kind kind;
    const char *name, *detail; /* clean; detail may be "" */
    size_t equipment;          /* SIZE_MAX for hands and the bench */
    size_t cook;               /* index in kitchen.people, or SIZE_MAX */
    int number;                /* which oven; from 1 */
    size_t rows;               /* one for each place; 0: rows are not counted, bars stand apart */
    bk_bar *bars;              /* by start, then dish */
    size_t count, room;
} bk_lane;

typedef struct bk_lanes {
    bk_lane *items;
    size_t count, room;
} bk_lanes;

/* Lanes with something in them, in the order of the kinds above, then of the kitchen; what
 * has no length is in none but those of hands and of reminders. In a lane with rows no row has two
 * things at once, and the rows taken at a minute are as many as the places that are; a thing keeps
 * its rows, and a dish that comes back has those it had where they are free. With several
 * cooks, each has a lane: work goes to the first who is free. */
bk_lanes bk_lanes_of(bk_arena *arena, const bk_timeline *timeline);

#endif

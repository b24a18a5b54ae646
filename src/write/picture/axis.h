/* Time on paper: the picture's axis, cut into strips that stand one above the other, with
 * long quiet stretches drawn short. Whole numbers only: a unit is a tenth of a point.
 * Private to this folder. */
#ifndef BK_WRITE_PICTURE_AXIS_H
#define BK_WRITE_PICTURE_AXIS_H

#include "timeline/timeline.h"

/* A stretch of time on a strip. `quiet`: nothing happens and no hands are in use
 * for long; drawn at a fixed width instead of to scale. */
typedef struct bk_piece {
    bk_instant from, to;
    bool quiet;
    int x, width; /* units from the strip's left end */
} bk_piece;

/* Drawn to one scale, its own, that fills the width. */
typedef struct bk_strip {
    bk_piece *pieces;
    size_t count, room;
    bk_instant from, to;
    int width; /* of all pieces */
    int scale; /* hundredths of a unit a minute, where drawn to scale */
} bk_strip;

typedef struct bk_axis {
    bk_strip *strips;
    size_t count, room;
} bk_axis;

enum {
    BK_QUIET_MINUTES = 90, /* longer than this with no event is quiet */
    BK_QUIET_WIDTH = 440,  /* units that a quiet stretch takes */
    BK_LEAST_SCALE = 760   /* hundredths of a unit a minute: a strip holds no more time */
};

/* The axis from the first event to the last, on strips of `width` units (at least four
 * quiet stretches). A strip ends in the night, or else where the next stretch of work
 * would be too much for it; work that is too long for one strip is cut at full hours. No
 * strips for a timeline without stages. */
bk_axis bk_axis_of(bk_arena *arena, const bk_timeline *timeline, int width);

/* The same on one strip, nights too; no strip where that is too much for it. */
bk_axis bk_axis_whole(bk_arena *arena, const bk_timeline *timeline, int width);

/* Cuts a strip into `count` of its width with about as much work in each, at full hours where
 * there are any near; false where there is too little for that, less than half an hour for
 * each. */
bool bk_axis_cut(bk_arena *arena, const bk_zone *zone, const bk_strip *strip, size_t count,
                 bk_strip *parts);

/* Units from the strip's left end; instants outside the strip give its ends. */
int bk_axis_x(const bk_strip *strip, bk_instant at);

/* True when `at` lies inside a quiet piece of the strip. */
bool bk_axis_quiet(const bk_strip *strip, bk_instant at);

#endif

/* What the files that draw the picture share. All lengths are whole units, ten to the
 * point: letters come out on paper as large as they are here. Private to this folder. */
#ifndef BK_WRITE_PICTURE_SVG_H
#define BK_WRITE_PICTURE_SVG_H

#include "write/picture/axis.h"
#include "write/picture/lanes.h"
#include "write/words/words.h"

/* What is drawn fits A4 and Letter with margins of a centimetre. */
enum {
    BK_SVG_PAPER_WIDTH = 5953, /* A4, 210 mm */
    BK_SVG_PAPER_HEIGHT = 8419,
    BK_SVG_MARGIN = 283,
    BK_SVG_WIDTH = 5386,
    BK_SVG_HEIGHT = 7340,
    BK_SVG_NAMES = 800,  /* the column of the lanes' names */
    BK_SVG_BEHIND = 136, /* room behind the lanes, for arrows and half of the last hour */
    BK_SVG_PLOT = BK_SVG_WIDTH - BK_SVG_NAMES - BK_SVG_BEHIND,
    BK_SVG_TEXT = 93, /* no letter is smaller than 9 points, also on a page of 186 mm */
    BK_SVG_SMALL = 93
};

/* Signs that were used on a sheet, and so have to be explained there. */
typedef struct bk_svg_signs {
    bool hands, itself, reserved, stored, later, reminder, quiet, serve, heat, course, cut;
} bk_svg_signs;

/* Which stages of a sheet are told by a number. */
typedef struct bk_svg_keys {
    bool *told; /* by index in timeline.stages */
    size_t count;
} bk_svg_keys;

typedef struct bk_svg {
    const bk_timeline *timeline;
    bk_arena *arena;
    bk_text *out;
    int left, y;      /* of what is drawn; where the next thing goes */
    bool marks_later; /* that a stage can start later is the exception, and marked */
    bk_lanes lanes;
    bk_rows rows;
    bk_telling telling;
    const bk_curve **curves; /* by index in timeline.stages; NULL where there is none */
    bk_svg_signs signs;
    bk_svg_keys keys;
} bk_svg;

/* A line of text with its baseline at (x, y). `attributes` goes into the tag. */
void bk_svg_text(bk_svg *svg, int x, int y, int size, const char *attributes, const char *text);

/* The mark of a stage that can start later. */
#define BK_SVG_LATER "\xe2\x97\x8b"

/* A strip laid out: which lanes have something on it, and where. */
typedef struct bk_svg_drawing bk_svg_drawing;

bk_svg_drawing *bk_svg_lay_out(bk_svg *svg, const bk_strip *strip);

size_t bk_svg_lane_count(const bk_svg_drawing *drawing);

/* How far the lanes [first, last) of it would move svg.y when drawn. */
int bk_svg_strip_height(const bk_svg_drawing *drawing, size_t first, size_t last);

/* Draws these lanes under an axis, from svg.y on; moves svg.y below them. Notes what signs
 * and numbers they have. */
void bk_svg_strip(bk_svg *svg, bk_svg_drawing *drawing, size_t first, size_t last);

/* The numbers that the lanes [first, last) have, added to `keys`. */
void bk_svg_strip_keys(const bk_svg_drawing *drawing, size_t first, size_t last, bk_svg_keys *keys);

/* How many names in the lanes [first, last) are not whole. */
size_t bk_svg_strip_shortened(const bk_svg_drawing *drawing, size_t first, size_t last);

/* What the signs and numbers of the sheet mean; moves svg.y. */
void bk_svg_legend(bk_svg *svg);

/* How far that would at most move svg.y with these numbers. */
int bk_svg_legend_height(bk_svg *svg, const bk_svg_keys *keys);

/* The stylesheet, for ink on paper and for a dark screen. */
extern const char *const bk_svg_style;

#endif

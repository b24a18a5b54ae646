/* What the files that draw the picture share. All lengths are whole units of
 * which the picture is `width` wide: a tenth of what a stylesheet calls a pixel.
 * Private to this folder. */
#ifndef BK_WRITE_PICTURE_SVG_H
#define BK_WRITE_PICTURE_SVG_H

#include "write/picture/axis.h"
#include "write/picture/lanes.h"
#include "write/words/words.h"

enum {
    BK_SVG_MARGIN = 150,
    BK_SVG_NAMES = 1150, /* the column of the lanes' names */
    BK_SVG_TEXT = 110,   /* letters in bars and lists */
    BK_SVG_SMALL = 95
};

/* Signs that were used, and so have to be explained. */
typedef struct bk_svg_signs {
    bool chain, itself, stored, reminder, quiet, serve, preheat, window[3];
} bk_svg_signs;

typedef struct bk_svg {
    const bk_timeline *timeline;
    bk_arena *arena;
    bk_text *out;
    int width;   /* of the whole picture */
    int y;       /* where the next thing goes */
    bool *chain; /* for each of timeline.stages: drawn strongest */
    bk_lanes lanes;
    bk_axis axis;
    bk_svg_signs signs;
} bk_svg;

/* A line of text with its baseline at (x, y). `attributes` goes into the tag. */
void bk_svg_text(bk_svg *svg, int x, int y, int size, const char *attributes, const char *text);

/* The number by which a stage, or a check of it, is found in the list: "12",
 * "12a". `check` SIZE_MAX: the stage. */
char *bk_svg_key(bk_arena *arena, size_t placed, size_t check);

/* A light tint for a dish; black letters stand out on all of them. */
const char *bk_svg_tint(size_t dish);

/* The sign for the chain: a diamond whose middle is (x, y). */
void bk_svg_diamond(bk_svg *svg, int x, int y);

/* One strip of the picture, from svg.y on; moves svg.y below it. */
void bk_svg_strip(bk_svg *svg, const bk_strip *strip);

/* How far that would move svg.y. */
int bk_svg_strip_height(bk_svg *svg, const bk_strip *strip);

/* What the signs mean, and which number is which stage; moves svg.y. */
void bk_svg_legend(bk_svg *svg);

/* How far that would move svg.y, but for the signs, of which it allows two rows. */
int bk_svg_legend_height(bk_svg *svg);

#endif

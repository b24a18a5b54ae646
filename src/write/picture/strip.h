/* What the files that draw one strip share: its lanes laid out, each bar with its words.
 * Private to this folder. */
#ifndef BK_WRITE_PICTURE_STRIP_H
#define BK_WRITE_PICTURE_STRIP_H

#include "write/picture/svg.h"

enum {
    BK_STRIP_ROW = 113, /* of a lane whose rows are places */
    BK_STRIP_BAR = 101,
    BK_STRIP_LINE = 106,   /* of a lane whose rows are lines of text */
    BK_STRIP_FREE = 44,    /* of a place in which nothing is on the strip */
    BK_STRIP_GAP = 32,     /* between the bars of a lane and its rules, both together */
    BK_STRIP_HEAT = 190,   /* of an oven's temperature */
    BK_STRIP_COURSE = 290, /* of what cools or warms inside */
    BK_STRIP_PAD = 30,
    BK_STRIP_NAME = BK_SVG_NAMES - 2 * BK_STRIP_PAD - 20, /* room for a lane's name */
    BK_STRIP_LINES = 4                                    /* of a bar's words */
};

/* A bar where it goes on paper, and its words. */
typedef struct bk_box {
    const bk_bar *bar;
    int x, width;    /* from the strip's left end */
    int left, right; /* with its words */
    size_t row;      /* the first; of a lane with rows, that of its words */
    const char *lines[BK_STRIP_LINES];
    size_t line_count;
    int words_x;
    bool to_left; /* the words end at words_x */
    bool marked;  /* can start later, and that is the exception */
    bool is_key, inside, below;
    bool shortened;            /* its words are not whole */
    bool from_before, goes_on; /* cut by the strip's ends */
} bk_box;

/* How what is in a lane cools or warms, below its bar. */
typedef struct bk_course {
    size_t placed; /* index in timeline.stages */
    const bk_curve *curve;
    int x, width;      /* those of its stage on the strip */
    int left, right;   /* with its words */
    size_t row;        /* of the lane's courses */
    bool begins, ends; /* on this strip */
    const char *from, *to, *limit;
    const char *all; /* of them, in one line */
    bool in_line;    /* which stands at line_x instead of each at its place */
    int line_x;
} bk_course;

typedef struct bk_lane_boxes {
    const bk_lane *lane;
    size_t index; /* in svg.lanes */
    bk_box *items;
    size_t count, room;
    size_t rows;
    int *tops; /* of a lane whose rows are places: where each begins below the first; one more */
    bool heat; /* an oven with a setting on this strip */
    bk_course *courses;
    size_t course_count, course_room, course_rows;
    int y, height;
} bk_lane_boxes;

/* A stretch of a line of words above the lanes, from the strip's left end. */
typedef struct bk_taken {
    int left, right;
} bk_taken;

struct bk_svg_drawing {
    bk_svg *svg;
    const bk_strip *strip;
    int x0; /* of the plot on the sheet */
    int top, bottom;
    bool grounds;
    bool serve_row; /* when it is served stands below the days' names, not beside them */
    bk_taken *days; /* where those stand */
    size_t day_count, day_room;
    bk_lane_boxes *lanes;
    size_t lane_count, lane_room;
};

/* Whether [from, to) is on a strip; from == to: whether that instant is. */
bool bk_svg_touches(const bk_strip *strip, bk_instant from, bk_instant to);

bool bk_svg_is_run_of(const bk_oven_run *run, const bk_lane *lane);

/* Clean words: of a dish, of a stage or check. */
const char *bk_svg_dish(bk_svg *svg, size_t dish);
const char *bk_svg_part_words(bk_svg *svg, const bk_part *part);

/* Lines that a lane's name asks for, BK_STRIP_LINES at most. */
int bk_svg_name_lines(const bk_lane *lane);

/* Where a row begins, `row` up to l->rows, from the top of the lane's first. */
int bk_svg_row_top(const bk_lane_boxes *l, size_t row);

/* Adds a lane to the drawing when something of it is on the strip. */
void bk_svg_lay_out_lane(bk_svg_drawing *d, size_t index);

/* Above the lanes and through them; `y` is the baseline of their words. */
void bk_svg_hours(bk_svg_drawing *d, int y);
void bk_svg_day_names(bk_svg_drawing *d, int y);
void bk_svg_serve_lines(bk_svg_drawing *d, int y);

/* Whether when it is served is to stand in a line of its own. */
bool bk_svg_serves_apart(bk_svg_drawing *d);
void bk_svg_window_words(bk_svg_drawing *d, int y);

/* Behind a lane: the times when nobody is up, at home or free. */
void bk_svg_grounds(bk_svg_drawing *d, const bk_lane_boxes *l);

/* An oven's temperature over its shelves. */
void bk_svg_heat(bk_svg_drawing *d, const bk_lane_boxes *l);

/* Finds what cools or warms in a lane whose boxes are known. */
void bk_svg_find_courses(bk_svg_drawing *d, bk_lane_boxes *l);

/* Their curves, below the lane's rows. */
void bk_svg_courses(bk_svg_drawing *d, const bk_lane_boxes *l);

/* A bar with its words. */
void bk_svg_bar(bk_svg_drawing *d, const bk_lane_boxes *l, const bk_box *b);

#endif

/* The events of a timeline in the order a cook meets them.
 *
 * Text, page and calendar tell the same story: this is its list of what happens.
 * Private to this folder.
 */
#ifndef BK_WRITE_WORDS_ROWS_H
#define BK_WRITE_WORDS_ROWS_H

#include "timeline/timeline.h"

/* In the order of events at the same minute. */
enum bk_row_kind {
    BK_ROW_CLOCK,    /* the civil clock changes by `shift` minutes */
    BK_ROW_OUT,      /* a stage leaves its oven: placed */
    BK_ROW_OVEN_OFF, /* an oven is turned off: run */
    BK_ROW_OVEN_ON,  /* turned on, or over to another temperature: run */
    BK_ROW_CHECK,    /* placed, check */
    BK_ROW_START,    /* a stage starts: placed */
    BK_ROW_SERVE,    /* a dish goes to the table: dish */
    BK_ROW_WINDOW    /* asleep, away or busy until the row's end: window */
};

typedef struct bk_row {
    enum bk_row_kind kind;
    bk_instant at, until; /* until == at for events without a length */
    size_t placed;        /* index in timeline.stages, or SIZE_MAX */
    size_t check;         /* index in that stage's checks, or SIZE_MAX */
    size_t run;           /* index in timeline.ovens, or SIZE_MAX */
    size_t dish;          /* index in plan.dishes, or SIZE_MAX */
    size_t window;        /* index in kitchen.windows, or SIZE_MAX */
    int shift;
    bool joins; /* one movement with the row before: bk_rows_join */
} bk_row;

typedef struct bk_rows {
    bk_row *items;
    size_t count, room;
} bk_rows;

/* All rows, sorted by time, then as the kinds above, then in timeline order.
 * Checks that were dropped are left out; so is "out" where the next stage of the
 * same dish goes on in the same oven. Windows are given only where they lie
 * between two other rows, on a day that has one. None when there are no stages. */
bk_rows bk_rows_of(bk_arena *arena, const bk_timeline *timeline);

/* Rows of one minute that are one movement stand behind one another, the later ones marked:
 * out of the oven, the oven off and what the dish is then left to; a switched-off oven and what
 * stays in it; the dishes of one meal. */
void bk_rows_join(bk_arena *arena, const bk_timeline *timeline, bk_rows *rows);

/* When the last stage of a dish ends. */
bk_instant bk_rows_dish_ready(const bk_timeline *timeline, size_t dish);

/* The first thing to do of a timeline that has stages: its first step, or to turn on an
 * oven for it. */
bk_instant bk_rows_first(const bk_timeline *timeline);

#endif

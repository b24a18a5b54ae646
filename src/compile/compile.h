/* A plan as a pure problem, and the way back.
 *
 * Time is mirrored about the last serve T: a stage's variable is T - end, so "as
 * late as possible" is "as low as possible", which is what the engine looks for.
 */
#ifndef BK_COMPILE_H
#define BK_COMPILE_H

#include "engine/engine.h"
#include "timeline/timeline.h"

/* A 0/1 variable for the order of two that may not overlap: 1 when `later` is at
 * least `gap` beyond `sooner` (mirrored), else 0. */
typedef struct bk_order {
    bk_var var;
    bk_point sooner, later;
    int32_t gap;
} bk_order;

typedef struct bk_orders {
    bk_order *items;
    size_t count, room;
} bk_orders;

/* Hands that are full from `from` for `length` minutes, of so many cooks. */
typedef struct bk_work {
    bk_point from;
    int32_t length;
    int cooks;
    bool at_table;
} bk_work;

/* 0/1 variables: which of several stages that heat an oven is the last to end, for the
 * one that then stands in it. */
typedef struct bk_last {
    size_t off, stage; /* the one that stands; one of those before it */
    bk_var var;
} bk_last;

typedef struct bk_compiled {
    const bk_plan *plan;
    bk_problem *problem;
    bk_instant mirror; /* T: instant = mirror - value */
    bk_fact *facts;    /* by fact number of the problem; messages not filled in */
    size_t fact_count, fact_room;
    bk_var *stage_end;     /* by stage: variable of T - end */
    bk_point *stage_start; /* by stage: T - start */
    size_t *first_check;   /* by stage: index of its first check in check_end */
    bk_var *check_end;     /* by check with `takes` (BK_CONSTANT for a reminder): T - end */
    bk_var *ready;         /* by dish: T - ready; BK_CONSTANT where nothing depends on it */
    bk_point *until;       /* by dish, where `ready` is: T - serve; of a part, T - the start of the
                              last stage linked to it */
    bool *until_own;       /* by dish: `until` is a variable of its own, the least of the starts of
                              its `users` */
    size_t **users, *user_count; /* by dish: a part's, the stages of other dishes linked to it */
    bool *ready_own; /* by dish: `ready` is a variable of its own, the least of its stages' */
    bk_var *present; /* by stage and oven number from 0: in that oven (BK_ALWAYS: the only one) */
    size_t *first_present; /* by stage: index in `present` */
    bk_last *lasts;        /* those of one `off` behind one another */
    size_t last_count, last_room;
    size_t people;      /* named cooks; the two below are by item and cook from there */
    bk_var *stage_by;   /* by stage: 0/1, 1: all of it is that cook's; BK_CONSTANT: none */
    bk_var *check_by;   /* by check, as check_end */
    bk_orders *orders;  /* by stage: of the orders it (or a check of it) is part of */
    bk_var first_start; /* T - first start */
    bk_var *put_off;  /* by dish: minus the minutes that its serve is put off; BK_CONSTANT: none */
    bk_var *overrun;  /* by dish, with `late_most`: minus the minutes after serve - margin at which
                         it is ready */
    int level_spread; /* in units of spread_unit minutes */
    int64_t spread_unit;
    int level_hands; /* objective levels; -1 where the style has none */
    int level_moved; /* of a day under way: stages that start at another time than was told */
    int level_start, level_interruptions, level_waiting;
    bk_work *work; /* what keeps hands full, for whom a touch is an interruption */
    size_t work_count;
    bk_point *touches; /* T - when somebody has to see to something; those that are always in
                          one minute once */
    size_t touch_count;
    bk_bound *at_rest; /* values of the variables that only count interruptions, with which they
                          ask nothing of the others */
    size_t at_rest_count, at_rest_room;
    int64_t waiting_offset; /* waiting minutes = sum of level_waiting - waiting_offset */
} bk_compiled;

typedef struct bk_compile_options {
    /* Every fact can be dropped: serve-by, the plan's earliest and the stages' own
     * times become facts too, at the price of a looser problem. For explanations. */
    bool droppable;
    /* Touches that happen to be in one minute count as one interruption: exact, but costly,
     * and needed only where there are several. */
    bool minutes_shared;
    /* No objective: only whether it fits. */
    bool no_objective;
    /* Every serve may be put off by up to this many minutes, as little as possible
     * (the only objective). */
    int64_t delay_most;
    /* Each dish may be late by itself, by up to so many minutes: the least sum of them, then of
     * what is taken of margins, then the fewest stages that move (the only objectives). */
    int64_t late_most;
    /* Asked about: nothing starts before `first_not_before`; the stage `moved - 1`
     * does not start before `moved_not_before` (moved 0: none). Both always hold, so
     * what stands against them shows as the reason. */
    bool has_first;
    bk_instant first_not_before;
    size_t moved;
    bk_instant moved_not_before;
} bk_compile_options;

/* How many minutes strictly between `from` and `to` (mirrored) have a touch while no cook's
 * hands are free, in an assignment. */
int64_t bk_interruptions(bk_arena *arena, const bk_compiled *compiled, const int32_t *value,
                         int32_t from, int32_t to);

/* A conflict's worth of propagation, in the engine's steps: effort also limits
 * those, so that large plans end as well as hard ones. */
enum { BK_DEFAULT_EFFORT = 200000, BK_WORK_A_CONFLICT = 1500 };

bk_compiled *bk_compile(bk_arena *arena, const bk_plan *plan, const bk_compile_options *options);

#endif

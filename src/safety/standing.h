/* Where the food of each stage stands, and since when, as far
 * as a plan and its timeline tell. Private to this folder. */
#ifndef BK_SAFETY_STANDING_H
#define BK_SAFETY_STANDING_H

#include "timeline/timeline.h"

enum bk_standing_place {
    BK_STANDS_IN_ROOM, /* nothing in the plan keeps it hot or cold */
    BK_STANDS_COLD,
    BK_STANDS_HOT,   /* oven or hob */
    BK_STANDS_RISING /* in a room, and warmth is meant */
};

/* What is known of a stage's food while the stage runs and at its end. */
typedef struct bk_standing {
    bool placed; /* the timeline has it, and what follows is filled in */
    enum bk_standing_place place;
    size_t cold; /* the cold equipment, with BK_STANDS_COLD */
    bk_instant start, end;
    bk_instant room_since; /* stands in a room without a break since; == end: does not */
    bool has_cold_since;
    bk_instant cold_since; /* first put in the cold since it was last heated */
    bool cooked, baked;    /* it, or what went into it, was in a hot place; in an oven */
    bool heated_later;     /* what is made of it will be */
    unsigned spoils;       /* kinds of spoiling food in it: enum bk_food_kind */
    bool at_risk;          /* of those, some that spoil in the state it is in */
} bk_standing;

typedef struct bk_standings {
    const bk_timeline *timeline;
    bk_standing *stage; /* by plan index */
    bk_spans *cold;     /* by dish: when something cold is held for it, disjoint and in order */
    size_t *order;      /* stages by start, then end, then plan order */
    size_t count;
} bk_standings;

bk_standings bk_standings_of(bk_arena *arena, const bk_timeline *timeline);

/* True when a link hands on food: within a dish, from the end. */
bool bk_hands_on_food(const bk_plan *plan, size_t stage, const bk_link *link);

/* True when cold equipment is held for the dish throughout [from, to). */
bool bk_held_cold(const bk_standings *standings, size_t dish, bk_instant from, bk_instant to);

#endif

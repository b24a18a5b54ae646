/* Where the food of each stage stands, and since when, as far
 * as a plan and its timeline tell. Private to this folder. */
#ifndef BK_SAFETY_STANDING_H
#define BK_SAFETY_STANDING_H

#include "safety/food_words.h"
#include "safety/safety.h"
#include "timeline/timeline.h"

enum bk_standing_place {
    BK_STANDS_IN_ROOM, /* nothing in the plan keeps it hot or cold */
    BK_STANDS_COLD,
    BK_STANDS_HOT,   /* oven or hob */
    BK_STANDS_RISING /* in a room, and warmth is meant */
};

/* The time that food has stood in a room since it was last heated, all told: a stay in the
 * cold in between stops it, and does not begin it anew. */
typedef struct bk_room_clock {
    int64_t minutes;
    bk_instant since;    /* when they began, with minutes > 0 */
    int64_t cold, brief; /* minutes in the cold just now, and those of them that count as room */
    bool hot_room;       /* some of it in a room above the limit for hot rooms */
} bk_room_clock;

/* What is known of a stage's food while the stage runs and at its end. */
typedef struct bk_standing {
    bool placed; /* the timeline has it, and what follows is filled in */
    enum bk_standing_place place;
    size_t cold; /* the cold equipment, with BK_STANDS_COLD */
    bk_instant start, end;
    bk_room_clock room; /* at its end */
    bool has_cold_since;
    bk_instant cold_since; /* first put in the cold since it was cooked; heating it again goes on */
    bool chilled;          /* was in the cold since it was last heated */
    bk_instant hot_end;    /* last heated, and not in the cold since; INT64_MIN: not so */
    bool cooked;           /* it, or what went into it, was in a hot place */
    bool unbaked_in;       /* milk, cream or egg goes in here */
    bool unbaked;          /* it holds some that was in no oven */
    bool heated_later;     /* what is made of it will be */
    bk_food_facts food;    /* spoiling food in it */
    bool at_risk;          /* of that, some spoils in the state it is in */
    bool raw_egg_in;       /* raw egg goes in here */
    bool raw_egg;          /* it holds raw egg, in since: */
    bk_instant raw_egg_since;
} bk_standing;

typedef struct bk_standings {
    const bk_timeline *timeline;
    bk_safety_rules rules;
    bk_standing *stage; /* by plan index */
    bk_spans *cold;     /* by dish: when something cold is held for it, disjoint and in order */
    bk_spans *frozen;   /* by dish: when it is in a freezer, likewise */
    bool *keeps;        /* by dish: its milk and egg keep by sugar or dryness */
    bool *rises;        /* by dish: a dough with yeast in it, which may stand until it is baked */
    size_t *order;      /* stages by start, then end, then plan order */
    size_t count;
} bk_standings;

bk_standings bk_standings_of(bk_arena *arena, const bk_timeline *timeline);

/* True when a link hands on food: within a dish, from the end. */
bool bk_hands_on_food(const bk_plan *plan, size_t stage, const bk_link *link);

/* Counts more minutes from `from` on, in a room or in the cold. */
void bk_room_pass(const bk_standings *standings, bk_room_clock *clock, bk_instant from,
                  int64_t minutes, bool cold);

/* Minutes of [from, to) in which a dish is in a freezer. */
int64_t bk_frozen_minutes(const bk_standings *standings, size_t dish, bk_instant from,
                          bk_instant to);

/* The word by which food counts as at risk, or NULL where the plan says so itself. */
const char *bk_risk_word(const bk_standing *standing);

/* True when cold equipment is held for the dish throughout [from, to). */
bool bk_held_cold(const bk_standings *standings, size_t dish, bk_instant from, bk_instant to);

#endif

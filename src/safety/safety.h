/* What usual food-safety rules and kitchen sense have to say
 * about a timeline. Never that food is safe: only what goes beyond a limit, with
 * the rule it comes from. Method and limits are in docs/food-safety.md.
 */
#ifndef BK_SAFETY_H
#define BK_SAFETY_H

#include "timeline/timeline.h"

/* One limit of a rule set: its value and where it is written. */
typedef struct bk_limit {
    double value;
    const char *source;
} bk_limit;

/* The limits that a timeline is held against. Temperatures in degrees Celsius, times in
 * minutes. What a region does not limit is INFINITY. */
typedef struct bk_safety_rules {
    bk_limit hot;           /* hot food is kept at this or above */
    bk_limit cold;          /* cold food is kept at this or below */
    bk_limit cooling_first; /* minutes from `hot` down to cooling_middle_c */
    double cooling_middle_c;
    bk_limit cooling_whole; /* minutes from `hot` down to `cold` */
    bk_limit ambient;  /* minutes down to `cold` when made of ingredients at room temperature */
    bk_limit room;     /* minutes standing in a room, all told since it was last heated */
    bk_limit hot_room; /* the same in a room above hot_room_c */
    double hot_room_c;
    double cold_stay;   /* shorter than this in a fridge, and it is as warm as it was */
    bk_limit storage;   /* days in the fridge, the day it was made counted as the first */
    bk_limit leftovers; /* minutes in the fridge */
    bk_limit raw_egg;   /* minutes that what holds raw egg is kept, cold */
    bk_limit thawing;   /* air at or below which food may thaw */
    bk_limit stuffed;   /* minutes from the stuffing of a bird to its cooking */
    bk_limit reheating; /* what was cooked and chilled is heated to this or above */
    bk_limit boiling;   /* minutes that dried kidney beans boil */
    bk_limit freezing;  /* minutes in a freezer, of fish that is eaten raw */
    double freezing_c;  /* at or below this */
} bk_safety_rules;

/* The rules of a region; `strictest` of each limit when the cook did not choose. */
bk_safety_rules bk_safety_rules_of(enum bk_rules region, bool strictest);

/* Warnings about a placed timeline (one that has stages), into the report: what
 * stands in a room, cools, is kept cold or hot, is stored or thaws beyond a limit.
 * At most one of a kind for each dish. */
void bk_safety(bk_arena *arena, const bk_timeline *timeline, bk_report *report);

/* Gaps of this many minutes and more are told. */
enum { BK_LEAST_GAP = 30 };

/* Fills timeline->gaps of a placed timeline: links in plan order, then dishes. */
void bk_find_gaps(bk_arena *arena, bk_timeline *timeline);

/* Cautions that suit the stages of a timeline - hot sugar, an oven left alone, hot
 * food in a fridge, several warm things in one, raw egg, allergens - few, each once, and none that
 * the plan's own cautions have said. */
void bk_cautions(bk_arena *arena, const bk_timeline *timeline, bk_report *report);

/* What usual food-safety rules say of a temperature, in one sentence that names their
 * sources; NULL when it is no limit of theirs (within 0.3 C). */
const char *bk_safety_limit(bk_arena *arena, bk_units units, double celsius);

#endif

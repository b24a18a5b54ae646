/* A body followed through time, for what the series cannot do: a wall that is a material
 * of its own, a layer on another, one place after another, food that freezes or sets,
 * hot surfaces, covers, and liquids that move. */
#ifndef BK_HEAT_TRIAL_H
#define BK_HEAT_TRIAL_H

#include "heat/heat.h"

/* True when the question needs it: else the series are exact and quicker. */
bool bk_trial_needed(const bk_heat_question *question);

/* True when the food has one temperature throughout at this end: it is stirred, or a
 * liquid that moves. */
bool bk_trial_mixes(const bk_heat_question *question, enum bk_heat_end end);

typedef struct bk_trial_point {
    double seconds;          /* since the first place */
    double warmest, coldest; /* of the food, not of what is below */
    double mean;             /* by its volume */
    double below_warmest;    /* NAN: nothing is below */
    size_t leg;              /* which place it is in; leg_count: the last */
} bk_trial_point;

/* Follows the body from the start of the first place for `seconds` at most, giving its
 * state at the start, after each step and at each change of place, until `watch` says
 * false. */
typedef bool bk_trial_watch(void *context, const bk_trial_point *point);

void bk_trial_run(bk_arena *arena, const bk_heat_question *question, enum bk_heat_end end,
                  double seconds, bk_trial_watch *watch, void *context);

/* The question in the place of one leg, or with leg_count in the last. */
bk_heat_question bk_trial_at(const bk_heat_question *question, size_t leg);

#endif

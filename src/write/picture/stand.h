/* Where each stage stands: in an oven, on a hob, in a cold place, on the bench. Private to
 * this folder. */
#ifndef BK_WRITE_PICTURE_STAND_H
#define BK_WRITE_PICTURE_STAND_H

#include "timeline/timeline.h"

/* What the marking of holds takes; made once for all of them. */
typedef struct bk_stand_marks bk_stand_marks;

typedef struct bk_stand {
    const bk_plan *plan;
    size_t *place;  /* by stage: index in kitchen.equipment of the oven, hob or cold place it
                       stands in; SIZE_MAX: on the bench */
    int64_t **held; /* by stage and need: what its dish holds of that around it */
    bk_stand_marks *marks;
} bk_stand;

/* What a stage uses says where it stands. One that uses neither oven, hob nor cold place
 * and needs no hands stands in what its dish holds around it: in a cold place, or, of the
 * holding stage itself, on a hob. A stage is inside a hold of its dish as rule 5 of the
 * plan format has it: the holding one, the one it lasts until, those linked between. */
bk_stand bk_stand_of(bk_arena *arena, const bk_plan *plan);

/* Which stages are inside a hold of stage `holder`, by stage; until the next call. */
const bool *bk_stand_inside(const bk_stand *stand, size_t holder, const bk_hold *hold);

#endif

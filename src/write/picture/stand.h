/* Where each stage stands: in an oven, on a hob, in a cold place, on the bench. Private to
 * this folder. */
#ifndef BK_WRITE_PICTURE_STAND_H
#define BK_WRITE_PICTURE_STAND_H

#include "timeline/timeline.h"

typedef struct bk_stand {
    const bk_plan *plan;
    size_t *place;  /* by stage: index in kitchen.equipment of the oven, hob or cold place it
                       stands in; SIZE_MAX: on the bench */
    int64_t **held; /* by stage and need: what its dish holds of that around it */
} bk_stand;

/* What a stage uses says where it stands. One that uses neither oven, hob nor cold place
 * and needs no hands stands in what its dish holds around it: in a cold place, or, of the
 * holding stage itself, on a hob. A stage is inside a hold of its dish as rule 5 of the
 * plan format has it: the holding one, the one it lasts until, those linked between. */
bk_stand bk_stand_of(bk_arena *arena, const bk_plan *plan);

/* Marks the stages inside a hold of stage `holder`, by stage. */
void bk_stand_inside(bk_arena *arena, const bk_plan *plan, size_t holder, const bk_hold *hold,
                     bool *inside);

#endif

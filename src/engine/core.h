/* Cores: which facts a refutation needs. */
#ifndef BK_ENGINE_CORE_H
#define BK_ENGINE_CORE_H

#include "engine/solver.h"

/* Room for each fact, made before the solver holds memory. */
typedef struct bk_core_room {
    bool *used, *dropped, *shortest;
    int *facts;
} bk_core_room;

/* The facts that an impossible problem cannot be without, in room->used, shrunk as the
 * options ask. `spent`: what its refutation took. */
void bk_find_core(bk_solver *solver, bk_arena *arena, const bk_problem *problem,
                  const bk_solve_options *options, const bk_core_room *room, bk_result *result,
                  const bk_effort *spent);

#endif

/* Variables that lags hold together from both sides, as a problem of their own. */
#ifndef BK_ENGINE_TIED_GROUPS_H
#define BK_ENGINE_TIED_GROUPS_H

#include "engine/search.h"

/* bk_search without assumptions, for a first solution. Where it is not found soon, what holds
 * together and does not fit anywhere is looked for. */
enum bk_outcome bk_search_first(bk_solver *solver, int64_t budget);

#endif

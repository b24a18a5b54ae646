/* Conflict-driven search, with Luby restarts. */
#ifndef BK_ENGINE_SEARCH_H
#define BK_ENGINE_SEARCH_H

#include "engine/trail.h"

enum bk_outcome { BK_FOUND, BK_REFUTED, BK_LIMIT };

/* What was spent, and what may be. */
typedef struct bk_effort {
    int64_t conflicts, decisions;
    int64_t work;           /* elementary steps of propagation */
    int64_t conflict_limit; /* INT64_MAX: none */
    int64_t work_limit;     /* INT64_MAX: none */
    bool stopped;
    bool loaded;                       /* not refuted before there was anything to search */
    int64_t told_conflicts, told_work; /* to who looks on */
} bk_effort;

static inline bool bk_is_spent(const bk_effort *effort)
{
    return effort->stopped || effort->conflicts >= effort->conflict_limit;
}

/* Searches under assumptions until an answer or until `budget` more conflicts.
 * FOUND: solver->found. REFUTED: analysis.core (empty: impossible outright). */
enum bk_outcome bk_search(bk_solver *solver, const bk_literal *assumptions, int32_t count,
                          int64_t budget);
/* Likewise for a caller to whom only REFUTED says something: after so many decisions without a
 * conflict it is LIMIT, as what goes on until then mostly goes on to the end. calm <= 0: never. */
enum bk_outcome bk_refute(bk_solver *solver, const bk_literal *assumptions, int32_t count,
                          int64_t budget, int64_t calm);
/* True once the work is done or the caller wants an end; then for good. */
bool bk_stopped(bk_solver *solver);
/* Takes what was found as the best solution. */
void bk_keep_solution(bk_solver *solver);
/* Raises a bound for good. False (and solver->impossible) when nothing is left. */
bool bk_raise_root(bk_solver *solver, bk_literal literal);
/* Propagates what was added at the root. False as above. */
bool bk_settle_root(bk_solver *solver);

#endif

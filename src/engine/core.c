/* Deletion-based minimisation of a core. Two ways: a problem that is refuted at once is
 * solved again and again with facts left out; a hard one is searched under one
 * assumption a fact, so that what was learned serves every attempt. */
#include "engine/core.h"

#include "engine/load.h"

enum { ROUNDS = 4, PART_OF_BUDGET = 10 };

/* ---------------------------------------------------- by leaving facts out */

typedef struct dropping {
    bk_solver *solver; /* made anew for each attempt */
    bk_arena *arena;
    const bk_problem *problem;
    bk_solve_options options;
    bool *dropped;
    int64_t conflicts, limit;
    int64_t work_a_conflict; /* or 0: no limit */
    bool sure;
} dropping;

/* Solves without the dropped facts. */
static enum bk_outcome attempt(dropping *d, int64_t budget)
{
    int32_t first_fact;
    enum bk_outcome outcome = BK_REFUTED;
    if (budget > d->limit - d->conflicts)
        budget = d->limit - d->conflicts;
    if (budget <= 0)
        return BK_LIMIT;
    d->options.conflicts = budget;
    d->options.work = budget * d->work_a_conflict;
    bk_solver_begin(d->solver, d->arena, d->problem, &d->options);
    if (bk_load(d->solver, false, &first_fact) && bk_add_disjunctions(d->solver, NULL, 0))
        outcome = bk_search(d->solver, NULL, 0, budget);
    d->conflicts += d->solver->effort.conflicts + 1;
    bk_memory_free(&d->solver->memory);
    return outcome;
}

/* Facts of one patience, one after the other; as many at once as go, for what goes
 * together would go one by one, too. */
static void drop_round(dropping *d, const int *facts, int32_t count, bool *used)
{
    for (int32_t from = 0, part = count; from < count;) {
        part = part < count - from ? part : count - from;
        for (int32_t i = from; i < from + part; i++)
            d->dropped[facts[i]] = true;
        int64_t budget = part > 1 ? d->options.shrink / PART_OF_BUDGET : d->options.shrink;
        enum bk_outcome outcome = attempt(d, budget);
        for (int32_t i = from; i < from + part; i++) {
            d->dropped[facts[i]] = outcome == BK_REFUTED;
            used[facts[i]] = outcome != BK_REFUTED;
        }
        if (outcome == BK_REFUTED) {
            from += part;
            part *= 2;
        } else if (part > 1) {
            part /= 2;
        } else {
            d->sure = d->sure && outcome == BK_FOUND;
            from++;
        }
    }
}

/* True when every fact left was shown to be needed. */
static bool drop_facts(bk_solver *solver, bk_arena *arena, const bk_problem *problem,
                       const bk_solve_options *options, bool *used, bool *dropped, int *facts,
                       int64_t *conflicts)
{
    dropping d = {.solver = solver,
                  .arena = arena,
                  .problem = problem,
                  .options = *options,
                  .dropped = dropped,
                  .limit = options->conflicts > 0 ? options->conflicts : INT64_MAX,
                  .sure = true};
    if (options->work > 0 && options->conflicts > 0)
        d.work_a_conflict = options->work / options->conflicts + 1;
    int most = 0;
    d.options.dropped = dropped;
    for (size_t f = 0; f < options->facts; f++) {
        dropped[f] = !used[f];
        if (options->patience && options->patience[f] > most)
            most = options->patience[f];
    }
    for (int round = 0; round <= most; round++) {
        int32_t count = 0;
        for (size_t f = 0; f < options->facts; f++)
            if (used[f] && (options->patience ? options->patience[f] : 0) == round)
                facts[count++] = (int)f;
        drop_round(&d, facts, count, used);
    }
    *conflicts += d.conflicts;
    return d.sure;
}

/* ------------------------------------------------------ by assumptions */

static void keep_core(const bk_solver *solver, bool *used, int32_t first_fact)
{
    size_t facts = solver->options->facts;
    for (size_t f = 0; f < facts; f++)
        used[f] = false;
    for (int32_t i = 0; i < solver->analysis.core.count; i++) {
        int32_t fact = solver->analysis.core.at[i].side / 2 - first_fact;
        if (fact >= 0 && (size_t)fact < facts)
            used[fact] = true;
    }
}

/* One search under an assumption for each fact still `used` (by fact; fact f is
 * variable first_fact + f). REFUTED: `used` is what the refutation needed. */
static enum bk_outcome search_facts(bk_solver *solver, bool *used, int32_t first_fact,
                                    int64_t budget)
{
    bk_literals assumptions = {NULL, 0, 0};
    for (size_t f = 0; f < solver->options->facts; f++)
        if (used[f])
            *BK_ADD(solver, assumptions) = (bk_literal){2 * (first_fact + (int32_t)f), 1};
    enum bk_outcome outcome = bk_search(solver, assumptions.at, assumptions.count, budget);
    if (outcome == BK_REFUTED)
        keep_core(solver, used, first_fact);
    bk_backtrack(solver, 0);
    bk_memory_release(&solver->memory, assumptions.at);
    return outcome;
}

/* Each fact is left out in turn; what was learned serves all attempts. True when every fact left
 * was shown to be needed. */
static bool shrink_core(bk_solver *solver, bool *used, int32_t first_fact)
{
    const bk_solve_options *options = solver->options;
    bool sure = true;
    int most = 0;
    for (size_t f = 0; f < options->facts; f++)
        if (options->patience && options->patience[f] > most)
            most = options->patience[f];
    for (int round = 0; round <= most; round++)
        for (size_t f = 0; f < options->facts; f++) {
            if (!used[f] || (options->patience ? options->patience[f] : 0) != round)
                continue;
            used[f] = false;
            enum bk_outcome outcome = search_facts(solver, used, first_fact, options->shrink);
            if (outcome != BK_REFUTED)
                used[f] = true;
            if (outcome == BK_LIMIT)
                sure = false;
        }
    return sure;
}

/* Solves under one assumption a fact; the failed ones are the core. Solving the
 * core again often drops more. */
static bool assume_facts(bk_solver *solver, const bk_solve_options *options, bool *used)
{
    int32_t first_fact;
    if (!bk_load(solver, true, &first_fact)) {
        for (size_t f = 0; f < options->facts; f++)
            used[f] = false;
        return false;
    }
    for (size_t round = 0, before = SIZE_MAX; round < ROUNDS; round++) {
        size_t count = 0;
        for (size_t f = 0; f < options->facts; f++)
            count += used[f];
        if (count >= before || search_facts(solver, used, first_fact, INT64_MAX) != BK_REFUTED)
            break;
        before = count;
    }
    return options->shrink > 0 && shrink_core(solver, used, first_fact);
}

void bk_find_core(bk_solver *solver, bk_arena *arena, const bk_problem *problem,
                  const bk_solve_options *options, const bk_core_room *room, bk_result *result,
                  bool easy)
{
    for (size_t f = 0; f < options->facts; f++)
        room->used[f] = !(options->dropped && options->dropped[f]);
    if (easy && options->shrink > 0) {
        result->core_irreducible = drop_facts(solver, arena, problem, options, room->used,
                                              room->dropped, room->facts, &result->conflicts);
    } else {
        bk_solver_begin(solver, arena, problem, options);
        result->core_irreducible = assume_facts(solver, options, room->used);
        result->conflicts += solver->effort.conflicts;
        bk_memory_free(&solver->memory);
    }
}

/* Deletion-based minimisation of a core. Two ways: a problem that is refuted at once is
 * solved again and again with facts left out; a hard one is searched under one
 * assumption a fact, so that what was learned serves every attempt. */
#include "engine/core.h"

#include "engine/load.h"
#include "engine/tied_groups.h"

enum {
    EASY = 2000, /* conflicts */
    ROUNDS = 4,
    LONG = 6,             /* a core of more facts is looked for in other orders, too */
    QUICK_CONFLICTS = 20, /* of an attempt, beside twice those that the refutation took */
    QUICK_WORK = 20000,
    WORK_TO_LOAD = 20000, /* of an attempt; and for each constraint and variable: */
    WORK_TO_LOAD_ONE = 150,
    LEAST_WORK = 100000000, /* to shrink a core, however little effort is granted */
    PART_OF_WORK = 2        /* of what is granted, to shrink a core by leaving facts out */
};

static int patience_of(const bk_solve_options *options, size_t fact)
{
    return options->patience ? options->patience[fact] : 0;
}

static int most_patience(const bk_solve_options *options)
{
    int most = 0;
    for (size_t f = 0; f < options->facts; f++)
        if (patience_of(options, f) > most)
            most = patience_of(options, f);
    return most;
}

static size_t count_of(const bool *set, size_t facts)
{
    size_t count = 0;
    for (size_t f = 0; f < facts; f++)
        count += set[f];
    return count;
}

/* ---------------------------------------------------- by leaving facts out */

/* In which order facts of one patience are tried. */
enum bk_drop_order { FORWARD, BACKWARD, INSIDE_OUT, DROP_ORDERS };

typedef struct dropping {
    bk_solver *solver; /* made anew for each attempt */
    bk_arena *arena;
    const bk_problem *problem;
    bk_solve_options options;
    const bool *given; /* by fact: left out by the caller; or NULL */
    const bk_core_room *room;
    int64_t conflicts, limit;
    int64_t work, work_limit, whole_work; /* spent; may be now; may be in all */
    int64_t most_conflicts, most_work;    /* of an attempt */
    bool at_load;                         /* an attempt ends where a search would begin */
    bool sure;
} dropping;

/* Solves without the dropped facts. */
static enum bk_outcome attempt(dropping *d)
{
    enum bk_outcome outcome = BK_REFUTED;
    int64_t budget = d->most_conflicts;
    if (budget > d->limit - d->conflicts)
        budget = d->limit - d->conflicts;
    if (budget <= 0 || d->work >= d->work_limit || bk_is_called_off(d->options.onlooker))
        return BK_LIMIT;
    d->options.conflicts = budget;
    d->options.work = d->most_work;
    bk_solver_begin(d->solver, d->arena, d->problem, &d->options);
    if (bk_load(d->solver, false)) {
        if (d->at_load)
            outcome = BK_LIMIT;
        else if (bk_add_disjunctions(d->solver, NULL, 0))
            outcome = bk_search_first(d->solver, budget);
    }
    d->conflicts += d->solver->effort.conflicts + 1;
    d->work += d->solver->effort.work + WORK_TO_LOAD +
               WORK_TO_LOAD_ONE * (int64_t)(d->problem->constraint_count + d->problem->vars);
    bk_memory_free(&d->solver->memory);
    return outcome;
}

/* Facts of one patience, one after the other; as many at once as go, for what goes
 * together would go one by one, too. */
static void drop_round(dropping *d, int32_t count)
{
    bool *used = d->room->used, *dropped = d->room->dropped;
    const int *facts = d->room->facts;
    for (int32_t from = 0, part = count / 4 + 1; from < count;) {
        part = part < count - from ? part : count - from;
        for (int32_t i = from; i < from + part; i++)
            dropped[facts[i]] = true;
        enum bk_outcome outcome = attempt(d);
        for (int32_t i = from; i < from + part; i++) {
            dropped[facts[i]] = outcome == BK_REFUTED;
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

/* The facts still used of one patience, in the order in which they are tried. */
static int32_t in_order(const dropping *d, int patience, enum bk_drop_order order)
{
    int32_t count = 0;
    int *facts = d->room->facts;
    for (size_t f = 0; f < d->options.facts; f++)
        if (d->room->used[f] && patience_of(&d->options, f) == patience)
            facts[count++] = (int)f;
    for (int32_t i = 0; order == BACKWARD && i < count / 2; i++) {
        int swap = facts[i];
        facts[i] = facts[count - 1 - i];
        facts[count - 1 - i] = swap;
    }
    for (int32_t i = 0; order == INSIDE_OUT && i < count / 2; i++) {
        int swap = facts[i];
        facts[i] = facts[count / 2 + i];
        facts[count / 2 + i] = swap;
    }
    return count;
}

/* Leaves out what can be spared of the facts still used. */
static void drop_all(dropping *d, enum bk_drop_order order)
{
    int most = most_patience(&d->options);
    for (size_t f = 0; f < d->options.facts; f++)
        d->room->dropped[f] = !d->room->used[f];
    for (int patience = 0; patience <= most; patience++)
        drop_round(d, in_order(d, patience, order));
}

/* All that the caller did not leave out. */
static void use_all(const dropping *d)
{
    for (size_t f = 0; f < d->options.facts; f++)
        d->room->used[f] = !(d->given && d->given[f]);
}

static void copy_set(bool *to, const bool *from, size_t facts)
{
    for (size_t f = 0; f < facts; f++)
        to[f] = from[f];
}

/* Attempts that cost no more than the refutation did leave few facts, soon: the shortest core of
 * several orders, if the first is long; all others take no more than the first. */
static void drop_quickly(dropping *d)
{
    size_t facts = d->options.facts;
    bool *used = d->room->used, *shortest = d->room->shortest;
    drop_all(d, FORWARD);
    size_t least = count_of(used, facts);
    copy_set(shortest, used, facts);
    d->work_limit = 2 * d->work < d->whole_work ? 2 * d->work : d->whole_work;
    for (enum bk_drop_order order = BACKWARD; order < DROP_ORDERS && least > LONG; order++) {
        use_all(d);
        drop_all(d, order);
        if (count_of(used, facts) < least) {
            least = count_of(used, facts);
            copy_set(shortest, used, facts);
        }
    }
    d->work_limit = d->whole_work;
    copy_set(used, shortest, facts);
}

/* True when every fact left was shown to be needed. */
static bool drop_facts(dropping *d, const bk_solve_options *options, const bk_effort *spent)
{
    d->most_conflicts = 2 * spent->conflicts + QUICK_CONFLICTS;
    d->most_work = 4 * spent->work + QUICK_WORK;
    d->at_load = !spent->loaded;
    drop_quickly(d);
    d->at_load = false;
    d->sure = true;
    d->most_conflicts = options->shrink;
    d->most_work = 0;
    if (options->work > 0 && options->conflicts > 0)
        d->most_work = options->shrink * (options->work / options->conflicts + 1);
    drop_all(d, FORWARD);
    return d->sure;
}

/* ------------------------------------------------------ by assumptions */

static void keep_core(const bk_solver *solver, bool *used)
{
    size_t facts = solver->options->facts;
    for (size_t f = 0; f < facts; f++)
        used[f] = false;
    for (int32_t i = 0; i < solver->analysis.core.count; i++) {
        int32_t fact = solver->analysis.core.at[i].side / 2 - bk_fact_variable(solver, 0);
        if (fact >= 0 && (size_t)fact < facts)
            used[fact] = true;
    }
}

/* One search under an assumption for each fact still `used` (by fact). REFUTED: `used` is what the
 * refutation needed. */
static enum bk_outcome search_facts(bk_solver *solver, bool *used, int64_t budget)
{
    bk_literals assumptions = {NULL, 0, 0};
    for (size_t f = 0; f < solver->options->facts; f++)
        if (used[f])
            *BK_ADD(solver, assumptions) = (bk_literal){2 * bk_fact_variable(solver, f), 1};
    enum bk_outcome outcome = bk_search(solver, assumptions.at, assumptions.count, budget);
    if (outcome == BK_REFUTED)
        keep_core(solver, used);
    bk_backtrack(solver, 0);
    bk_memory_release(&solver->memory, assumptions.at);
    return outcome;
}

/* Each fact is left out in turn; what was learned serves all attempts. True when every fact left
 * was shown to be needed. */
static bool shrink_core(bk_solver *solver, bool *used)
{
    const bk_solve_options *options = solver->options;
    bool sure = true;
    int most = most_patience(options);
    for (int patience = 0; patience <= most; patience++)
        for (size_t f = 0; f < options->facts; f++) {
            if (!used[f] || patience_of(options, f) != patience)
                continue;
            used[f] = false;
            enum bk_outcome outcome = search_facts(solver, used, options->shrink);
            if (outcome != BK_REFUTED)
                used[f] = true;
            if (outcome == BK_LIMIT)
                sure = false;
            if (bk_is_called_off(options->onlooker))
                return false;
        }
    return sure;
}

/* Solves under one assumption a fact; the failed ones are the core. Solving the
 * core again often drops more. */
static bool assume_facts(bk_solver *solver, const bk_solve_options *options, bool *used)
{
    if (!bk_load(solver, true)) {
        for (size_t f = 0; f < options->facts; f++)
            used[f] = false;
        return false;
    }
    for (size_t round = 0, before = SIZE_MAX; round < ROUNDS; round++) {
        size_t count = count_of(used, options->facts);
        if (count >= before || search_facts(solver, used, INT64_MAX) != BK_REFUTED)
            break;
        before = count;
    }
    return options->shrink > 0 && shrink_core(solver, used);
}

/* Of a long chain every stage may be needed, and each attempt has to load it all. */
static int64_t work_to_drop(const bk_solve_options *options)
{
    if (options->work <= 0)
        return INT64_MAX;
    int64_t work = options->work / PART_OF_WORK;
    return work > LEAST_WORK ? work : LEAST_WORK;
}

void bk_find_core(bk_solver *solver, bk_arena *arena, const bk_problem *problem,
                  const bk_solve_options *options, const bk_core_room *room, bk_result *result,
                  const bk_effort *spent)
{
    dropping d = {.solver = solver,
                  .arena = arena,
                  .problem = problem,
                  .options = *options,
                  .given = options->dropped,
                  .room = room,
                  .limit = options->conflicts > 0 ? options->conflicts : INT64_MAX,
                  .work_limit = work_to_drop(options),
                  .whole_work = work_to_drop(options)};
    d.options.dropped = room->dropped;
    use_all(&d);
    if (spent->conflicts <= EASY && options->shrink > 0) {
        result->core_irreducible = drop_facts(&d, options, spent);
        result->conflicts += d.conflicts;
        return;
    }
    bk_solver_begin(solver, arena, problem, options);
    result->core_irreducible = assume_facts(solver, options, room->used);
    result->conflicts += solver->effort.conflicts;
    bk_memory_free(&solver->memory);
}

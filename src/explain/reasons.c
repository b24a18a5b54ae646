/* Why a plan cannot be met: an irreducible set of its facts, in the order of the
 * chain they form. */
#include "explain/explain.h"

#include <stdlib.h>

/* What is tried first is dropped first: what the cook can least change is kept
 * only when it is needed, windows and capacities before the recipe's own times, and of
 * these the short before the long: fewer then say why. At most 9. */
static int patience(const bk_plan *plan, const bk_fact *fact)
{
    static const int64_t longer[] = {8, 15, 25, 45, 90};
    int64_t minutes;
    switch (fact->kind) {
    case BK_FACT_HANDS:
    case BK_FACT_POOL:
    case BK_FACT_SHELVES:
    case BK_FACT_OVEN_TEMPERATURE:
    case BK_FACT_OVEN_OFF:
        return 0;
    case BK_FACT_CHECK:
    case BK_FACT_MARGIN:
    case BK_FACT_KEEPS:
    case BK_FACT_WITHIN:
    case BK_FACT_WHEN:
        return 1;
    case BK_FACT_WINDOW:
    case BK_FACT_BEGINS:
    case BK_FACT_AT_TABLE:
    case BK_FACT_COOK:
        return 2;
    case BK_FACT_STAGE_TIME:
        minutes = plan->stages[fact->stage].planned;
        break;
    case BK_FACT_WAIT:
        minutes = plan->stages[fact->stage].links[fact->link].wait;
        break;
    default:
        return 9;
    }
    int steps = 0;
    for (size_t i = 0; i < sizeof longer / sizeof *longer; i++)
        steps += minutes > longer[i];
    return 3 + steps;
}

/* ------------------------------------------------------------------ order */

/* The stage a fact belongs beside, for the order of the chain: back from the table
 * is the order of the recipe read forward. */
static size_t anchor(const bk_plan *plan, const bk_fact *fact)
{
    if (fact->stage != SIZE_MAX)
        return fact->stage;
    if (fact->dish != SIZE_MAX) {
        const bk_dish *dish = &plan->dishes[fact->dish];
        return dish->first_stage + dish->stage_count - 1;
    }
    return SIZE_MAX;
}

/* What there is not enough of first; then the limit on the left of the chain, stage facts in order,
 * and the right end. */
static int place_in_chain(const bk_fact *fact)
{
    switch (fact->kind) {
    case BK_FACT_WINDOW:
    case BK_FACT_AT_TABLE:
    case BK_FACT_COOK:
    case BK_FACT_HANDS:
    case BK_FACT_POOL:
    case BK_FACT_SHELVES:
        return 0;
    case BK_FACT_EARLIEST:
    case BK_FACT_NOW:
        return 1;
    case BK_FACT_SERVE:
    case BK_FACT_MARGIN:
    case BK_FACT_KEEPS:
        return 3;
    default:
        return 2;
    }
}

/* Longest-path depth of every stage in the links: predecessors first. */
static size_t *chain_depth(bk_arena *arena, const bk_plan *plan)
{
    size_t n = plan->stage_count;
    size_t *depth = BK_NEW(arena, size_t, n), *waiting = BK_NEW(arena, size_t, n);
    size_t *queue = BK_NEW(arena, size_t, n), head = 0, tail = 0;
    bk_followers followers = bk_followers_of(arena, plan);
    for (size_t i = 0; i < n; i++) {
        waiting[i] = plan->stages[i].link_count;
        if (waiting[i] == 0)
            queue[tail++] = i;
    }
    while (head < tail) {
        size_t i = queue[head++];
        for (size_t k = followers.first[i]; k < followers.first[i + 1]; k++) {
            size_t j = followers.stage[k];
            if (depth[i] + 1 > depth[j])
                depth[j] = depth[i] + 1;
            if (--waiting[j] == 0)
                queue[tail++] = j;
        }
    }
    return depth;
}

static bool goes_before(const bk_plan *plan, const size_t *depth, const bk_fact *a,
                        const bk_fact *b)
{
    int place_a = place_in_chain(a), place_b = place_in_chain(b);
    if (place_a != place_b)
        return place_a < place_b;
    size_t at_a = anchor(plan, a), at_b = anchor(plan, b);
    if (at_a != at_b && at_a != SIZE_MAX && at_b != SIZE_MAX) {
        if (depth[at_a] != depth[at_b])
            return depth[at_a] < depth[at_b];
        return at_a < at_b;
    }
    /* One stage: the link that leads to it, then its own time. */
    bool time_a = a->kind == BK_FACT_STAGE_TIME, time_b = b->kind == BK_FACT_STAGE_TIME;
    return !time_a && time_b;
}

/* The facts in the order of the chain; those of which neither goes before the other stay as they
 * are. Runs of a width are merged into runs of twice that. */
static void put_in_order(bk_arena *arena, const bk_plan *plan, bk_fact *facts, size_t count)
{
    const size_t *depth = chain_depth(arena, plan);
    bk_fact *from = facts, *to = BK_NEW(arena, bk_fact, count);
    for (size_t width = 1; width < count; width *= 2) {
        for (size_t low = 0; low < count; low += 2 * width) {
            size_t middle = low + width < count ? low + width : count;
            size_t high = middle + width < count ? middle + width : count;
            for (size_t at = low, a = low, b = middle; at < high; at++) {
                bool second =
                    a == middle || (b < high && goes_before(plan, depth, &from[b], &from[a]));
                to[at] = from[second ? b++ : a++];
            }
        }
        bk_fact *swap = from;
        from = to;
        to = swap;
    }
    for (size_t i = 0; from != facts && i < count; i++)
        facts[i] = from[i];
}

static int by_fact(const void *left, const void *right)
{
    return bk_fact_order(left, right);
}

bool *bk_facts_aside(bk_arena *arena, const bk_compiled *compiled, const bk_fact *aside,
                     size_t aside_count)
{
    bool *is_aside = BK_NEW(arena, bool, compiled->fact_count);
    bk_fact *sorted = BK_NEW(arena, bk_fact, aside_count);
    for (size_t k = 0; k < aside_count; k++)
        sorted[k] = aside[k];
    if (aside_count > 0)
        qsort(sorted, aside_count, sizeof *sorted, by_fact);
    for (size_t i = 0; i < compiled->fact_count && aside_count > 0; i++)
        is_aside[i] =
            bsearch(&compiled->facts[i], sorted, aside_count, sizeof *sorted, by_fact) != NULL;
    return is_aside;
}

/* Of more facts than a cook reads: other orders of leaving out may leave fewer. */
enum { READABLE = 12, OTHER_ORDERS = 4 };

/* The facts in turns that have nothing to do with what they are. */
static void other_order(const bk_compiled *compiled, int *patience_of_fact, int turn)
{
    uint32_t random = (uint32_t)turn * 2654435761u;
    for (size_t i = 0; i < compiled->fact_count; i++) {
        random = random * 1664525u + 1013904223u; /* Numerical Recipes, 7.1 */
        patience_of_fact[i] = (int)(random >> 16) % 10;
    }
}

static bk_reasons reasons_beside(bk_arena *arena, const bk_plan *plan, bk_compile_options options,
                                 const bk_fact *aside, size_t aside_count, int64_t effort,
                                 bk_onlooker *onlooker)
{
    bk_reasons reasons = {0};
    options.droppable = options.no_objective = true;
    bk_compiled *compiled = bk_compile(arena, plan, &options);
    bool *dropped = aside_count > 0 ? bk_facts_aside(arena, compiled, aside, aside_count) : NULL;
    int *patience_of_fact = BK_NEW(arena, int, compiled->fact_count);
    for (size_t i = 0; i < compiled->fact_count; i++)
        patience_of_fact[i] = patience(plan, &compiled->facts[i]);
    bk_solve_options solving = {.conflicts = effort,
                                .work = effort * BK_WORK_A_CONFLICT,
                                .facts = compiled->fact_count,
                                .dropped = dropped,
                                .explain = true,
                                .shrink = effort / 10 + 1000,
                                .patience = patience_of_fact,
                                .first_only = true,
                                .onlooker = onlooker};
    bk_result result = bk_solve(arena, compiled->problem, &solving);
    for (int turn = 1;
         turn <= OTHER_ORDERS && result.status == BK_INFEASIBLE && result.core_count > READABLE &&
         (turn > 1 || result.core_irreducible) && !bk_is_called_off(onlooker);
         turn++) {
        other_order(compiled, patience_of_fact, turn);
        bk_result other = bk_solve(arena, compiled->problem, &solving);
        if (other.status == BK_WRONG || (other.status == BK_INFEASIBLE && other.core_irreducible &&
                                         other.core_count < result.core_count))
            result = other;
    }
    reasons.wrong = result.status == BK_WRONG;
    if (result.status != BK_INFEASIBLE)
        return reasons;
    reasons.proved = true;
    reasons.irreducible = result.core_irreducible;
    size_t room = 0;
    for (size_t i = 0; i < result.core_count; i++) {
        bk_fact fact = compiled->facts[result.core[i]];
        fact.message = bk_fact_sentence(arena, plan, &fact);
        *BK_PUSH(arena, reasons.facts, reasons.count, room) = fact;
    }
    put_in_order(arena, plan, reasons.facts, reasons.count);
    return reasons;
}

bk_reasons bk_reasons_of(bk_arena *arena, const bk_plan *plan, bk_compile_options options,
                         int64_t effort, bk_onlooker *onlooker)
{
    return reasons_beside(arena, plan, options, NULL, 0, effort, onlooker);
}

bk_reasons bk_reasons_beside(bk_arena *arena, const bk_plan *plan, const bk_fact *aside,
                             size_t aside_count, int64_t effort, bk_onlooker *onlooker)
{
    return reasons_beside(arena, plan, (bk_compile_options){0}, aside, aside_count, effort,
                          onlooker);
}

bk_reasons bk_why_start(bk_arena *arena, const bk_timeline *timeline, int64_t effort,
                        bk_onlooker *onlooker)
{
    return bk_reasons_of(
        arena, timeline->plan,
        (bk_compile_options){.has_first = true, .first_not_before = timeline->start + 1}, effort,
        onlooker);
}

bk_reasons bk_why_stage(bk_arena *arena, const bk_timeline *timeline, size_t stage, int64_t effort,
                        bk_onlooker *onlooker)
{
    const bk_placed *placed = bk_timeline_placed(timeline, stage);
    bk_instant start = placed ? placed->start : 0;
    bk_compile_options options = {.has_first = true,
                                  .first_not_before = timeline->start,
                                  .moved = stage + 1,
                                  .moved_not_before = start + 1};
    bk_reasons reasons = bk_reasons_of(arena, timeline->plan, options, effort, onlooker);
    if (reasons.proved || reasons.wrong)
        return reasons;
    /* It can move: what does that cost? */
    bk_compiled *compiled = bk_compile(arena, timeline->plan, &options);
    bk_result result = bk_solve(arena, compiled->problem,
                                &(bk_solve_options){.conflicts = effort,
                                                    .work = effort * BK_WORK_A_CONFLICT,
                                                    .facts = compiled->fact_count,
                                                    .onlooker = onlooker});
    reasons.wrong = result.status == BK_WRONG;
    if (!result.value)
        return reasons;
    reasons.possible = true;
    reasons.first_start = compiled->mirror - result.value[compiled->first_start];
    reasons.interruptions = bk_interruptions(arena, compiled, result.value, INT32_MIN, INT32_MAX);
    reasons.waiting = result.sum[compiled->level_waiting] - compiled->waiting_offset;
    return reasons;
}

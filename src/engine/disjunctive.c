/* Pairs of tasks that cannot run at once, and what is made of them. */
#include "engine/disjunctive.h"

#include "engine/lagrangian.h"
#include "engine/solver.h"

/* Tables of all pairs take as many entries. */
enum { MOST_STARTS = 400, MOST_DISJUNCTIONS = 20000 };

/* The two tasks shut out all starts of j from i - other + 1 to i + one - 1. Several
 * such stretches of one pair are one while they touch; of others the first counts. */
static void shut_out(bk_disjunctive *pairs, int32_t i, int32_t j, int32_t one, int32_t other)
{
    int32_t *gap = &pairs->gap[i * pairs->count + j], *back = &pairs->gap[j * pairs->count + i];
    if (*gap == BK_NO_PATH) {
        *gap = one;
        *back = other;
    } else if (-other < *gap && -*back < one) {
        *gap = one > *gap ? one : *gap;
        *back = other > *back ? other : *back;
    }
}

/* Pairs of tasks whose amounts are over the capacity. */
static void find_pairs(const bk_solver *solver, bk_disjunctive *pairs)
{
    int32_t n = pairs->count;
    for (int32_t i = 0; i < n * n; i++)
        pairs->gap[i] = BK_NO_PATH;
    for (int32_t c = 0; c < solver->resources.cumulatives.count; c++) {
        const bk_cumulative *cumulative = &solver->resources.cumulatives.at[c];
        if (cumulative->count == 0)
            continue;
        const bk_task *tasks = solver->resources.tasks.at + cumulative->first;
        for (int32_t a = 0; a < cumulative->count && cumulative->fact.side < 0; a++)
            for (int32_t b = 0; b < cumulative->count; b++)
                if (tasks[a].from < tasks[b].from && bk_is_plain(&tasks[a]) &&
                    bk_is_plain(&tasks[b]) &&
                    (int64_t)tasks[a].amount + tasks[b].amount > cumulative->capacity)
                    shut_out(pairs, tasks[a].from / 2, tasks[b].from / 2,
                             tasks[a].to_plus - tasks[b].from_plus,
                             tasks[b].to_plus - tasks[a].from_plus);
    }
    /* What lags order anyhow needs no choice. */
    for (int32_t i = 0; i < n; i++)
        for (int32_t j = i + 1; j < n; j++) {
            int32_t *one = &pairs->gap[i * n + j], *other = &pairs->gap[j * n + i];
            if (*one == BK_NO_PATH ||
                (pairs->path[i * n + j] < *one && pairs->path[j * n + i] < *other))
                continue;
            *one = *other = BK_NO_PATH;
        }
}

/* The order of each pair becomes a statement of its own: what is learned then speaks of orders,
 * whatever the times, and search may branch on them. (Transitivity of orders as clauses was
 * measured, and brought nothing.) */
static void add_disjunctions(bk_solver *solver, const bk_disjunctive *pairs)
{
    int32_t n = pairs->count, orders = 0;
    for (int32_t i = 0; i < n; i++)
        for (int32_t j = i + 1; j < n && orders < MOST_DISJUNCTIONS; j++) {
            if (pairs->gap[i * n + j] == BK_NO_PATH)
                continue;
            int32_t order = bk_variable_new(solver, 0, 1, BK_REST);
            bk_literal before = {2 * order, 1}, after = bk_not(before);
            bk_conditional_new(solver, 2 * i, 2 * j, pairs->gap[i * n + j], &before, 1);
            bk_conditional_new(solver, 2 * j, 2 * i, pairs->gap[j * n + i], &after, 1);
            *BK_ADD(solver, solver->disjunctions) =
                (bk_disjunction){order, i, j, pairs->gap[i * n + j]};
            orders++;
        }
}

/* The order of two tasks, of any length, each of which may be absent. */
static void add_order(bk_solver *solver, const bk_task *a, const bk_task *b)
{
    int32_t order = bk_variable_new(solver, 0, 1, BK_REST), count = 1;
    bk_literal when[3] = {{2 * order, 1}};
    if (!bk_is_true(solver, a->present))
        when[count++] = a->present;
    if (!bk_is_true(solver, b->present))
        when[count++] = b->present;
    bk_conditional_new(solver, a->to, b->from, a->to_plus - b->from_plus, when, count);
    when[0] = bk_not(when[0]);
    bk_conditional_new(solver, b->to, a->from, b->to_plus - a->from_plus, when, count);
    *BK_ADD(solver, solver->disjunctions) =
        (bk_disjunction){order, a->to / 2, b->from / 2, a->to_plus - b->from_plus};
}

/* `plain`: those of plain tasks have variables already. */
static void add_orders(bk_solver *solver, const bk_paths *paths, bool plain)
{
    for (int32_t c = 0; c < solver->resources.cumulatives.count; c++) {
        const bk_cumulative *cumulative = &solver->resources.cumulatives.at[c];
        if (cumulative->count == 0)
            continue;
        const bk_task *tasks = solver->resources.tasks.at + cumulative->first;
        for (int32_t i = 0; i < cumulative->count && bk_is_true(solver, cumulative->fact); i++)
            for (int32_t j = i + 1; j < cumulative->count; j++) {
                const bk_task *a = &tasks[i], *b = &tasks[j];
                if ((plain && bk_is_plain(a) && bk_is_plain(b)) ||
                    bk_is_false(solver, a->present) || bk_is_false(solver, b->present) ||
                    (int64_t)a->amount + b->amount <= cumulative->capacity || a->to == b->from ||
                    b->to == a->from || !bk_has_length(paths, a) || !bk_has_length(paths, b) ||
                    solver->disjunctions.count >= MOST_DISJUNCTIONS ||
                    bk_always_after(paths, a->to / 2, b->from / 2, a->to_plus - b->from_plus) ||
                    bk_always_after(paths, b->to / 2, a->from / 2, b->to_plus - a->from_plus))
                    continue;
                add_order(solver, a, b);
            }
    }
}

/* What is not measured is between its bounds. */
static int32_t path_of(const bk_solver *solver, const bk_paths *paths, int32_t from, int32_t to)
{
    if (paths->index[from] >= 0 && paths->index[to] >= 0)
        return bk_path(paths, from, to);
    if (from == to)
        return 0;
    int32_t before = paths->index[from] >= 0 ? bk_path(paths, from, 0) : -bk_ub(solver, 2 * from);
    return before + (paths->index[to] >= 0 ? bk_path(paths, 0, to) : bk_lb(solver, 2 * to));
}

static void add_plain(bk_solver *solver, const bk_paths *paths, const bk_objective *objectives,
                      int levels)
{
    bk_disjunctive pairs = {.count = solver->lags.sides / 2};
    size_t entries = (size_t)pairs.count * (size_t)pairs.count;
    pairs.path = bk_memory_new(&solver->memory, entries, sizeof *pairs.path);
    pairs.gap = bk_memory_new(&solver->memory, entries, sizeof *pairs.gap);
    for (int32_t i = 0; i < pairs.count; i++)
        for (int32_t j = 0; j < pairs.count; j++)
            pairs.path[i * pairs.count + j] = path_of(solver, paths, i, j);
    find_pairs(solver, &pairs);
    add_disjunctions(solver, &pairs);
    bk_add_cliques(solver, &pairs);
    for (int level = 0; level < levels; level++)
        bk_add_completions(solver, &pairs, &objectives[level], level);
    if (solver->completions.list.count > 0) {
        solver->completions.path = pairs.path;
        solver->completions.starts = pairs.count;
    } else {
        bk_memory_release(&solver->memory, pairs.path);
    }
    bk_memory_release(&solver->memory, pairs.gap);
}

bool bk_add_disjunctions(bk_solver *solver, const bk_objective *objectives, int levels)
{
    bk_paths paths = bk_longest_paths(solver);
    if (paths.count == 0 || paths.count > MOST_STARTS) {
        bk_paths_free(solver, &paths);
        return true;
    }
    int32_t conditionals = solver->lags.conditionals.count;
    int64_t work = solver->effort.work;
    bool small = solver->lags.sides / 2 <= MOST_STARTS;
    if (small)
        add_plain(solver, &paths, objectives, levels);
    add_orders(solver, &paths, small);
    solver->effort.work = work; /* what this took has a limit of its own */
    bk_paths_free(solver, &paths);
    for (int32_t i = conditionals; i < solver->lags.conditionals.count && !solver->impossible; i++)
        if (!bk_propagate_conditional(solver, i))
            solver->impossible = true;
    return bk_settle_root(solver);
}

void bk_disjunctions_follow(bk_solver *solver)
{
    for (int32_t k = 0; k < solver->disjunctions.count; k++) {
        bk_disjunction order = solver->disjunctions.at[k];
        solver->found[order.variable] =
            solver->found[order.other] >= solver->found[order.one] + order.gap;
    }
}

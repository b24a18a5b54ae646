/* Pairs of tasks that cannot run at once, and what is made of them. */
#include "engine/disjunctive.h"

#include "engine/lagrangian.h"
#include "engine/solver.h"

/* All longest paths take count^3 steps. */
enum { MOST_STARTS = 400, MOST_DISJUNCTIONS = 20000 };

/* The longest ways from start to start: lags, and the bounds as lags from and to
 * the constant (Floyd 1962). At a fixed point of the lags no way goes in a circle
 * of positive length, so no sum leaves the range. */
static void longest_paths(const bk_solver *solver, bk_disjunctive *pairs)
{
    int32_t n = pairs->count, *path = pairs->path;
    for (int32_t i = 0; i < n * n; i++)
        path[i] = BK_NO_PATH;
    for (int32_t v = 0; v < n; v++) {
        for (int32_t a = solver->lags.first[2 * v]; a < solver->lags.first[2 * v + 1]; a++) {
            bk_arc arc = solver->lags.arcs[a];
            if (!(arc.to & 1) && arc.weight > path[v * n + arc.to / 2])
                path[v * n + arc.to / 2] = arc.weight;
        }
        if (path[v] < bk_lb(solver, 2 * v))
            path[v] = bk_lb(solver, 2 * v);
        if (path[v * n] < -bk_ub(solver, 2 * v))
            path[v * n] = -bk_ub(solver, 2 * v);
        path[v * n + v] = 0;
    }
    for (int32_t k = 0; k < n; k++)
        for (int32_t i = 0; i < n; i++) {
            int32_t first = path[i * n + k];
            for (int32_t j = 0; first > BK_NO_PATH && j < n; j++)
                if (path[k * n + j] > BK_NO_PATH && first + path[k * n + j] > path[i * n + j])
                    path[i * n + j] = first + path[k * n + j];
        }
}

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
            *BK_ADD(solver, solver->disjunctions) = (bk_disjunction){order, i, j};
            orders++;
        }
}

bool bk_add_disjunctions(bk_solver *solver, const bk_objective *objectives, int levels)
{
    bk_disjunctive pairs = {.count = solver->lags.sides / 2};
    if (pairs.count > MOST_STARTS)
        return true;
    size_t entries = (size_t)pairs.count * (size_t)pairs.count;
    pairs.path = bk_memory_new(&solver->memory, entries, sizeof *pairs.path);
    pairs.gap = bk_memory_new(&solver->memory, entries, sizeof *pairs.gap);
    longest_paths(solver, &pairs);
    find_pairs(solver, &pairs);
    int32_t conditionals = solver->lags.conditionals.count;
    int64_t work = solver->effort.work;
    add_disjunctions(solver, &pairs);
    bk_add_cliques(solver, &pairs);
    for (int level = 0; level < levels; level++)
        bk_add_completions(solver, &pairs, &objectives[level]);
    solver->effort.work = work; /* what this took has a limit of its own */
    bk_memory_release(&solver->memory, pairs.path);
    bk_memory_release(&solver->memory, pairs.gap);
    for (int32_t i = conditionals; i < solver->lags.conditionals.count && !solver->impossible; i++)
        if (!bk_propagate_conditional(solver, i))
            solver->impossible = true;
    return bk_raise_root(solver, (bk_literal){0, 0});
}

void bk_disjunctions_follow(bk_solver *solver)
{
    for (int32_t k = 0; k < solver->disjunctions.count; k++) {
        bk_disjunction order = solver->disjunctions.at[k];
        solver->found[order.variable] = solver->found[order.one] < solver->found[order.other];
    }
}

/* Tasks that cannot run at once, over all resources together: two amounts that
 * do not fit beside each other, or two starts that lags keep apart. */
#include "engine/solver.h"

/* All distances take count^3 steps. */
enum { MOST_STARTS = 400 };

/* The longest ways from start to start: lags, and the bounds as lags from and to
 * the constant (Floyd 1962). At a fixed point of the lags no way goes in a circle
 * of positive length, so no sum leaves the range. */
static void measure(const bk_solver *solver, bk_apart *apart)
{
    int32_t n = apart->count, *far = apart->far;
    for (int32_t i = 0; i < n * n; i++)
        far[i] = BK_NO_LEAD;
    for (int32_t v = 0; v < n; v++) {
        for (int32_t a = solver->arc_first[2 * v]; a < solver->arc_first[2 * v + 1]; a++) {
            bk_arc arc = solver->arcs[a];
            if (!(arc.to & 1) && arc.weight > far[v * n + arc.to / 2])
                far[v * n + arc.to / 2] = arc.weight;
        }
        if (far[v] < bk_least(solver, 2 * v))
            far[v] = bk_least(solver, 2 * v);
        if (far[v * n] < -bk_most(solver, 2 * v))
            far[v * n] = -bk_most(solver, 2 * v);
        far[v * n + v] = 0;
    }
    for (int32_t k = 0; k < n; k++)
        for (int32_t i = 0; i < n; i++) {
            int32_t first = far[i * n + k];
            for (int32_t j = 0; first > BK_NO_LEAD && j < n; j++)
                if (far[k * n + j] > BK_NO_LEAD && first + far[k * n + j] > far[i * n + j])
                    far[i * n + j] = first + far[k * n + j];
        }
}

/* The two tasks shut out all starts of j from i - other + 1 to i + one - 1. Several
 * such stretches of one pair are one while they touch; of others the first counts. */
static void shut_out(bk_apart *apart, int32_t i, int32_t j, int32_t one, int32_t other)
{
    int32_t *lead = &apart->lead[i * apart->count + j], *back = &apart->lead[j * apart->count + i];
    if (*lead == BK_NO_LEAD) {
        *lead = one;
        *back = other;
    } else if (-other < *lead && -*back < one) {
        *lead = one > *lead ? one : *lead;
        *back = other > *back ? other : *back;
    }
}

/* Pairs of tasks whose amounts are over the capacity. */
static void find_pairs(const bk_solver *solver, bk_apart *apart)
{
    int32_t n = apart->count;
    for (int32_t i = 0; i < n * n; i++)
        apart->lead[i] = BK_NO_LEAD;
    for (int32_t c = 0; c < solver->cumulatives.count; c++) {
        const bk_cumulative *cumulative = &solver->cumulatives.at[c];
        const bk_task *tasks = solver->tasks.at + cumulative->first;
        for (int32_t a = 0; a < cumulative->count && cumulative->fact.side < 0; a++)
            for (int32_t b = 0; b < cumulative->count; b++)
                if (tasks[a].from < tasks[b].from && bk_is_plain(&tasks[a]) &&
                    bk_is_plain(&tasks[b]) &&
                    (int64_t)tasks[a].amount + tasks[b].amount > cumulative->capacity)
                    shut_out(apart, tasks[a].from / 2, tasks[b].from / 2,
                             tasks[a].to_plus - tasks[b].from_plus,
                             tasks[b].to_plus - tasks[a].from_plus);
    }
    /* What lags order anyhow needs no choice. */
    for (int32_t i = 0; i < n; i++)
        for (int32_t j = i + 1; j < n; j++) {
            int32_t *one = &apart->lead[i * n + j], *other = &apart->lead[j * n + i];
            if (*one == BK_NO_LEAD ||
                (apart->far[i * n + j] < *one && apart->far[j * n + i] < *other))
                continue;
            *one = *other = BK_NO_LEAD;
        }
}

bool bk_keep_apart(bk_solver *solver, const bk_objective *objectives, int levels)
{
    bk_apart apart = {.count = solver->arc_sides / 2};
    if (apart.count > MOST_STARTS)
        return true;
    size_t pairs = (size_t)apart.count * (size_t)apart.count;
    apart.far = bk_solver_new(solver, pairs, sizeof *apart.far);
    apart.lead = bk_solver_new(solver, pairs, sizeof *apart.lead);
    measure(solver, &apart);
    find_pairs(solver, &apart);
    int32_t conditionals = solver->conditionals.count;
    int64_t work = solver->work;
    bk_add_orders(solver, &apart);
    bk_add_cliques(solver, &apart);
    for (int level = 0; level < levels; level++)
        bk_add_completions(solver, &apart, &objectives[level]);
    solver->work = work; /* what this took has a limit of its own */
    bk_solver_release(solver, apart.far);
    bk_solver_release(solver, apart.lead);
    for (int32_t i = conditionals; i < solver->conditionals.count && !solver->impossible; i++)
        if (!bk_propagate_conditional(solver, i))
            solver->impossible = true;
    return bk_raise_root(solver, (bk_literal){0, 0});
}

/* Immediate selection by longest paths (Brucker, Jurisch, Sievers, "A branch and bound algorithm
 * for the job-shop scheduling problem", Discrete Applied Math. 49, 1994; Dorndorf, Pesch,
 * Phan-Huy, "A time-oriented branch-and-bound algorithm for resource-constrained project
 * scheduling with generalised precedence constraints", Management Science 46, 2000): a lag that
 * would close a cycle of positive length cannot hold (Dechter, Meiri, Pearl, "Temporal constraint
 * networks", Artificial Intelligence 49, 1991).
 *
 * Bounds see such a cycle only by going round it to the end of the horizon, a little further each
 * time; paths see it at once. */
#include "engine/relations.h"

#include "engine/solver.h"

enum { MOST_STEPS = 100000000, MOST_ROUNDS = 20 };

typedef struct relations {
    bk_solver *solver;
    bk_paths paths;
    int64_t steps;
    bool impossible, changed;
    bool last; /* the round that leaves to the search what hangs on two conditions or more */
} relations;

/* ------------------------------------------------------------------ paths */

static void measure(bk_paths *paths, int32_t variable)
{
    if (paths->index[variable] < 0)
        paths->index[variable] = paths->count++;
}

/* The variables that lags and tasks speak of: choices are none. */
static void find_measured(bk_solver *solver, bk_paths *paths)
{
    int32_t n = solver->lags.sides / 2;
    paths->index = bk_memory_new(&solver->memory, (size_t)n, sizeof *paths->index);
    for (int32_t v = 0; v < n; v++)
        paths->index[v] = -1;
    measure(paths, 0);
    for (int32_t v = 0; v < n; v++)
        if (solver->lags.first[2 * v] < solver->lags.first[2 * v + 1] ||
            solver->lags.first[2 * v + 1] < solver->lags.first[2 * v + 2])
            measure(paths, v);
    for (int32_t i = 0; i < solver->lags.conditionals.count; i++) {
        measure(paths, solver->lags.conditionals.at[i].from / 2);
        measure(paths, solver->lags.conditionals.at[i].to / 2);
    }
    for (int32_t i = 0; i < solver->resources.tasks.count; i++) {
        measure(paths, solver->resources.tasks.at[i].from / 2);
        measure(paths, solver->resources.tasks.at[i].to / 2);
    }
}

static void at_least(bk_paths *paths, int32_t from, int32_t to, int32_t weight)
{
    int32_t *path = &paths->at[paths->index[from] * paths->count + paths->index[to]];
    if (*path < weight)
        *path = weight;
}

static bool holds_at_root(const bk_solver *solver, const bk_conditional *lag)
{
    for (int32_t i = 0; i < lag->when_count; i++)
        if (!bk_is_true(solver, solver->lags.conditions.at[lag->first + i]))
            return false;
    return true;
}

/* row[j] at least `first` beyond via[j]. */
static void through(int32_t *restrict row, const int32_t *restrict via, int32_t count,
                    int32_t first)
{
    for (int32_t j = 0; j < count; j++) {
        int32_t value = first + via[j];
        row[j] = value > row[j] ? value : row[j];
    }
}

/* Floyd, "Shortest path", Comm. ACM 5, 1962. The constant comes first: from then on there is a way
 * between any two, by their bounds, which are final. A way to k that is no longer than that one
 * leads nowhere that the bounds do not. */
static void through_all(bk_paths *paths)
{
    int32_t n = paths->count, *path = paths->at;
    for (int32_t i = 1; i < n; i++)
        through(path + i * n, path, n, path[i * n]);
    for (int32_t k = 1; k < n; k++)
        for (int32_t i = 1; i < n; i++)
            if (i != k && path[i * n + k] > path[i * n] + path[k])
                through(path + i * n, path + k * n, n, path[i * n + k]);
}

bk_paths bk_longest_paths(bk_solver *solver)
{
    bk_paths paths = {0, NULL, NULL};
    find_measured(solver, &paths);
    int32_t n = paths.count;
    if (n > BK_MOST_MEASURED) {
        bk_paths_free(solver, &paths);
        return paths;
    }
    paths.at = bk_memory_new(&solver->memory, (size_t)n * (size_t)n, sizeof *paths.at);
    int32_t *path = paths.at;
    for (int32_t i = 0; i < n * n; i++)
        path[i] = BK_NO_PATH;
    for (int32_t v = 0; v < solver->lags.sides / 2; v++) {
        if (paths.index[v] < 0)
            continue;
        for (int32_t a = solver->lags.first[2 * v]; a < solver->lags.first[2 * v + 1]; a++) {
            bk_arc arc = solver->lags.arcs[a];
            if (!(arc.to & 1))
                at_least(&paths, v, arc.to / 2, arc.weight);
        }
        at_least(&paths, 0, v, bk_lb(solver, 2 * v));
        at_least(&paths, v, 0, -bk_ub(solver, 2 * v));
        path[paths.index[v] * n + paths.index[v]] = 0;
    }
    for (int32_t i = 0; i < solver->lags.conditionals.count; i++) {
        const bk_conditional *lag = &solver->lags.conditionals.at[i];
        if (holds_at_root(solver, lag))
            at_least(&paths, lag->from / 2, lag->to / 2, lag->weight);
    }
    through_all(&paths);
    return paths;
}

void bk_paths_free(bk_solver *solver, bk_paths *paths)
{
    bk_memory_release(&solver->memory, paths->index);
    bk_memory_release(&solver->memory, paths->at);
    *paths = (bk_paths){0, NULL, NULL};
}

bool bk_has_length(const bk_paths *paths, const bk_task *task)
{
    return bk_always_after(paths, task->from / 2, task->to / 2,
                           task->from_plus + 1 - task->to_plus);
}

/* Variable `to` comes at least `weight` after `from`: all paths that this makes longer. */
static void lengthen(relations *r, int32_t from, int32_t to, int32_t weight)
{
    int32_t n = r->paths.count, *path = r->paths.at;
    if (bk_always_after(&r->paths, from, to, weight))
        return;
    if (bk_never_after(&r->paths, from, to, weight)) {
        r->impossible = true;
        return;
    }
    int32_t one = r->paths.index[from], other = r->paths.index[to];
    for (int32_t i = 0; i < n; i++) {
        int32_t first = path[i * n + one];
        if (first == BK_NO_PATH || first + weight <= path[i * n + other])
            continue;
        first += weight;
        for (int32_t j = 0; j < n; j++)
            if (path[other * n + j] > BK_NO_PATH && first + path[other * n + j] > path[i * n + j])
                path[i * n + j] = first + path[other * n + j];
        r->steps += n;
    }
    r->changed = true;
}

/* The same, as a lag for the search, too. */
static void order(relations *r, int32_t from, int32_t to, int32_t weight)
{
    if (bk_always_after(&r->paths, from, to, weight))
        return;
    lengthen(r, from, to, weight);
    if (!r->impossible)
        bk_conditional_new(r->solver, 2 * from, 2 * to, weight, NULL, 0);
}

/* ------------------------------------------------------------- conditions */

/* One of these is false. */
static void refuse(relations *r, const bk_literal *literals, int32_t count)
{
    bk_literals clause = {NULL, 0, 0};
    for (int32_t i = 0; i < count; i++) {
        if (bk_is_false(r->solver, literals[i])) {
            bk_memory_release(&r->solver->memory, clause.at);
            return;
        }
        if (!bk_is_true(r->solver, literals[i]))
            *BK_ADD(r->solver, clause) = bk_not(literals[i]);
    }
    if (clause.count == 0) {
        r->impossible = true;
    } else if (clause.count == 1) {
        r->changed = true;
        if (!bk_raise(r->solver, clause.at[0], (bk_reason){BK_BY_DECISION, 0, 0}))
            r->impossible = true;
    } else if (r->last && !bk_clause_given(r->solver, clause.at, clause.count)) {
        r->impossible = true;
    }
    bk_memory_release(&r->solver->memory, clause.at);
}

static void conditional_lags(relations *r)
{
    const bk_lags *lags = &r->solver->lags;
    for (int32_t i = 0; i < lags->conditionals.count && !r->impossible; i++) {
        bk_conditional lag = lags->conditionals.at[i];
        if (holds_at_root(r->solver, &lag))
            lengthen(r, lag.from / 2, lag.to / 2, lag.weight);
        else if (bk_never_after(&r->paths, lag.from / 2, lag.to / 2, lag.weight))
            refuse(r, lags->conditions.at + lag.first, lag.when_count);
    }
}

/* -------------------------------------------------------------- resources */

/* `one` goes before `other` when both are present. */
static void order_pair(relations *r, const bk_task *one, const bk_task *other,
                       const bk_literal *present, bool both)
{
    int32_t weight = one->to_plus - other->from_plus, count = 0;
    if (both) {
        order(r, one->to / 2, other->from / 2, weight);
        return;
    }
    bk_literal when[2];
    for (int i = 0; i < 2; i++) {
        if (bk_is_false(r->solver, present[i]))
            return;
        if (!bk_is_true(r->solver, present[i]))
            when[count++] = present[i];
    }
    if (r->last && !bk_always_after(&r->paths, one->to / 2, other->from / 2, weight))
        bk_conditional_new(r->solver, one->to, other->from, weight, when, count);
}

/* Two tasks that do not fit beside each other. */
static void disjunctive_pair(relations *r, const bk_task *a, const bk_task *b)
{
    int32_t a_first = a->to_plus - b->from_plus, b_first = b->to_plus - a->from_plus;
    bool never_a = bk_never_after(&r->paths, a->to / 2, b->from / 2, a_first);
    bool never_b = bk_never_after(&r->paths, b->to / 2, a->from / 2, b_first);
    if (!never_a && !never_b)
        return;
    if (!bk_has_length(&r->paths, a) || !bk_has_length(&r->paths, b))
        return;
    bk_literal present[2] = {a->present, b->present};
    bool both = bk_is_true(r->solver, a->present) && bk_is_true(r->solver, b->present);
    if (never_a && never_b)
        refuse(r, present, 2);
    else if (never_a)
        order_pair(r, b, a, present, both);
    else
        order_pair(r, a, b, present, both);
}

/* Does i run at the start of j, wherever that is? */
static bool covers_start(const relations *r, const bk_task *i, const bk_task *j)
{
    return bk_always_after(&r->paths, i->from / 2, j->from / 2, i->from_plus - j->from_plus) &&
           bk_always_after(&r->paths, j->from / 2, i->to / 2, j->from_plus + 1 - i->to_plus);
}

/* i may not run at the start of j: it begins later, or has ended. */
static void clear_start(relations *r, const bk_task *i, const bk_task *j)
{
    int32_t later = j->from_plus + 1 - i->from_plus, ended = i->to_plus - j->from_plus;
    if (bk_never_after(&r->paths, j->from / 2, i->from / 2, later))
        order(r, i->to / 2, j->from / 2, ended);
    else if (bk_never_after(&r->paths, i->to / 2, j->from / 2, ended))
        order(r, j->from / 2, i->from / 2, later);
}

/* The timetable at the start of task j, in differences. */
static void load_at_start(relations *r, const bk_cumulative *cumulative, const bk_task *j)
{
    const bk_task *tasks = r->solver->resources.tasks.at + cumulative->first;
    if (!bk_is_true(r->solver, j->present) || !bk_has_length(&r->paths, j))
        return;
    int64_t load = j->amount;
    for (int32_t i = 0; i < cumulative->count; i++)
        if (&tasks[i] != j && bk_is_true(r->solver, tasks[i].present) &&
            covers_start(r, &tasks[i], j))
            load += tasks[i].amount;
    if (load > cumulative->capacity) {
        r->impossible = true;
        return;
    }
    for (int32_t i = 0; i < cumulative->count && !r->impossible; i++)
        if (&tasks[i] != j && load + tasks[i].amount > cumulative->capacity &&
            bk_is_true(r->solver, tasks[i].present) && !covers_start(r, &tasks[i], j))
            clear_start(r, &tasks[i], j);
}

static void resources(relations *r)
{
    if (r->impossible)
        return;
    const bk_resources *all = &r->solver->resources;
    for (int32_t c = 0; c < all->cumulatives.count && !r->impossible; c++) {
        const bk_cumulative *cumulative = &all->cumulatives.at[c];
        if (cumulative->count == 0 || !bk_is_true(r->solver, cumulative->fact))
            continue;
        const bk_task *tasks = all->tasks.at + cumulative->first;
        r->steps += (int64_t)cumulative->count * cumulative->count;
        for (int32_t a = 0; a < cumulative->count; a++)
            for (int32_t b = a + 1; b < cumulative->count && !r->impossible; b++)
                if ((int64_t)tasks[a].amount + tasks[b].amount > cumulative->capacity)
                    disjunctive_pair(r, &tasks[a], &tasks[b]);
        for (int32_t j = 0; j < cumulative->count && !r->impossible; j++)
            load_at_start(r, cumulative, &tasks[j]);
        if (r->last && !r->impossible)
            r->impossible = bk_relative_overload(r->solver, &r->paths, c, &r->steps);
    }
}

bool bk_settle_relations(bk_solver *solver)
{
    relations r = {.solver = solver, .paths = bk_longest_paths(solver)};
    if (r.paths.count == 0)
        return true;
    int32_t propagated = solver->lags.conditionals.count;
    r.changed = true;
    for (int round = 0; round < MOST_ROUNDS && r.changed && !r.impossible && r.steps < MOST_STEPS;
         round++) {
        r.changed = false;
        conditional_lags(&r);
        resources(&r);
    }
    r.last = true;
    if (!r.impossible) {
        conditional_lags(&r);
        resources(&r);
    }
    bk_paths_free(solver, &r.paths);
    for (int32_t i = propagated; i < solver->lags.conditionals.count && !r.impossible; i++)
        r.impossible = !bk_propagate_conditional(solver, i);
    return !r.impossible;
}

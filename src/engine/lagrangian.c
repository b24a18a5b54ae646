/* Which resource bounds a weighted sum best, and with which weights. A lag says that
 * one variable is at least so much above another, so weight may be moved from the
 * later to the earlier at a known gain (Lagrangian relaxation of the lag). Each move
 * is kept when it raises the bound at the root: waits without hands then count for
 * the task they wait for, and chains of tasks as the blocks that they form. */
#include "engine/lagrangian.h"

#include "engine/solver.h"

enum {
    LONGEST_SPAN = 1 << 17,
    MOST_WEIGHT = 1 << 14,
    SWEEPS = 100,
    LEAST_TASKS = 2,
    MOST_PLACES = 16,
    MOST_STEPS = 10000000,
    WORTH = 20, /* several places: the part of the sum that the bound has to gain */
    MOST_CASES = 200,
    PART = 8,        /* of all work, for fitting to cases */
    MOST_BOUNDS = 32 /* of all levels and cases */
};

/* Two parts: the task of one follows that of the other. */
typedef struct bk_link {
    int32_t first, then;
    bool block; /* weight has gone from the one to the other: best right behind one another */
} bk_link;

typedef struct shifting {
    bk_solver *solver;
    const bk_disjunctive *pairs;
    const bk_objective *objective;
    int64_t *weight; /* by variable, in units of BK_COMPLETION_UNIT */
    int32_t *task;   /* by variable: its part, or -1 */
    bk_completions sum;
    BK_VECTOR(bk_part) parts;
    BK_VECTOR(bk_link) links;
    int32_t tasks;         /* the first so many parts */
    int32_t *least;        /* by part: the bound at the root */
    const int32_t *raised; /* by variable: what the bound is to be fitted to; NULL: the root */
    int64_t best;
    int64_t steps; /* taken so far; no more moves beyond MOST_STEPS */
} shifting;

static bool suitable(const bk_solver *solver, const bk_disjunctive *pairs,
                     const bk_objective *objective)
{
    int64_t weights = 0;
    if (objective->side < 0 || objective->terms.count < 2)
        return false;
    for (int32_t i = 0; i < objective->terms.count; i++) {
        bk_term term = objective->terms.at[i];
        weights += term.weight;
        if (solver->trail.lb[term.side] < -LONGEST_SPAN ||
            -solver->trail.lb[term.side ^ 1] > LONGEST_SPAN)
            return false;
    }
    return weights <= MOST_WEIGHT && pairs->count > 0;
}

/* Tasks of a fixed length that are always there. */
static bool plain(const bk_disjunctive *pairs, const bk_task *task)
{
    return bk_is_plain(task) && task->to_plus > task->from_plus && task->from / 2 < pairs->count;
}

/* Enough plain tasks, and numbers that stay in range. */
static bool of_use(const bk_solver *solver, const bk_disjunctive *pairs,
                   const bk_cumulative *cumulative)
{
    int64_t energy = 0;
    int32_t tasks = 0;
    if (cumulative->fact.side >= 0 || cumulative->capacity > MOST_PLACES)
        return false;
    for (int32_t i = cumulative->first; i < cumulative->first + cumulative->count; i++) {
        const bk_task *task = &solver->resources.tasks.at[i];
        if (!plain(pairs, task))
            continue;
        if (bk_lb(solver, task->from) + (int64_t)task->from_plus < 0 ||
            bk_ub(solver, task->from) + (int64_t)task->to_plus > LONGEST_SPAN)
            return false;
        energy += (int64_t)(task->to_plus - task->from_plus) * task->amount;
        tasks++;
    }
    return tasks >= LEAST_TASKS && energy <= LONGEST_SPAN;
}

/* Is it a variable between which lags are known, counted as it grows? */
static bool movable(const shifting *s, int32_t side)
{
    return !(side & 1) && side / 2 < s->pairs->count;
}

/* The parts as the weights are now, and the bound they give. */
static int64_t bound_now(shifting *s)
{
    for (int32_t i = 0; i < s->parts.count; i++) {
        bk_part *part = &s->parts.at[i];
        if (!movable(s, part->side))
            continue; /* it counts as it is */
        part->weight = s->weight[part->side / 2];
        part->rate = part->energy > 0 ? part->weight / part->energy : 0;
        part->weight -= part->rate * part->energy;
    }
    s->steps += 10 * s->parts.count;
    return bk_completions_least(s->solver, &s->sum, s->parts.at, s->least);
}

static int32_t path(const shifting *s, int32_t from, int32_t to)
{
    return s->pairs->path[from * s->pairs->count + to];
}

/* Moves weight from one variable to an earlier one, if that is better. */
static bool move(shifting *s, int32_t to, int32_t from, int64_t amount)
{
    if (amount <= 0 || s->steps > MOST_STEPS)
        return false;
    int64_t gain = 2 * s->sum.places * amount * path(s, to, from);
    s->weight[from] -= amount;
    s->weight[to] += amount;
    s->sum.constant += gain;
    int64_t now = bound_now(s);
    if (now > s->best) {
        s->best = now;
        return true;
    }
    s->weight[from] += amount;
    s->weight[to] -= amount;
    s->sum.constant -= gain;
    return false;
}

/* What does not run on the resource counts for the task that it follows. */
static void give_to_tasks(shifting *s)
{
    for (int32_t v = 1; v < s->pairs->count; v++) {
        if (s->weight[v] == 0 || s->task[v] >= 0)
            continue;
        int32_t after = -1;
        int64_t best = INT64_MIN;
        for (int32_t k = 0; k < s->tasks; k++) {
            int32_t i = s->parts.at[k].side / 2;
            if (path(s, i, v) > BK_NO_PATH && s->least[k] + (int64_t)path(s, i, v) > best) {
                best = s->least[k] + (int64_t)path(s, i, v);
                after = i;
            }
        }
        if (after >= 0)
            move(s, after, v, s->weight[v]);
    }
}

static bool immediate(shifting *s, int32_t i, int32_t j)
{
    if (i == j || path(s, i, j) <= 0)
        return false;
    s->steps += s->tasks;
    for (int32_t k = 0; k < s->tasks; k++) {
        int32_t between = s->parts.at[k].side / 2;
        if (between != i && between != j && path(s, i, between) > 0 && path(s, between, j) > 0 &&
            path(s, i, between) + path(s, between, j) >= path(s, i, j))
            return false;
    }
    return true;
}

/* The pairs of tasks of which one comes right after the other, by lags. */
static void find_links(shifting *s)
{
    s->links.count = 0;
    for (int32_t a = 0; a < s->tasks; a++)
        for (int32_t b = 0; b < s->tasks && s->steps <= MOST_STEPS; b++)
            if (immediate(s, s->parts.at[a].side / 2, s->parts.at[b].side / 2))
                *BK_ADD(s->solver, s->links) = (bk_link){a, b, false};
}

/* Weight goes from a task to the one it follows until both have as much for their energy, or a part
 * of that. */
static bool even_out(shifting *s, const bk_link *link)
{
    const bk_part *first = &s->parts.at[link->first], *then = &s->parts.at[link->then];
    int32_t i = first->side / 2, j = then->side / 2;
    int64_t p = first->energy, q = then->energy;
    int64_t even = (s->weight[j] * p - s->weight[i] * q) / (p + q);
    for (int part = 1; part <= 4; part *= 2)
        if (move(s, i, j, even / part))
            return true;
    return false;
}

/* Tasks that follow one another by lags. In a chain the weights go to and fro: it takes many sweeps
 * until those of a block are even, as which it is bounded best. */
static void balance(shifting *s)
{
    find_links(s);
    bool better = true;
    for (int sweep = 0; sweep < SWEEPS && better; sweep++) {
        better = false;
        for (int32_t k = 0; k < s->links.count && s->steps <= MOST_STEPS; k++)
            if (even_out(s, &s->links.at[k]))
                better = s->links.at[k].block = true;
    }
}

/* The bound that one resource gives; its parts are then in `s`. */
static void fit(shifting *s, const bk_cumulative *cumulative)
{
    bk_solver *solver = s->solver;
    s->sum = (bk_completions){
        .side = s->objective->side, .table = cumulative->table, .places = cumulative->capacity};
    s->parts.count = 0;
    for (int32_t v = 0; v < s->pairs->count; v++) {
        s->weight[v] = 0;
        s->task[v] = -1;
    }
    for (int32_t i = cumulative->first; i < cumulative->first + cumulative->count; i++) {
        const bk_task *task = &solver->resources.tasks.at[i];
        if (!plain(s->pairs, task) || s->task[task->from / 2] >= 0)
            continue; /* or it runs twice: once is enough for a bound */
        s->task[task->from / 2] = s->parts.count;
        *BK_ADD(solver, s->parts) =
            (bk_part){.side = task->from,
                      .plus = task->from_plus,
                      .length = task->to_plus - task->from_plus,
                      .energy = (task->to_plus - task->from_plus) * task->amount};
    }
    s->tasks = s->parts.count;
    for (int32_t i = 0; i < s->objective->terms.count; i++) {
        bk_term term = s->objective->terms.at[i];
        int64_t weight = (int64_t)term.weight * BK_COMPLETION_UNIT;
        if (movable(s, term.side))
            s->weight[term.side / 2] = weight;
        if (!movable(s, term.side) || s->task[term.side / 2] < 0)
            *BK_ADD(solver, s->parts) = (bk_part){.side = term.side, .weight = weight};
    }
    s->sum.count = s->parts.count;
    bk_completions_room(solver, s->sum.count);
    s->least = bk_memory_new(&solver->memory, (size_t)s->sum.count + 1, sizeof *s->least);
    for (int32_t i = 0; i < s->sum.count; i++) {
        int32_t side = s->parts.at[i].side;
        s->least[i] = bk_lb_before(solver, side, 0);
        if (s->raised && movable(s, side) && s->raised[side / 2] > s->least[i])
            s->least[i] = s->raised[side / 2];
    }
    s->best = bound_now(s);
    give_to_tasks(s);
    balance(s);
    bound_now(s);
    bk_memory_release(&solver->memory, s->least);
}

/* Dispatched, a block is not left for a task of the same rate but for rounding. */
static void keep_blocks(shifting *s, int64_t *rate)
{
    bool changed = true;
    for (int32_t sweep = 0; sweep < s->tasks && changed; sweep++) {
        changed = false;
        for (int32_t k = 0; k < s->links.count; k++) {
            int64_t first = rate[s->parts.at[s->links.at[k].first].side / 2];
            int64_t *then = &rate[s->parts.at[s->links.at[k].then].side / 2];
            if (!s->links.at[k].block || first == 0 || *then > first)
                continue;
            *then = first + 1;
            changed = true;
        }
    }
}

/* The bound as it is fitted, and the rates to dispatch by. */
static void add(bk_solver *solver, shifting *s, int64_t *rate)
{
    bk_completions sum = s->sum;
    int32_t index = solver->completions.list.count;
    int32_t propagator = bk_propagator_new(solver, BK_RUN_COMPLETIONS, index);
    sum.first = solver->completions.parts.count;
    sum.count = 0;
    for (int32_t i = 0; i < s->parts.count; i++) {
        bk_part part = s->parts.at[i];
        if (part.weight == 0 && part.rate == 0)
            continue;
        *BK_ADD(solver, solver->completions.parts) = part;
        *BK_ADD(solver, solver->queue.wakes[part.side]) = propagator;
        if (part.rate > 0)
            rate[part.side / 2] = part.rate;
        sum.count++;
    }
    keep_blocks(s, rate);
    *BK_ADD(solver, solver->completions.list) = sum;
    bk_wake(solver, propagator);
}

void bk_add_completions(bk_solver *solver, const bk_disjunctive *pairs,
                        const bk_objective *objective, int level)
{
    if (!suitable(solver, pairs, objective))
        return;
    shifting s = {.solver = solver, .pairs = pairs, .objective = objective};
    s.weight = bk_memory_new(&solver->memory, (size_t)pairs->count, sizeof *s.weight);
    s.task = bk_memory_new(&solver->memory, (size_t)pairs->count, sizeof *s.task);
    int32_t best = -1;
    int64_t most = INT64_MIN, plain_sum = 0;
    for (int32_t i = 0; i < objective->terms.count; i++)
        plain_sum +=
            (int64_t)objective->terms.at[i].weight * solver->trail.lb[objective->terms.at[i].side];
    for (int32_t c = 0; c < solver->resources.cumulatives.count && s.steps <= MOST_STEPS; c++) {
        if (!of_use(solver, pairs, &solver->resources.cumulatives.at[c]))
            continue;
        fit(&s, &solver->resources.cumulatives.at[c]);
        /* Several places are bounded loosely: that has to be worth its while. */
        if (s.sum.places > 1 &&
            s.best / (2 * s.sum.places * BK_COMPLETION_UNIT) < plain_sum + plain_sum / WORTH)
            continue;
        if (s.best / s.sum.places > most) {
            most = s.best / s.sum.places;
            best = c;
        }
    }
    if (best >= 0) {
        s.steps = 0;
        fit(&s, &solver->resources.cumulatives.at[best]);
        bool weighs = false;
        for (int32_t i = 0; i < s.parts.count; i++)
            weighs = weighs || s.parts.at[i].rate > 0;
        if (weighs) {
            add(solver, &s, solver->branching.rate);
            *BK_ADD(solver, solver->completions.fitted) = (bk_fitted){objective, level, best};
        }
    }
    bk_memory_release(&solver->memory, s.weight);
    bk_memory_release(&solver->memory, s.task);
    bk_memory_release(&solver->memory, s.parts.at);
    bk_memory_release(&solver->memory, s.links.at);
}

/* ------------------------------------------------------------ case by case */

/* The end of the last hole that the task has been put beyond, as a bound of its variable. */
static int32_t beyond_hole(const bk_solver *solver, const bk_cumulative *cumulative,
                           const bk_task *task)
{
    const bk_hole_table *table = &solver->holes.tables.at[cumulative->table];
    int32_t least = bk_lb(solver, task->from), beyond = INT32_MIN;
    for (int32_t h = table->first; h < table->first + table->count; h++) {
        int32_t to = solver->holes.to.at[h] - task->from_plus;
        if (to <= least && to > beyond)
            beyond = to;
    }
    return beyond;
}

/* The bound of the level that is looked at, or NULL. */
static const bk_fitted *fitted_now(const bk_solver *solver)
{
    for (int32_t i = 0; i < solver->completions.fitted.count; i++)
        if (solver->completions.fitted.at[i].level == solver->level)
            return &solver->completions.fitted.at[i];
    return NULL;
}

bool bk_note_case(bk_solver *solver)
{
    bk_completion_bounds *bounds = &solver->completions;
    const bk_fitted *fitted = fitted_now(solver);
    if (!fitted || bounds->fitted_to.count >= MOST_CASES || bounds->list.count >= MOST_BOUNDS ||
        bounds->spent > solver->effort.work / PART)
        return false;
    const bk_cumulative *cumulative = &solver->resources.cumulatives.at[fitted->cumulative];
    if (cumulative->table < 0)
        return false;
    if (!bounds->raised)
        bounds->raised =
            bk_memory_new(&solver->memory, (size_t)bounds->starts, sizeof *bounds->raised);
    for (int32_t v = 0; v < bounds->starts; v++)
        bounds->raised[v] = INT32_MIN;
    uint64_t hash = UINT64_C(14695981039346656037);
    bool raised = false;
    for (int32_t i = cumulative->first; i < cumulative->first + cumulative->count; i++) {
        const bk_task *task = &solver->resources.tasks.at[i];
        if (!bk_is_plain(task) || task->from / 2 >= bounds->starts)
            continue;
        int32_t beyond = beyond_hole(solver, cumulative, task);
        if (beyond <= bk_lb_before(solver, task->from, 0))
            continue;
        raised = true;
        bounds->raised[task->from / 2] = beyond;
        hash = ((hash ^ (uint64_t)task->from) * UINT64_C(1099511628211) ^ (uint64_t)beyond) *
               UINT64_C(1099511628211);
    }
    for (int32_t i = 0; i < bounds->fitted_to.count && raised; i++)
        raised = bounds->fitted_to.at[i] != hash;
    if (raised)
        *BK_ADD(solver, bounds->fitted_to) = hash;
    return raised;
}

/* The bound that a sum gives in the case. */
static int64_t bound_in_case(bk_solver *solver, const bk_completions *sum)
{
    const bk_part *parts = solver->completions.parts.at + sum->first;
    int32_t *least = solver->completions.scratch.least;
    for (int32_t i = 0; i < sum->count; i++) {
        int32_t side = parts[i].side, start = side / 2;
        least[i] = bk_lb_before(solver, side, 0);
        if (!(side & 1) && start < solver->completions.starts &&
            solver->completions.raised[start] > least[i])
            least[i] = solver->completions.raised[start];
    }
    return bk_completions_least(solver, sum, parts, least);
}

/* The bound, and what the case is, to be dispatched. */
static void add_case(bk_solver *solver, shifting *s)
{
    bk_completion_bounds *bounds = &solver->completions;
    bk_case new = {.first = bounds->put.count};
    new.rate = bk_memory_new(&solver->memory, (size_t)bounds->starts, sizeof *new.rate);
    add(solver, s, new.rate);
    for (int32_t v = 0; v < bounds->starts; v++)
        if (bounds->raised[v] > INT32_MIN)
            *BK_ADD(solver, bounds->put) = (bk_literal){2 * v, bounds->raised[v]};
    new.count = bounds->put.count - new.first;
    *BK_ADD(solver, bounds->cases) = new;
}

void bk_fit_to_case(bk_solver *solver)
{
    bk_completion_bounds *bounds = &solver->completions;
    const bk_fitted *fitted = fitted_now(solver);
    bk_disjunctive pairs = {.count = bounds->starts, .path = bounds->path};
    shifting s = {.solver = solver,
                  .pairs = &pairs,
                  .objective = fitted->objective,
                  .raised = bounds->raised};
    int64_t most = INT64_MIN;
    for (int32_t i = 0; i < bounds->list.count; i++)
        if (bounds->list.at[i].side == fitted->objective->side) {
            int64_t bound = bound_in_case(solver, &bounds->list.at[i]);
            most = bound > most ? bound : most;
        }
    s.weight = bk_memory_new(&solver->memory, (size_t)pairs.count, sizeof *s.weight);
    s.task = bk_memory_new(&solver->memory, (size_t)pairs.count, sizeof *s.task);
    fit(&s, &solver->resources.cumulatives.at[fitted->cumulative]);
    solver->effort.work += s.steps;
    bounds->spent += s.steps;
    if (s.best > most)
        add_case(solver, &s);
    bk_memory_release(&solver->memory, s.weight);
    bk_memory_release(&solver->memory, s.task);
    bk_memory_release(&solver->memory, s.parts.at);
    bk_memory_release(&solver->memory, s.links.at);
}

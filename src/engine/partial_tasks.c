/* The project that partial schedules are of: its variables of some length, in both directions of
 * time. */
#include "engine/partial_schedules.h"

enum { LANES = BK_PARTIAL_LANES, LANE_BITS = 16, LANE_MASK = 0xffff };

/* All that wait for the variable wait equally long, and it takes all it takes for as long. Sets
 * its length. */
static bool is_task(const bk_solver *solver, const struct bk_lists *lists, int32_t v,
                    int32_t *length)
{
    *length = lists->length[v];
    bool known = lists->first_demand[v] >= 0;
    for (int32_t d = lists->first_demand[v]; d >= 0; d = lists->demands.at[d].next)
        if (lists->demands.at[d].length != *length)
            return false;
    for (int32_t a = solver->lags.first[2 * v]; a < solver->lags.first[2 * v + 1]; a++) {
        bk_arc arc = solver->lags.arcs[a];
        if (arc.to / 2 == 0)
            continue; /* a bound, which the root has */
        if (known && arc.weight != *length)
            return false;
        *length = arc.weight;
        known = true;
    }
    return true;
}

/* Which tasks come before each variable, through any others. False where one comes before itself,
 * or not before the end: a state that another is as good as may then be over sooner. */
static bool close_order(const bk_solver *solver, struct bk_partials *p)
{
    for (bool more = true; more;) {
        more = false;
        for (int32_t v = 1; v < p->lists->n; v++) {
            uint64_t through = p->before[v];
            if (p->task_of[v] >= 0)
                through |= UINT64_C(1) << p->task_of[v];
            for (int32_t a = solver->lags.first[2 * v]; a < solver->lags.first[2 * v + 1]; a++) {
                int32_t to = solver->lags.arcs[a].to / 2;
                if (to == 0 || (p->before[to] | through) == p->before[to])
                    continue;
                p->before[to] |= through;
                more = true;
            }
        }
    }
    for (int32_t i = 0; i < p->count; i++)
        for (int32_t k = 0; k < p->count; k++)
            if (p->before[p->variable[i]] >> k & 1)
                p->after[p->variable[k]] |= UINT64_C(1) << i;
    for (int32_t i = 0; i < p->count; i++)
        if (p->before[p->variable[i]] >> i & 1)
            return false;
    return p->before[p->lists->sink] == (UINT64_C(1) << p->count) - 1;
}

/* Is no amount of work too large to be counted? */
static bool countable(const struct bk_lists *lists)
{
    if (lists->span > INT16_MAX / 2)
        return false;
    for (int32_t r = 0; r < lists->planes * LANES; r++) {
        int64_t sum = 0;
        for (int32_t d = 0; d < lists->demands.count; d++) {
            const bk_demand *demand = &lists->demands.at[d];
            if (demand->plane == r / LANES)
                sum +=
                    demand->length * (int64_t)(demand->need >> (r % LANES * LANE_BITS) & LANE_MASK);
        }
        int64_t capacity =
            (int64_t)(lists->capacity[r / LANES] >> (r % LANES * LANE_BITS) & LANE_MASK);
        if (sum + 2 * (int64_t)lists->span * capacity >= BK_FAR)
            return false;
    }
    return true;
}

static void make_room(bk_solver *solver, const struct bk_partials *p, bk_partial_tasks *tasks)
{
    size_t n = (size_t)p->count, resources = (size_t)p->lists->planes * LANES;
    tasks->count = p->count;
    tasks->resources = (int32_t)resources;
    int32_t **by_task[] = {&tasks->length, &tasks->least, &tasks->most, &tasks->deadline};
    for (size_t i = 0; i < sizeof by_task / sizeof *by_task; i++)
        *by_task[i] = bk_memory_new(&solver->memory, n, sizeof **by_task[i]);
    tasks->before = bk_memory_new(&solver->memory, n, sizeof *tasks->before);
    tasks->need = bk_memory_new(&solver->memory, n * resources, sizeof *tasks->need);
    tasks->capacity = bk_memory_new(&solver->memory, resources, sizeof *tasks->capacity);
    tasks->late = bk_memory_new(&solver->memory, n * n * resources, sizeof *tasks->late);
    tasks->total = bk_memory_new(&solver->memory, n * resources, sizeof *tasks->total);
}

struct bk_partials *bk_partials_new(bk_solver *solver, const struct bk_lists *lists)
{
    size_t n = (size_t)lists->n;
    struct bk_partials *p = bk_memory_new(&solver->memory, 1, sizeof *p);
    *p = (struct bk_partials){.lists = lists, .target = -1};
    p->length = bk_memory_new(&solver->memory, n, sizeof *p->length);
    p->task_of = bk_memory_new(&solver->memory, n, sizeof *p->task_of);
    p->variable = bk_memory_new(&solver->memory, n, sizeof *p->variable);
    p->before = bk_memory_new(&solver->memory, n, sizeof *p->before);
    p->after = bk_memory_new(&solver->memory, n, sizeof *p->after);
    bool fine = true;
    p->task_of[0] = -1;
    for (int32_t v = 1; v < lists->n && fine; v++) {
        fine = is_task(solver, lists, v, &p->length[v]);
        p->task_of[v] = -1;
        if (!fine || p->length[v] == 0)
            continue;
        p->task_of[v] = p->count;
        p->variable[p->count++] = v;
    }
    if (!fine || p->count == 0 || p->count > BK_PARTIAL_TASKS || !countable(lists) ||
        !close_order(solver, p))
        return NULL;
    p->stride = (p->count + 7) / 8 * 8; /* so that eight are compared at once */
    size_t room = (size_t)p->count * (size_t)lists->planes * LANES;
    p->rest = bk_memory_new(&solver->memory, room, sizeof *p->rest);
    p->gap = bk_memory_new(&solver->memory, (size_t)lists->planes * LANES, sizeof *p->gap);
    for (int i = 0; i < 2; i++) {
        make_room(solver, p, &p->direction[i].tasks);
        p->direction[i].open = bk_memory_new(&solver->memory, room, sizeof *p->direction[i].open);
    }
    return p;
}

static void read_needs(const struct bk_partials *p, bk_partial_tasks *tasks)
{
    const struct bk_lists *lists = p->lists;
    for (int32_t r = 0; r < tasks->resources; r++)
        tasks->capacity[r] =
            (int32_t)(lists->capacity[r / LANES] >> (r % LANES * LANE_BITS) & LANE_MASK);
    for (int32_t i = 0; i < tasks->count; i++)
        for (int32_t d = lists->first_demand[p->variable[i]]; d >= 0; d = lists->demands.at[d].next)
            for (int32_t lane = 0; lane < LANES; lane++)
                tasks->need[i * tasks->resources + lists->demands.at[d].plane * LANES + lane] =
                    (int32_t)(lists->demands.at[d].need >> (lane * LANE_BITS) & LANE_MASK);
}

static void read_deadlines(bk_partial_tasks *tasks)
{
    tasks->deadlines = 0;
    for (int32_t i = 0; i < tasks->count; i++) {
        int32_t by = tasks->most[i] + tasks->length[i], at = tasks->deadlines;
        while (at > 0 && tasks->deadline[at - 1] > by)
            at--;
        if (at > 0 && tasks->deadline[at - 1] == by)
            continue;
        for (int32_t k = tasks->deadlines++; k > at; k--)
            tasks->deadline[k] = tasks->deadline[k - 1];
        tasks->deadline[at] = by;
    }
    int32_t resources = tasks->resources, row = tasks->deadlines * resources;
    for (int32_t k = 0; k < row; k++)
        tasks->total[k] = -tasks->deadline[k / resources] * tasks->capacity[k % resources];
    for (int32_t i = 0; i < tasks->count; i++)
        for (int32_t k = 0; k < row; k++) {
            int32_t time = tasks->deadline[k / resources] - tasks->most[i];
            time = time < 0 ? 0 : time > tasks->length[i] ? tasks->length[i] : time;
            tasks->late[i * row + k] = time * tasks->need[i * resources + k % resources];
            tasks->total[k] += tasks->late[i * row + k];
        }
}

void bk_partial_tasks_read(bk_solver *solver, struct bk_partials *p)
{
    bk_partial_tasks *forward = &p->direction[0].tasks, *back = &p->direction[1].tasks;
    p->end = 0;
    for (int32_t i = 0; i < p->count; i++) {
        int32_t v = p->variable[i];
        forward->length[i] = back->length[i] = p->length[v];
        forward->least[i] = bk_lb(solver, 2 * v);
        forward->most[i] = bk_ub(solver, 2 * v);
        forward->before[i] = p->before[v];
        back->before[i] = p->after[v];
        if (forward->most[i] + p->length[v] > p->end)
            p->end = forward->most[i] + p->length[v];
    }
    for (int32_t i = 0; i < p->count; i++) {
        back->least[i] = p->end - forward->most[i] - forward->length[i];
        back->most[i] = p->end - forward->least[i] - forward->length[i];
    }
    for (int i = 0; i < 2; i++) {
        read_needs(p, &p->direction[i].tasks);
        read_deadlines(&p->direction[i].tasks);
    }
}

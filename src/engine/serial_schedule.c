/* Schedules from activity lists, where a problem is nothing but minimum lags and
 * cumulative resources: in series, each variable as early as it fits, then justified
 * backward and forward (Kelley 1963; Valls, Ballestin, Quintanilla, "Justification
 * and RCPSP", EJOR 165, 2005). Four resources are looked at in one subtraction: a
 * word holds a lane of 16 bits for each, of which the top bit stays free to borrow
 * from. */
#include "engine/activity_lists.h"

#include <string.h>

enum { LONGEST = 20000, MOST_VARIABLES = 2000, LANES = 4, LANE_BITS = 16, LANE_MOST = 32767 };

#define TOP_BITS UINT64_C(0x8000800080008000)

static bool suitable(const bk_solver *solver, const bk_objective *objective)
{
    int32_t n = solver->trail.sides / 2;
    if (objective->terms.count != 1 || (objective->side & 1) || n > MOST_VARIABLES || n < 4 ||
        solver->lags.conditionals.count > 0 || solver->holes.intervals.count > 0 ||
        solver->minimums.list.count > 0 || solver->linears.list.count > 0 ||
        solver->branching.open[BK_BOOLEANS].count > 0 || (size_t)n != solver->problem->vars + 1 ||
        solver->clauses.words.count > 0 || solver->resources.cumulatives.count == 0)
        return false;
    for (int32_t side = 0; side < solver->lags.sides; side += 2)
        for (int32_t i = solver->lags.first[side]; i < solver->lags.first[side + 1]; i++)
            if ((solver->lags.arcs[i].to & 1) || solver->lags.arcs[i].weight < 0)
                return false;
    int64_t span = bk_ub(solver, objective->side);
    if (span > LONGEST)
        return false;
    for (int32_t i = 0; i < solver->resources.cumulatives.count; i++)
        if (solver->resources.cumulatives.at[i].capacity > LANE_MOST ||
            solver->resources.cumulatives.at[i].capacity < 0)
            return false;
    for (int32_t i = 0; i < solver->resources.tasks.count; i++) {
        const bk_task *task = &solver->resources.tasks.at[i];
        if (task->from != task->to || task->from_plus != 0 || task->present.side >= 0 ||
            task->to_plus > span ||
            task->amount > solver->resources.cumulatives.at[task->cumulative].capacity)
            return false;
    }
    for (int32_t v = 0; v < n; v++)
        if (bk_lb(solver, 2 * v) < 0 || bk_ub(solver, 2 * v) > span)
            return false;
    return true;
}

/* Adds a task to the demand of its variable that has the same plane and length, or
 * to a new one. */
static void add_demand(bk_solver *solver, struct bk_lists *lists, const bk_task *task)
{
    int32_t v = task->from / 2, plane = task->cumulative / LANES, d = lists->first_demand[v];
    uint64_t need = (uint64_t)task->amount << (task->cumulative % LANES * LANE_BITS);
    while (d >= 0 &&
           (lists->demands.at[d].plane != plane || lists->demands.at[d].length != task->to_plus))
        d = lists->demands.at[d].next;
    if (d < 0) {
        *BK_ADD(solver, lists->demands) =
            (bk_demand){0, plane, task->to_plus, lists->first_demand[v]};
        d = lists->first_demand[v] = lists->demands.count - 1;
    }
    lists->demands.at[d].need += need;
    if (task->to_plus > lists->length[v])
        lists->length[v] = task->to_plus;
    lists->work[v] += (int64_t)task->to_plus * task->amount * 1000 /
                      solver->resources.cumulatives.at[task->cumulative].capacity;
}

struct bk_lists *bk_lists_new(bk_solver *solver, const bk_objective *objective)
{
    if (!suitable(solver, objective))
        return NULL;
    struct bk_lists *lists = bk_memory_new(&solver->memory, 1, sizeof *lists);
    size_t n = (size_t)solver->trail.sides / 2;
    lists->n = (int32_t)n;
    lists->sink = objective->side / 2;
    lists->span = bk_ub(solver, objective->side);
    int32_t **arrays[] = {&lists->least,  &lists->most,        &lists->first_demand, &lists->length,
                          &lists->follow, &lists->degree,      &lists->trial,        &lists->order,
                          &lists->key,    &lists->child.order, &lists->child.start};
    for (size_t i = 0; i < sizeof arrays / sizeof *arrays; i++)
        *arrays[i] = bk_memory_new(&solver->memory, n, sizeof **arrays[i]);
    size_t times = (size_t)lists->span + 1;
    lists->count = bk_memory_new(&solver->memory, times + 1, sizeof *lists->count);
    lists->work = bk_memory_new(&solver->memory, n, sizeof *lists->work);
    lists->marked = bk_memory_new(&solver->memory, n, sizeof *lists->marked);
    lists->planes = (solver->resources.cumulatives.count + LANES - 1) / LANES;
    lists->capacity =
        bk_memory_new(&solver->memory, (size_t)lists->planes, sizeof *lists->capacity);
    lists->room =
        bk_memory_new(&solver->memory, (size_t)lists->planes * times, sizeof *lists->room);
    for (int32_t i = 0; i < solver->resources.cumulatives.count; i++)
        lists->capacity[i / LANES] |= (uint64_t)solver->resources.cumulatives.at[i].capacity
                                      << (i % LANES * LANE_BITS);
    lists->reached = lists->span + 1;
    for (int32_t v = 0; v < lists->n; v++) {
        lists->first_demand[v] = -1;
        lists->least[v] = bk_lb(solver, 2 * v);
        lists->most[v] = bk_ub(solver, 2 * v);
    }
    for (int32_t i = 0; i < solver->resources.tasks.count; i++)
        if (solver->resources.tasks.at[i].to_plus > 0 && solver->resources.tasks.at[i].amount > 0)
            add_demand(solver, lists, &solver->resources.tasks.at[i]);
    for (int32_t v = 0; v < lists->n; v++) {
        lists->follow[v] = lists->length[v];
        for (int32_t a = solver->lags.first[2 * v]; a < solver->lags.first[2 * v + 1]; a++)
            if (solver->lags.arcs[a].weight < lists->follow[v])
                lists->follow[v] = solver->lags.arcs[a].weight;
    }
    return lists;
}

static void clear_room(struct bk_lists *lists)
{
    for (int32_t plane = 0; plane < lists->planes; plane++) {
        uint64_t *room = lists->room + (size_t)plane * ((size_t)lists->span + 1);
        for (int32_t t = 0; t < lists->reached; t++)
            room[t] = lists->capacity[plane];
    }
    lists->reached = 0;
}

static uint64_t *room_of(const struct bk_lists *lists, const bk_demand *demand)
{
    return lists->room + (size_t)demand->plane * ((size_t)lists->span + 1);
}

static bool fits(uint64_t room, uint64_t need)
{
    return (((room | TOP_BITS) - need) & TOP_BITS) == TOP_BITS;
}

static bool several_demands(const struct bk_lists *lists, int32_t v)
{
    return lists->first_demand[v] >= 0 && lists->demands.at[lists->first_demand[v]].next >= 0;
}

/* The first time from `time` to `latest` where a demand fits; beyond `latest`: none. Each place is
 * looked at from its end, so that what is in the way far on is passed in one step, and what was
 * found free is not looked at again. */
static int32_t demand_first_fit(const uint64_t *room, const bk_demand *demand, int32_t time,
                                int32_t latest)
{
    uint64_t need = demand->need;
    int32_t length = demand->length, free = time; /* from `time` to here it is */
    while (time <= latest) {
        int32_t at = time + length - 1;
        while (at >= free && fits(room[at], need))
            at--;
        if (at < free)
            break;
        free = time + length;
        time = at + 1;
    }
    return time;
}

/* The first time from `time` on where the variable fits, or -1. */
static int32_t first_fit(const struct bk_lists *lists, int32_t v, int32_t time)
{
    int32_t latest = lists->span - lists->length[v], before;
    if (latest > lists->most[v])
        latest = lists->most[v];
    if (time > latest)
        return -1;
    do {
        before = time;
        for (int32_t d = lists->first_demand[v]; d >= 0; d = lists->demands.at[d].next) {
            const bk_demand *demand = &lists->demands.at[d];
            time = demand_first_fit(room_of(lists, demand), demand, time, latest);
            if (time > latest)
                return -1;
        }
    } while (time != before && several_demands(lists, v));
    return time;
}

/* The last time from `time` back to `earliest` where a demand fits; before `earliest`: none. */
static int32_t demand_last_fit(const uint64_t *room, const bk_demand *demand, int32_t time,
                               int32_t earliest)
{
    uint64_t need = demand->need;
    int32_t length = demand->length, free = time + length; /* from here to the end it is */
    while (time >= earliest) {
        int32_t at = time;
        while (at < free && fits(room[at], need))
            at++;
        if (at >= free)
            break;
        free = time;
        time = at - length;
    }
    return time;
}

/* The last time from `time` on, going back, where the variable fits, or -1. */
static int32_t last_fit(const struct bk_lists *lists, int32_t v, int32_t time)
{
    int32_t earliest = lists->least[v], before;
    if (time < earliest)
        return -1;
    do {
        before = time;
        for (int32_t d = lists->first_demand[v]; d >= 0; d = lists->demands.at[d].next) {
            const bk_demand *demand = &lists->demands.at[d];
            time = demand_last_fit(room_of(lists, demand), demand, time, earliest);
            if (time < earliest)
                return -1;
        }
    } while (time != before && several_demands(lists, v));
    return time;
}

static void occupy(struct bk_lists *lists, int32_t v, int32_t time)
{
    for (int32_t d = lists->first_demand[v]; d >= 0; d = lists->demands.at[d].next) {
        const bk_demand *demand = &lists->demands.at[d];
        uint64_t *room = room_of(lists, demand);
        for (int32_t t = time; t < time + demand->length; t++)
            room[t] -= demand->need;
    }
    if (time + lists->length[v] > lists->reached)
        lists->reached = time + lists->length[v];
}

/* Schedules a list in series, each as early as it fits. False past the span. */
static bool schedule_forward(bk_solver *solver, struct bk_lists *lists, const int32_t *order,
                             int32_t *start)
{
    clear_room(lists);
    solver->effort.work += lists->n;
    memcpy(start, lists->least, (size_t)lists->n * sizeof *start);
    for (int32_t i = 0; i < lists->n; i++) {
        int32_t v = order[i], time = first_fit(lists, v, start[v]);
        if (time < 0)
            return false;
        start[v] = time;
        occupy(lists, v, time);
        for (int32_t a = solver->lags.first[2 * v]; a < solver->lags.first[2 * v + 1]; a++) {
            int32_t to = solver->lags.arcs[a].to / 2, least = time + solver->lags.arcs[a].weight;
            if (start[to] < least)
                start[to] = least;
        }
    }
    return true;
}

/* Moves everything, last first, as late as it goes before the sink. */
static bool schedule_backward(bk_solver *solver, struct bk_lists *lists, const int32_t *order,
                              int32_t *start, int32_t end)
{
    clear_room(lists);
    solver->effort.work += lists->n;
    for (int32_t i = lists->n; i-- > 0;) {
        int32_t v = order[i], time = end - lists->length[v];
        if (lists->most[v] < time)
            time = lists->most[v];
        for (int32_t a = solver->lags.first[2 * v]; a < solver->lags.first[2 * v + 1]; a++) {
            int32_t latest = start[solver->lags.arcs[a].to / 2] - solver->lags.arcs[a].weight;
            if (latest < time)
                time = latest;
        }
        time = last_fit(lists, v, time);
        if (time < 0)
            return false;
        start[v] = time;
        occupy(lists, v, time);
    }
    return true;
}

/* Orders variables by lists->key (0..span), by counting; equal ones stay as they
 * are, which keeps an order feasible that was so before. */
static void sort_stably(struct bk_lists *lists, int32_t *order)
{
    int32_t n = lists->n, last = 0;
    for (int32_t v = 0; v < n; v++)
        if (lists->key[v] > last)
            last = lists->key[v];
    memset(lists->count, 0, ((size_t)last + 2) * sizeof *lists->count);
    for (int32_t v = 0; v < n; v++)
        lists->count[lists->key[v] + 1]++;
    for (int32_t t = 1; t <= last; t++)
        lists->count[t] += lists->count[t - 1];
    memcpy(lists->degree, order, (size_t)n * sizeof *order);
    for (int32_t i = 0; i < n; i++)
        order[lists->count[lists->key[lists->degree[i]]]++] = lists->degree[i];
}

void bk_list_sort(struct bk_lists *lists, bk_list *list)
{
    memcpy(lists->key, list->start, (size_t)lists->n * sizeof *list->start);
    sort_stably(lists, list->order);
}

const int32_t *bk_list_latest(bk_solver *solver, struct bk_lists *lists, const bk_list *list)
{
    /* By when they end, but none before those it must wait for. */
    for (int32_t v = 0; v < lists->n; v++)
        lists->key[v] = list->start[v] + lists->follow[v];
    memcpy(lists->order, list->order, (size_t)lists->n * sizeof *list->order);
    memcpy(lists->trial, list->start, (size_t)lists->n * sizeof *list->start);
    sort_stably(lists, lists->order);
    return schedule_backward(solver, lists, lists->order, lists->trial, list->length) ? lists->trial
                                                                                      : NULL;
}

void bk_list_evaluate(bk_solver *solver, struct bk_lists *lists, bk_list *list)
{
    size_t bytes = (size_t)lists->n * sizeof *list->order;
    list->length = INT32_MAX;
    if (!schedule_forward(solver, lists, list->order, list->start)) {
        memset(list->start, 0, bytes);
        return;
    }
    list->length = list->start[lists->sink];
    for (bool better = true; better;) {
        if (!bk_list_latest(solver, lists, list))
            break;
        memcpy(lists->key, lists->trial, bytes);
        sort_stably(lists, lists->order);
        if (!schedule_forward(solver, lists, lists->order, lists->trial) ||
            lists->trial[lists->sink] > list->length)
            break;
        better = lists->trial[lists->sink] < list->length;
        list->length = lists->trial[lists->sink];
        memcpy(list->start, lists->trial, bytes);
        memcpy(list->order, lists->order, bytes);
    }
    bk_list_sort(lists, list);
}

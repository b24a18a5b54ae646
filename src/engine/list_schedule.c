/* Good schedules by lists, where a problem is nothing but minimum lags and
 * cumulative resources: a genetic search over activity lists, each scheduled in
 * series and then justified backward and forward (Kelley 1963; Valls, Ballestin,
 * Quintanilla, "Justification and RCPSP", EJOR 165, 2005; Hartmann, "A competitive
 * genetic algorithm for resource-constrained project scheduling", 1998). It finds
 * upper bounds; the search by clauses proves. */
#include "engine/solver.h"

#include <string.h>

enum { POPULATION = 40, LONGEST = 20000, MOST_VARIABLES = 2000 };

typedef struct demand {
    int32_t cumulative, length, amount, next; /* next demand of the variable, or -1 */
} demand;

struct bk_lists {
    int32_t n;     /* variables, 0 included */
    int32_t sink;  /* the one whose start is minimised */
    int32_t resources;
    int32_t span;  /* times are 0..span */
    int32_t *first_demand;
    BK_VECTOR(demand) demands;
    int32_t *degree;  /* predecessors still open */
    int32_t *used;    /* cumulative * (span + 1) + time */
    int32_t *start, *trial, *order, *child, *tail;
    bool *marked;
    int32_t *lists;   /* POPULATION lists of n */
    int32_t *length;  /* their makespans */
    int32_t born;
};

static bool suitable(const bk_solver *solver, const bk_objective *objective)
{
    int32_t n = solver->sides / 2;
    if (objective->terms.count != 1 || (objective->side & 1) || n > MOST_VARIABLES || n < 4 ||
        solver->conditionals.count > 0 || solver->intervals.count > 0 ||
        solver->minimums.count > 0 || solver->linears.count > 0 ||
        solver->open[BK_BOOLEANS].count > 0 || (size_t)n != solver->problem->vars + 1 ||
        solver->clauses.count > 0 || solver->cumulatives.count == 0)
        return false;
    for (int32_t side = 0; side < solver->arc_sides; side += 2)
        for (int32_t i = solver->arc_first[side]; i < solver->arc_first[side + 1]; i++)
            if ((solver->arcs[i].to & 1) || solver->arcs[i].weight < 0)
                return false;
    for (int32_t i = 0; i < solver->tasks.count; i++) {
        const bk_task *task = &solver->tasks.at[i];
        if (task->from != task->to || task->from_plus != 0 || task->present.side >= 0)
            return false;
    }
    for (int32_t v = 0; v < n; v++)
        if (bk_least(solver, 2 * v) < 0)
            return false;
    return true;
}

struct bk_lists *bk_lists_new(bk_solver *solver, const bk_objective *objective)
{
    if (!suitable(solver, objective))
        return NULL;
    int32_t n = solver->sides / 2;
    int64_t span = bk_most(solver, objective->side);
    for (int32_t i = 0; i < solver->tasks.count; i++)
        if (solver->tasks.at[i].to_plus > span)
            return NULL;
    if (span > LONGEST)
        return NULL;
    struct bk_lists *lists = bk_solver_new(solver, 1, sizeof *lists);
    size_t size = (size_t)n;
    lists->n = n;
    lists->resources = solver->cumulatives.count;
    lists->sink = objective->side / 2;
    lists->span = (int32_t)span;
    int32_t **arrays[] = {&lists->first_demand, &lists->degree, &lists->start, &lists->trial,
                          &lists->order, &lists->child, &lists->tail};
    for (size_t i = 0; i < sizeof arrays / sizeof *arrays; i++)
        *arrays[i] = bk_solver_new(solver, size, sizeof **arrays[i]);
    lists->marked = bk_solver_new(solver, size, sizeof *lists->marked);
    lists->used = bk_solver_new(
        solver, (size_t)solver->cumulatives.count * ((size_t)lists->span + 1), sizeof *lists->used);
    lists->lists = bk_solver_new(solver, POPULATION * size, sizeof *lists->lists);
    lists->length = bk_solver_new(solver, POPULATION, sizeof *lists->length);
    for (int32_t v = 0; v < n; v++)
        lists->first_demand[v] = -1;
    for (int32_t i = 0; i < solver->tasks.count; i++) {
        const bk_task *task = &solver->tasks.at[i];
        *BK_ADD(solver, lists->demands) = (demand){task->cumulative, task->to_plus, task->amount,
                                                   lists->first_demand[task->from / 2]};
        lists->first_demand[task->from / 2] = lists->demands.count - 1;
    }
    return lists;
}

static void clear_profiles(struct bk_lists *lists)
{
    memset(lists->used, 0, (size_t)lists->resources * ((size_t)lists->span + 1) *
                               sizeof *lists->used);
}

/* The first time of [time, time + length) of some demand that is too full, the
 * last one for `back`; -1 when the variable fits. */
static int32_t obstacle(const bk_solver *solver, const struct bk_lists *lists, int32_t v,
                        int32_t time, bool back)
{
    for (int32_t d = lists->first_demand[v]; d >= 0; d = lists->demands.at[d].next) {
        demand need = lists->demands.at[d];
        const int32_t *used = lists->used + (size_t)need.cumulative * ((size_t)lists->span + 1);
        int32_t room = solver->cumulatives.at[need.cumulative].capacity - need.amount;
        if (back) {
            for (int32_t t = time; t < time + need.length; t++)
                if (used[t] > room)
                    return t;
        } else {
            for (int32_t t = time + need.length; t-- > time;)
                if (used[t] > room)
                    return t;
        }
    }
    return -1;
}

static int32_t longest_demand(const struct bk_lists *lists, int32_t v)
{
    int32_t length = 0;
    for (int32_t d = lists->first_demand[v]; d >= 0; d = lists->demands.at[d].next)
        if (lists->demands.at[d].length > length)
            length = lists->demands.at[d].length;
    return length;
}

static void occupy(struct bk_lists *lists, int32_t v, int32_t time)
{
    for (int32_t d = lists->first_demand[v]; d >= 0; d = lists->demands.at[d].next) {
        demand need = lists->demands.at[d];
        int32_t *used = lists->used + (size_t)need.cumulative * ((size_t)lists->span + 1);
        for (int32_t t = time; t < time + need.length; t++)
            used[t] += need.amount;
    }
}

/* Schedules a list in series, each as early as it fits. False past the span. */
static bool schedule_forward(bk_solver *solver, struct bk_lists *lists, const int32_t *order,
                             int32_t *start)
{
    clear_profiles(lists);
    for (int32_t v = 0; v < lists->n; v++)
        start[v] = bk_least(solver, 2 * v);
    for (int32_t i = 0; i < lists->n; i++) {
        int32_t v = order[i], time = start[v], length = longest_demand(lists, v), full;
        while (time + length <= lists->span && (full = obstacle(solver, lists, v, time, false)) >= 0)
            time = full + 1;
        if (time + length > lists->span || time > bk_most(solver, 2 * v))
            return false;
        start[v] = time;
        occupy(lists, v, time);
        for (int32_t a = solver->arc_first[2 * v]; a < solver->arc_first[2 * v + 1]; a++) {
            int32_t to = solver->arcs[a].to / 2, least = time + solver->arcs[a].weight;
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
    clear_profiles(lists);
    for (int32_t i = lists->n; i-- > 0;) {
        int32_t v = order[i], length = longest_demand(lists, v), full;
        int32_t time = end - length, most = bk_most(solver, 2 * v);
        if (most < time)
            time = most;
        for (int32_t a = solver->arc_first[2 * v]; a < solver->arc_first[2 * v + 1]; a++) {
            int32_t latest = start[solver->arcs[a].to / 2] - solver->arcs[a].weight;
            if (latest < time)
                time = latest;
        }
        while (time >= bk_least(solver, 2 * v) &&
               (full = obstacle(solver, lists, v, time, true)) >= 0)
            time = full - length;
        if (time < bk_least(solver, 2 * v))
            return false;
        start[v] = time;
        occupy(lists, v, time);
    }
    return true;
}

/* Orders variables by key; equal keys by the lags between them, which an order
 * that was feasible before keeps when the sort is stable. */
static void sort_stably(int32_t *order, int32_t n, const int32_t *key)
{
    for (int32_t i = 1; i < n; i++) {
        int32_t v = order[i], k = i;
        while (k > 0 && key[order[k - 1]] > key[v]) {
            order[k] = order[k - 1];
            k--;
        }
        order[k] = v;
    }
}

/* A list at random, those that must start early more likely first. */
static bool random_list(bk_solver *solver, struct bk_lists *lists, int32_t *order, bool greedy)
{
    int32_t n = lists->n, ready = 0, done = 0;
    memset(lists->degree, 0, (size_t)n * sizeof *lists->degree);
    for (int32_t v = 0; v < n; v++)
        for (int32_t a = solver->arc_first[2 * v]; a < solver->arc_first[2 * v + 1]; a++)
            lists->degree[solver->arcs[a].to / 2]++;
    for (int32_t v = 0; v < n; v++)
        if (lists->degree[v] == 0)
            lists->tail[ready++] = v;
    while (ready > 0) {
        int32_t best = 0;
        for (int32_t round = 0; round < (greedy ? ready : 3); round++) {
            int32_t k = greedy ? round : (int32_t)bk_random_below(solver, (uint32_t)ready);
            if (round == 0 || bk_most(solver, 2 * lists->tail[k]) <
                                  bk_most(solver, 2 * lists->tail[best]))
                best = k;
        }
        int32_t v = lists->tail[best];
        lists->tail[best] = lists->tail[--ready];
        order[done++] = v;
        for (int32_t a = solver->arc_first[2 * v]; a < solver->arc_first[2 * v + 1]; a++)
            if (--lists->degree[solver->arcs[a].to / 2] == 0)
                lists->tail[ready++] = solver->arcs[a].to / 2;
    }
    return done == n; /* else the lags go in circles */
}

/* A list between two others: a stretch in the order of the second. */
static void cross(bk_solver *solver, struct bk_lists *lists, const int32_t *mother,
                  const int32_t *father, int32_t *child)
{
    int32_t n = lists->n;
    int32_t from = (int32_t)bk_random_below(solver, (uint32_t)n);
    int32_t to = (int32_t)bk_random_below(solver, (uint32_t)n), count = 0;
    if (from > to) {
        int32_t swap = from;
        from = to;
        to = swap;
    }
    memset(lists->marked, 0, (size_t)n * sizeof *lists->marked);
    for (int32_t i = 0; i < from; i++)
        child[count++] = mother[i];
    for (int32_t i = 0; i < count; i++)
        lists->marked[child[i]] = true;
    for (int32_t i = 0; i < n && count < to; i++)
        if (!lists->marked[father[i]]) {
            lists->marked[father[i]] = true;
            child[count++] = father[i];
        }
    for (int32_t i = 0; i < n; i++)
        if (!lists->marked[mother[i]])
            child[count++] = mother[i];
}

/* Neighbours without a lag between them change places now and then. */
static void mutate(bk_solver *solver, struct bk_lists *lists, int32_t *child)
{
    for (int32_t i = 1; i < lists->n; i++) {
        if (bk_random_below(solver, 100) >= 3)
            continue;
        int32_t v = child[i - 1];
        bool tied = false;
        for (int32_t a = solver->arc_first[2 * v]; a < solver->arc_first[2 * v + 1] && !tied; a++)
            tied = solver->arcs[a].to / 2 == child[i];
        if (!tied) {
            child[i - 1] = child[i];
            child[i] = v;
        }
    }
}

/* Schedules a list, justifies it, and leaves in it the order that came out.
 * Returns the sink's start, or -1. */
static int32_t evaluate(bk_solver *solver, struct bk_lists *lists, int32_t *order)
{
    if (!schedule_forward(solver, lists, order, lists->start))
        return -1;
    int32_t best = lists->start[lists->sink];
    for (;;) {
        memcpy(lists->order, order, (size_t)lists->n * sizeof *order);
        for (int32_t v = 0; v < lists->n; v++)
            lists->child[v] = lists->start[v] + longest_demand(lists, v);
        memcpy(lists->trial, lists->start, (size_t)lists->n * sizeof *lists->start);
        sort_stably(lists->order, lists->n, lists->child);
        if (!schedule_backward(solver, lists, lists->order, lists->trial, best))
            return best;
        sort_stably(lists->order, lists->n, lists->trial);
        if (!schedule_forward(solver, lists, lists->order, lists->trial))
            return best;
        int32_t now = lists->trial[lists->sink];
        if (now > best)
            return best;
        memcpy(lists->start, lists->trial, (size_t)lists->n * sizeof *lists->start);
        memcpy(order, lists->order, (size_t)lists->n * sizeof *order);
        sort_stably(order, lists->n, lists->start);
        if (now == best)
            return best;
        best = now;
    }
}

bool bk_lists_improve(bk_solver *solver, struct bk_lists *lists, int32_t best, int32_t schedules)
{
    size_t n = (size_t)lists->n;
    int32_t *next = bk_solver_new(solver, n, sizeof *next);
    bool better = false;
    bk_backtrack(solver, 0);
    for (int32_t i = 0; i < schedules && !better; i++) {
        if ((i & 63) == 0 && solver->options->stop &&
            solver->options->stop(solver->options->stop_context))
            break;
        int32_t place = lists->born;
        if (lists->born < POPULATION) {
            if (!random_list(solver, lists, next, place == 0))
                break;
            lists->born++;
        } else {
            int32_t parent[2];
            for (int k = 0; k < 2; k++) {
                int32_t a = (int32_t)bk_random_below(solver, POPULATION);
                int32_t b = (int32_t)bk_random_below(solver, POPULATION);
                parent[k] = lists->length[a] <= lists->length[b] ? a : b;
            }
            cross(solver, lists, lists->lists + (size_t)parent[0] * n,
                  lists->lists + (size_t)parent[1] * n, next);
            mutate(solver, lists, next);
            place = 0;
            for (int k = 0; k < 3; k++) {
                int32_t other = (int32_t)bk_random_below(solver, POPULATION);
                if (k == 0 || lists->length[other] > lists->length[place])
                    place = other;
            }
        }
        int32_t length = evaluate(solver, lists, next);
        if (length < 0)
            length = INT32_MAX;
        bool fresh = true;
        for (int32_t k = 0; k < POPULATION && fresh && lists->born == POPULATION; k++)
            fresh = lists->length[k] != length ||
                    memcmp(lists->lists + (size_t)k * n, next, n * sizeof *next) != 0;
        if (place + 1 == lists->born || (fresh && length <= lists->length[place])) {
            memcpy(lists->lists + (size_t)place * n, next, n * sizeof *next);
            lists->length[place] = length;
        }
        if (length < best) {
            for (int32_t v = 0; v < lists->n; v++)
                solver->found[v] = lists->start[v];
            better = true;
        }
    }
    bk_solver_release(solver, next);
    return better;
}

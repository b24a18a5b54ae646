/* A genetic search over activity lists (Hartmann, "A competitive genetic algorithm
 * for resource-constrained project scheduling", 1998), every list justified. A child
 * takes the place of its worse parent alone (crowding: De Jong 1975), which keeps the
 * population various for hundreds of thousands of schedules; with tournaments among
 * all it was soon all alike. It finds upper bounds; the search by clauses proves. */
#include "engine/activity_lists.h"

#include <string.h>

enum {
    FIRST_POPULATION = 100,
    LAST_POPULATION = 1600,
    PATIENCE = 10,
    STRETCHES = 3, /* of which the densest is kept */
    SWAPPED = 1    /* per cent of neighbours */
};

/* A list at random, those that must start early more likely first. */
static bool random_list(bk_solver *solver, struct bk_lists *lists, int32_t *order, bool greedy)
{
    int32_t n = lists->n, ready = 0, done = 0, *open = lists->order;
    memset(lists->degree, 0, (size_t)n * sizeof *lists->degree);
    for (int32_t v = 0; v < n; v++)
        for (int32_t a = solver->lags.first[2 * v]; a < solver->lags.first[2 * v + 1]; a++)
            lists->degree[solver->lags.arcs[a].to / 2]++;
    for (int32_t v = 0; v < n; v++)
        if (lists->degree[v] == 0)
            open[ready++] = v;
    while (ready > 0) {
        int32_t best = 0;
        for (int32_t round = 0; round < (greedy ? ready : 3); round++) {
            int32_t k = greedy ? round : (int32_t)bk_random_below(&solver->random, (uint32_t)ready);
            if (round == 0 || lists->most[open[k]] < lists->most[open[best]])
                best = k;
        }
        int32_t v = open[best];
        open[best] = open[--ready];
        order[done++] = v;
        for (int32_t a = solver->lags.first[2 * v]; a < solver->lags.first[2 * v + 1]; a++)
            if (--lists->degree[solver->lags.arcs[a].to / 2] == 0)
                open[ready++] = solver->lags.arcs[a].to / 2;
    }
    return done == n; /* else the lags go in circles */
}

static int64_t density(const struct bk_lists *lists, const bk_list *list, int32_t from, int32_t to)
{
    int64_t work = 0;
    for (int32_t i = from; i < to; i++)
        work += lists->work[list->order[i]];
    return work / (list->start[list->order[to - 1]] - list->start[list->order[from]] + 1);
}

/* A list that is the mother's but for a stretch, which stands in the order of the
 * father. The stretch is where the mother's schedule wastes least or most, as chance
 * has it (Valls, Ballestin, Quintanilla, "A hybrid genetic algorithm for the
 * resource-constrained project scheduling problem", EJOR 185, 2008, cross at peaks). */
static void cross(bk_solver *solver, struct bk_lists *lists, const bk_list *mother,
                  const bk_list *father, int32_t *child)
{
    int32_t n = lists->n, from = 0, count = 0;
    int32_t width = n / 4 + (int32_t)bk_random_below(&solver->random, (uint32_t)n / 2);
    int64_t best = -1;
    for (int32_t k = 0; k < STRETCHES; k++) {
        int32_t first = (int32_t)bk_random_below(&solver->random, (uint32_t)(n - width + 1));
        int64_t dense = density(lists, mother, first, first + width);
        if (dense > best) {
            best = dense;
            from = first;
        }
    }
    memset(lists->marked, 0, (size_t)n * sizeof *lists->marked);
    for (; count < from; count++) {
        child[count] = mother->order[count];
        lists->marked[child[count]] = true;
    }
    for (int32_t i = 0; i < n && count < from + width; i++)
        if (!lists->marked[father->order[i]]) {
            lists->marked[father->order[i]] = true;
            child[count++] = father->order[i];
        }
    for (int32_t i = 0; i < n; i++)
        if (!lists->marked[mother->order[i]])
            child[count++] = mother->order[i];
}

/* Neighbours without a lag between them change places now and then. */
static void mutate(bk_solver *solver, struct bk_lists *lists, int32_t *child)
{
    for (int32_t i = 1; i < lists->n; i++) {
        if (bk_random_below(&solver->random, 100) >= SWAPPED)
            continue;
        int32_t v = child[i - 1];
        bool tied = false;
        for (int32_t a = solver->lags.first[2 * v]; a < solver->lags.first[2 * v + 1] && !tied; a++)
            tied = solver->lags.arcs[a].to / 2 == child[i];
        if (!tied) {
            child[i - 1] = child[i];
            child[i] = v;
        }
    }
}

static void copy(const struct bk_lists *lists, bk_list *to, const bk_list *from)
{
    size_t bytes = (size_t)lists->n * sizeof *from->order;
    memcpy(to->order, from->order, bytes);
    memcpy(to->start, from->start, bytes);
    to->length = from->length;
    to->mark = from->mark;
}

/* FNV-1a (Fowler, Noll, Vo) over whole numbers. */
static uint32_t mark_of(const struct bk_lists *lists, const bk_list *list)
{
    uint32_t mark = 2166136261u;
    for (int32_t v = 0; v < lists->n; v++)
        mark = (mark ^ (uint32_t)list->start[v]) * 16777619u;
    return mark;
}

static bool known(const struct bk_lists *lists, const bk_list *list)
{
    for (int32_t i = 0; i < lists->born; i++)
        if (lists->population[i].mark == list->mark &&
            lists->population[i].length == list->length &&
            memcmp(lists->population[i].start, list->start,
                   (size_t)lists->n * sizeof *list->start) == 0)
            return true;
    return false;
}

/* Forgets the population and makes room for the next. */
static void start_anew(bk_solver *solver, struct bk_lists *lists)
{
    lists->size = lists->size == 0 ? FIRST_POPULATION : 2 * lists->size;
    if (lists->size > LAST_POPULATION)
        lists->size = LAST_POPULATION;
    lists->born = lists->fruitless = 0;
    if (lists->room_for >= lists->size)
        return;
    lists->population =
        bk_memory_resize(&solver->memory, lists->population, (size_t)lists->room_for,
                         (size_t)lists->size, sizeof *lists->population);
    for (; lists->room_for < lists->size; lists->room_for++) {
        bk_list *list = &lists->population[lists->room_for];
        list->order = bk_memory_new(&solver->memory, (size_t)lists->n, sizeof *list->order);
        list->start = bk_memory_new(&solver->memory, (size_t)lists->n, sizeof *list->start);
    }
}

/* Takes the child into the population, in a place that is no better. */
static void take(struct bk_lists *lists, bk_list *place)
{
    bk_list *child = &lists->child;
    child->mark = mark_of(lists, child);
    lists->fruitless++;
    if (lists->born < lists->size) {
        copy(lists, &lists->population[lists->born++], child);
        lists->fruitless = 0;
    } else if (child->length <= place->length && !known(lists, child)) {
        if (child->length < place->length)
            lists->fruitless = 0;
        copy(lists, place, child);
    }
}

static bk_list *any_list(bk_solver *solver, struct bk_lists *lists)
{
    return &lists->population[bk_random_below(&solver->random, (uint32_t)lists->size)];
}

bool bk_lists_evolve(bk_solver *solver, struct bk_lists *lists, int32_t best, int32_t schedules)
{
    bk_list *child = &lists->child, *place = NULL;
    bk_backtrack(solver, 0);
    for (int32_t i = 0; i < schedules; i++) {
        if ((i & 63) == 0 && bk_stopped(solver))
            break;
        if (lists->fruitless >= PATIENCE * lists->size)
            start_anew(solver, lists);
        if (lists->born < lists->size) {
            if (!random_list(solver, lists, child->order, lists->born == 0))
                break;
        } else {
            bk_list *mother = any_list(solver, lists), *father = any_list(solver, lists);
            cross(solver, lists, mother, father, child->order);
            mutate(solver, lists, child->order);
            place = mother->length > father->length ? mother : father;
        }
        bk_list_evaluate(solver, lists, child);
        take(lists, place);
        if (child->length < best) {
            memcpy(solver->found, child->start, (size_t)lists->n * sizeof *child->start);
            return true;
        }
    }
    return false;
}

bool bk_lists_offer(bk_solver *solver, struct bk_lists *lists)
{
    bk_list *child = &lists->child;
    if (lists->size == 0)
        start_anew(solver, lists);
    memcpy(child->start, solver->found, (size_t)lists->n * sizeof *child->start);
    if (!random_list(solver, lists, child->order, true))
        return false;
    bk_list_sort(lists, child);
    bk_list_evaluate(solver, lists, child);
    take(lists, any_list(solver, lists));
    if (child->length >= solver->found[lists->sink])
        return false;
    memcpy(solver->found, child->start, (size_t)lists->n * sizeof *child->start);
    return true;
}

const int32_t *bk_lists_vary(bk_solver *solver, struct bk_lists *lists)
{
    if (lists->born == 0)
        return NULL;
    int32_t from = (int32_t)bk_random_below(&solver->random, (uint32_t)lists->born);
    for (int32_t i = 0; i < lists->born; i++) {
        const bk_list *list = &lists->population[(from + i) % lists->born];
        if (list->length == solver->solution[lists->sink]) {
            memcpy(solver->solution, list->start, (size_t)lists->n * sizeof *list->start);
            return bk_list_latest(solver, lists, list);
        }
    }
    return NULL;
}

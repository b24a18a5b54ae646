/* Lags to their fixed point in topological order: the strongly connected components of the graph
 * of sides (Tarjan, "Depth-first search and linear graph algorithms", SIAM J. Computing 1, 1972),
 * each before those it leads to; within one, sweeps forward and backward (Yen, "An algorithm for
 * finding shortest routes from all source nodes to a given destination in general networks",
 * Quarterly of Applied Mathematics 27, 1970). */
#include "engine/solver.h"

/* Of one component: what is left then, as on a cycle of positive length, is for propagation. */
enum { SWEEPS = 4 };

typedef struct components {
    const bk_lags *lags;
    int32_t *number;  /* by side: in order of discovery, from 1; 0: not seen */
    int32_t *low;     /* by side: the least number reached back to */
    int32_t *next;    /* by side: the arc to follow next */
    int32_t *path;    /* sides being followed */
    int32_t *pending; /* sides whose component is not complete */
    int32_t *order;   /* sides by component, those that lead to others last */
    int32_t *first;   /* by component: in `order` */
    int32_t seen, path_count, pending_count, order_count, count;
    bool *done; /* by side: its component is complete */
} components;

static void enter(components *c, int32_t side)
{
    c->number[side] = c->low[side] = ++c->seen;
    c->next[side] = c->lags->first[side];
    c->path[c->path_count++] = side;
    c->pending[c->pending_count++] = side;
}

/* All that hangs on `side` is seen: if nothing leads back, it closes its component. */
static void leave(components *c, int32_t side)
{
    c->path_count--;
    if (c->path_count > 0 && c->low[side] < c->low[c->path[c->path_count - 1]])
        c->low[c->path[c->path_count - 1]] = c->low[side];
    if (c->low[side] < c->number[side])
        return;
    c->first[c->count++] = c->order_count;
    int32_t member;
    do {
        member = c->pending[--c->pending_count];
        c->done[member] = true;
        c->order[c->order_count++] = member;
    } while (member != side);
}

/* Depth first, by a stack of its own: chains are long. */
static void follow(components *c, int32_t root)
{
    enter(c, root);
    while (c->path_count > 0) {
        int32_t side = c->path[c->path_count - 1];
        if (c->next[side] == c->lags->first[side + 1]) {
            leave(c, side);
            continue;
        }
        int32_t to = c->lags->arcs[c->next[side]++].to;
        if (c->number[to] == 0)
            enter(c, to);
        else if (!c->done[to] && c->number[to] < c->low[side])
            c->low[side] = c->number[to];
    }
}

/* The members from last to first (the order in which they were discovered), then back. */
static bool sweep(bk_solver *solver, const int32_t *members, int32_t count)
{
    int32_t before = -1;
    for (int sweeps = 0; sweeps < SWEEPS && before != solver->trail.events.count; sweeps++) {
        before = solver->trail.events.count;
        for (int32_t i = count; i-- > 0;)
            if (!bk_propagate_lags(solver, members[i]))
                return false;
        for (int32_t i = 0; i < count && count > 1; i++)
            if (!bk_propagate_lags(solver, members[i]))
                return false;
        if (count == 1)
            break;
    }
    return true;
}

bool bk_propagate_longest_paths(bk_solver *solver)
{
    bk_memory *memory = &solver->memory;
    int32_t sides = solver->lags.sides;
    size_t n = (size_t)sides;
    components c = {.lags = &solver->lags};
    int32_t **arrays[] = {&c.number, &c.low, &c.next, &c.path, &c.pending, &c.order, &c.first};
    for (size_t i = 0; i < sizeof arrays / sizeof *arrays; i++)
        *arrays[i] = bk_memory_new(memory, n + 1, sizeof **arrays[i]);
    c.done = bk_memory_new(memory, n, sizeof *c.done);
    for (int32_t side = 0; side < sides; side++)
        if (c.number[side] == 0)
            follow(&c, side);
    c.first[c.count] = c.order_count;
    bool fine = true;
    for (int32_t k = c.count; fine && k-- > 0;)
        fine = sweep(solver, c.order + c.first[k], c.first[k + 1] - c.first[k]);
    for (size_t i = 0; i < sizeof arrays / sizeof *arrays; i++)
        bk_memory_release(memory, *arrays[i]);
    bk_memory_release(memory, c.done);
    return fine;
}

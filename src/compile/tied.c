/* Stages that cannot drift apart: strongly connected parts of the waits (Tarjan,
 * "Depth-first search and linear graph algorithms", SIAM J. Computing 1, 1972),
 * without recursion. */
#include "compile/tied.h"

typedef struct graph {
    size_t *first, *arc; /* arcs of stage i: arc[first[i] .. first[i + 1]) */
} graph;

/* An arc from a stage to each it has to follow, and back for each `within`. */
static graph graph_of(bk_arena *arena, const bk_plan *plan)
{
    size_t n = plan->stage_count;
    graph g = {.first = BK_NEW(arena, size_t, n + 1)};
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < plan->stages[i].link_count; k++) {
            const bk_link *link = &plan->stages[i].links[k];
            g.first[i + 1]++;
            if (link->has_within)
                g.first[link->stage + 1]++;
        }
    for (size_t i = 0; i < n; i++)
        g.first[i + 1] += g.first[i];
    g.arc = BK_NEW(arena, size_t, g.first[n]);
    size_t *filled = BK_NEW(arena, size_t, n);
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < plan->stages[i].link_count; k++) {
            const bk_link *link = &plan->stages[i].links[k];
            g.arc[g.first[i] + filled[i]++] = link->stage;
            if (link->has_within)
                g.arc[g.first[link->stage] + filled[link->stage]++] = i;
        }
    return g;
}

size_t *bk_tied_groups(bk_arena *arena, const bk_plan *plan)
{
    size_t n = plan->stage_count, seen = 0, groups = 0, depth = 0, waiting = 0;
    graph g = graph_of(arena, plan);
    size_t *group = BK_NEW(arena, size_t, n), *order = BK_NEW(arena, size_t, n);
    size_t *low = BK_NEW(arena, size_t, n), *next = BK_NEW(arena, size_t, n);
    size_t *path = BK_NEW(arena, size_t, n), *stack = BK_NEW(arena, size_t, n);
    bool *on_stack = BK_NEW(arena, bool, n);
    for (size_t root = 0; root < n; root++) {
        if (order[root] > 0)
            continue;
        path[depth++] = root;
        while (depth > 0) {
            size_t i = path[depth - 1];
            if (order[i] == 0) {
                order[i] = low[i] = ++seen;
                stack[waiting++] = i;
                on_stack[i] = true;
                next[i] = g.first[i];
            }
            if (next[i] < g.first[i + 1]) {
                size_t j = g.arc[next[i]++];
                if (order[j] == 0)
                    path[depth++] = j;
                else if (on_stack[j] && order[j] < low[i])
                    low[i] = order[j];
                continue;
            }
            depth--;
            if (depth > 0 && low[i] < low[path[depth - 1]])
                low[path[depth - 1]] = low[i];
            if (low[i] != order[i])
                continue;
            size_t j;
            do {
                j = stack[--waiting];
                on_stack[j] = false;
                group[j] = groups;
            } while (j != i);
            groups++;
        }
    }
    return group;
}

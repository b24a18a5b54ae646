/* Cliques of tasks of which no two can run at once, over all resources together. As
 * a resource of one place each they let edge finding see what no resource alone
 * shows. Tasks that lags keep in order may be of one clique, too. */
#include "engine/solver.h"

enum { MOST_CLIQUES = 10, LEAST_MEMBERS = 3, MOST_STEPS = 50000000 };

typedef struct clique {
    const bk_disjunctive *pairs;
    bool *covered;       /* by pair: two members of a clique that is there */
    int32_t *candidates; /* apart from all members */
    int32_t candidate_count;
    int32_t *members;
    int32_t count;
    int64_t steps; /* taken so far */
} clique;

static int32_t pair(const clique *c, int32_t i, int32_t j)
{
    return i * c->pairs->count + j;
}

/* Whichever goes first, the other starts later. (Tasks far from their starts need not.) */
static bool choice(const clique *c, int32_t i, int32_t j)
{
    return c->pairs->gap[pair(c, i, j)] > 0 && c->pairs->gap[pair(c, j, i)] > 0;
}

static bool disjoint(const clique *c, int32_t i, int32_t j)
{
    return choice(c, i, j) || c->pairs->path[pair(c, i, j)] > 0 ||
           c->pairs->path[pair(c, j, i)] > 0;
}

/* What member i keeps free before j, if it goes first; INT32_MAX when it cannot. */
static int32_t room_before(const clique *c, int32_t i, int32_t j)
{
    int32_t path = c->pairs->path[pair(c, i, j)], gap = c->pairs->gap[pair(c, i, j)];
    if (choice(c, i, j))
        return gap > path ? gap : path;
    return path > 0 ? path : INT32_MAX;
}

/* Orders to be chosen between v and what is in, or may still come in: a new one
 * counts more than all that other cliques have. */
static int64_t gain(clique *c, int32_t v)
{
    int64_t sum = 0;
    c->steps += c->candidate_count + c->count;
    for (int32_t k = 0; k < c->candidate_count + c->count; k++) {
        int32_t other = k < c->count ? c->members[k] : c->candidates[k - c->count];
        if (other != v && choice(c, v, other))
            sum += c->covered[pair(c, v, other)] ? 1 : c->pairs->count;
    }
    return sum;
}

static bool has_choice(const clique *c, int32_t v)
{
    for (int32_t other = 0; other < c->pairs->count; other++)
        if (choice(c, v, other))
            return true;
    return false;
}

/* Greedily. False when it shows no order that an earlier clique did not. */
static bool gather(clique *c)
{
    c->count = c->candidate_count = 0;
    for (int32_t v = 1; v < c->pairs->count; v++)
        if (has_choice(c, v))
            c->candidates[c->candidate_count++] = v;
    while (c->candidate_count > 0) {
        int32_t best = -1;
        int64_t most = 0;
        for (int32_t k = 0; k < c->candidate_count; k++) {
            int64_t its = gain(c, c->candidates[k]);
            if (its > most) {
                most = its;
                best = c->candidates[k];
            }
        }
        if (best < 0)
            break;
        c->members[c->count++] = best;
        int32_t kept = 0;
        for (int32_t k = 0; k < c->candidate_count; k++)
            if (c->candidates[k] != best && disjoint(c, c->candidates[k], best))
                c->candidates[kept++] = c->candidates[k];
        c->candidate_count = kept;
    }
    bool fresh = false;
    for (int32_t a = 0; a < c->count; a++)
        for (int32_t b = 0; b < c->count; b++)
            if (a != b && choice(c, c->members[a], c->members[b])) {
                bool *covered = &c->covered[pair(c, c->members[a], c->members[b])];
                fresh = fresh || !*covered;
                *covered = true;
            }
    return fresh;
}

static void add(bk_solver *solver, const clique *c)
{
    int32_t index = solver->resources.cumulatives.count;
    int32_t propagator = bk_propagator_new(solver, BK_RUN_EDGE_FINDING, index);
    *BK_ADD(solver, solver->resources.cumulatives) =
        (bk_cumulative){.capacity = 1,
                        .first = solver->resources.tasks.count,
                        .count = c->count,
                        .fact = {-1, 0},
                        .table = -1,
                        .most = 1};
    for (int32_t a = 0; a < c->count; a++) {
        int32_t side = 2 * c->members[a], length = INT32_MAX;
        for (int32_t b = 0; b < c->count; b++)
            if (a != b && room_before(c, c->members[a], c->members[b]) < length)
                length = room_before(c, c->members[a], c->members[b]);
        if (length == INT32_MAX)
            length = 1; /* always the last */
        bk_task_new(solver, (bk_task){.from = side,
                                      .to = side,
                                      .to_plus = length,
                                      .amount = 1,
                                      .present = {-1, 0},
                                      .cumulative = index});
        *BK_ADD(solver, solver->queue.wakes[side]) = propagator;
        *BK_ADD(solver, solver->queue.wakes[side + 1]) = propagator;
    }
    bk_edge_finding_room(solver, c->count);
    bk_wake(solver, propagator);
}

void bk_add_cliques(bk_solver *solver, const bk_disjunctive *known)
{
    size_t n = (size_t)known->count;
    clique c = {.pairs = known,
                .covered = bk_memory_new(&solver->memory, n * n, sizeof *c.covered),
                .candidates = bk_memory_new(&solver->memory, n, sizeof *c.candidates),
                .members = bk_memory_new(&solver->memory, n, sizeof *c.members)};
    for (int made = 0;
         made < MOST_CLIQUES && c.steps < MOST_STEPS && gather(&c) && c.count >= LEAST_MEMBERS;
         made++)
        add(solver, &c);
    bk_memory_release(&solver->memory, c.covered);
    bk_memory_release(&solver->memory, c.candidates);
    bk_memory_release(&solver->memory, c.members);
}

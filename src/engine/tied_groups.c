/* A group of variables that lags hold together may be moved as a whole: where it fits, but for the
 * windows and the ends of the horizon, it fits everywhere, and where it does not, nowhere. With
 * one of its variables fixed, its problem has a span of hours where the whole has one of weeks, and
 * is refuted once instead of once a day. */
#include "engine/tied_groups.h"

#include "engine/load.h"
#include "engine/relations.h"

enum {
    SOON = 50, /* conflicts */
    LEAST_MEMBERS = 3,
    MOST_CONFLICTS = 1000, /* of one group */
    PART_OF_HORIZON = 4    /* a group of a longer span is the problem itself */
};

typedef struct grouping {
    bk_solver *solver;
    bk_paths paths;
    int32_t vars;   /* of the solver that the problem knows */
    int32_t *group; /* by variable: the least of its group; or -1 */
    int32_t *sub;   /* by variable: in the group's problem, or -1 */
    bk_problem problem;
    bool refuted;
} grouping;

/* ----------------------------------------------------------------- groups */

static void find_groups(grouping *g)
{
    for (int32_t v = 0; v < g->vars; v++)
        g->group[v] = v > 0 && g->paths.index[v] >= 0 ? v : -1;
    for (int32_t v = 1; v < g->vars; v++)
        for (int32_t w = v + 1; w < g->vars && g->group[v] >= 0; w++) {
            if (g->group[w] < 0 || g->group[w] == g->group[v] || !bk_led_by_lags(&g->paths, v, w) ||
                !bk_led_by_lags(&g->paths, w, v))
                continue;
            int32_t one = g->group[v] < g->group[w] ? g->group[v] : g->group[w];
            int32_t other = g->group[v] < g->group[w] ? g->group[w] : g->group[v];
            for (int32_t u = 1; u < g->vars; u++)
                if (g->group[u] == other)
                    g->group[u] = one;
        }
}

/* How far from the anchor its group reaches, to both sides together. */
static int64_t span_of(const grouping *g, int32_t anchor, int32_t *members)
{
    int64_t low = 0, high = 0;
    *members = 0;
    for (int32_t v = 1; v < g->vars; v++) {
        if (g->group[v] != anchor)
            continue;
        ++*members;
        if (bk_path(&g->paths, anchor, v) < low)
            low = bk_path(&g->paths, anchor, v);
        if (-(int64_t)bk_path(&g->paths, v, anchor) > high)
            high = -(int64_t)bk_path(&g->paths, v, anchor);
    }
    return high - low;
}

/* ---------------------------------------------------- the group's problem */

/* The variable in the group's problem; a choice comes in when it is first spoken of. */
static bk_var variable_of(grouping *g, bk_var var)
{
    int32_t v = var + 1;
    if (var == BK_CONSTANT)
        return BK_CONSTANT;
    if (g->sub[v] < 0 && g->paths.index[v] < 0) {
        g->sub[v] = (int32_t)g->problem.vars++;
        g->problem.least[g->sub[v]] = bk_lb(g->solver, 2 * v);
        g->problem.most[g->sub[v]] = bk_ub(g->solver, 2 * v);
    }
    return g->sub[v] < 0 ? BK_CONSTANT : g->sub[v];
}

static bool is_member(const grouping *g, bk_var var, int32_t anchor)
{
    return var != BK_CONSTANT && g->group[var + 1] == anchor;
}

/* Conditions and clauses of choices alone do not hang on the time. */
static bool take_bounds(grouping *g, const bk_constraint *given, bk_constraint *made)
{
    const bk_problem *all = g->solver->problem;
    made->first = g->problem.bound_count;
    for (size_t i = given->first; i < given->first + given->count; i++) {
        bk_bound bound = all->bounds[i];
        if (bound.var == BK_CONSTANT || g->paths.index[bound.var + 1] >= 0) {
            g->problem.bound_count = made->first;
            return false;
        }
        bound.var = variable_of(g, bound.var);
        g->problem.bounds[g->problem.bound_count++] = bound;
    }
    return true;
}

static void take_uses(grouping *g, const bk_constraint *given, bk_constraint *made, int32_t anchor)
{
    const bk_problem *all = g->solver->problem;
    made->first = g->problem.use_count;
    made->count = 0;
    for (size_t i = given->first; i < given->first + given->count; i++) {
        bk_use use = all->uses[i];
        if (!is_member(g, use.from.var, anchor) || !is_member(g, use.to.var, anchor) ||
            (use.present != BK_ALWAYS && g->paths.index[use.present + 1] >= 0))
            continue;
        use.from.var = variable_of(g, use.from.var);
        use.to.var = variable_of(g, use.to.var);
        if (use.present != BK_ALWAYS)
            use.present = variable_of(g, use.present);
        g->problem.uses[g->problem.use_count++] = use;
        made->count++;
    }
}

static void take(grouping *g, const bk_constraint *given, int32_t anchor)
{
    bk_constraint made = *given;
    bool fine = false;
    if (bk_is_dropped(g->solver, given->fact))
        return;
    switch (given->kind) {
    case BK_IS_LAG:
        fine = is_member(g, given->from, anchor) && is_member(g, given->to, anchor) &&
               take_bounds(g, given, &made);
        if (fine) {
            made.from = variable_of(g, given->from);
            made.to = variable_of(g, given->to);
        }
        break;
    case BK_IS_CLAUSE:
        fine = take_bounds(g, given, &made);
        break;
    case BK_IS_CUMULATIVE:
        take_uses(g, given, &made, anchor);
        fine = made.count > 1;
        break;
    case BK_IS_HOLES: /* stand still, whatever moves */
    case BK_IS_MINIMUM:
        break;
    }
    if (fine)
        g->problem.constraints[g->problem.constraint_count++] = made;
}

static void make_problem(grouping *g, int32_t anchor)
{
    const bk_problem *all = g->solver->problem;
    bk_problem *made = &g->problem;
    made->vars = made->constraint_count = made->bound_count = made->use_count = 0;
    for (int32_t v = 0; v < g->vars; v++) {
        g->sub[v] = g->group[v] == anchor ? (int32_t)made->vars++ : -1;
        if (g->sub[v] < 0)
            continue;
        made->least[g->sub[v]] = v == anchor ? 0 : bk_path(&g->paths, anchor, v);
        made->most[g->sub[v]] = v == anchor ? 0 : -bk_path(&g->paths, v, anchor);
    }
    for (size_t i = 0; i < all->constraint_count; i++)
        take(g, &all->constraints[i], anchor);
}

/* Who looks on at the whole solve: a group's values are no answer to that. */
typedef struct looking_on {
    bk_onlooker onlooker;
    bk_onlooker *whole;
} looking_on;

static bool look_on(bk_onlooker *onlooker, const bk_standing *standing)
{
    bk_onlooker *whole = ((looking_on *)onlooker)->whole;
    bk_standing spent = {.level = -1, .conflicts = standing->conflicts, .work = standing->work};
    whole->over = whole->over || !whole->look(whole, &spent);
    return !whole->over;
}

/* Is there no way for the group, even by itself? */
static bool impossible_alone(grouping *g, int32_t anchor)
{
    bk_solver *solver = g->solver;
    make_problem(g, anchor);
    looking_on looked = {.onlooker = {.look = look_on}, .whole = solver->options->onlooker};
    bk_solve_options options = {.dropped = solver->options->dropped,
                                .facts = solver->options->facts,
                                .conflicts = MOST_CONFLICTS,
                                .stop = solver->options->stop,
                                .stop_context = solver->options->stop_context,
                                .onlooker = looked.whole ? &looked.onlooker : NULL};
    bk_solver *inner = bk_memory_new(&solver->memory, 1, sizeof *inner);
    bk_solver_begin(inner, solver->memory.arena, &g->problem, &options);
    inner->memory.around = &solver->memory;
    enum bk_outcome outcome = BK_REFUTED;
    if (bk_load(inner, false) && bk_add_disjunctions(inner, NULL, 0))
        outcome = bk_search(inner, NULL, 0, MOST_CONFLICTS);
    bk_effort *effort = &solver->effort, *spent = &inner->effort;
    effort->conflicts += spent->conflicts;
    effort->work += spent->work;
    effort->told_conflicts += spent->told_conflicts;
    effort->told_work += spent->told_work;
    bk_memory_free(&inner->memory);
    bk_memory_release(&solver->memory, inner);
    return outcome == BK_REFUTED;
}

static void try_groups(grouping *g)
{
    bk_memory *memory = &g->solver->memory;
    const bk_problem *all = g->solver->problem;
    size_t n = (size_t)g->vars;
    g->group = bk_memory_new(memory, n, sizeof *g->group);
    g->sub = bk_memory_new(memory, n, sizeof *g->sub);
    bk_problem *made = &g->problem;
    made->least = bk_memory_new(memory, n, sizeof *made->least);
    made->most = bk_memory_new(memory, n, sizeof *made->most);
    made->constraints = bk_memory_new(memory, all->constraint_count + 1, sizeof *made->constraints);
    made->bounds = bk_memory_new(memory, all->bound_count + 1, sizeof *made->bounds);
    made->uses = bk_memory_new(memory, all->use_count + 1, sizeof *made->uses);
    find_groups(g);
    for (int32_t v = 1; v < g->vars && !g->refuted; v++) {
        int32_t members;
        if (g->group[v] != v)
            continue;
        int64_t span = span_of(g, v, &members);
        int64_t horizon = (int64_t)bk_ub(g->solver, 2 * v) - bk_lb(g->solver, 2 * v);
        if (members >= LEAST_MEMBERS && span * PART_OF_HORIZON < horizon)
            g->refuted = impossible_alone(g, v);
    }
    void *arrays[] = {g->group,          g->sub,       made->least, made->most,
                      made->constraints, made->bounds, made->uses};
    for (size_t i = 0; i < sizeof arrays / sizeof *arrays; i++)
        bk_memory_release(memory, arrays[i]);
}

enum bk_outcome bk_search_first(bk_solver *solver, int64_t budget)
{
    enum bk_outcome outcome = bk_search(solver, NULL, 0, budget < SOON ? budget : SOON);
    if (outcome != BK_LIMIT || budget <= SOON || bk_is_spent(&solver->effort))
        return outcome;
    bk_backtrack(solver, 0);
    grouping g = {.solver = solver,
                  .paths = bk_longest_paths(solver),
                  .vars = (int32_t)solver->problem->vars + 1};
    if (g.paths.count > 0)
        try_groups(&g);
    bk_paths_free(solver, &g.paths);
    if (g.refuted) {
        solver->impossible = true;
        return BK_REFUTED;
    }
    return bk_search(solver, NULL, 0, budget - SOON);
}

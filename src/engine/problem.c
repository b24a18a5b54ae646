/* Building a problem. */
#include "engine/problem.h"

bk_problem *bk_problem_new(bk_arena *arena)
{
    bk_problem *problem = BK_NEW(arena, bk_problem, 1);
    problem->arena = arena;
    return problem;
}

bk_var bk_problem_var(bk_problem *problem, int32_t least, int32_t most)
{
    size_t count = problem->vars;
    *BK_PUSH(problem->arena, problem->most, count, problem->most_room) = most;
    *BK_PUSH(problem->arena, problem->least, problem->vars, problem->vars_room) = least;
    return (bk_var)(problem->vars - 1);
}

static bk_constraint *add(bk_problem *problem, enum bk_constraint_kind kind, int fact)
{
    bk_constraint *constraint = BK_PUSH(problem->arena, problem->constraints,
                                        problem->constraint_count, problem->constraint_room);
    constraint->kind = kind;
    constraint->fact = fact;
    return constraint;
}

static size_t add_bounds(bk_problem *problem, const bk_bound *bounds, size_t n)
{
    size_t first = problem->bound_count;
    for (size_t i = 0; i < n; i++)
        *BK_PUSH(problem->arena, problem->bounds, problem->bound_count, problem->bound_room) =
            bounds[i];
    return first;
}

static void add_point(bk_problem *problem, bk_point point)
{
    *BK_PUSH(problem->arena, problem->points, problem->point_count, problem->point_room) = point;
}

void bk_problem_lag(bk_problem *problem, bk_var from, bk_var to, int32_t least,
                    const bk_bound *when, size_t n, int fact)
{
    size_t first = add_bounds(problem, when, n);
    bk_constraint *lag = add(problem, BK_IS_LAG, fact);
    lag->from = from;
    lag->to = to;
    lag->amount = least;
    lag->first = first;
    lag->count = n;
}

void bk_problem_cumulative(bk_problem *problem, int32_t capacity, const bk_use *uses, size_t n,
                           int fact)
{
    size_t first = problem->use_count;
    for (size_t i = 0; i < n; i++)
        *BK_PUSH(problem->arena, problem->uses, problem->use_count, problem->use_room) = uses[i];
    bk_constraint *cumulative = add(problem, BK_IS_CUMULATIVE, fact);
    cumulative->amount = capacity;
    cumulative->first = first;
    cumulative->count = n;
}

void bk_problem_holes(bk_problem *problem, bk_point from, bk_point to, const bk_hole *holes,
                      size_t n)
{
    size_t first = problem->point_count;
    add_point(problem, from);
    add_point(problem, to);
    bk_constraint *constraint = add(problem, BK_IS_HOLES, BK_NO_FACT);
    constraint->first = first;
    constraint->count = 2;
    constraint->holes = holes;
    constraint->hole_count = n;
}

void bk_problem_minimum(bk_problem *problem, bk_var bottom, const bk_point *points, size_t n,
                        int fact)
{
    size_t first = problem->point_count;
    for (size_t i = 0; i < n; i++)
        add_point(problem, points[i]);
    bk_constraint *minimum = add(problem, BK_IS_MINIMUM, fact);
    minimum->from = bottom;
    minimum->first = first;
    minimum->count = n;
}

void bk_problem_clause(bk_problem *problem, const bk_bound *bounds, size_t n, int fact)
{
    size_t first = add_bounds(problem, bounds, n);
    bk_constraint *clause = add(problem, BK_IS_CLAUSE, fact);
    clause->first = first;
    clause->count = n;
}

int bk_problem_level(bk_problem *problem)
{
    return problem->levels++;
}

void bk_problem_cost(bk_problem *problem, int level, bk_var var, int32_t weight)
{
    bk_cost *cost =
        BK_PUSH(problem->arena, problem->costs, problem->cost_count, problem->cost_room);
    cost->level = level;
    cost->var = var;
    cost->weight = weight;
}

void bk_problem_cost_if(bk_problem *problem, int level, bk_bound bound, int32_t weight)
{
    bk_cost *cost =
        BK_PUSH(problem->arena, problem->costs, problem->cost_count, problem->cost_room);
    cost->level = level;
    cost->conditional = true;
    cost->bound = bound;
    cost->weight = weight;
}

size_t bk_problem_vars(const bk_problem *problem)
{
    return problem->vars;
}

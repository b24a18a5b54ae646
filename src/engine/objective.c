/* Levels: what each minimises, and the way down to the least. */
#include "engine/solver.h"

static void add_term(bk_solver *solver, int64_t *weight, bk_ints *used, int32_t variable,
                     int64_t amount)
{
    if (weight[variable] == 0)
        *BK_ADD(solver, *used) = variable;
    weight[variable] += amount;
}

/* An indicator that is 1 at least when the literal holds. */
static int32_t indicator(bk_solver *solver, bk_literal literal)
{
    int32_t variable = bk_solver_var(solver, 0, 1, 2);
    bk_literal clause[2] = {bk_not(literal), {2 * variable, 1}};
    bk_clause_given(solver, clause, 2);
    return variable;
}

bk_objective bk_objective_new(bk_solver *solver, int level)
{
    const bk_problem *problem = solver->problem;
    bk_objective objective = {-1, 0};
    size_t most = (size_t)solver->sides / 2 + problem->cost_count;
    int64_t *weight = bk_solver_new(solver, most, sizeof *weight);
    bk_ints used = {NULL, 0, 0};
    for (size_t i = 0; i < problem->cost_count; i++) {
        const bk_cost *cost = &problem->costs[i];
        if (cost->level != level)
            continue;
        if (!cost->conditional) {
            if (cost->var != BK_CONSTANT)
                add_term(solver, weight, &used, cost->var + 1, cost->weight);
            continue;
        }
        int32_t variable = cost->bound.var == BK_CONSTANT ? 0 : cost->bound.var + 1;
        bk_literal literal = cost->bound.at_least
                                 ? (bk_literal){2 * variable, cost->bound.value}
                                 : (bk_literal){2 * variable + 1, -cost->bound.value};
        if (bk_is_true(solver, literal)) {
            objective.offset += cost->weight;
        } else if (bk_is_false(solver, literal)) {
            continue;
        } else if (bk_least(solver, 2 * variable) == 0 && bk_most(solver, 2 * variable) == 1) {
            if (literal.side & 1) {
                objective.offset += cost->weight;
                add_term(solver, weight, &used, variable, -(int64_t)cost->weight);
            } else {
                add_term(solver, weight, &used, variable, cost->weight);
            }
        } else {
            add_term(solver, weight, &used, indicator(solver, literal), cost->weight);
        }
    }
    BK_VECTOR(bk_term) terms = {NULL, 0, 0};
    int64_t least = 0, greatest = 0;
    for (int32_t i = 0; i < used.count; i++) {
        int32_t variable = used.at[i];
        int64_t w = weight[variable];
        weight[variable] = 0; /* a variable may be in the list twice */
        if (w == 0)
            continue;
        bk_term term = {2 * variable + (w < 0), (int32_t)(w < 0 ? -w : w)};
        least += (int64_t)term.weight * solver->bound[term.side];
        greatest -= (int64_t)term.weight * solver->bound[term.side ^ 1];
        *BK_ADD(solver, terms) = term;
    }
    if (terms.count == 1 && terms.at[0].weight == 1) {
        objective.side = terms.at[0].side;
        solver->late[objective.side / 2] = 2;
    } else if (terms.count > 0) {
        if (greatest >= BK_FAR)
            greatest = BK_FAR - 1;
        int32_t variable = bk_solver_var(solver, (int32_t)least, (int32_t)greatest, 2);
        objective.side = 2 * variable;
        *BK_ADD(solver, terms) = (bk_term){2 * variable + 1, 1};
        bk_linear_new(solver, terms.at, terms.count, 0);
    }
    bk_solver_release(solver, terms.at);
    bk_solver_release(solver, used.at);
    bk_solver_release(solver, weight);
    return objective;
}

static int64_t reached(bk_solver *solver, int level)
{
    return bk_problem_sum(solver->problem, level, solver->solution + 1);
}

static void lean_to_solution(bk_solver *solver)
{
    for (int32_t v = 0; v < solver->sides / 2; v++)
        solver->guide[v] = solver->solution[v];
    solver->guided = true;
}

static void tell(bk_solver *solver, int level, int64_t best, int64_t bound)
{
    if (solver->options->progress)
        solver->options->progress(solver->options->progress_context, level, best, bound);
}

bool bk_minimise(bk_solver *solver, int level, const bk_objective *objective, int64_t *bound)
{
    int64_t best = reached(solver, level);
    int32_t side = objective->side;
    if (side < 0) {
        *bound = best;
        return true;
    }
    bk_backtrack(solver, 0);
    lean_to_solution(solver);
    for (;;) {
        *bound = objective->offset + solver->bound[side];
        tell(solver, level, best, *bound);
        if (*bound >= best)
            break;
        bk_literal better = {side ^ 1, -(int32_t)(best - 1 - objective->offset)};
        enum bk_outcome outcome = bk_search(solver, &better, 1, INT64_MAX);
        if (outcome == BK_LIMIT)
            return false;
        if (outcome == BK_FOUND) {
            best = reached(solver, level);
            bk_backtrack(solver, 0);
            lean_to_solution(solver);
            continue;
        }
        bk_backtrack(solver, 0);
        if (solver->core.count == 0) {
            *bound = best;
            break;
        }
        /* "at most u" failed: at least u + 1 */
        if (!bk_raise_root(solver, bk_not(solver->core.at[0])))
            break;
    }
    *bound = best;
    return bk_raise_root(solver,
                         (bk_literal){side ^ 1, -(int32_t)(best - objective->offset)});
}

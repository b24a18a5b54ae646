/* What a level minimises, as one side of one variable. */
#include "engine/objective.h"

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
    int32_t variable = bk_variable_new(solver, 0, 1, BK_REST);
    bk_literal clause[2] = {bk_not(literal), {2 * variable, 1}};
    bk_clause_given(solver, clause, 2);
    return variable;
}

bk_objective bk_objective_new(bk_solver *solver, int level)
{
    const bk_problem *problem = solver->problem;
    bk_objective objective = {.side = -1};
    size_t most = (size_t)solver->trail.sides / 2 + problem->cost_count;
    int64_t *weight = bk_memory_new(&solver->memory, most, sizeof *weight);
    bk_ints used = {NULL, 0, 0};
    for (size_t i = 0; i < problem->cost_count; i++) {
        const bk_cost *cost = &problem->costs[i];
        if (cost->level != level)
            continue;
        if (!cost->conditional) {
            if (cost->var != BK_CONSTANT)
                add_term(solver, weight, &used, bk_variable_of(cost->var), cost->weight);
            continue;
        }
        bk_literal literal = bk_literal_of(cost->bound);
        int32_t variable = literal.side / 2;
        if (bk_is_true(solver, literal)) {
            objective.offset += cost->weight;
        } else if (bk_is_false(solver, literal)) {
            continue;
        } else if (bk_lb(solver, 2 * variable) == 0 && bk_ub(solver, 2 * variable) == 1) {
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
    int64_t least = 0, greatest = 0;
    for (int32_t i = 0; i < used.count; i++) {
        int32_t variable = used.at[i];
        int64_t w = weight[variable];
        weight[variable] = 0; /* a variable may be in the list twice */
        if (w == 0)
            continue;
        bk_term term = {2 * variable + (w < 0), (int32_t)(w < 0 ? -w : w)};
        least += (int64_t)term.weight * solver->trail.lb[term.side];
        greatest -= (int64_t)term.weight * solver->trail.lb[term.side ^ 1];
        *BK_ADD(solver, objective.terms) = term;
    }
    if (objective.terms.count == 1 && objective.terms.at[0].weight == 1) {
        objective.side = objective.terms.at[0].side;
        bk_branch_as(solver, objective.side / 2, BK_REST);
    } else if (objective.terms.count > 0) {
        if (greatest >= BK_FAR) {
            greatest = BK_FAR - 1;
            solver->beyond = true;
        }
        if (least <= -BK_FAR || least > greatest) {
            solver->beyond = solver->impossible = true; /* no sum that could be told */
            least = greatest;
        }
        int32_t variable = bk_variable_new(solver, (int32_t)least, (int32_t)greatest, BK_REST);
        objective.side = 2 * variable;
        *BK_ADD(solver, objective.terms) = (bk_term){2 * variable + 1, 1};
        bk_linear_new(solver, objective.terms.at, objective.terms.count, 0);
        objective.terms.count--;
    }
    bk_memory_release(&solver->memory, used.at);
    bk_memory_release(&solver->memory, weight);
    return objective;
}

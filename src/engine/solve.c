/* One solve from problem to result. */
#include "engine/solver.h"

enum { FIRST_CONFLICTS = 2000, FIRST_WORK = 100000000, EASY = 2000 };

void bk_solver_begin(bk_solver *solver, bk_arena *arena, const bk_problem *problem,
                     const bk_solve_options *options)
{
    *solver = (bk_solver){.arena = arena, .problem = problem, .options = options};
    solver->limit = options->conflicts > 0 ? options->conflicts : INT64_MAX;
    solver->work_limit = options->work > 0 ? options->work : INT64_MAX;
    solver->atom_step = 1;
    solver->clause_step = 1;
    solver->width = 300;
    solver->random = 1;
}

static void take_solution(const bk_solver *solver, bk_result *result, int32_t *value, int64_t *sum)
{
    for (size_t i = 0; i < solver->problem->vars; i++)
        value[i] = solver->solution[i + 1];
    for (int level = 0; level < solver->problem->levels; level++)
        sum[level] = bk_problem_sum(solver->problem, level, value);
    result->value = value;
    result->sum = sum;
}

static void run(bk_solver *solver, bk_result *result, int32_t *value, int64_t *sum)
{
    int levels = solver->problem->levels;
    int32_t first_fact;
    result->status = BK_INFEASIBLE;
    result->complete = true;
    if (!bk_load(solver, false, &first_fact))
        return;
    bk_objective *objectives =
        bk_solver_new(solver, (size_t)levels + 1, sizeof *objectives);
    for (int level = 0; level < levels; level++)
        objectives[level] = bk_objective_new(solver, level);
    if (!bk_raise_root(solver, (bk_literal){0, 0}))
        return;
    if (solver->options->hint) {
        for (size_t i = 0; i < solver->problem->vars; i++)
            solver->guide[i + 1] = solver->options->hint[i];
        solver->guided = true;
    }
    struct bk_lists *lists = levels > 0 ? bk_lists_new(solver, &objectives[0]) : NULL;
    if (!bk_keep_apart(solver, objectives, levels))
        return;
    /* A first answer is worth some conflicts however few were granted. */
    int64_t granted = solver->limit, granted_work = solver->work_limit;
    if (solver->limit < FIRST_CONFLICTS)
        solver->limit = FIRST_CONFLICTS;
    if (solver->work_limit < FIRST_WORK)
        solver->work_limit = FIRST_WORK;
    enum bk_outcome outcome = bk_search(solver, NULL, 0, INT64_MAX);
    solver->limit = granted;
    solver->work_limit = granted_work;
    if (outcome == BK_REFUTED)
        return;
    if (outcome == BK_FOUND)
        bk_keep_solution(solver);
    result->status = outcome == BK_FOUND ? BK_FEASIBLE : BK_UNKNOWN;
    bool proved = outcome == BK_FOUND;
    for (int level = 0; level < levels; level++) {
        if (proved && !solver->options->first_only) {
            proved = bk_minimise(solver, level, &objectives[level],
                                 level == 0 ? lists : NULL, &result->bound[level]);
            continue;
        }
        proved = false;
        bk_backtrack(solver, 0);
        result->bound[level] = objectives[level].offset;
        if (objectives[level].side >= 0)
            result->bound[level] += solver->bound[objectives[level].side];
    }
    if (outcome == BK_FOUND) {
        take_solution(solver, result, value, sum);
        for (int level = 0; level < levels && !proved; level++)
            if (result->bound[level] < sum[level])
                break;
            else if (level == levels - 1)
                proved = true;
        if (proved)
            result->status = BK_OPTIMAL;
    }
    result->complete = proved;
}

bk_result bk_solve(bk_arena *arena, const bk_problem *problem, const bk_solve_options *options)
{
    bk_solve_options none = {0};
    if (!options)
        options = &none;
    /* All of the result's room first: after this the arena cannot fail while the
     * solver holds memory, except through the solver itself. */
    bk_result result = {0};
    int32_t *value = BK_NEW(arena, int32_t, problem->vars);
    int64_t *sum = BK_NEW(arena, int64_t, problem->levels);
    result.bound = BK_NEW(arena, int64_t, problem->levels);
    size_t facts = options->explain ? options->facts : 0;
    bk_core_room room = {BK_NEW(arena, bool, facts), BK_NEW(arena, bool, facts),
                         BK_NEW(arena, int, facts)};
    int *core = BK_NEW(arena, int, facts);
    bk_solver *solver = BK_NEW(arena, bk_solver, 1);

    bk_solver_begin(solver, arena, problem, options);
    run(solver, &result, value, sum);
    result.conflicts = solver->conflicts;
    bk_solver_free(solver);
    if (result.value && !bk_problem_check(problem, result.value, NULL, NULL) && !options->dropped) {
        result.value = NULL;
        result.sum = NULL;
        result.status = BK_UNKNOWN;
        result.complete = false;
    }
    if (result.status == BK_INFEASIBLE && options->explain) {
        bk_name_core(solver, arena, problem, options, &room, &result, result.conflicts <= EASY);
        result.core = core;
        for (size_t f = 0; f < options->facts; f++)
            if (room.used[f])
                core[result.core_count++] = (int)f;
    }
    return result;
}

/* One solve from problem to result. */
#include "engine/core.h"
#include "engine/load.h"
#include "engine/optimise.h"
#include "engine/tied_groups.h"

enum { FIRST_CONFLICTS = 2000, FIRST_WORK = 100000000, FIRST_WORK_A_VARIABLE = 2000 };

void bk_solver_begin(bk_solver *solver, bk_arena *arena, const bk_problem *problem,
                     const bk_solve_options *options)
{
    *solver = (bk_solver){
        .problem = problem, .options = options, .neighbourhood_width = 300, .level = -1};
    solver->memory.arena = arena;
    solver->effort.conflict_limit = options->conflicts > 0 ? options->conflicts : INT64_MAX;
    solver->effort.work_limit = options->work > 0 ? options->work : INT64_MAX;
    solver->activity.step = 1;
    solver->clauses.step = 1;
    solver->random.state = 1;
}

/* What one solve goes through. */
typedef struct solving {
    bk_solver *solver;
    bk_result *result;
    bk_objective *objectives; /* by level */
    int levels;
    struct bk_lists *lists; /* or NULL */
    int32_t *value;         /* room for the result */
    int64_t *sum;
} solving;

/* Constraints, then what each level minimises. False when impossible. */
static bool load(solving *s)
{
    if (!bk_load(s->solver, false))
        return false;
    s->objectives = bk_memory_new(&s->solver->memory, (size_t)s->levels + 1, sizeof *s->objectives);
    for (int level = 0; level < s->levels; level++)
        s->objectives[level] = bk_objective_new(s->solver, level);
    return bk_settle_root(s->solver);
}

static void take_hint(bk_solver *solver)
{
    if (!solver->options->hint)
        return;
    for (size_t i = 0; i < solver->problem->vars; i++)
        solver->branching.phase[i + 1] = solver->options->hint[i];
    solver->branching.phases_kept = true;
}

/* A first answer is worth some conflicts however few were granted. */
static enum bk_outcome first_solution(bk_solver *solver)
{
    bk_effort *effort = &solver->effort;
    int64_t granted = effort->conflict_limit, granted_work = effort->work_limit;
    if (effort->conflict_limit < FIRST_CONFLICTS)
        effort->conflict_limit = FIRST_CONFLICTS;
    int64_t work = FIRST_WORK + FIRST_WORK_A_VARIABLE * (int64_t)solver->problem->vars;
    if (effort->work_limit < work)
        effort->work_limit = work;
    enum bk_outcome outcome = bk_search_first(solver, INT64_MAX);
    effort->conflict_limit = granted;
    effort->work_limit = granted_work;
    if (outcome == BK_FOUND)
        bk_keep_solution(solver);
    return outcome;
}

/* The level's lower bound as the root knows it. */
static int64_t root_lb(bk_solver *solver, const bk_objective *objective)
{
    bk_backtrack(solver, 0);
    return objective->offset + (objective->side >= 0 ? solver->trail.lb[objective->side] : 0);
}

/* One level after the other, as far as the limits let each be proved. True when all are. */
static bool optimise(solving *s)
{
    bool proved = !s->solver->options->first_only;
    for (int level = 0; level < s->levels; level++) {
        int64_t *bound = &s->result->bound[level];
        if (proved)
            proved = bk_optimise(s->solver, level, &s->objectives[level],
                                 level == 0 ? s->lists : NULL, bound);
        else
            *bound = root_lb(s->solver, &s->objectives[level]);
    }
    return proved;
}

static void take_solution(solving *s)
{
    const bk_problem *problem = s->solver->problem;
    for (size_t i = 0; i < problem->vars; i++)
        s->value[i] = s->solver->solution[i + 1];
    for (int level = 0; level < s->levels; level++)
        s->sum[level] = bk_problem_sum(problem, level, s->value);
    s->result->value = s->value;
    s->result->sum = s->sum;
}

/* Bounds that the sums meet are a proof, too. */
static bool bounds_met(const solving *s)
{
    for (int level = 0; level < s->levels; level++)
        if (s->result->bound[level] < s->sum[level])
            return false;
    return true;
}

static void run(solving *s)
{
    bk_solver *solver = s->solver;
    bk_result *result = s->result;
    if (bk_is_called_off(solver->options->onlooker)) {
        result->status = BK_UNKNOWN;
        return;
    }
    result->status = BK_INFEASIBLE;
    result->complete = true;
    if (!load(s))
        return;
    solver->effort.loaded = true;
    take_hint(solver);
    s->lists = s->levels > 0 ? bk_lists_new(solver, &s->objectives[0]) : NULL;
    if (!bk_add_disjunctions(solver, s->objectives, s->levels))
        return;
    enum bk_outcome outcome = first_solution(solver);
    if (outcome == BK_REFUTED)
        return;
    if (outcome == BK_LIMIT) {
        result->status = BK_UNKNOWN;
        result->complete = false;
        for (int level = 0; level < s->levels; level++)
            result->bound[level] = root_lb(solver, &s->objectives[level]);
        return;
    }
    bool proved = optimise(s);
    take_solution(s);
    result->complete = proved || bounds_met(s);
    result->status = result->complete ? BK_OPTIMAL : BK_FEASIBLE;
}

typedef struct checking {
    const bk_solve_options *options;
    bool fault;
} checking;

/* What breaks a constraint that was left out is no fault: go on. */
static bool is_left_out(void *context, const bk_broken *broken)
{
    checking *check = context;
    const bk_solve_options *options = check->options;
    check->fault = broken->fact < 0 || !options->dropped ||
                   (size_t)broken->fact >= options->facts || !options->dropped[broken->fact];
    return !check->fault;
}

/* The answer, checked by code that shares nothing with the search. */
static bool stands(const bk_problem *problem, const bk_solve_options *options, const int32_t *value)
{
    checking check = {.options = options};
    if (!bk_problem_check(problem, value, is_left_out, &check) && check.fault)
        return false;
    return !options->accept || options->accept(options->accept_context, value);
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
                         BK_NEW(arena, bool, facts), BK_NEW(arena, int, facts)};
    int *core = BK_NEW(arena, int, facts);
    bk_solver *solver = BK_NEW(arena, bk_solver, 1);

    bk_solver_begin(solver, arena, problem, options);
    solving s = {
        .solver = solver, .result = &result, .levels = problem->levels, .value = value, .sum = sum};
    run(&s);
    if (result.status == BK_INFEASIBLE && solver->beyond) {
        result.status = BK_UNKNOWN;
        result.complete = false;
    }
    bk_effort spent = solver->effort;
    result.conflicts = spent.conflicts;
    bk_memory_free(&solver->memory);
    if (result.value && !stands(problem, options, result.value)) {
        result.value = NULL;
        result.sum = NULL;
        result.status = BK_WRONG;
        result.complete = false;
    }
    if (result.status == BK_INFEASIBLE && options->explain) {
        bk_find_core(solver, arena, problem, options, &room, &result, &spent);
        result.core = core;
        for (size_t f = 0; f < options->facts; f++)
            if (room.used[f])
                core[result.core_count++] = (int)f;
    }
    return result;
}

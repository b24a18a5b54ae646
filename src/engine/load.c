/* From the problem to the solver: constraint by constraint, then the root to its fixed point. */
#include "engine/load.h"

#include "engine/relations.h"

typedef struct loading {
    bk_solver *solver;
    bool facts;
    /* plain lags, before they are sorted by side */
    BK_VECTOR(bk_conditional) plain;
    bk_point *fixed; /* by variable: what it always is, in terms of one of a smaller number */
} loading;

static bk_literal fact_literal(const loading *load, int fact)
{
    if (fact < 0 || !load->facts || (size_t)fact >= load->solver->options->facts)
        return (bk_literal){-1, 0};
    return (bk_literal){2 * bk_fact_variable(load->solver, (size_t)fact), 1};
}

static void add_lag(loading *load, int32_t from, int32_t to, int32_t least, const bk_literal *when,
                    int32_t count)
{
    bk_solver *solver = load->solver;
    if (count == 0 && from != to) {
        *BK_ADD(solver, load->plain) = (bk_conditional){.from = from, .to = to, .weight = least};
        return;
    }
    if (from == to) {
        if (least <= 0)
            return;
        bk_literals never = {NULL, 0, 0};
        for (int32_t i = 0; i < count; i++)
            *BK_ADD(solver, never) = bk_not(when[i]);
        if (!bk_clause_given(solver, never.at, never.count))
            solver->impossible = true;
        bk_memory_release(&solver->memory, never.at);
        return;
    }
    bk_conditional_new(solver, from, to, least, when, count);
}

/* The ends of an interval on one variable, if its length is fixed. */
static void fix_length(const loading *load, bk_point *from, bk_point *to)
{
    if (from->var == BK_CONSTANT || to->var == BK_CONSTANT || from->var == to->var)
        return;
    bk_point one = load->fixed[from->var], other = load->fixed[to->var];
    if (one.var != other.var)
        return;
    *from = (bk_point){one.var, one.plus + from->plus};
    *to = (bk_point){other.var, other.plus + to->plus};
}

static void load_lag(loading *load, const bk_constraint *given)
{
    bk_solver *solver = load->solver;
    bk_literals when = {NULL, 0, 0};
    bool never = false;
    for (size_t i = 0; i < given->count; i++) {
        bk_literal condition = bk_literal_of(solver->problem->bounds[given->first + i]);
        never = never || bk_is_false(solver, condition);
        if (!bk_is_true(solver, condition))
            *BK_ADD(solver, when) = condition;
    }
    bk_literal fact = fact_literal(load, given->fact);
    if (fact.side >= 0)
        *BK_ADD(solver, when) = fact;
    if (!never)
        add_lag(load, 2 * bk_variable_of(given->from), 2 * bk_variable_of(given->to), given->amount,
                when.at, when.count);
    bk_memory_release(&solver->memory, when.at);
}

static void load_clause(loading *load, const bk_constraint *given)
{
    bk_solver *solver = load->solver;
    bk_literals literals = {NULL, 0, 0};
    for (size_t i = 0; i < given->count; i++)
        *BK_ADD(solver, literals) = bk_literal_of(solver->problem->bounds[given->first + i]);
    bk_literal fact = fact_literal(load, given->fact);
    if (fact.side >= 0)
        *BK_ADD(solver, literals) = bk_not(fact);
    if (!bk_clause_given(solver, literals.at, literals.count))
        solver->impossible = true;
    bk_memory_release(&solver->memory, literals.at);
}

/* A use over the whole capacity has to be absent or empty. */
static void load_oversize(loading *load, const bk_use *use, bk_literal fact)
{
    bk_literal when[2];
    int32_t count = 0;
    if (use->present != BK_ALWAYS)
        when[count++] = (bk_literal){2 * bk_variable_of(use->present), 1};
    if (fact.side >= 0)
        when[count++] = fact;
    add_lag(load, 2 * bk_variable_of(use->to.var), 2 * bk_variable_of(use->from.var),
            use->to.plus - use->from.plus, when, count);
}

static void wake_on_tasks(bk_solver *solver, const bk_cumulative *cumulative, int32_t propagator)
{
    for (int32_t i = cumulative->first; i < cumulative->first + cumulative->count; i++) {
        const bk_task *task = &solver->resources.tasks.at[i];
        *BK_ADD(solver, solver->queue.wakes[task->from ^ 1]) = propagator;
        *BK_ADD(solver, solver->queue.wakes[task->to]) = propagator;
        if (task->from != task->to) {
            *BK_ADD(solver, solver->queue.wakes[task->from]) = propagator;
            *BK_ADD(solver, solver->queue.wakes[task->to ^ 1]) = propagator;
        }
        if (task->present.side >= 0)
            *BK_ADD(solver, solver->queue.wakes[task->present.side]) = propagator;
    }
}

static void load_cumulative(loading *load, const bk_constraint *given)
{
    bk_solver *solver = load->solver;
    bk_cumulative cumulative = {.capacity = given->amount,
                                .first = solver->resources.tasks.count,
                                .fact = fact_literal(load, given->fact),
                                .table = -1};
    int32_t index = solver->resources.cumulatives.count;
    int32_t propagator = bk_propagator_new(solver, BK_RUN_TIMETABLE, index);
    int64_t total = 0;
    for (size_t i = 0; i < given->count; i++) {
        bk_use use = solver->problem->uses[given->first + i];
        fix_length(load, &use.from, &use.to);
        if (use.amount <= 0 || (use.from.var == use.to.var && use.to.plus <= use.from.plus))
            continue;
        bk_task task = {.from = 2 * bk_variable_of(use.from.var),
                        .from_plus = use.from.plus,
                        .to = 2 * bk_variable_of(use.to.var),
                        .to_plus = use.to.plus,
                        .amount = use.amount,
                        .present = {-1, 0},
                        .cumulative = index};
        if (use.present != BK_ALWAYS) {
            task.present = (bk_literal){2 * bk_variable_of(use.present), 1};
            if (bk_is_false(solver, task.present))
                continue;
        }
        if (use.amount > given->amount) {
            load_oversize(load, &use, cumulative.fact);
            continue;
        }
        total += use.amount;
        if (use.amount > cumulative.most)
            cumulative.most = use.amount;
        bk_task_new(solver, task);
    }
    cumulative.count = solver->resources.tasks.count - cumulative.first;
    *BK_ADD(solver, solver->resources.cumulatives) = cumulative;
    if (total <= given->amount)
        return; /* never full */
    wake_on_tasks(solver, &cumulative, propagator);
    wake_on_tasks(solver, &cumulative, bk_propagator_new(solver, BK_RUN_EDGE_FINDING, index));
}

static int32_t hole_table(loading *load, const bk_constraint *given)
{
    bk_solver *solver = load->solver;
    for (int32_t i = 0; i < solver->holes.tables.count; i++)
        if (solver->holes.tables.at[i].holes == given->holes &&
            solver->holes.tables.at[i].given == given->hole_count)
            return i;
    bk_hole_table table = {
        .holes = given->holes, .given = given->hole_count, .first = solver->holes.from.count};
    int32_t reach = INT32_MIN;
    for (size_t i = 0; i < given->hole_count; i++) {
        bk_hole hole = given->holes[i];
        if (hole.from >= hole.to || bk_is_dropped(solver, hole.fact))
            continue;
        if (hole.to > reach)
            reach = hole.to;
        *BK_ADD(solver, solver->holes.from) = hole.from;
        *BK_ADD(solver, solver->holes.to) = hole.to;
        *BK_ADD(solver, solver->holes.reach) = reach;
        *BK_ADD(solver, solver->holes.fact) = fact_literal(load, hole.fact);
    }
    table.count = solver->holes.from.count - table.first;
    *BK_ADD(solver, solver->holes.tables) = table;
    return solver->holes.tables.count - 1;
}

static void load_holes(loading *load, const bk_constraint *given)
{
    bk_solver *solver = load->solver;
    bk_point from = solver->problem->points[given->first];
    bk_point to = solver->problem->points[given->first + 1];
    fix_length(load, &from, &to);
    if (from.var == to.var && to.plus <= from.plus)
        return;
    bk_interval interval = {.from = 2 * bk_variable_of(from.var),
                            .from_plus = from.plus,
                            .to = 2 * bk_variable_of(to.var),
                            .to_plus = to.plus,
                            .table = hole_table(load, given)};
    int32_t propagator = bk_propagator_new(solver, BK_RUN_HOLES, solver->holes.intervals.count);
    *BK_ADD(solver, solver->holes.intervals) = interval;
    *BK_ADD(solver, solver->queue.wakes[interval.from]) = propagator;
    *BK_ADD(solver, solver->queue.wakes[interval.from ^ 1]) = propagator;
    if (interval.from != interval.to) {
        *BK_ADD(solver, solver->queue.wakes[interval.to]) = propagator;
        *BK_ADD(solver, solver->queue.wakes[interval.to ^ 1]) = propagator;
    }
}

static void load_minimum(loading *load, const bk_constraint *given)
{
    bk_solver *solver = load->solver;
    bk_minimum minimum = {.bottom = 2 * bk_variable_of(given->from),
                          .first = solver->minimums.points.count,
                          .fact = fact_literal(load, given->fact)};
    int32_t propagator = bk_propagator_new(solver, BK_RUN_MINIMUM, solver->minimums.list.count);
    for (size_t i = 0; i < given->count; i++) {
        bk_point point = solver->problem->points[given->first + i];
        bk_side_point kept = {2 * bk_variable_of(point.var), point.plus};
        bool again = false;
        for (int32_t k = minimum.first; k < solver->minimums.points.count && !again; k++)
            if (solver->minimums.points.at[k].side == kept.side) {
                again = true;
                if (solver->minimums.points.at[k].plus > kept.plus)
                    solver->minimums.points.at[k].plus = kept.plus;
            }
        add_lag(load, minimum.bottom, kept.side, -point.plus, &minimum.fact,
                minimum.fact.side >= 0);
        if (again)
            continue;
        *BK_ADD(solver, solver->minimums.points) = kept;
        *BK_ADD(solver, solver->queue.wakes[kept.side]) = propagator;
    }
    minimum.count = solver->minimums.points.count - minimum.first;
    *BK_ADD(solver, solver->queue.wakes[minimum.bottom ^ 1]) = propagator;
    *BK_ADD(solver, solver->minimums.list) = minimum;
}

/* Sorts the plain lags by the side they leave; each serves both ways. */
static void place_arcs(loading *load)
{
    bk_solver *solver = load->solver;
    solver->lags.sides = solver->trail.sides;
    solver->lags.first =
        bk_memory_new(&solver->memory, (size_t)solver->trail.sides + 2, sizeof *solver->lags.first);
    solver->lags.arcs = bk_memory_new(&solver->memory, 2 * (size_t)load->plain.count + 1,
                                      sizeof *solver->lags.arcs);
    int32_t *first = solver->lags.first + 1;
    for (int32_t i = 0; i < load->plain.count; i++) {
        first[load->plain.at[i].from + 1]++;
        first[(load->plain.at[i].to ^ 1) + 1]++;
    }
    for (int32_t s = 1; s <= solver->trail.sides; s++)
        first[s] += first[s - 1];
    /* first[s] is where side s begins; filling moves it to where s + 1 begins */
    for (int32_t i = 0; i < load->plain.count; i++) {
        bk_conditional lag = load->plain.at[i];
        solver->lags.arcs[first[lag.from]++] = (bk_arc){lag.to, lag.weight};
        solver->lags.arcs[first[lag.to ^ 1]++] = (bk_arc){lag.from ^ 1, lag.weight};
    }
    bk_memory_release(&solver->memory, load->plain.at);
}

/* Every lag once, so that the root starts from a fixed point of all of them. */
static bool propagate_lags(bk_solver *solver)
{
    if (!bk_propagate_longest_paths(solver))
        return false;
    for (int32_t i = 0; i < solver->lags.conditionals.count; i++)
        if (!bk_propagate_conditional(solver, i))
            return false;
    return true;
}

/* Lags and clauses to their fixed point, then what the paths between all variables settle, and
 * only then what would find out the same a little later on the clock each time. */
static bool propagate_root(bk_solver *solver, bool facts)
{
    solver->queue.held = true;
    bool fine = propagate_lags(solver) && bk_propagate(solver) &&
                (facts || (bk_settle_relations(solver) && bk_propagate(solver)));
    solver->queue.held = false;
    if (!fine)
        return false;
    bk_wake_all(solver);
    return bk_propagate(solver);
}

bool bk_load(bk_solver *solver, bool facts)
{
    const bk_problem *problem = solver->problem;
    loading load = {.solver = solver, .facts = facts};
    bk_new_level(solver); /* level 0 */
    bk_variable_new(solver, 0, 0, BK_STARTS);
    for (size_t i = 0; i < problem->vars; i++) {
        bool boolean = problem->least[i] == 0 && problem->most[i] == 1;
        bk_variable_new(solver, problem->least[i], problem->most[i],
                        boolean ? BK_BOOLEANS : BK_STARTS);
    }
    for (size_t f = 0; facts && f < solver->options->facts; f++)
        bk_variable_new(solver, 0, 1, BK_REST);
    if (solver->impossible)
        return false;
    load.fixed = bk_fixed_differences(solver, facts);
    for (size_t i = 0; i < problem->constraint_count && !solver->impossible; i++) {
        const bk_constraint *given = &problem->constraints[i];
        if (bk_is_dropped(solver, given->fact))
            continue;
        switch (given->kind) {
        case BK_IS_LAG:
            load_lag(&load, given);
            break;
        case BK_IS_CUMULATIVE:
            load_cumulative(&load, given);
            break;
        case BK_IS_HOLES:
            load_holes(&load, given);
            break;
        case BK_IS_MINIMUM:
            load_minimum(&load, given);
            break;
        case BK_IS_CLAUSE:
            load_clause(&load, given);
            break;
        }
    }
    if (solver->impossible)
        return false;
    bk_memory_release(&solver->memory, load.fixed);
    place_arcs(&load);
    bk_share_holes(solver);
    bk_own_choices(solver);
    if (!propagate_root(solver, facts))
        solver->impossible = true;
    return !solver->impossible && bk_settle_root(solver);
}

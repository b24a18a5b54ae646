/* From the problem to the solver's constraints. */
#include "engine/solver.h"

#include <stdlib.h>

typedef struct loading {
    bk_solver *solver;
    bool facts;
    int32_t first_fact;
    /* plain lags, before they are sorted by side */
    BK_VECTOR(bk_conditional) plain;
    bk_point *fixed; /* by variable: what it always is, in terms of one of a smaller number */
} loading;

static int32_t variable(bk_var var)
{
    return var == BK_CONSTANT ? 0 : var + 1;
}

static bk_literal literal_of(bk_bound bound)
{
    int32_t side = 2 * variable(bound.var);
    return bound.at_least ? (bk_literal){side, bound.value} : (bk_literal){side + 1, -bound.value};
}

static bool dropped(const bk_solver *solver, int fact)
{
    const bk_solve_options *options = solver->options;
    return fact >= 0 && options->dropped && (size_t)fact < options->facts && options->dropped[fact];
}

static bk_literal fact_literal(const loading *load, int fact)
{
    if (fact < 0 || !load->facts || (size_t)fact >= load->solver->options->facts)
        return (bk_literal){-1, 0};
    return (bk_literal){2 * (load->first_fact + fact), 1};
}

static void add_lag(loading *load, int32_t from, int32_t to, int32_t least,
                    const bk_literal *when, int32_t count)
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
        bk_solver_release(solver, never.at);
        return;
    }
    bk_conditional_new(solver, from, to, least, when, count);
}

/* ------------------------------------------------ fixed differences */

/* A lag between two variables, as a bound of high - low. */
typedef struct difference {
    bk_var low, high;
    int32_t bound;
    bool at_least;
} difference;

static int by_variables(const void *a, const void *b)
{
    const difference *x = a, *y = b;
    if (x->high != y->high)
        return x->high < y->high ? -1 : 1;
    return (x->low > y->low) - (x->low < y->low);
}

/* Where lags leave a difference no choice, an interval between the two has a fixed
 * length, and gets the stronger treatment. */
static void find_fixed(loading *load)
{
    bk_solver *solver = load->solver;
    const bk_problem *problem = solver->problem;
    BK_VECTOR(difference) list = {NULL, 0, 0};
    load->fixed = bk_solver_new(solver, problem->vars + 1, sizeof *load->fixed);
    for (size_t v = 0; v < problem->vars; v++)
        load->fixed[v] = (bk_point){(bk_var)v, 0};
    for (size_t i = 0; i < problem->constraint_count; i++) {
        const bk_constraint *lag = &problem->constraints[i];
        if (lag->kind != BK_IS_LAG || lag->count > 0 || lag->from == lag->to ||
            lag->from == BK_CONSTANT || lag->to == BK_CONSTANT || dropped(solver, lag->fact) ||
            fact_literal(load, lag->fact).side >= 0)
            continue;
        bool up = lag->from < lag->to;
        *BK_ADD(solver, list) = (difference){.low = up ? lag->from : lag->to,
                                             .high = up ? lag->to : lag->from,
                                             .bound = up ? lag->amount : -lag->amount,
                                             .at_least = up};
    }
    if (list.count > 0)
        qsort(list.at, (size_t)list.count, sizeof *list.at, by_variables);
    for (int32_t i = 0; i < list.count;) {
        bk_var low = list.at[i].low, high = list.at[i].high;
        int32_t least = INT32_MIN, most = INT32_MAX;
        for (; i < list.count && list.at[i].low == low && list.at[i].high == high; i++)
            if (list.at[i].at_least && list.at[i].bound > least)
                least = list.at[i].bound;
            else if (!list.at[i].at_least && list.at[i].bound < most)
                most = list.at[i].bound;
        if (least == most && load->fixed[high].var == high)
            load->fixed[high] = (bk_point){load->fixed[low].var, load->fixed[low].plus + least};
    }
    bk_solver_release(solver, list.at);
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
        bk_literal condition = literal_of(solver->problem->bounds[given->first + i]);
        never = never || bk_is_false(solver, condition);
        if (!bk_is_true(solver, condition))
            *BK_ADD(solver, when) = condition;
    }
    bk_literal fact = fact_literal(load, given->fact);
    if (fact.side >= 0)
        *BK_ADD(solver, when) = fact;
    if (!never)
        add_lag(load, 2 * variable(given->from), 2 * variable(given->to), given->amount, when.at,
                when.count);
    bk_solver_release(solver, when.at);
}

static void load_clause(loading *load, const bk_constraint *given)
{
    bk_solver *solver = load->solver;
    bk_literals literals = {NULL, 0, 0};
    for (size_t i = 0; i < given->count; i++)
        *BK_ADD(solver, literals) = literal_of(solver->problem->bounds[given->first + i]);
    bk_literal fact = fact_literal(load, given->fact);
    if (fact.side >= 0)
        *BK_ADD(solver, literals) = bk_not(fact);
    if (!bk_clause_given(solver, literals.at, literals.count))
        solver->impossible = true;
    bk_solver_release(solver, literals.at);
}

/* A use over the whole capacity has to be absent or empty. */
static void load_oversize(loading *load, const bk_use *use, bk_literal fact)
{
    bk_literal when[2];
    int32_t count = 0;
    if (use->present != BK_ALWAYS)
        when[count++] = (bk_literal){2 * variable(use->present), 1};
    if (fact.side >= 0)
        when[count++] = fact;
    add_lag(load, 2 * variable(use->to.var), 2 * variable(use->from.var),
            use->to.plus - use->from.plus, when, count);
}

static void wake_on_tasks(bk_solver *solver, const bk_cumulative *cumulative, int32_t propagator)
{
    for (int32_t i = cumulative->first; i < cumulative->first + cumulative->count; i++) {
        const bk_task *task = &solver->tasks.at[i];
        *BK_ADD(solver, solver->wakes[task->from ^ 1]) = propagator;
        *BK_ADD(solver, solver->wakes[task->to]) = propagator;
        if (task->from != task->to) {
            *BK_ADD(solver, solver->wakes[task->from]) = propagator;
            *BK_ADD(solver, solver->wakes[task->to ^ 1]) = propagator;
        }
        if (task->present.side >= 0)
            *BK_ADD(solver, solver->wakes[task->present.side]) = propagator;
    }
}

static void load_cumulative(loading *load, const bk_constraint *given)
{
    bk_solver *solver = load->solver;
    bk_cumulative cumulative = {.capacity = given->amount,
                                .first = solver->tasks.count,
                                .fact = fact_literal(load, given->fact),
                                .table = -1};
    int32_t index = solver->cumulatives.count;
    int32_t propagator = bk_propagator_new(solver, BK_RUN_CUMULATIVE, index);
    int64_t total = 0;
    for (size_t i = 0; i < given->count; i++) {
        bk_use fitted = solver->problem->uses[given->first + i];
        const bk_use *use = &fitted;
        fix_length(load, &fitted.from, &fitted.to);
        if (use->amount <= 0 ||
            (use->from.var == use->to.var && use->to.plus <= use->from.plus))
            continue;
        bk_task task = {.from = 2 * variable(use->from.var),
                        .from_plus = use->from.plus,
                        .to = 2 * variable(use->to.var),
                        .to_plus = use->to.plus,
                        .amount = use->amount,
                        .present = {-1, 0},
                        .cumulative = index};
        if (use->present != BK_ALWAYS) {
            task.present = (bk_literal){2 * variable(use->present), 1};
            if (bk_is_false(solver, task.present))
                continue;
        }
        if (use->amount > given->amount) {
            load_oversize(load, use, cumulative.fact);
            continue;
        }
        total += use->amount;
        bk_task_new(solver, task);
    }
    cumulative.count = solver->tasks.count - cumulative.first;
    *BK_ADD(solver, solver->cumulatives) = cumulative;
    if (total <= given->amount)
        return; /* never full */
    wake_on_tasks(solver, &cumulative, propagator);
    wake_on_tasks(solver, &cumulative,
                  bk_propagator_new(solver, BK_RUN_ENERGY, index));
}

static int32_t hole_table(loading *load, const bk_constraint *given)
{
    bk_solver *solver = load->solver;
    for (int32_t i = 0; i < solver->tables.count; i++)
        if (solver->tables.at[i].holes == given->holes &&
            solver->tables.at[i].given == given->hole_count)
            return i;
    bk_hole_table table = {
        .holes = given->holes, .given = given->hole_count, .first = solver->hole_from.count};
    int32_t reach = INT32_MIN;
    for (size_t i = 0; i < given->hole_count; i++) {
        bk_hole hole = given->holes[i];
        if (hole.from >= hole.to || dropped(solver, hole.fact))
            continue;
        if (hole.to > reach)
            reach = hole.to;
        *BK_ADD(solver, solver->hole_from) = hole.from;
        *BK_ADD(solver, solver->hole_to) = hole.to;
        *BK_ADD(solver, solver->hole_reach) = reach;
        *BK_ADD(solver, solver->hole_fact) = fact_literal(load, hole.fact);
    }
    table.count = solver->hole_from.count - table.first;
    *BK_ADD(solver, solver->tables) = table;
    return solver->tables.count - 1;
}

static void load_holes(loading *load, const bk_constraint *given)
{
    bk_solver *solver = load->solver;
    bk_point from = solver->problem->points[given->first];
    bk_point to = solver->problem->points[given->first + 1];
    fix_length(load, &from, &to);
    if (from.var == to.var && to.plus <= from.plus)
        return;
    bk_interval interval = {.from = 2 * variable(from.var),
                            .from_plus = from.plus,
                            .to = 2 * variable(to.var),
                            .to_plus = to.plus,
                            .table = hole_table(load, given)};
    int32_t propagator = bk_propagator_new(solver, BK_RUN_HOLES, solver->intervals.count);
    *BK_ADD(solver, solver->intervals) = interval;
    *BK_ADD(solver, solver->wakes[interval.from]) = propagator;
    *BK_ADD(solver, solver->wakes[interval.from ^ 1]) = propagator;
    if (interval.from != interval.to) {
        *BK_ADD(solver, solver->wakes[interval.to]) = propagator;
        *BK_ADD(solver, solver->wakes[interval.to ^ 1]) = propagator;
    }
}

static void load_minimum(loading *load, const bk_constraint *given)
{
    bk_solver *solver = load->solver;
    bk_minimum minimum = {.bottom = 2 * variable(given->from),
                          .first = solver->points.count,
                          .fact = fact_literal(load, given->fact)};
    int32_t propagator = bk_propagator_new(solver, BK_RUN_MINIMUM, solver->minimums.count);
    for (size_t i = 0; i < given->count; i++) {
        bk_point point = solver->problem->points[given->first + i];
        bk_side_point kept = {2 * variable(point.var), point.plus};
        bool again = false;
        for (int32_t k = minimum.first; k < solver->points.count && !again; k++)
            if (solver->points.at[k].side == kept.side) {
                again = true;
                if (solver->points.at[k].plus > kept.plus)
                    solver->points.at[k].plus = kept.plus;
            }
        add_lag(load, minimum.bottom, kept.side, -point.plus, &minimum.fact,
                minimum.fact.side >= 0);
        if (again)
            continue;
        *BK_ADD(solver, solver->points) = kept;
        *BK_ADD(solver, solver->wakes[kept.side]) = propagator;
    }
    minimum.count = solver->points.count - minimum.first;
    *BK_ADD(solver, solver->wakes[minimum.bottom ^ 1]) = propagator;
    *BK_ADD(solver, solver->minimums) = minimum;
}

/* Sorts the plain lags by the side they leave; each serves both ways. */
static void place_arcs(loading *load)
{
    bk_solver *solver = load->solver;
    solver->arc_sides = solver->sides;
    solver->arc_first =
        bk_solver_new(solver, (size_t)solver->sides + 2, sizeof *solver->arc_first);
    solver->arcs = bk_solver_new(solver, 2 * (size_t)load->plain.count + 1, sizeof *solver->arcs);
    int32_t *first = solver->arc_first + 1;
    for (int32_t i = 0; i < load->plain.count; i++) {
        first[load->plain.at[i].from + 1 - 0]++;
        first[(load->plain.at[i].to ^ 1) + 1 - 0]++;
    }
    for (int32_t s = 1; s <= solver->sides; s++)
        first[s] += first[s - 1];
    /* first[s] is where side s begins; filling moves it to where s + 1 begins */
    for (int32_t i = 0; i < load->plain.count; i++) {
        bk_conditional lag = load->plain.at[i];
        solver->arcs[first[lag.from]++] = (bk_arc){lag.to, lag.weight};
        solver->arcs[first[lag.to ^ 1]++] = (bk_arc){lag.from ^ 1, lag.weight};
    }
    bk_solver_release(solver, load->plain.at);
}

/* Holes that every task of a cumulative keeps clear of take its capacity too. */
static void share_holes(bk_solver *solver)
{
    int32_t vars = solver->sides / 2;
    int32_t *interval = bk_solver_new(solver, (size_t)vars, sizeof *interval);
    int32_t largest = 0;
    for (int32_t i = 0; i < solver->intervals.count; i++)
        interval[solver->intervals.at[i].from / 2] = i + 1;
    for (int32_t c = 0; c < solver->cumulatives.count; c++) {
        bk_cumulative *cumulative = &solver->cumulatives.at[c];
        if (cumulative->count > largest)
            largest = cumulative->count;
        int32_t table = -1;
        for (int32_t i = 0; i < cumulative->count; i++) {
            const bk_task *task = &solver->tasks.at[cumulative->first + i];
            int32_t its = interval[task->from / 2] - 1;
            const bk_interval *clear = its < 0 ? NULL : &solver->intervals.at[its];
            if (!clear || clear->from != task->from || clear->to != task->to ||
                clear->from_plus > task->from_plus || clear->to_plus < task->to_plus ||
                (i > 0 && clear->table != table)) {
                table = -1;
                break;
            }
            table = clear->table;
        }
        cumulative->table = table;
    }
    bk_solver_release(solver, interval);
    bk_energy_room(solver, largest);
}

/* Whether a task is present is chosen right after its start. */
static void own_choices(bk_solver *solver)
{
    for (int32_t i = 0; i < solver->tasks.count; i++) {
        const bk_task *task = &solver->tasks.at[i];
        int32_t choice = task->present.side / 2;
        if (task->present.side < 0 || solver->owner[choice] ||
            solver->kind[choice] != BK_BOOLEANS || solver->kind[task->from / 2] != BK_STARTS)
            continue;
        solver->owner[choice] = task->from / 2;
    }
    bk_ints *booleans = &solver->open[BK_BOOLEANS];
    int32_t kept = 0;
    for (int32_t i = 0; i < booleans->count; i++) {
        int32_t v = booleans->at[i];
        if (solver->owner[v]) {
            solver->kind[v] = BK_STARTS;
            *BK_ADD(solver, solver->open[BK_STARTS]) = v;
        } else {
            booleans->at[kept++] = v;
        }
    }
    booleans->count = kept;
    solver->open_count[BK_BOOLEANS] = kept;
    solver->open_count[BK_STARTS] = solver->open[BK_STARTS].count;
}

/* Every lag once, so that the root starts from a fixed point of all of them. */
static bool run_all(bk_solver *solver)
{
    for (int32_t side = 0; side < solver->sides; side++)
        if (!bk_propagate_lags(solver, side, -1))
            return false;
    for (int32_t i = 0; i < solver->conditionals.count; i++)
        if (!bk_propagate_conditional(solver, i))
            return false;
    bk_wake_all(solver);
    return bk_propagate(solver);
}

bool bk_load(bk_solver *solver, bool facts, int32_t *first_fact)
{
    const bk_problem *problem = solver->problem;
    loading load = {.solver = solver, .facts = facts};
    bk_new_level(solver); /* level 0 */
    bk_solver_var(solver, 0, 0, BK_STARTS);
    for (size_t i = 0; i < problem->vars; i++) {
        bool boolean = problem->least[i] == 0 && problem->most[i] == 1;
        bk_solver_var(solver, problem->least[i], problem->most[i],
                      boolean ? BK_BOOLEANS : BK_STARTS);
    }
    load.first_fact = solver->sides / 2;
    for (size_t f = 0; facts && f < solver->options->facts; f++)
        bk_solver_var(solver, 0, 1, BK_REST);
    *first_fact = load.first_fact;
    if (solver->impossible)
        return false;
    find_fixed(&load);
    for (size_t i = 0; i < problem->constraint_count && !solver->impossible; i++) {
        const bk_constraint *given = &problem->constraints[i];
        if (dropped(solver, given->fact))
            continue;
        switch (given->kind) {
        case BK_IS_LAG: load_lag(&load, given); break;
        case BK_IS_CUMULATIVE: load_cumulative(&load, given); break;
        case BK_IS_HOLES: load_holes(&load, given); break;
        case BK_IS_MINIMUM: load_minimum(&load, given); break;
        case BK_IS_CLAUSE: load_clause(&load, given); break;
        }
    }
    if (solver->impossible)
        return false;
    bk_solver_release(solver, load.fixed);
    place_arcs(&load);
    share_holes(solver);
    own_choices(solver);
    if (!run_all(solver))
        solver->impossible = true;
    return !solver->impossible && bk_raise_root(solver, (bk_literal){0, 0});
}

/* Plain evaluation of an assignment. Shares no code with the solver, so that a
 * mistake there does not repeat here. */
#include "engine/problem.h"

typedef struct checking {
    const bk_problem *problem;
    const int32_t *value;
    bool (*each)(void *, const bk_broken *);
    void *context;
    bool valid, go_on;
} checking;

static void broken(checking *check, enum bk_broken_kind kind, int fact, bk_var a, bk_var b,
                   int32_t time)
{
    bk_broken found = {.kind = kind, .fact = fact, .a = a, .b = b, .time = time};
    check->valid = false;
    check->go_on = check->each && check->each(check->context, &found);
}

static int64_t at(const checking *check, bk_point point)
{
    return (point.var == BK_CONSTANT ? 0 : (int64_t)check->value[point.var]) + point.plus;
}

static bool holds(const checking *check, bk_bound bound)
{
    int32_t value = bound.var == BK_CONSTANT ? 0 : check->value[bound.var];
    return bound.at_least ? value >= bound.value : value <= bound.value;
}

static void check_lag(checking *check, const bk_constraint *lag)
{
    for (size_t i = 0; i < lag->count; i++)
        if (!holds(check, check->problem->bounds[lag->first + i]))
            return;
    bk_point from = {lag->from, 0}, to = {lag->to, 0};
    if (at(check, to) < at(check, from) + lag->amount)
        broken(check, BK_BROKEN_LAG, lag->fact, lag->from, lag->to, 0);
}

static bool there(const checking *check, const bk_use *use)
{
    return use->present == BK_ALWAYS || check->value[use->present] != 0;
}

static bool covers(const checking *check, const bk_use *use, int64_t time)
{
    return there(check, use) && at(check, use->from) <= time && time < at(check, use->to);
}

/* An overload begins where some use begins, so only starts need a look. */
static void check_cumulative(checking *check, const bk_constraint *cumulative)
{
    const bk_use *uses = check->problem->uses + cumulative->first;
    bool over = false;
    int64_t first = 0;
    for (size_t i = 0; i < cumulative->count; i++) {
        int64_t time = at(check, uses[i].from), sum = 0;
        if (uses[i].amount <= 0 || !covers(check, &uses[i], time) || (over && time >= first))
            continue;
        for (size_t j = 0; j < cumulative->count; j++)
            if (covers(check, &uses[j], time))
                sum += uses[j].amount;
        if (sum > cumulative->amount) {
            over = true;
            first = time;
        }
    }
    for (size_t i = 0; over && i < cumulative->count && (check->valid || check->go_on); i++)
        if (uses[i].amount > 0 && covers(check, &uses[i], first))
            broken(check, BK_BROKEN_CUMULATIVE, cumulative->fact, uses[i].from.var, uses[i].to.var,
                   (int32_t)first);
}

static void check_holes(checking *check, const bk_constraint *constraint)
{
    const bk_point *points = check->problem->points + constraint->first;
    int64_t from = at(check, points[0]), to = at(check, points[1]);
    if (to <= from)
        return;
    for (size_t i = 0; i < constraint->hole_count && constraint->holes[i].from < to; i++) {
        const bk_hole *hole = &constraint->holes[i];
        if (hole->from < hole->to && from < hole->to)
            broken(check, BK_BROKEN_HOLE, hole->fact, points[0].var, points[1].var, hole->from);
        if (!check->valid && !check->go_on)
            return;
    }
}

static void check_minimum(checking *check, const bk_constraint *minimum)
{
    const bk_point *points = check->problem->points + minimum->first;
    int64_t least = INT64_MAX;
    for (size_t i = 0; i < minimum->count; i++)
        if (at(check, points[i]) < least)
            least = at(check, points[i]);
    bk_point bottom = {minimum->from, 0};
    if (at(check, bottom) != least)
        broken(check, BK_BROKEN_MINIMUM, minimum->fact, minimum->from, minimum->from, 0);
}

static void check_clause(checking *check, const bk_constraint *clause)
{
    for (size_t i = 0; i < clause->count; i++)
        if (holds(check, check->problem->bounds[clause->first + i]))
            return;
    bk_var some = clause->count ? check->problem->bounds[clause->first].var : BK_CONSTANT;
    broken(check, BK_BROKEN_CLAUSE, clause->fact, some, some, 0);
}

bool bk_problem_check(const bk_problem *problem, const int32_t *value,
                      bool (*each)(void *context, const bk_broken *broken), void *context)
{
    checking check = {problem, value, each, context, true, true};
    for (size_t i = 0; i < problem->vars && check.go_on; i++)
        if (value[i] < problem->least[i] || value[i] > problem->most[i])
            broken(&check, BK_BROKEN_DOMAIN, BK_NO_FACT, (bk_var)i, (bk_var)i, 0);
    for (size_t i = 0; i < problem->constraint_count && check.go_on; i++) {
        const bk_constraint *constraint = &problem->constraints[i];
        switch (constraint->kind) {
        case BK_IS_LAG: check_lag(&check, constraint); break;
        case BK_IS_CUMULATIVE: check_cumulative(&check, constraint); break;
        case BK_IS_HOLES: check_holes(&check, constraint); break;
        case BK_IS_MINIMUM: check_minimum(&check, constraint); break;
        case BK_IS_CLAUSE: check_clause(&check, constraint); break;
        }
    }
    return check.valid;
}

int64_t bk_problem_sum(const bk_problem *problem, int level, const int32_t *value)
{
    checking check = {.problem = problem, .value = value};
    int64_t sum = 0;
    for (size_t i = 0; i < problem->cost_count; i++) {
        const bk_cost *cost = &problem->costs[i];
        if (cost->level != level)
            continue;
        if (cost->conditional)
            sum += holds(&check, cost->bound) ? cost->weight : 0;
        else
            sum += (int64_t)cost->weight * (cost->var == BK_CONSTANT ? 0 : value[cost->var]);
    }
    return sum;
}

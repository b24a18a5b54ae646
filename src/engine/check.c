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

static bool runs(const checking *check, const bk_use *use)
{
    return use->amount > 0 && there(check, use) && at(check, use->from) < at(check, use->to);
}

/* The earliest overload that begins in [begin, end). Some use begins there, too, so only starts
 * need a look. */
static void check_between(checking *check, const bk_constraint *cumulative, int64_t begin,
                          int64_t end)
{
    if (cumulative->count == 0)
        return; /* there may be no list at all to point into */
    const bk_use *uses = check->problem->uses + cumulative->first;
    int64_t first = end, all = 0;
    for (size_t i = 0; i < cumulative->count; i++) {
        int64_t from = at(check, uses[i].from);
        if (from < end && begin < at(check, uses[i].to) && runs(check, &uses[i]))
            all += uses[i].amount;
    }
    if (all <= cumulative->amount)
        return; /* not even if they all ran at once */
    for (size_t i = 0; i < cumulative->count; i++) {
        int64_t time = at(check, uses[i].from), sum = 0;
        if (time < begin || time >= first || !runs(check, &uses[i]))
            continue;
        for (size_t j = 0; j < cumulative->count; j++)
            if (covers(check, &uses[j], time))
                sum += uses[j].amount;
        if (sum > cumulative->amount)
            first = time;
    }
    for (size_t i = 0; first < end && i < cumulative->count && check->go_on; i++)
        if (uses[i].amount > 0 && covers(check, &uses[i], first))
            broken(check, BK_BROKEN_CUMULATIVE, cumulative->fact, uses[i].from.var, uses[i].to.var,
                   (int32_t)first);
}

static void check_cumulative(checking *check, const bk_constraint *cumulative)
{
    check_between(check, cumulative, INT64_MIN, INT64_MAX);
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
        if (!check->go_on)
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

static void check_one(checking *check, const bk_constraint *constraint)
{
    switch (constraint->kind) {
    case BK_IS_LAG:
        check_lag(check, constraint);
        break;
    case BK_IS_CUMULATIVE:
        check_cumulative(check, constraint);
        break;
    case BK_IS_HOLES:
        check_holes(check, constraint);
        break;
    case BK_IS_MINIMUM:
        check_minimum(check, constraint);
        break;
    case BK_IS_CLAUSE:
        check_clause(check, constraint);
        break;
    }
}

static void check_domain(checking *check, size_t var)
{
    const bk_problem *problem = check->problem;
    if (check->value[var] < problem->least[var] || check->value[var] > problem->most[var])
        broken(check, BK_BROKEN_DOMAIN, BK_NO_FACT, (bk_var)var, (bk_var)var, 0);
}

bool bk_problem_check(const bk_problem *problem, const int32_t *value,
                      bool (*each)(void *context, const bk_broken *broken), void *context)
{
    checking check = {problem, value, each, context, true, true};
    for (size_t i = 0; i < problem->vars && check.go_on; i++)
        check_domain(&check, i);
    for (size_t i = 0; i < problem->constraint_count && check.go_on; i++)
        check_one(&check, &problem->constraints[i]);
    return check.valid;
}

/* ------------------------------------------------------------------- near */

struct bk_check_index {
    size_t *first, *constraint; /* of variable v: constraint[first[v] .. first[v + 1]) */
    /* the uses of those that are cumulative, likewise: a use stands under each of its
     * variables */
    size_t *first_use, *use;
};

/* Calls for each variable of a constraint (uses apart) with its number. */
typedef void (*visit)(void *context, bk_var var, size_t number);

static void visit_variables(const bk_problem *problem, size_t number, visit each, void *context)
{
    const bk_constraint *c = &problem->constraints[number];
    switch (c->kind) {
    case BK_IS_LAG:
        each(context, c->from, number);
        each(context, c->to, number);
        for (size_t i = 0; i < c->count; i++)
            each(context, problem->bounds[c->first + i].var, number);
        break;
    case BK_IS_CUMULATIVE:
        break;
    case BK_IS_HOLES:
        each(context, problem->points[c->first].var, number);
        each(context, problem->points[c->first + 1].var, number);
        break;
    case BK_IS_MINIMUM:
        each(context, c->from, number);
        for (size_t i = 0; i < c->count; i++)
            each(context, problem->points[c->first + i].var, number);
        break;
    case BK_IS_CLAUSE:
        for (size_t i = 0; i < c->count; i++)
            each(context, problem->bounds[c->first + i].var, number);
        break;
    }
}

typedef struct filing {
    size_t *first, *filled, *item; /* item NULL: counting */
} filing;

static void file(void *context, bk_var var, size_t number)
{
    filing *f = context;
    if (var < 0)
        return;
    if (!f->item)
        f->first[var + 1]++;
    else
        f->item[f->first[var] + f->filled[var]++] = number;
}

static void file_all(const bk_problem *problem, filing *constraints, filing *uses)
{
    for (size_t i = 0; i < problem->constraint_count; i++) {
        visit_variables(problem, i, file, constraints);
        const bk_constraint *c = &problem->constraints[i];
        for (size_t k = c->first; c->kind == BK_IS_CUMULATIVE && k < c->first + c->count; k++) {
            const bk_use *use = &problem->uses[k];
            bk_var var[3] = {use->from.var, use->to.var, use->present};
            for (size_t v = 0; v < 3; v++)
                if (v == 0 || var[v] != var[v - 1]) {
                    file(constraints, var[v], i);
                    file(uses, var[v], k);
                }
        }
    }
}

static void begin_filing(bk_arena *arena, filing *f, size_t vars)
{
    for (size_t v = 0; v < vars; v++)
        f->first[v + 1] += f->first[v];
    f->item = BK_NEW(arena, size_t, f->first[vars] + 1);
    f->filled = BK_NEW(arena, size_t, vars);
}

bk_check_index *bk_check_index_new(bk_arena *arena, const bk_problem *problem)
{
    bk_check_index *index = BK_NEW(arena, bk_check_index, 1);
    filing constraints = {.first = BK_NEW(arena, size_t, problem->vars + 1)};
    filing uses = {.first = BK_NEW(arena, size_t, problem->vars + 1)};
    file_all(problem, &constraints, &uses);
    begin_filing(arena, &constraints, problem->vars);
    begin_filing(arena, &uses, problem->vars);
    file_all(problem, &constraints, &uses);
    *index = (bk_check_index){constraints.first, constraints.item, uses.first, uses.item};
    return index;
}

/* An overload while a changed use runs begins where that use or one within it begins. */
static void check_use(checking *check, const bk_constraint *cumulative, const bk_use *changed)
{
    if (runs(check, changed))
        check_between(check, cumulative, at(check, changed->from), at(check, changed->to));
}

static bool changed_before(const bk_var *changed, size_t count, bk_var var)
{
    for (size_t i = 0; i < count; i++)
        if (changed[i] == var)
            return true;
    return false;
}

/* A constraint that speaks of several changed variables is looked at once: under
 * the first of them. */
typedef struct looking {
    const bk_var *changed; /* those before the one that is being looked under */
    size_t count;
    bool seen;
} looking;

static void note_seen(void *context, bk_var var, size_t number)
{
    looking *under = context;
    (void)number;
    under->seen = under->seen || changed_before(under->changed, under->count, var);
}

bool bk_problem_check_near(const bk_problem *problem, const bk_check_index *index,
                           const int32_t *value, const bk_var *changed, size_t count,
                           bool (*each)(void *context, const bk_broken *broken), void *context)
{
    checking check = {problem, value, each, context, true, true};
    for (size_t v = 0; v < count && check.go_on; v++)
        check_domain(&check, (size_t)changed[v]);
    for (size_t v = 0; v < count; v++) {
        size_t var = (size_t)changed[v], use = index->first_use[var];
        for (size_t i = index->first[var]; i < index->first[var + 1] && check.go_on; i++) {
            const bk_constraint *constraint = &problem->constraints[index->constraint[i]];
            if (constraint->kind == BK_IS_CUMULATIVE) {
                const bk_use *its = &problem->uses[index->use[use++]];
                if (!changed_before(changed, v, its->from.var) &&
                    !changed_before(changed, v, its->to.var) &&
                    !changed_before(changed, v, its->present))
                    check_use(&check, constraint, its);
                continue;
            }
            looking under = {changed, v, false};
            visit_variables(problem, index->constraint[i], note_seen, &under);
            if (!under.seen)
                check_one(&check, constraint);
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

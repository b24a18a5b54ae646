/* What is seen on the problem as a whole before the search. */
#include "engine/load.h"

#include <stdlib.h>

bool bk_is_dropped(const bk_solver *solver, int fact)
{
    const bk_solve_options *options = solver->options;
    return fact >= 0 && options->dropped && (size_t)fact < options->facts && options->dropped[fact];
}

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

bk_point *bk_fixed_differences(bk_solver *solver, bool facts)
{
    const bk_problem *problem = solver->problem;
    BK_VECTOR(difference) list = {NULL, 0, 0};
    bk_point *fixed = bk_memory_new(&solver->memory, problem->vars + 1, sizeof *fixed);
    for (size_t v = 0; v < problem->vars; v++)
        fixed[v] = (bk_point){(bk_var)v, 0};
    for (size_t i = 0; i < problem->constraint_count; i++) {
        const bk_constraint *lag = &problem->constraints[i];
        if (lag->kind != BK_IS_LAG || lag->count > 0 || lag->from == lag->to ||
            lag->from == BK_CONSTANT || lag->to == BK_CONSTANT ||
            bk_is_dropped(solver, lag->fact) ||
            (facts && lag->fact >= 0 && (size_t)lag->fact < solver->options->facts))
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
        if (least == most && fixed[high].var == high)
            fixed[high] = (bk_point){fixed[low].var, fixed[low].plus + least};
    }
    bk_memory_release(&solver->memory, list.at);
    return fixed;
}

void bk_share_holes(bk_solver *solver)
{
    int32_t vars = solver->trail.sides / 2;
    int32_t *interval = bk_memory_new(&solver->memory, (size_t)vars, sizeof *interval);
    int32_t largest = 0;
    for (int32_t i = 0; i < solver->holes.intervals.count; i++)
        interval[solver->holes.intervals.at[i].from / 2] = i + 1;
    for (int32_t c = 0; c < solver->resources.cumulatives.count; c++) {
        bk_cumulative *cumulative = &solver->resources.cumulatives.at[c];
        if (cumulative->count > largest)
            largest = cumulative->count;
        int32_t table = -1;
        for (int32_t i = 0; i < cumulative->count; i++) {
            const bk_task *task = &solver->resources.tasks.at[cumulative->first + i];
            int32_t its = interval[task->from / 2] - 1;
            const bk_interval *clear = its < 0 ? NULL : &solver->holes.intervals.at[its];
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
    bk_memory_release(&solver->memory, interval);
    bk_edge_finding_room(solver, largest);
}

void bk_own_choices(bk_solver *solver)
{
    for (int32_t i = 0; i < solver->resources.tasks.count; i++) {
        const bk_task *task = &solver->resources.tasks.at[i];
        int32_t choice = task->present.side / 2;
        if (task->present.side < 0 || solver->branching.owner[choice] ||
            solver->branching.kind[choice] != BK_BOOLEANS ||
            solver->branching.kind[task->from / 2] != BK_STARTS)
            continue;
        solver->branching.owner[choice] = task->from / 2;
    }
    bk_ints *booleans = &solver->branching.open[BK_BOOLEANS];
    int32_t kept = 0;
    for (int32_t i = 0; i < booleans->count; i++) {
        int32_t v = booleans->at[i];
        if (solver->branching.owner[v]) {
            solver->branching.kind[v] = BK_STARTS;
            *BK_ADD(solver, solver->branching.open[BK_STARTS]) = v;
        } else {
            booleans->at[kept++] = v;
        }
    }
    booleans->count = kept;
    solver->branching.open_count[BK_BOOLEANS] = kept;
    solver->branching.open_count[BK_STARTS] = solver->branching.open[BK_STARTS].count;
}

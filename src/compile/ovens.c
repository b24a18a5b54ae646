/* Plan to problem: which oven a stage is in, its shelves, and the order of two
 * stages that want it at different temperatures. When an oven is turned on and off
 * is read from the timeline, in schedule/oven_runs.c. */
#include "compile/parts.h"

static bool share_temperature(const bk_stage *a, const bk_stage *b)
{
    if (a->oven_off || b->oven_off)
        return true; /* at its time another rule holds */
    double low = a->oven.at.low > b->oven.at.low ? a->oven.at.low : b->oven.at.low;
    double high = a->oven.at.high < b->oven.at.high ? a->oven.at.high : b->oven.at.high;
    return low <= high + 1e-6;
}

/* In which of the ovens each stage is: one of them; the first ovens first, as the
 * ovens are alike. */
static void build_oven_choice(bk_builder *b, const size_t *stages, size_t n, int count)
{
    bk_compiled *out = b->out;
    bk_bound *some = BK_NEW(b->arena, bk_bound, count);
    for (size_t j = 0; j < n; j++) {
        bk_var *present = &out->present[out->first_present[stages[j]]];
        if (count == 1) {
            present[0] = BK_ALWAYS;
            continue;
        }
        const bk_stage *stage = &b->plan->stages[stages[j]];
        for (int k = 0; k < count; k++) {
            bool open = (size_t)k <= j || b->plan->under_way, sure = false;
            if (bk_has_begun(stage))
                open = sure = stage->oven_number == k + 1;
            present[k] = bk_problem_var(out->problem, sure ? 1 : 0, open ? 1 : 0);
            some[k] = (bk_bound){present[k], 1, true};
        }
        bk_problem_clause(out->problem, some, (size_t)count, BK_NO_FACT);
        for (int k = 0; k < count; k++)
            for (int l = 0; l < k; l++) {
                bk_bound not_both[2] = {{present[k], 0, false}, {present[l], 0, false}};
                bk_problem_clause(out->problem, not_both, 2, BK_NO_FACT);
            }
    }
}

static bk_var present_of(const bk_builder *b, size_t stage, int number)
{
    return b->out->present[b->out->first_present[stage] + (size_t)number];
}

static void build_oven_shelves(bk_builder *b, const size_t *stages, size_t n, size_t e)
{
    const bk_equipment *oven = &b->plan->kitchen.equipment[e];
    int64_t total = 0;
    for (size_t j = 0; j < n; j++)
        total += b->plan->stages[stages[j]].oven.amount;
    if (total <= oven->shelves)
        return;
    int fact = bk_builder_fact(b, BK_FACT_SHELVES, oven->place);
    bk_builder_fact_at(b, fact)->equipment = e;
    for (int k = 0; k < oven->count; k++) {
        bk_uses list = {0};
        bk_begun *begun = BK_NEW(b->arena, bk_begun, n);
        size_t count = 0;
        for (size_t j = 0; j < n; j++) {
            size_t i = stages[j];
            const bk_stage *stage = &b->plan->stages[i];
            if (!bk_has_begun(stage))
                bk_add_use(b, &list, bk_end_of(b, i), bk_start_of(b, i), stage->oven.amount,
                           present_of(b, i, k));
            else if (!bk_is_over(b, i) && stage->oven_number == k + 1)
                begun[count++] =
                    (bk_begun){.end = stage->began + stage->planned, .amount = stage->oven.amount};
        }
        bk_add_begun(b, &list, begun, count, oven->shelves, NULL, 0);
        bk_problem_cumulative(b->out->problem, oven->shelves, list.items, list.count, fact);
    }
}

/* From what one stage is in to what the other wants, at most. */
static int32_t change(const bk_builder *b, const bk_equipment *oven, size_t from, size_t to)
{
    const bk_heats *heats = &b->heats;
    bool up = b->plan->stages[to].oven.at.low > b->plan->stages[from].oven.at.high;
    return bk_narrow(up ? bk_oven_change(oven, heats->coolest[from], heats->hottest[to])
                        : bk_oven_change(oven, heats->hottest[from], heats->coolest[to]));
}

/* Two stages, when in the same oven: `i` starts at least `to_i` after the end of `j`, or `j` at
 * least `to_j` after the end of `i`. */
static void order_in_oven(bk_builder *b, size_t i, size_t j, int32_t to_i, int32_t to_j, int fact)
{
    int count = b->plan->kitchen.equipment[b->plan->stages[i].oven.equipment].count;
    bk_problem *problem = b->out->problem;
    bk_var order = bk_problem_var(problem, 0, 1);
    bk_point i_start = bk_start_of(b, i), j_start = bk_start_of(b, j);
    bk_point i_end = bk_end_of(b, i), j_end = bk_end_of(b, j);
    bk_builder_order(b, i, j, (bk_order){order, i_start, j_end, to_i});
    for (int k = 0; k < count; k++) {
        bk_bound when[3] = {{order, 1, true}};
        size_t n = 1;
        if (count > 1) {
            when[n++] = (bk_bound){present_of(b, i, k), 1, true};
            when[n++] = (bk_bound){present_of(b, j, k), 1, true};
        }
        bk_problem_lag(problem, i_start.var, j_end.var, i_start.plus + to_i, when, n, fact);
        when[0] = (bk_bound){order, 0, false};
        bk_problem_lag(problem, j_start.var, i_end.var, j_start.plus + to_j, when, n, fact);
    }
}

/* Two stages without a common temperature: the oven changes between them. */
static void build_oven_pair(bk_builder *b, size_t i, size_t j, size_t e)
{
    const bk_equipment *oven = &b->plan->kitchen.equipment[e];
    int fact = bk_builder_fact(b, BK_FACT_OVEN_TEMPERATURE, b->plan->stages[i].oven.place);
    bk_builder_fact_at(b, fact)->stage = i;
    bk_builder_fact_at(b, fact)->other = j;
    bk_builder_fact_at(b, fact)->equipment = e;
    order_in_oven(b, i, j, change(b, oven, j, i), change(b, oven, i, j), fact);
}

/* ------------------------------------------------------------ switched off */

static int off_fact(bk_builder *b, size_t off, size_t other, bool before)
{
    int fact = bk_builder_fact(b, BK_FACT_OVEN_OFF, b->plan->stages[off].oven.place);
    bk_fact *about = bk_builder_fact_at(b, fact);
    about->stage = off;
    about->other = other;
    about->equipment = b->plan->stages[off].oven.equipment;
    if (before)
        about->check = 0;
    return fact;
}

/* Nothing is heated while `off` stands in the oven: what is hot ends before, or its
 * heating up begins after. */
static void build_off_pair(bk_builder *b, size_t off, size_t hot)
{
    order_in_oven(b, off, hot, 0, bk_preheat_before(b, hot), off_fact(b, off, hot, false));
}

/* Where `hot` is the last to end (`last` is 1, or it is the only one), `off` is in the
 * same oven. */
static void build_off_place(bk_builder *b, size_t off, size_t hot, bk_var last)
{
    int count = b->plan->kitchen.equipment[b->plan->stages[off].oven.equipment].count;
    int fact = off_fact(b, off, hot, true);
    for (int k = 0; k < count; k++) {
        bk_bound either[3] = {{present_of(b, hot, k), 0, false}, {present_of(b, off, k), 1, true}};
        size_t n = 2;
        if (last != BK_ALWAYS)
            either[n++] = (bk_bound){last, 0, false};
        bk_problem_clause(b->out->problem, either, n, fact);
    }
}

static bool both_begun(const bk_plan *plan, size_t one, size_t two)
{
    return bk_has_begun(&plan->stages[one]) && bk_has_begun(&plan->stages[two]);
}

/* One that stands there already: nothing more is heated until it ends. */
static void build_off_begun(bk_builder *b, size_t off, const size_t *stages, size_t n)
{
    const bk_plan *plan = b->plan;
    for (size_t j = 0; j < n; j++)
        if (bk_is_heated(&plan->stages[stages[j]]) && !both_begun(plan, off, stages[j]))
            build_off_pair(b, off, stages[j]);
}

static void build_off(bk_builder *b, size_t off, const size_t *stages, size_t n)
{
    const bk_plan *plan = b->plan;
    bk_problem *problem = b->out->problem;
    for (size_t j = 0; j < n; j++)
        if (bk_is_heated(&plan->stages[stages[j]]))
            build_off_pair(b, off, stages[j]);
    if (plan->kitchen.equipment[plan->stages[off].oven.equipment].count == 1)
        return;
    bool *heated = BK_NEW(b->arena, bool, plan->stage_count);
    size_t before = bk_heated_before(b->arena, plan, off, heated);
    bk_bound *some = BK_NEW(b->arena, bk_bound, before);
    size_t first = b->out->last_count, found = 0;
    for (size_t j = 0; j < n; j++) {
        if (!heated[stages[j]])
            continue;
        bk_var last = before == 1 ? BK_ALWAYS : bk_problem_var(problem, 0, 1);
        build_off_place(b, off, stages[j], last);
        if (last == BK_ALWAYS)
            continue;
        some[found++] = (bk_bound){last, 1, true};
        *BK_PUSH(b->arena, b->out->lasts, b->out->last_count, b->out->last_room) =
            (bk_last){off, stages[j], last};
    }
    if (found == 0)
        return;
    bk_problem_clause(problem, some, found, BK_NO_FACT);
    for (size_t i = first; i < b->out->last_count; i++)
        for (size_t k = first; k < b->out->last_count; k++)
            if (i != k) { /* mirrored: the last to end is the lowest */
                bk_bound when = {b->out->lasts[i].var, 1, true};
                bk_problem_lag(problem, bk_end_of(b, b->out->lasts[i].stage).var,
                               bk_end_of(b, b->out->lasts[k].stage).var, 0, &when, 1, BK_NO_FACT);
            }
}

/* Of a day under way: an oven that is hot is ready sooner than the others. */
static void build_oven_ready(bk_builder *b, size_t i, int count)
{
    const bk_stage *stage = &b->plan->stages[i];
    for (int k = 0; k < count; k++) {
        int32_t most = b->span - bk_oven_ready_after(b, i, k + 1);
        bk_point start = bk_start_of(b, i);
        bk_bound either[2] = {{start.var, most - start.plus, false},
                              {present_of(b, i, k), 0, false}};
        if (!bk_has_begun(stage) && bk_is_heated(stage))
            bk_problem_clause(b->out->problem, either, 2, BK_NO_FACT);
    }
}

void bk_build_oven(bk_builder *b, size_t e)
{
    const bk_plan *plan = b->plan;
    size_t *stages = BK_NEW(b->arena, size_t, plan->stage_count);
    size_t n = 0;
    for (size_t i = 0; i < plan->stage_count; i++)
        if (plan->stages[i].in_oven && plan->stages[i].oven.equipment == e)
            stages[n++] = i;
    build_oven_choice(b, stages, n, plan->kitchen.equipment[e].count);
    for (size_t j = 0; j < n && plan->under_way && plan->kitchen.equipment[e].count > 1; j++)
        build_oven_ready(b, stages[j], plan->kitchen.equipment[e].count);
    build_oven_shelves(b, stages, n, e);
    for (size_t j = 0; j < n; j++)
        for (size_t k = j + 1; k < n; k++)
            if (!share_temperature(&plan->stages[stages[j]], &plan->stages[stages[k]]) &&
                !both_begun(plan, stages[j], stages[k]))
                build_oven_pair(b, stages[j], stages[k], e);
    for (size_t j = 0; j < n; j++)
        if (plan->stages[stages[j]].oven_off && !bk_has_begun(&plan->stages[stages[j]]))
            build_off(b, stages[j], stages, n);
        else if (plan->stages[stages[j]].oven_off)
            build_off_begun(b, stages[j], stages, n);
}

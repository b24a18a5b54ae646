/* Plan to problem: stages, links, hands, pools, ovens, windows and checks as
 * variables, lags, cumulative resources, holes and conditions. The parts are built
 * in the other files of the folder, in the order of bk_compile. */
#include "compile/parts.h"

#include "compile/tied.h"

/* Where dropping a fact lets a stage leave the plan's span, at most this far. */
enum {
    MOST_LEEWAY = 30 * BK_DAY,
    WINDOWS_BEYOND = 2 * BK_DAY /* how far beyond it windows are known: bk_kitchen */
};

int bk_builder_fact(bk_builder *b, enum bk_fact_kind kind, bk_place place)
{
    bk_compiled *out = b->out;
    *BK_PUSH(b->arena, out->facts, out->fact_count, out->fact_room) = bk_fact_new(kind, place);
    return (int)(out->fact_count - 1);
}

bk_fact *bk_builder_fact_at(bk_builder *b, int number)
{
    return &b->out->facts[number];
}

void bk_builder_lag(bk_builder *b, bk_point from, bk_point to, int64_t least, int fact)
{
    bk_problem_lag(b->out->problem, from.var, to.var, bk_narrow(least + from.plus - to.plus), NULL,
                   0, fact);
}

void bk_builder_at_rest(bk_builder *b, bk_var var, int32_t value)
{
    bk_compiled *out = b->out;
    *BK_PUSH(b->arena, out->at_rest, out->at_rest_count, out->at_rest_room) =
        (bk_bound){var, value, true};
}

void bk_builder_order(bk_builder *b, size_t one, size_t two, bk_order order)
{
    bk_orders *first = &b->out->orders[one], *second = &b->out->orders[two];
    *BK_PUSH(b->arena, first->items, first->count, first->room) = order;
    if (one != two)
        *BK_PUSH(b->arena, second->items, second->count, second->room) = order;
}

static void not_before(bk_builder *b, size_t stage, bk_instant instant)
{
    bk_point start = bk_start_of(b, stage);
    bk_bound bound = {start.var, bk_narrow(b->out->mirror - instant) - start.plus, false};
    bk_problem_clause(b->out->problem, &bound, 1, BK_NO_FACT);
}

static void build_question(bk_builder *b)
{
    const bk_compile_options *options = &b->options;
    if (options->has_first)
        for (size_t i = 0; i < b->plan->stage_count; i++)
            not_before(b, i, options->first_not_before);
    if (options->moved > 0)
        not_before(b, options->moved - 1, options->moved_not_before);
}

/* To get hot and to change, at most. */
static int64_t longest_heating(const bk_equipment *oven)
{
    enum { HOTTEST = 550 };
    int64_t up = bk_oven_change(oven, 0, HOTTEST), down = bk_oven_change(oven, HOTTEST, 0);
    return bk_oven_preheat(oven, HOTTEST) + (up > down ? up : down);
}

/* Room for all stages one after the other, with their waits, beyond the span and beyond all
 * windows: what one dropped fact sets free finds a place there. */
static int32_t room_beyond(const bk_plan *plan)
{
    int64_t minutes = WINDOWS_BEYOND + 60;
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        minutes += stage->planned;
        if (stage->in_oven)
            minutes += longest_heating(&plan->kitchen.equipment[stage->oven.equipment]);
        for (size_t k = 0; k < stage->link_count; k++)
            minutes += stage->links[k].wait;
    }
    return bk_narrow(minutes < MOST_LEEWAY ? minutes : MOST_LEEWAY);
}

/* By how much each serve is put off: all alike, each by itself, or none. */
static void put_off(bk_builder *b)
{
    bk_compiled *out = b->out;
    size_t n = b->plan->dish_count;
    out->put_off = BK_NEW(b->arena, bk_var, n);
    out->overrun = BK_NEW(b->arena, bk_var, n);
    bk_var all = BK_CONSTANT;
    if (b->options.delay_most > 0)
        all = bk_problem_var(out->problem, -bk_narrow(b->options.delay_most), 0);
    for (size_t d = 0; d < n; d++) {
        out->put_off[d] = out->overrun[d] = all;
        if (b->options.late_most <= 0)
            continue;
        const bk_dish *dish = &b->plan->dishes[d];
        bool over = dish->out || dish->served; /* it is served when it is served */
        int64_t margin = bk_margin_of(b->plan, dish);
        out->put_off[d] =
            bk_problem_var(out->problem, over ? 0 : -bk_narrow(b->options.late_most), 0);
        out->overrun[d] = out->put_off[d];
        if (b->plan->margin <= 0)
            continue;
        out->overrun[d] =
            bk_problem_var(out->problem, -bk_narrow(b->options.late_most + margin), 0);
        bk_builder_lag(b, (bk_point){out->put_off[d], 0}, (bk_point){out->overrun[d], 0}, -margin,
                       BK_NO_FACT);
    }
}

bk_compiled *bk_compile(bk_arena *arena, const bk_plan *plan, const bk_compile_options *options)
{
    bk_compiled *out = BK_NEW(arena, bk_compiled, 1);
    bk_builder b = {
        .arena = arena, .plan = plan, .options = *options, .out = out, .margin_switch = -1};
    out->plan = plan;
    out->mirror = plan->last_serve;
    out->problem = bk_problem_new(arena);
    out->level_hands = out->level_spread = out->level_start = out->level_interruptions =
        out->level_waiting = out->level_moved = -1;
    b.span = b.past = bk_narrow(plan->last_serve - plan->earliest);
    for (size_t i = 0; i < plan->stage_count; i++)
        if (bk_has_begun(&plan->stages[i]) && plan->last_serve - plan->stages[i].began > b.past)
            b.past = bk_narrow(plan->last_serve - plan->stages[i].began);
    put_off(&b);
    b.leeway = room_beyond(plan);

    size_t n = plan->stage_count, check_count = 0, present_count = 0;
    out->stage_end = BK_NEW(arena, bk_var, n);
    out->stage_start = BK_NEW(arena, bk_point, n);
    out->first_check = BK_NEW(arena, size_t, n);
    out->first_present = BK_NEW(arena, size_t, n);
    out->orders = BK_NEW(arena, bk_orders, n);
    for (size_t i = 0; i < n; i++) {
        const bk_stage *stage = &plan->stages[i];
        check_count += stage->check_count;
        out->first_present[i] = present_count;
        if (stage->in_oven)
            present_count += (size_t)plan->kitchen.equipment[stage->oven.equipment].count;
    }
    out->check_end = BK_NEW(arena, bk_var, check_count);
    out->people = plan->kitchen.people_count;
    out->stage_by = BK_NEW(arena, bk_var, n * out->people);
    out->check_by = BK_NEW(arena, bk_var, check_count * out->people);
    for (size_t i = 0; i < n * out->people; i++)
        out->stage_by[i] = BK_CONSTANT;
    for (size_t i = 0; i < check_count * out->people; i++)
        out->check_by[i] = BK_CONSTANT;
    out->present = BK_NEW(arena, bk_var, present_count);
    out->ready = BK_NEW(arena, bk_var, plan->dish_count);
    out->ready_own = BK_NEW(arena, bool, plan->dish_count);
    out->until = BK_NEW(arena, bk_point, plan->dish_count);
    out->until_own = BK_NEW(arena, bool, plan->dish_count);
    out->users = BK_NEW(arena, size_t *, plan->dish_count);
    out->user_count = BK_NEW(arena, size_t, plan->dish_count);

    b.tied = bk_tied_groups(arena, plan);
    b.heats = bk_heats_of(arena, plan);
    b.timed = BK_NEW(arena, bk_var, n);
    for (size_t i = 0; i < n; i++)
        b.timed[i] = BK_ALWAYS;
    bk_find_tables(&b);
    bk_build_windows(&b);
    bk_build_stage_variables(&b);
    if (options->droppable)
        bk_build_droppable_limits(&b);
    size_t next_check = 0;
    for (size_t i = 0; i < n; i++) {
        bk_build_links(&b, i);
        bk_build_stage_windows(&b, i);
        bk_build_checks(&b, i, &next_check);
    }
    bk_build_begins(&b);
    for (size_t d = 0; d < plan->dish_count; d++)
        bk_build_ready(&b, d);
    bk_build_hands(&b);
    for (size_t e = 0; e < plan->kitchen.equipment_count; e++)
        if (plan->kitchen.equipment[e].kind == BK_OVEN)
            bk_build_oven(&b, e);
        else if (plan->kitchen.equipment[e].pool < INT32_MAX)
            bk_build_pool(&b, e);
    build_question(&b);
    if (options->delay_most > 0)
        bk_build_delay_objective(&b);
    else if (options->late_most > 0 && !options->no_objective)
        bk_build_lateness_objective(&b);
    else if (!options->no_objective)
        bk_build_objective(&b);
    return out;
}

/* Plan to problem: each stage by itself and against the stages it follows. Its
 * variables and limits, links, checks, and the hours it has to keep clear of. */
#include "compile/parts.h"

int32_t bk_preheat_before(const bk_builder *b, size_t stage)
{
    const bk_stage *of = &b->plan->stages[stage];
    if (!bk_is_heated(of))
        return 0;
    return bk_narrow(
        bk_oven_preheat(&b->plan->kitchen.equipment[of->oven.equipment], b->heats.hottest[stage]));
}

int32_t bk_oven_ready_after(const bk_builder *b, size_t stage, int number)
{
    if (!b->plan->under_way || !bk_is_heated(&b->plan->stages[stage]))
        return bk_preheat_before(b, stage);
    return bk_narrow(bk_oven_ready_in(b->plan, stage, number, b->heats.hottest[stage]));
}

/* In the oven that is ready for it first. */
static int32_t soonest_ready(const bk_builder *b, size_t stage)
{
    const bk_stage *of = &b->plan->stages[stage];
    int32_t least = bk_preheat_before(b, stage);
    for (int k = 1; bk_is_heated(of) && k <= b->plan->kitchen.equipment[of->oven.equipment].count;
         k++)
        if (bk_oven_ready_after(b, stage, k) < least)
            least = bk_oven_ready_after(b, stage, k);
    return least;
}

/* ---------------------------------------------------------------- windows */

static int hole_before(const bk_hole *a, const bk_hole *b)
{
    if (a->from != b->from)
        return a->from < b->from;
    if (a->to != b->to)
        return a->to < b->to;
    return a->fact < b->fact;
}

/* Insertion from the back: the windows come sorted by time, so the mirrored ones
 * arrive nearly in order. */
static void insert_hole(bk_hole *holes, size_t *count, bk_hole hole)
{
    size_t i = (*count)++;
    for (; i > 0 && hole_before(&hole, &holes[i - 1]); i--)
        holes[i] = holes[i - 1];
    holes[i] = hole;
}

void bk_build_windows(bk_builder *b)
{
    const bk_kitchen *kitchen = &b->plan->kitchen;
    size_t n = kitchen->window_count;
    b->hands_holes = BK_NEW(b->arena, bk_hole, n + b->table_count);
    b->absent_holes = BK_NEW(b->arena, bk_hole, n);
    for (size_t i = n; i-- > 0;) {
        const bk_window *window = &kitchen->windows[i];
        int fact = bk_builder_fact(b, BK_FACT_WINDOW, window->place);
        bk_builder_fact_at(b, fact)->window = i;
        bk_hole hole = {.from = bk_narrow(b->out->mirror - window->to),
                        .to = bk_narrow(b->out->mirror - window->from),
                        .fact = fact};
        insert_hole(b->hands_holes, &b->hands_hole_count, hole);
        if (window->kind != BK_BUSY)
            insert_hole(b->absent_holes, &b->absent_hole_count, hole);
    }
    if (bk_put_off_most(b) > 0)
        return; /* tables move with what is served: hands are full then, see bk_build_hands */
    for (size_t i = b->table_count; i-- > 0;)
        insert_hole(b->hands_holes, &b->hands_hole_count, bk_table_hole(b, i));
}

/* Beyond all that can happen. */
enum { EVER = 1 << 28 };

/* The time between the windows of a stage is a hole for it; one of no length may not
 * stand inside either. */
static void build_when(bk_builder *b, size_t i)
{
    const bk_stage *stage = &b->plan->stages[i];
    if (!stage->has_when)
        return;
    int fact = bk_builder_fact(b, BK_FACT_WHEN, stage->when_place);
    bk_builder_fact_at(b, fact)->stage = i;
    bk_hole *holes = BK_NEW(b->arena, bk_hole, stage->when_count + 1);
    bk_hole *inside = BK_NEW(b->arena, bk_hole, stage->when_count + 1);
    int32_t from = -EVER;
    for (size_t k = stage->when_count; k <= stage->when_count; k--) {
        int32_t to = k > 0 ? bk_narrow(b->out->mirror - stage->when[k - 1].to) : EVER;
        size_t at = stage->when_count - k;
        holes[at] = (bk_hole){from, to, fact};
        inside[at] = (bk_hole){from + 1, to, fact};
        from = k > 0 ? bk_narrow(b->out->mirror - stage->when[k - 1].from) : 0;
    }
    bk_point end = bk_end_of(b, i), start = bk_start_of(b, i);
    bk_problem_holes(b->out->problem, end, start, holes, stage->when_count + 1);
    if (stage->planned == 0)
        bk_problem_holes(b->out->problem, end, (bk_point){end.var, end.plus + 1}, inside,
                         stage->when_count + 1);
}

void bk_build_stage_windows(bk_builder *b, size_t i)
{
    const bk_stage *stage = &b->plan->stages[i];
    bk_problem *problem = b->out->problem;
    if (bk_has_begun(stage))
        return;
    build_when(b, i);
    if (stage->attention == BK_HANDS)
        bk_problem_holes(problem, bk_end_of(b, i), bk_start_of(b, i), b->hands_holes,
                         b->hands_hole_count);
    bk_point start = bk_start_of(b, i);
    start.plus += bk_preheat_before(b, i);
    if (stage->watch && (stage->attention != BK_HANDS || bk_is_heated(stage)))
        bk_problem_holes(problem, bk_end_of(b, i), start, b->absent_holes, b->absent_hole_count);
}

/* ------------------------------------------------- variables and limits */

/* Ready when its dish is to be, put off or not. */
static void build_due(bk_builder *b, size_t i)
{
    size_t d = b->plan->stages[i].dish;
    const bk_dish *dish = &b->plan->dishes[d];
    int64_t margin = bk_margin_of(b->plan, dish);
    bk_point serve = {b->out->overrun[d], bk_narrow(b->out->mirror - dish->serve)};
    bk_builder_lag(b, serve, bk_end_of(b, i), margin, BK_NO_FACT);
}

/* What has begun: its times are known. How late its dish is by it is counted all the same. */
static void build_begun(bk_builder *b, size_t i)
{
    const bk_stage *stage = &b->plan->stages[i];
    bk_compiled *out = b->out;
    int32_t end = bk_narrow(out->mirror - stage->began - stage->planned);
    out->stage_end[i] = bk_problem_var(out->problem, end, end);
    out->stage_start[i] = (bk_point){out->stage_end[i], bk_narrow(stage->planned)};
    const bk_dish *dish = &b->plan->dishes[stage->dish];
    if (b->options.late_most > 0 && !dish->out && !dish->served)
        build_due(b, i);
}

void bk_build_stage_variables(bk_builder *b)
{
    const bk_plan *plan = b->plan;
    bk_compiled *out = b->out;
    bool loose = b->options.droppable;
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        const bk_dish *dish = &plan->dishes[stage->dish];
        int64_t margin = bk_margin_of(plan, dish);
        if (bk_has_begun(stage)) {
            build_begun(b, i);
            continue;
        }
        int64_t least = out->mirror - dish->serve + margin - bk_put_off_most(b);
        if (b->options.late_most > 0)
            least -= plan->margin;
        int64_t most = b->span - stage->planned - soonest_ready(b, i);
        if (!loose) {
            /* An empty domain is the engine's to refuse: it proves "impossible". */
            out->stage_end[i] = bk_problem_var(out->problem, bk_narrow(least), bk_narrow(most));
            out->stage_start[i] = (bk_point){out->stage_end[i], bk_narrow(stage->planned)};
            if (bk_put_off_most(b) > 0)
                build_due(b, i);
            continue;
        }
        out->stage_end[i] = bk_problem_var(out->problem, -b->leeway, b->span + b->leeway);
        bk_var start = bk_problem_var(out->problem, -b->leeway, b->span + 2 * b->leeway);
        out->stage_start[i] = (bk_point){start, 0};
        bk_builder_lag(b, bk_end_of(b, i), bk_start_of(b, i), 0, BK_NO_FACT);
        bk_builder_lag(b, bk_start_of(b, i), bk_end_of(b, i), -stage->planned, BK_NO_FACT);
        if (stage->planned == 0)
            continue;
        int time = bk_builder_fact(b, BK_FACT_STAGE_TIME, stage->range_place);
        bk_builder_fact_at(b, time)->stage = i;
        bk_builder_lag(b, bk_end_of(b, i), bk_start_of(b, i), stage->planned, time);
        b->timed[i] = bk_problem_var(out->problem, 0, 1);
        bk_problem_clause(out->problem, &(bk_bound){b->timed[i], 1, true}, 1, time);
    }
}

void bk_build_droppable_limits(bk_builder *b)
{
    const bk_plan *plan = b->plan;
    bk_compiled *out = b->out;
    if (plan->margin > 0) { /* of a dish that has some left */
        b->margin_switch = bk_problem_var(out->problem, 0, 1);
        int margin = bk_builder_fact(b, BK_FACT_MARGIN, plan->margin_place);
        bk_problem_clause(out->problem, &(bk_bound){b->margin_switch, 1, true}, 1, margin);
    }
    bool now_binds = plan->has_now && plan->now >= plan->earliest;
    int earliest =
        bk_builder_fact(b, now_binds ? BK_FACT_NOW : BK_FACT_EARLIEST, plan->earliest_place);
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[d];
        int32_t offset = bk_narrow(out->mirror - dish->serve);
        int serve = bk_builder_fact(b, BK_FACT_SERVE, dish->serve_place);
        bk_builder_fact_at(b, serve)->dish = d;
        for (size_t i = dish->first_stage; i < dish->first_stage + dish->stage_count; i++) {
            if (bk_has_begun(&plan->stages[i]))
                continue;
            bk_var end = out->stage_end[i];
            if (bk_put_off_most(b) == 0)
                bk_problem_clause(out->problem, &(bk_bound){end, offset, true}, 1, serve);
            else
                bk_builder_lag(b, bk_serve_of(b, dish), bk_end_of(b, i), 0, serve);
            if (b->margin_switch >= 0 && bk_put_off_most(b) == 0) {
                int32_t margin = bk_narrow(bk_margin_of(plan, dish));
                bk_bound either[2] = {{b->margin_switch, 0, false}, {end, offset + margin, true}};
                bk_problem_clause(out->problem, either, 2, serve);
            }
            int32_t most = b->span - soonest_ready(b, i);
            bk_bound begins = {out->stage_start[i].var, most, false};
            bk_problem_clause(out->problem, &begins, 1, earliest);
        }
    }
}

/* ----------------------------------------------------- links and checks */

void bk_build_links(bk_builder *b, size_t i)
{
    const bk_stage *stage = &b->plan->stages[i];
    size_t before = bk_batch_before(b->plan, i);
    if (bk_has_begun(stage))
        return;
    if (before != SIZE_MAX) {
        int batch = bk_builder_fact(b, BK_FACT_BATCH, b->plan->dishes[stage->dish].batches_place);
        bk_builder_fact_at(b, batch)->stage = i;
        bk_builder_fact_at(b, batch)->other = before;
        bk_builder_lag(b, bk_start_of(b, i), bk_start_of(b, before), 0, batch);
    }
    for (size_t k = 0; k < stage->link_count; k++) {
        const bk_link *link = &stage->links[k];
        bk_point reference =
            link->from_start ? bk_start_of(b, link->stage) : bk_end_of(b, link->stage);
        int wait = bk_builder_fact(b, BK_FACT_WAIT,
                                   link->wait_place.source ? link->wait_place : link->place);
        bk_builder_fact_at(b, wait)->stage = i;
        bk_builder_fact_at(b, wait)->other = link->stage;
        bk_builder_fact_at(b, wait)->link = k;
        bk_builder_lag(b, bk_start_of(b, i), reference, link->wait, wait);
        if (!link->has_within)
            continue;
        int within = bk_builder_fact(b, BK_FACT_WITHIN, link->within_place);
        bk_builder_fact_at(b, within)->stage = i;
        bk_builder_fact_at(b, within)->other = link->stage;
        bk_builder_fact_at(b, within)->link = k;
        bk_builder_lag(b, reference, bk_start_of(b, i), -link->within, within);
    }
}

void bk_build_checks(bk_builder *b, size_t i, size_t *next)
{
    const bk_stage *stage = &b->plan->stages[i];
    bk_compiled *out = b->out;
    out->first_check[i] = *next;
    for (size_t k = 0; k < stage->check_count; k++) {
        const bk_check *check = &stage->checks[k];
        bk_var *var = &out->check_end[(*next)++];
        *var = BK_CONSTANT;
        if (check->takes == 0)
            continue;
        int32_t leeway = b->options.droppable ? b->leeway : bk_narrow(bk_put_off_most(b));
        int32_t most = b->span + 2 * leeway;
        int32_t least = -leeway;
        if (bk_has_begun(stage)) { /* from now on, also after the last serve */
            most = b->span - bk_narrow(check->takes);
            int64_t end = out->mirror - stage->began - stage->planned;
            least = end < least ? bk_narrow(end) : least;
        }
        *var = bk_problem_var(out->problem, least, most);
        bk_point end = {*var, 0}, start = {*var, bk_narrow(check->takes)};
        int fact = bk_builder_fact(b, BK_FACT_CHECK, check->place);
        bk_builder_fact_at(b, fact)->stage = i;
        bk_builder_fact_at(b, fact)->check = k;
        bk_builder_lag(b, start, bk_start_of(b, i), check->at - check->give, fact);
        bk_builder_lag(b, bk_start_of(b, i), start, -check->at - check->give, fact);
        bk_builder_lag(b, start, bk_start_of(b, i), 0, fact);
        bk_builder_lag(b, bk_end_of(b, i), end, 0, fact);
        bk_problem_holes(out->problem, end, start, b->hands_holes, b->hands_hole_count);
    }
}

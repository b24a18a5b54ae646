/* Plan to problem: stages, links, hands, pools, ovens, windows and checks as
 * variables, lags, cumulative resources, holes and conditions. */
#include "schedule/compile.h"

#include "schedule/facts.h"
#include "schedule/tied.h"

/* Where dropping a fact lets a stage leave the plan's span, at most this far. */
enum { MOST_LEEWAY = 30 * BK_DAY };

typedef struct builder {
    bk_arena *arena;
    const bk_plan *plan;
    bk_compile_options options;
    bk_compiled *out;
    int32_t span;     /* T - earliest */
    int32_t leeway;   /* droppable: how far beyond the span a stage may go */
    int *window_fact; /* by window */
    bk_hole *hands_holes, *absent_holes;
    size_t hands_hole_count, absent_hole_count;
    int margin_switch; /* 0/1 variable: the margin counts; or -1 */
    bk_var *timed;     /* droppable, by stage: 0/1 variable: its time counts; BK_ALWAYS: none */
    size_t *tied;      /* by stage: group of stages that cannot drift apart */
} builder;

static int add_fact(builder *b, enum bk_fact_kind kind, bk_place place)
{
    bk_compiled *out = b->out;
    *BK_PUSH(b->arena, out->facts, out->fact_count, out->fact_room) = bk_fact_new(kind, place);
    return (int)(out->fact_count - 1);
}

/* The fact just added: for filling in what it speaks of. */
static bk_fact *fact_of(builder *b, int number)
{
    return &b->out->facts[number];
}

static int32_t narrow(int64_t minutes)
{
    return (int32_t)minutes;
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

static void build_windows(builder *b)
{
    const bk_kitchen *kitchen = &b->plan->kitchen;
    size_t n = kitchen->window_count;
    b->window_fact = BK_NEW(b->arena, int, n);
    b->hands_holes = BK_NEW(b->arena, bk_hole, n);
    b->absent_holes = BK_NEW(b->arena, bk_hole, n);
    for (size_t i = n; i-- > 0;) {
        const bk_window *window = &kitchen->windows[i];
        int fact = add_fact(b, BK_FACT_WINDOW, window->place);
        fact_of(b, fact)->window = i;
        b->window_fact[i] = fact;
        bk_hole hole = {.from = narrow(b->out->mirror - window->to),
                        .to = narrow(b->out->mirror - window->from),
                        .fact = fact};
        insert_hole(b->hands_holes, &b->hands_hole_count, hole);
        if (window->kind != BK_BUSY)
            insert_hole(b->absent_holes, &b->absent_hole_count, hole);
    }
}

/* ------------------------------------------------------------------ serve */

/* T - serve of a dish, put off or not. */
static bk_point serve_of(const builder *b, const bk_dish *dish)
{
    return (bk_point){b->out->delay, narrow(b->out->mirror - dish->serve)};
}

/* ----------------------------------------------------------------- stages */

static bk_point end_of(const builder *b, size_t stage)
{
    return (bk_point){b->out->stage_end[stage], 0};
}

static bk_point start_of(const builder *b, size_t stage)
{
    return b->out->stage_start[stage];
}

/* later >= earlier + least, for points. */
static void lag(builder *b, bk_point from, bk_point to, int64_t least, int fact)
{
    bk_problem_lag(b->out->problem, from.var, to.var, narrow(least + from.plus - to.plus), NULL, 0,
                   fact);
}

static void build_stage_variables(builder *b)
{
    const bk_plan *plan = b->plan;
    bk_compiled *out = b->out;
    bool loose = b->options.droppable;
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        const bk_dish *dish = &plan->dishes[stage->dish];
        int64_t preheat =
            stage->in_oven ? plan->kitchen.equipment[stage->oven.equipment].preheat : 0;
        int64_t least = out->mirror - dish->serve + plan->margin - b->options.delay_most;
        int64_t most = b->span - stage->planned - preheat;
        if (!loose) {
            /* An empty domain is the engine's to refuse: it proves "impossible". */
            out->stage_end[i] = bk_problem_var(out->problem, narrow(least), narrow(most));
            out->stage_start[i] = (bk_point){out->stage_end[i], narrow(stage->planned)};
            if (out->delay != BK_CONSTANT)
                lag(b, serve_of(b, dish), end_of(b, i), plan->margin, BK_NO_FACT);
            continue;
        }
        out->stage_end[i] = bk_problem_var(out->problem, -b->leeway, b->span + b->leeway);
        bk_var start = bk_problem_var(out->problem, -b->leeway, b->span + 2 * b->leeway);
        out->stage_start[i] = (bk_point){start, 0};
        lag(b, end_of(b, i), start_of(b, i), 0, BK_NO_FACT);
        lag(b, start_of(b, i), end_of(b, i), -stage->planned, BK_NO_FACT);
        if (stage->planned == 0)
            continue;
        int time = add_fact(b, BK_FACT_STAGE_TIME, stage->range_place);
        fact_of(b, time)->stage = i;
        lag(b, end_of(b, i), start_of(b, i), stage->planned, time);
        b->timed[i] = bk_problem_var(out->problem, 0, 1);
        bk_problem_clause(out->problem, &(bk_bound){b->timed[i], 1, true}, 1, time);
    }
}

/* Serve-by, margin and the plan's earliest as facts. */
static void build_droppable_limits(builder *b)
{
    const bk_plan *plan = b->plan;
    bk_compiled *out = b->out;
    if (plan->margin > 0) {
        b->margin_switch = bk_problem_var(out->problem, 0, 1);
        int margin = add_fact(b, BK_FACT_MARGIN, plan->margin_place);
        bk_problem_clause(out->problem, &(bk_bound){b->margin_switch, 1, true}, 1, margin);
    }
    bool now_binds = plan->has_now && plan->now >= plan->earliest;
    int earliest = add_fact(b, now_binds ? BK_FACT_NOW : BK_FACT_EARLIEST, plan->earliest_place);
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[d];
        int32_t offset = narrow(out->mirror - dish->serve);
        int serve = add_fact(b, BK_FACT_SERVE, dish->serve_place);
        fact_of(b, serve)->dish = d;
        for (size_t i = dish->first_stage; i < dish->first_stage + dish->stage_count; i++) {
            bk_var end = out->stage_end[i];
            bk_problem_clause(out->problem, &(bk_bound){end, offset, true}, 1, serve);
            if (b->margin_switch >= 0) {
                bk_bound either[2] = {{b->margin_switch, 0, false},
                                      {end, offset + narrow(plan->margin), true}};
                bk_problem_clause(out->problem, either, 2, serve);
            }
            const bk_stage *stage = &plan->stages[i];
            int64_t preheat =
                stage->in_oven ? plan->kitchen.equipment[stage->oven.equipment].preheat : 0;
            bk_bound begins = {out->stage_start[i].var, b->span - narrow(preheat), false};
            bk_problem_clause(out->problem, &begins, 1, earliest);
        }
    }
}

static void build_links(builder *b, size_t i)
{
    const bk_stage *stage = &b->plan->stages[i];
    for (size_t k = 0; k < stage->link_count; k++) {
        const bk_link *link = &stage->links[k];
        bk_point reference = link->from_start ? start_of(b, link->stage) : end_of(b, link->stage);
        int wait =
            add_fact(b, BK_FACT_WAIT, link->wait_place.source ? link->wait_place : link->place);
        fact_of(b, wait)->stage = i;
        fact_of(b, wait)->other = link->stage;
        fact_of(b, wait)->link = k;
        lag(b, start_of(b, i), reference, link->wait, wait);
        if (!link->has_within)
            continue;
        int within = add_fact(b, BK_FACT_WITHIN, link->within_place);
        fact_of(b, within)->stage = i;
        fact_of(b, within)->other = link->stage;
        fact_of(b, within)->link = k;
        lag(b, reference, start_of(b, i), -link->within, within);
    }
}

static void build_stage_windows(builder *b, size_t i)
{
    const bk_stage *stage = &b->plan->stages[i];
    bk_problem *problem = b->out->problem;
    if (stage->attention == BK_HANDS)
        bk_problem_holes(problem, end_of(b, i), start_of(b, i), b->hands_holes,
                         b->hands_hole_count);
    bk_point start = start_of(b, i);
    if (stage->in_oven)
        start.plus += narrow(b->plan->kitchen.equipment[stage->oven.equipment].preheat);
    if (stage->watch && (stage->attention != BK_HANDS || stage->in_oven))
        bk_problem_holes(problem, end_of(b, i), start, b->absent_holes, b->absent_hole_count);
}

static void build_checks(builder *b, size_t i, size_t *next)
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
        int32_t leeway = b->options.droppable ? b->leeway : narrow(b->options.delay_most);
        *var = bk_problem_var(out->problem, -leeway, b->span + 2 * leeway);
        bk_point end = {*var, 0}, start = {*var, narrow(check->takes)};
        int fact = add_fact(b, BK_FACT_CHECK, check->place);
        fact_of(b, fact)->stage = i;
        fact_of(b, fact)->check = k;
        lag(b, start, start_of(b, i), check->at - check->give, fact);
        lag(b, start_of(b, i), start, -check->at - check->give, fact);
        lag(b, start, start_of(b, i), 0, fact);
        lag(b, end_of(b, i), end, 0, fact);
        bk_problem_holes(out->problem, end, start, b->hands_holes, b->hands_hole_count);
    }
}

/* -------------------------------------------------------------- resources */

typedef struct uses {
    bk_use *items;
    size_t count, room;
} uses;

static void add_use(builder *b, uses *list, bk_point from, bk_point to, int64_t amount,
                    bk_var present)
{
    if (amount <= 0)
        return;
    *BK_PUSH(b->arena, list->items, list->count, list->room) =
        (bk_use){.from = from, .to = to, .amount = narrow(amount), .present = present};
}

/* ------------------------------------------------- order of tied stages */

/* What a stage needs of one resource, while it runs (a check: part of that). */
typedef struct claim {
    size_t stage;
    bk_point from, to;
    int64_t amount;
} claim;

typedef struct claims {
    claim *items;
    size_t count, room;
} claims;

static void add_claim(builder *b, claims *list, size_t stage, bk_point from, bk_point to,
                      int64_t amount)
{
    if (amount > 0 && b->plan->stages[stage].planned > 0)
        *BK_PUSH(b->arena, list->items, list->count, list->room) = (claim){stage, from, to, amount};
}

/* The order of two, for both to know. */
static void note_order(builder *b, size_t one, size_t two, bk_order order)
{
    bk_orders *first = &b->out->orders[one], *second = &b->out->orders[two];
    *BK_PUSH(b->arena, first->items, first->count, first->room) = order;
    if (one != two)
        *BK_PUSH(b->arena, second->items, second->count, second->room) = order;
}

/* One after the other, either way round. */
static void order_pair(builder *b, const claim *one, const claim *two, int fact)
{
    bk_problem *problem = b->out->problem;
    bk_bound when[3] = {{bk_problem_var(problem, 0, 1), 1, true}};
    size_t n = 1;
    const claim *both[2] = {one, two};
    for (size_t k = 0; k < 2; k++)
        if (b->timed[both[k]->stage] != BK_ALWAYS)
            when[n++] = (bk_bound){b->timed[both[k]->stage], 1, true};
    bk_problem_lag(problem, one->to.var, two->from.var, one->to.plus - two->from.plus, when, n,
                   fact);
    note_order(b, one->stage, two->stage, (bk_order){when[0].var, one->to, two->from, 0});
    when[0] = (bk_bound){when[0].var, 0, false};
    bk_problem_lag(problem, two->to.var, one->from.var, two->to.plus - one->from.plus, when, n,
                   fact);
}

/* Stages that waits hold together and that do not fit at once come one after the
 * other. The resource says so too, but only once their times are nearly known:
 * said here, a wait that allows neither order is found at once. */
static void order_tied(builder *b, const claims *list, int64_t capacity, int fact)
{
    for (size_t i = 0; i < list->count; i++)
        for (size_t j = i + 1; j < list->count; j++) {
            const claim *one = &list->items[i], *two = &list->items[j];
            if (b->tied[one->stage] == b->tied[two->stage] && one->amount <= capacity &&
                two->amount <= capacity && one->amount + two->amount > capacity)
                order_pair(b, one, two, fact);
        }
}

static void build_hands(builder *b)
{
    const bk_plan *plan = b->plan;
    uses list = {0};
    claims claimed = {0};
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        if (stage->attention == BK_HANDS) {
            add_use(b, &list, end_of(b, i), start_of(b, i), stage->cooks, BK_ALWAYS);
            add_claim(b, &claimed, i, end_of(b, i), start_of(b, i), stage->cooks);
        }
        for (size_t k = 0; k < stage->check_count; k++) {
            bk_var var = b->out->check_end[b->out->first_check[i] + k];
            if (var == BK_CONSTANT)
                continue;
            bk_point end = {var, 0}, start = {var, narrow(stage->checks[k].takes)};
            add_use(b, &list, end, start, 1, BK_ALWAYS);
            add_claim(b, &claimed, i, end, start, 1);
        }
    }
    if (list.count == 0)
        return;
    int fact = add_fact(b, BK_FACT_HANDS, plan->cooks_place);
    bk_problem_cumulative(b->out->problem, plan->kitchen.cooks, list.items, list.count, fact);
    order_tied(b, &claimed, plan->kitchen.cooks, fact);
}

/* The stage whose end is the dish's by the links alone: every other stage of the
 * dish has to end before it starts. SIZE_MAX when there is none. */
static size_t structural_last(builder *b, const bk_dish *dish)
{
    const bk_plan *plan = b->plan;
    bool *before = BK_NEW(b->arena, bool, dish->stage_count);
    size_t *stack = BK_NEW(b->arena, size_t, dish->stage_count);
    for (size_t last = dish->stage_count; last-- > 0;) {
        for (size_t i = 0; i < dish->stage_count; i++)
            before[i] = i == last;
        size_t depth = 0, reached = 1;
        stack[depth++] = last;
        while (depth > 0) {
            const bk_stage *stage = &plan->stages[dish->first_stage + stack[--depth]];
            for (size_t k = 0; k < stage->link_count; k++) {
                size_t other = stage->links[k].stage - dish->first_stage;
                if (stage->links[k].from_start || other >= dish->stage_count || before[other])
                    continue;
                before[other] = true;
                reached++;
                stack[depth++] = other;
            }
        }
        if (reached == dish->stage_count)
            return dish->first_stage + last;
        /* Only a stage that nothing follows can be the last; try a few from the end. */
        if (last + 4 < dish->stage_count)
            break;
    }
    return SIZE_MAX;
}

static void build_ready(builder *b, size_t d)
{
    const bk_dish *dish = &b->plan->dishes[d];
    bk_compiled *out = b->out;
    out->ready[d] = BK_CONSTANT;
    if (!dish->has_keeps && dish->stored_count == 0)
        return;
    size_t last = b->options.droppable ? SIZE_MAX : structural_last(b, dish);
    if (last != SIZE_MAX) {
        out->ready[d] = out->stage_end[last];
    } else {
        int32_t leeway = b->options.droppable ? b->leeway : 0;
        out->ready[d] =
            bk_problem_var(out->problem, -leeway - narrow(b->options.delay_most), b->span + leeway);
        out->ready_own[d] = true;
        bk_point *ends = BK_NEW(b->arena, bk_point, dish->stage_count);
        for (size_t i = 0; i < dish->stage_count; i++)
            ends[i] = end_of(b, dish->first_stage + i);
        bk_problem_minimum(out->problem, out->ready[d], ends, dish->stage_count, BK_NO_FACT);
    }
    if (dish->has_keeps) {
        int fact = add_fact(b, BK_FACT_KEEPS, dish->keeps_place);
        fact_of(b, fact)->dish = d;
        lag(b, (bk_point){out->ready[d], 0}, serve_of(b, dish), -dish->keeps, fact);
    }
}

/* Does `later` start only after `stage` has ended, by the links alone? */
static bool comes_after(builder *b, size_t later, size_t stage)
{
    const bk_plan *plan = b->plan;
    bool *seen = BK_NEW(b->arena, bool, plan->stage_count);
    size_t *stack = BK_NEW(b->arena, size_t, plan->stage_count), depth = 0;
    stack[depth++] = later;
    while (depth > 0) {
        const bk_stage *s = &plan->stages[stack[--depth]];
        for (size_t k = 0; k < s->link_count; k++) {
            size_t before = s->links[k].stage;
            if (s->links[k].from_start || seen[before])
                continue;
            if (before == stage)
                return true;
            seen[before] = true;
            stack[depth++] = before;
        }
    }
    return false;
}

/* What a stage alone needs of a pool all the while it runs: where that is more than
 * there is, no time will do, and the search need not try them all. */
static int64_t own_need(builder *b, size_t i, size_t e)
{
    const bk_stage *stage = &b->plan->stages[i];
    int64_t pool = b->plan->kitchen.equipment[e].pool, all = 0, sure = 0;
    for (size_t k = 0; k < stage->need_count; k++)
        if (stage->needs[k].equipment == e)
            sure += stage->needs[k].amount;
    all = sure;
    for (size_t k = 0; k < stage->hold_count; k++)
        if (stage->holds[k].equipment == e)
            all += stage->holds[k].amount;
    if (all <= pool)
        return 0;
    for (size_t k = 0; k < stage->hold_count; k++) {
        const bk_hold *hold = &stage->holds[k];
        if (hold->equipment == e && (hold->until == i || comes_after(b, hold->until, i)))
            sure += hold->amount;
    }
    return sure > pool ? sure : 0;
}

static void build_pool(builder *b, size_t e)
{
    const bk_plan *plan = b->plan;
    const bk_equipment *equipment = &plan->kitchen.equipment[e];
    uses list = {0};
    claims claimed = {0};
    int64_t total = 0;
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        add_use(b, &list, end_of(b, i), start_of(b, i), own_need(b, i, e), BK_ALWAYS);
        for (size_t k = 0; k < stage->need_count; k++)
            if (stage->needs[k].equipment == e) {
                add_use(b, &list, end_of(b, i), start_of(b, i), stage->needs[k].amount, BK_ALWAYS);
                add_claim(b, &claimed, i, end_of(b, i), start_of(b, i), stage->needs[k].amount);
                total += stage->needs[k].amount;
            }
        for (size_t k = 0; k < stage->hold_count; k++)
            if (stage->holds[k].equipment == e) {
                add_use(b, &list, end_of(b, stage->holds[k].until), start_of(b, i),
                        stage->holds[k].amount, BK_ALWAYS);
                total += stage->holds[k].amount;
            }
    }
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[d];
        for (size_t k = 0; k < dish->stored_count; k++)
            if (dish->stored[k].equipment == e) {
                add_use(b, &list, serve_of(b, dish), (bk_point){b->out->ready[d], 0},
                        dish->stored[k].amount, BK_ALWAYS);
                total += dish->stored[k].amount;
            }
    }
    if (total <= equipment->pool)
        return; /* everything fits at once */
    int fact = add_fact(b, BK_FACT_POOL, equipment->place);
    fact_of(b, fact)->equipment = e;
    bk_problem_cumulative(b->out->problem, narrow(equipment->pool), list.items, list.count, fact);
    order_tied(b, &claimed, equipment->pool, fact);
}

/* ------------------------------------------------------------------ ovens */

static bool share_temperature(const bk_stage *a, const bk_stage *b)
{
    double low = a->oven.at.low > b->oven.at.low ? a->oven.at.low : b->oven.at.low;
    double high = a->oven.at.high < b->oven.at.high ? a->oven.at.high : b->oven.at.high;
    return low <= high + 1e-6;
}

/* In which of the ovens each stage is: one of them; the first ovens first, as the
 * ovens are alike. */
static void build_oven_choice(builder *b, const size_t *stages, size_t n, int count)
{
    bk_compiled *out = b->out;
    bk_bound *some = BK_NEW(b->arena, bk_bound, count);
    for (size_t j = 0; j < n; j++) {
        bk_var *present = &out->present[out->first_present[stages[j]]];
        if (count == 1) {
            present[0] = BK_ALWAYS;
            continue;
        }
        for (int k = 0; k < count; k++) {
            bool open = (size_t)k <= j;
            present[k] = bk_problem_var(out->problem, 0, open ? 1 : 0);
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

static void build_oven_shelves(builder *b, const size_t *stages, size_t n, size_t e)
{
    const bk_equipment *oven = &b->plan->kitchen.equipment[e];
    int64_t total = 0;
    for (size_t j = 0; j < n; j++)
        total += b->plan->stages[stages[j]].oven.amount;
    if (total <= oven->shelves)
        return;
    int fact = add_fact(b, BK_FACT_SHELVES, oven->place);
    fact_of(b, fact)->equipment = e;
    for (int k = 0; k < oven->count; k++) {
        uses list = {0};
        for (size_t j = 0; j < n; j++) {
            size_t i = stages[j];
            add_use(b, &list, end_of(b, i), start_of(b, i), b->plan->stages[i].oven.amount,
                    b->out->present[b->out->first_present[i] + (size_t)k]);
        }
        bk_problem_cumulative(b->out->problem, oven->shelves, list.items, list.count, fact);
    }
}

/* Two stages without a common temperature, when in the same oven: one ends
 * `change` before the other starts, either way round. */
static void build_oven_pair(builder *b, size_t i, size_t j, size_t e)
{
    const bk_equipment *oven = &b->plan->kitchen.equipment[e];
    bk_compiled *out = b->out;
    int fact = add_fact(b, BK_FACT_OVEN_TEMPERATURE, b->plan->stages[i].oven.place);
    fact_of(b, fact)->stage = i;
    fact_of(b, fact)->other = j;
    fact_of(b, fact)->equipment = e;
    bk_var order = bk_problem_var(out->problem, 0, 1);
    note_order(b, i, j, (bk_order){order, start_of(b, i), end_of(b, j), narrow(oven->change)});
    for (int k = 0; k < oven->count; k++) {
        bk_bound when[3] = {{order, 1, true}};
        size_t n = 1;
        if (oven->count > 1) {
            when[n++] = (bk_bound){out->present[out->first_present[i] + (size_t)k], 1, true};
            when[n++] = (bk_bound){out->present[out->first_present[j] + (size_t)k], 1, true};
        }
        bk_point i_start = start_of(b, i), j_start = start_of(b, j);
        bk_problem_lag(out->problem, i_start.var, out->stage_end[j],
                       i_start.plus + narrow(oven->change), when, n, fact);
        when[0] = (bk_bound){order, 0, false};
        bk_problem_lag(out->problem, j_start.var, out->stage_end[i],
                       j_start.plus + narrow(oven->change), when, n, fact);
    }
}

static void build_oven(builder *b, size_t e)
{
    const bk_plan *plan = b->plan;
    size_t *stages = BK_NEW(b->arena, size_t, plan->stage_count);
    size_t n = 0;
    for (size_t i = 0; i < plan->stage_count; i++)
        if (plan->stages[i].in_oven && plan->stages[i].oven.equipment == e)
            stages[n++] = i;
    build_oven_choice(b, stages, n, plan->kitchen.equipment[e].count);
    build_oven_shelves(b, stages, n, e);
    for (size_t j = 0; j < n; j++)
        for (size_t k = j + 1; k < n; k++)
            if (!share_temperature(&plan->stages[stages[j]], &plan->stages[stages[k]]))
                build_oven_pair(b, stages[j], stages[k], e);
}

/* -------------------------------------------------------------- objective */

/* Minutes of [start, end) after midnight that begins the last serving day, as
 * costs on the end: one for each minute the end may reach past it. */
static void cost_hands_after(builder *b, bk_var end, int64_t length, bk_instant midnight)
{
    bk_compiled *out = b->out;
    int32_t at_midnight = narrow(out->mirror - midnight);
    bool never_across = false;
    for (size_t i = 0; i < b->hands_hole_count; i++)
        if (b->hands_holes[i].from < at_midnight && at_midnight <= b->hands_holes[i].to)
            never_across = true;
    if (never_across) {
        /* Mirrored, the hole covers the first minute after midnight: who ends after
         * midnight also starts after it. */
        bk_problem_cost_if(out->problem, out->level_hands, (bk_bound){end, at_midnight - 1, false},
                           narrow(length));
        return;
    }
    for (int64_t k = 1; k <= length; k++)
        bk_problem_cost_if(out->problem, out->level_hands,
                           (bk_bound){end, at_midnight - narrow(k), false}, 1);
}

static void build_hands_level(builder *b)
{
    const bk_plan *plan = b->plan;
    bk_compiled *out = b->out;
    bk_instant midnight = bk_day_start(plan->zone, plan->last_serve);
    out->level_hands = bk_problem_level(out->problem);
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        if (stage->attention == BK_HANDS)
            cost_hands_after(b, out->stage_end[i], stage->planned, midnight);
        for (size_t k = 0; k < stage->check_count; k++)
            if (stage->checks[k].takes > 0)
                cost_hands_after(b, out->check_end[out->first_check[i] + k], stage->checks[k].takes,
                                 midnight);
    }
}

static void build_objective(builder *b)
{
    const bk_plan *plan = b->plan;
    bk_compiled *out = b->out;
    out->level_hands = -1;
    if (plan->style == BK_AHEAD)
        build_hands_level(b);
    out->first_start = bk_problem_var(out->problem, 0, b->span);
    for (size_t i = 0; i < plan->stage_count; i++)
        lag(b, start_of(b, i), (bk_point){out->first_start, 0}, 0, BK_NO_FACT);
    out->level_start = bk_problem_level(out->problem);
    bk_problem_cost(out->problem, out->level_start, out->first_start, 1);
    out->level_waiting = bk_problem_level(out->problem);
    for (size_t i = 0; i < plan->stage_count; i++) {
        bk_problem_cost(out->problem, out->level_waiting, out->stage_end[i], 1);
        out->waiting_offset += out->mirror - plan->dishes[plan->stages[i].dish].serve;
    }
}

static void not_before(builder *b, size_t stage, bk_instant instant)
{
    bk_point start = start_of(b, stage);
    bk_bound bound = {start.var, narrow(b->out->mirror - instant) - start.plus, false};
    bk_problem_clause(b->out->problem, &bound, 1, BK_NO_FACT);
}

static void build_question(builder *b)
{
    const bk_compile_options *options = &b->options;
    if (options->has_first)
        for (size_t i = 0; i < b->plan->stage_count; i++)
            not_before(b, i, options->first_not_before);
    if (options->moved > 0)
        not_before(b, options->moved - 1, options->moved_not_before);
}

static void build_delay_objective(builder *b)
{
    int level = bk_problem_level(b->out->problem);
    bk_problem_cost(b->out->problem, level, b->out->delay, -1);
}

/* Room for all stages one after the other, with their waits, beyond the span:
 * what one dropped fact sets free finds a place there. */
static int32_t room_beyond(const bk_plan *plan)
{
    int64_t minutes = 60;
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        minutes += stage->planned;
        if (stage->in_oven)
            minutes += plan->kitchen.equipment[stage->oven.equipment].change +
                       plan->kitchen.equipment[stage->oven.equipment].preheat;
        for (size_t k = 0; k < stage->link_count; k++)
            minutes += stage->links[k].wait;
    }
    return narrow(minutes < MOST_LEEWAY ? minutes : MOST_LEEWAY);
}

bk_compiled *bk_compile(bk_arena *arena, const bk_plan *plan, const bk_compile_options *options)
{
    bk_compiled *out = BK_NEW(arena, bk_compiled, 1);
    builder b = {
        .arena = arena, .plan = plan, .options = *options, .out = out, .margin_switch = -1};
    out->plan = plan;
    out->mirror = plan->last_serve;
    out->problem = bk_problem_new(arena);
    out->level_hands = out->level_start = out->level_waiting = -1;
    out->delay = BK_CONSTANT;
    if (options->delay_most > 0)
        out->delay = bk_problem_var(out->problem, -narrow(options->delay_most), 0);
    b.span = narrow(plan->last_serve - plan->earliest);
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
    out->present = BK_NEW(arena, bk_var, present_count);
    out->ready = BK_NEW(arena, bk_var, plan->dish_count);
    out->ready_own = BK_NEW(arena, bool, plan->dish_count);

    b.tied = bk_tied_groups(arena, plan);
    b.timed = BK_NEW(arena, bk_var, n);
    for (size_t i = 0; i < n; i++)
        b.timed[i] = BK_ALWAYS;
    build_windows(&b);
    build_stage_variables(&b);
    if (options->droppable)
        build_droppable_limits(&b);
    size_t next_check = 0;
    for (size_t i = 0; i < n; i++) {
        build_links(&b, i);
        build_stage_windows(&b, i);
        build_checks(&b, i, &next_check);
    }
    for (size_t d = 0; d < plan->dish_count; d++)
        build_ready(&b, d);
    build_hands(&b);
    for (size_t e = 0; e < plan->kitchen.equipment_count; e++) {
        if (plan->kitchen.equipment[e].kind == BK_OVEN)
            build_oven(&b, e);
        else if (plan->kitchen.equipment[e].pool < INT32_MAX)
            build_pool(&b, e);
    }
    build_question(&b);
    if (options->delay_most > 0)
        build_delay_objective(&b);
    else if (!options->no_objective)
        build_objective(&b);
    return out;
}

/* Plan to problem: what stages have to share, hands and pools. */
#include "compile/parts.h"

void bk_add_use(bk_builder *b, bk_uses *list, bk_point from, bk_point to, int64_t amount,
                bk_var present)
{
    if (amount <= 0)
        return;
    *BK_PUSH(b->arena, list->items, list->count, list->room) =
        (bk_use){.from = from, .to = to, .amount = bk_narrow(amount), .present = present};
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

static void add_claim(bk_builder *b, claims *list, size_t stage, bk_point from, bk_point to,
                      int64_t amount)
{
    if (amount > 0 && b->plan->stages[stage].planned > 0 && !bk_has_begun(&b->plan->stages[stage]))
        *BK_PUSH(b->arena, list->items, list->count, list->room) = (claim){stage, from, to, amount};
}

/* One after the other, either way round. */
static void order_pair(bk_builder *b, const claim *one, const claim *two, int fact)
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
    bk_builder_order(b, one->stage, two->stage, (bk_order){when[0].var, one->to, two->from, 0});
    when[0] = (bk_bound){when[0].var, 0, false};
    bk_problem_lag(problem, two->to.var, one->from.var, two->to.plus - one->from.plus, when, n,
                   fact);
}

/* Stages that waits hold together and that do not fit at once come one after the
 * other. The resource says so too, but only once their times are nearly known:
 * said here, a wait that allows neither order is found at once. */
static void order_tied(bk_builder *b, const claims *list, int64_t capacity, int fact)
{
    for (size_t i = 0; i < list->count; i++)
        for (size_t j = i + 1; j < list->count; j++) {
            const claim *one = &list->items[i], *two = &list->items[j];
            if (b->tied[one->stage] == b->tied[two->stage] && one->amount <= capacity &&
                two->amount <= capacity && one->amount + two->amount > capacity)
                order_pair(b, one, two, fact);
        }
}

/* ------------------------------------------------------------------ hands */

/* All cooks' hands are full while they are at table, which begins when it is served. */
static void build_moving_table(bk_builder *b, const bk_uses *list, bk_point from, bk_point to)
{
    bk_uses with_table = {0};
    for (size_t i = 0; i < list->count; i++)
        *BK_PUSH(b->arena, with_table.items, with_table.count, with_table.room) = list->items[i];
    bk_add_use(b, &with_table, from, to, b->plan->kitchen.cooks, BK_ALWAYS);
    bk_problem_cumulative(b->out->problem, b->plan->kitchen.cooks, with_table.items,
                          with_table.count, BK_NO_FACT);
}

/* Tables move with what is served. Where each dish does so by itself, two tables may
 * come to overlap, as two do that the plan has so. */
static void build_moving_tables(bk_builder *b, const bk_uses *list)
{
    const bk_plan *plan = b->plan;
    if (b->options.late_most > 0) {
        for (size_t d = 0; d < plan->dish_count; d++) {
            if (plan->dishes[d].out)
                continue;
            bk_point to = bk_serve_of(b, &plan->dishes[d]), from = to;
            from.plus -= bk_narrow(plan->at_table);
            build_moving_table(b, list, from, to);
        }
        return;
    }
    for (size_t i = 0; i < b->table_count; i++) {
        bk_hole table = bk_table_hole(b, i);
        bk_var moved = b->out->put_off[b->tables[i].dish];
        build_moving_table(b, list, (bk_point){moved, table.from}, (bk_point){moved, table.to});
    }
}

void bk_build_hands(bk_builder *b)
{
    const bk_plan *plan = b->plan;
    bk_compiled *out = b->out;
    bk_uses list = {0};
    claims claimed = {0};
    bk_handwork *work = NULL;
    bk_begun *begun = NULL;
    size_t count = 0, room = 0, begun_count = 0, begun_room = 0;
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        if (stage->attention == BK_HANDS && !bk_is_over(b, i)) {
            bk_point end = bk_end_of(b, i), from = bk_start_of(b, i);
            if (bk_has_begun(stage)) {
                *BK_PUSH(b->arena, begun, begun_count, begun_room) =
                    (bk_begun){.end = stage->began + stage->planned, .amount = stage->cooks};
            } else {
                bk_add_use(b, &list, end, from, stage->cooks, BK_ALWAYS);
                add_claim(b, &claimed, i, end, from, stage->cooks);
                *BK_PUSH(b->arena, work, count, room) = (bk_handwork){
                    end, from, stage->planned, stage->cooks, out->stage_by + i * out->people};
            }
        }
        for (size_t k = 0; k < stage->check_count; k++) {
            size_t check = out->first_check[i] + k;
            bk_var var = out->check_end[check];
            if (var == BK_CONSTANT)
                continue;
            bk_point end = {var, 0}, start = {var, bk_narrow(stage->checks[k].takes)};
            bk_add_use(b, &list, end, start, 1, BK_ALWAYS);
            add_claim(b, &claimed, i, end, start, 1);
            *BK_PUSH(b->arena, work, count, room) = (bk_handwork){
                end, start, stage->checks[k].takes, 1, out->check_by + check * out->people};
        }
    }
    if (list.count == 0)
        return;
    if (bk_put_off_most(b) > 0 && b->table_count > 0)
        build_moving_tables(b, &list);
    int fact = bk_builder_fact(b, BK_FACT_HANDS, plan->cooks_place);
    if (out->people > 0)
        bk_build_people(b, &list, work, count, fact);
    bk_add_begun(b, &list, begun, begun_count, plan->kitchen.cooks, bk_cooks_away(b), out->people);
    bk_problem_cumulative(out->problem, plan->kitchen.cooks, list.items, list.count, fact);
    order_tied(b, &claimed, plan->kitchen.cooks, fact);
}

/* ------------------------------------------------------------------ pools */

/* Does `later` start only after `stage` has ended, by the links alone? */
static bool comes_after(bk_builder *b, size_t later, size_t stage)
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

/* What a stage takes of a pool beside what its dish holds already. */
static int64_t beyond(const bk_stage *stage, size_t e, int64_t held)
{
    int64_t amount = 0;
    for (size_t k = 0; k < stage->need_count; k++)
        if (stage->needs[k].equipment == e)
            amount += stage->needs[k].amount;
    return amount > held ? amount - held : 0;
}

/* What a stage alone needs of a pool all the while it runs, `taken` and what it holds:
 * where that is more than there is, no time will do, and the search need not try them
 * all. */
static int64_t own_need(bk_builder *b, size_t i, size_t e, int64_t taken)
{
    const bk_stage *stage = &b->plan->stages[i];
    int64_t pool = b->plan->kitchen.equipment[e].pool, all = taken, sure = taken;
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

/* T - when a dish is ready; from now on, where all of it is over. */
static bk_point ready_from(const bk_builder *b, size_t d)
{
    const bk_dish *dish = &b->plan->dishes[d];
    for (size_t i = dish->first_stage; i < dish->first_stage + dish->stage_count; i++)
        if (!bk_is_over(b, i))
            return (bk_point){b->out->ready[d], 0};
    return (bk_point){BK_CONSTANT, b->span};
}

typedef struct pool_use {
    bk_builder *b;
    bk_uses to_come;
    bk_begun *begun;
    size_t begun_count, begun_room;
    int64_t total;
} pool_use;

/* `until`: the stage that has begun whose end it is; SIZE_MAX: it ends by what is to come. */
static void use_pool(pool_use *use, bk_point to, bk_point from, int64_t amount, bool begun,
                     size_t until)
{
    bk_builder *b = use->b;
    use->total += amount;
    if (!begun) {
        bk_add_use(b, &use->to_come, to, from, amount, BK_ALWAYS);
        return;
    }
    bk_begun added = {.amount = amount, .from = from, .to = to, .open = until == SIZE_MAX};
    if (until != SIZE_MAX)
        added.end = b->plan->stages[until].began + b->plan->stages[until].planned;
    if (amount > 0)
        *BK_PUSH(b->arena, use->begun, use->begun_count, use->begun_room) = added;
}

/* All of it. */
static bool is_begun(const bk_plan *plan, const bk_dish *dish)
{
    for (size_t i = dish->first_stage; i < dish->first_stage + dish->stage_count; i++)
        if (!bk_has_begun(&plan->stages[i]))
            return false;
    return true;
}

void bk_build_pool(bk_builder *b, size_t e)
{
    const bk_plan *plan = b->plan;
    const bk_equipment *equipment = &plan->kitchen.equipment[e];
    pool_use use = {.b = b};
    claims claimed = {0};
    int64_t *held = bk_build_held(b, e);
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        int64_t taken = bk_is_over(b, i) ? 0 : beyond(stage, e, held[i]);
        bk_point from = bk_counts_from(b, i), end = bk_end_of(b, i);
        bool begun = bk_has_begun(stage);
        if (!begun)
            bk_add_use(b, &use.to_come, end, from, own_need(b, i, e, taken), BK_ALWAYS);
        use_pool(&use, end, from, taken, begun, begun ? i : SIZE_MAX);
        add_claim(b, &claimed, i, end, from, taken);
        for (size_t k = 0; k < stage->hold_count; k++) {
            size_t until = stage->holds[k].until;
            if (stage->holds[k].equipment == e && !bk_is_over(b, until))
                use_pool(&use, bk_end_of(b, until), from, stage->holds[k].amount, begun,
                         bk_has_begun(&plan->stages[until]) ? until : SIZE_MAX);
        }
    }
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[d];
        for (size_t k = 0; k < dish->stored_count; k++)
            if (dish->stored[k].equipment == e &&
                !(is_begun(plan, dish) && dish->serve <= plan->now))
                use_pool(&use, b->out->until[d], ready_from(b, d), dish->stored[k].amount,
                         is_begun(plan, dish), SIZE_MAX);
    }
    if (use.total <= equipment->pool)
        return; /* everything fits at once */
    int fact = bk_builder_fact(b, BK_FACT_POOL, equipment->place);
    bk_builder_fact_at(b, fact)->equipment = e;
    bk_add_begun_pool(b, &use.to_come, use.begun, use.begun_count, equipment->pool, fact);
    order_tied(b, &claimed, equipment->pool, fact);
}

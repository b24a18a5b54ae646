/* Plan to problem: how often a cook whose hands are full has to leave off and see to
 * something else.
 *
 * A resource that hands-on work fills from its second minute to its last, so that only
 * what is strictly inside it counts: touches are uses of it of one minute, so small that
 * all of them together fit beside all cooks but one, and not one beside all cooks. A
 * touch may be left out of it, at a price. */
#include "compile/parts.h"

#include <stdlib.h>

/* Ends and starts that are the same minute, as a union-find over 2 * stage (start) and
 * 2 * stage + 1 (end). */
static size_t minute_of(size_t *same, size_t point)
{
    while (same[point] != point)
        point = same[point] = same[same[point]];
    return point;
}

static size_t *same_minutes(bk_builder *b)
{
    const bk_plan *plan = b->plan;
    size_t *same = BK_NEW(b->arena, size_t, 2 * plan->stage_count);
    for (size_t i = 0; i < 2 * plan->stage_count; i++)
        same[i] = i;
    for (size_t i = 0; i < plan->stage_count; i++) {
        if (plan->stages[i].planned == 0)
            same[minute_of(same, 2 * i)] = minute_of(same, 2 * i + 1);
        for (size_t k = 0; k < plan->stages[i].link_count; k++) {
            const bk_link *link = &plan->stages[i].links[k];
            if (link->wait == 0 && link->has_within && link->within == 0)
                same[minute_of(same, 2 * i)] =
                    minute_of(same, 2 * link->stage + (link->from_start ? 0 : 1));
        }
    }
    return same;
}

/* The touches of a plan, those of one minute as one. */
static void find_touches(bk_builder *b)
{
    bk_compiled *out = b->out;
    size_t n = b->plan->stage_count, room = 0;
    size_t *same = same_minutes(b);
    bool *taken = BK_NEW(b->arena, bool, 2 * n);
    for (size_t i = 0; i < n; i++) {
        bk_point touches[2];
        size_t count = bk_touches_of(b, i, touches);
        for (size_t k = 0; k < count; k++) {
            bool end = touches[k].var == out->stage_end[i] && touches[k].plus == 0;
            size_t minute = minute_of(same, 2 * i + (end ? 1 : 0));
            if (!taken[minute])
                *BK_PUSH(b->arena, out->touches, out->touch_count, room) = touches[k];
            taken[minute] = true;
        }
    }
}

static void add_work(bk_builder *b, bk_point from, int64_t length, int cooks, size_t *room)
{
    bk_compiled *out = b->out;
    if (length >= 2) /* shorter, nothing is strictly inside it */
        *BK_PUSH(b->arena, out->work, out->work_count, *room) =
            (bk_work){from, bk_narrow(length), cooks, false};
}

static void find_tables(bk_builder *b, size_t *room)
{
    for (size_t i = 0; i < b->table_count; i++) {
        size_t before = b->out->work_count;
        add_work(b, (bk_point){BK_CONSTANT, bk_narrow(b->out->mirror - b->tables[i].to)},
                 b->tables[i].to - b->tables[i].from, b->plan->kitchen.cooks, room);
        if (b->out->work_count > before)
            b->out->work[before].at_table = true;
    }
}

static void find_work(bk_builder *b)
{
    const bk_plan *plan = b->plan;
    size_t room = 0;
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        if (stage->attention == BK_HANDS)
            add_work(b, bk_end_of(b, i), stage->planned, stage->cooks, &room);
        for (size_t k = 0; k < stage->check_count; k++) {
            bk_var var = b->out->check_end[b->out->first_check[i] + k];
            if (var != BK_CONSTANT)
                add_work(b, (bk_point){var, 0}, stage->checks[k].takes, 1, &room);
        }
    }
    find_tables(b, &room);
    for (size_t c = 0; c < b->out->people; c++) {
        bk_spans kept = bk_cook_kept(b, c);
        for (size_t i = 0; i < kept.count; i++)
            add_work(b, (bk_point){BK_CONSTANT, bk_narrow(b->out->mirror - kept.items[i].to)},
                     kept.items[i].to - kept.items[i].from, 1, &room);
    }
}

static bk_var new_var(bk_builder *b, int at_rest)
{
    bk_var var = bk_problem_var(b->out->problem, 0, 1);
    bk_builder_at_rest(b, var, at_rest);
    return var;
}

/* A touch in the minute of one before it costs nothing more. */
static void share_minutes(bk_builder *b, const bk_var *peaceful)
{
    bk_compiled *out = b->out;
    bk_bound *either = BK_NEW(b->arena, bk_bound, out->touch_count + 1);
    for (size_t i = 0; i < out->touch_count; i++) {
        bk_var counts = new_var(b, 1);
        size_t n = 0;
        either[n++] = (bk_bound){peaceful[i], 1, true};
        either[n++] = (bk_bound){counts, 1, true};
        for (size_t j = 0; j < i; j++) {
            bk_bound shared = {new_var(b, 0), 1, true};
            bk_point one = out->touches[i], two = out->touches[j];
            bk_problem_lag(out->problem, one.var, two.var, one.plus - two.plus, &shared, 1,
                           BK_NO_FACT);
            bk_problem_lag(out->problem, two.var, one.var, two.plus - one.plus, &shared, 1,
                           BK_NO_FACT);
            either[n++] = shared;
        }
        bk_problem_clause(out->problem, either, n, BK_NO_FACT);
        bk_problem_cost(out->problem, out->level_interruptions, counts, 1);
    }
}

/* Strictly inside [from, to): from its second minute on. */
static void add_strictly(bk_builder *b, bk_uses *list, const bk_work *work, int32_t from,
                         int32_t to, int64_t each)
{
    if (to - from >= 2)
        bk_add_use(b, list, (bk_point){work->from.var, from + 1}, (bk_point){work->from.var, to},
                   work->cooks * each, BK_ALWAYS);
}

/* A cook who is away is not counted once more while all are at table. */
static void add_beside_tables(bk_builder *b, bk_uses *list, const bk_work *work, int64_t each)
{
    int32_t from = work->from.plus, to = from + work->length;
    for (size_t i = b->table_count; i-- > 0 && !work->at_table;) {
        int32_t begins = bk_narrow(b->out->mirror - b->tables[i].to),
                ends = bk_narrow(b->out->mirror - b->tables[i].from);
        if (ends <= from || begins >= to || ends - begins < 2)
            continue;
        /* The minutes strictly inside the table are its own: up to its first, from its last. */
        add_strictly(b, list, work, from, begins + 1 < to ? begins + 1 : to, each);
        from = ends - 1 > from ? ends - 1 : from;
    }
    add_strictly(b, list, work, from, to, each);
}

/* The minutes at which something that is known keeps hands full: with what has begun it may
 * be more than there are, which count as all. */
typedef struct known {
    int32_t from, to; /* mirrored, [from, to) */
    int cooks;
} known;

static int by_place(const void *left, const void *right)
{
    int32_t a = *(const int32_t *)left, b = *(const int32_t *)right;
    return (a > b) - (a < b);
}

static void add_known(bk_builder *b, bk_uses *list, const known *items, size_t count, int64_t each)
{
    int32_t *edges = BK_NEW(b->arena, int32_t, 2 * count);
    for (size_t i = 0; i < count; i++) {
        edges[2 * i] = items[i].from;
        edges[2 * i + 1] = items[i].to;
    }
    if (count > 0)
        qsort(edges, 2 * count, sizeof *edges, by_place);
    for (size_t e = 0; e + 1 < 2 * count; e++) {
        int64_t cooks = 0;
        for (size_t i = 0; i < count && edges[e] < edges[e + 1]; i++)
            cooks += items[i].from <= edges[e] && edges[e] < items[i].to ? items[i].cooks : 0;
        if (cooks > b->plan->kitchen.cooks)
            cooks = b->plan->kitchen.cooks;
        bk_add_use(b, list, (bk_point){BK_CONSTANT, edges[e]},
                   (bk_point){BK_CONSTANT, edges[e + 1]}, cooks * each, BK_ALWAYS);
    }
}

/* Is it that of a stage that has begun? Then its end, mirrored. */
static bool is_begun(const bk_builder *b, const bk_work *work, int32_t *end)
{
    for (size_t i = 0; i < b->plan->stage_count; i++) {
        const bk_stage *stage = &b->plan->stages[i];
        *end = bk_narrow(b->out->mirror - stage->began - stage->planned);
        if (b->out->stage_end[i] == work->from.var && bk_has_begun(stage))
            return true;
    }
    return false;
}

static void add_work_to(bk_builder *b, bk_uses *list, int64_t each)
{
    bk_compiled *out = b->out;
    known *items = BK_NEW(b->arena, known, out->work_count);
    size_t count = 0;
    bool begun = false;
    for (size_t i = 0; i < out->work_count; i++) {
        const bk_work *work = &out->work[i];
        int32_t from = work->from.plus, end;
        if (b->plan->under_way && work->from.var != BK_CONSTANT && is_begun(b, work, &end)) {
            from += end;
            begun = true;
        } else if (work->from.var != BK_CONSTANT) {
            add_strictly(b, list, work, from, from + work->length, each);
            continue;
        }
        items[count++] = (known){from + 1, from + work->length, work->cooks};
    }
    if (begun) {
        add_known(b, list, items, count, each);
        return;
    }
    for (size_t i = 0; i < out->work_count; i++)
        if (out->work[i].from.var == BK_CONSTANT)
            add_beside_tables(b, list, &out->work[i], each);
}

void bk_build_interruptions(bk_builder *b)
{
    bk_compiled *out = b->out;
    out->level_interruptions = bk_problem_level(out->problem);
    find_touches(b);
    find_work(b);
    if (out->work_count == 0 || out->touch_count == 0)
        return;
    bk_uses list = {0};
    int64_t cooks = b->plan->kitchen.cooks, each = (int64_t)out->touch_count;
    add_work_to(b, &list, each);
    bk_var *peaceful = BK_NEW(b->arena, bk_var, out->touch_count);
    for (size_t i = 0; i < out->touch_count; i++) {
        bk_point touch = out->touches[i];
        peaceful[i] = new_var(b, 0);
        bk_add_use(b, &list, touch, (bk_point){touch.var, touch.plus + 1}, 1, peaceful[i]);
    }
    bk_problem_cumulative(out->problem, bk_narrow(cooks * each), list.items, list.count,
                          BK_NO_FACT);
    if (b->options.minutes_shared) {
        share_minutes(b, peaceful);
        return;
    }
    for (size_t i = 0; i < out->touch_count; i++)
        bk_problem_cost_if(out->problem, out->level_interruptions,
                           (bk_bound){peaceful[i], 0, false}, 1);
}

/* ----------------------------------------------------------------- counting */

static int32_t at(const int32_t *value, bk_point point)
{
    return (point.var == BK_CONSTANT ? 0 : value[point.var]) + point.plus;
}

static bool all_full(const bk_compiled *compiled, const int32_t *value, int32_t minute)
{
    int64_t full = 0;
    for (size_t i = 0; i < compiled->work_count; i++) {
        const bk_work *work = &compiled->work[i];
        int32_t from = at(value, work->from);
        if (from < minute && minute < from + work->length)
            full += work->cooks;
    }
    return full >= compiled->plan->kitchen.cooks;
}

int64_t bk_interruptions(bk_arena *arena, const bk_compiled *compiled, const int32_t *value,
                         int32_t from, int32_t to)
{
    bk_mark mark = bk_arena_mark(arena);
    int32_t *minutes = BK_NEW(arena, int32_t, compiled->touch_count);
    size_t count = 0;
    int64_t found = 0;
    for (size_t i = 0; i < compiled->touch_count; i++) {
        int32_t minute = at(value, compiled->touches[i]);
        if (from < minute && minute < to)
            minutes[count++] = minute;
    }
    if (count > 1)
        qsort(minutes, count, sizeof *minutes, by_place);
    for (size_t i = 0; i < count; i++)
        if (i == 0 || minutes[i] != minutes[i - 1])
            found += all_full(compiled, value, minutes[i]);
    bk_arena_release(arena, mark);
    return found;
}

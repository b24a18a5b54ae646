/* Plan to problem: hands-on work spread over the days before the last, as the greatest
 * number of minutes on any of them.
 *
 * Each date is a minute of a resource, in which what is done on that date is used. What
 * is not in the greatest number is filled: as that number falls, so does the room. */
#include "compile/parts.h"

typedef struct dates {
    bk_builder *b;
    bk_uses list;
    int64_t unit, all;     /* what every length is a multiple of; all work in minutes */
    bk_instant *midnights; /* where the dates begin; and the last day */
    size_t count, room;
} dates;

static int64_t common(int64_t a, int64_t b)
{
    while (b > 0) {
        int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

/* 1 when the end is from `first` to `last` (instants). */
static void use_on(dates *d, bk_var end, bk_instant first, bk_instant last, size_t date,
                   int64_t amount)
{
    bk_compiled *out = d->b->out;
    if (last < first)
        return;
    bk_var used = bk_problem_var(out->problem, 0, 1);
    bk_builder_at_rest(d->b, used, 1);
    bk_bound either[3] = {{end, bk_narrow(out->mirror - last) - 1, false},
                          {end, bk_narrow(out->mirror - first) + 1, true},
                          {used, 1, true}};
    bk_problem_clause(out->problem, either, 3, BK_NO_FACT);
    int32_t minute = bk_narrow((int64_t)date);
    bk_add_use(d->b, &d->list, (bk_point){BK_CONSTANT, minute}, (bk_point){BK_CONSTANT, minute + 1},
               amount, used);
}

/* What work of `length` minutes does to a date. */
static void build_date(dates *d, bk_var end, int64_t length, size_t date)
{
    bk_instant midnight = d->midnights[date], next = d->midnights[date + 1];
    if (d->unit > 1 || (bk_never_across(d->b, midnight) && bk_never_across(d->b, next))) {
        use_on(d, end, midnight + length, next, date, length / d->unit);
        return;
    }
    for (int64_t k = 1; k <= length && k <= next - midnight; k++)
        use_on(d, end, midnight + k, next - k + length, date, 1);
}

/* Calls for each piece of hands-on work: the variable of its end, and its length. */
static void each_work(dates *d, void (*act)(dates *, bk_var, int64_t))
{
    const bk_plan *plan = d->b->plan;
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        if (stage->attention == BK_HANDS && stage->planned > 0)
            act(d, d->b->out->stage_end[i], stage->planned);
        for (size_t k = 0; k < stage->check_count; k++)
            if (stage->checks[k].takes > 0)
                act(d, d->b->out->check_end[d->b->out->first_check[i] + k], stage->checks[k].takes);
    }
}

static void measure(dates *d, bk_var end, int64_t length)
{
    (void)end;
    d->unit = common(length, d->unit);
    d->all += length;
}

static void build_dates(dates *d, bk_var end, int64_t length)
{
    for (size_t date = 0; date + 1 < d->count; date++)
        build_date(d, end, length, date);
}

/* The dates before the last, and whether no work can stand across the end of any. What has
 * begun may have done so before the earliest. */
static bool find_midnights(dates *d)
{
    const bk_plan *plan = d->b->plan;
    bk_instant last = bk_day_start(plan->zone, plan->last_serve);
    bk_instant day = bk_day_start(plan->zone, d->b->out->mirror - d->b->past);
    bool never = true;
    *BK_PUSH(d->b->arena, d->midnights, d->count, d->room) = day;
    while (day < last) {
        day = bk_next_day_start(plan->zone, day);
        never = never && bk_never_across(d->b, day);
        *BK_PUSH(d->b->arena, d->midnights, d->count, d->room) = day;
    }
    return never;
}

void bk_build_spread(bk_builder *b)
{
    bk_compiled *out = b->out;
    dates d = {.b = b};
    out->level_spread = bk_problem_level(out->problem);
    each_work(&d, measure);
    bool never_across = find_midnights(&d);
    if (d.all == 0 || d.count < 2)
        return;
    if (!never_across)
        d.unit = 1;
    out->spread_unit = d.unit;
    each_work(&d, build_dates);
    int64_t units = d.all / d.unit;
    bk_var most = bk_problem_var(out->problem, 0, bk_narrow(units));
    bk_builder_at_rest(b, most, bk_narrow(units));
    for (int64_t k = 1; k <= units; k++) {
        bk_var filled = bk_problem_var(out->problem, 0, 1);
        bk_builder_at_rest(b, filled, 0);
        bk_bound either[2] = {{filled, 1, true}, {most, bk_narrow(k), true}};
        bk_problem_clause(out->problem, either, 2, BK_NO_FACT);
        bk_add_use(b, &d.list, (bk_point){BK_CONSTANT, 0},
                   (bk_point){BK_CONSTANT, bk_narrow((int64_t)d.count - 1)}, 1, filled);
    }
    bk_problem_cumulative(out->problem, bk_narrow(units), d.list.items, d.list.count, BK_NO_FACT);
    bk_problem_cost(out->problem, out->level_spread, most, 1);
}

/* Solution to timeline: times, checks and reminders, figures, slack, and what
 * keeps each stage from starting later. */
#include "schedule/place.h"

#include <stdlib.h>
#include <string.h>

typedef struct placing {
    bk_arena *arena;
    bk_timeline *timeline;
    const bk_plan *plan;
    const bk_compiled *compiled;
    int32_t *value;
    bk_report *report;
    const bk_check_index *index;
    bk_followers followers;
    int64_t earlier_left; /* places that may still be tried */
    bk_var *changed;      /* of the stage that is being moved */
    size_t changed_count;
} placing;

static bk_instant instant_at(const placing *p, bk_point point)
{
    return p->compiled->mirror - p->value[point.var] - point.plus;
}

/* --------------------------------------------------------------- validity */

static int oven_number(const placing *p, size_t stage);

/* Is it the last of those before it that heat the oven which a stage then stands in? Of
 * several that end at once it is one in the same oven, if there is one. */
static bool is_last_before(const placing *p, size_t i)
{
    const bk_compiled *c = p->compiled;
    const bk_last *last = &c->lasts[i];
    bool here = oven_number(p, last->stage) == oven_number(p, last->off);
    for (size_t k = 0; k < c->last_count; k++) {
        if (c->lasts[k].off != last->off || k == i)
            continue;
        int32_t end = p->value[c->stage_end[last->stage]],
                other = p->value[c->stage_end[c->lasts[k].stage]];
        bool other_here = oven_number(p, c->lasts[k].stage) == oven_number(p, last->off);
        if (other < end || (other == end && other_here && (!here || k < i)) ||
            (other == end && !other_here && !here && k < i))
            return false;
    }
    return true;
}

/* Whether the i-th of `lasts` may change when `stage` moves. */
static bool is_about(const bk_compiled *c, size_t i, size_t stage)
{
    if (c->lasts[i].off == stage)
        return true;
    for (size_t k = 0; k < c->last_count; k++)
        if (c->lasts[k].off == c->lasts[i].off && c->lasts[k].stage == stage)
            return true;
    return false;
}

/* Variables that follow from the others: a dish's own `ready` is the least of its
 * stages', a part's `until` the least of the starts of those linked to it; two that may
 * not overlap are in the order they stand in. The first
 * start only has to be no less than any: it may stay where it was. */
static void derive(placing *p, size_t stage)
{
    const bk_compiled *c = p->compiled;
    size_t d = p->plan->stages[stage].dish;
    const bk_dish *dish = &p->plan->dishes[d];
    if (c->ready_own[d]) {
        int32_t least = INT32_MAX;
        for (size_t i = dish->first_stage; i < dish->first_stage + dish->stage_count; i++)
            if (p->value[c->stage_end[i]] < least)
                least = p->value[c->stage_end[i]];
        p->value[c->ready[d]] = least;
    }
    for (size_t k = 0; k < p->plan->stages[stage].link_count; k++) {
        size_t part = p->plan->stages[p->plan->stages[stage].links[k].stage].dish;
        if (!c->until_own[part])
            continue;
        int32_t least = INT32_MAX;
        for (size_t i = 0; i < c->user_count[part]; i++) {
            bk_point start = c->stage_start[c->users[part][i]];
            if (p->value[start.var] + start.plus < least)
                least = p->value[start.var] + start.plus;
        }
        p->value[c->until[part].var] = least;
    }
    for (size_t i = 0; i < c->orders[stage].count; i++) {
        const bk_order *order = &c->orders[stage].items[i];
        int32_t sooner = p->value[order->sooner.var] + order->sooner.plus;
        int32_t later = p->value[order->later.var] + order->later.plus;
        p->value[order->var] = later >= sooner + order->gap;
    }
    for (size_t i = 0; i < c->last_count; i++)
        if (is_about(c, i, stage))
            p->value[c->lasts[i].var] = is_last_before(p, i);
}

/* The variables that move when a stage or its checks do. */
static void list_changed(placing *p, size_t stage)
{
    const bk_compiled *c = p->compiled;
    const bk_stage *s = &p->plan->stages[stage];
    p->changed_count = 0;
    p->changed[p->changed_count++] = c->stage_end[stage];
    for (size_t k = 0; k < s->check_count; k++) {
        bk_var var = c->check_end[c->first_check[stage] + k];
        if (var != BK_CONSTANT)
            p->changed[p->changed_count++] = var;
    }
    if (c->ready_own[s->dish])
        p->changed[p->changed_count++] = c->ready[s->dish];
    for (size_t k = 0; k < s->link_count; k++) {
        size_t part = p->plan->stages[s->links[k].stage].dish;
        if (c->until_own[part])
            p->changed[p->changed_count++] = c->until[part].var;
    }
    for (size_t i = 0; i < c->orders[stage].count; i++)
        p->changed[p->changed_count++] = c->orders[stage].items[i].var;
    for (size_t i = 0; i < c->last_count; i++)
        if (is_about(c, i, stage))
            p->changed[p->changed_count++] = c->lasts[i].var;
}

/* With only `stage` and its checks away from where all was valid. */
static bool check_moved(placing *p, size_t stage, bool (*each)(void *, const bk_broken *),
                        void *context)
{
    derive(p, stage);
    list_changed(p, stage);
    return bk_problem_check_near(p->compiled->problem, p->index, p->value, p->changed,
                                 p->changed_count, each, context);
}

static bool valid(placing *p, size_t stage)
{
    return check_moved(p, stage, NULL, NULL);
}

/* Room for the changed variables of any one stage. */
static void make_room(placing *p)
{
    size_t most = 0;
    for (size_t i = 0; i < p->plan->stage_count; i++) {
        size_t n = p->plan->stages[i].check_count + p->compiled->orders[i].count +
                   p->compiled->last_count + p->plan->stages[i].link_count + 2;
        if (n > most)
            most = n;
    }
    p->changed = BK_NEW(p->arena, bk_var, most);
    p->index = bk_check_index_new(p->arena, p->compiled->problem);
}

/* Hands-on minutes of the last serving day, where the style counts them. */
static int64_t hands_level(const placing *p)
{
    const bk_compiled *c = p->compiled;
    return c->level_hands < 0 ? 0 : bk_problem_sum(c->problem, c->level_hands, p->value);
}

/* Style spread: is the check still on the one civil date it was on? */
static bool same_date(const placing *p, int32_t was, int32_t is, int64_t takes)
{
    if (p->compiled->level_spread < 0)
        return true;
    const bk_zone *zone = p->plan->zone;
    bk_instant from = p->compiled->mirror - was - takes, to = p->compiled->mirror - is - takes;
    bk_instant low = from < to ? from : to, high = (from > to ? from : to) + takes;
    return high <= bk_next_day_start(zone, low);
}

static int64_t interruptions_in(placing *p, int32_t from, int32_t to)
{
    return bk_interruptions(p->arena, p->compiled, p->value, from, to);
}

/* Puts a check at its written minute, or as near to it as all stays valid and as
 * good: the search does not care where in its leeway a check stands, the cook
 * does. */
static void place_check(placing *p, size_t stage, size_t k)
{
    const bk_compiled *c = p->compiled;
    bk_var var = c->check_end[c->first_check[stage] + k];
    if (var == BK_CONSTANT)
        return;
    const bk_check *check = &p->plan->stages[stage].checks[k];
    int32_t written = p->value[c->stage_start[stage].var] + c->stage_start[stage].plus -
                      (int32_t)check->at - (int32_t)check->takes;
    int32_t kept = p->value[var];
    int64_t hands = hands_level(p);
    /* A move changes only what lies inside where the check can be. */
    int32_t low = written - (int32_t)check->give,
            high = written + (int32_t)(check->give + check->takes);
    int64_t interruptions = interruptions_in(p, low, high);
    for (int32_t off = 0; off <= (int32_t)check->give; off++)
        for (int side = 0; side < (off ? 2 : 1); side++) {
            /* Mirrored: a smaller value is later; later first. */
            p->value[var] = written + (side ? off : -off);
            if (p->value[var] == kept || (valid(p, stage) && hands_level(p) <= hands &&
                                          same_date(p, kept, p->value[var], check->takes) &&
                                          interruptions_in(p, low, high) <= interruptions))
                return;
        }
    p->value[var] = kept;
    derive(p, stage);
}

/* ----------------------------------------------------------------- checks */

static bool up_and_home(const bk_plan *plan, bk_instant t, bk_instant *next)
{
    for (size_t i = 0; i < plan->kitchen.window_count; i++) {
        const bk_window *window = &plan->kitchen.windows[i];
        if (window->kind != BK_BUSY && window->from <= t && t < window->to) {
            *next = window->to;
            return false;
        }
    }
    return true;
}

/* Until when a reminder may be moved (rule 7a): its dish is not served, and nothing that is
 * linked to its stage has begun. */
static bk_instant last_use(const placing *p, const bk_placed *placed)
{
    size_t stage = placed->stage;
    bk_instant until = p->plan->dishes[p->plan->stages[stage].dish].serve;
    for (size_t i = p->followers.first[stage]; i < p->followers.first[stage + 1]; i++) {
        bk_instant start = instant_at(p, p->compiled->stage_start[p->followers.stage[i]]);
        if (start < until)
            until = start;
    }
    return until;
}

static void place_reminder(placing *p, const bk_placed *placed, bk_placed_check *at)
{
    bk_instant written = placed->start + at->check->at, t = written, next;
    while (!up_and_home(p->plan, t, &next))
        t = next;
    at->start = at->end = t;
    if (t == written || t < placed->end || t < last_use(p, placed))
        return;
    at->dropped = true;
    bk_warning_about(
        p->report, (bk_about){BK_OTHER_CONCERN, placed->stage}, "reminder-dropped",
        at->check->place, NULL,
        "nobody is up for \"%s\" of %s before it is too late: the reminder is left out",
        at->check->text, bk_stage_name(p->arena, p->plan, placed->stage));
}

static void fill_checks(placing *p, bk_placed *placed)
{
    const bk_stage *stage = &p->plan->stages[placed->stage];
    const bk_compiled *c = p->compiled;
    placed->check_count = stage->check_count;
    placed->checks = BK_NEW(p->arena, bk_placed_check, stage->check_count);
    for (size_t k = 0; k < stage->check_count; k++) {
        bk_placed_check *at = &placed->checks[k];
        at->check = &stage->checks[k];
        bk_var var = c->check_end[c->first_check[placed->stage] + k];
        if (var == BK_CONSTANT) {
            place_reminder(p, placed, at);
        } else {
            at->end = instant_at(p, (bk_point){var, 0});
            at->start = at->end - at->check->takes;
        }
    }
}

/* ------------------------------------------------------------------ slack */

static void shift(placing *p, size_t stage, int32_t minutes_later)
{
    const bk_compiled *c = p->compiled;
    p->value[c->stage_end[stage]] -= minutes_later;
    for (size_t k = 0; k < p->plan->stages[stage].check_count; k++) {
        bk_var var = c->check_end[c->first_check[stage] + k];
        if (var != BK_CONSTANT)
            p->value[var] -= minutes_later;
    }
}

/* Tries at most so many placings of one stage's checks before it says that they
 * cannot be placed: enough for two checks of 30 min either way. */
enum { MOST_CHECK_PLACINGS = 4096 };

/* With the stage where it is now: can its checks be placed so that all is valid?
 * Every placing of them is tried where they are few, and else where they are now.
 * Leaves them valid, or as they were. */
static bool fits(placing *p, size_t stage)
{
    if (valid(p, stage))
        return true;
    const bk_compiled *c = p->compiled;
    const bk_stage *s = &p->plan->stages[stage];
    const bk_var *var = &c->check_end[c->first_check[stage]];
    int64_t placings = 1;
    for (size_t k = 0; k < s->check_count && placings <= MOST_CHECK_PLACINGS; k++)
        if (var[k] != BK_CONSTANT)
            placings *= s->checks[k].give > MOST_CHECK_PLACINGS ? MOST_CHECK_PLACINGS + 1
                                                                : 2 * s->checks[k].give + 1;
    if (placings == 1 || placings > MOST_CHECK_PLACINGS)
        return false;
    int32_t start = p->value[c->stage_start[stage].var] + c->stage_start[stage].plus;
    int32_t *kept = BK_NEW(p->arena, int32_t, s->check_count);
    for (size_t k = 0; k < s->check_count; k++)
        kept[k] = var[k] == BK_CONSTANT ? 0 : p->value[var[k]];
    for (int64_t number = 0; number < placings; number++) {
        int64_t rest = number; /* one digit for each check */
        for (size_t k = 0; k < s->check_count; k++) {
            if (var[k] == BK_CONSTANT)
                continue;
            int64_t digits = 2 * s->checks[k].give + 1;
            int64_t off = rest % digits - s->checks[k].give;
            rest /= digits;
            p->value[var[k]] = start - (int32_t)(s->checks[k].at + s->checks[k].takes + off);
        }
        if (valid(p, stage))
            return true;
    }
    for (size_t k = 0; k < s->check_count; k++)
        if (var[k] != BK_CONSTANT)
            p->value[var[k]] = kept[k];
    return false;
}

/* Who, beside `stage`, the broken constraint is about. */
static size_t stage_of_variable(const bk_compiled *c, bk_var var, size_t not_this)
{
    if (var < 0)
        return SIZE_MAX;
    for (size_t i = 0; i < c->plan->stage_count; i++) {
        if (i == not_this)
            continue;
        if (c->stage_end[i] == var)
            return i;
        for (size_t k = 0; k < c->plan->stages[i].check_count; k++)
            if (c->check_end[c->first_check[i] + k] == var)
                return i;
    }
    return SIZE_MAX;
}

typedef struct pins {
    placing *p;
    bk_placed *placed;
    size_t room;
} pins;

static bool add_pin(void *context, const bk_broken *broken)
{
    pins *list = context;
    placing *p = list->p;
    bk_placed *placed = list->placed;
    const bk_compiled *c = p->compiled;
    bk_fact fact = bk_fact_new(BK_FACT_SERVE, (bk_place){0});
    if (broken->kind == BK_BROKEN_DOMAIN) {
        fact.dish = p->plan->stages[placed->stage].dish;
        fact.place = p->plan->dishes[fact.dish].serve_place;
    } else if (broken->fact == BK_NO_FACT) {
        return true;
    } else {
        fact = c->facts[broken->fact];
    }
    if (broken->kind == BK_BROKEN_CUMULATIVE) {
        size_t other = stage_of_variable(c, broken->a, placed->stage);
        if (other == SIZE_MAX)
            other = stage_of_variable(c, broken->b, placed->stage);
        if (other == SIZE_MAX)
            return true; /* the stage itself */
        fact.stage = placed->stage;
        fact.other = other;
    }
    if (fact.kind == BK_FACT_WINDOW || fact.kind == BK_FACT_BEGINS)
        fact.stage = placed->stage;
    if (fact.kind == BK_FACT_BEGINS)
        fact.place = p->plan->stages[placed->stage].place;
    for (size_t i = 0; i < placed->pinned_count; i++)
        if (bk_fact_same(&placed->pinned_by[i], &fact))
            return true;
    fact.message = fact.kind == BK_FACT_SERVE ? bk_ready_sentence(p->arena, p->plan, fact.dish)
                                              : bk_fact_sentence(p->arena, p->plan, &fact);
    *BK_PUSH(p->arena, placed->pinned_by, placed->pinned_count, list->room) = fact;
    return placed->pinned_count < 16;
}

/* The same capacity, with the stage that needs it then. */
static bool said_with_rival(const bk_placed *placed, const bk_fact *bare)
{
    for (size_t i = 0; i < placed->pinned_count; i++) {
        const bk_fact *fact = &placed->pinned_by[i];
        if (fact->kind == bare->kind && fact->equipment == bare->equipment &&
            fact->other != SIZE_MAX)
            return true;
    }
    return false;
}

/* Two stages that may not overlap break the capacity itself and the order between
 * them: one reason, and only the first names the other stage. */
static void drop_bare_pins(bk_placed *placed)
{
    size_t kept = 0;
    for (size_t i = 0; i < placed->pinned_count; i++) {
        bk_fact fact = placed->pinned_by[i];
        bool bare = (fact.kind == BK_FACT_HANDS || fact.kind == BK_FACT_POOL ||
                     fact.kind == BK_FACT_SHELVES) &&
                    fact.other == SIZE_MAX && said_with_rival(placed, &fact);
        if (!bare)
            placed->pinned_by[kept++] = fact;
    }
    placed->pinned_count = kept;
}

static void find_slack(placing *p, bk_placed *placed, int32_t *scratch)
{
    const bk_compiled *c = p->compiled;
    size_t n = bk_problem_vars(c->problem);
    size_t stage = placed->stage;
    int32_t *kept = p->value;
    memcpy(scratch, kept, n * sizeof *scratch);
    p->value = scratch;
    shift(p, stage, 1);
    while (scratch[c->stage_end[stage]] >= 0 && fits(p, stage)) {
        placed->slack++;
        shift(p, stage, 1);
    }
    pins list = {.p = p, .placed = placed};
    check_moved(p, stage, add_pin, &list);
    drop_bare_pins(placed);
    p->value = kept;
}

/* Places tried for all stages together when it is asked how much earlier they may start:
 * a stage with nothing before it may have months. */
enum { MOST_EARLIER = 2000000 };

/* A minute earlier; the first start is no earlier than any. */
static void earlier(placing *p, size_t stage)
{
    const bk_point *start = &p->compiled->stage_start[stage];
    shift(p, stage, -1);
    int32_t *first = &p->value[p->compiled->first_start];
    if (*first < p->value[start->var] + start->plus)
        *first = p->value[start->var] + start->plus;
}

static void find_early(placing *p, bk_placed *placed, int32_t *scratch)
{
    size_t n = bk_problem_vars(p->compiled->problem);
    int32_t *kept = p->value;
    memcpy(scratch, kept, n * sizeof *scratch);
    p->value = scratch;
    earlier(p, placed->stage);
    while (p->earlier_left-- > 0 && fits(p, placed->stage)) {
        placed->early++;
        earlier(p, placed->stage);
    }
    if (p->earlier_left < 0)
        placed->early = BK_EARLY_UNKNOWN;
    p->value = kept;
}

/* ---------------------------------------------------------------- figures */

static int64_t overlap(bk_instant from, bk_instant to, bk_instant a, bk_instant b)
{
    bk_instant low = from > a ? from : a, high = to < b ? to : b;
    return high > low ? high - low : 0;
}

/* Of the days before the last serve's, the one with most work for hands. */
static int64_t busiest_before(const bk_timeline *t, const bk_plan *plan, bk_instant last)
{
    int64_t busiest = 0;
    bk_instant next;
    for (bk_instant day = bk_day_start(plan->zone, t->start); day < last; day = next) {
        next = bk_next_day_start(plan->zone, day);
        int64_t work = 0;
        for (size_t i = 0; i < t->stage_count; i++) {
            const bk_placed *placed = &t->stages[i];
            if (plan->stages[placed->stage].attention == BK_HANDS)
                work += overlap(placed->start, placed->end, day, next);
            for (size_t k = 0; k < placed->check_count; k++)
                if (placed->checks[k].check->takes > 0)
                    work += overlap(placed->checks[k].start, placed->checks[k].end, day, next);
        }
        busiest = work > busiest ? work : busiest;
    }
    return busiest;
}

static void fill_figures(placing *p)
{
    bk_timeline *t = p->timeline;
    bk_instant midnight = bk_day_start(p->plan->zone, p->plan->last_serve);
    bk_instant next = bk_next_day_start(p->plan->zone, p->plan->last_serve);
    t->start = INT64_MAX;
    t->ready = INT64_MIN;
    t->interruptions = interruptions_in(p, INT32_MIN, INT32_MAX);
    for (size_t i = 0; i < t->stage_count; i++) {
        const bk_placed *placed = &t->stages[i];
        const bk_stage *stage = &p->plan->stages[placed->stage];
        if (placed->start < t->start && bk_happens(p->plan, placed->stage))
            t->start = placed->start;
        if (placed->end > t->ready)
            t->ready = placed->end;
        t->waiting += p->plan->dishes[stage->dish].serve - placed->end;
        if (stage->attention == BK_HANDS)
            t->hands_on_serving_day += overlap(placed->start, placed->end, midnight, next);
        for (size_t k = 0; k < placed->check_count; k++)
            if (placed->checks[k].check->takes > 0)
                t->hands_on_serving_day +=
                    overlap(placed->checks[k].start, placed->checks[k].end, midnight, next);
    }
    t->busiest_other_day = busiest_before(t, p->plan, midnight);
}

static int by_start(const void *a, const void *b)
{
    const bk_placed *one = a, *two = b;
    if (one->start != two->start)
        return one->start < two->start ? -1 : 1;
    return one->stage < two->stage ? -1 : 1; /* no stage is placed twice */
}

static int oven_number(const placing *p, size_t stage)
{
    const bk_stage *s = &p->plan->stages[stage];
    if (!s->in_oven)
        return 0;
    const bk_compiled *c = p->compiled;
    int count = p->plan->kitchen.equipment[s->oven.equipment].count;
    for (int k = 0; k < count; k++) {
        bk_var present = c->present[c->first_present[stage] + (size_t)k];
        if (present == BK_ALWAYS || p->value[present] == 1)
            return k + 1;
    }
    return 0;
}

/* The search may give work to more cooks than it needs: only so many are kept. */
static void keep_enough(int32_t *value, const bk_var *by, size_t people, int hands)
{
    for (size_t c = 0; c < people; c++)
        if (by[c] != BK_CONSTANT && value[by[c]] == 1 && hands-- <= 0)
            value[by[c]] = 0;
}

static void keep_few_cooks(placing *p)
{
    const bk_compiled *c = p->compiled;
    for (size_t i = 0; i < p->plan->stage_count; i++) {
        const bk_stage *stage = &p->plan->stages[i];
        keep_enough(p->value, c->stage_by + i * c->people, c->people, stage->cooks);
        for (size_t k = 0; k < stage->check_count; k++)
            keep_enough(p->value, c->check_by + (c->first_check[i] + k) * c->people, c->people, 1);
    }
}

void bk_timeline_place(bk_arena *arena, bk_timeline *timeline, const bk_compiled *compiled,
                       int32_t *value, bk_report *report)
{
    const bk_plan *plan = compiled->plan;
    placing p = {.arena = arena,
                 .timeline = timeline,
                 .plan = plan,
                 .compiled = compiled,
                 .value = value,
                 .report = report,
                 .earlier_left = MOST_EARLIER};
    make_room(&p);
    p.followers = bk_followers_of(p.arena, p.plan);
    for (size_t i = 0; i < compiled->at_rest_count; i++)
        value[compiled->at_rest[i].var] = compiled->at_rest[i].value;
    keep_few_cooks(&p);
    size_t n = plan->stage_count;
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < plan->stages[i].check_count; k++)
            place_check(&p, i, k);
    timeline->stages = BK_NEW(arena, bk_placed, n);
    timeline->stage_count = n;
    int32_t *scratch = BK_NEW(arena, int32_t, bk_problem_vars(compiled->problem));
    for (size_t i = 0; i < n; i++) {
        bk_placed *placed = &timeline->stages[i];
        placed->stage = i;
        placed->start = instant_at(&p, compiled->stage_start[i]);
        placed->end = instant_at(&p, (bk_point){compiled->stage_end[i], 0});
        placed->oven_number = oven_number(&p, i);
        fill_checks(&p, placed);
        if (bk_has_begun(&plan->stages[i]))
            continue; /* it is where it is */
        find_slack(&p, placed, scratch);
        find_early(&p, placed, scratch);
    }
    qsort(timeline->stages, n, sizeof *timeline->stages, by_start);
    bk_timeline_index(arena, timeline);
    bk_timeline_hands(arena, timeline, compiled, value);
    fill_figures(&p);
    bk_timeline_ovens(arena, timeline);
}

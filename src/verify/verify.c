/* A timeline against its plan: the order of the rules, and the timeline's own
 * figures.
 */
#include "verify/parts.h"

#include <stdlib.h>

/* Instants beyond this many minutes from the epoch (some 19,000 years) cannot
 * come from a plan; refusing them first keeps every later sum from overflowing. */
static const bk_instant FARTHEST = (bk_instant)10000000000;

void bk_verify_breach(bk_verify_state *state, int rule, size_t stage, const char *format, ...)
{
    state->count++;
    if (state->kept == BK_MOST_BREACHES)
        return;
    va_list arguments;
    va_start(arguments, format);
    const char *message = bk_vformat(state->arena, format, arguments);
    va_end(arguments);
    bk_breach *breach = BK_PUSH(state->arena, state->breaches, state->kept, state->room);
    *breach = (bk_breach){.rule = rule, .stage = stage, .message = message};
}

const char *bk_verify_when(const bk_verify_state *state, bk_instant instant)
{
    return bk_moment_long(state->arena, state->plan->zone, instant);
}

const char *bk_verify_name(const bk_verify_state *state, size_t stage)
{
    const bk_stage *s = &state->plan->stages[stage];
    return bk_format(state->arena, "%s/%s", state->plan->dishes[s->dish].name, s->id);
}

/* ------------------------------------------------------------------- sweep */

bk_instant bk_verify_from_now(const bk_verify_state *state, size_t stage, bk_instant from)
{
    bool begun = state->plan->stages[stage].progress != BK_NOT_BEGUN;
    return begun && from < state->plan->now ? state->plan->now : from;
}

void bk_verify_need_add(bk_verify_state *state, bk_verify_needs *needs, bk_instant from,
                        bk_instant to, int64_t amount, size_t stage)
{
    if (to <= from || amount == 0)
        return;
    bk_verify_need *need = BK_PUSH(state->arena, needs->items, needs->count, needs->room);
    *need = (bk_verify_need){.from = from, .to = to, .amount = amount, .stage = stage};
}

void bk_verify_own_need(bk_verify_state *state, bk_verify_needs *needs, bk_instant from,
                        bk_instant to, int64_t amount, size_t stage)
{
    size_t before = needs->count;
    bk_verify_need_add(state, needs, bk_verify_from_now(state, stage, from), to, amount, stage);
    if (needs->count > before)
        needs->items[before].begun = state->plan->stages[stage].progress != BK_NOT_BEGUN;
}

struct edge {
    bk_instant at;
    int64_t change;
    size_t stage;
    bool to_come;
};

/* At one instant what ends goes before what begins: spans are half-open. */
static int edge_order(const void *left, const void *right)
{
    const struct edge *a = left, *b = right;
    if (a->at != b->at)
        return a->at < b->at ? -1 : 1;
    if ((a->change > 0) != (b->change > 0))
        return a->change > 0 ? 1 : -1;
    return (a->stage > b->stage) - (a->stage < b->stage);
}

void bk_verify_sweep(bk_verify_state *state, int rule, const bk_verify_needs *needs, int64_t size,
                     const char *what)
{
    struct edge *edges = BK_NEW(state->arena, struct edge, 2 * needs->count);
    for (size_t i = 0; i < needs->count; i++) {
        const bk_verify_need *need = &needs->items[i];
        bool to_come = !need->begun && need->stage != SIZE_MAX;
        edges[2 * i] = (struct edge){need->from, need->amount, need->stage, to_come};
        edges[2 * i + 1] = (struct edge){need->to, -need->amount, need->stage, to_come};
    }
    if (needs->count > 0)
        qsort(edges, 2 * needs->count, sizeof *edges, edge_order);
    int64_t sum = 0, to_come = 0;
    for (size_t i = 0; i < 2 * needs->count; i++) {
        bool fitted = sum <= size || to_come == 0;
        sum += edges[i].change;
        to_come += edges[i].to_come ? edges[i].change : 0;
        if (fitted && sum > size && to_come > 0) /* facts alone are as they are */
            bk_verify_breach(state, rule, edges[i].stage,
                             "From %s on, %lld %s are needed and there are only %lld.",
                             bk_verify_when(state, edges[i].at), (long long)sum, what,
                             (long long)size);
    }
}

/* --------------------------------------------------------------- structure */

/* A fact is where it was. */
static void verify_begun(bk_verify_state *state, size_t s)
{
    const bk_stage *stage = &state->plan->stages[s];
    if (stage->progress != BK_NOT_BEGUN && state->placed[s]->start != stage->began)
        bk_verify_breach(state, 11, s, "%s began on %s; it is given on %s.",
                         bk_verify_name(state, s), bk_verify_when(state, stage->began),
                         bk_verify_when(state, state->placed[s]->start));
}

static bool sane(bk_instant instant)
{
    return instant >= -FARTHEST && instant <= FARTHEST;
}

/* Is every stage placed, once, in order, at times that can be reckoned with?
 * Nothing else can be asked before this holds. */
static bool structure_holds(bk_verify_state *state)
{
    const bk_timeline *timeline = state->timeline;
    const bk_plan *plan = state->plan;
    if (timeline->stage_count != plan->stage_count) {
        bk_verify_breach(state, 0, SIZE_MAX, "The timeline has %zu stages and the plan %zu.",
                         timeline->stage_count, plan->stage_count);
        return false;
    }
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *placed = &timeline->stages[i];
        if (placed->stage >= plan->stage_count) {
            bk_verify_breach(state, 0, SIZE_MAX,
                             "Entry %zu of the timeline is no stage of the plan.", i + 1);
            return false;
        }
        if (state->placed[placed->stage]) {
            bk_verify_breach(state, 0, placed->stage, "%s is in the timeline twice.",
                             bk_verify_name(state, placed->stage));
            return false;
        }
        state->placed[placed->stage] = placed;
        verify_begun(state, placed->stage);
        bool reckonable = sane(placed->start) && sane(placed->end);
        for (size_t c = 0; c < placed->check_count; c++)
            reckonable = reckonable && sane(placed->checks[c].start) && sane(placed->checks[c].end);
        if (!reckonable) {
            bk_verify_breach(state, 0, placed->stage, "%s is at no time of any calendar.",
                             bk_verify_name(state, placed->stage));
            return false;
        }
        if (i > 0) {
            const bk_placed *before = &timeline->stages[i - 1];
            if (placed->start < before->start ||
                (placed->start == before->start && placed->stage < before->stage))
                bk_verify_breach(
                    state, 0, placed->stage,
                    "%s, which starts on %s, stands behind %s, which starts on %s.",
                    bk_verify_name(state, placed->stage), bk_verify_when(state, placed->start),
                    bk_verify_name(state, before->stage), bk_verify_when(state, before->start));
        }
    }
    for (size_t i = 0; i < timeline->oven_count; i++) {
        const bk_oven_run *run = &timeline->ovens[i];
        if (!sane(run->on) || !sane(run->ready) || !sane(run->off)) {
            bk_verify_breach(state, 0, SIZE_MAX, "Oven run %zu is at no time of any calendar.",
                             i + 1);
            return false;
        }
    }
    return true;
}

/* ----------------------------------------------------------------- figures */

static void same_instant(bk_verify_state *state, const char *what, bk_instant said, bk_instant is)
{
    if (said != is)
        bk_verify_breach(state, 0, SIZE_MAX, "The timeline's %s is given as %s; it is %s.", what,
                         bk_verify_when(state, said), bk_verify_when(state, is));
}

static void same_minutes(bk_verify_state *state, const char *what, int64_t said, int64_t is)
{
    if (said != is)
        bk_verify_breach(state, 0, SIZE_MAX, "%s is given as %lld min; it is %lld min.", what,
                         (long long)said, (long long)is);
}

static int64_t overlap(bk_instant from, bk_instant to, bk_instant day_from, bk_instant day_to)
{
    bk_instant late = from > day_from ? from : day_from;
    bk_instant early = to < day_to ? to : day_to;
    return early > late ? early - late : 0;
}

/* The most hands-on minutes on one civil date, the last serve's apart. */
static int64_t busiest_other_day(const bk_verify_state *state, bk_instant day, bk_instant next_day)
{
    const bk_plan *plan = state->plan;
    int64_t most = 0;
    bk_instant first = plan->earliest; /* what has begun may have done so before */
    for (size_t s = 0; s < plan->stage_count; s++)
        first = state->placed[s]->start < first ? state->placed[s]->start : first;
    for (bk_instant from = bk_day_start(plan->zone, first), to; from <= plan->last_serve;
         from = to) {
        int64_t hands = 0;
        to = bk_next_day_start(plan->zone, from);
        if (from >= day && to <= next_day)
            continue;
        for (size_t s = 0; s < plan->stage_count; s++) {
            const bk_placed *placed = state->placed[s];
            if (plan->stages[s].attention == BK_HANDS)
                hands += overlap(placed->start, placed->end, from, to);
            for (size_t c = 0; c < placed->check_count; c++)
                if (!placed->checks[c].dropped)
                    hands += overlap(placed->checks[c].start, placed->checks[c].end, from, to);
        }
        most = hands > most ? hands : most;
    }
    return most;
}

void bk_verify_figures(bk_verify_state *state)
{
    const bk_timeline *timeline = state->timeline;
    const bk_plan *plan = state->plan;
    bk_instant day = bk_day_start(plan->zone, plan->last_serve);
    bk_instant next_day = bk_next_day_start(plan->zone, plan->last_serve);
    bk_instant start = INT64_MAX, ready = INT64_MIN;
    int64_t waiting = 0, hands = 0;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_placed *placed = state->placed[s];
        const bk_stage *stage = &plan->stages[s];
        if (placed->start < start && bk_happens(plan, s))
            start = placed->start;
        ready = placed->end > ready ? placed->end : ready;
        waiting += plan->dishes[stage->dish].serve - placed->end;
        if (stage->attention == BK_HANDS)
            hands += overlap(placed->start, placed->end, day, next_day);
        for (size_t c = 0; c < placed->check_count; c++)
            if (!placed->checks[c].dropped)
                hands += overlap(placed->checks[c].start, placed->checks[c].end, day, next_day);
    }
    if (plan->stage_count > 0) {
        same_instant(state, "first start", timeline->start, start);
        same_instant(state, "last end", timeline->ready, ready);
    }
    int64_t interruptions = bk_verify_interruptions(state);
    if (timeline->interruptions != interruptions)
        bk_verify_breach(state, 0, SIZE_MAX, "Interruptions are given as %lld; there are %lld.",
                         (long long)timeline->interruptions, (long long)interruptions);
    same_minutes(state, "The waiting of all stages", timeline->waiting, waiting);
    same_minutes(state, "The hands-on time on the last serving day", timeline->hands_on_serving_day,
                 hands);

    int64_t busiest = busiest_other_day(state, day, next_day);
    same_minutes(state, "The hands-on time on the busiest other day", timeline->busiest_other_day,
                 busiest);

    if (timeline->status == BK_TIMELINE_OPTIMAL) {
        same_instant(state, "bound of the first start", timeline->bound_start, start);
        if (timeline->bound_interruptions != interruptions)
            bk_verify_breach(state, 0, SIZE_MAX,
                             "The bound of the interruptions is given as %lld; it is %lld.",
                             (long long)timeline->bound_interruptions, (long long)interruptions);
        same_minutes(state, "The bound of the waiting", timeline->bound_waiting, waiting);
        if (plan->style != BK_FRESH)
            same_minutes(state, "The bound of the hands-on time", timeline->bound_hands, hands);
        if (plan->style == BK_SPREAD)
            same_minutes(state, "The bound of the busiest other day", timeline->bound_busiest,
                         busiest);
    } else {
        /* Under `ahead` the bound of the first start counts only when the hands-on
         * level is settled; a bound on the wrong side is wrong all the same. */
        bool settled = plan->style == BK_FRESH || timeline->bound_hands == hands;
        if (plan->style == BK_SPREAD) {
            if (settled && timeline->bound_busiest > busiest)
                bk_verify_breach(
                    state, 0, SIZE_MAX,
                    "The busiest other day has %lld min of work, yet %lld min is given "
                    "as the least possible.",
                    (long long)busiest, (long long)timeline->bound_busiest);
            settled = settled && timeline->bound_busiest == busiest;
        }
        if (settled && timeline->bound_start < start)
            bk_verify_breach(state, 0, SIZE_MAX,
                             "The first start is on %s, yet %s is given as the latest possible.",
                             bk_verify_when(state, start),
                             bk_verify_when(state, timeline->bound_start));
        settled = settled && timeline->bound_start == start;
        if (settled && timeline->bound_interruptions > interruptions)
            bk_verify_breach(
                state, 0, SIZE_MAX,
                "There are %lld interruptions, yet %lld are given as the fewest possible.",
                (long long)interruptions, (long long)timeline->bound_interruptions);
        settled = settled && timeline->bound_interruptions == interruptions;
        if (settled && timeline->bound_waiting > waiting)
            bk_verify_breach(
                state, 0, SIZE_MAX,
                "The stages wait %lld min, yet %lld min is given as the least possible.",
                (long long)waiting, (long long)timeline->bound_waiting);
        if (plan->style != BK_FRESH && timeline->bound_hands > hands)
            bk_verify_breach(
                state, 0, SIZE_MAX,
                "Hands are needed for %lld min, yet %lld min is given as the least possible.",
                (long long)hands, (long long)timeline->bound_hands);
    }
}

/* -------------------------------------------------------------------- all */

size_t bk_verify(bk_arena *arena, const bk_timeline *timeline, bk_breach **breaches)
{
    bk_verify_state state = {.arena = arena, .plan = timeline->plan, .timeline = timeline};
    state.placed = BK_NEW(arena, const bk_placed *, state.plan->stage_count);
    bool placed =
        timeline->status == BK_TIMELINE_OPTIMAL || timeline->status == BK_TIMELINE_FEASIBLE;
    if (!placed) {
        if (timeline->stage_count != 0 || timeline->oven_count != 0)
            bk_verify_breach(&state, 0, SIZE_MAX,
                             "There is no answer, yet the timeline holds stages or oven runs.");
    } else if (structure_holds(&state)) {
        bk_verify_times(&state);
        bk_verify_links(&state);
        bk_verify_hands(&state);
        bk_verify_watch(&state);
        bk_verify_pools(&state);
        bk_verify_ovens(&state);
        bk_verify_checks(&state);
        bk_verify_dishes(&state);
        bk_verify_begins(&state);
        bk_verify_runs(&state);
        bk_verify_figures(&state);
    }
    if (breaches)
        *breaches = state.breaches;
    return state.count;
}

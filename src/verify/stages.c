/* What each stage and dish must keep by itself or towards another: times, links,
 * watching, checks, serve-by (rules 1, 2, 4, 7, 8 and 9).
 */
#include "verify/parts.h"

/* ------------------------------------------------------------ rules 1 and 9 */

/* Is its oven hot at now already, and by its start at a temperature for it? */
static bool hot_in_time(const bk_verify_state *state, size_t s)
{
    const bk_plan *plan = state->plan;
    const bk_stage *stage = &plan->stages[s];
    const bk_placed *placed = state->placed[s];
    for (size_t h = 0; plan->under_way && h < plan->hot_count; h++) {
        const bk_hot *hot = &plan->hot[h];
        bk_instant from = hot->ready > plan->now ? hot->ready : plan->now;
        if (hot->equipment == stage->oven.equipment && hot->number == placed->oven_number &&
            placed->start >= from + bk_verify_reheat(state, s, hot->celsius))
            return true;
    }
    return false;
}

void bk_verify_times(bk_verify_state *state)
{
    const bk_plan *plan = state->plan;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        const bk_placed *placed = state->placed[s];
        if (placed->end - placed->start != stage->planned)
            bk_verify_breach(state, 1, s, "%s takes %lld min; it is given from %s to %s.",
                             bk_verify_name(state, s), (long long)stage->planned,
                             bk_verify_when(state, placed->start),
                             bk_verify_when(state, placed->end));
        if (stage->progress != BK_NOT_BEGUN)
            continue;
        if (placed->start < plan->earliest)
            bk_verify_breach(state, 9, s, "%s starts on %s; nothing may start before %s.",
                             bk_verify_name(state, s), bk_verify_when(state, placed->start),
                             bk_verify_when(state, plan->earliest));
        bool inside = !stage->has_when;
        for (size_t w = 0; w < stage->when_count; w++)
            inside = inside ||
                     (placed->start >= stage->when[w].from && placed->end <= stage->when[w].to);
        if (!inside)
            bk_verify_breach(state, 9, s, "%s is given from %s to %s, outside %s.",
                             bk_verify_name(state, s), bk_verify_when(state, placed->start),
                             bk_verify_when(state, placed->end), stage->when_time);
        if (bk_is_heated(stage)) {
            bk_instant on = placed->start - bk_verify_preheat(state, s);
            if (on < plan->earliest && !hot_in_time(state, s))
                bk_verify_breach(
                    state, 9, s,
                    "The oven for %s has to be on from %s; nothing may start before %s.",
                    bk_verify_name(state, s), bk_verify_when(state, on),
                    bk_verify_when(state, plan->earliest));
        }
    }
}

/* ------------------------------------------------------------------- rule 2 */

void bk_verify_links(bk_verify_state *state)
{
    const bk_plan *plan = state->plan;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        bk_instant start = state->placed[s]->start;
        if (stage->progress != BK_NOT_BEGUN)
            continue; /* it began when it did */
        for (size_t b = 0; stage->batch > 1 && b < plan->stage_count; b++)
            if (plan->stages[b].dish == stage->dish && plan->stages[b].batch == stage->batch - 1 &&
                s - b == plan->dishes[stage->dish].batch_stages && start < state->placed[b]->start)
                bk_verify_breach(state, 2, s, "%s starts on %s, before %s of the batch before.",
                                 bk_verify_name(state, s), bk_verify_when(state, start),
                                 bk_verify_name(state, b));
        for (size_t l = 0; l < stage->link_count; l++) {
            const bk_link *link = &stage->links[l];
            const bk_placed *other = state->placed[link->stage];
            bk_instant reference = link->from_start ? other->start : other->end;
            const char *side = link->from_start ? "start" : "end";
            if (start < reference + link->wait)
                bk_verify_breach(
                    state, 2, s, "%s starts on %s, less than %lld min after the %s of %s on %s.",
                    bk_verify_name(state, s), bk_verify_when(state, start), (long long)link->wait,
                    side, bk_verify_name(state, link->stage), bk_verify_when(state, reference));
            if (link->has_within && start > reference + link->within)
                bk_verify_breach(
                    state, 2, s, "%s starts on %s, more than %lld min after the %s of %s on %s.",
                    bk_verify_name(state, s), bk_verify_when(state, start), (long long)link->within,
                    side, bk_verify_name(state, link->stage), bk_verify_when(state, reference));
        }
    }
}

/* ------------------------------------------------------------------- rule 4 */

void bk_verify_watch(bk_verify_state *state)
{
    const bk_plan *plan = state->plan;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        const bk_placed *placed = state->placed[s];
        if (!stage->watch || stage->progress != BK_NOT_BEGUN)
            continue;
        bk_instant from = placed->start;
        if (bk_is_heated(stage))
            from -= bk_verify_preheat(state, s);
        for (size_t w = 0; w < plan->kitchen.window_count; w++) {
            const bk_window *window = &plan->kitchen.windows[w];
            if (window->kind == BK_BUSY || from == placed->end || window->to <= from ||
                window->from >= placed->end)
                continue;
            bool preheat = window->to <= placed->start;
            bk_verify_breach(
                state, 4, s, "%s%s wants somebody %s from %s to %s; from %s to %s nobody is.",
                preheat ? "The preheat of " : "", bk_verify_name(state, s),
                window->kind == BK_ASLEEP ? "awake" : "at home", bk_verify_when(state, from),
                bk_verify_when(state, placed->end), bk_verify_when(state, window->from),
                bk_verify_when(state, window->to));
        }
    }
}

/* ------------------------------------------------------------------- rule 7 */

/* The first minute from `at` on in which nobody sleeps and somebody is at home. */
static bk_instant next_up(const bk_plan *plan, bk_instant at)
{
    bool moved = true;
    while (moved) {
        moved = false;
        for (size_t w = 0; w < plan->kitchen.window_count; w++) {
            const bk_window *window = &plan->kitchen.windows[w];
            if (window->kind != BK_BUSY && window->from <= at && at < window->to) {
                at = window->to;
                moved = true;
            }
        }
    }
    return at;
}

/* When the first stage linked to this one begins, or its dish is served (rule 7a). */
static bk_instant used_from(const bk_verify_state *state, size_t s)
{
    bk_instant first = state->plan->dishes[state->plan->stages[s].dish].serve;
    for (size_t i = 0; i < state->plan->stage_count; i++)
        for (size_t k = 0; k < state->plan->stages[i].link_count; k++)
            if (state->plan->stages[i].links[k].stage == s && state->placed[i]->start < first)
                first = state->placed[i]->start;
    return first;
}

static void verify_reminder(bk_verify_state *state, size_t s, const bk_placed_check *given)
{
    const bk_placed *placed = state->placed[s];
    bk_instant wanted = placed->start + given->check->at;
    bk_instant at = next_up(state->plan, wanted);
    /* Where it is written; else in the stage, or before what follows it and the meal. */
    bool kept = at == wanted || at < placed->end || at < used_from(state, s);
    if (given->dropped) {
        if (kept)
            bk_verify_breach(
                state, 7, s, "The reminder \"%s\" of %s is dropped; it can be given on %s.",
                given->check->text, bk_verify_name(state, s), bk_verify_when(state, at));
        return;
    }
    if (!kept)
        bk_verify_breach(
            state, 7, s,
            "The reminder \"%s\" of %s is given on %s, but nobody is up for it in time.",
            given->check->text, bk_verify_name(state, s), bk_verify_when(state, given->start));
    else if (given->start != at || given->end != at)
        bk_verify_breach(
            state, 7, s, "The reminder \"%s\" of %s is given from %s to %s; it belongs on %s.",
            given->check->text, bk_verify_name(state, s), bk_verify_when(state, given->start),
            bk_verify_when(state, given->end), bk_verify_when(state, at));
}

static void verify_hands_check(bk_verify_state *state, size_t s, const bk_placed_check *given)
{
    const bk_placed *placed = state->placed[s];
    const bk_check *check = given->check;
    bk_instant wanted = placed->start + check->at;
    if (given->dropped) {
        bk_verify_breach(state, 7, s, "The check \"%s\" of %s needs hands and may not be dropped.",
                         check->text, bk_verify_name(state, s));
        return;
    }
    if (given->end - given->start != check->takes)
        bk_verify_breach(state, 7, s,
                         "The check \"%s\" of %s takes %lld min; it is given from %s to %s.",
                         check->text, bk_verify_name(state, s), (long long)check->takes,
                         bk_verify_when(state, given->start), bk_verify_when(state, given->end));
    if (given->start < wanted - check->give || given->start > wanted + check->give)
        bk_verify_breach(state, 7, s,
                         "The check \"%s\" of %s starts on %s, more than %lld min from %s.",
                         check->text, bk_verify_name(state, s), bk_verify_when(state, given->start),
                         (long long)check->give, bk_verify_when(state, wanted));
    if (given->start < placed->start || given->end > placed->end)
        bk_verify_breach(state, 7, s,
                         "The check \"%s\" of %s, from %s to %s, is not within the stage.",
                         check->text, bk_verify_name(state, s), bk_verify_when(state, given->start),
                         bk_verify_when(state, given->end));
}

void bk_verify_checks(bk_verify_state *state)
{
    const bk_plan *plan = state->plan;
    bool dropped = false;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        const bk_placed *placed = state->placed[s];
        bool each_once = placed->check_count == stage->check_count;
        for (size_t c = 0; each_once && c < stage->check_count; c++) {
            size_t found = 0;
            for (size_t i = 0; i < placed->check_count; i++)
                found += placed->checks[i].check == &stage->checks[c];
            each_once = found == 1;
        }
        if (!each_once) {
            bk_verify_breach(state, 7, s, "%s has %zu checks, and not each is given once.",
                             bk_verify_name(state, s), stage->check_count);
            continue;
        }
        for (size_t c = 0; c < placed->check_count; c++) {
            dropped = dropped || placed->checks[c].dropped;
            if (placed->checks[c].check->takes > 0)
                verify_hands_check(state, s, &placed->checks[c]);
            else
                verify_reminder(state, s, &placed->checks[c]);
        }
    }
    if (dropped && state->timeline->warning_count == 0)
        bk_verify_breach(state, 7, SIZE_MAX, "A reminder is dropped and no warning says so.");
}

/* ------------------------------------------------------------------- rule 8 */

bk_instant bk_verify_until(const bk_verify_state *state, size_t dish)
{
    const bk_plan *plan = state->plan;
    if (!plan->dishes[dish].part)
        return plan->dishes[dish].serve;
    bk_instant last = INT64_MIN;
    for (size_t s = 0; s < plan->stage_count; s++)
        for (size_t k = 0; k < plan->stages[s].link_count; k++)
            if (plan->stages[s].dish != dish &&
                plan->stages[plan->stages[s].links[k].stage].dish == dish &&
                state->placed[s]->start > last)
                last = state->placed[s]->start;
    return last;
}

void bk_verify_dishes(bk_verify_state *state)
{
    const bk_plan *plan = state->plan;
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[d];
        bk_instant ready = INT64_MIN;
        for (size_t s = dish->first_stage; s < dish->first_stage + dish->stage_count; s++) {
            bk_instant end = state->placed[s]->end;
            ready = end > ready ? end : ready;
            bk_instant due = dish->serve - (plan->margin - dish->margin_used);
            if (plan->stages[s].progress == BK_NOT_BEGUN && end > due)
                bk_verify_breach(state, 8, s, "%s ends on %s; its dish is to be ready on %s.",
                                 bk_verify_name(state, s), bk_verify_when(state, end),
                                 bk_verify_when(state, due));
        }
        bk_instant until = bk_verify_until(state, d);
        if (dish->has_keeps && dish->stage_count > 0 && ready < until - dish->keeps)
            bk_verify_breach(state, 8, SIZE_MAX,
                             "%s is ready on %s; to be good when %s it may not be before %s.",
                             dish->name, bk_verify_when(state, ready),
                             dish->part ? "last used" : "served",
                             bk_verify_when(state, until - dish->keeps));
    }
}

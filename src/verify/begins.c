/* Somebody begins what is not active, and takes out what is in an oven (rule 11). */
#include "verify/parts.h"

#include <stdlib.h>

/* The time around `at` in which nobody can, all windows that adjoin as one. False when
 * somebody can, at the latest a minute before or after. */
static bool nobody_around(const bk_plan *plan, bk_instant at, bk_instant *from, bk_instant *to)
{
    *from = *to = at;
    for (bool grown = true; grown;) {
        grown = false;
        for (size_t w = 0; w < plan->kitchen.window_count; w++) {
            const bk_window *window = &plan->kitchen.windows[w];
            if (window->from > *to || window->to < *from ||
                (window->from >= *from && window->to <= *to))
                continue;
            *from = window->from < *from ? window->from : *from;
            *to = window->to > *to ? window->to : *to;
            grown = true;
        }
    }
    return *from < at && at < *to;
}

static void verify_touch(bk_verify_state *state, size_t s, bk_instant at, const char *deed)
{
    bk_instant from, to;
    if (nobody_around(state->plan, at, &from, &to))
        bk_verify_breach(state, 11, s, "Somebody has to %s %s on %s; nobody can from %s to %s.",
                         deed, bk_verify_name(state, s), bk_verify_when(state, at),
                         bk_verify_when(state, from), bk_verify_when(state, to));
}

/* Hands needed by what strictly contains the instant; all of them at table. */
static int64_t hands_around(const bk_verify_state *state, bk_instant at)
{
    int64_t hands = bk_verify_kept(state, at);
    for (size_t d = 0; d < state->plan->dish_count; d++)
        if (!state->plan->dishes[d].out && !state->plan->dishes[d].part &&
            state->plan->dishes[d].serve < at &&
            at < state->plan->dishes[d].serve + state->plan->at_table)
            return state->plan->kitchen.cooks;
    for (size_t s = 0; s < state->plan->stage_count; s++) {
        const bk_stage *stage = &state->plan->stages[s];
        const bk_placed *placed = state->placed[s];
        if (stage->attention == BK_HANDS && placed->start < at && at < placed->end)
            hands += stage->cooks;
        for (size_t c = 0; c < placed->check_count; c++)
            if (placed->checks[c].check->takes > 0 && placed->checks[c].start < at &&
                at < placed->checks[c].end)
                hands++;
    }
    return hands;
}

static int by_time(const void *left, const void *right)
{
    bk_instant a = *(const bk_instant *)left, b = *(const bk_instant *)right;
    return (a > b) - (a < b);
}

int64_t bk_verify_interruptions(bk_verify_state *state)
{
    const bk_plan *plan = state->plan;
    bk_instant *touches = BK_NEW(state->arena, bk_instant, 2 * plan->stage_count);
    size_t count = 0;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        if (stage->progress != BK_NOT_BEGUN) {
            if (bk_is_heated(stage) && stage->progress == BK_RUNNING)
                touches[count++] = state->placed[s]->end;
            continue;
        }
        if (stage->attention != BK_HANDS && !stage->begins_itself)
            touches[count++] = state->placed[s]->start;
        if (bk_is_heated(stage))
            touches[count++] = state->placed[s]->end;
    }
    if (count > 0)
        qsort(touches, count, sizeof *touches, by_time);
    int64_t interruptions = 0;
    for (size_t i = 0; i < count; i++)
        if (i == 0 || touches[i] != touches[i - 1])
            interruptions += hands_around(state, touches[i]) >= plan->kitchen.cooks;
    return interruptions;
}

void bk_verify_begins(bk_verify_state *state)
{
    for (size_t s = 0; s < state->plan->stage_count; s++) {
        const bk_stage *stage = &state->plan->stages[s];
        if (stage->progress != BK_NOT_BEGUN)
            continue;
        if (stage->attention != BK_HANDS && !stage->begins_itself)
            verify_touch(state, s, state->placed[s]->start, "begin");
        if (bk_is_heated(stage))
            verify_touch(state, s, state->placed[s]->end, "take out");
    }
}

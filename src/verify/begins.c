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

/* What takes hands begins or ends. */
typedef struct change_of_hands {
    bk_instant at;
    int64_t hands; /* below 0 at an end */
} change_of_hands;

static int by_time(const void *left, const void *right)
{
    bk_instant a = *(const bk_instant *)left, b = *(const bk_instant *)right;
    return (a > b) - (a < b);
}

static int by_change(const void *left, const void *right)
{
    const change_of_hands *a = left, *b = right;
    return (a->at > b->at) - (a->at < b->at);
}

static size_t add_span(change_of_hands *changes, size_t count, bk_instant start, bk_instant end,
                       int64_t hands)
{
    if (start >= end)
        return count; /* contains no instant strictly */
    changes[count++] = (change_of_hands){start, hands};
    changes[count++] = (change_of_hands){end, -hands};
    return count;
}

/* Beginnings and ends of all that takes hands, by time; `count` of them. */
static change_of_hands *changes_of_hands(const bk_verify_state *state, size_t *count)
{
    const bk_plan *plan = state->plan;
    size_t room = 0, n = 0;
    for (size_t s = 0; s < plan->stage_count; s++)
        room += 2 + 2 * state->placed[s]->check_count;
    change_of_hands *changes = BK_NEW(state->arena, change_of_hands, room);
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_placed *placed = state->placed[s];
        if (plan->stages[s].attention == BK_HANDS)
            n = add_span(changes, n, placed->start, placed->end, plan->stages[s].cooks);
        for (size_t c = 0; c < placed->check_count; c++)
            if (placed->checks[c].check->takes > 0)
                n = add_span(changes, n, placed->checks[c].start, placed->checks[c].end, 1);
    }
    if (n > 0)
        qsort(changes, n, sizeof *changes, by_change);
    *count = n;
    return changes;
}

static bool at_table(const bk_plan *plan, bk_instant at)
{
    for (size_t d = 0; d < plan->dish_count; d++)
        if (!plan->dishes[d].out && !plan->dishes[d].part && plan->dishes[d].serve < at &&
            at < plan->dishes[d].serve + plan->at_table)
            return true;
    return false;
}

/* The moments at which stages are touched, by time: each once. */
static bk_instant *touches_of(bk_verify_state *state, size_t *count)
{
    const bk_plan *plan = state->plan;
    bk_instant *touches = BK_NEW(state->arena, bk_instant, 2 * plan->stage_count);
    size_t n = 0, kept = 0;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        if (stage->progress != BK_NOT_BEGUN) {
            if (bk_is_heated(stage) && stage->progress == BK_RUNNING)
                touches[n++] = state->placed[s]->end;
            continue;
        }
        if (stage->attention != BK_HANDS && !stage->begins_itself)
            touches[n++] = state->placed[s]->start;
        if (bk_is_heated(stage))
            touches[n++] = state->placed[s]->end;
    }
    if (n > 0)
        qsort(touches, n, sizeof *touches, by_time);
    for (size_t i = 0; i < n; i++)
        if (i == 0 || touches[i] != touches[i - 1])
            touches[kept++] = touches[i];
    *count = kept;
    return touches;
}

/* Hands are needed by what strictly contains the touch: it began before, and ends after; all of
 * them at table. */
int64_t bk_verify_interruptions(bk_verify_state *state)
{
    size_t touch_count, change_count, next = 0;
    const bk_instant *touches = touches_of(state, &touch_count);
    const change_of_hands *changes = changes_of_hands(state, &change_count);
    int64_t interruptions = 0, taken = 0;
    for (size_t i = 0; i < touch_count; i++) {
        bk_instant at = touches[i];
        for (; next < change_count && changes[next].at < at; next++)
            taken += changes[next].hands;
        int64_t hands = taken;
        for (size_t k = next; k < change_count && changes[k].at == at; k++)
            if (changes[k].hands < 0)
                hands += changes[k].hands;
        interruptions += at_table(state->plan, at) ||
                         bk_verify_kept(state, at) + hands >= state->plan->kitchen.cooks;
    }
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

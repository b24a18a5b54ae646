/* Somebody begins what is not active, and takes out what is in an oven (rule 11). */
#include "verify/parts.h"

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

void bk_verify_begins(bk_verify_state *state)
{
    for (size_t s = 0; s < state->plan->stage_count; s++) {
        const bk_stage *stage = &state->plan->stages[s];
        if (stage->attention != BK_HANDS && !stage->begins_itself)
            verify_touch(state, s, state->placed[s]->start, "begin");
        if (stage->in_oven)
            verify_touch(state, s, state->placed[s]->end, "take out");
    }
}

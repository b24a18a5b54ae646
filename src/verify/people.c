/* Named cooks: hands at a minute are those of who is up, at home and free; what one can do
 * all of is one's; nobody does two things at once (rule 3). */
#include "verify/parts.h"

static bool kept(const bk_window *windows, size_t count, bool skip_derived, bk_instant from,
                 bk_instant to)
{
    for (size_t w = 0; w < count; w++)
        if (!(skip_derived && windows[w].derived) && windows[w].from < to && windows[w].to > from)
            return true;
    return false;
}

/* Can the cook all of [from, to)? */
static bool can(const bk_plan *plan, size_t cook, bk_instant from, bk_instant to)
{
    const bk_cook *who = &plan->kitchen.people[cook];
    return !kept(plan->kitchen.windows, plan->kitchen.window_count, true, from, to) &&
           !kept(who->windows, who->window_count, false, from, to);
}

typedef struct work {
    size_t stage;
    const char *what;
    bk_instant from, to;
    const size_t *by;
    size_t by_count, hands;
} work;

static void verify_work(bk_verify_state *state, const work *w)
{
    const bk_plan *plan = state->plan;
    size_t able = 0, named_able = 0;
    for (size_t c = 0; c < plan->kitchen.people_count; c++)
        able += can(plan, c, w->from, w->to);
    for (size_t k = 0; k < w->by_count; k++) {
        if (w->by[k] >= plan->kitchen.people_count) {
            bk_verify_breach(state, 3, w->stage, "%s%s is given to a cook who is not there.",
                             w->what, bk_verify_name(state, w->stage));
            return;
        }
        named_able += can(plan, w->by[k], w->from, w->to);
    }
    if (w->by_count < w->hands)
        bk_verify_breach(state, 3, w->stage, "%s%s is given to %zu cooks and needs %zu.", w->what,
                         bk_verify_name(state, w->stage), w->by_count, w->hands);
    else if (able >= w->hands && (w->by_count > w->hands || named_able < w->hands))
        bk_verify_breach(state, 3, w->stage,
                         "%s%s is given from hand to hand, and %zu can do all of it.", w->what,
                         bk_verify_name(state, w->stage), able);
}

static bool whole(const bk_plan *plan, const work *w)
{
    for (size_t k = 0; k < w->by_count; k++)
        if (!can(plan, w->by[k], w->from, w->to))
            return false;
    return w->by_count == w->hands;
}

void bk_verify_people(bk_verify_state *state, bk_verify_needs *hands)
{
    const bk_plan *plan = state->plan;
    size_t people = plan->kitchen.people_count, count = 0, room = 0;
    if (people == 0)
        return;
    work *all = NULL;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_placed *placed = state->placed[s];
        bk_instant from = bk_verify_from_now(state, s, placed->start);
        if (plan->stages[s].attention == BK_HANDS && from < placed->end)
            *BK_PUSH(state->arena, all, count, room) = (work){s,
                                                              "",
                                                              from,
                                                              placed->end,
                                                              placed->by,
                                                              placed->by_count,
                                                              (size_t)plan->stages[s].cooks};
        for (size_t c = 0; c < placed->check_count; c++) {
            const bk_placed_check *check = &placed->checks[c];
            if (check->check->takes > 0)
                *BK_PUSH(state->arena, all, count, room) = (work){
                    s, "A check of ", check->start, check->end, check->by, check->by_count, 1};
        }
    }
    for (size_t i = 0; i < count; i++)
        if (plan->stages[all[i].stage].progress == BK_NOT_BEGUN || all[i].what[0] != '\0')
            verify_work(state, &all[i]);
    for (size_t c = 0; c < people; c++) {
        const bk_cook *who = &plan->kitchen.people[c];
        bk_verify_needs own = {0};
        for (size_t i = 0; i < count; i++)
            for (size_t k = 0; k < all[i].by_count; k++)
                if (all[i].by[k] == c && whole(plan, &all[i]) && all[i].what[0] == '\0')
                    bk_verify_own_need(state, &own, all[i].from, all[i].to, 1, all[i].stage);
                else if (all[i].by[k] == c && whole(plan, &all[i]))
                    bk_verify_need_add(state, &own, all[i].from, all[i].to, 1, all[i].stage);
        bk_verify_sweep(state, 3, &own, 1,
                        bk_format(state->arena, "pairs of hands of %s", who->name));
        bk_spans spans = bk_spans_new(state->arena);
        for (size_t w = 0; w < who->window_count; w++)
            bk_spans_add(&spans, who->windows[w].from, who->windows[w].to, 0);
        spans = bk_spans_merged(state->arena, &spans);
        for (size_t i = 0; i < spans.count; i++)
            bk_verify_need_add(state, hands, spans.items[i].from, spans.items[i].to, 1, SIZE_MAX);
    }
}

int64_t bk_verify_kept(const bk_verify_state *state, bk_instant at)
{
    int64_t count = 0;
    for (size_t c = 0; c < state->plan->kitchen.people_count; c++)
        count += !can(state->plan, c, at - 1, at) && !can(state->plan, c, at, at + 1);
    return count;
}

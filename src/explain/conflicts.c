/* What would make a plan possible in which several things are wrong at once: the conflicts
 * that have nothing to do with each other, and one change for each, verified together. */
#include "explain/remedies.h"

#include <limits.h>

enum { MOST_CONFLICTS = 3, MOST_OF_EACH = 3 };

typedef struct settling {
    bk_arena *arena;
    bk_timeline *timeline;
    int64_t effort; /* conflicts of the search for each attempt */
    bk_onlooker *onlooker;
    bk_reschedule *reschedule;
} settling;

/* The facts of all conflicts but one. */
static bk_fact *others_of(bk_arena *arena, const bk_conflict *conflicts, size_t count, size_t but,
                          size_t *others)
{
    bk_fact *facts = NULL;
    size_t room = 0;
    *others = 0;
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; i != but && k < conflicts[i].count; k++)
            *BK_PUSH(arena, facts, *others, room) = conflicts[i].facts[k];
    return facts;
}

/* Is nothing left to give up of its window, after the changes before it? The window is then no
 * more in the list. */
static bool is_given_up(const bk_plan *plan, const bk_attempt *const *order, size_t number)
{
    const bk_attempt *change = order[number];
    if (change->window == SIZE_MAX)
        return false;
    const bk_window *window = bk_window_of(plan, change->cook, change->window);
    int64_t left = window->to - window->from;
    for (size_t i = 0; i < number; i++)
        if (order[i]->cook == change->cook && order[i]->window == change->window)
            left -= order[i]->amount;
    return left <= 0;
}

/* The greater comes first when changes are made one on the other: windows from the last on, as
 * one given up moves those behind it; dishes, which are found by name, at the end, as they move
 * the stages behind them. A cook's windows come behind the kitchen's: the list of those is then
 * made anew. */
static int turn_of(const bk_attempt *a)
{
    if (a->window != SIZE_MAX)
        return (int)a->window + (a->cook == SIZE_MAX ? 0 : INT_MIN / 2);
    return a->left_out != SIZE_MAX ? INT_MIN : -1;
}

static bk_timeline *made_together(const settling *s, const bk_attempt *const *chosen, size_t count)
{
    const bk_plan *plan = s->timeline->plan;
    const bk_attempt *order[MOST_CONFLICTS];
    for (size_t i = 0; i < count; i++) {
        size_t at = i;
        for (; at > 0 && turn_of(order[at - 1]) < turn_of(chosen[i]); at--)
            order[at] = order[at - 1];
        order[at] = chosen[i];
    }
    for (size_t i = 0; plan && i < count; i++)
        if (!is_given_up(s->timeline->plan, order, i))
            plan = order[i]->change(s->arena, plan, order[i]->context, order[i]->amount);
    bk_timeline *timeline = plan ? s->reschedule(s->arena, plan, s->effort, s->onlooker) : NULL;
    s->timeline->wrong = s->timeline->wrong || (plan && !timeline);
    return timeline;
}

/* Some dish has to be left, and none is left out twice. */
static bool dishes_left(const bk_plan *plan, const bk_attempt *const *chosen, size_t count)
{
    size_t gone = 0;
    for (size_t i = 0; i < count; i++) {
        if (chosen[i]->left_out == SIZE_MAX)
            continue;
        gone++;
        for (size_t j = 0; j < i; j++)
            if (chosen[j]->left_out == chosen[i]->left_out)
                return false;
    }
    return gone < plan->dish_count;
}

/* One change for each conflict, the small ones first, until a set is found that stands. */
static void find_together(const settling *s, bk_attempt *const *found, const size_t *counts,
                          size_t conflicts)
{
    size_t pick[MOST_CONFLICTS] = {0};
    for (;;) {
        const bk_attempt *chosen[MOST_CONFLICTS];
        for (size_t i = 0; i < conflicts; i++)
            chosen[i] = &found[i][pick[i]];
        bk_timeline *stands = dishes_left(s->timeline->plan, chosen, conflicts)
                                  ? made_together(s, chosen, conflicts)
                                  : NULL;
        if (stands && stands->stage_count > 0) {
            s->timeline->together = BK_NEW(s->arena, bk_remedy, conflicts);
            s->timeline->together_count = conflicts;
            s->timeline->together_start = stands->start;
            for (size_t i = 0; i < conflicts; i++)
                s->timeline->together[i] = chosen[i]->remedy;
            return;
        }
        if (bk_is_called_off(s->onlooker))
            return;
        size_t i = 0;
        while (i < conflicts && ++pick[i] == counts[i])
            pick[i++] = 0;
        if (i == conflicts)
            return;
    }
}

void bk_more_conflicts(bk_arena *arena, bk_timeline *timeline, int64_t effort,
                       bk_onlooker *onlooker, bk_reschedule *reschedule)
{
    bk_conflict *conflicts = BK_NEW(arena, bk_conflict, MOST_CONFLICTS);
    size_t count = 1, room = 0, aside_count = 0;
    bk_fact *aside = NULL;
    conflicts[0] = (bk_conflict){.facts = timeline->why, .count = timeline->why_count};
    while (count < MOST_CONFLICTS) {
        for (size_t k = 0; k < conflicts[count - 1].count; k++)
            *BK_PUSH(arena, aside, aside_count, room) = conflicts[count - 1].facts[k];
        bk_reasons more = bk_reasons_beside(arena, timeline->plan, aside, aside_count,
                                            effort / 4 + 100, onlooker);
        timeline->wrong = timeline->wrong || more.wrong;
        if (!more.proved || more.count == 0)
            break;
        conflicts[count++] = (bk_conflict){.facts = more.facts, .count = more.count};
    }
    if (count < 2)
        return;
    bk_attempt *found[MOST_CONFLICTS];
    size_t counts[MOST_CONFLICTS];
    bool each = true;
    settling s = {arena, timeline, bk_effort_of_each(effort), onlooker, reschedule};
    for (size_t i = 0; i < count; i++) {
        size_t others = 0;
        bk_fact *facts = others_of(arena, conflicts, count, i, &others);
        size_t n = bk_attempts_of(arena, timeline, &conflicts[i], facts, others, s.effort, onlooker,
                                  reschedule, &found[i]);
        counts[i] = n < MOST_OF_EACH ? n : MOST_OF_EACH;
        conflicts[i].remedies = bk_remedies_of(arena, found[i], counts[i]);
        conflicts[i].remedy_count = counts[i];
        each = each && counts[i] > 0;
    }
    timeline->all_conflicts = conflicts;
    timeline->conflict_count = count;
    if (each)
        find_together(&s, found, counts, count);
}

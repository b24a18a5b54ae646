/* Whose hands: the named cooks of what needs them. Most work is wholly somebody's, as the
 * search found it; what passes from one to another is given to who is free at the time,
 * changing as seldom as it can. */
#include "schedule/place.h"

typedef struct taken {
    size_t cook;
    bk_instant from, to;
} taken;

typedef struct giving {
    bk_arena *arena;
    const bk_plan *plan;
    const bk_compiled *compiled;
    const int32_t *value;
    taken *items;
    size_t count, room;
} giving;

static void take(giving *g, size_t cook, bk_instant from, bk_instant to)
{
    *BK_PUSH(g->arena, g->items, g->count, g->room) = (taken){cook, from, to};
}

/* Is the cook free at `t`? *until becomes the next time at which that may change, if it is
 * sooner. */
static bool is_free(const giving *g, size_t cook, bk_instant t, bk_instant *until)
{
    bool free = true;
    const bk_kitchen *kitchen = &g->plan->kitchen;
    const bk_cook *who = &kitchen->people[cook];
    for (int own = 0; own < 2; own++) {
        const bk_window *windows = own ? who->windows : kitchen->windows;
        size_t count = own ? who->window_count : kitchen->window_count;
        for (size_t i = 0; i < count; i++) {
            const bk_window *window = &windows[i];
            if (window->from > t && window->from < *until)
                *until = window->from;
            if (window->from > t || window->to <= t)
                continue;
            free = false;
            if (window->to < *until)
                *until = window->to;
        }
    }
    for (size_t i = 0; i < g->count; i++) {
        const taken *other = &g->items[i];
        if (other->cook != cook)
            continue;
        if (other->from > t && other->from < *until)
            *until = other->from;
        if (other->from > t || other->to <= t)
            continue;
        free = false;
        if (other->to < *until)
            *until = other->to;
    }
    return free;
}

static bool among(const size_t *cooks, size_t count, size_t cook)
{
    for (size_t i = 0; i < count; i++)
        if (cooks[i] == cook)
            return true;
    return false;
}

/* Work that passes from one to another: at each stretch the cooks it had before, where
 * they are free. */
static void pass(giving *g, bk_instant from, bk_instant to, size_t hands, size_t **by,
                 size_t *count)
{
    size_t people = g->plan->kitchen.people_count, had_count = 0;
    size_t *had = BK_NEW(g->arena, size_t, people), *now = BK_NEW(g->arena, size_t, people);
    *by = BK_NEW(g->arena, size_t, people);
    for (bk_instant t = from, until; t < to; t = until) {
        until = to;
        size_t given = 0;
        bool *free = BK_NEW(g->arena, bool, people);
        for (size_t c = 0; c < people; c++)
            free[c] = is_free(g, c, t, &until);
        for (int again = 1; again >= 0; again--)
            for (size_t c = 0; c < people && given < hands; c++)
                if (free[c] && among(had, had_count, c) == (again == 1) && !among(now, given, c))
                    now[given++] = c;
        for (size_t k = 0; k < given; k++) {
            take(g, now[k], t, until);
            if (!among(*by, *count, now[k]))
                (*by)[(*count)++] = now[k];
            had[k] = now[k];
        }
        had_count = given;
    }
}

/* Who does all of it; false when it passes. */
static bool give_whole(giving *g, const bk_var *vars, size_t hands, bk_instant from, bk_instant to,
                       size_t **by, size_t *count)
{
    size_t people = g->plan->kitchen.people_count;
    *by = BK_NEW(g->arena, size_t, people);
    *count = 0;
    for (size_t c = 0; c < people && *count < hands; c++)
        if (vars[c] != BK_CONSTANT && g->value[vars[c]] == 1)
            (*by)[(*count)++] = c;
    if (*count < hands) {
        *count = 0;
        return from == to; /* nobody's hands */
    }
    for (size_t k = 0; k < *count; k++)
        take(g, (*by)[k], from, to);
    return true;
}

void bk_timeline_hands(bk_arena *arena, bk_timeline *timeline, const bk_compiled *compiled,
                       const int32_t *value)
{
    const bk_plan *plan = compiled->plan;
    size_t people = compiled->people;
    giving g = {.arena = arena, .plan = plan, .compiled = compiled, .value = value};
    for (int passing = 0; people > 0 && passing < 2; passing++)
        for (size_t i = 0; i < timeline->stage_count; i++) {
            bk_placed *placed = &timeline->stages[i];
            const bk_stage *stage = &plan->stages[placed->stage];
            size_t hands = (size_t)stage->cooks;
            if (stage->attention == BK_HANDS && passing == 0)
                give_whole(&g, compiled->stage_by + placed->stage * people, hands, placed->start,
                           placed->end, &placed->by, &placed->by_count);
            else if (stage->attention == BK_HANDS && placed->by_count == 0)
                pass(&g, placed->start, placed->end, hands, &placed->by, &placed->by_count);
            for (size_t k = 0; k < placed->check_count; k++) {
                bk_placed_check *check = &placed->checks[k];
                size_t at = compiled->first_check[placed->stage] + k;
                if (!check->check || check->check->takes == 0)
                    continue;
                if (passing == 0)
                    give_whole(&g, compiled->check_by + at * people, 1, check->start, check->end,
                               &check->by, &check->by_count);
                else if (check->by_count == 0)
                    pass(&g, check->start, check->end, 1, &check->by, &check->by_count);
            }
        }
}

/* What would make an impossible plan possible: single changes, each found by the
 * solver, the least of its kind, and verified as a whole timeline. */
#include "explain/remedies.h"
#include "explain/change.h"

#include <stdlib.h>
#include <string.h>

enum {
    MOST_REMEDIES = 6,
    ENOUGH = 3,   /* then those that no cook would take are not said */
    LITTLE = 180, /* minutes, or their like */
    MOST_CANDIDATES = 60
};

/* --------------------------------------------------------------- drawbacks */

static bool has_harm(const bk_plan *plan, const bk_attempt *candidate, const bk_warned *harm)
{
    for (size_t i = 0; i < candidate->harm_count; i++)
        if (strcmp(candidate->harms[i].code, harm->code) == 0 &&
            plan->stages[candidate->harms[i].stage].dish == plan->stages[harm->stage].dish)
            return true;
    return false;
}

/* Whether it is this change that brings the harm: it eases a wait of that dish, or the
 * dish is without harm after another change. */
static bool brings(const bk_trying *s, const bk_attempt *candidate, const bk_warned *harm)
{
    size_t dish = s->plan->stages[harm->stage].dish;
    if (candidate->eased == dish)
        return true;
    for (size_t i = 0; i < s->count; i++)
        if (s->found[i].left_out != dish && !has_harm(s->plan, &s->found[i], harm))
            return true;
    return false;
}

static const char *harm_words(const char *code)
{
    static const struct {
        const char *code, *words;
    } known[] = {
        {"safety-room", "stands too long in a room"},
        {"safety-cooling", "cools too slowly"},
        {"safety-storage", "is too long in the fridge"},
    };
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (strcmp(known[i].code, code) == 0)
            return known[i].words;
    return NULL;
}

/* Says on a change's line what food-safety rules have against its timeline. */
static void say_harms(bk_trying *s, bk_attempt *candidate)
{
    const char *words = NULL;
    size_t stage = SIZE_MAX, more = 0;
    for (size_t i = 0; i < candidate->harm_count; i++) {
        const bk_warned *harm = &candidate->harms[i];
        if (!harm_words(harm->code) || !brings(s, candidate, harm))
            continue;
        more += words != NULL;
        if (!words) {
            words = harm_words(harm->code);
            stage = harm->stage;
        }
    }
    if (!words)
        return;
    candidate->drawback = true;
    candidate->remedy.message =
        bk_format(s->arena, "%s; %s then %s%s", candidate->remedy.message,
                  bk_stage_name(s->arena, s->plan, stage), words,
                  more == 0 ? ""
                            : bk_format(s->arena, " (and %zu more %s)", more,
                                        more == 1 ? "warning" : "warnings"));
}

/* -------------------------------------------------------------- the search */

static int smaller(const void *a, const void *b)
{
    const bk_attempt *x = a, *y = b;
    if (x->far != y->far)
        return x->far ? 1 : -1;
    if (x->drawback != y->drawback)
        return x->drawback ? 1 : -1; /* what it brings is part of what it asks */
    return (x->size > y->size) - (x->size < y->size);
}

/* Any change that helps touches a fact of every core, so those of one are enough
 * to look at. */
static void try_facts(bk_trying *s)
{
    bool *dish_seen = BK_NEW(s->arena, bool, s->plan->dish_count);
    bool table_seen = false;
    bool *window_seen = BK_NEW(s->arena, bool, s->plan->kitchen.window_count);
    for (size_t i = 0;
         i < s->fact_count && s->tried < MOST_CANDIDATES && !bk_is_called_off(s->onlooker); i++) {
        bk_fact *fact = bk_copy_of(s->arena, &s->facts[i], sizeof *fact);
        s->tried++;
        switch (fact->kind) {
        case BK_FACT_WAIT:
        case BK_FACT_WITHIN:
            bk_try_link(s, fact);
            break;
        case BK_FACT_WINDOW:
            if (!window_seen[fact->window])
                bk_try_window(s, SIZE_MAX, fact->window);
            window_seen[fact->window] = true;
            break;
        case BK_FACT_COOK:
            bk_try_cook(s, fact);
            break;
        case BK_FACT_BEGINS:
            bk_try_begins(s, fact, window_seen);
            break;
        case BK_FACT_WHEN:
            bk_try_any_time(s, fact);
            break;
        case BK_FACT_KEEPS:
            bk_try_keeping(s, fact);
            break;
        case BK_FACT_MARGIN:
            bk_try_margin(s);
            break;
        case BK_FACT_STAGE_TIME:
            bk_try_short_end(s, fact->stage);
            break;
        case BK_FACT_AT_TABLE:
            if (!table_seen)
                bk_try_eating_faster(s);
            table_seen = true;
            break;
        case BK_FACT_HANDS:
            bk_try_cooks(s);
            break;
        case BK_FACT_POOL:
        case BK_FACT_SHELVES:
            bk_try_equipment(s, fact);
            break;
        case BK_FACT_OVEN_OFF:
        case BK_FACT_OVEN_TEMPERATURE: {
            bool seen = false;
            for (size_t j = 0; j < i; j++)
                seen = seen ||
                       (s->facts[j].kind == fact->kind && s->facts[j].equipment == fact->equipment);
            if (!seen)
                bk_try_equipment(s, fact);
            break;
        }
        default:
            break;
        }
        size_t dish = fact->dish != SIZE_MAX    ? fact->dish
                      : fact->stage != SIZE_MAX ? s->plan->stages[fact->stage].dish
                                                : SIZE_MAX;
        if (dish != SIZE_MAX)
            bk_try_leaving_out(s, dish, dish_seen);
    }
}

/* The smallest first, those with a drawback last. */
static void sort_found(bk_trying *s)
{
    for (size_t i = 0; i < s->count; i++)
        say_harms(s, &s->found[i]);
    for (size_t i = 0; i < s->count; i++)
        s->small = s->small || (!s->found[i].far && s->found[i].size <= LITTLE);
    /* Stable: qsort is not, so equal sizes are kept apart by the order found. */
    for (size_t i = 0; i < s->count; i++)
        s->found[i].size = s->found[i].size * MOST_CANDIDATES * 2 + (int64_t)i;
    if (s->count > 1)
        qsort(s->found, s->count, sizeof *s->found, smaller);
    size_t near = 0;
    while (near < s->count && !s->found[near].far)
        near++;
    if (near >= ENOUGH)
        s->count = near;
}

size_t bk_attempts_of(bk_arena *arena, bk_timeline *timeline, const bk_conflict *conflict,
                      const bk_fact *aside, size_t aside_count, int64_t effort,
                      bk_onlooker *onlooker, bk_reschedule *reschedule, bk_attempt **found)
{
    bk_trying s = {.arena = arena,
                   .timeline = timeline,
                   .plan = timeline->plan,
                   .facts = conflict->facts,
                   .fact_count = conflict->count,
                   .aside = aside,
                   .aside_count = aside_count,
                   .effort = effort,
                   .onlooker = onlooker,
                   .reschedule = reschedule};
    try_facts(&s);
    sort_found(&s);
    *found = s.found;
    return s.count;
}

bk_remedy *bk_remedies_of(bk_arena *arena, const bk_attempt *attempts, size_t count)
{
    bk_remedy *remedies = BK_NEW(arena, bk_remedy, count);
    for (size_t i = 0; i < count; i++)
        remedies[i] = attempts[i].remedy;
    return remedies;
}

bool bk_remedies(bk_arena *arena, bk_timeline *timeline, int64_t effort, bk_onlooker *onlooker,
                 bk_reschedule *reschedule)
{
    bk_trying s = {.arena = arena,
                   .timeline = timeline,
                   .plan = timeline->plan,
                   .facts = timeline->why,
                   .fact_count = timeline->why_count,
                   .effort = bk_effort_of_each(effort),
                   .onlooker = onlooker,
                   .reschedule = reschedule};
    bk_try_serving_later(&s);
    try_facts(&s);
    sort_found(&s);
    timeline->remedy_count = s.count < MOST_REMEDIES ? s.count : MOST_REMEDIES;
    timeline->remedies = bk_remedies_of(arena, s.found, timeline->remedy_count);
    return s.small;
}

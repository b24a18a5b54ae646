/* Dishes left out, with what is made with them and what is for them alone. */
#include "explain/change.h"

#include <string.h>

enum { DISH_LIKE = 2880 /* minutes, for the order alone: no cook does it gladly */ };

/* ------------------------------------------------------------------ dishes */

/* Whether a dish that stays links to this one. */
static bool is_used(const bk_plan *plan, size_t dish, const bool *gone)
{
    for (size_t i = 0; i < plan->stage_count; i++)
        for (size_t k = 0; k < plan->stages[i].link_count; k++)
            if (plan->stages[i].dish != dish && !gone[plan->stages[i].dish] &&
                plan->stages[plan->stages[i].links[k].stage].dish == dish)
                return true;
    return false;
}

/* Does a stage of this dish link to one of those? */
static bool is_made_with(const bk_plan *plan, size_t dish, const bool *gone)
{
    const bk_dish *of = &plan->dishes[dish];
    for (size_t i = of->first_stage; i < of->first_stage + of->stage_count; i++)
        for (size_t k = 0; k < plan->stages[i].link_count; k++) {
            size_t other = plan->stages[plan->stages[i].links[k].stage].dish;
            if (other != dish && gone[other])
                return true;
        }
    return false;
}

/* By dish, what goes with one that is left out: what is made with it, and then the parts that only
 * those were made of. */
static bool *gone_with(bk_arena *arena, const bk_plan *plan, size_t left_out)
{
    bool *gone = BK_NEW(arena, bool, plan->dish_count);
    gone[left_out] = true;
    for (size_t d = 0; d < plan->dish_count; d++) {
        bool goes =
            is_made_with(plan, d, gone) || (plan->dishes[d].part && !is_used(plan, d, gone));
        if (gone[d] || !goes)
            continue;
        gone[d] = true;
        d = SIZE_MAX; /* it may have been all that another part was for */
    }
    return gone;
}

static bk_plan *without_dish(bk_arena *arena, const bk_plan *old, void *context, int64_t number)
{
    const char *name = context; /* the number may have changed with what was left out before */
    size_t left_out = 0;
    (void)number;
    while (left_out < old->dish_count && strcmp(old->dishes[left_out].name, name) != 0)
        left_out++;
    if (left_out == old->dish_count)
        return NULL;
    const bool *gone = gone_with(arena, old, left_out);
    bk_plan *plan = bk_plan_copy(arena, old);
    size_t *now = BK_NEW(arena, size_t, old->stage_count);
    size_t *dish_now = BK_NEW(arena, size_t, old->dish_count), next = 0, dishes = 0;
    for (size_t d = 0; d < old->dish_count; d++)
        dish_now[d] = gone[d] ? SIZE_MAX : dishes++;
    for (size_t i = 0; i < old->stage_count; i++)
        now[i] = gone[old->stages[i].dish] ? SIZE_MAX : next++;
    plan->stages = BK_NEW(arena, bk_stage, next);
    plan->stage_count = next;
    for (size_t i = 0; i < old->stage_count; i++) {
        if (now[i] == SIZE_MAX)
            continue;
        bk_stage *stage = &plan->stages[now[i]];
        *stage = old->stages[i];
        stage->dish = dish_now[stage->dish];
        stage->links = bk_copy_of(arena, stage->links, stage->link_count * sizeof *stage->links);
        for (size_t k = 0; k < stage->link_count; k++) {
            if (now[stage->links[k].stage] == SIZE_MAX)
                return NULL;
            stage->links[k].stage = now[stage->links[k].stage];
        }
        stage->holds = bk_copy_of(arena, stage->holds, stage->hold_count * sizeof *stage->holds);
        for (size_t k = 0; k < stage->hold_count; k++) {
            if (now[stage->holds[k].until] == SIZE_MAX)
                return NULL;
            stage->holds[k].until = now[stage->holds[k].until];
        }
    }
    plan->dishes = BK_NEW(arena, bk_dish, dishes);
    plan->dish_count = dishes;
    for (size_t d = 0; d < old->dish_count; d++) {
        if (gone[d])
            continue;
        bk_dish *dish = &plan->dishes[dish_now[d]];
        *dish = old->dishes[d];
        for (size_t g = 0; g < d; g++)
            dish->first_stage -= gone[g] ? old->dishes[g].stage_count : 0;
        dish->ingredients = bk_copy_of(arena, dish->ingredients,
                                       dish->ingredient_count * sizeof *dish->ingredients);
        for (size_t k = 0; k < dish->ingredient_count; k++)
            if (dish->ingredients[k].stage != SIZE_MAX)
                dish->ingredients[k].stage = now[dish->ingredients[k].stage];
    }
    bk_span_serves(plan);
    bk_parts_serve(arena, plan);
    return dishes == 0 ? NULL : plan;
}

/* The facts put aside, as they stand in a plan without a dish. Those that speak of what is
 * gone speak of nothing there. */
static bk_fact *aside_without(bk_trying *s, size_t dish)
{
    const bool *gone = gone_with(s->arena, s->plan, dish);
    bk_fact *facts = bk_copy_of(s->arena, s->aside, s->aside_count * sizeof *facts);
    for (size_t i = 0; i < s->aside_count; i++) {
        size_t stage = facts[i].stage, other = facts[i].other, of = facts[i].dish;
        for (size_t g = 0; g < s->plan->dish_count; g++) {
            if (!gone[g])
                continue;
            const bk_dish *left = &s->plan->dishes[g];
            if (stage != SIZE_MAX && stage >= left->first_stage + left->stage_count)
                facts[i].stage -= left->stage_count;
            if (other != SIZE_MAX && other >= left->first_stage + left->stage_count)
                facts[i].other -= left->stage_count;
            if (of != SIZE_MAX && of > g)
                facts[i].dish--;
        }
    }
    return facts;
}

/* The dishes of `these`, as "A and B"; how many to *count. */
static const char *listed(bk_trying *s, const bool *these, size_t *count)
{
    bk_text out = bk_text_new(s->arena);
    size_t all = 0, number = 0;
    for (size_t d = 0; d < s->plan->dish_count; d++)
        all += these[d];
    for (size_t d = 0; d < s->plan->dish_count; d++)
        if (these[d])
            bk_text_addf(&out, "%s%s",
                         number++ == 0   ? ""
                         : number == all ? " and "
                                         : ", ",
                         s->plan->dishes[d].name);
    *count = all;
    return out.data;
}

/* "Stock, and Soup, which is made with it", "Trifle, and Sponge, which is for it". */
static const char *left_out_words(bk_trying *s, size_t dish)
{
    const bool *gone = gone_with(s->arena, s->plan, dish);
    bool *made_with = BK_NEW(s->arena, bool, s->plan->dish_count);
    bool *parts = BK_NEW(s->arena, bool, s->plan->dish_count);
    bool *before = BK_NEW(s->arena, bool, s->plan->dish_count);
    before[dish] = true;
    for (size_t d = 0; d < s->plan->dish_count; d++) {
        if (!gone[d] || before[d] || !is_made_with(s->plan, d, before))
            continue;
        made_with[d] = before[d] = true;
        d = SIZE_MAX;
    }
    for (size_t d = 0; d < s->plan->dish_count; d++)
        parts[d] = gone[d] && !before[d];
    size_t users, for_it;
    const char *with = listed(s, made_with, &users), *of = listed(s, parts, &for_it);
    return bk_format(s->arena, "%s%s%s%s%s%s%s", s->plan->dishes[dish].name,
                     users > 0 ? ", and " : "", with,
                     users == 0   ? ""
                     : users == 1 ? ", which is made with it"
                                  : ", which are made with it",
                     for_it > 0 ? ", and " : "", of,
                     for_it == 0   ? ""
                     : for_it == 1 ? ", which is for it"
                                   : ", which are for it");
}

static void leave_out(bk_trying *s, size_t dish)
{
    if (s->plan->dish_count < 2)
        return;
    void *name =
        bk_copy_of(s->arena, s->plan->dishes[dish].name, strlen(s->plan->dishes[dish].name) + 1);
    const bk_plan *plan = without_dish(s->arena, s->plan, name, 0);
    const bk_fact *aside = s->aside;
    if (s->aside_count > 0)
        s->aside = aside_without(s, dish);
    bool helps = plan && bk_fits(s, plan);
    s->aside = aside;
    if (!helps)
        return;
    bk_attempt *kept = bk_keep_change(s, without_dish, name, 0, "dish", DISH_LIKE,
                                      bk_format(s->arena, "leave out %s", left_out_words(s, dish)));
    if (!kept)
        return;
    kept->left_out = dish;
    const bool *gone = gone_with(s->arena, s->plan, dish);
    bk_edit_set edits = bk_edits_of(s);
    for (size_t d = s->plan->dish_count; d-- > 0;) /* the last first: those before stay in place */
        if (gone[d])
            bk_edit_remove(&edits, s->plan->dishes[d].entry_place);
    bk_written_as(kept, &edits);
}

/* A part stays as long as something is made of it: what is made of it is left out. */
void bk_try_leaving_out(bk_trying *s, size_t dish, bool *seen)
{
    if (seen[dish])
        return;
    seen[dish] = true;
    if (!s->plan->dishes[dish].part) {
        leave_out(s, dish);
        return;
    }
    bool *none = BK_NEW(s->arena, bool, s->plan->dish_count);
    for (size_t user = 0; user < s->plan->dish_count; user++)
        none[user] = true;
    for (size_t user = 0; user < s->plan->dish_count; user++) {
        none[user] = false;
        if (user != dish && !seen[user] && !s->plan->dishes[user].part &&
            is_used(s->plan, dish, none)) {
            seen[user] = true;
            leave_out(s, user);
        }
        none[user] = true;
    }
}

#include "safety/standing.h"

#include "safety/food_words.h"

#include <stdlib.h>

bool bk_hands_on_food(const bk_plan *plan, size_t stage, const bk_link *link)
{
    return !link->from_start && plan->stages[link->stage].dish == plan->stages[stage].dish;
}

bool bk_held_cold(const bk_standings *standings, size_t dish, bk_instant from, bk_instant to)
{
    const bk_spans *spans = &standings->cold[dish];
    size_t low = 0, high = spans->count;
    while (low < high) { /* the first span that ends after `from` */
        size_t middle = low + (high - low) / 2;
        if (spans->items[middle].to <= from)
            low = middle + 1;
        else
            high = middle;
    }
    return from >= to ||
           (low < spans->count && spans->items[low].from <= from && spans->items[low].to >= to);
}

/* When holds and storage keep something cold for each dish. */
static void fill_cold(bk_arena *arena, bk_standings *s)
{
    const bk_plan *plan = s->timeline->plan;
    s->cold = BK_NEW(arena, bk_spans, plan->dish_count);
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[d];
        bk_spans spans = bk_spans_new(arena);
        bk_instant ready = 0;
        for (size_t i = 0; i < dish->stage_count; i++) {
            size_t n = dish->first_stage + i;
            const bk_stage *stage = &plan->stages[n];
            if (i == 0 || s->stage[n].end > ready)
                ready = s->stage[n].end;
            for (size_t h = 0; h < stage->hold_count; h++)
                if (plan->kitchen.equipment[stage->holds[h].equipment].kind == BK_COLD)
                    bk_spans_add(&spans, s->stage[n].start, s->stage[stage->holds[h].until].end, 0);
        }
        for (size_t k = 0; k < dish->stored_count; k++)
            if (plan->kitchen.equipment[dish->stored[k].equipment].kind == BK_COLD)
                bk_spans_add(&spans, ready, dish->serve, 0);
        bk_spans_sort(&spans);
        s->cold[d] = bk_spans_merged(arena, &spans);
    }
}

typedef struct placed_at {
    bk_instant start, end;
    size_t stage;
} placed_at;

static int by_time(const void *left, const void *right)
{
    const placed_at *a = left, *b = right;
    if (a->start != b->start)
        return a->start < b->start ? -1 : 1;
    if (a->end != b->end)
        return a->end < b->end ? -1 : 1;
    return (a->stage > b->stage) - (a->stage < b->stage);
}

/* Stages in an order in which what hands on food comes first. */
static void fill_order(bk_arena *arena, bk_standings *s)
{
    const bk_timeline *t = s->timeline;
    placed_at *all = BK_NEW(arena, placed_at, t->stage_count);
    s->count = t->stage_count;
    s->order = BK_NEW(arena, size_t, s->count);
    for (size_t i = 0; i < s->count; i++)
        all[i] = (placed_at){t->stages[i].start, t->stages[i].end, t->stages[i].stage};
    if (s->count > 1)
        qsort(all, s->count, sizeof *all, by_time);
    for (size_t i = 0; i < s->count; i++) {
        bk_standing *at = &s->stage[all[i].stage];
        s->order[i] = all[i].stage;
        at->placed = true;
        at->start = all[i].start;
        at->end = all[i].end;
    }
}

static void fill_place(const bk_standings *s, size_t n)
{
    const bk_plan *plan = s->timeline->plan;
    const bk_stage *stage = &plan->stages[n];
    bk_standing *at = &s->stage[n];
    bool hob = false;

    at->cold = SIZE_MAX;
    for (size_t i = 0; i < stage->need_count; i++) {
        enum bk_equipment_kind kind = plan->kitchen.equipment[stage->needs[i].equipment].kind;
        if (kind == BK_COLD)
            at->cold = stage->needs[i].equipment;
        hob = hob || kind == BK_HOB;
    }
    if (bk_is_heated(stage) || hob)
        at->place = BK_STANDS_HOT;
    else if (at->cold != SIZE_MAX)
        at->place = BK_STANDS_COLD;
    else if (!stage->cooling && stage->attention != BK_HANDS && at->start < at->end &&
             bk_held_cold(s, stage->dish, at->start, at->end))
        at->place = BK_STANDS_COLD; /* what hands work on is not in the fridge */
    else if (bk_is_rising(stage))
        at->place = BK_STANDS_RISING;
    else
        at->place = BK_STANDS_IN_ROOM;
}

/* Spoiling food that comes in at each stage. Ingredients that name their stage come
 * in there; what the dish is called counts from when all of them are in. */
static void fill_spoils(const bk_standings *s)
{
    const bk_plan *plan = s->timeline->plan;
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[d];
        unsigned name = bk_spoils(dish->name), everywhere = 0;
        bool listed = false;
        /* fudge is boiled milk, and keeps; "meringues with cream" do not */
        bool keeps = (name & BK_FOOD_KEEPS) != 0 && (name & BK_SPOILS_UNBAKED) == 0;
        bk_instant complete = INT64_MIN;
        for (size_t i = 0; i < dish->ingredient_count; i++) {
            const bk_ingredient *item = &dish->ingredients[i];
            unsigned kinds = bk_spoils(item->item);
            if (item->stage == SIZE_MAX) {
                everywhere |= kinds;
                continue;
            }
            listed = true;
            s->stage[item->stage].spoils |= kinds;
            if (s->stage[item->stage].start > complete)
                complete = s->stage[item->stage].start;
        }
        for (size_t i = 0; i < dish->stage_count; i++) {
            size_t n = dish->first_stage + i;
            s->stage[n].spoils |= everywhere;
            if (!listed || s->stage[n].start >= complete)
                s->stage[n].spoils |= name;
            /* Stages say many things ("cream the butter", "cut it like a steak"): they
             * count only where nothing is listed. */
            if (dish->ingredient_count == 0)
                s->stage[n].spoils |= bk_spoils(plan->stages[n].text);
            if (keeps)
                s->stage[n].spoils &= ~(unsigned)BK_SPOILS_UNBAKED;
        }
    }
}

/* What the food was before this stage, and how it comes to stand here. */
static void fill_history(const bk_standings *s, size_t n)
{
    const bk_plan *plan = s->timeline->plan;
    const bk_stage *stage = &plan->stages[n];
    bk_standing *at = &s->stage[n];
    bool hot = at->place == BK_STANDS_HOT;

    at->cooked = hot;
    at->baked = stage->in_oven;
    at->room_since = at->place == BK_STANDS_IN_ROOM ? at->start : at->end;
    for (size_t i = 0; i < stage->link_count; i++) {
        const bk_standing *from = &s->stage[stage->links[i].stage];
        if (!from->placed || !bk_hands_on_food(plan, n, &stage->links[i]))
            continue;
        bool cold_wait =
            bk_held_cold(s, stage->dish, from->end, at->start) && from->end < at->start;
        at->cooked = at->cooked || from->cooked;
        at->baked = at->baked || from->baked;
        at->spoils |= from->spoils;
        if (at->place == BK_STANDS_IN_ROOM && !cold_wait && from->at_risk &&
            from->room_since < at->room_since)
            at->room_since = from->room_since;
        bk_instant since = from->has_cold_since ? from->cold_since : from->end;
        if (!hot && (from->has_cold_since || cold_wait) &&
            (!at->has_cold_since || since < at->cold_since)) {
            at->has_cold_since = true;
            at->cold_since = since;
        }
    }
    const bk_equipment *cold = at->cold == SIZE_MAX ? NULL : &plan->kitchen.equipment[at->cold];
    bool frozen = cold && cold->at_c < -1.0; /* stops the clock of storage */
    if (at->place == BK_STANDS_COLD && !frozen && !at->has_cold_since) {
        at->has_cold_since = true;
        at->cold_since = at->start;
    }
    at->at_risk = (at->spoils & BK_SPOILS_ALWAYS) != 0 ||
                  ((at->spoils & BK_SPOILS_COOKED) != 0 && at->cooked) ||
                  ((at->spoils & BK_SPOILS_UNBAKED) != 0 && !at->baked && !at->heated_later);
}

bk_standings bk_standings_of(bk_arena *arena, const bk_timeline *timeline)
{
    const bk_plan *plan = timeline->plan;
    bk_standings s = {.timeline = timeline, .stage = BK_NEW(arena, bk_standing, plan->stage_count)};

    fill_order(arena, &s);
    fill_cold(arena, &s);
    for (size_t i = 0; i < s.count; i++)
        fill_place(&s, s.order[i]);
    fill_spoils(&s);
    for (size_t i = s.count; i-- > 0;) {
        size_t n = s.order[i];
        const bk_stage *stage = &plan->stages[n];
        const bk_standing *at = &s.stage[n];
        for (size_t k = 0; k < stage->link_count; k++)
            if (bk_hands_on_food(plan, n, &stage->links[k]) &&
                (at->heated_later || at->place == BK_STANDS_HOT))
                s.stage[stage->links[k].stage].heated_later = true;
    }
    for (size_t i = 0; i < s.count; i++)
        fill_history(&s, s.order[i]);
    return s;
}

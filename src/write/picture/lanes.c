#include "write/picture/lanes.h"
#include "write/words/words.h"

#include <inttypes.h>
#include <stdlib.h>

static bk_lane *add_lane(bk_arena *arena, bk_lanes *lanes, enum bk_lane_kind kind, const char *name,
                         size_t equipment, int number)
{
    bk_lane *lane = BK_PUSH(arena, lanes->items, lanes->count, lanes->room);
    *lane = (bk_lane){
        .kind = kind, .name = name, .detail = "", .equipment = equipment, .number = number};
    return lane;
}

static void add_bar(bk_arena *arena, bk_lane *lane, enum bk_bar_kind kind, bk_instant from,
                    bk_instant to, size_t placed, size_t check)
{
    bk_bar *bar = BK_PUSH(arena, lane->bars, lane->count, lane->room);
    *bar = (bk_bar){.kind = kind, .from = from, .to = to, .placed = placed, .check = check};
}

static int compare_bars(const void *left, const void *right)
{
    const bk_bar *a = left, *b = right;
    if (a->from != b->from)
        return a->from < b->from ? -1 : 1;
    if (a->placed != b->placed)
        return a->placed < b->placed ? -1 : 1;
    if (a->kind != b->kind)
        return a->kind < b->kind ? -1 : 1;
    return a->check < b->check ? -1 : a->check > b->check;
}

static void sort_bars(bk_lane *lane)
{
    if (lane->count > 1)
        qsort(lane->bars, lane->count, sizeof *lane->bars, compare_bars);
}

/* All hands-on work, in one lane. */
static bk_lane work(bk_arena *arena, const bk_timeline *timeline)
{
    bk_lane all = {.kind = BK_LANE_HANDS};
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *placed = &timeline->stages[i];
        if (timeline->plan->stages[placed->stage].attention == BK_HANDS)
            add_bar(arena, &all, BK_BAR_STAGE, placed->start, placed->end, i, SIZE_MAX);
        for (size_t k = 0; k < placed->check_count; k++)
            if (!placed->checks[k].dropped && placed->checks[k].end > placed->checks[k].start)
                add_bar(arena, &all, BK_BAR_CHECK, placed->checks[k].start, placed->checks[k].end,
                        i, k);
    }
    sort_bars(&all);
    return all;
}

/* A lane for each cook with a name who has something to do. */
static void add_people(bk_arena *arena, const bk_timeline *timeline, bk_lanes *lanes,
                       const bk_lane *all)
{
    const bk_kitchen *kitchen = &timeline->plan->kitchen;
    for (size_t c = 0; c < kitchen->people_count; c++) {
        bk_lane own = {0};
        for (size_t i = 0; i < all->count; i++) {
            const bk_bar *bar = &all->bars[i];
            const bk_placed *placed = &timeline->stages[bar->placed];
            bool check = bar->kind == BK_BAR_CHECK;
            const size_t *by = check ? placed->checks[bar->check].by : placed->by;
            size_t count = check ? placed->checks[bar->check].by_count : placed->by_count;
            for (size_t k = 0; k < count; k++)
                if (by[k] == c)
                    add_bar(arena, &own, bar->kind, bar->from, bar->to, bar->placed, bar->check);
        }
        if (own.count == 0)
            continue;
        bk_lane *lane =
            add_lane(arena, lanes, BK_LANE_HANDS, bk_words_clean(arena, kitchen->people[c].name),
                     SIZE_MAX, (int)c + 1);
        lane->bars = own.bars;
        lane->count = own.count;
        lane->room = own.room;
    }
}

static void add_hands(bk_arena *arena, const bk_timeline *timeline, bk_lanes *lanes)
{
    bk_lane all = work(arena, timeline);
    int cooks = timeline->plan->kitchen.cooks < 1 ? 1 : timeline->plan->kitchen.cooks;
    if (all.count == 0)
        return;
    if (timeline->plan->kitchen.people_count > 0) {
        add_people(arena, timeline, lanes, &all);
        return;
    }
    /* No more lanes than can be in use at once. */
    size_t most = 0;
    for (size_t i = 0; i < all.count; i++)
        most +=
            all.bars[i].kind == BK_BAR_CHECK
                ? 1
                : (size_t)timeline->plan->stages[timeline->stages[all.bars[i].placed].stage].cooks;
    size_t count = (size_t)cooks < most ? (size_t)cooks : most;
    bk_lane *cook = BK_NEW(arena, bk_lane, count);
    bk_instant *free_at = BK_NEW(arena, bk_instant, count);
    for (size_t i = 0; i < count; i++)
        free_at[i] = INT64_MIN;
    for (size_t i = 0; i < all.count; i++) {
        const bk_bar *bar = &all.bars[i];
        const bk_stage *stage = &timeline->plan->stages[timeline->stages[bar->placed].stage];
        int need = bar->kind == BK_BAR_CHECK ? 1 : stage->cooks;
        for (size_t k = 0; k < count && need > 0; k++) {
            if (free_at[k] > bar->from)
                continue;
            add_bar(arena, &cook[k], bar->kind, bar->from, bar->to, bar->placed, bar->check);
            free_at[k] = bar->to;
            need--;
        }
    }
    for (size_t i = 0; i < count; i++) {
        if (cook[i].count == 0)
            continue;
        const char *name = cooks > 1 ? bk_format(arena, "Cook %zu", i + 1) : "Hands";
        bk_lane *lane =
            add_lane(arena, lanes, BK_LANE_HANDS, name, SIZE_MAX, (int)(i < 1000 ? i + 1 : 1000));
        lane->bars = cook[i].bars;
        lane->count = cook[i].count;
        lane->room = cook[i].room;
    }
}

static void add_ovens(bk_arena *arena, const bk_timeline *timeline, size_t equipment,
                      bk_lanes *lanes)
{
    int most = 0;
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *placed = &timeline->stages[i];
        const bk_stage *stage = &timeline->plan->stages[placed->stage];
        if (stage->in_oven && stage->oven.equipment == equipment && placed->oven_number > most)
            most = placed->oven_number;
    }
    for (int number = 1; number <= most; number++) {
        bk_lane lane = {0};
        for (size_t i = 0; i < timeline->stage_count; i++) {
            const bk_placed *placed = &timeline->stages[i];
            const bk_stage *stage = &timeline->plan->stages[placed->stage];
            if (stage->in_oven && stage->oven.equipment == equipment &&
                placed->oven_number == number)
                add_bar(arena, &lane, BK_BAR_STAGE, placed->start, placed->end, i, SIZE_MAX);
        }
        if (lane.count == 0)
            continue;
        sort_bars(&lane);
        bk_lane *added =
            add_lane(arena, lanes, BK_LANE_OVEN,
                     bk_words_oven(arena, timeline->plan, equipment, number), equipment, number);
        added->bars = lane.bars;
        added->count = lane.count;
        added->room = lane.room;
    }
}

/* The stage of a dish that ends last, the later in the timeline of two. */
static size_t last_of_dish(const bk_timeline *timeline, size_t dish)
{
    size_t last = SIZE_MAX;
    for (size_t i = 0; i < timeline->stage_count; i++) {
        if (timeline->plan->stages[timeline->stages[i].stage].dish != dish)
            continue;
        if (last == SIZE_MAX || timeline->stages[i].end >= timeline->stages[last].end)
            last = i;
    }
    return last;
}

static bool stands_by_itself(const bk_stage *stage)
{
    return stage->attention != BK_HANDS && !stage->in_oven && stage->need_count == 0;
}

/* Equipment held over several stages. In a cold place, the stages of the dish that
 * run by themselves meanwhile are what happens there: they take the hold's place
 * in the lane. */
static void add_hold(bk_arena *arena, const bk_timeline *timeline, bk_lane *lane, size_t index,
                     const bk_hold *hold, bool *shown)
{
    const bk_plan *plan = timeline->plan;
    size_t dish = plan->stages[timeline->stages[index].stage].dish;
    bk_instant at = timeline->stages[index].start, to = INT64_MIN;
    const bk_placed *until = bk_timeline_placed(timeline, hold->until);
    if (until)
        to = until->end;
    bool cold = plan->kitchen.equipment[hold->equipment].kind == BK_COLD;
    for (size_t i = 0; cold && i < timeline->stage_count; i++) {
        const bk_placed *placed = &timeline->stages[i];
        const bk_stage *stage = &plan->stages[placed->stage];
        if (shown[i] || stage->dish != dish || !stands_by_itself(stage) || placed->start < at ||
            placed->end > to)
            continue;
        if (placed->start > at)
            add_bar(arena, lane, BK_BAR_HOLD, at, placed->start, index, SIZE_MAX);
        add_bar(arena, lane, BK_BAR_STAGE, placed->start, placed->end, i, SIZE_MAX);
        shown[i] = true;
        at = placed->end;
    }
    if (at < to)
        add_bar(arena, lane, BK_BAR_HOLD, at, to, index, SIZE_MAX);
}

static void add_pool(bk_arena *arena, const bk_timeline *timeline, size_t equipment,
                     bk_lanes *lanes, bool *shown)
{
    const bk_plan *plan = timeline->plan;
    const bk_equipment *e = &plan->kitchen.equipment[equipment];
    bk_lane lane = {0};
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *placed = &timeline->stages[i];
        const bk_stage *stage = &plan->stages[placed->stage];
        for (size_t k = 0; k < stage->need_count; k++)
            if (stage->needs[k].equipment == equipment)
                add_bar(arena, &lane, BK_BAR_STAGE, placed->start, placed->end, i, SIZE_MAX);
        for (size_t k = 0; k < stage->hold_count; k++)
            if (stage->holds[k].equipment == equipment)
                add_hold(arena, timeline, &lane, i, &stage->holds[k], shown);
    }
    for (size_t i = 0; i < plan->dish_count; i++)
        for (size_t k = 0; k < plan->dishes[i].stored_count; k++) {
            size_t last = last_of_dish(timeline, i);
            if (last != SIZE_MAX && plan->dishes[i].stored[k].equipment == equipment &&
                timeline->stages[last].end < plan->dishes[i].serve)
                add_bar(arena, &lane, BK_BAR_STORED, timeline->stages[last].end,
                        plan->dishes[i].serve, last, SIZE_MAX);
        }
    if (lane.count == 0)
        return;
    sort_bars(&lane);
    bk_lane *added = add_lane(arena, lanes, e->kind == BK_TOOL ? BK_LANE_TOOL : BK_LANE_PLACE,
                              bk_words_clean(arena, e->name), equipment, 1);
    added->bars = lane.bars;
    added->count = lane.count;
    added->room = lane.room;
    if (e->pool != INT64_MAX && (e->kind != BK_TOOL || e->pool > 1))
        added->detail = bk_format(arena, "%" PRId64 " %s", e->pool,
                                  e->kind == BK_HOB    ? "rings"
                                  : e->kind == BK_COLD ? "places"
                                                       : "of them");
}

static void add_itself(bk_arena *arena, const bk_timeline *timeline, bk_lanes *lanes,
                       const bool *shown)
{
    bk_lane *lane = NULL;
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *placed = &timeline->stages[i];
        if (shown[i] || !stands_by_itself(&timeline->plan->stages[placed->stage]))
            continue;
        if (!lane)
            lane = add_lane(arena, lanes, BK_LANE_ITSELF, "By itself", SIZE_MAX, 1);
        add_bar(arena, lane, BK_BAR_STAGE, placed->start, placed->end, i, SIZE_MAX);
    }
}

bk_lanes bk_lanes_of(bk_arena *arena, const bk_timeline *timeline)
{
    bk_lanes lanes = {0};
    const bk_kitchen *kitchen = &timeline->plan->kitchen;
    bool *shown = BK_NEW(arena, bool, timeline->stage_count);
    add_hands(arena, timeline, &lanes);
    for (size_t i = 0; i < kitchen->equipment_count; i++)
        if (kitchen->equipment[i].kind == BK_OVEN)
            add_ovens(arena, timeline, i, &lanes);
    for (size_t i = 0; i < kitchen->equipment_count; i++)
        if (kitchen->equipment[i].kind == BK_HOB || kitchen->equipment[i].kind == BK_COLD)
            add_pool(arena, timeline, i, &lanes, shown);
    add_itself(arena, timeline, &lanes, shown);
    for (size_t i = 0; i < kitchen->equipment_count; i++)
        if (kitchen->equipment[i].kind == BK_TOOL)
            add_pool(arena, timeline, i, &lanes, shown);
    return lanes;
}

/* ------------------------------------------------------------------ chain */

/* The stage that a fact leads on to, from `at`; SIZE_MAX when it names no other. */
static size_t leads_to(const bk_fact *fact, size_t at)
{
    if (fact->stage != at && fact->stage != SIZE_MAX && fact->other == at)
        return fact->stage;
    return fact->other != at ? fact->other : SIZE_MAX;
}

static void follow(const bk_timeline *timeline, const size_t *placed_of, bool *chain)
{
    size_t at = 0;
    while (at < timeline->stage_count && !chain[at]) {
        const bk_placed *placed = &timeline->stages[at];
        chain[at] = true;
        at = SIZE_MAX;
        for (size_t i = 0; i < placed->pinned_count && at == SIZE_MAX; i++) {
            size_t next = leads_to(&placed->pinned_by[i], placed->stage);
            if (next < timeline->plan->stage_count && placed_of[next] != SIZE_MAX &&
                !chain[placed_of[next]])
                at = placed_of[next];
        }
    }
}

bool *bk_lanes_chain(bk_arena *arena, const bk_timeline *timeline)
{
    bool *chain = BK_NEW(arena, bool, timeline->stage_count);
    if (bk_words_critical_count(timeline) < timeline->stage_count) {
        for (size_t i = 0; i < timeline->stage_count; i++)
            chain[i] = timeline->stages[i].slack == 0;
        return chain;
    }
    size_t *placed_of = BK_NEW(arena, size_t, timeline->plan->stage_count);
    for (size_t i = 0; i < timeline->plan->stage_count; i++)
        placed_of[i] = SIZE_MAX;
    for (size_t i = 0; i < timeline->stage_count; i++)
        placed_of[timeline->stages[i].stage] = i;
    follow(timeline, placed_of, chain);
    return chain;
}

#include "write/picture/lanes.h"
#include "write/words/words.h"

#include <inttypes.h>
#include <stdlib.h>

typedef struct maker {
    bk_arena *arena;
    const bk_timeline *timeline;
    bk_stand stand;
    bk_lanes lanes;
} maker;

static const bk_stage *stage_of(const maker *m, size_t placed)
{
    return &m->timeline->plan->stages[m->timeline->stages[placed].stage];
}

static void add_lane(maker *m, bk_lane lane)
{
    if (lane.count > 0)
        *BK_PUSH(m->arena, m->lanes.items, m->lanes.count, m->lanes.room) = lane;
}

static bk_bar *add_bar(maker *m, bk_lane *lane, bk_part part, int64_t amount)
{
    bk_bar *bar = BK_PUSH(m->arena, lane->bars, lane->count, lane->room);
    *bar = (bk_bar){
        .from = part.from, .to = part.to, .dish = stage_of(m, part.placed)->dish, .amount = amount};
    *BK_PUSH(m->arena, bar->parts, bar->count, bar->room) = part;
    return bar;
}

static int compare_bars(const void *left, const void *right)
{
    const bk_bar *a = left, *b = right;
    if (a->from != b->from)
        return a->from < b->from ? -1 : 1;
    if (a->dish != b->dish)
        return a->dish < b->dish ? -1 : 1;
    if (a->to != b->to)
        return a->to < b->to ? -1 : 1;
    if (a->parts[0].placed != b->parts[0].placed)
        return a->parts[0].placed < b->parts[0].placed ? -1 : 1;
    return a->parts[0].check < b->parts[0].check ? -1 : a->parts[0].check > b->parts[0].check;
}

static void sort_bars(bk_lane *lane)
{
    if (lane->count > 1)
        qsort(lane->bars, lane->count, sizeof *lane->bars, compare_bars);
}

/* ------------------------------------------------------------------- hands */

/* All hands-on work, in one lane. */
static bk_lane work(maker *m)
{
    bk_lane all = {0};
    for (size_t i = 0; i < m->timeline->stage_count; i++) {
        const bk_placed *placed = &m->timeline->stages[i];
        const bk_stage *stage = stage_of(m, i);
        if (stage->attention == BK_HANDS)
            add_bar(m, &all, (bk_part){BK_PART_STAGE, placed->start, placed->end, i, SIZE_MAX},
                    stage->cooks);
        for (size_t k = 0; k < placed->check_count; k++)
            if (!placed->checks[k].dropped && placed->checks[k].end > placed->checks[k].start)
                add_bar(
                    m, &all,
                    (bk_part){BK_PART_CHECK, placed->checks[k].start, placed->checks[k].end, i, k},
                    1);
    }
    sort_bars(&all);
    return all;
}

static bk_lane hands_lane(const char *name, size_t cook)
{
    return (bk_lane){
        .kind = BK_LANE_HANDS, .name = name, .detail = "", .equipment = SIZE_MAX, .cook = cook};
}

/* A lane for each cook with a name who has something to do. */
static void add_people(maker *m, const bk_lane *all)
{
    const bk_kitchen *kitchen = &m->timeline->plan->kitchen;
    for (size_t c = 0; c < kitchen->people_count; c++) {
        bk_lane own = hands_lane(bk_words_clean(m->arena, kitchen->people[c].name), c);
        for (size_t i = 0; i < all->count; i++) {
            const bk_part *part = &all->bars[i].parts[0];
            const bk_placed *placed = &m->timeline->stages[part->placed];
            bool check = part->kind == BK_PART_CHECK;
            const size_t *by = check ? placed->checks[part->check].by : placed->by;
            size_t count = check ? placed->checks[part->check].by_count : placed->by_count;
            for (size_t k = 0; k < count; k++)
                if (by[k] == c)
                    add_bar(m, &own, *part, 1);
        }
        add_lane(m, own);
    }
}

static void add_hands(maker *m)
{
    bk_lane all = work(m);
    const bk_kitchen *kitchen = &m->timeline->plan->kitchen;
    int cooks = kitchen->cooks < 1 ? 1 : kitchen->cooks;
    if (all.count == 0)
        return;
    if (kitchen->people_count > 0) {
        add_people(m, &all);
        return;
    }
    /* No more lanes than can be in use at once. */
    size_t most = 0;
    for (size_t i = 0; i < all.count && most < (size_t)cooks; i++)
        most += (size_t)(all.bars[i].amount < 1 ? 1 : all.bars[i].amount);
    size_t count = (size_t)cooks < most ? (size_t)cooks : most;
    bk_lane *cook = BK_NEW(m->arena, bk_lane, count);
    bk_instant *free_at = BK_NEW(m->arena, bk_instant, count);
    for (size_t i = 0; i < count; i++) {
        free_at[i] = INT64_MIN;
        cook[i] =
            hands_lane(cooks > 1 ? bk_format(m->arena, "Cook %zu", i + 1) : "Hands", SIZE_MAX);
    }
    for (size_t i = 0; i < all.count; i++) {
        int64_t need = all.bars[i].amount;
        for (size_t k = 0; k < count && need > 0; k++) {
            if (free_at[k] > all.bars[i].from)
                continue;
            add_bar(m, &cook[k], all.bars[i].parts[0], 1);
            free_at[k] = all.bars[i].to;
            need--;
        }
    }
    for (size_t i = 0; i < count; i++)
        add_lane(m, cook[i]);
}

/* What is to be looked at, whoever does it. */
static void add_looks(maker *m)
{
    bk_lane lane = hands_lane("Look", SIZE_MAX);
    lane.kind = BK_LANE_LOOK;
    for (size_t i = 0; i < m->timeline->stage_count; i++) {
        const bk_placed *placed = &m->timeline->stages[i];
        for (size_t k = 0; k < placed->check_count; k++)
            if (!placed->checks[k].dropped && placed->checks[k].end == placed->checks[k].start)
                add_bar(
                    m, &lane,
                    (bk_part){BK_PART_CHECK, placed->checks[k].start, placed->checks[k].end, i, k},
                    1);
    }
    sort_bars(&lane);
    add_lane(m, lane);
}

/* ------------------------------------------------------------------ things */

/* A thing goes on where the one before of its dish ends, when it takes as much: one bar. */
static void join(maker *m, bk_lane *lane)
{
    bk_lane joined = {0};
    sort_bars(lane);
    for (size_t i = 0; i < lane->count; i++) {
        bk_bar *bar = &lane->bars[i], *before = NULL;
        for (size_t k = joined.count; k-- > 0 && !before;)
            if (joined.bars[k].dish == bar->dish && joined.bars[k].to == bar->from &&
                joined.bars[k].amount == bar->amount)
                before = &joined.bars[k];
        if (!before) {
            *BK_PUSH(m->arena, joined.bars, joined.count, joined.room) = *bar;
            continue;
        }
        for (size_t k = 0; k < bar->count; k++)
            *BK_PUSH(m->arena, before->parts, before->count, before->room) = bar->parts[k];
        before->to = bar->to;
    }
    lane->bars = joined.bars;
    lane->count = joined.count;
    lane->room = joined.room;
}

typedef struct row {
    bk_instant free_at;
    size_t dish; /* whose it was last */
} row;

/* Minutes that a row stays free behind a thing where another row is: room for its name. */
enum { NAME_MINUTES = 90 };

/* The first row that is free at `at`: of those that `dish` had last; else that has been free
 * for some time; else any; SIZE_MAX when there is none. */
static size_t free_row(const row *rows, size_t count, bk_instant at, size_t dish)
{
    size_t rested = SIZE_MAX, any = SIZE_MAX;
    for (size_t r = count; r-- > 0;) {
        if (rows[r].free_at > at)
            continue;
        any = r;
        if (rows[r].free_at <= at - NAME_MINUTES)
            rested = r;
    }
    for (size_t r = 0; r < count; r++)
        if (rows[r].free_at <= at && rows[r].dish == dish)
            return r;
    return rested != SIZE_MAX ? rested : any;
}

static int compare_sizes(const void *left, const void *right)
{
    size_t a = *(const size_t *)left, b = *(const size_t *)right;
    return a < b ? -1 : a > b;
}

/* First fit by start, every free row being as good as another for what comes later; a
 * timeline that verify would refuse gets more rows than there are places. */
static void assign_rows(maker *m, bk_lane *lane)
{
    row *rows = NULL;
    size_t count = 0, room = 0;
    for (size_t i = 0; i < lane->rows; i++)
        *BK_PUSH(m->arena, rows, count, room) = (row){INT64_MIN, SIZE_MAX};
    for (size_t i = 0; i < lane->count; i++) {
        bk_bar *bar = &lane->bars[i];
        bar->row_count = (size_t)bar->amount;
        bar->rows = BK_NEW(m->arena, size_t, bar->row_count);
        for (size_t k = 0; k < bar->row_count; k++) {
            size_t r = free_row(rows, count, bar->from, bar->dish);
            if (r == SIZE_MAX) {
                r = count;
                BK_PUSH(m->arena, rows, count, room);
            }
            rows[r] = (row){bar->to, bar->dish};
            bar->rows[k] = r;
        }
        qsort(bar->rows, bar->row_count, sizeof *bar->rows, compare_sizes);
    }
    lane->rows = count;
}

/* The most that is taken at once; BK_MOST_ROWS + 1 for all that is more than that. */
static size_t peak(const bk_lane *lane)
{
    int64_t most = 0;
    for (size_t i = 0; i < lane->count; i++) {
        int64_t sum = 0;
        for (size_t k = 0; k < lane->count; k++)
            if (lane->bars[k].from <= lane->bars[i].from && lane->bars[k].to > lane->bars[i].from)
                sum += lane->bars[k].amount < BK_MOST_ROWS + 1 ? lane->bars[k].amount
                                                               : BK_MOST_ROWS + 1;
        most = sum > most ? sum : most;
    }
    return most > BK_MOST_ROWS ? BK_MOST_ROWS + 1 : (size_t)most;
}

/* Rows for a lane of `places` (INT64_MAX: no limit). */
static void count_rows(maker *m, bk_lane *lane, int64_t places)
{
    if (lane->count == 0)
        return;
    lane->rows = places <= BK_MOST_ROWS ? (size_t)places : 0;
    if (lane->rows == 0 && places == INT64_MAX && peak(lane) <= BK_MOST_ROWS)
        lane->rows = 1;
    if (lane->rows > 0)
        assign_rows(m, lane);
}

/* ------------------------------------------------------------------- ovens */

static void add_oven(maker *m, size_t equipment, int number)
{
    const bk_equipment *oven = &m->timeline->plan->kitchen.equipment[equipment];
    bk_lane lane = {.kind = BK_LANE_OVEN,
                    .name = bk_words_oven(m->arena, m->timeline->plan, equipment, number),
                    .detail =
                        oven->shelves > 1 ? bk_format(m->arena, "%d shelves", oven->shelves) : "",
                    .equipment = equipment,
                    .cook = SIZE_MAX,
                    .number = number};
    for (size_t i = 0; i < m->timeline->stage_count; i++) {
        const bk_placed *placed = &m->timeline->stages[i];
        const bk_stage *stage = stage_of(m, i);
        if (stage->in_oven && stage->oven.equipment == equipment && placed->oven_number == number &&
            placed->start < placed->end)
            add_bar(m, &lane, (bk_part){BK_PART_STAGE, placed->start, placed->end, i, SIZE_MAX},
                    stage->oven.amount);
    }
    join(m, &lane);
    count_rows(m, &lane, oven->shelves);
    add_lane(m, lane);
}

static void add_ovens(maker *m, size_t equipment)
{
    int most = 0;
    for (size_t i = 0; i < m->timeline->stage_count; i++) {
        const bk_stage *stage = stage_of(m, i);
        if (stage->in_oven && stage->oven.equipment == equipment &&
            m->timeline->stages[i].oven_number > most)
            most = m->timeline->stages[i].oven_number;
    }
    for (int number = 1; number <= most; number++)
        add_oven(m, equipment, number);
}

/* ------------------------------------------------------------------ places */

/* The stage of a dish that ends last, the later in the timeline of two. */
static size_t last_of_dish(const maker *m, size_t dish)
{
    size_t last = SIZE_MAX;
    for (size_t i = 0; i < m->timeline->stage_count; i++)
        if (stage_of(m, i)->dish == dish &&
            (last == SIZE_MAX || m->timeline->stages[i].end >= m->timeline->stages[last].end))
            last = i;
    return last;
}

/* Until when a hold lasts. */
static bk_instant hold_end(const maker *m, const bk_hold *hold)
{
    bk_instant end = INT64_MIN;
    for (size_t k = 0; k <= hold->before; k++) {
        const bk_placed *until = bk_timeline_placed(m->timeline, hold->until - k * hold->step);
        if (until && until->end > end)
            end = until->end;
    }
    return end;
}

static void add_part(maker *m, bk_bar *bar, bk_part part)
{
    if (part.from < part.to)
        *BK_PUSH(m->arena, bar->parts, bar->count, bar->room) = part;
}

/* A hold keeps the place. Where a stage of the dish inside it goes on elsewhere, the place
 * is reserved meanwhile; for the rest of the time it stands there. A tool is with it all
 * the time. */
static void add_hold(maker *m, bk_lane *lane, size_t index, const bk_hold *hold)
{
    const bk_timeline *t = m->timeline;
    size_t dish = stage_of(m, index)->dish;
    bk_instant at = t->stages[index].start, end = hold_end(m, hold);
    if (at >= end || hold->amount < 1)
        return;
    if (lane->kind == BK_LANE_TOOL) {
        add_bar(m, lane, (bk_part){BK_PART_STAYS, at, end, index, SIZE_MAX}, hold->amount);
        return;
    }
    bk_bar bar = {.from = at, .to = end, .dish = dish, .amount = hold->amount};
    const bool *inside = bk_stand_inside(&m->stand, t->stages[index].stage, hold);
    size_t last = index;
    for (size_t i = 0; i < t->stage_count; i++) { /* by start */
        const bk_placed *placed = &t->stages[i];
        if (!inside[placed->stage] || stage_of(m, i)->dish != dish || placed->start < at)
            continue; /* of two at once, the first */
        bool here = m->stand.place[placed->stage] == hold->equipment;
        bk_instant to = placed->end < end ? placed->end : end;
        add_part(m, &bar, (bk_part){BK_PART_STAYS, at, placed->start, last, SIZE_MAX});
        add_part(
            m, &bar,
            (bk_part){here ? BK_PART_STAGE : BK_PART_RESERVED, placed->start, to, i, SIZE_MAX});
        at = to > at ? to : at;
        last = i;
    }
    add_part(m, &bar, (bk_part){BK_PART_STAYS, at, end, last, SIZE_MAX});
    *BK_PUSH(m->arena, lane->bars, lane->count, lane->room) = bar;
}

static void add_needs(maker *m, bk_lane *lane, size_t index)
{
    const bk_placed *placed = &m->timeline->stages[index];
    const bk_stage *stage = stage_of(m, index);
    for (size_t k = 0; k < stage->need_count; k++) {
        int64_t beyond = stage->needs[k].amount - m->stand.held[placed->stage][k];
        if (stage->needs[k].equipment == lane->equipment && beyond > 0 &&
            placed->start < placed->end)
            add_bar(m, lane, (bk_part){BK_PART_STAGE, placed->start, placed->end, index, SIZE_MAX},
                    beyond);
    }
}

static void add_stored(maker *m, bk_lane *lane, size_t index)
{
    const bk_dish *dish = &m->timeline->plan->dishes[index];
    for (size_t k = 0; k < dish->stored_count; k++) {
        if (dish->stored[k].equipment != lane->equipment || dish->stored[k].amount < 1)
            continue;
        size_t last = last_of_dish(m, index);
        bk_instant until = bk_timeline_until(m->timeline, index);
        if (last != SIZE_MAX && m->timeline->stages[last].end < until)
            add_bar(m, lane,
                    (bk_part){BK_PART_STORED, m->timeline->stages[last].end, until, last, SIZE_MAX},
                    dish->stored[k].amount);
    }
}

static const char *of_pool(bk_arena *arena, const bk_equipment *e)
{
    if (e->pool == INT64_MAX || (e->kind == BK_TOOL && e->pool == 1))
        return "";
    const char *one = e->kind == BK_HOB ? "ring" : e->kind == BK_COLD ? "place" : NULL;
    return one ? bk_format(arena, "%" PRId64 " %s%s", e->pool, one, e->pool == 1 ? "" : "s")
               : bk_format(arena, "%" PRId64 " of them", e->pool);
}

static void add_pool(maker *m, size_t equipment)
{
    const bk_plan *plan = m->timeline->plan;
    const bk_equipment *e = &plan->kitchen.equipment[equipment];
    bk_lane lane = {.kind = e->kind == BK_TOOL ? BK_LANE_TOOL : BK_LANE_PLACE,
                    .name = bk_words_clean(m->arena, e->name),
                    .detail = of_pool(m->arena, e),
                    .equipment = equipment,
                    .cook = SIZE_MAX,
                    .number = 1};
    for (size_t i = 0; i < m->timeline->stage_count; i++) {
        const bk_stage *stage = stage_of(m, i);
        add_needs(m, &lane, i);
        for (size_t k = 0; k < stage->hold_count; k++)
            if (stage->holds[k].equipment == equipment)
                add_hold(m, &lane, i, &stage->holds[k]);
    }
    for (size_t i = 0; i < plan->dish_count; i++)
        add_stored(m, &lane, i);
    join(m, &lane);
    count_rows(m, &lane, e->pool);
    add_lane(m, lane);
}

/* What goes on by itself and stands in no oven, on no hob and in no cold place. */
static void add_bench(maker *m)
{
    bk_lane lane = {.kind = BK_LANE_BENCH,
                    .name = "Bench",
                    .detail = "",
                    .equipment = SIZE_MAX,
                    .cook = SIZE_MAX,
                    .number = 1};
    for (size_t i = 0; i < m->timeline->stage_count; i++) {
        const bk_placed *placed = &m->timeline->stages[i];
        if (stage_of(m, i)->attention != BK_HANDS && m->stand.place[placed->stage] == SIZE_MAX &&
            placed->start < placed->end)
            add_bar(m, &lane, (bk_part){BK_PART_STAGE, placed->start, placed->end, i, SIZE_MAX}, 1);
    }
    sort_bars(&lane);
    add_lane(m, lane);
}

bk_lanes bk_lanes_of(bk_arena *arena, const bk_timeline *timeline)
{
    maker m = {.arena = arena, .timeline = timeline, .stand = bk_stand_of(arena, timeline->plan)};
    const bk_kitchen *kitchen = &timeline->plan->kitchen;
    add_hands(&m);
    add_looks(&m);
    for (size_t i = 0; i < kitchen->equipment_count; i++)
        if (kitchen->equipment[i].kind == BK_OVEN)
            add_ovens(&m, i);
    for (size_t i = 0; i < kitchen->equipment_count; i++)
        if (kitchen->equipment[i].kind == BK_HOB || kitchen->equipment[i].kind == BK_COLD)
            add_pool(&m, i);
    add_bench(&m);
    for (size_t i = 0; i < kitchen->equipment_count; i++)
        if (kitchen->equipment[i].kind == BK_TOOL)
            add_pool(&m, i);
    return m.lanes;
}

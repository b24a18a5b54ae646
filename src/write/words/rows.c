#include "write/words/rows.h"

#include <stdlib.h>
#include <string.h>

static bk_row *add(bk_arena *arena, bk_rows *rows, enum bk_row_kind kind, bk_instant at,
                   bk_instant until)
{
    bk_row *row = BK_PUSH(arena, rows->items, rows->count, rows->room);
    *row = (bk_row){.kind = kind,
                    .at = at,
                    .until = until,
                    .placed = SIZE_MAX,
                    .check = SIZE_MAX,
                    .run = SIZE_MAX,
                    .dish = SIZE_MAX,
                    .window = SIZE_MAX};
    return row;
}

static int order(size_t a, size_t b)
{
    return a < b ? -1 : a > b;
}

static int compare_rows(const void *left, const void *right)
{
    const bk_row *a = left, *b = right;
    if (a->at != b->at)
        return a->at < b->at ? -1 : 1;
    if (a->kind != b->kind)
        return a->kind < b->kind ? -1 : 1;
    int by = order(a->placed, b->placed);
    if (by == 0)
        by = order(a->check, b->check);
    if (by == 0)
        by = order(a->run, b->run);
    if (by == 0)
        by = order(a->dish, b->dish);
    if (by == 0)
        by = order(a->window, b->window);
    return by;
}

/* The dish stays where it is when a later stage of its own, linked to this one,
 * goes on in the same oven at the minute this one ends. */
static bool stays_in_oven(const bk_timeline *timeline, const bk_placed *placed)
{
    const bk_plan *plan = timeline->plan;
    const bk_stage *stage = &plan->stages[placed->stage];
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *next = &timeline->stages[i];
        const bk_stage *next_stage = &plan->stages[next->stage];
        if (next == placed || next->start != placed->end || next_stage->dish != stage->dish ||
            !next_stage->in_oven || next_stage->oven.equipment != stage->oven.equipment ||
            next->oven_number != placed->oven_number)
            continue;
        for (size_t k = 0; k < next_stage->link_count; k++)
            if (next_stage->links[k].stage == placed->stage && !next_stage->links[k].from_start)
                return true;
    }
    return false;
}

static void add_stages(bk_arena *arena, const bk_timeline *timeline, bk_rows *rows)
{
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *placed = &timeline->stages[i];
        if (timeline->plan->stages[placed->stage].progress == BK_LEFT_OUT)
            continue;
        add(arena, rows, BK_ROW_START, placed->start, placed->end)->placed = i;
        if (timeline->plan->stages[placed->stage].in_oven && !stays_in_oven(timeline, placed))
            add(arena, rows, BK_ROW_OUT, placed->end, placed->end)->placed = i;
        for (size_t k = 0; k < placed->check_count; k++) {
            const bk_placed_check *check = &placed->checks[k];
            if (check->dropped)
                continue;
            bk_row *row = add(arena, rows, BK_ROW_CHECK, check->start, check->end);
            row->placed = i;
            row->check = k;
        }
    }
}

static void add_ovens(bk_arena *arena, const bk_timeline *timeline, bk_rows *rows)
{
    for (size_t i = 0; i < timeline->oven_count; i++) {
        const bk_oven_run *run = &timeline->ovens[i];
        add(arena, rows, BK_ROW_OVEN_ON, run->on, run->ready)->run = i;
        const bk_oven_run *next = i + 1 < timeline->oven_count ? run + 1 : NULL;
        bool over = next && next->equipment == run->equipment && next->number == run->number &&
                    !next->from_cold;
        if (!over)
            add(arena, rows, BK_ROW_OVEN_OFF, run->off, run->off)->run = i;
    }
}

/* Clock changes in (from, to]: days are compared, then the change is searched. */
static void add_clock_changes(bk_arena *arena, const bk_zone *zone, bk_instant from, bk_instant to,
                              bk_rows *rows)
{
    for (bk_instant low = from; low < to; low += BK_DAY) {
        bk_instant before = low, after = low + BK_DAY < to ? low + BK_DAY : to;
        int old = bk_zone_offset(zone, before), new = bk_zone_offset(zone, after);
        if (old == new)
            continue;
        while (after - before > 1) {
            bk_instant middle = before + (after - before) / 2;
            if (bk_zone_offset(zone, middle) == old)
                before = middle;
            else
                after = middle;
        }
        add(arena, rows, BK_ROW_CLOCK, after, after)->shift = new - old;
    }
}

static bool same_day_has_row(const bk_zone *zone, const bk_rows *rows, size_t count, bk_instant at)
{
    bk_instant from = bk_day_start(zone, at), to = bk_next_day_start(zone, at);
    for (size_t i = 0; i < count; i++)
        if (rows->items[i].at >= from && rows->items[i].at < to)
            return true;
    return false;
}

/* The same window said twice (a calendar and the plan, say). */
static bool within_another(const bk_kitchen *kitchen, size_t index)
{
    const bk_window *w = &kitchen->windows[index];
    for (size_t i = 0; i < kitchen->window_count; i++) {
        const bk_window *other = &kitchen->windows[i];
        if (i == index || other->kind != w->kind || other->from > w->from || other->to < w->to)
            continue;
        bool same = other->from == w->from && other->to == w->to;
        if (!same || i < index)
            return true;
    }
    return false;
}

/* Expects the rows so far sorted. */
static void add_windows(bk_arena *arena, const bk_timeline *timeline, bk_rows *rows)
{
    const bk_kitchen *kitchen = &timeline->plan->kitchen;
    const bk_zone *zone = timeline->plan->zone;
    size_t count = rows->count;
    if (count == 0)
        return;
    bk_instant first = rows->items[0].at, last = rows->items[count - 1].at;
    for (size_t i = 0; i < kitchen->window_count; i++) {
        const bk_window *w = &kitchen->windows[i];
        if (w->to <= first || w->from >= last || w->from < first)
            continue;
        if (within_another(kitchen, i) || (!same_day_has_row(zone, rows, count, w->from) &&
                                           !same_day_has_row(zone, rows, count, w->to)))
            continue;
        add(arena, rows, BK_ROW_WINDOW, w->from, w->to)->window = i;
    }
}

static void sort(bk_rows *rows)
{
    if (rows->count > 1)
        qsort(rows->items, rows->count, sizeof *rows->items, compare_rows);
}

bk_rows bk_rows_of(bk_arena *arena, const bk_timeline *timeline)
{
    bk_rows rows = {0};
    if (timeline->stage_count == 0)
        return rows;
    const bk_plan *plan = timeline->plan;
    add_stages(arena, timeline, &rows);
    add_ovens(arena, timeline, &rows);
    for (size_t i = 0; i < plan->dish_count; i++)
        if (!plan->dishes[i].out && !plan->dishes[i].part)
            add(arena, &rows, BK_ROW_SERVE, plan->dishes[i].serve, plan->dishes[i].serve)->dish = i;
    if (rows.count == 0)
        return rows; /* of a day of which everything is left out */
    sort(&rows);
    bk_instant first = rows.items[0].at, last = rows.items[rows.count - 1].at;
    add_windows(arena, timeline, &rows);
    add_clock_changes(arena, plan->zone, first, last, &rows);
    sort(&rows);
    return rows;
}

/* ---------------------------------------------------------------- movements */

static const bk_stage *stage_of(const bk_timeline *timeline, const bk_row *row)
{
    return &timeline->plan->stages[timeline->stages[row->placed].stage];
}

/* What comes out at `out` is left to this, without anybody. */
static bool leaves(const bk_timeline *timeline, const bk_row *out, const bk_row *row)
{
    const bk_stage *stage = row->kind == BK_ROW_START ? stage_of(timeline, row) : NULL;
    if (!stage || stage->attention == BK_HANDS || stage->in_oven)
        return false;
    for (size_t i = 0; i < stage->link_count; i++)
        if (stage->links[i].stage == timeline->stages[out->placed].stage &&
            !stage->links[i].from_start)
            return true;
    return false;
}

/* The oven that a row takes something out of, turns off or leaves it in, switched off. */
static bool oven_of(const bk_timeline *timeline, const bk_row *row, size_t *equipment, int *number)
{
    if (row->kind == BK_ROW_OVEN_OFF) {
        *equipment = timeline->ovens[row->run].equipment;
        *number = timeline->ovens[row->run].number;
        return true;
    }
    if (row->kind != BK_ROW_OUT &&
        !(row->kind == BK_ROW_START && stage_of(timeline, row)->oven_off))
        return false;
    *equipment = stage_of(timeline, row)->oven.equipment;
    *number = timeline->stages[row->placed].oven_number;
    return true;
}

static bool same_oven(const bk_timeline *timeline, const bk_row *a, const bk_row *b)
{
    size_t one = SIZE_MAX, other = SIZE_MAX;
    int number = 0, other_number = 0;
    return oven_of(timeline, a, &one, &number) && oven_of(timeline, b, &other, &other_number) &&
           one == other && number == other_number;
}

static bool is_one_movement(const bk_timeline *timeline, const bk_row *first, const bk_row *row)
{
    switch (first->kind) {
    case BK_ROW_OUT:
        return (row->kind == BK_ROW_OVEN_OFF && same_oven(timeline, first, row)) ||
               leaves(timeline, first, row);
    case BK_ROW_OVEN_OFF:
        return row->kind == BK_ROW_START && same_oven(timeline, first, row);
    case BK_ROW_SERVE:
        return row->kind == BK_ROW_SERVE;
    default:
        return false;
    }
}

/* Of several that come out of an oven, the last one's movement turns it off. */
static bool belongs_to_a_later(const bk_timeline *timeline, const bk_rows *rows, size_t first,
                               size_t row)
{
    for (size_t i = first + 1; i < rows->count && rows->items[i].at == rows->items[first].at; i++)
        if (rows->items[i].kind == BK_ROW_OUT && rows->items[row].kind == BK_ROW_OVEN_OFF &&
            is_one_movement(timeline, &rows->items[i], &rows->items[row]))
            return true;
    return false;
}

void bk_rows_join(bk_arena *arena, const bk_timeline *timeline, bk_rows *rows)
{
    bk_row *joined = BK_NEW(arena, bk_row, rows->count);
    bool *taken = BK_NEW(arena, bool, rows->count);
    size_t count = 0;
    for (size_t i = 0; i < rows->count; i++) {
        const bk_row *first = &rows->items[i];
        if (taken[i])
            continue;
        joined[count++] = *first;
        bool left = false; /* to one thing: two are two movements */
        for (size_t k = i + 1; k < rows->count && rows->items[k].at == first->at; k++) {
            bool starts = rows->items[k].kind == BK_ROW_START;
            if (taken[k] || (left && starts) ||
                !is_one_movement(timeline, first, &rows->items[k]) ||
                belongs_to_a_later(timeline, rows, i, k))
                continue;
            taken[k] = true;
            left |= starts;
            joined[count] = rows->items[k];
            joined[count++].joins = true;
        }
    }
    rows->items = joined;
    rows->room = rows->count;
}

bk_instant bk_rows_dish_ready(const bk_timeline *timeline, size_t dish)
{
    bk_instant ready = INT64_MIN;
    for (size_t i = 0; i < timeline->stage_count; i++)
        if (timeline->plan->stages[timeline->stages[i].stage].dish == dish &&
            timeline->stages[i].end > ready)
            ready = timeline->stages[i].end;
    return ready;
}

bk_instant bk_rows_first(const bk_timeline *timeline)
{
    bk_instant first = timeline->start;
    for (size_t i = 0; i < timeline->oven_count; i++)
        if (timeline->ovens[i].on < first)
            first = timeline->ovens[i].on;
    return first;
}

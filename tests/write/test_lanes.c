/* The lanes of random plans, scheduled: at each minute as many rows are taken as rules 5 and 6
 * of the plan format take places, counted here from their text; a row has one thing at a
 * time; what stands on the bench is in no place. */
#include "schedule/schedule.h"
#include "support/random_plan.h"
#include "write/picture/lanes.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

enum { SEED = 20261128, PLANS = 150 };

/* Linked after it, at any remove. The plans are small. */
static bool comes_after(const bk_plan *plan, size_t later, size_t sooner)
{
    for (size_t k = 0; k < plan->stages[later].link_count; k++) {
        size_t link = plan->stages[later].links[k].stage;
        if (link == sooner || comes_after(plan, link, sooner))
            return true;
    }
    return false;
}

static bool stands_inside(const bk_plan *plan, size_t s, size_t holder, const bk_hold *hold)
{
    if (plan->stages[s].dish != plan->stages[holder].dish)
        return false;
    bool before = false;
    for (size_t k = 0; k <= hold->before; k++) {
        size_t end = hold->until - k * hold->step;
        if (s == end)
            return true;
        before |= comes_after(plan, end, s);
    }
    return s == holder || (before && comes_after(plan, s, holder));
}

static bk_instant until(const bk_timeline *t, const bk_hold *hold)
{
    bk_instant last = INT64_MIN;
    for (size_t k = 0; k <= hold->before; k++) {
        bk_instant end = bk_timeline_placed(t, hold->until - k * hold->step)->end;
        last = end > last ? end : last;
    }
    return last;
}

static bool at_once(bk_instant at, bk_instant from, bk_instant to)
{
    return from <= at && at < to;
}

/* Until when a dish is stored: its serve; of a part, the last start of what is linked to it. */
static bk_instant last_use(const bk_timeline *t, size_t d)
{
    const bk_plan *plan = t->plan;
    bk_instant last = INT64_MIN;
    if (!plan->dishes[d].part)
        return plan->dishes[d].serve;
    for (size_t i = 0; i < t->stage_count; i++) {
        const bk_stage *stage = &plan->stages[t->stages[i].stage];
        for (size_t k = 0; k < stage->link_count; k++)
            if (stage->dish != d && plan->stages[stage->links[k].stage].dish == d &&
                t->stages[i].start > last)
                last = t->stages[i].start;
    }
    return last;
}

/* Rule 5, at one minute. */
static int64_t pool_taken(const bk_timeline *t, size_t e, bk_instant at)
{
    const bk_plan *plan = t->plan;
    int64_t sum = 0;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        const bk_placed *placed = bk_timeline_placed(t, s);
        for (size_t u = 0; u < stage->need_count; u++) {
            if (stage->needs[u].equipment != e || !at_once(at, placed->start, placed->end))
                continue;
            int64_t held = 0;
            for (size_t h = 0; h < plan->stage_count; h++)
                for (size_t k = 0; k < plan->stages[h].hold_count; k++)
                    if (plan->stages[h].holds[k].equipment == e &&
                        stands_inside(plan, s, h, &plan->stages[h].holds[k]))
                        held += plan->stages[h].holds[k].amount;
            if (stage->needs[u].amount > held)
                sum += stage->needs[u].amount - held;
        }
        for (size_t k = 0; k < stage->hold_count; k++)
            if (stage->holds[k].equipment == e &&
                at_once(at, placed->start, until(t, &stage->holds[k])))
                sum += stage->holds[k].amount;
    }
    for (size_t d = 0; d < plan->dish_count; d++) {
        bk_instant ready = INT64_MIN;
        for (size_t i = 0; i < t->stage_count; i++)
            if (plan->stages[t->stages[i].stage].dish == d && t->stages[i].end > ready)
                ready = t->stages[i].end;
        for (size_t k = 0; k < plan->dishes[d].stored_count; k++)
            if (plan->dishes[d].stored[k].equipment == e && at_once(at, ready, last_use(t, d)))
                sum += plan->dishes[d].stored[k].amount;
    }
    return sum;
}

static int64_t shelves_taken(const bk_timeline *t, size_t e, int number, bk_instant at)
{
    int64_t sum = 0;
    for (size_t i = 0; i < t->stage_count; i++) {
        const bk_stage *stage = &t->plan->stages[t->stages[i].stage];
        if (stage->in_oven && stage->oven.equipment == e && t->stages[i].oven_number == number &&
            at_once(at, t->stages[i].start, t->stages[i].end))
            sum += stage->oven.amount;
    }
    return sum;
}

/* How many rows of a lane have something at a minute; each at most one thing. */
static int64_t rows_taken(const bk_lane *lane, bk_instant at)
{
    int64_t sum = 0;
    bool taken[64] = {false};
    for (size_t i = 0; i < lane->count; i++) {
        if (!at_once(at, lane->bars[i].from, lane->bars[i].to))
            continue;
        assert_int_equal(lane->bars[i].row_count, lane->bars[i].amount);
        for (size_t k = 0; k < lane->bars[i].row_count; k++) {
            size_t row = lane->bars[i].rows[k];
            assert_true(row < lane->rows && row < 64);
            assert_false(taken[row]);
            taken[row] = true;
            sum++;
        }
    }
    return sum;
}

static void check_bar(const bk_bar *bar)
{
    assert_true(bar->count > 0);
    assert_true(bar->parts[0].from == bar->from && bar->parts[bar->count - 1].to == bar->to);
    for (size_t i = 1; i < bar->count; i++)
        assert_true(bar->parts[i].from == bar->parts[i - 1].to);
}

static size_t check_lanes(bk_arena *arena, const bk_timeline *t)
{
    bk_lanes lanes = bk_lanes_of(arena, t);
    size_t compared = 0;
    for (size_t i = 0; i < lanes.count; i++) {
        const bk_lane *lane = &lanes.items[i];
        for (size_t k = 0; k < lane->count; k++)
            check_bar(&lane->bars[k]);
        if (lane->rows == 0)
            continue;
        const bk_equipment *e = &t->plan->kitchen.equipment[lane->equipment];
        bool oven = lane->kind == BK_LANE_OVEN;
        if (oven || e->pool <= BK_MOST_ROWS)
            assert_int_equal(lane->rows, oven ? e->shelves : e->pool);
        for (bk_instant at = t->start; at <= t->plan->last_serve; at++) {
            int64_t taken = oven ? shelves_taken(t, lane->equipment, lane->number, at)
                                 : pool_taken(t, lane->equipment, at);
            if (rows_taken(lane, at) != taken)
                fail_msg("%s at minute %lld: %lld rows, %lld places", lane->name,
                         (long long)(at - t->start), (long long)rows_taken(lane, at),
                         (long long)taken);
            compared += taken > 0;
        }
    }
    return compared;
}

static void rows_are_places(void **unused)
{
    (void)unused;
    size_t compared = 0, scheduled = 0;
    for (uint64_t seed = SEED; seed < SEED + PLANS; seed++) {
        random_source source = {seed};
        random_shape shape = seed % 3 == 0   ? random_small()
                             : seed % 3 == 1 ? random_large()
                                             : random_bakery();
        bk_arena *arena = bk_arena_new(NULL);
        assert_non_null(arena);
        bk_plan *plan = random_plan(arena, &source, &shape);
        bk_report report = bk_report_new(arena);
        bk_timeline *t = bk_schedule(
            arena, plan, &(bk_schedule_options){.effort = 2000, .unexplained = true}, &report);
        assert_non_null(t);
        if (t->stage_count > 0) {
            printf("seed %llu\n", (unsigned long long)seed);
            compared += check_lanes(arena, t);
            scheduled++;
        }
        bk_arena_free(arena);
    }
    printf("%zu plans, %zu minutes with something in a place\n", scheduled, compared);
    assert_true(scheduled > PLANS / 4 && compared > 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(rows_are_places)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

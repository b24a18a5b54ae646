/* Larger random plans, too large for trial of everything, said in another way
 * that must not matter: dishes and stages in another order, a passive stage in
 * two parts, everything some days later, some days' worth of things nobody uses.
 */
#include "schedule/schedule.h"
#include "support/random_plan.h"

#include <inttypes.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { PLANS = 40 };

static uint64_t base_seed = UINT64_C(20261224); /* or the program's argument */

/* ----------------------------------------------------------- the same again */

static void *copy_of(bk_arena *arena, const void *items, size_t count, size_t size)
{
    void *copy = bk_alloc(arena, count, size);
    if (count > 0)
        memcpy(copy, items, count * size);
    return copy;
}

#define COPY(arena, items, count) copy_of((arena), (items), (count), sizeof *(items))

static bk_plan *copy_plan(bk_arena *arena, const bk_plan *plan)
{
    bk_plan *copy = COPY(arena, plan, 1);
    copy->dishes = COPY(arena, plan->dishes, plan->dish_count);
    copy->stages = COPY(arena, plan->stages, plan->stage_count);
    copy->kitchen.equipment = COPY(arena, plan->kitchen.equipment, plan->kitchen.equipment_count);
    copy->kitchen.windows = COPY(arena, plan->kitchen.windows, plan->kitchen.window_count);
    for (size_t s = 0; s < plan->stage_count; s++) {
        bk_stage *stage = &copy->stages[s];
        stage->links = COPY(arena, stage->links, stage->link_count);
        stage->needs = COPY(arena, stage->needs, stage->need_count);
        stage->holds = COPY(arena, stage->holds, stage->hold_count);
        stage->checks = COPY(arena, stage->checks, stage->check_count);
    }
    return copy;
}

static void shuffle(random_source *source, size_t *order, size_t n)
{
    for (size_t i = 0; i < n; i++)
        order[i] = i;
    for (size_t i = n; i-- > 1;) {
        size_t j = (size_t)random_between(source, 0, (int64_t)i), kept = order[i];
        order[i] = order[j];
        order[j] = kept;
    }
}

static bk_plan *relabelled(bk_arena *arena, random_source *source, const bk_plan *plan)
{
    bk_plan *copy = copy_plan(arena, plan);
    size_t *dishes = BK_NEW(arena, size_t, plan->dish_count);
    size_t *stages = BK_NEW(arena, size_t, plan->stage_count);
    size_t *new_index = BK_NEW(arena, size_t, plan->stage_count);
    shuffle(source, dishes, plan->dish_count);
    size_t next = 0;
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[dishes[d]];
        copy->dishes[d] = *dish;
        copy->dishes[d].first_stage = next;
        shuffle(source, stages, dish->stage_count);
        for (size_t i = 0; i < dish->stage_count; i++) {
            new_index[dish->first_stage + stages[i]] = next;
            copy->stages[next++].dish = d;
        }
    }
    for (size_t s = 0; s < plan->stage_count; s++) {
        bk_stage *stage = &copy->stages[new_index[s]];
        size_t dish = stage->dish;
        *stage = plan->stages[s];
        stage->dish = dish;
        stage->links = COPY(arena, stage->links, stage->link_count);
        stage->holds = COPY(arena, stage->holds, stage->hold_count);
        for (size_t l = 0; l < stage->link_count; l++)
            stage->links[l].stage = new_index[stage->links[l].stage];
        for (size_t h = 0; h < stage->hold_count; h++)
            stage->holds[h].until = new_index[stage->holds[h].until];
    }
    return copy;
}

/* The first stage that only passes, not in an oven and without checks; SIZE_MAX
 * when there is none. An oven's two parts would each want a preheat. */
static size_t to_split(const bk_plan *plan)
{
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        if (stage->attention != BK_HANDS && !stage->in_oven && stage->check_count == 0 &&
            stage->planned >= 2)
            return s;
    }
    return SIZE_MAX;
}

static size_t behind(size_t index, size_t split)
{
    return index > split ? index + 1 : index;
}

static bk_plan *in_two_parts(bk_arena *arena, random_source *source, const bk_plan *plan)
{
    size_t split = to_split(plan);
    if (split == SIZE_MAX)
        return NULL;
    bk_plan *copy = copy_plan(arena, plan);
    copy->stage_count = plan->stage_count + 1;
    copy->stages = BK_NEW(arena, bk_stage, copy->stage_count);
    for (size_t s = 0; s < plan->stage_count; s++) {
        bk_stage *stage = &copy->stages[behind(s, split)];
        *stage = plan->stages[s];
        stage->links = COPY(arena, stage->links, stage->link_count);
        stage->holds = COPY(arena, stage->holds, stage->hold_count);
        for (size_t l = 0; l < stage->link_count; l++) {
            bk_link *link = &stage->links[l];
            bool to_second = link->stage == split && !link->from_start;
            link->stage = to_second ? split + 1 : behind(link->stage, split);
        }
        for (size_t h = 0; h < stage->hold_count; h++) {
            size_t until = stage->holds[h].until;
            stage->holds[h].until = until == split ? split + 1 : behind(until, split);
        }
    }
    bk_stage *first = &copy->stages[split], *second = &copy->stages[split + 1];
    *second = *first;
    second->id = "second part";
    second->planned = random_between(source, 1, first->planned - 1);
    first->planned -= second->planned;
    first->range = (bk_range){first->planned, first->planned, first->planned};
    second->range = (bk_range){second->planned, second->planned, second->planned};
    second->hold_count = 0;
    second->link_count = 1;
    second->links = BK_NEW(arena, bk_link, 1);
    second->links[0] = (bk_link){.stage = split, .has_within = true, .written = true};
    for (size_t d = 0; d < copy->dish_count; d++) {
        copy->dishes[d].stage_count += d == first->dish;
        copy->dishes[d].first_stage += d > first->dish;
    }
    return copy;
}

static bk_plan *days_later(bk_arena *arena, const bk_plan *plan, int64_t days)
{
    bk_plan *copy = copy_plan(arena, plan);
    int64_t by = days * BK_DAY;
    copy->earliest += by;
    copy->first_serve += by;
    copy->last_serve += by;
    for (size_t d = 0; d < copy->dish_count; d++)
        copy->dishes[d].serve += by;
    for (size_t w = 0; w < copy->kitchen.window_count; w++) {
        copy->kitchen.windows[w].from += by;
        copy->kitchen.windows[w].to += by;
    }
    copy->kitchen.people = COPY(arena, copy->kitchen.people, copy->kitchen.people_count);
    for (size_t c = 0; c < copy->kitchen.people_count; c++) {
        bk_cook *cook = &copy->kitchen.people[c];
        cook->windows = COPY(arena, cook->windows, cook->window_count);
        for (size_t w = 0; w < cook->window_count; w++) {
            cook->windows[w].from += by;
            cook->windows[w].to += by;
        }
    }
    for (size_t i = 0; i < copy->stage_count; i++) {
        bk_stage *stage = &copy->stages[i];
        const bk_span *when = stage->when;
        stage->when = BK_NEW(arena, bk_span, stage->when_count);
        for (size_t w = 0; w < stage->when_count; w++)
            stage->when[w] = (bk_span){when[w].from + by, when[w].to + by, when[w].tag};
    }
    return copy;
}

/* Things nobody uses, and a window when all is served. */
static bk_plan *with_idle_things(bk_arena *arena, const bk_plan *plan)
{
    bk_plan *copy = copy_plan(arena, plan);
    size_t n = plan->kitchen.equipment_count;
    copy->kitchen.equipment = BK_NEW(arena, bk_equipment, n + 2);
    for (size_t e = 0; e < n; e++)
        copy->kitchen.equipment[e] = plan->kitchen.equipment[e];
    copy->kitchen.equipment[n] = (bk_equipment){.name = "spare tin", .count = 1, .pool = 1};
    copy->kitchen.equipment[n + 1] = (bk_equipment){.name = "spare oven",
                                                    .kind = BK_OVEN,
                                                    .count = 2,
                                                    .shelves = 1,
                                                    .preheat = 15,
                                                    .change = 10};
    copy->kitchen.equipment_count = n + 2;
    copy->kitchen.windows = BK_NEW(arena, bk_window, plan->kitchen.window_count + 1);
    for (size_t w = 0; w < plan->kitchen.window_count; w++)
        copy->kitchen.windows[w] = plan->kitchen.windows[w];
    copy->kitchen.windows[copy->kitchen.window_count++] =
        (bk_window){.kind = BK_AWAY, .from = plan->last_serve + 1, .to = plan->last_serve + 2};
    return copy;
}

/* --------------------------------------------------------------- comparison */

typedef struct answer {
    enum bk_timeline_status status;
    int64_t first, interruptions, waiting, hands; /* first: before the last serve */
} answer;

static answer solve(bk_arena *arena, const bk_plan *plan)
{
    bk_report report = bk_report_new(arena);
    bk_timeline *timeline =
        bk_schedule(arena, plan, &(bk_schedule_options){.effort = 5000}, &report);
    if (timeline == NULL) {
        random_source any = {0};
        fail_msg("%s\n%s", report.messages[report.count - 1].text,
                 random_plan_json(arena, &any, plan));
        return (answer){.status = BK_TIMELINE_UNKNOWN};
    }
    return (answer){timeline->status, plan->last_serve - timeline->start, timeline->interruptions,
                    timeline->waiting, timeline->hands_on_serving_day};
}

typedef struct tally {
    int plans, optimal, impossible, open, relabelled, split, shifted, idle;
} tally;

static bool settled(answer a)
{
    return a.status == BK_TIMELINE_OPTIMAL || a.status == BK_TIMELINE_IMPOSSIBLE;
}

/* Compares what both settled; returns whether they could be compared. */
static bool same(uint64_t seed, const char *what, const bk_plan *plan, answer a, answer b,
                 bool waiting)
{
    if (!settled(a) || !settled(b))
        return false;
    bool alike = a.status == b.status;
    if (alike && a.status == BK_TIMELINE_OPTIMAL)
        alike = a.first == b.first &&
                (!waiting || (a.interruptions == b.interruptions && a.waiting == b.waiting)) &&
                (plan->style == BK_FRESH || a.hands == b.hands);
    if (!alike)
        fail_msg("seed %" PRIu64 ", %s: status %d, first %" PRId64 ", waiting %" PRId64
                 ", hands %" PRId64 "; then %d, %" PRId64 ", %" PRId64 ", %" PRId64,
                 seed, what, (int)a.status, a.first, a.waiting, a.hands, (int)b.status, b.first,
                 b.waiting, b.hands);
    return true;
}

static void test_saying_it_differently(void **state)
{
    (void)state;
    tally count = {0};
    random_shape shape = random_large();
    print_message("seeds from %" PRIu64 "\n", base_seed * 1000003);
    for (int i = 0; i < PLANS; i++) {
        uint64_t seed = base_seed * 1000003 + (uint64_t)i;
        random_source source = {seed};
        bk_arena *arena = bk_arena_new(NULL);
        bk_plan *plan = random_plan(arena, &source, &shape);
        answer plain = solve(arena, plan);
        count.plans++;
        count.optimal += plain.status == BK_TIMELINE_OPTIMAL;
        count.impossible += plain.status == BK_TIMELINE_IMPOSSIBLE;
        if (!settled(plain)) { /* nothing to compare with */
            count.open++;
            bk_arena_free(arena);
            continue;
        }
        count.relabelled += same(seed, "in another order", plan, plain,
                                 solve(arena, relabelled(arena, &source, plan)), true);
        bk_plan *split = in_two_parts(arena, &source, plan);
        /* Two parts wait twice, so the least waiting may be another. */
        /* And what is two pieces may be two cooks'. */
        if (split != NULL && plan->kitchen.people_count == 0)
            count.split += same(seed, "in two parts", plan, plain, solve(arena, split), false);
        count.shifted +=
            same(seed, "days later", plan, plain,
                 solve(arena, days_later(arena, plan, random_between(&source, 1, 7))), true);
        count.idle += same(seed, "with idle things", plan, plain,
                           solve(arena, with_idle_things(arena, plan)), true);
        bk_arena_free(arena);
    }
    print_message("%d plans of 10 to 30 stages: %d optimal, %d impossible, %d left open; compared: "
                  "%d in another "
                  "order, %d in two parts, %d days later, %d with idle things\n",
                  count.plans, count.optimal, count.impossible, count.open, count.relabelled,
                  count.split, count.shifted, count.idle);
    assert_true(count.optimal > count.plans / 4);
    assert_true(count.relabelled > count.plans * 3 / 4 && count.split > count.plans / 3);
    assert_true(count.shifted > count.plans * 3 / 4 && count.idle > count.plans * 3 / 4);
}

int main(int argc, char **argv)
{
    if (argc > 1)
        base_seed = strtoull(argv[1], NULL, 10);
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_saying_it_differently)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Oven runs: on, over to another temperature, off, by the stages that are in it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "schedule/place.h"

enum { MOST = 8 };

typedef struct kitchen {
    bk_arena *arena;
    bk_plan plan;
    bk_equipment oven;
    bk_dish dish;
    bk_stage stages[MOST];
    bk_placed placed[MOST];
    bk_timeline timeline;
} kitchen;

static kitchen new_kitchen(void)
{
    kitchen k = {.arena = bk_arena_new(NULL)};
    k.oven = (bk_equipment){.name = "oven",
                            .kind = BK_OVEN,
                            .count = 1,
                            .shelves = 2,
                            .preheat = 15,
                            .change = 10,
                            .idle = 30};
    return k;
}

/* In order of start. */
static void bake(kitchen *k, bk_instant start, bk_instant end, double low, double high)
{
    size_t i = k->timeline.stage_count++;
    k->stages[i] = (bk_stage){
        .id = "bake",
        .in_oven = true,
        .oven = {.amount = 1, .at = {.low = low, .high = high, .nominal = (low + high) / 2}}};
    k->placed[i] = (bk_placed){.stage = i, .start = start, .end = end, .oven_number = 1};
}

static void sweep(kitchen *k)
{
    k->plan.kitchen.equipment = &k->oven;
    k->plan.kitchen.equipment_count = 1;
    k->plan.dishes = &k->dish;
    k->plan.stages = k->stages;
    k->plan.stage_count = k->timeline.stage_count;
    k->timeline.plan = &k->plan;
    k->timeline.stages = k->placed;
    bk_timeline_ovens(k->arena, &k->timeline);
}

static void assert_run(const kitchen *k, size_t i, bk_instant on, bk_instant ready, bk_instant off,
                       double temperature, bool from_cold)
{
    assert_true(i < k->timeline.oven_count);
    const bk_oven_run *run = &k->timeline.ovens[i];
    assert_int_equal(run->on, on);
    assert_int_equal(run->ready, ready);
    assert_int_equal(run->off, off);
    assert_int_equal((int64_t)run->temperature_c, (int64_t)temperature);
    assert_int_equal(run->from_cold, from_cold);
}

static void on_off_and_on_again(void **state)
{
    (void)state;
    kitchen k = new_kitchen();
    bake(&k, 100, 130, 176, 184);
    bake(&k, 160, 170, 176, 184); /* half an hour's gap: left on */
    bake(&k, 201, 210, 176, 184); /* a minute more: off, and heated anew */
    sweep(&k);
    assert_int_equal(k.timeline.oven_count, 2);
    assert_run(&k, 0, 85, 100, 170, 180, true);
    assert_run(&k, 1, 186, 201, 210, 180, true);
    bk_arena_free(k.arena);
}

static void turned_over(void **state)
{
    (void)state;
    kitchen k = new_kitchen();
    bake(&k, 100, 130, 176, 184);
    bake(&k, 150, 170, 156, 164);
    sweep(&k);
    assert_int_equal(k.timeline.oven_count, 2);
    assert_run(&k, 0, 85, 100, 140, 180, true);
    assert_run(&k, 1, 140, 150, 170, 160, false);
    bk_arena_free(k.arena);
}

/* What accepts both stays in through the change, at the temperature it came in at. */
static void one_that_accepts_both(void **state)
{
    (void)state;
    kitchen k = new_kitchen();
    bake(&k, 100, 130, 176, 184);
    bake(&k, 110, 190, 150, 190);
    bake(&k, 150, 180, 156, 164);
    sweep(&k);
    assert_int_equal(k.timeline.oven_count, 2);
    assert_run(&k, 0, 85, 100, 140, 180, true);
    assert_run(&k, 1, 140, 150, 190, 160, false);
    assert_int_equal((int)k.placed[1].temperature_c, 180);
    bk_arena_free(k.arena);
}

/* What comes in just before a stage that it shares a temperature with, and after
 * the oven has emptied of the others, is baked at the new temperature from its
 * start: the oven is turned over for it. */
static void one_that_comes_in_just_before(void **state)
{
    (void)state;
    kitchen k = new_kitchen();
    bake(&k, 100, 110, 166, 174);
    bake(&k, 131, 150, 130, 190);
    bake(&k, 132, 160, 156, 164);
    sweep(&k);
    assert_int_equal(k.timeline.oven_count, 2);
    assert_run(&k, 0, 85, 100, 121, 170, true);
    assert_run(&k, 1, 121, 131, 160, 160, false);
    assert_int_equal((int)k.placed[1].temperature_c, 160);
    bk_arena_free(k.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(on_off_and_on_again),
        cmocka_unit_test(turned_over),
        cmocka_unit_test(one_that_accepts_both),
        cmocka_unit_test(one_that_comes_in_just_before),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

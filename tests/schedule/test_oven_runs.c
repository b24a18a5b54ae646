/* When ovens go on, over and off, in crowded ovens: bk_schedule gives a timeline
 * only when the verifier finds that each stage has an oven at a temperature that
 * it accepts for all of its time.
 */
#include "schedule/schedule.h"
#include "support/random_plan.h"
#include "verify/verify.h"

#include <inttypes.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { PLANS = 800 };

static uint64_t base_seed = 1; /* or the program's argument */

static void test_crowded_ovens(void **state)
{
    (void)state;
    random_shape shape = random_bakery();
    int timelines = 0, impossible = 0, runs = 0, turned = 0, stages = 0;
    print_message("seeds from %" PRIu64 "\n", base_seed * 1000003);
    for (int i = 0; i < PLANS; i++) {
        uint64_t seed = base_seed * 1000003 + (uint64_t)i;
        random_source source = {seed};
        bk_arena *arena = bk_arena_new(NULL);
        bk_plan *plan = random_plan(arena, &source, &shape);
        bk_report report = bk_report_new(arena);
        bk_timeline *timeline =
            bk_schedule(arena, plan, &(bk_schedule_options){.effort = 200}, &report);
        if (timeline == NULL)
            fail_msg("seed %" PRIu64 ": %s\n%s", seed, report.messages[report.count - 1].text,
                     random_plan_json(arena, &source, plan));
        impossible += timeline->status == BK_TIMELINE_IMPOSSIBLE;
        if (timeline->stage_count > 0) {
            timelines++;
            assert_int_equal(bk_verify(arena, timeline, NULL), 0);
        }
        stages += (int)timeline->stage_count;
        runs += (int)timeline->oven_count;
        for (size_t r = 0; r < timeline->oven_count; r++)
            turned += !timeline->ovens[r].from_cold;
        bk_arena_free(arena);
    }
    print_message(
        "%d plans, %d timelines, %d impossible; %d stages, %d oven runs, %d of them turned over\n",
        PLANS, timelines, impossible, stages, runs, turned);
    assert_true(timelines > PLANS / 4);
    assert_true(turned > timelines / 4);
}

int main(int argc, char **argv)
{
    if (argc > 1)
        base_seed = strtoull(argv[1], NULL, 10);
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_crowded_ovens)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

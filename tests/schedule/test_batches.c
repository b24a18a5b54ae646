/* Batches: what is read from "batches" and from names that mean every batch, and random
 * plans with batches against trial of everything. The trial takes the plan as it was
 * read: that reading is held to the text of the plan format by the first tests, and by
 * tests/cli/check_timeline.py, which reads batches by itself. */
#include "schedule/schedule.h"
#include "support/oracle.h"
#include "support/plan_text.h"
#include "support/random_plan.h"

#include <inttypes.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { PLANS = 1500, MOST_TRIED = 1000000 };

static int plans = PLANS;

/* "3+0 3<9": after the end of stage 3 with a wait of 0; within 9 of it. */
static const char *links_of(bk_arena *arena, const bk_stage *stage)
{
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "");
    for (size_t i = 0; i < stage->link_count; i++) {
        const bk_link *link = &stage->links[i];
        bk_text_addf(&out, "%s%zu+%" PRId64, i > 0 ? " " : "", link->stage, link->wait);
        if (link->has_within)
            bk_text_addf(&out, "<%" PRId64, link->within);
    }
    return out.data;
}

static void names_mean_their_batches(void **state)
{
    (void)state;
    static const struct {
        const char *id, *links;
    } expected[] = {
        {"dough", ""},         {"shape#1", "0+0"},      {"bake#1", "1+0 0+5"},
        {"shape#2", "0+0"},    {"bake#2", "3+0 0+5"},   {"shape#3", "0+0"},
        {"bake#3", "5+0 0+5"}, {"pile", "2+0 4+0 6+0"}, {"glaze", "2+3<60 4+3 6+3"},
        {"taste", "4+0"},      {"rice", "2+0 4+0 6+0"},
    };
    bk_arena *arena = bk_arena_new(NULL);
    const bk_plan *plan = read_plan_text(
        arena,
        "{\"occasion\":\"o\",\"timezone\":\"UTC\",\"serve\":\"2026-12-06 16:00\",\"kitchen\":"
        "{\"equipment\":{\"tray\":{\"count\":3},\"bowl\":{}}},\"dishes\":[{\"dish\":\"Rolls\","
        "\"batches\":{\"count\":3,\"stages\":[\"shape\",\"bake\"]},\"stages\":["
        "{\"id\":\"dough\",\"do\":\"d\",\"active\":\"5 min\",\"holds\":{\"bowl\":{\"until\":"
        "\"shape\"}}},"
        "{\"id\":\"shape\",\"do\":\"s\",\"active\":\"5 min\",\"holds\":{\"tray\":{\"until\":"
        "\"bake\"}}},"
        "{\"id\":\"bake\",\"do\":\"b\",\"passive\":\"5 min\",\"after\":[\"shape\",{\"stage\":"
        "\"dough\",\"wait\":\"5 min\"}]},"
        "{\"id\":\"pile\",\"do\":\"p\",\"active\":\"5 min\"},"
        "{\"id\":\"glaze\",\"do\":\"g\",\"active\":\"5 min\",\"after\":{\"stage\":\"bake\","
        "\"wait\":\"3 min\",\"within\":\"1 h\"}},"
        "{\"id\":\"taste\",\"do\":\"t\",\"active\":\"5 min\",\"after\":\"bake#2\"}]},"
        "{\"dish\":\"Rice\",\"stages\":[{\"id\":\"rice\",\"do\":\"r\",\"passive\":\"5 min\","
        "\"after\":\"Rolls/bake\"}]}]}",
        &(bk_read_options){0});
    assert_int_equal(plan->stage_count, sizeof expected / sizeof *expected);
    for (size_t i = 0; i < plan->stage_count; i++) {
        assert_string_equal(plan->stages[i].id, expected[i].id);
        assert_string_equal(links_of(arena, &plan->stages[i]), expected[i].links);
    }
    assert_string_equal(plan->stages[4].text, "b (batch 2 of 3)");
    /* The bowl until the last is shaped, a tray until its own batch is baked. */
    assert_int_equal(plan->stages[0].holds[0].until, 5);
    assert_int_equal(plan->stages[0].holds[0].before, 2);
    assert_int_equal(plan->stages[3].holds[0].until, 4);
    assert_int_equal(plan->stages[3].holds[0].before, 0);
    bk_arena_free(arena);
}

/* ---------------------------------------------------------------- random plans */

static const char *random_text(bk_arena *arena, random_source *source)
{
    bk_text out = bk_text_new(arena);
    int64_t stages = random_between(source, 1, 3), first = random_between(source, 0, stages - 1),
            last = random_between(source, first, stages - 1),
            count = last > first ? 2 : random_between(source, 2, 3);
    bk_text_addf(&out,
                 "{\"occasion\":\"o\",\"timezone\":\"UTC\",\"serve\":\"2026-12-06 16:00\","
                 "\"earliest\":\"2026-12-06 15:%02d\",\"style\":\"%s\",\"kitchen\":{\"cooks\":%d,"
                 "\"equipment\":{\"oven\":{\"kind\":\"oven\",\"count\":%d,\"shelves\":%d,"
                 "\"preheat\":\"3 min\",\"change\":\"4 min\"},\"tray\":{\"count\":%d}}},"
                 "\"dishes\":[{\"dish\":\"a\",%s\"batches\":{\"count\":%" PRId64 ",\"stages\":[",
                 (int)random_between(source, 18, 34), random_chance(source, 70) ? "fresh" : "ahead",
                 random_chance(source, 70) ? 1 : 2, random_chance(source, 70) ? 1 : 2,
                 (int)random_between(source, 1, 2), (int)random_between(source, 1, 2),
                 random_chance(source, 30) ? "\"keeps\":\"6 min\"," : "", count);
    for (int64_t i = first; i <= last; i++)
        bk_text_addf(&out, "%s\"s%" PRId64 "\"", i > first ? "," : "", i);
    bk_text_add(&out, "]},\"stages\":[");
    for (int64_t i = 0; i < stages; i++) {
        bool active = random_chance(source, 50);
        bk_text_addf(&out, "%s{\"id\":\"s%" PRId64 "\",\"do\":\"d\",\"%s\":\"%" PRId64 " min\"",
                     i > 0 ? "," : "", i, active ? "active" : "passive",
                     random_between(source, 1, 5));
        if (!active && random_chance(source, 60))
            bk_text_addf(&out, ",\"uses\":{\"oven\":{\"at\":\"%s\"}}",
                         random_chance(source, 70) ? "180 C" : "220 C");
        else if (random_chance(source, 40))
            bk_text_add(&out, ",\"uses\":{\"tray\":1}");
        if (random_chance(source, 40))
            bk_text_addf(&out, ",\"holds\":{\"tray\":{\"until\":\"s%" PRId64 "\"}}",
                         random_between(source, i, stages - 1));
        if (i > 0 && random_chance(source, 40))
            bk_text_addf(&out,
                         ",\"after\":{\"stage\":\"s%" PRId64 "\",\"within\":\"%" PRId64 " min\"}",
                         i - 1, random_between(source, 0, 9));
        bk_text_add(&out, "}");
    }
    bk_text_add(&out, "]}");
    if (random_chance(source, 50))
        bk_text_addf(
            &out,
            ",{\"dish\":\"b\",\"stages\":[{\"id\":\"t\",\"do\":\"d\",\"passive\":\"%" PRId64
            " min\",\"uses\":{\"oven\":{\"at\":\"220 C\"}}%s}]}",
            random_between(source, 1, 6), random_chance(source, 40) ? ",\"after\":\"a/s0\"" : "");
    bk_text_add(&out, "]}");
    return out.data;
}

static void agrees_with_trial_of_everything(void **state)
{
    (void)state;
    int compared = 0, possible = 0;
    for (int i = 0; i < plans; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        random_source source = {UINT64_C(20261206) + (uint64_t)i};
        const char *text = random_text(arena, &source);
        bk_plan *plan = read_plan_text(arena, text, &(bk_read_options){0});
        if (oracle_can(plan)) {
            oracle_answer answer = oracle_solve(plan, MOST_TRIED);
            bk_report report = bk_report_new(arena);
            bk_timeline *timeline = bk_schedule(arena, plan, &(bk_schedule_options){0}, &report);
            assert_non_null(timeline);
            bool found = timeline->status == BK_TIMELINE_OPTIMAL;
            if (!answer.gave_up) {
                compared++;
                possible += answer.possible;
                if (found != answer.possible || (found &&
                                                 (timeline->start != answer.figures.first ||
                                                  timeline->waiting != answer.figures.waiting) &&
                                                 plan->style == BK_FRESH))
                    fail_msg("plan %d: the trial says otherwise\n%s", i, text);
            }
        }
        bk_arena_free(arena);
    }
    print_message("%d plans with batches compared, %d possible\n", compared, possible);
    assert_true(compared > plans / 2 && possible > compared / 5 && possible < compared);
}

int main(int argc, char **argv)
{
    if (argc > 1)
        plans = atoi(argv[1]);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_mean_their_batches),
        cmocka_unit_test(agrees_with_trial_of_everything),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

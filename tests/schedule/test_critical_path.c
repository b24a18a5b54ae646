/* Published critical-path examples. A timeline of style "fresh" with hands for
 * everything starts each stage as late as it can: its times are LS and LF. The
 * same network turned round, first for last, gives ES and EF. Every number of
 * the published tables is compared.
 */
#include "schedule/schedule.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

enum { MOST_ACTIVITIES = 16, MOST_PREDECESSORS = 3 };

typedef struct activity {
    const char *name;
    double duration; /* of the table; 0 with an estimate */
    const char *predecessors[MOST_PREDECESSORS];
    double es, ef, ls, lf, slack, free_slack;
    double estimate[3]; /* least a, likely m, most b; the mean (a + 4m + b) / 6 is the duration */
} activity;

typedef struct example {
    const char *title;
    int minutes_per_unit; /* on the minute grid */
    double tolerance;     /* of the printed table */
    activity activities[MOST_ACTIVITIES];
} example;

/* Heizer & Render, Operations Management, "Milwaukee Paper Manufacturing",
 * chapter on project management; 15 weeks, critical A-C-E-G-H. */
static const example milwaukee_paper = {"Milwaukee Paper",
                                        10,
                                        1e-9,
                                        {
                                            {"A", 2, {0}, 0, 2, 0, 2, 0, 0, {0}},
                                            {"B", 3, {0}, 0, 3, 1, 4, 1, 0, {0}},
                                            {"C", 2, {"A"}, 2, 4, 2, 4, 0, 0, {0}},
                                            {"D", 4, {"B"}, 3, 7, 4, 8, 1, 1, {0}},
                                            {"E", 4, {"C"}, 4, 8, 4, 8, 0, 0, {0}},
                                            {"F", 3, {"C"}, 4, 7, 10, 13, 6, 6, {0}},
                                            {"G", 5, {"D", "E"}, 8, 13, 8, 13, 0, 0, {0}},
                                            {"H", 2, {"F", "G"}, 13, 15, 13, 15, 0, 0, {0}},
                                        }};

/* Hillier & Lieberman, Introduction to Operations Research, "Reliable
 * Construction Co."; 44 weeks, critical A-B-C-E-F-J-L-N. The duration of H and
 * the predecessors but N's are from memory; the times follow from them. */
static const example reliable_construction = {"Reliable Construction",
                                              10,
                                              1e-9,
                                              {
                                                  {"A", 2, {0}, 0, 2, 0, 2, 0, 0, {0}},
                                                  {"B", 4, {"A"}, 2, 6, 2, 6, 0, 0, {0}},
                                                  {"C", 10, {"B"}, 6, 16, 6, 16, 0, 0, {0}},
                                                  {"D", 6, {"C"}, 16, 22, 20, 26, 4, 0, {0}},
                                                  {"E", 4, {"C"}, 16, 20, 16, 20, 0, 0, {0}},
                                                  {"F", 5, {"E"}, 20, 25, 20, 25, 0, 0, {0}},
                                                  {"G", 7, {"D"}, 22, 29, 26, 33, 4, 0, {0}},
                                                  {"H", 9, {"E", "G"}, 29, 38, 33, 42, 4, 0, {0}},
                                                  {"I", 7, {"C"}, 16, 23, 18, 25, 2, 2, {0}},
                                                  {"J", 8, {"F", "I"}, 25, 33, 25, 33, 0, 0, {0}},
                                                  {"K", 4, {"J"}, 33, 37, 34, 38, 1, 1, {0}},
                                                  {"L", 5, {"J"}, 33, 38, 33, 38, 0, 0, {0}},
                                                  {"M", 2, {"H"}, 38, 40, 42, 44, 4, 4, {0}},
                                                  {"N", 6, {"K", "L"}, 38, 44, 38, 44, 0, 0, {0}},
                                              }};

/* Taylor, Introduction to Management Science, solutions to chapter 8 (networks
 * drawn with activities on arrows), problem 1: 20, critical 1-3-4-5-6. */
static const example taylor_1 = {"Taylor, problem 1",
                                 10,
                                 1e-9,
                                 {
                                     {"1-2", 7, {0}, 0, 7, 2, 9, 2, 0, {0}},
                                     {"1-3", 10, {0}, 0, 10, 0, 10, 0, 0, {0}},
                                     {"2-4", 6, {"1-2"}, 7, 13, 9, 15, 2, 2, {0}},
                                     {"3-4", 5, {"1-3"}, 10, 15, 10, 15, 0, 0, {0}},
                                     {"3-5", 4, {"1-3"}, 10, 14, 14, 18, 4, 4, {0}},
                                     {"4-5", 3, {"2-4", "3-4"}, 15, 18, 15, 18, 0, 0, {0}},
                                     {"5-6", 2, {"3-5", "4-5"}, 18, 20, 18, 20, 0, 0, {0}},
                                 }};

/* The same source, problem 2: 38, with a dummy activity 4-5 of no length. */
static const example taylor_2 = {"Taylor, problem 2",
                                 10,
                                 1e-9,
                                 {
                                     {"1-2", 8, {0}, 0, 8, 1, 9, 1, 0, {0}},
                                     {"1-3", 10, {0}, 0, 10, 0, 10, 0, 0, {0}},
                                     {"1-4", 9, {0}, 0, 9, 6, 15, 6, 0, {0}},
                                     {"2-5", 6, {"1-2"}, 8, 14, 9, 15, 1, 1, {0}},
                                     {"2-6", 4, {"1-2"}, 8, 12, 16, 20, 8, 0, {0}},
                                     {"3-5", 5, {"1-3"}, 10, 15, 10, 15, 0, 0, {0}},
                                     {"4-5", 0, {"1-4"}, 9, 9, 15, 15, 6, 6, {0}},
                                     {"4-7", 7, {"1-4"}, 9, 16, 20, 27, 11, 11, {0}},
                                     {"5-7", 12, {"2-5", "3-5", "4-5"}, 15, 27, 15, 27, 0, 0, {0}},
                                     {"5-8", 15, {"2-5", "3-5", "4-5"}, 15, 30, 16, 31, 1, 1, {0}},
                                     {"6-9", 18, {"2-6"}, 12, 30, 20, 38, 8, 8, {0}},
                                     {"7-8", 4, {"4-7", "5-7"}, 27, 31, 27, 31, 0, 0, {0}},
                                     {"8-9", 7, {"5-8", "7-8"}, 31, 38, 31, 38, 0, 0, {0}},
                                 }};

/* A problem of fourteen activities with three-point estimates, of the kind in
 * Render, Stair & Hanna, Quantitative Analysis for Management: 50.83 days. Rows A
 * to F as published, printed to two decimals; the later rows recomputed from the
 * published means. Six minutes a day make every mean whole. */
static const example fourteen_activities = {
    "fourteen activities",
    6,
    0.0051,
    {
        {"A", 0, {0}, 0, 5.33, 0, 5.33, 0, 0, {5, 5, 7}},
        {"B", 0, {0}, 0, 2.33, 8, 10.33, 8, 8, {1, 2, 5}},
        {"C", 0, {"A"}, 5.33, 10.33, 5.33, 10.33, 0, 0, {5, 5, 5}},
        {"D", 0, {"A"}, 5.33, 13.50, 7.17, 15.33, 1.83, 0, {4, 8, 13}},
        {"E", 0, {"B", "C"}, 10.33, 20, 10.33, 20, 0, 0, {1, 10, 17}},
        {"F", 0, {"D"}, 13.50, 18.17, 15.33, 20, 1.83, 1.83, {1, 5, 7}},
        {"G", 0, {"D"}, 13.50, 19.33, 18.50, 24.33, 5, 5, {2, 6, 9}},
        {"H", 0, {"E", "F"}, 20, 24.33, 20, 24.33, 0, 0, {4, 4, 6}},
        {"I", 0, {"G", "H"}, 24.33, 31, 24.33, 31, 0, 0, {2, 7, 10}},
        {"J", 0, {"I"}, 31, 35.17, 33.50, 37.67, 2.50, 0, {2, 4, 7}},
        {"K", 0, {"I"}, 31, 40.83, 31, 40.83, 0, 0, {6, 10, 13}},
        {"L", 0, {"J"}, 35.17, 40.50, 37.67, 43, 2.50, 2.50, {2, 6, 6}},
        {"M", 0, {"K"}, 40.83, 43, 40.83, 43, 0, 0, {2, 2, 3}},
        {"N", 0, {"L", "M"}, 43, 50.83, 43, 50.83, 0, 0, {7, 7, 12}},
    }};

static size_t count_of(const example *e)
{
    size_t n = 0;
    while (n < MOST_ACTIVITIES && e->activities[n].name != NULL)
        n++;
    return n;
}

static size_t find(const example *e, const char *name)
{
    for (size_t i = 0; i < count_of(e); i++)
        if (strcmp(e->activities[i].name, name) == 0)
            return i;
    fail_msg("%s: no activity %s", e->title, name);
    return 0;
}

static int64_t minutes_of(const example *e, const activity *a)
{
    double unit = e->minutes_per_unit;
    if (a->duration == 0 && a->estimate[2] > 0)
        return llround((a->estimate[0] + 4 * a->estimate[1] + a->estimate[2]) / 6 * unit);
    return llround(a->duration * unit);
}

static void add_link(bk_stage *stage, size_t to)
{
    stage->links[stage->link_count++] = (bk_link){.stage = to, .written = true};
}

/* One dish; each activity a stage that passes by itself. */
static bk_plan *plan_of(bk_arena *arena, const example *e, bool turned_round)
{
    bk_plan *plan = BK_NEW(arena, bk_plan, 1);
    size_t n = count_of(e);
    plan->occasion = e->title;
    plan->zone = bk_zone_open(arena, "UTC");
    plan->first_serve = plan->last_serve = 29949120 + BK_DAY;
    plan->earliest = plan->last_serve - 1000;
    plan->kitchen.cooks = 1;
    plan->dishes = BK_NEW(arena, bk_dish, 1);
    plan->dish_count = 1;
    plan->dishes[0] = (bk_dish){.name = "project", .serve = plan->last_serve, .stage_count = n};
    plan->stages = BK_NEW(arena, bk_stage, n);
    plan->stage_count = n;
    for (size_t i = 0; i < n; i++) {
        int64_t minutes = minutes_of(e, &e->activities[i]);
        plan->stages[i] = (bk_stage){.id = e->activities[i].name,
                                     .text = "do",
                                     .attention = BK_NONE,
                                     .range = {minutes, minutes, minutes},
                                     .planned = minutes,
                                     .links = BK_NEW(arena, bk_link, n)};
    }
    for (size_t i = 0; i < n; i++)
        for (int p = 0; p < MOST_PREDECESSORS && e->activities[i].predecessors[p] != NULL; p++) {
            size_t before = find(e, e->activities[i].predecessors[p]);
            if (turned_round)
                add_link(&plan->stages[before], i);
            else
                add_link(&plan->stages[i], before);
        }
    return plan;
}

/* Start and end of each stage, in minutes from the first start. */
static int64_t times_of(bk_arena *arena, const bk_plan *plan, int64_t *start, int64_t *end,
                        int64_t *slack)
{
    bk_report report = bk_report_new(arena);
    bk_timeline *timeline = bk_schedule(arena, plan, &(bk_schedule_options){0}, &report);
    assert_non_null(timeline);
    assert_int_equal(timeline->status, BK_TIMELINE_OPTIMAL);
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *placed = &timeline->stages[i];
        start[placed->stage] = placed->start - timeline->start;
        end[placed->stage] = placed->end - timeline->start;
        slack[placed->stage] = placed->slack;
    }
    return timeline->ready - timeline->start;
}

static void same(const example *e, size_t i, const char *what, int64_t minutes, double published)
{
    double units = (double)minutes / e->minutes_per_unit;
    if (fabs(units - published) > e->tolerance)
        fail_msg("%s, %s: %s is %g; published %g", e->title, e->activities[i].name, what, units,
                 published);
}

static void compare(const example *e)
{
    bk_arena *arena = bk_arena_new(NULL);
    int64_t ls[MOST_ACTIVITIES], lf[MOST_ACTIVITIES], late_slack[MOST_ACTIVITIES];
    int64_t start[MOST_ACTIVITIES], end[MOST_ACTIVITIES], unused[MOST_ACTIVITIES];
    bk_plan *plan = plan_of(arena, e, false);
    int64_t length = times_of(arena, plan, ls, lf, late_slack);
    assert_int_equal(times_of(arena, plan_of(arena, e, true), start, end, unused), length);
    for (size_t i = 0; i < count_of(e); i++) {
        const activity *a = &e->activities[i];
        int64_t es = length - end[i], ef = length - start[i], free_slack = length - ef;
        same(e, i, "ES", es, a->es);
        same(e, i, "EF", ef, a->ef);
        same(e, i, "LS", ls[i], a->ls);
        same(e, i, "LF", lf[i], a->lf);
        same(e, i, "slack", ls[i] - es, a->slack);
        for (size_t s = 0; s < plan->stage_count; s++)
            for (size_t l = 0; l < plan->stages[s].link_count; l++)
                if (plan->stages[s].links[l].stage == i && length - end[s] - ef < free_slack)
                    free_slack = length - end[s] - ef;
        same(e, i, "free slack", free_slack, a->free_slack);
        /* As late as possible, nothing can go later alone. */
        assert_int_equal(late_slack[i], 0);
    }
    bk_arena_free(arena);
}

static void test_milwaukee_paper(void **state)
{
    (void)state;
    compare(&milwaukee_paper);
}

static void test_reliable_construction(void **state)
{
    (void)state;
    compare(&reliable_construction);
}

static void test_taylor(void **state)
{
    (void)state;
    compare(&taylor_1);
    compare(&taylor_2);
}

static void test_three_point_estimates(void **state)
{
    (void)state;
    compare(&fourteen_activities);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_milwaukee_paper),
        cmocka_unit_test(test_reliable_construction),
        cmocka_unit_test(test_taylor),
        cmocka_unit_test(test_three_point_estimates),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

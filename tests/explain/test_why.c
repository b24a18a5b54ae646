/* Why a plan cannot be met: every set of facts is re-solved, with all of them and
 * without each one; and what would help has its least amount. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdio.h>
#include <string.h>

#include "explain/explain.h"
#include "support/plan_text.h"
#include "support/random_plan.h"
#include "timeline/timeline.h"

enum { IMPOSSIBLE_PLANS = 200, FIRST_SEED = 20261 };

static enum bk_status solve_with(bk_arena *arena, const bk_compiled *compiled, const bool *dropped)
{
    bk_result result = bk_solve(
        arena, compiled->problem,
        &(bk_solve_options){.dropped = dropped, .facts = compiled->fact_count, .first_only = true});
    return result.status;
}

/* Together impossible; without any one possible. */
static void assert_irreducible(bk_arena *arena, const bk_plan *plan, bk_compile_options options,
                               const bk_fact *facts, size_t count)
{
    options.droppable = options.no_objective = true;
    bk_compiled *compiled = bk_compile(arena, plan, &options);
    bool *dropped = BK_NEW(arena, bool, compiled->fact_count);
    size_t *number = BK_NEW(arena, size_t, count);
    for (size_t i = 0; i < compiled->fact_count; i++)
        dropped[i] = true;
    for (size_t k = 0; k < count; k++) {
        number[k] = SIZE_MAX;
        for (size_t i = 0; i < compiled->fact_count; i++)
            if (bk_fact_same(&facts[k], &compiled->facts[i]))
                number[k] = i;
        assert_int_not_equal(number[k], SIZE_MAX);
        dropped[number[k]] = false;
    }
    assert_int_equal(solve_with(arena, compiled, dropped), BK_INFEASIBLE);
    for (size_t k = 0; k < count; k++) {
        dropped[number[k]] = true;
        assert_int_not_equal(solve_with(arena, compiled, dropped), BK_INFEASIBLE);
        dropped[number[k]] = false;
    }
}

static void reasons_are_irreducible(void **state)
{
    (void)state;
    int impossible = 0, tried = 0, large = 0;
    size_t facts = 0, longest = 0;
    for (uint64_t seed = FIRST_SEED; impossible < IMPOSSIBLE_PLANS; seed++, tried++) {
        bk_arena *arena = bk_arena_new(NULL);
        random_source source = {seed};
        random_shape shape = seed % 2 ? random_small() : random_large();
        if (seed % 2 == 0) {
            shape.least_stages = 7;
            shape.most_stages = 14;
        }
        bk_plan *plan = random_plan(arena, &source, &shape);
        bk_report report = bk_report_new(arena);
        bk_timeline *timeline = bk_schedule(arena, plan, &(bk_schedule_options){0}, &report);
        if (!timeline)
            fail_msg("seed %llu: %s", (unsigned long long)seed, report.messages[0].text);
        if (timeline->status == BK_TIMELINE_IMPOSSIBLE) {
            impossible++;
            large += plan->stage_count > 6;
            assert_true(timeline->why_count > 0);
            facts += timeline->why_count;
            if (timeline->why_count > longest)
                longest = timeline->why_count;
            for (size_t i = 0; i < timeline->why_count; i++)
                assert_true(strlen(timeline->why[i].message) > 0);
            assert_irreducible(arena, plan, (bk_compile_options){0}, timeline->why,
                               timeline->why_count);
        }
        bk_arena_free(arena);
    }
    printf("seeds from %d: %d impossible plans (%d of more than 6 stages) among %d; "
           "%.1f facts on average, %zu at most\n",
           FIRST_SEED, impossible, large, tried, (double)facts / impossible, longest);
}

static void what_fixes_the_start_is_irreducible(void **state)
{
    (void)state;
    int possible = 0;
    for (uint64_t seed = FIRST_SEED; possible < 100; seed++) {
        bk_arena *arena = bk_arena_new(NULL);
        random_source source = {seed};
        random_shape shape = random_small();
        bk_plan *plan = random_plan(arena, &source, &shape);
        bk_report report = bk_report_new(arena);
        plan->style = BK_FRESH;
        bk_timeline *timeline = bk_schedule(arena, plan, &(bk_schedule_options){0}, &report);
        assert_non_null(timeline);
        if (timeline->status == BK_TIMELINE_OPTIMAL) {
            possible++;
            bk_reasons reasons = bk_why_start(arena, timeline, 0, NULL);
            assert_true(reasons.proved && reasons.irreducible);
            assert_irreducible(
                arena, plan,
                (bk_compile_options){.has_first = true, .first_not_before = timeline->start + 1},
                reasons.facts, reasons.count);
        }
        bk_arena_free(arena);
    }
}

/* ---------------------------------------------------------------- remedies */

static bk_timeline *schedule_text(bk_arena *arena, const char *json)
{
    return schedule_plan_text(arena, json, &(bk_schedule_options){.remedies = true});
}

static const bk_remedy *remedy(const bk_timeline *timeline, const char *change)
{
    for (size_t i = 0; i < timeline->remedy_count; i++)
        if (strcmp(timeline->remedies[i].change, change) == 0)
            return &timeline->remedies[i];
    return NULL;
}

static void assert_remedy(const bk_timeline *timeline, const char *change, const char *message)
{
    const bk_remedy *found = remedy(timeline, change);
    assert_non_null(found);
    assert_string_equal(found->message, message);
    assert_true(found->has_first_start);
}

/* 20 + 60 + 10 = 90 minutes of jelly and plating, from 18:00, for a table at 19:00:
 * half an hour short. */
static void a_chain_too_long(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena, "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","
               "\"earliest\":\"2026-12-04 18:00\",\"dishes\":[{\"dish\":\"jelly\",\"stages\":["
               "{\"id\":\"make\",\"do\":\"make\",\"active\":\"20 min\"},"
               "{\"id\":\"plate\",\"do\":\"plate\",\"active\":\"10 min\","
               "\"after\":{\"stage\":\"make\",\"wait\":\"1 h\"}}]}]}");
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    /* The making and the hour's wait alone are twenty minutes too many: the plating
     * need not be spoken of. */
    assert_int_equal(t->why_count, 4);
    assert_int_equal(t->why[0].kind, BK_FACT_EARLIEST);
    assert_int_equal(t->why[1].kind, BK_FACT_STAGE_TIME);
    assert_int_equal(t->why[2].kind, BK_FACT_WAIT);
    assert_int_equal(t->why[3].kind, BK_FACT_SERVE);
    assert_remedy(t, "serve", "serve 30 min later, on Fri 4 Dec 19:30 (--serve \"+30 min\")");
    assert_remedy(
        t, "wait",
        "let jelly/plate start 30 min after jelly/make ends, not 1 h (\"wait\": \"30 min\")");
    bk_arena_free(arena);
}

/* Two half hours of hands, one pair of them, 45 minutes: a quarter of an hour, a
 * cook, or a dish less. */
/* Without the serve the tart could be baked once somebody is back, seven hours later: what is left
 * out has to find room beyond the longest absence. */
static void the_serve_is_named(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena, "{\"occasion\":\"o\",\"timezone\":\"UTC\",\"serve\":\"2026-11-20 21:00\","
               "\"kitchen\":{\"away\":[{\"from\":\"2026-11-20 19:00\","
               "\"to\":\"2026-11-21 02:00\"}]},\"dishes\":[{\"dish\":\"tart\",\"keeps\":\"1 h\","
               "\"stages\":[{\"id\":\"bake\",\"do\":\"bake\",\"active\":\"30 min\"}]}]}");
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    bool serve = false;
    for (size_t i = 0; i < t->why_count; i++)
        serve = serve || t->why[i].kind == BK_FACT_SERVE;
    assert_true(serve);
    assert_int_equal(t->why_count, 4);
    bk_arena_free(arena);
}

static void one_pair_of_hands(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena,
        "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","
        "\"earliest\":\"2026-12-04 18:15\",\"dishes\":["
        "{\"dish\":\"a\",\"stages\":[{\"id\":\"s\",\"do\":\"do\",\"active\":\"30 min\"}]},"
        "{\"dish\":\"b\",\"stages\":[{\"id\":\"s\",\"do\":\"do\",\"active\":\"30 min\"}]}]}");
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    assert_remedy(
        t, "serve",
        "serve everything 15 min later (the last dish on Fri 4 Dec 19:15; --serve \"+15 min\")");
    assert_remedy(t, "cook", "have one more cook (\"cooks\": 2)");
    assert_remedy(t, "dish", "leave out a");
    assert_string_equal(t->remedies[0].change, "serve"); /* the smallest first */
    bk_arena_free(arena);
}

/* Three bowls for one place at the same time: one more is not enough. */
static void two_more_places(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
#define BOWL(name)                                                                                 \
    "{\"dish\":\"" name "\",\"keeps\":\"0 min\",\"stages\":[{\"id\":\"set\",\"do\":\"do\","        \
    "\"passive\":\"2 h\",\"uses\":{\"fridge\":1}}]}"
    const bk_timeline *t = schedule_text(
        arena, "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","
               "\"kitchen\":{\"equipment\":{\"fridge\":{\"kind\":\"cold\",\"places\":1}}},"
               "\"dishes\":[" BOWL("a") "," BOWL("b") "," BOWL("c") "]}");
#undef BOWL
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    assert_remedy(t, "equipment", "fridge: have 2 more places (\"places\": 3)");
    bk_arena_free(arena);
}

/* A fridge with one place for two bowls, and a roast that nobody can take out: two troubles
 * that have nothing to do with each other. No single change helps; the small ones of each do
 * together. */
static void two_troubles_at_once(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena,
        "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","
        "\"earliest\":\"2026-12-04 08:00\",\"kitchen\":{\"away\":[{\"from\":\"2026-12-04 09:00\","
        "\"to\":\"2026-12-04 17:00\"}],\"equipment\":{\"fridge\":{\"kind\":\"cold\",\"places\":1},"
        "\"oven\":{\"kind\":\"oven\"}}},\"dishes\":["
        "{\"dish\":\"a\",\"keeps\":\"0 "
        "min\",\"stages\":[{\"id\":\"set\",\"do\":\"do\",\"passive\":\"10 h\","
        "\"uses\":{\"fridge\":1}}]},"
        "{\"dish\":\"b\",\"keeps\":\"0 "
        "min\",\"stages\":[{\"id\":\"set\",\"do\":\"do\",\"passive\":\"10 h\","
        "\"uses\":{\"fridge\":1}}]},"
        "{\"dish\":\"c\",\"keeps\":\"30 min\",\"stages\":["
        "{\"id\":\"roast\",\"do\":\"do\",\"passive\":\"3 h\",\"uses\":{\"oven\":{\"at\":\"180 "
        "C\"}}}]}]}");
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    assert_int_equal(t->remedy_count, 0);
    assert_int_equal(t->conflict_count, 2);
    size_t places = 0, windows = 0, dishes = 0;
    for (size_t i = 0; i < 2; i++) {
        const bk_conflict *one = &t->all_conflicts[i], *two = &t->all_conflicts[1 - i];
        assert_true(one->count > 0 && one->remedy_count > 0);
        for (size_t k = 0; k < one->count; k++)
            for (size_t j = 0; j < two->count; j++)
                assert_false(bk_fact_same(&one->facts[k], &two->facts[j]));
        for (size_t k = 0; k < one->remedy_count; k++) {
            places += strcmp(one->remedies[k].message,
                             "fridge: have one more place (\"places\": 2)") == 0;
            windows += strcmp(one->remedies[k].change, "window") == 0;
            dishes += strcmp(one->remedies[k].change, "dish") == 0;
        }
    }
    assert_int_equal(places, 1);
    assert_true(windows >= 1);
    assert_true(dishes >= 2); /* a or b, also where stages stand behind them */
    assert_int_equal(t->together_count, 2);
    assert_true(t->together_start < t->plan->last_serve);
    bk_arena_free(arena);
}

/* A dish that asks for twice what there is, at once: nothing but leaving it out helps. */
#define TWICE(name, thing)                                                                         \
    "{\"dish\":\"" name "\",\"stages\":["                                                          \
    "{\"id\":\"r\",\"do\":\"r\",\"passive\":\"30 h\",\"uses\":{\"" thing "\":5}},"                 \
    "{\"id\":\"s\",\"do\":\"s\",\"passive\":\"30 h\",\"uses\":{\"" thing "\":5},"                  \
    "\"after\":[{\"stage\":\"r\",\"from\":\"start\",\"within\":\"0 min\"}]}]}"

/* Two dishes each of which asks for twice what there is, at once, and one that asks nothing:
 * both have to be left out, wherever they stand in the plan. */
static void two_dishes_left_out(void **state)
{
    (void)state;
#define BREAD                                                                                      \
    "{\"dish\":\"bread\",\"stages\":[{\"id\":\"cut\",\"do\":\"cut\",\"active\":\"5 min\"}]}"
    static const char *const dishes[] = {
        TWICE("a", "crate") "," TWICE("b", "rack") "," BREAD,
        TWICE("a", "crate") "," BREAD "," TWICE("b", "rack"),
        BREAD "," TWICE("a", "crate") "," TWICE("b", "rack"),
    };
#undef BREAD
    for (size_t i = 0; i < sizeof dishes / sizeof *dishes; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        const bk_timeline *t = schedule_text(
            arena, bk_format(arena,
                             "{\"occasion\":\"o\",\"timezone\":\"Europe/London\","
                             "\"serve\":\"2026-12-04 19:00\",\"earliest\":\"2026-11-20 08:00\","
                             "\"kitchen\":{\"equipment\":{\"crate\":{\"count\":5},"
                             "\"rack\":{\"count\":5}}},\"dishes\":[%s]}",
                             dishes[i]));
        assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
        assert_int_equal(t->remedy_count, 0);
        assert_int_equal(t->conflict_count, 2);
        assert_int_equal(t->together_count, 2);
        for (size_t k = 0; k < 2; k++)
            assert_string_equal(t->together[k].change, "dish");
        assert_string_not_equal(t->together[0].message, t->together[1].message);
        bk_arena_free(arena);
    }
}

/* A dish left out, and a stage of one behind it that may be at any time: the dish goes last, since
 * the stages behind it then have other numbers. */
static void a_dish_left_out_goes_last(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena, "{\"occasion\":\"o\",\"timezone\":\"Europe/London\","
               "\"serve\":\"2026-12-04 19:00\",\"earliest\":\"2026-11-20 08:00\","
               "\"kitchen\":{\"equipment\":{\"crate\":{\"count\":5}}},\"dishes\":[" TWICE(
                   "a", "crate") ","
                                 "{\"dish\":\"bread\",\"stages\":["
                                 "{\"id\":\"cut\",\"do\":\"cut\",\"active\":\"5 min\"}]},"
                                 "{\"dish\":\"jelly\",\"stages\":[{\"id\":\"set\",\"do\":\"set\","
                                 "\"passive\":\"30 min\",\"when\":{\"time\":\"18:00-18:20\"}}]}]}");
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    assert_int_equal(t->conflict_count, 2);
    assert_int_equal(t->together_count, 2);
    bool any_time = false;
    for (size_t k = 0; k < 2; k++)
        any_time |= strcmp(t->together[k].change, "when") == 0;
    assert_true(any_time);
    bk_arena_free(arena);
}

/* Ten minutes away that one dish needs whole and another in part, and a third trouble, so that
 * no single change helps. Where the whole was given up first, the part is in it. */
static void one_absence_given_up_twice(void **state)
{
    (void)state;
#define SOUP                                                                                       \
    "{\"dish\":\"soup\",\"keeps\":\"0 min\",\"stages\":["                                          \
    "{\"id\":\"s\",\"do\":\"s\",\"active\":\"30 min\"}]}"
#define PIE                                                                                        \
    "{\"dish\":\"pie\",\"keeps\":\"0 min\",\"stages\":["                                           \
    "{\"id\":\"s\",\"do\":\"s\",\"passive\":\"15 min\",\"uses\":{\"oven\":{\"at\":\"180 C\"}}}]}"
    static const char *const dishes[] = {
        SOUP "," PIE "," TWICE("c", "crate"),
        PIE "," SOUP "," TWICE("c", "crate"),
        TWICE("c", "crate") "," PIE "," SOUP,
    };
#undef SOUP
#undef PIE
    for (size_t i = 0; i < sizeof dishes / sizeof *dishes; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        const bk_timeline *t = schedule_text(
            arena, bk_format(arena,
                             "{\"occasion\":\"o\",\"timezone\":\"Europe/London\","
                             "\"serve\":\"2026-12-04 19:00\",\"earliest\":\"2026-11-24 08:00\","
                             "\"kitchen\":{\"away\":[{\"from\":\"2026-12-04 18:40\","
                             "\"to\":\"2026-12-04 18:50\"}],\"equipment\":{"
                             "\"crate\":{\"count\":5},\"oven\":{\"kind\":\"oven\"}}},"
                             "\"dishes\":[%s]}",
                             dishes[i]));
        assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
        assert_int_equal(t->remedy_count, 0);
        assert_int_equal(t->conflict_count, 3);
        assert_int_equal(t->together_count, 2);
        size_t windows = 0;
        for (size_t k = 0; k < 2; k++)
            windows += strcmp(t->together[k].change, "window") == 0;
        assert_int_equal(windows, 1);
        bk_arena_free(arena);
    }
}
#undef TWICE

/* Away all day: the gratin cannot be put in, and the cream, which sets nine hours, cannot be
 * whipped soon after. Both are for the same absence, of which each wants another end; by itself
 * every change asks for eight hours. */
static void two_troubles_of_one_absence(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena,
        "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-05 19:00\","
        "\"earliest\":\"2026-12-05 08:00\",\"kitchen\":{\"away\":[{\"from\":\"2026-12-05 08:30\","
        "\"to\":\"2026-12-05 18:00\"}],\"equipment\":{\"oven\":{\"kind\":\"oven\"}}},\"dishes\":["
        "{\"dish\":\"cream\",\"stages\":[{\"id\":\"scald\",\"do\":\"do\",\"active\":\"15 min\"},"
        "{\"id\":\"set\",\"do\":\"do\",\"passive\":\"9 h\"},"
        "{\"id\":\"whip\",\"do\":\"do\",\"active\":\"20 min\","
        "\"after\":[{\"stage\":\"scald\",\"within\":\"30 min\"}]}]},"
        "{\"dish\":\"gratin\",\"keeps\":\"20 min\",\"stages\":["
        "{\"id\":\"slice\",\"do\":\"do\",\"active\":\"30 min\"},"
        "{\"id\":\"bake\",\"do\":\"do\",\"passive\":\"90 min\",\"uses\":{\"oven\":{\"at\":\"180 "
        "C\"}},"
        "\"after\":[{\"stage\":\"slice\",\"within\":\"5 min\"}]}]}]}");
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    assert_int_equal(t->conflict_count, 2);
    for (size_t i = 0; i < 2; i++)
        assert_irreducible(arena, t->plan, (bk_compile_options){0}, t->all_conflicts[i].facts,
                           t->all_conflicts[i].count);
    /* slice from 17:00, bake from 17:30; scald from 08:00, whip from 08:15 */
    assert_int_equal(t->together_count, 2);
    assert_string_equal(t->together[0].message, "give up 1 h of being away on Saturday 5 December "
                                                "2026: 17:00 to 18:00");
    assert_string_equal(t->together[1].message, "give up 5 min of being away on Saturday 5 "
                                                "December 2026: 08:30 to 08:35");
    assert_true(t->remedy_count > 0);
    bk_arena_free(arena);
}

/* Every conflict of random plans that have several is one by itself, and none is another's; what
 * helps together has been verified (bk_reschedule). */
static void conflicts_stand_by_themselves(void **state)
{
    (void)state;
    enum { SEVERAL = 25, MOST_PLANS = 3000 };
    int several = 0, sharing = 0, together = 0, tried = 0;
    for (uint64_t seed = 7000001; several < SEVERAL && tried < MOST_PLANS; seed++, tried++) {
        bk_arena *arena = bk_arena_new(NULL);
        random_source source = {seed};
        random_shape shape = random_large();
        shape.least_stages = 5;
        shape.most_stages = 12;
        bk_plan *plan = random_plan(arena, &source, &shape);
        bk_report report = bk_report_new(arena);
        bk_timeline *t =
            bk_schedule(arena, plan, &(bk_schedule_options){.remedies = true}, &report);
        assert_non_null(t);
        several += t->conflict_count > 0;
        together += t->together_count > 0;
        for (size_t i = 0; i < t->conflict_count; i++) {
            const bk_conflict *one = &t->all_conflicts[i];
            assert_irreducible(arena, plan, (bk_compile_options){0}, one->facts, one->count);
            for (size_t j = 0; j < i; j++) {
                size_t same = 0;
                for (size_t k = 0; k < one->count; k++)
                    for (size_t m = 0; m < t->all_conflicts[j].count; m++)
                        same += bk_fact_same(&one->facts[k], &t->all_conflicts[j].facts[m]);
                assert_true(same < one->count && same < t->all_conflicts[j].count);
                sharing += same > 0;
            }
        }
        bk_arena_free(arena);
    }
    print_message("%d of %d plans have several conflicts (%d pairs share a fact), %d are settled "
                  "together\n",
                  several, tried, sharing, together);
    assert_int_equal(several, SEVERAL);
    assert_true(sharing > 0 && together > 0);
}

/* Away until 17:30, an hour and a quarter of hands before 18:30. */
static void an_hour_given_up(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena,
        "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 18:30\","
        "\"earliest\":\"2026-12-04 12:00\",\"kitchen\":{\"away\":[{\"from\":"
        "\"2026-12-04 08:00\",\"to\":\"2026-12-04 17:30\"}]},\"dishes\":["
        "{\"dish\":\"a\",\"stages\":[{\"id\":\"s\",\"do\":\"do\",\"active\":\"75 min\"}]}]}");
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    assert_remedy(t, "window",
                  "give up 15 min of being away on Friday 4 December 2026: 17:15 to 17:30");
    bk_arena_free(arena);
}

/* Ten minutes away in the only half hour that will do, too short for a part of it to
 * help at either end: the whole of it. */
static void a_short_absence_given_up_whole(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena, "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","
               "\"kitchen\":{\"asleep\":\"22:30-07:00\",\"away\":[{\"from\":"
               "\"2026-12-04 18:40\",\"to\":\"2026-12-04 18:50\"},{\"from\":"
               "\"2026-12-04 19:00\",\"to\":\"2026-12-04 19:05\"}]},\"dishes\":["
               "{\"dish\":\"a\",\"keeps\":\"0 min\",\"stages\":["
               "{\"id\":\"s\",\"do\":\"do\",\"active\":\"30 min\"}]}]}");
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    assert_remedy(t, "window",
                  "give up all 10 min of being away on Friday 4 December 2026: 18:40 to 18:50");
    bk_arena_free(arena);
}

/* The wait that must go altogether. */
static void right_after(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena, "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","
               "\"earliest\":\"2026-12-04 18:00\",\"dishes\":[{\"dish\":\"a\",\"stages\":["
               "{\"id\":\"boil\",\"do\":\"boil\",\"active\":\"30 min\"},"
               "{\"id\":\"pour\",\"do\":\"pour\",\"active\":\"30 min\","
               "\"after\":{\"stage\":\"boil\",\"wait\":\"15 min\"}}]}]}");
    assert_remedy(
        t, "wait",
        "let a/pour start right after a/boil ends, not 15 min later (\"wait\": \"0 min\")");
    bk_arena_free(arena);
}

/* A dish that is good for 15 minutes, and a margin of 20: one longer, the other less. */
static void keeps_longer_or_less_margin(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena, "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","
               "\"margin\":\"20 min\",\"dishes\":[{\"dish\":\"carrots\",\"keeps\":\"15 min\","
               "\"stages\":[{\"id\":\"glaze\",\"do\":\"do\",\"active\":\"5 min\"}]}]}");
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    assert_remedy(t, "margin", "plan a margin of 15 min, not 20 min (\"margin\": \"15 min\")");
    assert_remedy(t, "keeps",
                  "let carrots be ready up to 20 min before it is served, not 15 min (\"keeps\": "
                  "\"20 min\")");
    bk_arena_free(arena);
}

/* Two hours of chilling, from 17:30 for 19:00; 90 min is the likely end, and as the other
 * takes 95 at least it does not help. The short end of it is not tried where it is computed
 * or goes on in the next stage. */
static void the_short_end(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
#define CHILL(time)                                                                                \
    "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","           \
    "\"earliest\":\"2026-12-04 17:30\",\"dishes\":[{\"dish\":\"jelly\",\"stages\":["               \
    "{\"id\":\"chill\",\"do\":\"do\",\"passive\":\"" time "\"}]}]}"
    const bk_timeline *t = schedule_text(arena, CHILL("60-90-120 min"));
    assert_remedy(
        t, "range",
        "plan on the likely end of jelly/chill, 1 h 30 min, not 2 h (\"passive\": \"1 h 30 "
        "min\")");
    t = schedule_text(arena, CHILL("80-100-120 min"));
    assert_remedy(
        t, "range",
        "plan on the short end of jelly/chill, 1 h 20 min, not 2 h (\"passive\": \"1 h 20 "
        "min\")");
    t = schedule_text(arena, CHILL("95-100-120 min"));
    assert_null(remedy(t, "range"));
#undef CHILL
    bk_arena_free(arena);
}

/* Soup that is good for 10 minutes, and nobody at home from 13:30 to 22:30: to keep it five
 * and a half hours is a smaller change than a dish less, and yet what no cook would take; so is
 * supper at 23:00. They come last. */
static void what_no_cook_would_take_comes_last(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena,
        "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","
        "\"earliest\":\"2026-12-04 10:00\",\"kitchen\":{\"asleep\":\"22:00-06:30\",\"away\":["
        "{\"from\":\"2026-12-04 13:30\",\"to\":\"2026-12-04 22:30\"}]},\"dishes\":["
        "{\"dish\":\"soup\",\"keeps\":\"10 min\",\"stages\":["
        "{\"id\":\"s\",\"do\":\"do\",\"active\":\"30 min\"}]},"
        "{\"dish\":\"bread\",\"stages\":["
        "{\"id\":\"cut\",\"do\":\"do\",\"active\":\"5 min\"}]}]}");
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    assert_non_null(remedy(t, "dish"));
    assert_string_equal(t->remedies[t->remedy_count - 1].change, "serve");
    for (size_t i = 1; i < t->remedy_count; i++)
        if (strcmp(t->remedies[i].change, "dish") == 0 ||
            strcmp(t->remedies[i].change, "window") == 0)
            assert_string_not_equal(t->remedies[i - 1].change, "keeps");
    bk_arena_free(arena);
}

/* Away when the roast comes out. Serving when the absence is over is served to sleepers,
 * and letting the meat wait for the carver is beyond what a room allows: both work, and
 * both say so, after those that have no such drawback. */
static void drawbacks_are_said(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena, "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","
               "\"kitchen\":{\"asleep\":\"21:50-07:00\",\"away\":[{\"from\":"
               "\"2026-12-04 14:00\",\"to\":\"2026-12-04 18:30\"}],\"equipment\":{\"oven\":"
               "{\"kind\":\"oven\",\"preheat\":\"10 min\"}}},\"dishes\":["
               "{\"dish\":\"pork\",\"keeps\":\"20 min\",\"stages\":["
               "{\"id\":\"roast\",\"do\":\"Roast the pork\",\"passive\":\"3 h\","
               "\"uses\":{\"oven\":{\"at\":\"180 C\"}}},"
               "{\"id\":\"carve\",\"do\":\"Carve the pork\",\"active\":\"10 min\","
               "\"after\":{\"stage\":\"roast\",\"within\":\"2 h\"}}]},"
               "{\"dish\":\"bread\",\"stages\":["
               "{\"id\":\"cut\",\"do\":\"Cut the bread\",\"active\":\"5 min\"}]}]}");
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    assert_remedy(t, "serve",
                  "serve everything 2 h 50 min later (the last dish on Fri 4 Dec 21:50; --serve "
                  "\"+2 h 50 min\"); "
                  "all of it is then served while everyone is asleep");
    assert_remedy(t, "within",
                  "let pork/carve start within 4 h 30 min after pork/roast ends, not 2 h "
                  "(\"within\": \"4 h 30 min\"); "
                  "pork/roast then stands too long in a room");
    assert_remedy(t, "dish", "leave out pork");
    /* The greatest change, but nothing against it. */
    const bk_remedy *last = &t->remedies[t->remedy_count - 1];
    assert_ptr_not_equal(remedy(t, "dish"), last);
    assert_string_equal(last->change, "serve");
    assert_string_equal(t->remedies[t->remedy_count - 2].change, "within");
    bk_arena_free(arena);
}

/* The pork stands too long whatever is changed: nobody is to blame for that, least of all the
 * bread, whose stages come before the pork's where it is not left out. */
static void a_drawback_of_every_change_is_said_of_none(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena, "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","
               "\"earliest\":\"2026-12-04 12:00\",\"kitchen\":{\"equipment\":{\"oven\":"
               "{\"kind\":\"oven\",\"preheat\":\"10 min\"}}},\"dishes\":["
               "{\"dish\":\"bread\",\"stages\":["
               "{\"id\":\"knead\",\"do\":\"Knead the dough\",\"active\":\"15 min\"},"
               "{\"id\":\"rise\",\"do\":\"Let it rise\",\"passive\":\"7 h\"}]},"
               "{\"dish\":\"pork\",\"stages\":["
               "{\"id\":\"roast\",\"do\":\"Roast the pork\",\"passive\":\"1 h\","
               "\"uses\":{\"oven\":{\"at\":\"180 C\"}}},"
               "{\"id\":\"carve\",\"do\":\"Carve the pork\",\"active\":\"10 min\","
               "\"after\":{\"stage\":\"roast\",\"wait\":\"5 h\"}}]}]}");
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    assert_remedy(t, "dish", "leave out bread");
    for (size_t i = 0; i < t->remedy_count; i++)
        assert_null(strstr(t->remedies[i].message, "too long in a room"));
    bk_arena_free(arena);
}

/* Two things for one shelf at two temperatures: the second has to come out within
 * minutes of the first. A second oven helps; so does a longer leave to wait. */
static void one_oven_two_temperatures(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena, "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","
               "\"kitchen\":{\"equipment\":{\"oven\":{\"kind\":\"oven\",\"change\":\"10 min\"}}},"
               "\"dishes\":[{\"dish\":\"a\",\"keeps\":\"5 "
               "min\",\"stages\":[{\"id\":\"bake\",\"do\":\"do\","
               "\"passive\":\"20 min\",\"uses\":{\"oven\":{\"at\":\"200 C\"}}}]},"
               "{\"dish\":\"b\",\"keeps\":\"5 min\",\"stages\":[{\"id\":\"bake\",\"do\":\"do\","
               "\"passive\":\"20 min\",\"uses\":{\"oven\":{\"at\":\"160 C\"}}}]}]}");
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    assert_remedy(t, "equipment", "oven: have one more oven (\"count\": 2)");
    assert_null(remedy(t, "serve")); /* later is no better */
    bk_arena_free(arena);
}

/* Temperatures as the plan has them: its unit, its range, its fan. */
static void temperatures_as_written(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_timeline *t = schedule_text(
        arena, "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","
               "\"kitchen\":{\"equipment\":{\"oven\":{\"kind\":\"oven\",\"shelves\":2,"
               "\"change\":\"10 min\"}}},"
               "\"dishes\":[{\"dish\":\"a\",\"keeps\":\"5 "
               "min\",\"stages\":[{\"id\":\"bake\",\"do\":\"do\","
               "\"passive\":\"20 min\",\"uses\":{\"oven\":{\"at\":\"190-210 C fan\"}}}]},"
               "{\"dish\":\"b\",\"keeps\":\"5 min\",\"stages\":[{\"id\":\"bake\",\"do\":\"do\","
               "\"passive\":\"20 min\",\"uses\":{\"oven\":{\"at\":\"gas 3\"}}}]}]}");
    assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
    size_t said = 0;
    for (size_t i = 0; i < t->why_count; i++)
        if (t->why[i].kind == BK_FACT_OVEN_TEMPERATURE) {
            said++;
            assert_string_equal(t->why[i].message,
                                "a/bake (190-210 C fan) and b/bake (gas 3) share no oven "
                                "temperature, and oven takes 10 min to change");
        }
    assert_int_equal(said, 1);
    bk_arena_free(arena);
}

/* Waits that hold two stages together, over a fortnight, and one pair of hands (or
 * one oven at two temperatures) that keeps them apart: known without looking at the
 * fortnight minute by minute. */
static void waits_that_allow_no_order(void **state)
{
    (void)state;
    static const char *const plans[] = {
        "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","
        "\"dishes\":[{\"dish\":\"a\",\"stages\":["
        "{\"id\":\"r\",\"do\":\"r\",\"active\":\"48 min\"},"
        "{\"id\":\"s\",\"do\":\"s\",\"active\":\"18 min\",\"after\":[{\"stage\":\"r\","
        "\"within\":\"43 min\",\"from\":\"start\"}]}]}]}",
        "{\"occasion\":\"o\",\"timezone\":\"Europe/London\",\"serve\":\"2026-12-04 19:00\","
        "\"kitchen\":{\"equipment\":{\"oven\":{\"kind\":\"oven\",\"shelves\":2}}},"
        "\"dishes\":[{\"dish\":\"a\",\"stages\":["
        "{\"id\":\"r\",\"do\":\"r\",\"passive\":\"2 h\",\"uses\":{\"oven\":{\"at\":\"220 C\"}}},"
        "{\"id\":\"s\",\"do\":\"s\",\"passive\":\"1 h\",\"uses\":{\"oven\":{\"at\":\"200 C\"}},"
        "\"after\":[{\"stage\":\"r\",\"within\":\"111 min\",\"from\":\"start\"}]}]}]}",
    };
    for (size_t i = 0; i < sizeof plans / sizeof *plans; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        const bk_timeline *t = schedule_text(arena, plans[i]);
        assert_int_equal(t->status, BK_TIMELINE_IMPOSSIBLE);
        assert_true(t->why_count > 0);
        assert_in_range(t->conflicts, 0, 100);
        bk_arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reasons_are_irreducible),
        cmocka_unit_test(what_fixes_the_start_is_irreducible),
        cmocka_unit_test(a_chain_too_long),
        cmocka_unit_test(the_serve_is_named),
        cmocka_unit_test(one_pair_of_hands),
        cmocka_unit_test(two_more_places),
        cmocka_unit_test(two_troubles_at_once),
        cmocka_unit_test(two_dishes_left_out),
        cmocka_unit_test(a_dish_left_out_goes_last),
        cmocka_unit_test(one_absence_given_up_twice),
        cmocka_unit_test(two_troubles_of_one_absence),
        cmocka_unit_test(conflicts_stand_by_themselves),
        cmocka_unit_test(an_hour_given_up),
        cmocka_unit_test(a_short_absence_given_up_whole),
        cmocka_unit_test(right_after),
        cmocka_unit_test(drawbacks_are_said),
        cmocka_unit_test(keeps_longer_or_less_margin),
        cmocka_unit_test(the_short_end),
        cmocka_unit_test(what_no_cook_would_take_comes_last),
        cmocka_unit_test(a_drawback_of_every_change_is_said_of_none),
        cmocka_unit_test(one_oven_two_temperatures),
        cmocka_unit_test(temperatures_as_written),
        cmocka_unit_test(waits_that_allow_no_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

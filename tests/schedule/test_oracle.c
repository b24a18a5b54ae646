/* The scheduler against trial of everything, over thousands of random small
 * plans; and the verifier against the trial's own reading of the rules.
 */
#include "schedule/schedule.h"
#include "support/oracle.h"
#include "support/plan_text.h"
#include "support/random_plan.h"
#include "verify/verify.h"

#include <inttypes.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { PLANS = 6000, TINY_PLANS = 500, MOST_TRIED = 3000000 };

static uint64_t base_seed = UINT64_C(20261211); /* or the program's argument, for other plans */

/* Each plan has a seed of its own, so that one can be run again by itself. */
static uint64_t seed_of(uint64_t series, int index)
{
    return base_seed * 1000003 + series * UINT64_C(1000000007) + (uint64_t)index;
}

/* ------------------------------------------------------ plan from its JSON */

/* How many times as long what is in a tin takes to warm through in another, by the rule of
 * docs/plan-format.md: ((4.81/across)^2 + (pi/deep)^2), of a square tin (2 (pi/across)^2 +
 * (pi/deep)^2); 0.9 where the depth is not known. */
static double warming(const bk_tin *tin)
{
    const double pi = 3.14159265358979;
    double wide = tin->square ? 2.0 * pi * pi : 4.81 * 4.81;
    return wide / (tin->across * tin->across) + pi * pi / (tin->deep * tin->deep);
}

static bool same_tin(const bk_tin *a, const bk_tin *b)
{
    return a->square == b->square && fabs(a->across - b->across) < 1e-6 &&
           fabs(a->deep - b->deep) < 1e-6;
}

/* The reader's look at the least end of a baking, sooner or later for another tin, where that
 * is before the planned end. */
static void expect_look(const bk_plan *plan, const bk_stage *drawn, const bk_stage *read)
{
    const bk_dish *dish = &plan->dishes[drawn->dish];
    double at = (double)drawn->range.least;
    if (dish->tin.across > 0.0 && !same_tin(&dish->tin, &dish->into))
        at *= dish->tin.deep == 0.0 ? 0.9 : warming(&dish->tin) / warming(&dish->into);
    bool wanted = bk_is_heated(drawn) && drawn->attention != BK_HANDS;
    size_t found = 0, looks = 0;
    for (size_t c = 0; c < read->check_count; c++)
        if (read->checks[c].look) {
            found = c;
            looks++;
        }
    int64_t minute = (int64_t)ceil(at - 1e-4);
    assert_int_equal(looks, wanted && minute < drawn->planned);
    if (looks > 0)
        assert_int_equal(read->checks[found].at, minute);
}

/* What was drawn is what was read: the times that tins, amounts and the pace make of the written
 * ones, and when to look. */
static void expect_as_drawn(const bk_plan *drawn, const bk_plan *read)
{
    assert_int_equal(read->stage_count, drawn->stage_count);
    for (size_t s = 0; s < drawn->stage_count; s++) {
        const bk_stage *was = &drawn->stages[s], *is = &read->stages[s];
        assert_int_equal(is->planned, was->planned);
        assert_int_equal(is->range.least, was->range.least);
        assert_int_equal(is->range.likely, was->range.likely);
        assert_int_equal(is->range.most, was->range.most);
        expect_look(drawn, was, is);
    }
}

/* The same plan through a file and the reader; with `now` in place of `earliest`
 * for some, as the command line gives it. */
static bk_plan *read_back(bk_arena *arena, random_source *source, const bk_plan *plan)
{
    const char *json = random_plan_json(arena, source, plan);
    bk_read_options options = {0};
    if (random_chance(source, 20)) {
        options.has_now = true;
        options.clock = plan->earliest;
    }
    bk_plan *read = read_plan_text(arena, json, &options);
    expect_as_drawn(plan, read);
    return read;
}

/* -------------------------------------------------------------- comparison */

/* Handed from one to another: more than are needed at a time, or (of two who change
 * places) what the trial would not call whole. */
static unsigned by_of(const size_t *by, size_t count, size_t hands)
{
    unsigned set = 0;
    for (size_t i = 0; i < count; i++)
        set |= 1u << by[i];
    return count > hands ? ORACLE_PASSES : set;
}

static oracle_placing placing_of(const bk_timeline *timeline)
{
    oracle_placing placing;
    memset(&placing, 0, sizeof placing);
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *placed = &timeline->stages[i];
        placing.start[placed->stage] = placed->start;
        placing.oven[placed->stage] = placed->oven_number;
        const bk_stage *stage = &timeline->plan->stages[placed->stage];
        placing.by[placed->stage] = by_of(placed->by, placed->by_count, (size_t)stage->cooks);
        for (size_t k = 0; k < placed->check_count; k++)
            placing.check_by[placed->stage][placed->checks[k].check - stage->checks] =
                by_of(placed->checks[k].by, placed->checks[k].by_count, 1);
        for (size_t k = 0; k < placed->check_count; k++)
            placing.check[placed->stage][placed->checks[k].check - stage->checks] =
                placed->checks[k].start;
    }
    return placing;
}

static bool reminders_agree(const bk_timeline *timeline)
{
    const bk_plan *plan = timeline->plan;
    oracle_placing placing = placing_of(timeline);
    for (size_t i = 0; i < timeline->stage_count; i++)
        for (size_t k = 0; k < timeline->stages[i].check_count; k++) {
            const bk_placed_check *given = &timeline->stages[i].checks[k];
            size_t s = timeline->stages[i].stage;
            bk_instant at = 0;
            if (given->check->takes > 0)
                continue;
            bool kept = oracle_reminder(plan, &placing, s,
                                        (size_t)(given->check - plan->stages[s].checks), &at);
            if (kept == given->dropped || (kept && at != given->start))
                return false;
        }
    return true;
}

/* Can stage `s` alone start `later` minutes later, its checks going where they
 * can? */
static bool can_shift(const bk_plan *plan, oracle_placing placing, size_t s, int64_t later,
                      size_t c)
{
    if (c == 0)
        placing.start[s] += later;
    if (c == plan->stages[s].check_count)
        return oracle_valid(plan, &placing);
    if (plan->stages[s].checks[c].takes == 0)
        return can_shift(plan, placing, s, 0, c + 1);
    const bk_check *check = &plan->stages[s].checks[c];
    for (int64_t off = -check->give; off <= check->give; off++) {
        placing.check[s][c] = placing.start[s] + check->at + off;
        if (can_shift(plan, placing, s, 0, c + 1))
            return true;
    }
    return false;
}

static bool slack_agrees(const bk_timeline *timeline, const oracle_placing *placing, size_t i)
{
    size_t s = timeline->stages[i].stage;
    int64_t slack = timeline->stages[i].slack;
    for (int64_t later = 1; later <= slack; later++)
        if (!can_shift(timeline->plan, *placing, s, later, 0))
            return false;
    if (can_shift(timeline->plan, *placing, s, slack + 1, 0))
        return false;
    int64_t early = timeline->stages[i].early;
    for (int64_t earlier = 1; earlier <= early; earlier++)
        if (!can_shift(timeline->plan, *placing, s, -earlier, 0))
            return false;
    return !can_shift(timeline->plan, *placing, s, -early - 1, 0);
}

typedef struct tally {
    int plans, impossible, read, too_long, no_answer;
    int wrong_feasibility, wrong_objective, wrong_placing, wrong_reminder, wrong_slack;
    uint64_t tried;
} tally;

static void print_timeline(const bk_timeline *timeline)
{
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *placed = &timeline->stages[i];
        print_error("  s%zu %" PRId64 "..%" PRId64 " oven %d slack %" PRId64 "\n", placed->stage,
                    placed->start - timeline->plan->earliest,
                    placed->end - timeline->plan->earliest, placed->oven_number, placed->slack);
        for (size_t k = 0; k < placed->check_count; k++)
            print_error("     check %" PRId64 "..%" PRId64 "\n",
                        placed->checks[k].start - timeline->plan->earliest,
                        placed->checks[k].end - timeline->plan->earliest);
    }
}

static void complain(bk_arena *arena, uint64_t seed, const char *what, const bk_plan *plan,
                     const bk_timeline *timeline, const oracle_answer *answer)
{
    random_source source = {seed};
    print_error("seed %" PRIu64 ": %s\n%s", seed, what, random_plan_json(arena, &source, plan));
    print_error("  scheduler: status %d, first %" PRId64 ", interruptions %" PRId64
                ", waiting %" PRId64 ", hands %" PRId64 "\n",
                (int)timeline->status, timeline->start - plan->earliest, timeline->interruptions,
                timeline->waiting, timeline->hands_on_serving_day);
    print_timeline(timeline);
    print_error("  by trial: %s, first %" PRId64 ", interruptions %" PRId64 ", waiting %" PRId64
                ", hands %" PRId64 "\n",
                answer->possible ? "possible" : "impossible",
                answer->figures.first - plan->earliest, answer->figures.interruptions,
                answer->figures.waiting, answer->figures.hands);
    for (size_t s = 0; answer->possible && s < plan->stage_count; s++)
        print_error("  s%zu %" PRId64 " oven %d\n", s, answer->best.start[s] - plan->earliest,
                    answer->best.oven[s]);
}

static void compare(bk_arena *arena, uint64_t seed, const bk_plan *plan, tally *count)
{
    oracle_answer answer = oracle_solve(plan, MOST_TRIED);
    count->tried += answer.tried;
    if (answer.gave_up) {
        count->too_long++;
        return;
    }
    bk_report report = bk_report_new(arena);
    bk_timeline *timeline = bk_schedule(arena, plan, &(bk_schedule_options){0}, &report);
    count->plans++;
    count->impossible += !answer.possible;
    if (timeline == NULL) {
        random_source source = {seed};
        print_error("seed %" PRIu64 ": %s\n%s", seed,
                    report.count > 0 ? report.messages[report.count - 1].text : "",
                    random_plan_json(arena, &source, plan));
        count->no_answer++;
        return;
    }
    enum bk_timeline_status status = answer.possible ? BK_TIMELINE_OPTIMAL : BK_TIMELINE_IMPOSSIBLE;
    if (timeline->status != status) {
        complain(arena, seed, "one finds a timeline, the other none", plan, timeline, &answer);
        count->wrong_feasibility++;
        return;
    }
    if (!answer.possible)
        return;
    oracle_placing placing = placing_of(timeline);
    oracle_figures figures = oracle_reckon(plan, &placing);
    if (!oracle_valid(plan, &placing) || bk_verify(arena, timeline, NULL) != 0) {
        complain(arena, seed, "the timeline breaks a rule", plan, timeline, &answer);
        count->wrong_placing++;
    }
    if (oracle_better(plan, answer.figures, figures) ||
        oracle_better(plan, figures, answer.figures) || figures.first != timeline->start ||
        figures.interruptions != timeline->interruptions ||
        figures.busiest != timeline->busiest_other_day || figures.waiting != timeline->waiting ||
        figures.hands != timeline->hands_on_serving_day) {
        complain(arena, seed, "not the best, or not the figures", plan, timeline, &answer);
        count->wrong_objective++;
    }
    if (!reminders_agree(timeline)) {
        complain(arena, seed, "a reminder is misplaced", plan, timeline, &answer);
        count->wrong_reminder++;
    }
    for (size_t i = 0; i < timeline->stage_count; i++)
        if (!slack_agrees(timeline, &placing, i)) {
            complain(
                arena, seed,
                bk_format(arena, "the slack, later or earlier, of s%zu", timeline->stages[i].stage),
                plan, timeline, &answer);
            count->wrong_slack++;
            break;
        }
}

static void test_agrees_with_trial_of_everything(void **state)
{
    (void)state;
    tally count = {0};
    random_shape shape = random_small();
    print_message("seeds %" PRIu64 " to %" PRIu64 "\n", seed_of(1, 0), seed_of(1, PLANS - 1));
    for (int i = 0; i < PLANS; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        random_source source = {seed_of(1, i)};
        bk_plan *plan = random_plan(arena, &source, &shape);
        assert_true(oracle_can(plan));
        if (i % 3 == 0) {
            plan = read_back(arena, &source, plan);
            count.read++;
        }
        compare(arena, seed_of(1, i), plan, &count);
        bk_arena_free(arena);
        if (count.no_answer + count.wrong_feasibility + count.wrong_objective +
                count.wrong_placing + count.wrong_reminder + count.wrong_slack >
            5)
            break;
    }
    print_message(
        "%d plans, %d through a plan file; %d impossible; %d left out as too long; %" PRIu64
        " placings tried\n",
        count.plans, count.read, count.impossible, count.too_long, count.tried);
    assert_int_equal(count.no_answer, 0);
    assert_int_equal(count.wrong_feasibility, 0);
    assert_int_equal(count.wrong_objective, 0);
    assert_int_equal(count.wrong_placing, 0);
    assert_int_equal(count.wrong_reminder, 0);
    assert_int_equal(count.wrong_slack, 0);
    assert_true(count.plans >= 5000);
    assert_true(count.impossible >= count.plans / 4 && count.impossible <= count.plans / 2);
}

/* ---------------------------------------------------------------- shortcuts */

static void test_short_cuts_lose_nothing(void **state)
{
    (void)state;
    random_shape shape = random_small();
    shape.most_stages = 3;
    shape.most_minutes = 4;
    shape.least_span = 3;
    shape.most_span = 9;
    int possible = 0, compared = 0;
    for (int i = 0; i < TINY_PLANS; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        random_source source = {seed_of(2, i)};
        bk_plan *plan = random_plan(arena, &source, &shape);
        oracle_answer naive = oracle_solve_naively(plan, 100000),
                      quick = oracle_solve(plan, MOST_TRIED);
        if (!naive.gave_up) {
            compared++;
            possible += naive.possible;
            if (naive.possible != quick.possible ||
                (naive.possible && (oracle_better(plan, naive.figures, quick.figures) ||
                                    oracle_better(plan, quick.figures, naive.figures))))
                fail_msg("seed %" PRIu64 ": the short cuts change the answer", seed_of(2, i));
            if (quick.possible)
                assert_true(oracle_valid(plan, &quick.best));
        }
        bk_arena_free(arena);
    }
    print_message("%d tiny plans compared, %d possible\n", compared, possible);
    assert_true(compared > TINY_PLANS / 2 && possible > compared / 5 &&
                possible < compared * 9 / 10);
}

/* ------------------------------------------------------------ two checkers */

/* Of what passes from one to another it is enough to name as many as are needed. */
static size_t list_by(bk_arena *arena, const bk_plan *plan, unsigned set, size_t hands, size_t **by)
{
    size_t count = 0;
    *by = BK_NEW(arena, size_t, plan->kitchen.people_count);
    for (size_t c = 0; c < plan->kitchen.people_count; c++)
        if (set == ORACLE_PASSES ? count < hands : (set >> c & 1) != 0)
            (*by)[count++] = c;
    return count;
}

/* A timeline of a placing, for the verifier. It has no oven runs: what the
 * verifier says of the timeline's own figures (rule 0) is left aside. */
static bk_timeline *timeline_of(bk_arena *arena, const bk_plan *plan, const oracle_placing *placing)
{
    oracle_placing given = *placing;
    oracle_give_hands(plan, &given);
    bk_timeline *timeline = BK_NEW(arena, bk_timeline, 1);
    timeline->plan = plan;
    timeline->status = BK_TIMELINE_FEASIBLE;
    timeline->stages = BK_NEW(arena, bk_placed, plan->stage_count);
    timeline->stage_count = plan->stage_count;
    timeline->warnings = BK_NEW(arena, bk_message, 1); /* of what may be dropped */
    timeline->warning_count = 1;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        bk_placed *placed = &timeline->stages[s];
        *placed = (bk_placed){.stage = s,
                              .start = placing->start[s],
                              .end = placing->start[s] + stage->planned,
                              .oven_number = placing->oven[s],
                              .temperature_c = stage->oven.at.nominal,
                              .check_count = stage->check_count};
        placed->checks = BK_NEW(arena, bk_placed_check, stage->check_count);
        placed->by_count = list_by(arena, plan, given.by[s], (size_t)stage->cooks, &placed->by);
        for (size_t c = 0; c < stage->check_count; c++) {
            bk_placed_check *check = &placed->checks[c];
            check->check = &stage->checks[c];
            check->start = placing->check[s][c];
            check->end = check->start + stage->checks[c].takes;
            check->by_count = list_by(arena, plan, given.check_by[s][c], 1, &check->by);
            if (stage->checks[c].takes == 0) {
                check->dropped = !oracle_reminder(plan, placing, s, c, &check->start);
                check->end = check->start;
            }
        }
    }
    return timeline;
}

/* Moves a stage (its checks with it or not), moves a check, or changes an oven. */
static void mutate(random_source *source, const bk_plan *plan, oracle_placing *placing)
{
    size_t s = (size_t)random_between(source, 0, (int64_t)plan->stage_count - 1);
    const bk_stage *stage = &plan->stages[s];
    int64_t kind = random_between(source, 0, 9);
    if (kind == 0 && stage->check_count > 0) {
        size_t c = (size_t)random_between(source, 0, (int64_t)stage->check_count - 1);
        placing->check[s][c] += random_between(source, -5, 5);
    } else if (kind <= 2 && stage->in_oven) {
        placing->oven[s] =
            (int)random_between(source, 1, plan->kitchen.equipment[stage->oven.equipment].count);
    } else {
        int64_t by = random_between(source, 1, 4) * (random_chance(source, 50) ? 1 : -1);
        placing->start[s] += by;
        for (size_t c = 0; c < stage->check_count; c++)
            placing->check[s][c] += random_chance(source, 70) ? by : 0;
    }
}

static void test_two_checkers_agree(void **state)
{
    (void)state;
    random_shape shape = random_small();
    int valid = 0, mutations = 0, by_rule[13] = {0};
    for (int i = 0; i < 1500; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        random_source source = {seed_of(3, i)};
        bk_plan *plan = random_plan(arena, &source, &shape);
        oracle_answer answer = oracle_solve(plan, 100000);
        for (int m = 0; answer.possible && m < 30; m++) {
            oracle_placing placing = answer.best;
            for (int64_t k = random_between(&source, m == 0 ? 0 : 1, m == 0 ? 0 : 3); k > 0; k--)
                mutate(&source, plan, &placing);
            bk_breach *breaches = NULL;
            size_t n = bk_verify(arena, timeline_of(arena, plan, &placing), &breaches), broken = 0;
            assert_true(n <= 100);
            for (size_t b = 0; b < n; b++) {
                assert_in_range(breaches[b].rule, 0, 12);
                broken += breaches[b].rule != 0;
                by_rule[breaches[b].rule]++;
            }
            bool right = oracle_valid(plan, &placing);
            if (right != (broken == 0)) {
                for (size_t b = 0; b < n; b++)
                    print_error("  rule %d: %s\n", breaches[b].rule, breaches[b].message);
                for (size_t s = 0; s < plan->stage_count; s++)
                    print_error("  s%zu %" PRId64 " oven %d, check %" PRId64 "\n", s,
                                placing.start[s] - plan->earliest, placing.oven[s],
                                placing.check[s][0] - plan->earliest);
                print_error("%s", random_plan_json(arena, &source, plan));
                fail_msg("seed %" PRIu64
                         ", mutation %d: the rules are %s, the verifier says otherwise",
                         seed_of(3, i), m, right ? "kept" : "broken");
            }
            mutations++;
            valid += right;
        }
        bk_arena_free(arena);
    }
    print_message("%d timelines, %d valid; breaches by rule 1 to 12:", mutations, valid);
    for (int rule = 1; rule < 13; rule++)
        print_message(" %d", by_rule[rule]);
    print_message("\n");
    assert_true(mutations > 10000 && valid > mutations / 20 && valid < mutations / 2);
    for (int rule = 2; rule < 12; rule += rule == 9 ? 2 : 1)
        assert_true(by_rule[rule] > 20);
}

int main(int argc, char **argv)
{
    if (argc > 1)
        base_seed = strtoull(argv[1], NULL, 10);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_short_cuts_lose_nothing),
        cmocka_unit_test(test_two_checkers_agree),
        cmocka_unit_test(test_agrees_with_trial_of_everything),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

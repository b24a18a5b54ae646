/* Sums: of more work on one machine than a day has room for, and of groups. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "engine/engine.h"
#include "support/splitmix.h"

enum { CHAINS = 12, STEPS = 5, ALL = CHAINS * STEPS, NIGHT = 480 };

/* One chain after the other: the steps of each in their order. */
typedef struct chains {
    int32_t length[ALL];
    int32_t all, day; /* the minutes of all; how many there are before the night */
    int64_t least;    /* the least sum found so far */
} chains;

/* The least sum of the starts of steps from[k] to to[k] of each chain k, one after another from
 * `time` on: Horn's rule (SIAM J. Appl. Math. 23, 1972) takes the head of a chain with the least
 * mean length, again and again. */
static int64_t by_horn(const chains *c, const int *from, const int *to, int32_t time)
{
    int next[CHAINS];
    int64_t sum = 0;
    for (int k = 0; k < CHAINS; k++)
        next[k] = from[k];
    for (;;) {
        int chain = -1, end = 0;
        int64_t total = 0;
        for (int k = 0; k < CHAINS; k++) {
            int64_t length = 0;
            for (int s = next[k]; s < to[k]; s++) {
                length += c->length[k * STEPS + s];
                if (chain < 0 || length * (end - next[chain]) < total * (s + 1 - next[k])) {
                    chain = k;
                    end = s + 1;
                    total = length;
                }
            }
        }
        if (chain < 0)
            return sum;
        for (; next[chain] < end; next[chain]++) {
            sum += time;
            time += c->length[chain * STEPS + next[chain]];
        }
    }
}

/* Tries all ways to leave the last steps of chain k and those after it for after the night. Each of
 * `left` steps comes a night later than it could without one, so that enough is enough. */
static void leave(chains *c, int k, int *cut, int left, int32_t day, int64_t without)
{
    static const int none[CHAINS] = {0}, steps[CHAINS] = {STEPS, STEPS, STEPS, STEPS, STEPS, STEPS,
                                                          STEPS, STEPS, STEPS, STEPS, STEPS, STEPS};
    if (without + (int64_t)NIGHT * left >= c->least)
        return;
    if (k == CHAINS) {
        if (day > c->day)
            return;
        int64_t sum = by_horn(c, none, cut, 0) + by_horn(c, cut, steps, c->day + NIGHT);
        c->least = sum < c->least ? sum : c->least;
        return;
    }
    for (cut[k] = STEPS; cut[k] >= 0; cut[k]--) {
        leave(c, k + 1, cut, left + STEPS - cut[k], day, without);
        if (cut[k] > 0)
            day -= c->length[k * STEPS + cut[k] - 1];
    }
}

static bk_result solve(bk_arena *arena, const chains *c)
{
    bk_problem *problem = bk_problem_new(arena);
    bk_hole *night = BK_NEW(arena, bk_hole, 1);
    bk_use uses[ALL];
    int level = bk_problem_level(problem);
    *night = (bk_hole){c->day, c->day + NIGHT, BK_NO_FACT};
    for (int i = 0; i < ALL; i++) {
        bk_var start = bk_problem_var(problem, 0, 3000);
        uses[i] = (bk_use){{start, 0}, {start, c->length[i]}, 1, BK_ALWAYS};
        bk_problem_holes(problem, uses[i].from, uses[i].to, night, 1);
        if (i % STEPS > 0)
            bk_problem_lag(problem, uses[i - 1].from.var, start, c->length[i - 1], NULL, 0,
                           BK_NO_FACT);
        bk_problem_cost(problem, level, start, 1);
    }
    bk_problem_cumulative(problem, 1, uses, ALL, BK_NO_FACT);
    return bk_solve(arena, problem, &(bk_solve_options){.conflicts = 20000});
}

/* Twelve dishes of five steps each, a little more than a day has room for: which of them to leave
 * for the evening is tried out here, and fitted bounds have to tell there. */
static void test_the_evening_before(void **state)
{
    (void)state;
    for (uint64_t seed = 3; seed <= 7; seed++) {
        chains c = {.least = INT64_MAX};
        uint64_t random = seed;
        int cut[CHAINS];
        for (int i = 0; i < ALL; i++)
            c.all += c.length[i] = 3 + (int32_t)(splitmix64(&random) % 18);
        c.day = c.all - 1 - (int32_t)(splitmix64(&random) % 30);
        static const int none[CHAINS] = {0};
        int whole[CHAINS];
        for (int k = 0; k < CHAINS; k++)
            whole[k] = STEPS;
        leave(&c, 0, cut, 0, c.all, by_horn(&c, none, whole, 0));
        bk_arena *arena = bk_arena_new(NULL);
        bk_result result = solve(arena, &c);
        assert_int_equal(result.status, BK_OPTIMAL);
        assert_int_equal(result.sum[0], c.least);
        bk_arena_free(arena);
    }
}

/* Groups that have nothing to do with one another: of four tasks one runs at a time, each weighs as
 * much as what waits for it, or twice that. What a group costs is found by itself, in more turns
 * than one for all of them; a bound that counts one term with the weight of another, or all of them
 * a unit too high, is over the best there is. */
static void test_groups_of_two_weights(void **state)
{
    (void)state;
    enum { GROUPS = 40, TASKS = 4, WAIT = 20 };
    uint64_t random = 5;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *problem = bk_problem_new(arena);
    int level = bk_problem_level(problem);
    int64_t sum = 0;
    for (int g = 0; g < GROUPS; g++) {
        bk_use uses[TASKS];
        int32_t length[TASKS], weight = 1 + g % 2;
        for (int i = 0; i < TASKS; i++) {
            length[i] = 3 + (int32_t)(splitmix64(&random) % 10);
            bk_var start = bk_problem_var(problem, 0, 2000);
            bk_var behind = bk_problem_var(problem, 0, 2000);
            uses[i] = (bk_use){{start, 0}, {start, length[i]}, 1, BK_ALWAYS};
            bk_problem_lag(problem, start, behind, WAIT, NULL, 0, BK_NO_FACT);
            bk_problem_cost(problem, level, start, weight);
            bk_problem_cost(problem, level, behind, 1);
        }
        /* The shortest first: Smith's rule (Naval Research Logistics Quarterly 3, 1956). */
        for (int i = 0; i < TASKS; i++)
            for (int k = 0; k < i; k++)
                sum += (weight + 1) * (length[i] < length[k] ? length[i] : length[k]);
        sum += WAIT * TASKS;
        bk_problem_cumulative(problem, 1, uses, TASKS, BK_NO_FACT);
    }
    bk_result result = bk_solve(arena, problem, &(bk_solve_options){.conflicts = 20000});
    assert_int_equal(result.status, BK_OPTIMAL);
    assert_int_equal(result.sum[0], sum);
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_the_evening_before),
                                       cmocka_unit_test(test_groups_of_two_weights)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

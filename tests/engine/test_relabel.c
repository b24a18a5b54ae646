/* Kitchens too large to enumerate: the best sums may not change when variables
 * and constraints are given in another order, when a redundant choice of order is
 * added, or when the search starts from a hint. A wrong deduction anywhere
 * (energy, cores, neighbourhoods) shows as two different "best" answers.
 *
 * Usage: test_relabel [FIRST_SEED COUNT] */
#include "engine/engine.h"

#include "support/splitmix.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { MOST_TASKS = 14, HORIZON = 4000, HOLES = 4 };

typedef struct task {
    int32_t length, after_wait, within; /* within < 0: none */
    int after;                          /* task that comes first in mirrored time, or -1 */
    bool active, oven, chilled;
    int temperature;
} task;

typedef struct kitchen {
    int n, cooks, ovens, fridge, shelves;
    task tasks[MOST_TASKS];
    bk_hole holes[HOLES];
} kitchen;

static uint64_t state;

static int32_t pick(int32_t least, int32_t most)
{
    return least + (int32_t)(splitmix64(&state) % (uint64_t)(most - least + 1));
}

static void make(kitchen *k, uint64_t seed)
{
    state = seed;
    memset(k, 0, sizeof *k);
    k->n = pick(6, MOST_TASKS);
    k->cooks = pick(1, 2);
    k->ovens = pick(1, 2);
    k->shelves = pick(1, 2);
    k->fridge = pick(1, 3);
    int32_t at = pick(20, 200);
    for (int h = 0; h < HOLES; h++) {
        k->holes[h] = (bk_hole){at, at + pick(10, 150), BK_NO_FACT};
        at += pick(5, 300);
    }
    for (int i = 0; i < k->n; i++) {
        task *t = &k->tasks[i];
        int kind = pick(0, 9);
        t->active = kind < 5;
        t->oven = kind == 5 || kind == 6;
        t->chilled = kind == 7 || kind == 8;
        t->length = t->active ? pick(3, 40) : pick(10, 90);
        t->temperature = pick(0, 2);
        t->after = i > 0 && pick(0, 9) < 6 ? pick(0, i - 1) : -1;
        t->after_wait = pick(0, 3) ? 0 : pick(0, 30);
        t->within = pick(0, 3) ? -1 : t->after_wait + pick(20, 400);
    }
}

/* Best sums of the two levels; false when impossible. `version` says in which
 * order it is told, and how. */
static bool solve(const kitchen *k, int version, int64_t *sum)
{
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *p = bk_problem_new(arena);
    int order[MOST_TASKS];
    bk_var end[MOST_TASKS], in_oven[MOST_TASKS][2];
    for (int i = 0; i < k->n; i++)
        order[i] = version & 1 ? k->n - 1 - i : i;
    bk_var span = BK_CONSTANT;
    if (version & 1)
        span = bk_problem_var(p, 0, HORIZON);
    bk_use hands[MOST_TASKS], shelves[2][MOST_TASKS], fridge[MOST_TASKS];
    size_t hand_count = 0, shelf_count = 0, fridge_count = 0;
    for (int o = 0; o < k->n; o++) {
        int i = order[o];
        const task *t = &k->tasks[i];
        end[i] = bk_problem_var(p, 0, HORIZON - t->length);
        bk_point from = {end[i], 0}, to = {end[i], t->length};
        if (t->active) {
            hands[hand_count++] = (bk_use){from, to, 1, BK_ALWAYS};
            bk_problem_holes(p, from, to, k->holes, HOLES);
        }
        if (t->oven) {
            bk_bound some[2];
            for (int v = 0; v < k->ovens; v++) {
                in_oven[i][v] = k->ovens == 1 ? BK_ALWAYS : bk_problem_var(p, 0, 1);
                some[v] = (bk_bound){in_oven[i][v], 1, true};
                shelves[v][shelf_count] = (bk_use){from, to, 1, in_oven[i][v]};
            }
            shelf_count++;
            if (k->ovens > 1)
                bk_problem_clause(p, some, 2, BK_NO_FACT);
        }
        if (t->chilled)
            fridge[fridge_count++] = (bk_use){from, to, 1, BK_ALWAYS};
        else if (i % 4 == 0)
            fridge[fridge_count++] =
                (bk_use){{BK_CONSTANT, 0}, {end[i], 0}, 1, BK_ALWAYS}; /* stored until served */
    }
    for (int o = 0; o < k->n; o++) {
        int i = order[o];
        const task *t = &k->tasks[i];
        if (t->after >= 0) {
            int32_t least = k->tasks[t->after].length + t->after_wait;
            bk_problem_lag(p, end[t->after], end[i], least, NULL, 0, BK_NO_FACT);
            if (t->within >= 0)
                bk_problem_lag(p, end[i], end[t->after], -(k->tasks[t->after].length + t->within),
                               NULL, 0, BK_NO_FACT);
        }
        for (int q = 0; q < i; q++) {
            bool pair = t->oven && k->tasks[q].oven && t->temperature != k->tasks[q].temperature;
            bool told = version & 2 && k->cooks == 1 && t->active && k->tasks[q].active;
            if (!pair && !told)
                continue;
            bk_var first = bk_problem_var(p, 0, 1);
            int32_t change = pair ? 10 : 0;
            for (int v = 0; v < (pair ? k->ovens : 1); v++) {
                bk_bound when[3] = {{first, 1, true}};
                size_t n = 1;
                if (pair && k->ovens > 1) {
                    when[n++] = (bk_bound){in_oven[i][v], 1, true};
                    when[n++] = (bk_bound){in_oven[q][v], 1, true};
                }
                bk_problem_lag(p, end[i], end[q], t->length + change, when, n, BK_NO_FACT);
                when[0] = (bk_bound){first, 0, false};
                bk_problem_lag(p, end[q], end[i], k->tasks[q].length + change, when, n, BK_NO_FACT);
            }
        }
    }
    bk_problem_cumulative(p, k->cooks, hands, hand_count, BK_NO_FACT);
    for (int v = 0; v < k->ovens; v++)
        bk_problem_cumulative(p, k->shelves, shelves[v], shelf_count, BK_NO_FACT);
    bk_problem_cumulative(p, k->fridge, fridge, fridge_count, BK_NO_FACT);
    if (span == BK_CONSTANT)
        span = bk_problem_var(p, 0, HORIZON);
    for (int i = 0; i < k->n; i++)
        bk_problem_lag(p, end[i], span, k->tasks[i].length, NULL, 0, BK_NO_FACT);
    int first = bk_problem_level(p), second = bk_problem_level(p);
    bk_problem_cost(p, first, span, 1);
    for (int i = 0; i < k->n; i++)
        bk_problem_cost(p, second, end[i], 1);
    int32_t *hint = BK_NEW(arena, int32_t, bk_problem_vars(p));
    for (size_t v = 0; v < bk_problem_vars(p); v++)
        hint[v] = (int32_t)(v * 37 % 300);
    bk_solve_options options = {.hint = version & 4 ? hint : NULL};
    bk_result r = bk_solve(arena, p, &options);
    assert_true(r.complete);
    bool possible = r.status == BK_OPTIMAL;
    assert_true(possible || r.status == BK_INFEASIBLE);
    if (possible) {
        assert_true(bk_problem_check(p, r.value, NULL, NULL));
        memcpy(sum, r.sum, 2 * sizeof *sum);
    }
    bk_arena_free(arena);
    return possible;
}

static uint64_t first_seed = 1, seeds = 60;

static void test_relabel(void **unused)
{
    (void)unused;
    size_t possible = 0;
    print_message("seeds %llu to %llu\n", (unsigned long long)first_seed,
                  (unsigned long long)(first_seed + seeds - 1));
    for (uint64_t seed = first_seed; seed < first_seed + seeds; seed++) {
        kitchen k;
        make(&k, seed);
        int64_t sum[2] = {0}, other[2] = {0};
        bool can = solve(&k, 0, sum);
        possible += can;
        for (int version = 1; version < 8; version++)
            if (solve(&k, version, other) != can || memcmp(sum, other, sizeof sum) != 0)
                fail_msg("seed %llu: %lld,%lld but told as %d %lld,%lld", (unsigned long long)seed,
                         (long long)sum[0], (long long)sum[1], version, (long long)other[0],
                         (long long)other[1]);
    }
    print_message("%zu of %llu possible\n", possible, (unsigned long long)seeds);
}

int main(int argc, char **argv)
{
    if (argc == 3) {
        first_seed = strtoull(argv[1], NULL, 10);
        seeds = strtoull(argv[2], NULL, 10);
    }
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_relabel)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

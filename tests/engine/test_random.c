/* The engine against plain enumeration: thousands of small random problems with
 * every kind of constraint. Same feasibility, same best sum at every level, and
 * cores that stay infeasible when everything outside them is dropped.
 *
 * Usage: test_random [FIRST_SEED COUNT]   (the default is a fixed set) */
#include "engine/engine.h"

#include "support/splitmix.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { MOST_VARS = 6, MOST = 8, MOST_ITEMS = 5, FACTS = 6, LEVELS = 2 };

typedef struct lag {
    bk_var from, to;
    int32_t least;
    bk_bound when[2];
    size_t count;
    int fact;
} lag;

typedef struct uses {
    int32_t capacity;
    bk_use use[MOST_ITEMS];
    size_t count;
    int fact;
} uses;

typedef struct holes {
    bk_point from, to;
    bk_hole hole[MOST_ITEMS];
    size_t count;
} holes;

typedef struct minimum {
    bk_var bottom;
    bk_point point[MOST_ITEMS];
    size_t count;
    int fact;
} minimum;

typedef struct clause {
    bk_bound bound[3];
    size_t count;
    int fact;
} clause;

typedef struct cost {
    int level;
    bool conditional;
    bk_var var;
    bk_bound bound;
    int32_t weight;
} cost;

typedef struct model {
    size_t vars;
    int32_t least[MOST_VARS], most[MOST_VARS];
    lag lags[MOST];
    uses cumulatives[3];
    holes intervals[2];
    minimum minimums[1];
    clause clauses[3];
    cost costs[MOST];
    size_t lag_count, cumulative_count, interval_count, minimum_count, clause_count, cost_count;
    int levels;
} model;

static uint64_t state;

/* least..most */
static int32_t pick(int32_t least, int32_t most)
{
    return least + (int32_t)(splitmix64(&state) % (uint64_t)(most - least + 1));
}

static bool chance(int percent)
{
    return pick(0, 99) < percent;
}

static int fact(void)
{
    return chance(40) ? BK_NO_FACT : pick(0, FACTS - 1);
}

static bk_var some_var(const model *m)
{
    return chance(8) ? BK_CONSTANT : (bk_var)pick(0, (int32_t)m->vars - 1);
}

static bk_bound some_bound(const model *m)
{
    bk_var var = (bk_var)pick(0, (int32_t)m->vars - 1);
    return (bk_bound){var, pick(m->least[var], m->most[var]), chance(50)};
}

static void make(model *m, uint64_t seed)
{
    state = seed;
    memset(m, 0, sizeof *m);
    m->vars = (size_t)pick(2, MOST_VARS);
    size_t booleans = (size_t)pick(0, 2);
    int32_t width = m->vars > 4 ? 4 : 7;
    for (size_t v = 0; v < m->vars; v++) {
        m->least[v] = v < booleans ? 0 : pick(-2, 2);
        m->most[v] = v < booleans ? 1 : m->least[v] + pick(1, width);
    }
    m->lag_count = (size_t)pick(0, MOST);
    for (size_t i = 0; i < m->lag_count; i++) {
        lag *l = &m->lags[i];
        l->from = some_var(m);
        l->to = some_var(m);
        l->least = pick(-5, 3);
        l->count = chance(50) ? 0 : (size_t)pick(1, 2);
        for (size_t k = 0; k < l->count; k++)
            l->when[k] = some_bound(m);
        l->fact = fact();
    }
    m->cumulative_count = (size_t)pick(0, 3);
    for (size_t i = 0; i < m->cumulative_count; i++) {
        uses *u = &m->cumulatives[i];
        u->capacity = pick(1, 4);
        u->count = (size_t)pick(1, MOST_ITEMS);
        u->fact = fact();
        for (size_t k = 0; k < u->count; k++) {
            bk_use *use = &u->use[k];
            use->from.var = some_var(m);
            use->from.plus = pick(-2, 2);
            use->to.var = chance(70) ? use->from.var : some_var(m);
            use->to.plus = use->from.plus + pick(0, 4);
            use->amount = pick(0, 3);
            use->present =
                booleans > 0 && chance(40) ? (bk_var)pick(0, (int32_t)booleans - 1) : BK_ALWAYS;
        }
    }
    m->interval_count = (size_t)pick(0, 2);
    for (size_t i = 0; i < m->interval_count; i++) {
        holes *h = &m->intervals[i];
        h->from = (bk_point){some_var(m), pick(-1, 1)};
        h->to = (bk_point){chance(70) ? h->from.var : some_var(m), h->from.plus + pick(0, 3)};
        h->count = (size_t)pick(1, MOST_ITEMS);
        int32_t at = -3;
        for (size_t k = 0; k < h->count; k++) {
            at += pick(0, 3);
            h->hole[k] = (bk_hole){at, at + pick(0, 3), fact()};
        }
    }
    m->minimum_count = (size_t)pick(0, 1);
    for (size_t i = 0; i < m->minimum_count; i++) {
        minimum *n = &m->minimums[i];
        n->bottom = (bk_var)pick(0, (int32_t)m->vars - 1);
        n->count = (size_t)pick(1, 3);
        n->fact = fact();
        for (size_t k = 0; k < n->count; k++)
            n->point[k] = (bk_point){some_var(m), pick(-1, 2)};
    }
    m->clause_count = (size_t)pick(0, 3);
    for (size_t i = 0; i < m->clause_count; i++) {
        clause *c = &m->clauses[i];
        c->count = (size_t)pick(1, 3);
        c->fact = fact();
        for (size_t k = 0; k < c->count; k++)
            c->bound[k] = some_bound(m);
    }
    m->levels = pick(0, LEVELS);
    m->cost_count = m->levels ? (size_t)pick(0, MOST) : 0;
    for (size_t i = 0; i < m->cost_count; i++) {
        cost *c = &m->costs[i];
        c->level = pick(0, m->levels - 1);
        c->conditional = chance(40);
        c->var = (bk_var)pick(0, (int32_t)m->vars - 1);
        c->bound = some_bound(m);
        c->weight = c->conditional ? pick(1, 5) : pick(-1, 3);
    }
}

static bk_problem *build(bk_arena *arena, const model *m)
{
    bk_problem *problem = bk_problem_new(arena);
    for (size_t v = 0; v < m->vars; v++)
        bk_problem_var(problem, m->least[v], m->most[v]);
    for (size_t i = 0; i < m->lag_count; i++)
        bk_problem_lag(problem, m->lags[i].from, m->lags[i].to, m->lags[i].least, m->lags[i].when,
                       m->lags[i].count, m->lags[i].fact);
    for (size_t i = 0; i < m->cumulative_count; i++)
        bk_problem_cumulative(problem, m->cumulatives[i].capacity, m->cumulatives[i].use,
                              m->cumulatives[i].count, m->cumulatives[i].fact);
    for (size_t i = 0; i < m->interval_count; i++)
        bk_problem_holes(problem, m->intervals[i].from, m->intervals[i].to, m->intervals[i].hole,
                         m->intervals[i].count);
    for (size_t i = 0; i < m->minimum_count; i++)
        bk_problem_minimum(problem, m->minimums[i].bottom, m->minimums[i].point,
                           m->minimums[i].count, m->minimums[i].fact);
    for (size_t i = 0; i < m->clause_count; i++)
        bk_problem_clause(problem, m->clauses[i].bound, m->clauses[i].count, m->clauses[i].fact);
    for (int level = 0; level < m->levels; level++)
        bk_problem_level(problem);
    for (size_t i = 0; i < m->cost_count; i++)
        if (m->costs[i].conditional)
            bk_problem_cost_if(problem, m->costs[i].level, m->costs[i].bound, m->costs[i].weight);
        else
            bk_problem_cost(problem, m->costs[i].level, m->costs[i].var, m->costs[i].weight);
    return problem;
}

/* -------------------------------------------------- the meaning, once more */

static int32_t value_of(bk_point point, const int32_t *value)
{
    return (point.var < 0 ? 0 : value[point.var]) + point.plus;
}

static bool holds(bk_bound bound, const int32_t *value)
{
    return bound.at_least ? value[bound.var] >= bound.value : value[bound.var] <= bound.value;
}

static bool in_force(int f, const bool *dropped)
{
    return f < 0 || !dropped[f];
}

static bool valid(const model *m, const int32_t *value, const bool *dropped)
{
    for (size_t i = 0; i < m->lag_count; i++) {
        const lag *l = &m->lags[i];
        bool on = in_force(l->fact, dropped);
        for (size_t k = 0; k < l->count; k++)
            on = on && holds(l->when[k], value);
        if (on &&
            value_of((bk_point){l->to, 0}, value) < value_of((bk_point){l->from, l->least}, value))
            return false;
    }
    for (size_t i = 0; i < m->cumulative_count; i++) {
        const uses *u = &m->cumulatives[i];
        for (int32_t time = -20; in_force(u->fact, dropped) && time < 30; time++) {
            int32_t sum = 0;
            for (size_t k = 0; k < u->count; k++) {
                const bk_use *use = &u->use[k];
                if ((use->present < 0 || value[use->present]) &&
                    value_of(use->from, value) <= time && time < value_of(use->to, value))
                    sum += use->amount;
            }
            if (sum > u->capacity)
                return false;
        }
    }
    for (size_t i = 0; i < m->interval_count; i++) {
        const holes *h = &m->intervals[i];
        for (size_t k = 0; k < h->count; k++)
            for (int32_t time = h->hole[k].from; time < h->hole[k].to; time++)
                if (in_force(h->hole[k].fact, dropped) && value_of(h->from, value) <= time &&
                    time < value_of(h->to, value))
                    return false;
    }
    for (size_t i = 0; i < m->minimum_count; i++) {
        const minimum *n = &m->minimums[i];
        int32_t least = value_of(n->point[0], value);
        for (size_t k = 1; k < n->count; k++)
            if (value_of(n->point[k], value) < least)
                least = value_of(n->point[k], value);
        if (in_force(n->fact, dropped) && value[n->bottom] != least)
            return false;
    }
    for (size_t i = 0; i < m->clause_count; i++) {
        const clause *c = &m->clauses[i];
        bool on = !in_force(c->fact, dropped);
        for (size_t k = 0; k < c->count; k++)
            on = on || holds(c->bound[k], value);
        if (!on)
            return false;
    }
    return true;
}

static void sums_of(const model *m, const int32_t *value, int64_t *sum)
{
    sum[0] = sum[1] = 0;
    for (size_t i = 0; i < m->cost_count; i++) {
        const cost *c = &m->costs[i];
        if (!c->conditional)
            sum[c->level] += c->weight * value[c->var];
        else if (holds(c->bound, value))
            sum[c->level] += c->weight;
    }
}

/* Best sums over all assignments; false when none is valid. */
static bool enumerate(const model *m, const bool *dropped, int64_t *best)
{
    int32_t value[MOST_VARS];
    bool found = false;
    for (size_t v = 0; v < m->vars; v++)
        value[v] = m->least[v];
    for (;;) {
        if (valid(m, value, dropped)) {
            int64_t sum[LEVELS];
            sums_of(m, value, sum);
            if (!found || sum[0] < best[0] || (sum[0] == best[0] && sum[1] < best[1]))
                memcpy(best, sum, sizeof sum);
            found = true;
            if (m->levels == 0)
                return true;
        }
        size_t v = 0;
        while (v < m->vars && value[v] == m->most[v]) {
            value[v] = m->least[v];
            v++;
        }
        if (v == m->vars)
            return found;
        value[v]++;
    }
}

static void compare(uint64_t seed)
{
    static const bool none[FACTS];
    model m;
    make(&m, seed);
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *problem = build(arena, &m);
    bool dropped[FACTS];
    bool drop = chance(25);
    for (int f = 0; f < FACTS; f++)
        dropped[f] = drop && chance(40);
    int32_t hint[MOST_VARS];
    for (size_t v = 0; v < m.vars; v++)
        hint[v] = pick(-3, 8);

    bk_solve_options options = {.facts = FACTS,
                                .dropped = drop ? dropped : NULL,
                                .explain = true,
                                .hint = chance(30) ? hint : NULL};
    int64_t best[LEVELS] = {0, 0};
    bool possible = enumerate(&m, drop ? dropped : none, best);
    bk_result result = bk_solve(arena, problem, &options);
    if ((result.status == BK_OPTIMAL) != possible || !result.complete)
        fail_msg("seed %llu: status %d, possible %d", (unsigned long long)seed, (int)result.status,
                 possible);
    if (possible) {
        if (!valid(&m, result.value, drop ? dropped : none))
            fail_msg("seed %llu: not valid", (unsigned long long)seed);
        int64_t sum[LEVELS];
        sums_of(&m, result.value, sum);
        for (int level = 0; level < m.levels; level++)
            if (sum[level] != best[level] || result.sum[level] != best[level] ||
                result.bound[level] != best[level])
                fail_msg("seed %llu level %d: %lld (said %lld, bound %lld), best %lld",
                         (unsigned long long)seed, level, (long long)sum[level],
                         (long long)result.sum[level], (long long)result.bound[level],
                         (long long)best[level]);
    } else {
        bool outside[FACTS];
        for (int f = 0; f < FACTS; f++)
            outside[f] = true;
        for (size_t i = 0; i < result.core_count; i++) {
            assert_false(drop && dropped[result.core[i]]);
            outside[result.core[i]] = false;
        }
        if (enumerate(&m, outside, best))
            fail_msg("seed %llu: the core does not suffice", (unsigned long long)seed);
    }
    const bk_check_index *index = bk_check_index_new(arena, problem);
    /* The plain check agrees with the meaning on random assignments. */
    for (int i = 0; i < 20; i++) {
        int32_t value[MOST_VARS];
        for (size_t v = 0; v < m.vars; v++)
            value[v] = pick(m.least[v], m.most[v]);
        if (bk_problem_check(problem, value, NULL, NULL) != valid(&m, value, none))
            fail_msg("seed %llu: check differs", (unsigned long long)seed);
    }
    /* From a valid assignment, looking near what changed is looking at all of it. */
    for (int i = 0; result.value && !drop && i < 20; i++) {
        int32_t value[MOST_VARS];
        bk_var changed[3];
        size_t count = 0;
        for (size_t v = 0; v < m.vars; v++)
            value[v] = result.value[v];
        for (int k = pick(1, 3); k > 0; k--) {
            bk_var var = some_var(&m);
            bool again = var < 0;
            for (size_t c = 0; c < count; c++)
                again = again || changed[c] == var;
            if (again)
                continue;
            changed[count++] = var;
            value[var] = pick(m.least[var] - 1, m.most[var] + 1);
        }
        if (bk_problem_check(problem, value, NULL, NULL) !=
            bk_problem_check_near(problem, index, value, changed, count, NULL, NULL))
            fail_msg("seed %llu: the near check differs", (unsigned long long)seed);
    }
    /* A limit gives bounds that hold. */
    options.conflicts = pick(1, 4);
    options.explain = false;
    bk_result limited = bk_solve(arena, problem, &options);
    if (limited.status == BK_INFEASIBLE)
        assert_false(possible);
    if (limited.value) {
        assert_true(valid(&m, limited.value, drop ? dropped : none));
        bool prefix = true;
        for (int level = 0; level < m.levels && prefix; level++) {
            assert_true(limited.bound[level] <= best[level]);
            assert_true(limited.sum[level] >= best[level]);
            prefix = limited.sum[level] == best[level];
        }
    }
    bk_arena_free(arena);
}

static uint64_t first_seed = 1, seeds = 6000;

static void test_random(void **unused)
{
    (void)unused;
    print_message("seeds %llu to %llu\n", (unsigned long long)first_seed,
                  (unsigned long long)(first_seed + seeds - 1));
    for (uint64_t i = 0; i < seeds; i++)
        compare(first_seed + i);
}

int main(int argc, char **argv)
{
    if (argc == 3) {
        first_seed = strtoull(argv[1], NULL, 10);
        seeds = strtoull(argv[2], NULL, 10);
    }
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_random)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

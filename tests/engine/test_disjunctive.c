/* Tasks that cannot run at once: job shops of the literature, and small random
 * problems against the trial of every order. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "engine/engine.h"
#include "support/splitmix.h"

/* Job shops: for each job its operations in order, machine and length. Data and
 * optima: J. F. Muth, G. L. Thompson (eds.), Industrial Scheduling, 1963, examples
 * 6x6 (55) and 10x10 (930: J. Carlier, E. Pinson, Management Science 35, 1989).
 * From memory. */
static const int six[6][12] = {
    {2, 1, 0, 3, 1, 6, 3, 7, 5, 3, 4, 6}, {1, 8, 2, 5, 4, 10, 5, 10, 0, 10, 3, 4},
    {2, 5, 3, 4, 5, 8, 0, 9, 1, 1, 4, 7}, {1, 5, 0, 5, 2, 5, 3, 3, 4, 8, 5, 9},
    {2, 9, 1, 3, 4, 5, 5, 4, 0, 3, 3, 1}, {1, 3, 3, 3, 5, 9, 0, 10, 4, 4, 2, 1},
};
static const int ten[10][20] = {
    {0, 29, 1, 78, 2, 9, 3, 36, 4, 49, 5, 11, 6, 62, 7, 56, 8, 44, 9, 21},
    {0, 43, 2, 90, 4, 75, 9, 11, 3, 69, 1, 28, 6, 46, 5, 46, 7, 72, 8, 30},
    {1, 91, 0, 85, 3, 39, 2, 74, 8, 90, 5, 10, 7, 12, 6, 89, 9, 45, 4, 33},
    {1, 81, 2, 95, 0, 71, 4, 99, 6, 9, 8, 52, 7, 85, 3, 98, 9, 22, 5, 43},
    {2, 14, 0, 6, 1, 22, 5, 61, 3, 26, 4, 69, 8, 21, 7, 49, 9, 72, 6, 53},
    {2, 84, 1, 2, 5, 52, 3, 95, 8, 48, 9, 72, 0, 47, 6, 65, 4, 6, 7, 25},
    {1, 46, 0, 37, 3, 61, 2, 13, 6, 32, 5, 21, 9, 32, 8, 89, 7, 30, 4, 55},
    {2, 31, 0, 86, 1, 46, 5, 74, 4, 32, 6, 88, 8, 19, 9, 48, 7, 36, 3, 79},
    {0, 76, 1, 69, 3, 76, 5, 51, 2, 85, 9, 11, 6, 40, 7, 89, 4, 26, 8, 74},
    {1, 85, 0, 13, 2, 61, 6, 7, 8, 64, 9, 76, 5, 47, 3, 52, 4, 90, 7, 45},
};

static int64_t shop(const int *data, int size)
{
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *problem = bk_problem_new(arena);
    int32_t horizon = 0;
    for (int i = 0; i < size * size; i++)
        horizon += data[2 * i + 1];
    bk_var end = bk_problem_var(problem, 0, horizon);
    bk_use uses[10][10];
    for (int job = 0; job < size; job++) {
        bk_var before = BK_CONSTANT;
        int32_t wait = 0;
        for (int k = 0; k < size; k++) {
            int machine = data[2 * (job * size + k)], length = data[2 * (job * size + k) + 1];
            bk_var start = bk_problem_var(problem, 0, horizon);
            bk_problem_lag(problem, before, start, wait, NULL, 0, BK_NO_FACT);
            uses[machine][job] = (bk_use){{start, 0}, {start, length}, 1, BK_ALWAYS};
            before = start;
            wait = length;
        }
        bk_problem_lag(problem, before, end, wait, NULL, 0, BK_NO_FACT);
    }
    for (int machine = 0; machine < size; machine++)
        bk_problem_cumulative(problem, 1, uses[machine], (size_t)size, BK_NO_FACT);
    bk_problem_cost(problem, bk_problem_level(problem), end, 1);
    bk_result result = bk_solve(arena, problem, &(bk_solve_options){.conflicts = 100000});
    assert_int_equal(result.status, BK_OPTIMAL);
    int64_t sum = result.sum[0];
    bk_arena_free(arena);
    return sum;
}

static void test_job_shops(void **state)
{
    (void)state;
    assert_int_equal(shop(six[0], 6), 55);
    assert_int_equal(shop(ten[0], 10), 930);
}

/* Three tasks, each two of which meet on a machine of their own: no machine alone is
 * full, and yet they take 12 one after another. */
static void test_across_machines(void **state)
{
    (void)state;
    for (int32_t last = 7; last <= 8; last++) {
        bk_arena *arena = bk_arena_new(NULL);
        bk_problem *problem = bk_problem_new(arena);
        bk_var start[3];
        for (int i = 0; i < 3; i++)
            start[i] = bk_problem_var(problem, 0, last);
        for (int i = 0; i < 3; i++) {
            bk_var other = start[(i + 1) % 3];
            bk_use uses[] = {{{start[i], 0}, {start[i], 4}, 2, BK_ALWAYS},
                             {{other, 0}, {other, 4}, 2, BK_ALWAYS}};
            bk_problem_cumulative(problem, 3, uses, 2, BK_NO_FACT);
        }
        bk_result result = bk_solve(arena, problem, NULL);
        assert_int_equal(result.status, last == 8 ? BK_OPTIMAL : BK_INFEASIBLE);
        if (last == 7) /* by energy alone, before any search */
            assert_int_equal(result.conflicts, 0);
        bk_arena_free(arena);
    }
}

enum { MOST_TASKS = 6, MACHINES = 3, HORIZON = 60, SEEDS = 400, NO_LAG = -1000 };

typedef struct model {
    int tasks;
    int length[MOST_TASKS];
    bool uses[MOST_TASKS][MACHINES];
    int lag[MOST_TASKS][MOST_TASKS]; /* start to start, or NO_LAG */
} model;

static void make(model *m, uint64_t seed)
{
    uint64_t random = seed;
    m->tasks = 4 + (int)(splitmix64(&random) % (MOST_TASKS - 3));
    for (int i = 0; i < m->tasks; i++) {
        m->length[i] = 1 + (int)(splitmix64(&random) % 6);
        for (int k = 0; k < MACHINES; k++)
            m->uses[i][k] = splitmix64(&random) % 2;
        for (int j = 0; j < m->tasks; j++)
            m->lag[i][j] = NO_LAG;
    }
    for (int i = 0; i < m->tasks; i++) {
        int from = (int)(splitmix64(&random) % (uint64_t)m->tasks);
        int to = (int)(splitmix64(&random) % (uint64_t)m->tasks);
        if (from != to) /* now a wait, now a limit to one */
            m->lag[from][to] = (int)(splitmix64(&random) % 24) - 14;
    }
}

static bool meet(const model *m, int i, int j)
{
    for (int k = 0; k < MACHINES; k++)
        if (m->uses[i][k] && m->uses[j][k])
            return true;
    return false;
}

/* The least end under one order of every two tasks that meet, or INT_MAX. */
static int end_of(const model *m, unsigned orders)
{
    int start[MOST_TASKS] = {0}, end = 0;
    bool moved = true;
    while (moved) {
        moved = false;
        for (int i = 0, pair = 0; i < m->tasks; i++)
            for (int j = 0; j < m->tasks; j++) {
                int least = m->lag[i][j] == NO_LAG ? 0 : start[i] + m->lag[i][j];
                if (i < j && meet(m, i, j)) {
                    bool first = orders >> pair++ & 1;
                    int then = first ? start[i] + m->length[i] : start[j] + m->length[j];
                    int *later = first ? &start[j] : &start[i];
                    if (*later < then) {
                        *later = then;
                        moved = true;
                    }
                }
                if (start[j] < least) {
                    start[j] = least;
                    moved = true;
                }
                if (start[i] > HORIZON || start[j] > HORIZON)
                    return INT32_MAX;
            }
    }
    for (int i = 0; i < m->tasks; i++)
        if (start[i] + m->length[i] > end)
            end = start[i] + m->length[i];
    return end;
}

static int least_end(const model *m)
{
    int pairs = 0, best = INT32_MAX;
    for (int i = 0; i < m->tasks; i++)
        for (int j = i + 1; j < m->tasks; j++)
            pairs += meet(m, i, j);
    for (unsigned orders = 0; orders < 1u << pairs; orders++) {
        int end = end_of(m, orders);
        if (end < best)
            best = end;
    }
    return best;
}

static void test_every_order(void **state)
{
    (void)state;
    int impossible = 0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        model m;
        make(&m, seed);
        bk_arena *arena = bk_arena_new(NULL);
        bk_problem *problem = bk_problem_new(arena);
        bk_var end = bk_problem_var(problem, 0, HORIZON + 10), start[MOST_TASKS];
        for (int i = 0; i < m.tasks; i++) {
            start[i] = bk_problem_var(problem, 0, HORIZON);
            bk_problem_lag(problem, start[i], end, m.length[i], NULL, 0, BK_NO_FACT);
        }
        for (int i = 0; i < m.tasks; i++)
            for (int j = 0; j < m.tasks; j++)
                if (m.lag[i][j] != NO_LAG)
                    bk_problem_lag(problem, start[i], start[j], m.lag[i][j], NULL, 0, BK_NO_FACT);
        for (int k = 0; k < MACHINES; k++) {
            bk_use uses[MOST_TASKS];
            size_t count = 0;
            for (int i = 0; i < m.tasks; i++)
                if (m.uses[i][k])
                    uses[count++] = (bk_use){{start[i], 0}, {start[i], m.length[i]}, 2, BK_ALWAYS};
            bk_problem_cumulative(problem, 3, uses, count, BK_NO_FACT);
        }
        bk_problem_cost(problem, bk_problem_level(problem), end, 1);
        bk_result result = bk_solve(arena, problem, NULL);
        int best = least_end(&m);
        if (result.status != (best == INT32_MAX ? BK_INFEASIBLE : BK_OPTIMAL) ||
            (result.sum && result.sum[0] != best))
            fail_msg("seed %llu: status %d, by trial %d", (unsigned long long)seed,
                     (int)result.status, best);
        impossible += best == INT32_MAX;
        bk_arena_free(arena);
    }
    print_message("%d random problems, %d impossible\n", SEEDS, impossible);
    assert_in_range(impossible, SEEDS / 50, SEEDS / 2);
}

/* Tasks on a resource that rests now and then, and what waits for some of them: the
 * least weighted sum of all starts. Serial scheduling in every order meets a best one,
 * for nothing gets better by starting later (Kolisch, EJOR 90, 1996). */
enum { ROW_TASKS = 6, FOLLOWERS = 2, RESTS = 2, ROW_SEEDS = 600, ROW_END = 200 };

typedef struct row {
    int tasks, places;
    int release[ROW_TASKS], length[ROW_TASKS], amount[ROW_TASKS], weight[ROW_TASKS + FOLLOWERS];
    int after[ROW_TASKS];  /* a task of a smaller number, or -1 */
    int leader[FOLLOWERS]; /* starts a wait after this one */
    int wait[FOLLOWERS];
    bk_hole rests[RESTS];
} row;

static void make_row(row *r, uint64_t seed)
{
    uint64_t random = seed;
    r->tasks = 3 + (int)(splitmix64(&random) % (ROW_TASKS - 2));
    r->places = 1 + (int)(splitmix64(&random) % 3);
    for (int i = 0; i < r->tasks; i++) {
        r->release[i] = (int)(splitmix64(&random) % 15);
        r->length[i] = 1 + (int)(splitmix64(&random) % 7);
        r->amount[i] = 1 + (int)(splitmix64(&random) % (uint64_t)r->places);
        r->after[i] =
            i > 0 && splitmix64(&random) % 3 == 0 ? (int)(splitmix64(&random) % (uint64_t)i) : -1;
    }
    for (int i = 0; i < r->tasks + FOLLOWERS; i++)
        r->weight[i] = (int)(splitmix64(&random) % 4);
    for (int f = 0; f < FOLLOWERS; f++) {
        r->leader[f] = (int)(splitmix64(&random) % (uint64_t)r->tasks);
        r->wait[f] = (int)(splitmix64(&random) % 10);
    }
    for (int k = 0, at = 4; k < RESTS; k++) {
        at += (int)(splitmix64(&random) % 10);
        r->rests[k] = (bk_hole){at, at + 3, BK_NO_FACT};
        at += 3;
    }
}

static bool fits(const row *r, const int *used, int i, int start)
{
    for (int t = start; t < start + r->length[i]; t++) {
        if (used[t] + r->amount[i] > r->places)
            return false;
        for (int k = 0; k < RESTS; k++)
            if (t >= r->rests[k].from && t < r->rests[k].to)
                return false;
    }
    return true;
}

static void use(const row *r, int *used, int i, int start, int times)
{
    for (int t = start; t < start + r->length[i]; t++)
        used[t] += times * r->amount[i];
}

static int least_sum(const row *r, int done, int *start, int *used)
{
    int best = INT32_MAX;
    if (done == (1 << r->tasks) - 1) {
        best = 0;
        for (int i = 0; i < r->tasks; i++)
            best += r->weight[i] * start[i];
        for (int f = 0; f < FOLLOWERS; f++)
            best += r->weight[r->tasks + f] * (start[r->leader[f]] + r->wait[f]);
        return best;
    }
    for (int i = 0; i < r->tasks; i++) {
        int before = r->after[i];
        if (done >> i & 1 || (before >= 0 && !(done >> before & 1)))
            continue;
        int from = r->release[i];
        if (before >= 0 && start[before] + r->length[before] > from)
            from = start[before] + r->length[before];
        while (!fits(r, used, i, from))
            from++;
        start[i] = from;
        use(r, used, i, from, 1);
        int sum = least_sum(r, done | 1 << i, start, used);
        use(r, used, i, from, -1);
        best = sum < best ? sum : best;
    }
    return best;
}

static void test_sums_on_a_resource(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= ROW_SEEDS; seed++) {
        row r;
        make_row(&r, seed);
        bk_arena *arena = bk_arena_new(NULL);
        bk_problem *problem = bk_problem_new(arena);
        bk_var start[ROW_TASKS + FOLLOWERS];
        bk_use uses[ROW_TASKS];
        int level = bk_problem_level(problem);
        for (int i = 0; i < r.tasks; i++) {
            start[i] = bk_problem_var(problem, r.release[i], ROW_END);
            uses[i] = (bk_use){{start[i], 0}, {start[i], r.length[i]}, r.amount[i], BK_ALWAYS};
            bk_problem_holes(problem, uses[i].from, uses[i].to, r.rests, RESTS);
            if (r.after[i] >= 0)
                bk_problem_lag(problem, start[r.after[i]], start[i], r.length[r.after[i]], NULL, 0,
                               BK_NO_FACT);
        }
        for (int f = 0; f < FOLLOWERS; f++) {
            start[r.tasks + f] = bk_problem_var(problem, 0, ROW_END);
            bk_problem_lag(problem, start[r.leader[f]], start[r.tasks + f], r.wait[f], NULL, 0,
                           BK_NO_FACT);
        }
        bk_problem_cumulative(problem, r.places, uses, (size_t)r.tasks, BK_NO_FACT);
        for (int i = 0; i < r.tasks + FOLLOWERS; i++)
            bk_problem_cost(problem, level, start[i], r.weight[i]);
        bk_result result = bk_solve(arena, problem, NULL);
        int scratch[ROW_TASKS], used[2 * ROW_END] = {0}, best = least_sum(&r, 0, scratch, used);
        if (result.status != BK_OPTIMAL || result.sum[0] != best)
            fail_msg("seed %llu: status %d, sum %lld, by trial %d", (unsigned long long)seed,
                     (int)result.status, result.sum ? (long long)result.sum[0] : -1, best);
        bk_arena_free(arena);
    }
}

/* Tasks at a distance from their starts, several of them to a start, against the trial
 * of every assignment: a task of one may then fit in a gap of the other. */
enum { GAP_STARTS = 3, GAP_TASKS = 6, GAP_END = 12, GAP_SEEDS = 1500 };

static bool clash(const bk_use *uses, size_t count, const int32_t *start)
{
    for (size_t a = 0; a < count; a++)
        for (size_t b = a + 1; b < count; b++)
            if (start[uses[a].from.var] + uses[a].from.plus <
                    start[uses[b].from.var] + uses[b].to.plus &&
                start[uses[b].from.var] + uses[b].from.plus <
                    start[uses[a].from.var] + uses[a].to.plus)
                return true;
    return false;
}

static void test_gaps(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= GAP_SEEDS; seed++) {
        uint64_t random = seed;
        bk_arena *arena = bk_arena_new(NULL);
        bk_problem *problem = bk_problem_new(arena);
        bk_use uses[2][GAP_TASKS];
        size_t count[2] = {0, 0};
        int level = bk_problem_level(problem), lag = (int)(splitmix64(&random) % 7) - 2;
        for (bk_var v = 0; v < GAP_STARTS; v++) {
            bk_problem_var(problem, 0, v == 0 && seed % 3 == 0 ? 0 : GAP_END);
            bk_problem_cost(problem, level, v, 1 + v);
        }
        bk_problem_lag(problem, 0, 1, lag, NULL, 0, BK_NO_FACT);
        for (int i = 0; i < GAP_TASKS; i++) {
            bk_var v = (bk_var)(splitmix64(&random) % GAP_STARTS);
            int32_t from = (int32_t)(splitmix64(&random) % 10) - 2;
            int32_t to = from + 1 + (int32_t)(splitmix64(&random) % 3);
            int k = (int)(splitmix64(&random) % 2);
            uses[k][count[k]++] = (bk_use){{v, from}, {v, to}, 1, BK_ALWAYS};
        }
        for (int k = 0; k < 2; k++)
            bk_problem_cumulative(problem, 1, uses[k], count[k], BK_NO_FACT);
        bk_result result = bk_solve(arena, problem, NULL);
        int32_t best = INT32_MAX, start[GAP_STARTS];
        for (start[0] = 0; start[0] <= (seed % 3 == 0 ? 0 : GAP_END); start[0]++)
            for (start[1] = 0; start[1] <= GAP_END; start[1]++)
                for (start[2] = 0; start[2] <= GAP_END; start[2]++) {
                    int32_t sum = start[0] + 2 * start[1] + 3 * start[2];
                    if (sum < best && start[1] >= start[0] + lag &&
                        !clash(uses[0], count[0], start) && !clash(uses[1], count[1], start))
                        best = sum;
                }
        if (result.status != (best == INT32_MAX ? BK_INFEASIBLE : BK_OPTIMAL) ||
            (result.sum && result.sum[0] != best))
            fail_msg("seed %llu: status %d, sum %lld, by trial %d", (unsigned long long)seed,
                     (int)result.status, result.sum ? (long long)result.sum[0] : -1, best);
        bk_arena_free(arena);
    }
}

enum { ROW_MOST = 60 };

/* Chains on one machine: Horn's rule (SIAM J. Appl. Math. 23, 1972) takes the head of a chain with
 * the least mean length, again and again. */
static int64_t by_horn(const int32_t *length, int chains, int steps)
{
    int64_t sum = 0, time = 0;
    int next[ROW_MOST] = {0};
    for (int done = 0; done < chains * steps;) {
        int chain = -1, upto = 0, least = 0, count = 1;
        for (int c = 0; c < chains; c++)
            for (int k = next[c], total = 0; k < steps; k++) {
                total += length[steps * c + k];
                int n = k + 1 - next[c];
                if (chain < 0 || total * count < least * n) {
                    chain = c;
                    upto = k;
                    least = total;
                    count = n;
                }
            }
        for (; next[chain] <= upto; next[chain]++, done++) {
            sum += time;
            time += length[steps * chain + next[chain]];
        }
    }
    return sum;
}

static void full_row(uint64_t seed, int chains, int steps)
{
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *problem = bk_problem_new(arena);
    bk_use uses[ROW_MOST];
    int32_t length[ROW_MOST];
    int level = bk_problem_level(problem), count = chains * steps;
    for (int i = 0; i < count; i++) {
        length[i] = 3 + (int32_t)(splitmix64(&seed) % 26);
        bk_var start = bk_problem_var(problem, 0, 30 * count);
        uses[i] = (bk_use){{start, 0}, {start, length[i]}, 1, BK_ALWAYS};
        if (i % steps > 0)
            bk_problem_lag(problem, uses[i - 1].from.var, start, length[i - 1], NULL, 0,
                           BK_NO_FACT);
        bk_problem_cost(problem, level, start, 1);
    }
    bk_problem_cumulative(problem, 1, uses, (size_t)count, BK_NO_FACT);
    bk_result result = bk_solve(arena, problem, &(bk_solve_options){.conflicts = 20000});
    assert_int_equal(result.status, BK_OPTIMAL);
    assert_int_equal(result.sum[0], by_horn(length, chains, steps));
    assert_in_range(result.conflicts, 0, 50);
    bk_arena_free(arena);
}

/* One cook, ten dishes of three steps each or twelve of five, all for one hour: without the bound
 * by the preemptive relaxation this is out of reach. */
static void test_a_full_row(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= 10; seed++) {
        full_row(seed, 10, 3);
        full_row(seed, 12, 5);
    }
}

/* Groups that have nothing to do with one another, each of three tasks of which one runs at a time,
 * with three waits behind each of them: what a group costs is found by itself, in a few conflicts,
 * however far the best sum known is from the bound of the whole. */
static void test_sums_of_groups(void **state)
{
    (void)state;
    enum { GROUPS = 12, BEHIND = 3 };
    uint64_t random = 3;
    bk_arena *arena = bk_arena_new(NULL);
    bk_problem *problem = bk_problem_new(arena);
    int level = bk_problem_level(problem);
    int64_t sum = 0;
    for (int g = 0; g < GROUPS; g++) {
        bk_use uses[3];
        int32_t length[3], long_one = 0, short_one = INT32_MAX, all = 0;
        for (int i = 0; i < 3; i++) {
            length[i] = 3 + (int32_t)(splitmix64(&random) % 10);
            bk_var start = bk_problem_var(problem, 0, 2000);
            uses[i] = (bk_use){{start, 0}, {start, length[i]}, 1, BK_ALWAYS};
            bk_problem_cost(problem, level, start, 1);
            for (int k = 0; k < BEHIND; k++) {
                bk_var behind = bk_problem_var(problem, 0, 2000);
                bk_problem_lag(problem, start, behind, 10 * k, NULL, 0, BK_NO_FACT);
                bk_problem_cost(problem, level, behind, 1);
                sum += 10 * k;
            }
            all += length[i];
            long_one = length[i] > long_one ? length[i] : long_one;
            short_one = length[i] < short_one ? length[i] : short_one;
        }
        /* The shortest first: Smith's rule (Naval Research Logistics Quarterly 3, 1956). */
        sum += (BEHIND + 1) * (short_one + (all - long_one));
        bk_problem_cumulative(problem, 1, uses, 3, BK_NO_FACT);
    }
    bk_result result = bk_solve(arena, problem, &(bk_solve_options){.conflicts = 20000});
    assert_int_equal(result.status, BK_OPTIMAL);
    assert_int_equal(result.sum[0], sum);
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_job_shops),      cmocka_unit_test(test_across_machines),
        cmocka_unit_test(test_every_order),    cmocka_unit_test(test_sums_on_a_resource),
        cmocka_unit_test(test_gaps),           cmocka_unit_test(test_a_full_row),
        cmocka_unit_test(test_sums_of_groups),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

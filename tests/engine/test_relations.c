/* What longest paths decide before any search: problems that bounds alone refute minute by
 * minute to the end of the horizon. Each is worked out by hand beside it, is refuted without a
 * conflict whatever the horizon, and is possible once one number is another. */
#include "engine/engine.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

enum { DAY = 1440, SHORT = DAY, LONG = 60 * DAY };

typedef bk_problem *maker(bk_arena *arena, int32_t horizon, bool possible);

static bk_point at(bk_var var, int32_t plus)
{
    return (bk_point){var, plus};
}

static void after(bk_problem *problem, bk_var from, bk_var to, int32_t least)
{
    bk_problem_lag(problem, from, to, least, NULL, 0, BK_NO_FACT);
}

/* Held from the end of `first` (5) to that of `last` (5), with a use of 30 between. */
static bk_problem *held_and_used(bk_arena *arena, int32_t horizon, bool possible)
{
    bk_problem *problem = bk_problem_new(arena);
    bk_var first = bk_problem_var(problem, 0, horizon), used = bk_problem_var(problem, 0, horizon),
           last = bk_problem_var(problem, 0, horizon);
    after(problem, first, used, 5);
    after(problem, used, last, 30);
    bk_use uses[2] = {{at(first, 0), at(last, 5), 1, BK_ALWAYS},
                      {at(used, 0), at(used, 30), 1, BK_ALWAYS}};
    bk_problem_cumulative(problem, possible ? 2 : 1, uses, 2, BK_NO_FACT);
    return problem;
}

/* Two are held to the same end, from starts that may be far apart. */
static bk_problem *same_end(bk_arena *arena, int32_t horizon, bool possible)
{
    bk_problem *problem = bk_problem_new(arena);
    bk_var one = bk_problem_var(problem, 0, horizon), two = bk_problem_var(problem, 0, horizon),
           end = bk_problem_var(problem, 0, horizon);
    after(problem, one, end, 10);
    after(problem, two, end, 20);
    bk_use uses[2] = {{at(one, 0), at(end, possible ? -(horizon / 2) : 0), 1, BK_ALWAYS},
                      {at(two, 0), at(end, 0), 1, BK_ALWAYS}};
    bk_problem_cumulative(problem, 1, uses, 2, BK_NO_FACT);
    return problem;
}

/* Neither order of two 60s: one has to start within 50 of the other, either way. */
static bk_problem *close_by(bk_arena *arena, int32_t horizon, bool possible)
{
    bk_problem *problem = bk_problem_new(arena);
    bk_var one = bk_problem_var(problem, 0, horizon), two = bk_problem_var(problem, 0, horizon);
    bk_var ends = bk_problem_var(problem, 0, horizon);
    after(problem, one, two, -50);
    after(problem, two, one, possible ? -60 : -50);
    after(problem, one, ends, 60);
    after(problem, two, ends, 60);
    bk_use uses[2] = {{at(one, 0), at(one, 60), 1, BK_ALWAYS},
                      {at(two, 0), at(two, 60), 1, BK_ALWAYS}};
    bk_problem_cumulative(problem, 1, uses, 2, BK_NO_FACT);
    return problem;
}

/* Three of which any two fit: the third begins inside both others. */
static bk_problem *three_at_once(bk_arena *arena, int32_t horizon, bool possible)
{
    bk_problem *problem = bk_problem_new(arena);
    bk_var start[3], end[3];
    for (int i = 0; i < 3; i++) {
        start[i] = bk_problem_var(problem, 0, horizon);
        end[i] = bk_problem_var(problem, 0, horizon);
        after(problem, start[i], end[i], 10);
    }
    after(problem, start[0], start[2], 0);
    after(problem, start[1], start[2], 0);
    after(problem, start[2], end[0], 1);
    after(problem, start[2], end[1], possible ? 0 : 1);
    bk_use uses[3];
    for (int i = 0; i < 3; i++)
        uses[i] = (bk_use){at(start[i], 0), at(end[i], 0), 1, BK_ALWAYS};
    bk_problem_cumulative(problem, 2, uses, 3, BK_NO_FACT);
    return problem;
}

/* Two machines for three that have to overlap: which is on which does not matter. */
static bk_problem *two_machines(bk_arena *arena, int32_t horizon, bool possible)
{
    bk_problem *problem = bk_problem_new(arena);
    bk_var start[3], on[3];
    for (int i = 0; i < 3; i++) {
        start[i] = bk_problem_var(problem, 0, horizon);
        on[i] = bk_problem_var(problem, 0, 1);
    }
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            if (i != j)
                after(problem, start[i], start[j], possible && (i == 0 || j == 0) ? -30 : -20);
    bk_use first[3], second[3];
    for (int i = 0; i < 3; i++) {
        bk_var off = bk_problem_var(problem, 0, 1);
        bk_bound either[2] = {{on[i], 1, true}, {off, 1, true}};
        bk_problem_clause(problem, either, 2, BK_NO_FACT);
        first[i] = (bk_use){at(start[i], 0), at(start[i], 30), 1, on[i]};
        second[i] = (bk_use){at(start[i], 0), at(start[i], 30), 1, off};
    }
    bk_problem_cumulative(problem, 1, first, 3, BK_NO_FACT);
    bk_problem_cumulative(problem, 1, second, 3, BK_NO_FACT);
    return problem;
}

/* So many of one length that start from `first` on and at most `reach` after it. */
static bk_problem *gathered(bk_arena *arena, int32_t horizon, int count, int32_t length,
                            int32_t reach, int32_t capacity)
{
    bk_problem *problem = bk_problem_new(arena);
    bk_var first = bk_problem_var(problem, 0, horizon);
    bk_use uses[5];
    for (int i = 0; i < count; i++) {
        bk_var start = bk_problem_var(problem, 0, horizon);
        after(problem, first, start, 0);
        after(problem, start, first, -reach);
        uses[i] = (bk_use){at(start, 0), at(start, length), 1, BK_ALWAYS};
    }
    bk_problem_cumulative(problem, capacity, uses, (size_t)count, BK_NO_FACT);
    return problem;
}

/* Three 20s have to start within 30 (with 40 there is room: 0, 20, 40) of the end of another. */
static bk_problem *three_in_half_an_hour(bk_arena *arena, int32_t horizon, bool possible)
{
    return gathered(arena, horizon, 3, 20, possible ? 40 : 30, 1);
}

/* Five 26s within 74 of one another, two at a time: of 26 only two go one after the other, so that
 * four is the most, though there would be time for 148. */
static bk_problem *five_by_two(bk_arena *arena, int32_t horizon, bool possible)
{
    return gathered(arena, horizon, 5, 26, possible ? 52 : 48, 2);
}

static const struct named {
    const char *name;
    maker *make;
    int64_t most_conflicts;
} CASES[] = {
    {"held and used", held_and_used, 0}, {"same end", same_end, 0},
    {"close by", close_by, 0},           {"three at once", three_at_once, 0},
    {"two machines", two_machines, 10},  {"three in half an hour", three_in_half_an_hour, 0},
    {"five by two", five_by_two, 200},
};

static void test_refuted_whatever_the_horizon(void **unused)
{
    (void)unused;
    static const int32_t horizons[] = {SHORT, LONG};
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++)
        for (int h = 0; h < 2; h++) {
            bk_arena *arena = bk_arena_new(NULL);
            bk_result no = bk_solve(arena, CASES[i].make(arena, horizons[h], false), NULL);
            if (no.status != BK_INFEASIBLE || no.conflicts > CASES[i].most_conflicts)
                fail_msg("%s, %d min: status %d, %d conflicts", CASES[i].name, (int)horizons[h],
                         (int)no.status, (int)no.conflicts);
            bk_problem *can = CASES[i].make(arena, horizons[h], true);
            bk_result yes = bk_solve(arena, can, NULL);
            if (!yes.value || !bk_problem_check(can, yes.value, NULL, NULL))
                fail_msg("%s, %d min: possible, but status %d", CASES[i].name, (int)horizons[h],
                         (int)yes.status);
            bk_arena_free(arena);
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_refuted_whatever_the_horizon)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* How soon what cannot be is known to be so: made-up plans, in processor time.
 *
 * Usage: bench_impossible engine|why|timeline [FIRST_SEED COUNT [DAYS [each]]]
 * engine: plan to problem, solved without objective. why: with the reasons. timeline:
 * all that a cook waits for, remedies too. COUNT 0: the named plans, over several
 * horizons. DAYS 0: 1 to 14, as it comes. each: a line a plan. */
#include "compile/compile.h"
#include "impossible.h"
#include "schedule/schedule.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { EFFORT = BK_DEFAULT_EFFORT, SLOWEST = 5 };

static bool load(void *context, bk_arena *arena, const char *path, size_t most, const char **text,
                 size_t *length, const char **problem)
{
    (void)path;
    (void)most;
    (void)problem;
    *length = strlen(context);
    *text = bk_copy(arena, context, *length);
    return true;
}

static double now(void)
{
    return (double)clock() / CLOCKS_PER_SEC;
}

enum asked { THE_ENGINE, THE_REASONS, THE_TIMELINE };

typedef struct sample {
    double seconds;
    uint64_t seed;
} sample;

typedef struct tally {
    sample *refuted;
    size_t count, possible, unknown, unread;
    double possible_slowest;
} tally;

static enum bk_status solve(bk_arena *arena, const bk_plan *plan, bk_report *report,
                            enum asked what, int64_t *conflicts, size_t *facts)
{
    if (what == THE_ENGINE) {
        bk_compiled *compiled =
            bk_compile(arena, plan, &(bk_compile_options){.no_objective = true});
        bk_result result =
            bk_solve(arena, compiled->problem,
                     &(bk_solve_options){.conflicts = EFFORT,
                                         .work = (int64_t)EFFORT * BK_WORK_A_CONFLICT,
                                         .facts = compiled->fact_count,
                                         .first_only = true});
        *conflicts = result.conflicts;
        return result.status;
    }
    const bk_timeline *timeline =
        bk_schedule(arena, plan, &(bk_schedule_options){.remedies = what == THE_TIMELINE}, report);
    if (!timeline)
        return BK_UNKNOWN;
    *conflicts = timeline->conflicts;
    *facts = timeline->why_count;
    return timeline->status == BK_TIMELINE_IMPOSSIBLE ? BK_INFEASIBLE
           : timeline->status == BK_TIMELINE_UNKNOWN  ? BK_UNKNOWN
                                                      : BK_FEASIBLE;
}

/* One plan: refuted, possible, or not known. */
static void measure(tally *t, enum asked what, const char *json, uint64_t seed, bool print)
{
    bk_arena *arena = bk_arena_new(NULL);
    bk_files files = {load, bk_copy_string(arena, json)};
    bk_report report = bk_report_new(arena);
    bk_plan *plan = bk_plan_read(arena, &files, "plan.json", NULL, &report);
    if (!plan) {
        t->unread++;
        bk_arena_free(arena);
        return;
    }
    int64_t conflicts = 0;
    size_t facts = 0;
    double begin = now();
    enum bk_status status = solve(arena, plan, &report, THE_ENGINE, &conflicts, &facts);
    if (what != THE_ENGINE && status == BK_INFEASIBLE) {
        begin = now();
        status = solve(arena, plan, &report, what, &conflicts, &facts);
    }
    double seconds = now() - begin;
    if (status == BK_INFEASIBLE) {
        t->refuted[t->count++] = (sample){seconds, seed};
    } else if (status == BK_UNKNOWN) {
        t->unknown++;
        t->refuted[t->count++] = (sample){seconds, seed};
    } else {
        t->possible++;
        if (seconds > t->possible_slowest)
            t->possible_slowest = seconds;
    }
    if (print)
        printf("%" PRIu64 " %s %.4f s, %" PRId64 " conflicts, %zu facts\n", seed,
               status == BK_INFEASIBLE ? "impossible"
               : status == BK_UNKNOWN  ? "unknown"
                                       : "possible",
               seconds, conflicts, facts);
    bk_arena_free(arena);
}

static int slower_first(const void *a, const void *b)
{
    const sample *x = a, *y = b;
    return (x->seconds < y->seconds) - (x->seconds > y->seconds);
}

static void named_plans(enum asked what)
{
    static const int days[] = {1, 7, 14, 60};
    for (int i = 0; i < IMPOSSIBLE_NAMED; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        const char *reason;
        printf("named %d, seconds by days:", i);
        for (int d = 0; d < 4; d++) {
            sample one[2];
            tally t = {.refuted = one};
            measure(&t, what, impossible_named(arena, i, days[d], &reason), 0, false);
            printf(" %d: %.4f%s", days[d], t.count ? one[0].seconds : -1.0,
                   t.unknown    ? "(unknown)"
                   : t.possible ? "(possible)"
                   : t.unread   ? "(unread)"
                                : "");
            fflush(stdout);
        }
        printf("  %s\n", reason);
        bk_arena_free(arena);
    }
}

int main(int argc, char **argv)
{
    enum asked what = argc > 1 && strcmp(argv[1], "timeline") == 0 ? THE_TIMELINE
                      : argc > 1 && strcmp(argv[1], "why") == 0    ? THE_REASONS
                                                                   : THE_ENGINE;
    uint64_t first = argc > 3 ? strtoull(argv[2], NULL, 10) : 1;
    uint64_t count = argc > 3 ? strtoull(argv[3], NULL, 10) : 3000;
    int days = argc > 4 ? atoi(argv[4]) : 0;
    bool print = argc > 5;
    if (count == 0)
        named_plans(what);
    tally t = {.refuted = calloc((size_t)count + 1, sizeof *t.refuted)};
    for (uint64_t i = 0; i < count; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        measure(&t, what, impossible_plan(arena, first + i, days), first + i, print);
        bk_arena_free(arena);
    }
    if (t.count > 0) {
        qsort(t.refuted, t.count, sizeof *t.refuted, slower_first);
        double sum = 0;
        size_t second = 0, tenth = 0;
        for (size_t i = 0; i < t.count; i++) {
            sum += t.refuted[i].seconds;
            second += t.refuted[i].seconds > 1;
            tenth += t.refuted[i].seconds > 0.1;
        }
        printf("%zu impossible (%zu not known within the effort), %zu possible (slowest %.2f s), "
               "%zu not read\n",
               t.count, t.unknown, t.possible, t.possible_slowest, t.unread);
        printf("seconds: sum %.2f, median %.4f, largest %.3f; over 1 s %zu, over 0.1 s %zu\n", sum,
               t.refuted[t.count / 2].seconds, t.refuted[0].seconds, second, tenth);
        for (size_t i = 0; i < SLOWEST && i < t.count; i++)
            printf("seed %" PRIu64 ": %.3f s\n", t.refuted[i].seed, t.refuted[i].seconds);
    }
    free(t.refuted);
    return 0;
}

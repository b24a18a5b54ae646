/* What is proved of made-up dinners, level by level, in processor time.
 *
 * Usage: bench_dinners [buffet] [FIRST_SEED COUNT [EFFORT [each]]]
 * buffet: twelve dishes of five hands-on steps. each: a line a plan. */
#include "dinners.h"
#include "schedule/schedule.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

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

typedef struct tally {
    double *seconds;
    int64_t possible, start, interruptions, optimal, impossible, unknown, wrong;
} tally;

static const char *const STATUS[] = {
    [BK_TIMELINE_OPTIMAL] = "optimal",
    [BK_TIMELINE_FEASIBLE] = "feasible",
    [BK_TIMELINE_IMPOSSIBLE] = "impossible",
    [BK_TIMELINE_UNKNOWN] = "unknown",
};

static void count(tally *t, const bk_timeline *timeline)
{
    if (!timeline) {
        t->wrong++;
        return;
    }
    if (timeline->status == BK_TIMELINE_IMPOSSIBLE)
        t->impossible++;
    if (timeline->status == BK_TIMELINE_UNKNOWN)
        t->unknown++;
    if (timeline->status != BK_TIMELINE_OPTIMAL && timeline->status != BK_TIMELINE_FEASIBLE)
        return;
    bool start = timeline->bound_start == timeline->start;
    t->possible++;
    t->start += start;
    t->interruptions += start && timeline->bound_interruptions == timeline->interruptions;
    t->optimal += timeline->status == BK_TIMELINE_OPTIMAL;
}

static void measure(tally *t, const char *json, uint64_t seed, int64_t effort, size_t place,
                    bool print)
{
    bk_arena *arena = bk_arena_new(NULL);
    bk_files files = {load, bk_copy_string(arena, json)};
    bk_report report = bk_report_new(arena);
    bk_plan *plan = bk_plan_read(arena, &files, "plan.json", NULL, &report);
    double begin = now();
    const bk_timeline *timeline =
        plan ? bk_schedule(arena, plan,
                           &(bk_schedule_options){.effort = effort, .unexplained = true}, &report)
             : NULL;
    t->seconds[place] = now() - begin;
    count(t, timeline);
    if (print && timeline)
        printf("%" PRIu64 ",%zu,%s,%.3f,%" PRId64 ",%" PRId64 ",%" PRId64 ",%" PRId64 ",%" PRId64
               ",%" PRId64 "\n",
               seed, plan->stage_count, STATUS[timeline->status], t->seconds[place],
               timeline->conflicts, (int64_t)(timeline->bound_start - timeline->start),
               timeline->interruptions, timeline->bound_interruptions, timeline->waiting,
               timeline->bound_waiting);
    bk_arena_free(arena);
}

static int ascending(const void *a, const void *b)
{
    const double *x = a, *y = b;
    return (*x > *y) - (*x < *y);
}

int main(int argc, char **argv)
{
    bool buffet = argc > 1 && strcmp(argv[1], "buffet") == 0;
    if (buffet) {
        argc--;
        argv++;
    }
    uint64_t first = argc > 2 ? strtoull(argv[1], NULL, 10) : 1;
    size_t plans = argc > 2 ? (size_t)strtoull(argv[2], NULL, 10) : buffet ? 20 : 200;
    int64_t effort = argc > 3 ? strtoll(argv[3], NULL, 10) : 0;
    bool each = argc > 4;
    if (plans == 0)
        return 1;
    tally t = {.seconds = calloc(plans, sizeof *t.seconds)};
    if (!t.seconds)
        return 1;
    if (each)
        puts("seed,stages,status,seconds,conflicts,start_gap,interruptions,bound,waiting,bound");
    for (size_t i = 0; i < plans; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        uint64_t seed = first + i;
        measure(&t, buffet ? made_up_buffet(arena, seed) : made_up_dinner(arena, seed), seed,
                effort, i, each);
        bk_arena_free(arena);
    }
    qsort(t.seconds, plans, sizeof *t.seconds, ascending);
    double sum = 0;
    for (size_t i = 0; i < plans; i++)
        sum += t.seconds[i];
    printf("%zu plans: %" PRId64 " possible, %" PRId64 " impossible, %" PRId64
           " not known, %" PRId64 " wrong\n",
           plans, t.possible, t.impossible, t.unknown, t.wrong);
    if (t.possible > 0)
        printf("proved of the possible: first start %.1f %%, interruptions %.1f %%, all %.1f %%\n",
               100.0 * (double)t.start / (double)t.possible,
               100.0 * (double)t.interruptions / (double)t.possible,
               100.0 * (double)t.optimal / (double)t.possible);
    printf("seconds: sum %.1f, median %.3f, 95 %% within %.3f, largest %.3f\n", sum,
           t.seconds[plans / 2], t.seconds[plans * 19 / 20], t.seconds[plans - 1]);
    free(t.seconds);
    return t.wrong > 0;
}

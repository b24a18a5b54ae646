/* How soon a day answers: generated suppers of about 40 stages, stopped when half of them have
 * begun, and a slip; processor time of the day's answer, that the cook waits for. The plan's own
 * timeline is made before and does not count. Usage: bench_day [STAGES]. */
#define _DEFAULT_SOURCE
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "day/day.h"
#include "day/journal.h"
#include "support/splitmix.h"

enum { PLANS = 20, STAGES_A_DISH = 7, MOST = 1024 };

static int between(uint64_t *state, int low, int high)
{
    return low + (int)(splitmix64(state) % (uint64_t)(high - low + 1));
}

/* Prepared, baked, cooled, filled, chilled, finished, with a sauce beside it. */
static const char *make_plan(bk_arena *arena, uint64_t seed, int stages)
{
    static const int ovens[] = {150, 180, 200, 220};
    uint64_t state = seed;
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "{\"occasion\":\"bench\",\"timezone\":\"UTC\",\"serve\":\"2026-11-07 19:30\","
                      "\"earliest\":\"2026-11-07 07:00\",\"kitchen\":{\"cooks\":2,\"equipment\":{"
                      "\"oven\":{\"kind\":\"oven\",\"count\":2,\"shelves\":2},\"hob\":{\"kind\":"
                      "\"hob\"},\"fridge\":{\"kind\":\"cold\",\"places\":8}}},\"dishes\":[");
    for (int dish = 0; dish * STAGES_A_DISH < stages; dish++) {
        bk_text_addf(&out,
                     "%s{\"dish\":\"d%d\",\"keeps\":\"6 h\",\"stages\":["
                     "{\"id\":\"mix\",\"do\":\"Mix\",\"active\":\"%d min\"},"
                     "{\"id\":\"bake\",\"do\":\"Bake\",\"passive\":\"%d min\",\"after\":{\"stage\":"
                     "\"mix\",\"within\":\"30 min\"},\"uses\":{\"oven\":{\"at\":\"%d C\"}}},",
                     dish ? "," : "", dish, between(&state, 8, 20), between(&state, 15, 50),
                     ovens[splitmix64(&state) % 4]);
        bk_text_addf(&out,
                     "{\"id\":\"cool\",\"do\":\"Cool\",\"passive\":\"%d min\"},"
                     "{\"id\":\"sauce\",\"do\":\"Cook the sauce\",\"active\":\"%d min\",\"after\":"
                     "[],\"uses\":{\"hob\":1}},",
                     between(&state, 20, 50), between(&state, 5, 20));
        bk_text_addf(&out,
                     "{\"id\":\"fill\",\"do\":\"Fill\",\"active\":\"%d min\",\"after\":[\"cool\",{"
                     "\"stage\":\"sauce\",\"within\":\"2 h\"}],\"holds\":{\"fridge\":{\"until\":"
                     "\"chill\"}}},{\"id\":\"chill\",\"do\":\"Chill\",\"passive\":\"%d min\"},"
                     "{\"id\":\"finish\",\"do\":\"Finish\",\"active\":\"%d min\"}]}",
                     between(&state, 5, 15), between(&state, 60, 200), between(&state, 3, 10));
    }
    bk_text_add(&out, "]}");
    return out.data;
}

static bool load(void *context, bk_arena *arena, const char *path, size_t most, const char **text,
                 size_t *length, const char **problem)
{
    (void)arena;
    (void)path;
    (void)most;
    (void)problem;
    *text = context;
    *length = strlen(*text);
    return true;
}

/* Processor time: other work on the machine does not count. */
static double seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

static int by_size(const void *left, const void *right)
{
    const double *a = left, *b = right;
    return (*a > *b) - (*a < *b);
}

typedef struct slip {
    const char *name;
    enum bk_day_what what;
    int64_t minutes;
} bench_slip;

/* Of the stage that runs and began last. */
static bk_day_entry said(const bk_plan *plan, const bk_timeline *first, bk_instant now,
                         const bench_slip *slip)
{
    bk_day_entry entry = {.what = slip->what, .at = now, .temperature_c = NAN};
    for (size_t i = 0; i < first->stage_count; i++) {
        const bk_placed *placed = &first->stages[i];
        const bk_stage *stage = &plan->stages[placed->stage];
        if (placed->start > now || (entry.stage && placed->end <= now))
            continue;
        entry.dish = plan->dishes[stage->dish].name;
        entry.stage = stage->id;
        entry.at = slip->what == BK_DAY_DONE ? now : now > placed->start ? now : placed->start;
        entry.minutes = slip->minutes;
    }
    if (slip->what == BK_DAY_OUT)
        entry.stage = NULL;
    return entry;
}

static bool run(int stages, const bench_slip *slip)
{
    double times[PLANS];
    int late = 0, proved = 0;
    size_t count = 0;
    for (int i = 0; i < PLANS; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        bk_files files = {.load = load, .context = (void *)make_plan(arena, (uint64_t)i, stages)};
        bk_report report = bk_report_new(arena);
        bk_plan *plan = bk_plan_read(arena, &files, "bench.json", NULL, &report);
        bk_schedule_options quick = {.effort = 20000, .unexplained = true};
        bk_timeline *first = plan ? bk_schedule(arena, plan, &quick, &report) : NULL;
        if (!first || first->stage_count == 0) {
            fprintf(stderr, "plan %d: no timeline\n", i);
            return false;
        }
        bk_instant now = first->stages[first->stage_count / 2].start + 1;
        bk_day_entry entry = said(plan, first, now, slip);
        bk_journal journal = {.there = true,
                              .begun = first->start,
                              .entries = &entry,
                              .count = slip->name[0] == 'n' ? 0 : 1};
        double begin = seconds();
        bk_day *day = bk_day_make(arena, plan, &journal, first, now, true, 0, NULL, &report);
        times[i] = seconds() - begin;
        if (!day) {
            fprintf(stderr, "plan %d: no day\n", i);
            return false;
        }
        count = plan->stage_count;
        for (size_t d = 0; d < plan->dish_count; d++)
            if (day->late[d] > 0) {
                late++;
                break;
            }
        proved += day->timeline->status == BK_TIMELINE_OPTIMAL && day->late_proved;
        bk_arena_free(arena);
    }
    qsort(times, PLANS, sizeof *times, by_size);
    printf("%zu,%s,%d,%d,%d,%.3f,%.3f\n", count, slip->name, PLANS, late, proved, times[PLANS / 2],
           times[PLANS - 1]);
    return true;
}

int main(int argc, char **argv)
{
    static const bench_slip slips[] = {
        {"nothing said", BK_DAY_BEGUN, 0},       {"longer by 25 min", BK_DAY_LONGER, 25},
        {"longer by 90 min", BK_DAY_LONGER, 90}, {"done now", BK_DAY_DONE, 0},
        {"skipped", BK_DAY_SKIPPED, 0},          {"a dish dropped", BK_DAY_OUT, 0}};
    int stages = argc > 1 ? (int)strtol(argv[1], NULL, 10) : 40;
    bool good = true;
    puts("stages,slip,plans,late,proved_best,median_seconds,most_seconds");
    for (size_t i = 0; i < sizeof slips / sizeof *slips; i++)
        good = run(stages, &slips[i]) && good;
    return good ? 0 : 1;
}

/* How a plan's size tells: generated kitchens of 100, 300, 1,000 and 3,000 stages
 * over several days, read, scheduled and verified; time and memory of each, each in
 * a process of its own. Usage: bench_growth [EFFORT] [STAGES ...]. */
#define _DEFAULT_SOURCE
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "bakeset.h"
#include "base/base.h"
#include "support/splitmix.h"

enum { STAGES_A_DISH = 7, DISHES_A_DAY = 14 };

static int between(uint64_t *state, int low, int high)
{
    return low + (int)(splitmix64(state) % (uint64_t)(high - low + 1));
}

/* Prepared, baked, cooled, filled, chilled in a place of the fridge, decorated; with
 * a sauce made beside it. */
static void add_dish(bk_text *out, uint64_t *state, int dish, int day)
{
    static const int ovens[] = {120, 150, 180, 200, 220};
    static const char *const hours[] = {"12:30", "16:00", "19:00", "20:30"};
    int month_day = 1 + day;
    bk_text_addf(out,
                 "%s{\"dish\":\"d%d\",\"serve\":\"2026-11-%02d %s\",\"keeps\":\"2 d\",\"stages\":["
                 "{\"id\":\"mix\",\"do\":\"Mix\",\"active\":\"%d min\",\"uses\":{\"mixer\":1}},",
                 dish ? "," : "", dish, month_day, hours[splitmix64(state) % 4],
                 between(state, 8, 20));
    bk_text_addf(out,
                 "{\"id\":\"bake\",\"do\":\"Bake\",\"passive\":\"%d min\",\"after\":[{\"stage\":"
                 "\"mix\",\"within\":\"30 min\"}],\"uses\":{\"oven\":{\"at\":\"%d C\"}}},",
                 between(state, 15, 50), ovens[splitmix64(state) % 5]);
    bk_text_addf(out, "{\"id\":\"cool\",\"do\":\"Cool\",\"passive\":\"%d min\"},",
                 between(state, 30, 60));
    bk_text_addf(out,
                 "{\"id\":\"sauce\",\"do\":\"Cook the sauce\",\"active\":\"%d min\",\"after\":[],"
                 "\"uses\":{\"hob\":1}},",
                 between(state, 5, 20));
    bk_text_addf(out,
                 "{\"id\":\"fill\",\"do\":\"Fill\",\"active\":\"%d min\",\"after\":[\"cool\",{"
                 "\"stage\":\"sauce\",\"within\":\"2 h\"}],\"holds\":{\"fridge\":{\"until\":"
                 "\"chill\"}}},",
                 between(state, 5, 15));
    bk_text_addf(out, "{\"id\":\"chill\",\"do\":\"Chill\",\"passive\":\"%d min\"},",
                 between(state, 120, 360));
    bk_text_addf(out, "{\"id\":\"finish\",\"do\":\"Finish\",\"active\":\"%d min\"}]}",
                 between(state, 3, 10));
}

static const char *make_plan(bk_arena *arena, int stages)
{
    uint64_t state = (uint64_t)stages;
    int dishes = (stages + STAGES_A_DISH - 1) / STAGES_A_DISH;
    int days = (dishes + DISHES_A_DAY - 1) / DISHES_A_DAY;
    /* A dish more than a day's fourteen goes to another cook and another oven. */
    int crowd = days > 28 ? (days + 27) / 28 : 1;
    bk_text out = bk_text_new(arena);
    bk_text_addf(&out,
                 "{\"occasion\":\"growth\",\"timezone\":\"Europe/London\",\"earliest\":"
                 "\"2026-10-28 06:00\",\"kitchen\":{\"cooks\":%d,\"asleep\":\"22:30-06:30\","
                 "\"equipment\":{\"oven\":{\"kind\":\"oven\",\"count\":%d,\"shelves\":2},\"hob\":{"
                 "\"kind\":\"hob\"},\"fridge\":{\"kind\":\"cold\",\"places\":%d},\"mixer\":{"
                 "\"count\":2}}},\"dishes\":[",
                 2 * crowd, 2 * crowd, 8 * crowd);
    for (int dish = 0; dish < dishes; dish++)
        add_dish(&out, &state, dish, dish / DISHES_A_DAY % 28);
    bk_text_add(&out, "]}");
    return out.data;
}

/* Processor time: other work on the machine does not count. */
static double seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

static int run(int stages, int64_t effort)
{
    bk_arena *arena = bk_arena_new(NULL);
    const char *text = make_plan(arena, stages);
    bakeset *session = bakeset_new();
    double begin = seconds();
    int result = (int)bakeset_read_text(session, "growth.json", text, strlen(text), NULL);
    double read = seconds();
    if (result == BAKESET_OK)
        result = (int)bakeset_schedule(
            session, &(struct bakeset_schedule_options){
                         .size = sizeof(struct bakeset_schedule_options), .effort = effort});
    double scheduled = seconds();
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    const char *json = bakeset_write(session, BAKESET_JSON, NULL, NULL);
    char status[16] = "none";
    if (json && strstr(json, "\"status\""))
        sscanf(strstr(json, "\"status\""), "\"status\":%*[ \t]\"%15[a-z]", status);
    printf("%d,%s,%d,%.2f,%.2f,%ld\n", stages, status, result, read - begin, scheduled - read,
           usage.ru_maxrss / 1024);
    for (size_t i = 0; i < bakeset_message_count(session) && i < 5; i++)
        fputs(bakeset_message(session, i)->text, stderr);
    bakeset_free(session);
    bk_arena_free(arena);
    return result;
}

int main(int argc, char **argv)
{
    static const int sizes[] = {100, 300, 1000, 3000};
    int64_t effort = argc > 1 ? strtoll(argv[1], NULL, 10) : 200000;
    int count = argc > 2 ? argc - 2 : 4, failed = 0;
    puts("stages,status,result,read_seconds,schedule_seconds,peak_mib");
    for (int i = 0; i < count; i++) {
        int stages = argc > 2 ? (int)strtol(argv[i + 2], NULL, 10) : sizes[i];
        fflush(stdout);
        pid_t child = fork();
        if (child == 0)
            exit(run(stages, effort) != BAKESET_OK);
        int status = 0;
        waitpid(child, &status, 0);
        failed |= status != 0;
    }
    return failed;
}

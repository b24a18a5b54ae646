/* Measures the engine on published instances.
 *
 * bench DATA_DIR [SECONDS] [--sets A,B] [--every [SET=]K] [--conflicts N] [--open] [--answers FILE]
 * bench DATA_DIR --verify FILE
 *
 * DATA_DIR has one folder a set (j30, j60, j120, rcpsp-max/j10, ...), each with
 * instances and, in it or in the folder above (in rcpsp-max by SET/NAME),
 * optima.csv: instance,lower,upper,status,source. Prints a CSV row an instance
 * and a line starting with # for each set. The j120 set is sampled, every fifth
 * by name, unless --every says otherwise; --open leaves out what optima.csv
 * knows. Exits 1 when a result contradicts optima.csv or a schedule is not
 * valid. --answers adds to FILE the schedule of each instance that is open in
 * optima.csv and is decided or bettered; --verify checks such a file again. */
#include "answers.h"
#include "instance.h"
#include "kitchens.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>

typedef struct bench {
    bk_arena *arena;
    const char *data;
    double seconds;
    int64_t conflicts;
    const char *sets;
    const char *every;
    const char *answers, *verify;
    bool only_open;
    bench_known *table;
    size_t known_count, known_room;
    bool failed;
} bench;

/* Processor time: other work on the machine does not count. */
static double now(void)
{
    struct timespec time;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
    return (double)time.tv_sec + (double)time.tv_nsec * 1e-9;
}

static bool late(void *deadline)
{
    return now() > *(double *)deadline;
}

static void read_optima(bench *b, const char *set, const char *path)
{
    FILE *file = fopen(path, "r");
    char line[512];
    if (!file)
        return;
    while (fgets(line, sizeof line, file)) {
        char *field[5] = {line, "", "", "", ""};
        int fields = 1;
        for (char *at = line; *at && fields < 5; at++)
            if (*at == ',') {
                *at = 0;
                field[fields++] = at + 1;
            }
        bench_known *entry = BK_PUSH(b->arena, b->table, b->known_count, b->known_room);
        snprintf(entry->name, sizeof entry->name, "%.40s/%.50s", set, field[0]);
        entry->has_lower = *field[1] != 0;
        entry->has_upper = *field[2] != 0;
        entry->lower = strtol(field[1], NULL, 10);
        entry->upper = strtol(field[2], NULL, 10);
        entry->infeasible = strncmp(field[3], "infeasible", 10) == 0;
        entry->optimal = strncmp(field[3], "optimal", 7) == 0;
    }
    fclose(file);
}

static const bench_known *look_up(const bench *b, const char *name)
{
    for (size_t i = 0; i < b->known_count; i++)
        if (strcmp(b->table[i].name, name) == 0)
            return &b->table[i];
    return NULL;
}

static int by_name(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static int by_number(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Is `name` in a comma-separated list? NULL holds everything. */
static bool listed(const char *list, const char *name)
{
    size_t length = strlen(name);
    for (const char *at = list; at; at = strchr(at, ',')) {
        at += *at == ',';
        if (strncmp(at, name, length) == 0 && (at[length] == ',' || at[length] == 0))
            return true;
    }
    return !list;
}

static long step_for(const bench *b, const char *set)
{
    const char *every = b->every;
    if (!every)
        return strcmp(set, "j120") == 0 ? 5 : 1;
    const char *equals = strchr(every, '=');
    if (!equals)
        return strtol(every, NULL, 10);
    size_t length = (size_t)(equals - every);
    if (strlen(set) == length && strncmp(set, every, length) == 0)
        return strtol(equals + 1, NULL, 10);
    return 1;
}

typedef struct tally {
    size_t count, decided, within_second, gaps, known_answers, known_decided;
    double gap;
    double *seconds;
} tally;

static const char *const STATUS[] = {"optimal", "feasible", "infeasible", "unknown", "wrong"};

/* Is it known already, so that --open leaves it out? */
static bool left_out(const bench *b, const bench_known *best_known)
{
    return b->only_open && best_known && (best_known->optimal || best_known->infeasible);
}

static void keep_answer(bench *b, const bench_known *best_known, const bench_instance *instance,
                        const bk_result *result)
{
    if (!b->answers || !bench_is_new(best_known, result))
        return;
    FILE *file = fopen(b->answers, "a");
    if (!file) {
        fprintf(stderr, "%s: cannot be written\n", b->answers);
        b->failed = true;
        return;
    }
    fseek(file, 0, SEEK_END);
    bench_write_answer(file, best_known, instance, result);
    fclose(file);
}

static void run_instance(bench *b, const char *set, const char *path, const char *name, tally *t)
{
    bk_arena *arena = bk_arena_new(NULL);
    bench_instance *instance = bench_read(arena, path);
    if (!instance) {
        fprintf(stderr, "%s: not readable\n", path);
        b->failed = true;
        bk_arena_free(arena);
        return;
    }
    char label[160];
    snprintf(label, sizeof label, "%.50s/%.100s", set, name);
    const bench_known *best_known = look_up(b, label);
    if (left_out(b, best_known)) {
        bk_arena_free(arena);
        return;
    }
    *strrchr(label, '.') = 0;
    double start = now(), deadline = start + b->seconds;
    bk_solve_options options = {.conflicts = b->conflicts, .stop = late, .stop_context = &deadline};
    bk_result result = bk_solve(arena, bench_problem(arena, instance), &options);
    double seconds = now() - start;

    bool decided = result.status == BK_OPTIMAL || result.status == BK_INFEASIBLE;
    const char *contradiction =
        result.status == BK_WRONG ? "the engine refuses its own schedule" : NULL;
    if (result.value && !bench_valid(instance, result.value))
        contradiction = "the schedule is not valid";
    if (best_known) {
        long best = result.value ? (long)result.sum[0] : 0;
        if (result.value && best_known->infeasible)
            contradiction = "known infeasible";
        if (result.value && best_known->has_lower && best < best_known->lower)
            contradiction = "below the known lower bound";
        if (result.status == BK_INFEASIBLE && best_known->has_upper)
            contradiction = "known feasible";
        if (result.value && best_known->has_upper && result.bound[0] > best_known->upper)
            contradiction = "bound above the known upper bound";
        if (best_known->optimal || best_known->infeasible) {
            t->known_answers++;
            t->known_decided += decided;
        }
        if (!decided && result.value && best_known->has_upper && best_known->upper > 0) {
            t->gap += (double)(best - best_known->upper) / (double)best_known->upper;
            t->gaps++;
        }
    }
    t->seconds[t->count++] = seconds;
    t->decided += decided;
    t->within_second += decided && seconds <= 1;
    printf("%s,%s,", label, STATUS[result.status]);
    if (result.value)
        printf("%lld", (long long)result.sum[0]);
    printf(",");
    if (result.status != BK_INFEASIBLE)
        printf("%lld", (long long)result.bound[0]);
    printf(",");
    if (best_known && best_known->has_lower)
        printf("%ld", best_known->lower);
    printf(",");
    if (best_known && best_known->has_upper)
        printf("%ld", best_known->upper);
    printf(",%lld,%.3f\n", (long long)result.conflicts, seconds);
    if (contradiction) {
        printf("# CONTRADICTION %s: %s\n", label, contradiction);
        b->failed = true;
    } else {
        keep_answer(b, best_known, instance, &result);
    }
    fflush(stdout);
    bk_arena_free(arena);
}

static void run_set(bench *b, const char *set, const char *folder)
{
    char path[1200];
    char **names = NULL;
    size_t count = 0, names_room = 0;
    DIR *directory = opendir(folder);
    if (!directory)
        return;
    for (struct dirent *entry; (entry = readdir(directory));) {
        const char *dot = strrchr(entry->d_name, '.');
        if (dot && (strcmp(dot, ".sm") == 0 || strcmp(dot, ".sch") == 0))
            *BK_PUSH(b->arena, names, count, names_room) = bk_copy_string(b->arena, entry->d_name);
    }
    closedir(directory);
    if (count == 0)
        return;
    qsort(names, count, sizeof *names, by_name);
    long step = step_for(b, set);
    tally t = {.seconds = BK_NEW(b->arena, double, count)};
    for (size_t i = 0; i<count; i += step> 0 ? (size_t)step : 1) {
        snprintf(path, sizeof path, "%.900s/%.250s", folder, names[i]);
        run_instance(b, set, path, names[i], &t);
    }
    qsort(t.seconds, t.count, sizeof *t.seconds, by_number);
    printf("# %s: %zu of %zu instances, decided %zu (%.1f %%), of %zu known answers %zu, "
           "within 1 s %zu (%.1f %%), median %.4f s, most %.2f s, mean gap of the rest %.2f %%\n",
           set, t.count, count, t.decided, 100.0 * (double)t.decided / (double)t.count,
           t.known_answers, t.known_decided, t.within_second,
           100.0 * (double)t.within_second / (double)t.count, t.seconds[t.count / 2],
           t.seconds[t.count - 1], t.gaps ? 100 * t.gap / (double)t.gaps : 0.0);
    fflush(stdout);
}

/* Sets are the folders that hold instances, at most two deep. */
static void walk(bench *b, const char *folder, const char *prefix, int depth)
{
    char path[1200], set[400], *names[256];
    size_t count = 0;
    DIR *directory = opendir(folder);
    if (!directory) {
        fprintf(stderr, "%s: cannot be opened\n", folder);
        b->failed = true;
        return;
    }
    for (struct dirent *entry; (entry = readdir(directory)) && count < 256;)
        if (entry->d_name[0] != '.')
            names[count++] = bk_copy_string(b->arena, entry->d_name);
    closedir(directory);
    qsort(names, count, sizeof *names, by_name);
    for (size_t i = 0; i < count; i++) {
        struct stat status;
        snprintf(path, sizeof path, "%.900s/%.250s", folder, names[i]);
        snprintf(set, sizeof set, "%.140s%.250s", prefix, names[i]);
        if (stat(path, &status) != 0 || !S_ISDIR(status.st_mode))
            continue;
        char optima[1300];
        snprintf(optima, sizeof optima, "%s/optima.csv", path);
        read_optima(b, set, optima);
        if (listed(b->sets, set))
            run_set(b, set, path);
        if (depth > 0) {
            char deeper[402];
            snprintf(deeper, sizeof deeper, "%s/", set);
            walk(b, path, deeper, depth - 1);
        }
    }
}

int main(int argc, char **argv)
{
    bench b = {.arena = bk_arena_new(NULL), .seconds = 30};
    int plain = 0;
    for (int i = 1; i < argc; i++)
        if (strcmp(argv[i], "--sets") == 0 && i + 1 < argc)
            b.sets = argv[++i];
        else if (strcmp(argv[i], "--every") == 0 && i + 1 < argc)
            b.every = argv[++i];
        else if (strcmp(argv[i], "--conflicts") == 0 && i + 1 < argc)
            b.conflicts = strtoll(argv[++i], NULL, 10);
        else if (strcmp(argv[i], "--open") == 0)
            b.only_open = true;
        else if (strcmp(argv[i], "--answers") == 0 && i + 1 < argc)
            b.answers = argv[++i];
        else if (strcmp(argv[i], "--verify") == 0 && i + 1 < argc)
            b.verify = argv[++i];
        else if (plain == 0 && ++plain)
            b.data = argv[i];
        else if (plain == 1 && ++plain)
            b.seconds = strtod(argv[i], NULL);
    if (!b.data) {
        fprintf(stderr, "usage: bench DATA_DIR|kitchens [SECONDS] [--sets A,B] [--every [SET=]K] "
                        "[--conflicts N] [--open] [--answers FILE] [--verify FILE]\n");
        return 2;
    }
    if (strcmp(b.data, "kitchens") == 0) {
        b.failed = !bench_kitchens(b.seconds, b.conflicts, b.sets);
    } else if (b.verify) {
        b.sets = ""; /* the tables alone are read */
        walk(&b, b.data, "", 1);
        b.failed |= !bench_verify_answers(b.verify, b.data, b.table, b.known_count);
    } else {
        printf("instance,status,best,bound,known_lower,known_upper,conflicts,seconds\n");
        walk(&b, b.data, "", 1);
    }
    bk_arena_free(b.arena);
    return b.failed;
}

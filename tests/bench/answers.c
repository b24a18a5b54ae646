/* Schedules of published instances kept in a file, and checked again from it. */
#include "answers.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

static const char *const HEAD = "instance,status,best,bound,known_lower,known_upper,starts\n";

bool bench_is_new(const bench_known *known, const bk_result *result)
{
    if (!known || known->optimal || known->infeasible)
        return false;
    return result->status == BK_OPTIMAL || result->status == BK_INFEASIBLE ||
           (result->value && (!known->has_upper || result->sum[0] < known->upper));
}

void bench_write_answer(FILE *file, const bench_known *known, const bench_instance *instance,
                        const bk_result *result)
{
    if (ftell(file) == 0)
        fputs(HEAD, file);
    if (result->status == BK_INFEASIBLE)
        fprintf(file, "%s,infeasible,,,", known->name);
    else
        fprintf(file, "%s,%s,%lld,%lld,", known->name,
                result->status == BK_OPTIMAL ? "optimal" : "feasible", (long long)result->sum[0],
                (long long)result->bound[0]);
    if (known->has_lower)
        fprintf(file, "%ld", known->lower);
    fputc(',', file);
    if (known->has_upper)
        fprintf(file, "%ld", known->upper);
    fputc(',', file);
    for (int32_t i = 0; result->value && i < instance->activities; i++)
        fprintf(file, "%s%d", i ? " " : "", result->value[i]);
    fputc('\n', file);
    fflush(file);
}

static const bench_known *look_up(const bench_known *known, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++)
        if (strcmp(known[i].name, name) == 0)
            return &known[i];
    return NULL;
}

/* The starts in `text`, one an activity and no more. NULL when they are not. */
static int32_t *read_starts(bk_arena *arena, const char *text, int32_t activities)
{
    int32_t *start = BK_NEW(arena, int32_t, (size_t)activities);
    for (int32_t i = 0; i < activities; i++) {
        char *end;
        errno = 0;
        long value = strtol(text, &end, 10);
        if (end == text || errno || value < 0 || value > INT32_MAX)
            return NULL;
        start[i] = (int32_t)value;
        text = end;
    }
    return text[strspn(text, " \r\n")] ? NULL : start;
}

/* What is wrong with a row, or NULL; `says` is then what it shows. */
static const char *check_row(bk_arena *arena, char **field, const char *data,
                             const bench_known *known, const char **says)
{
    if (!known)
        return "not in the table of known answers";
    if (known->optimal || known->infeasible)
        return "not open in the table of known answers";
    char path[1200];
    snprintf(path, sizeof path, "%.900s/%.200s", data, field[0]);
    bench_instance *instance = bench_read(arena, path);
    if (!instance)
        return "the instance can't be read";
    if (strcmp(field[1], "infeasible") == 0) {
        *says = "said to have no schedule: a proof of the engine's, not checked here";
        return known->has_upper ? "a schedule is known" : NULL;
    }
    int32_t *start = read_starts(arena, field[6], instance->activities);
    if (!start)
        return "the starts can't be read, or are not one an activity";
    if (!bench_valid(instance, start))
        return "the schedule is not valid";
    long best = strtol(field[2], NULL, 10), bound = strtol(field[3], NULL, 10);
    if (start[instance->activities - 1] != best)
        return "the schedule's end is not the row's";
    if (bound > best || (known->has_lower && best < known->lower))
        return "the end lies below a bound";
    bool optimal = strcmp(field[1], "optimal") == 0;
    if (optimal && bound != best)
        return "called optimal, and the bound is another";
    bool better = !known->has_upper || best < known->upper;
    if (!optimal && !better)
        return "neither decided nor better than what is known";
    if (known->has_lower && best == known->lower)
        *says = "valid, optimal by the table's own bound";
    else if (optimal)
        *says = better ? "valid, better than known; optimal by the engine's bound, not checked here"
                       : "valid, as good as known; optimal by the engine's bound, not checked here";
    else
        *says = "valid, better than known";
    return NULL;
}

bool bench_verify_answers(const char *path, const char *data, const bench_known *known,
                          size_t count)
{
    FILE *file = fopen(path, "r");
    char line[8192];
    size_t rows = 0, wrong = 0;
    if (!file) {
        fprintf(stderr, "%s: cannot be opened\n", path);
        return false;
    }
    if (!fgets(line, sizeof line, file) || strcmp(line, HEAD) != 0) {
        fprintf(stderr, "%s: does not begin with %s", path, HEAD);
        fclose(file);
        return false;
    }
    for (; fgets(line, sizeof line, file); rows++) {
        char *field[7] = {line, "", "", "", "", "", ""};
        int fields = 1;
        for (char *at = line; *at && fields < 7; at++)
            if (*at == ',') {
                *at = 0;
                field[fields++] = at + 1;
            }
        bk_arena *arena = bk_arena_new(NULL);
        const char *says = "";
        const char *fault =
            fields < 7 ? "a field is missing"
                       : check_row(arena, field, data, look_up(known, count, field[0]), &says);
        printf("%s,%s,%s,%s,%s,%s: %s\n", field[0], field[1], field[2], field[3], field[4],
               field[5], fault ? fault : says);
        wrong += fault != NULL;
        bk_arena_free(arena);
    }
    fclose(file);
    printf("# %zu rows, %zu wrong\n", rows, wrong);
    return rows > 0 && wrong == 0;
}

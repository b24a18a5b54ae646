/* Reading PSPLIB .sm (Kolisch, Sprecher 1996) and ProGen/max .sch (Schwindt)
 * files, and what they mean. */
#include "instance.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char *read_all(bk_arena *arena, const char *path)
{
    FILE *file = fopen(path, "rb");
    if (!file)
        return NULL;
    fseek(file, 0, SEEK_END);
    long size = ftell(file);
    rewind(file);
    size_t length = 0, most = size > 0 ? (size_t)size : 0;
    char *text = BK_NEW(arena, char, most + 1);
    length = fread(text, 1, most, file);
    fclose(file);
    text[length] = 0;
    for (size_t i = 0; i < length; i++)
        if (text[i] == '[' || text[i] == ']' || text[i] == '\r')
            text[i] = ' ';
    return text;
}

static bool number(char **at, int32_t *value)
{
    char *end;
    long read = strtol(*at, &end, 10);
    if (end == *at)
        return false;
    *at = end;
    *value = (int32_t)read;
    return true;
}

static void room(bk_arena *arena, bench_instance *instance)
{
    size_t n = (size_t)instance->activities, r = (size_t)instance->resources;
    instance->duration = BK_NEW(arena, int32_t, n);
    instance->need = BK_NEW(arena, int32_t, n * r);
    instance->capacity = BK_NEW(arena, int32_t, r);
}

static bench_instance *read_sch(bk_arena *arena, char *text)
{
    bench_instance *instance = BK_NEW(arena, bench_instance, 1);
    int32_t n, r, skip;
    if (!number(&text, &n) || !number(&text, &r) || !number(&text, &skip) ||
        !number(&text, &skip) || n < 0 || n > 100000 || r < 0 || r > 1000)
        return NULL;
    instance->activities = n + 2;
    instance->resources = r;
    room(arena, instance);
    for (int32_t i = 0; i < n + 2; i++) {
        int32_t id, modes, successors;
        if (!number(&text, &id) || !number(&text, &modes) || !number(&text, &successors))
            return NULL;
        size_t first = instance->arc_count;
        for (int32_t k = 0; k < successors; k++) {
            int32_t to;
            if (!number(&text, &to) || to < 0 || to >= n + 2)
                return NULL;
            *BK_PUSH(arena, instance->arcs, instance->arc_count, instance->arc_room) =
                (bench_arc){id, to, 0};
        }
        for (int32_t k = 0; k < successors; k++)
            if (!number(&text, &instance->arcs[first + (size_t)k].lag))
                return NULL;
    }
    for (int32_t i = 0; i < n + 2; i++) {
        int32_t id, modes;
        if (!number(&text, &id) || !number(&text, &modes) || !number(&text, &instance->duration[i]))
            return NULL;
        for (int32_t k = 0; k < r; k++)
            if (!number(&text, &instance->need[i * r + k]))
                return NULL;
    }
    for (int32_t k = 0; k < r; k++)
        if (!number(&text, &instance->capacity[k]))
            return NULL;
    for (int32_t i = 0; i < n + 2; i++) {
        int32_t most = instance->duration[i];
        for (size_t k = 0; k < instance->arc_count; k++)
            if (instance->arcs[k].from == i && instance->arcs[k].lag > most)
                most = instance->arcs[k].lag;
        instance->horizon += most;
    }
    return instance;
}

static char *after(char *text, const char *what)
{
    char *at = text ? strstr(text, what) : NULL;
    return at ? at + strlen(what) : NULL;
}

static char *next_line(char *text)
{
    char *at = text ? strchr(text, '\n') : NULL;
    return at ? at + 1 : NULL;
}

static bench_instance *read_sm(bk_arena *arena, char *text)
{
    bench_instance *instance = BK_NEW(arena, bench_instance, 1);
    char *at = after(text, "jobs (incl. supersource/sink ):");
    char *renewable = after(text, "- renewable                 :");
    char *links = next_line(next_line(after(text, "PRECEDENCE RELATIONS:")));
    char *needs = next_line(next_line(next_line(after(text, "REQUESTS/DURATIONS:"))));
    char *capacities = next_line(next_line(after(text, "RESOURCEAVAILABILITIES:")));
    if (!at || !renewable || !links || !needs || !capacities ||
        !number(&at, &instance->activities) || !number(&renewable, &instance->resources) ||
        instance->activities < 1 || instance->activities > 100000 || instance->resources < 0)
        return NULL;
    room(arena, instance);
    for (int32_t i = 0; i < instance->activities; i++) {
        int32_t id, modes, successors, to;
        if (!number(&links, &id) || !number(&links, &modes) || !number(&links, &successors))
            return NULL;
        for (int32_t k = 0; k < successors; k++) {
            if (!number(&links, &to) || to < 1 || to > instance->activities)
                return NULL;
            *BK_PUSH(arena, instance->arcs, instance->arc_count, instance->arc_room) =
                (bench_arc){id - 1, to - 1, 0};
        }
    }
    for (int32_t i = 0; i < instance->activities; i++) {
        int32_t id, mode;
        if (!number(&needs, &id) || !number(&needs, &mode) ||
            !number(&needs, &instance->duration[i]))
            return NULL;
        for (int32_t k = 0; k < instance->resources; k++)
            if (!number(&needs, &instance->need[i * instance->resources + k]))
                return NULL;
        instance->horizon += instance->duration[i];
    }
    for (int32_t k = 0; k < instance->resources; k++)
        if (!number(&capacities, &instance->capacity[k]))
            return NULL;
    for (size_t k = 0; k < instance->arc_count; k++)
        instance->arcs[k].lag = instance->duration[instance->arcs[k].from];
    return instance;
}

bench_instance *bench_read(bk_arena *arena, const char *path)
{
    char *text = read_all(arena, path);
    size_t length = strlen(path);
    if (!text)
        return NULL;
    return length > 4 && strcmp(path + length - 4, ".sch") == 0 ? read_sch(arena, text)
                                                                : read_sm(arena, text);
}

bk_problem *bench_problem(bk_arena *arena, const bench_instance *instance)
{
    bk_problem *problem = bk_problem_new(arena);
    int32_t n = instance->activities;
    for (int32_t i = 0; i < n; i++)
        bk_problem_var(problem, 0, i == 0 ? 0 : instance->horizon);
    for (size_t k = 0; k < instance->arc_count; k++)
        bk_problem_lag(problem, instance->arcs[k].from, instance->arcs[k].to, instance->arcs[k].lag,
                       NULL, 0, BK_NO_FACT);
    bk_use *uses = BK_NEW(arena, bk_use, n);
    for (int32_t r = 0; r < instance->resources; r++) {
        size_t count = 0;
        for (int32_t i = 0; i < n; i++) {
            int32_t amount = instance->need[i * instance->resources + r];
            if (amount > 0 && instance->duration[i] > 0)
                uses[count++] = (bk_use){{i, 0}, {i, instance->duration[i]}, amount, BK_ALWAYS};
        }
        bk_problem_cumulative(problem, instance->capacity[r], uses, count, BK_NO_FACT);
    }
    bk_problem_cost(problem, bk_problem_level(problem), n - 1, 1);
    return problem;
}

bool bench_valid(const bench_instance *instance, const int32_t *start)
{
    int32_t n = instance->activities, resources = instance->resources;
    if (start[0] != 0)
        return false;
    for (int32_t i = 0; i < n; i++)
        if (start[i] < 0)
            return false;
    for (size_t k = 0; k < instance->arc_count; k++)
        if (start[instance->arcs[k].to] < start[instance->arcs[k].from] + instance->arcs[k].lag)
            return false;
    for (int32_t r = 0; r < resources; r++)
        for (int32_t i = 0; i < n; i++) {
            int64_t sum = 0;
            for (int32_t j = 0; j < n; j++)
                if (start[j] <= start[i] && start[i] < start[j] + instance->duration[j])
                    sum += instance->need[j * resources + r];
            if (sum > instance->capacity[r])
                return false;
        }
    return true;
}

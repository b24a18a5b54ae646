/* Lookup of names by a sorted index, and the names of stages. */
#include "plan/names.h"

#include "plan/plan.h"

#include <stdlib.h>
#include <string.h>

static int by_name(const void *left, const void *right)
{
    const bk_named *a = left, *b = right;
    int order = strcmp(a->name, b->name);
    return order != 0 ? order : (a->index > b->index) - (a->index < b->index);
}

bk_names bk_names_new(bk_arena *arena, const char *const *names, size_t count)
{
    bk_names index = {BK_NEW(arena, bk_named, count), BK_NEW(arena, const char *, count + 1), 0};
    for (size_t i = 0; i < count; i++) {
        if (names[i]) {
            index.listed[index.count] = names[i];
            index.sorted[index.count++] = (bk_named){names[i], i};
        }
    }
    if (index.count > 0)
        qsort(index.sorted, index.count, sizeof *index.sorted, by_name);
    return index;
}

size_t bk_names_find(const bk_names *names, const char *name)
{
    size_t low = 0, high = names->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (strcmp(names->sorted[middle].name, name) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    bool found = low < names->count && strcmp(names->sorted[low].name, name) == 0;
    return found ? names->sorted[low].index : SIZE_MAX;
}

const char *bk_stage_name(bk_arena *arena, const bk_plan *plan, size_t stage)
{
    const bk_stage *named = &plan->stages[stage];
    return bk_format(arena, "%s/%s", plan->dishes[named->dish].name, named->id);
}

size_t bk_stage_find(const bk_plan *plan, const char *name)
{
    /* An id has no "/", a dish's name may: the last one parts them. */
    const char *slash = strrchr(name, '/'), *id = slash ? slash + 1 : name;
    size_t found = SIZE_MAX;
    for (size_t i = 0; i < plan->stage_count; i++) {
        if (strcmp(plan->stages[i].id, id) != 0)
            continue;
        const char *dish = plan->dishes[plan->stages[i].dish].name;
        size_t length = slash ? (size_t)(slash - name) : 0;
        if (slash && (strlen(dish) != length || strncmp(dish, name, length) != 0))
            continue;
        if (found != SIZE_MAX)
            return SIZE_MAX - 1;
        found = i;
    }
    return found;
}

/* Lookup of names by a sorted index. Private to src/plan. */
#ifndef BK_PLAN_NAMES_H
#define BK_PLAN_NAMES_H

#include "base/base.h"

typedef struct bk_named {
    const char *name;
    size_t index;
} bk_named;

typedef struct bk_names {
    bk_named *sorted;
    const char **listed; /* in the order given, NULL-terminated: for bk_nearest */
    size_t count;
} bk_names;

/* Indexes names[0 .. count); NULL entries are left out. The names must outlive
 * the index. */
bk_names bk_names_new(bk_arena *arena, const char *const *names, size_t count);

/* The first index with this name; SIZE_MAX when there is none. */
size_t bk_names_find(const bk_names *names, const char *name);

#endif

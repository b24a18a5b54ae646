/* Names of zones: which are well formed, and which one a slip was meant for. */
#include "time/zone_table.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#ifndef BK_ZONE_FOLDER
#define BK_ZONE_FOLDER "/usr/share/zoneinfo"
#endif

enum { LONGEST_NAME = 64, MOST_DEPTH = 3, MOST_NAMES = 4096 };

const char *bk_zone_folder(void)
{
    return BK_ZONE_FOLDER;
}

static bool is_part_character(char c)
{
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_' ||
           c == '+' || c == '-';
}

/* Other spellings of the same zones, or of the machine's own, that are no IANA
 * names and would tie a plan to one machine. */
static bool is_machine_name(const char *name)
{
    return strncmp(name, "posix/", 6) == 0 || strncmp(name, "right/", 6) == 0 ||
           strcmp(name, "localtime") == 0 || strcmp(name, "posixrules") == 0;
}

bool bk_zone_name_valid(const char *name)
{
    size_t length = strlen(name);
    if (length == 0 || length > LONGEST_NAME || is_machine_name(name))
        return false;
    char before = '/';
    for (size_t i = 0; i < length; i++) {
        if (name[i] == '/' ? before == '/' : !is_part_character(name[i]))
            return false;
        before = name[i];
    }
    return before != '/';
}

typedef struct name_list {
    char (*items)[LONGEST_NAME + 1]; /* room for MOST_NAMES */
    size_t count;
} name_list;

/* Asks for no memory while a folder is open: an arena without memory jumps, and would
 * leave it so. */
static void collect(name_list *names, const char *prefix, int depth)
{
    const struct dirent *entry = NULL;
    char name[LONGEST_NAME + sizeof entry->d_name], path[sizeof BK_ZONE_FOLDER + sizeof name];
    snprintf(path, sizeof path, "%s/%s", BK_ZONE_FOLDER, prefix);
    DIR *folder = opendir(path);
    if (!folder)
        return;
    while (names->count < MOST_NAMES && (entry = readdir(folder))) {
        int length = snprintf(name, sizeof name, "%s%s", prefix, entry->d_name);
        if (length < 0 || length > LONGEST_NAME)
            continue;
        snprintf(path, sizeof path, "%s/%s", BK_ZONE_FOLDER, name);
        struct stat facts;
        if (!bk_zone_name_valid(name) || stat(path, &facts) != 0)
            continue;
        if (S_ISREG(facts.st_mode)) {
            memcpy(names->items[names->count++], name, (size_t)length + 1);
        } else if (S_ISDIR(facts.st_mode) && depth < MOST_DEPTH && strcmp(name, "posix") != 0 &&
                   strcmp(name, "right") != 0) {
            memcpy(name + length, "/", 2);
            collect(names, name, depth + 1);
        }
    }
    closedir(folder);
}

static int by_name(const void *a, const void *b)
{
    return strcmp(a, b);
}

/* Lower case, with "_" for a space: "New York" is New_York. */
static char *folded(bk_arena *arena, const char *name)
{
    char *copy = bk_copy_string(arena, name);
    for (char *c = copy; *c != '\0'; c++)
        if (*c >= 'A' && *c <= 'Z')
            *c = (char)(*c - 'A' + 'a');
        else if (*c == ' ')
            *c = '_';
    return copy;
}

/* A zone named for a place. Of two abbreviations or offsets the one is no slip of the other
 * but another time, and "Etc/GMT+1" is an hour behind UTC (POSIX counts west of it). */
static bool is_of_a_place(const char *name)
{
    if (strncmp(name, "Etc/", 4) == 0)
        return false;
    while (*name && !(*name >= 'a' && *name <= 'z'))
        name++;
    return *name != '\0';
}

const char *bk_zone_nearest(bk_arena *arena, const char *name)
{
    if (strlen(name) > LONGEST_NAME)
        return NULL;
    name_list names = {.items = bk_alloc(arena, MOST_NAMES, sizeof *names.items)};
    collect(&names, "", 1);
    if (names.count == 0)
        return NULL;
    /* A folder is read in any order; an answer must not depend on it. */
    qsort(names.items, names.count, sizeof *names.items, by_name);

    const char **plain = BK_NEW(arena, const char *, names.count + 1);
    const char **places = BK_NEW(arena, const char *, names.count + 1);
    const char *wanted = folded(arena, name);
    const char *same_city = NULL;
    size_t count = 0;
    for (size_t i = 0; i < names.count; i++) {
        const char *one = folded(arena, names.items[i]);
        if (strcmp(one, wanted) == 0)
            return names.items[i];
        if (!is_of_a_place(names.items[i]))
            continue;
        const char *city = strrchr(one, '/');
        if (!same_city && city && strcmp(city + 1, wanted) == 0)
            same_city = names.items[i];
        plain[count] = one;
        places[count++] = names.items[i];
    }
    if (same_city)
        return same_city;
    const char *nearest = bk_nearest(wanted, plain);
    for (size_t i = 0; nearest && i < count; i++)
        if (plain[i] == nearest)
            return places[i];
    return NULL;
}

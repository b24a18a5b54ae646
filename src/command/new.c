/* bakeset new: a plan to begin with, or an occasion of recipes. */
#define _XOPEN_SOURCE 700 /* realpath */
#include "command/options.h"
#include "command/output.h"

#include <stdlib.h>
#include <string.h>

static const bk_option options[] = {
    {"from", BK_OPTION_TAKES, "A.json,B.json", "the dishes: recipe files, parted by commas"},
    {"serve", BK_OPTION_TAKES, "WHEN", "when to serve: \"2026-12-24 19:30\""},
    {"timezone", BK_OPTION_TAKES, "ZONE", "IANA name of the time zone, such as Europe/London"},
    {NULL, BK_OPTION_ALONE, NULL, NULL},
};

enum { OPTION_FROM, OPTION_SERVE, OPTION_TIMEZONE, OPTION_COUNT };

enum { MOST_RECIPES = 50, LONGEST_LIST = 4000 };

static const bk_usage usage = {
    .command = "new",
    .synopsis = "[options] [NAME]",
    .about =
        "Writes a commented plan to NAME.json, or prints it: one that gives a timeline at once\n"
        "and is there to be changed, or an occasion made of recipes. No file is written over.",
    .options = options,
    .least_operands = 0,
    .most_operands = 1,
};

/* The recipes' paths, and how the plan names them: a plan in another folder by their whole
 * path. */
typedef struct recipes {
    char list[LONGEST_LIST];
    const char *paths[MOST_RECIPES + 1], *named[MOST_RECIPES + 1];
    char *whole[MOST_RECIPES];
    size_t count;
} recipes;

static bool take_recipes(const bk_world *world, const char *from, const char *target, recipes *all)
{
    if (strlen(from) >= sizeof all->list) {
        fputs("bakeset new: --from is too long\n", world->err);
        return false;
    }
    strcpy(all->list, from);
    bool elsewhere = target && strchr(target, '/');
    for (char *path = all->list; path;) {
        char *comma = strchr(path, ',');
        if (comma)
            *comma = '\0';
        if (all->count == MOST_RECIPES || *path == '\0') {
            fprintf(world->err, "bakeset new: --from takes 1 to %d recipes, parted by commas\n",
                    MOST_RECIPES);
            return false;
        }
        all->paths[all->count] = path;
        all->whole[all->count] = elsewhere ? realpath(path, NULL) : NULL;
        all->named[all->count] = all->whole[all->count] ? all->whole[all->count] : path;
        all->count++;
        path = comma ? comma + 1 : NULL;
    }
    return true;
}

static void drop_recipes(recipes *all)
{
    for (size_t i = 0; i < all->count; i++)
        free(all->whole[i]);
}

/* The plan is read as any other before it is given out. */
static enum bakeset_result make(const bk_world *world, const bk_given *given, const char *path,
                                const recipes *all)
{
    bakeset *session = bk_session_new(world);
    if (!session)
        return BAKESET_FAILED;
    struct bakeset_begin_options begin = {.size = sizeof begin,
                                          .recipes = all->count ? all->paths : NULL,
                                          .named = all->count ? all->named : NULL,
                                          .serve = given[OPTION_SERVE].value,
                                          .timezone = given[OPTION_TIMEZONE].value};
    size_t length = 0;
    const char *text = bakeset_begin(session, &begin, &length);
    enum bakeset_result result = bakeset_last_result(session);
    struct bakeset_read_options reading = {.size = sizeof reading};
    const char *name = path ? path : "new.json";
    if (text)
        result = bakeset_read_text(session, name, text, length, &reading);
    if (text && result == BAKESET_BAD_INPUT && all->count > 0) {
        reading.allow_outside = 1; /* the cook has named these recipes */
        result = bakeset_read_text(session, name, text, length, &reading);
    }
    bk_print_messages(world, session, true);
    if (text && result == BAKESET_OK)
        result = bk_output_give_new(world, "new", path, text, length);
    if (text && path && result == BAKESET_OK)
        fprintf(world->out, "%s is written: change it, then bakeset timeline %s%s\n",
                bk_name_shown(path).text, reading.allow_outside ? "--allow-outside " : "",
                bk_name_shown(path).text);
    bakeset_free(session);
    return result;
}

enum bakeset_result bk_command_new(const bk_world *world, int argc, char **argv)
{
    bk_given given[OPTION_COUNT] = {{0}};
    bk_arguments arguments = {.given = given};
    enum bk_parsed parsed = bk_options_parse(world, &usage, argc, argv, &arguments);
    if (parsed != BK_PARSED)
        return parsed == BK_PARSED_HELP ? BAKESET_OK : BAKESET_BAD_INPUT;
    char path[LONGEST_LIST];
    const char *name = arguments.operand_count > 0 ? arguments.operands[0] : NULL;
    if (name) {
        size_t length = strlen(name);
        bool ends = length > 5 && strcmp(name + length - 5, ".json") == 0;
        int wrote = snprintf(path, sizeof path, "%s%s", name, ends ? "" : ".json");
        if (wrote < 0 || (size_t)wrote >= sizeof path) {
            fputs("bakeset new: the name is too long\n", world->err);
            return BAKESET_BAD_INPUT;
        }
    }
    recipes all = {.count = 0};
    enum bakeset_result result = BAKESET_BAD_INPUT;
    if (!given[OPTION_FROM].given || take_recipes(world, given[OPTION_FROM].value, name, &all))
        result = make(world, given, name ? path : NULL, &all);
    drop_recipes(&all);
    return result;
}

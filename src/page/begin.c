/* A new plan of recipes of the folder. */
#define _XOPEN_SOURCE 700 /* realpath */
#include "page/request.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_RECIPES = 50 };

typedef struct beginning {
    const char *path;
    size_t below; /* length of the path of the plan's folder, with its "/" */
    const char *recipes[MOST_RECIPES + 1], *named[MOST_RECIPES + 1];
    size_t count;
    const char *kitchen; /* as the plan names it, or NULL */
    char zone[PATH_MAX];
} beginning;

/* What this machine's clock goes by, where it says so by a link into the zones. */
static void find_zone(const bk_request *request, char *zone, size_t room)
{
    static const char folder[] = "/zoneinfo/";
    const char *named = bk_text_of(request->json, "timezone");
    char *whole = named ? NULL : realpath("/etc/localtime", NULL);
    const char *at = whole ? strstr(whole, folder) : NULL;
    snprintf(zone, room, "%s", named ? named : at ? at + strlen(folder) : "");
    free(whole);
}

/* A file of the plan's own folder, as the plan names it. NULL after answering. */
static const char *named(bk_page *page, const beginning *b, const char *path, bk_answer *answer)
{
    struct stat status;
    enum bk_folder_result result = bk_folder_look(page->folder, path, &status);
    if (result != BK_FOLDER_OK) {
        bk_answer_folder(answer, result);
        return NULL;
    }
    if (strncmp(path, b->path, b->below) == 0)
        return path + b->below;
    bk_answer_bad(answer, "a plan names files of its own folder, and below it",
                  "put the plan where the recipes and the kitchen are, or above");
    return NULL;
}

static bool read_recipes(bk_page *page, const bk_request *request, beginning *b, bk_answer *answer)
{
    const cJSON *list = cJSON_GetObjectItemCaseSensitive(request->json, "recipes"), *one;
    cJSON_ArrayForEach(one, list)
    {
        if (b->count == MOST_RECIPES || !cJSON_IsString(one)) {
            bk_answer_bad(answer, "these are no recipes", "send 1 to 50 paths as \"recipes\"");
            return false;
        }
        b->recipes[b->count] = one->valuestring;
        b->named[b->count] = named(page, b, one->valuestring, answer);
        if (!b->named[b->count++])
            return false;
    }
    if (b->count > 0)
        return true;
    bk_answer_bad(answer, "no recipe is named", "send 1 to 50 paths as \"recipes\"");
    return false;
}

static bool read_beginning(bk_page *page, const bk_request *request, beginning *b,
                           bk_answer *answer)
{
    const char *kitchen = bk_text_of(request->json, "kitchen");
    b->path = bk_text_of(request->json, "path");
    if (!bk_path_good(b->path)) {
        bk_answer_folder(answer, BK_FOLDER_BAD_PATH);
        return false;
    }
    const char *slash = strrchr(b->path, '/');
    b->below = slash ? (size_t)(slash - b->path) + 1 : 0;
    find_zone(request, b->zone, sizeof b->zone);
    if (kitchen && !(b->kitchen = named(page, b, kitchen, answer)))
        return false;
    return read_recipes(page, request, b, answer);
}

/* The kitchen's file in place of the one that was made up for the recipes; the text lives in
 * `session`. */
static const char *with_kitchen(bakeset *session, const char *kitchen, const char *text,
                                size_t *length)
{
    cJSON *patch = cJSON_CreateArray(), *change = cJSON_CreateObject();
    cJSON_AddStringToObject(change, "op", "replace");
    cJSON_AddStringToObject(change, "path", "/kitchen");
    cJSON_AddStringToObject(change, "value", kitchen);
    cJSON_AddItemToArray(patch, change);
    char *changes = cJSON_PrintUnformatted(patch);
    cJSON_Delete(patch);
    const char *made = changes ? bakeset_patch_text(session, "the new plan", text, *length, changes,
                                                    strlen(changes), length)
                               : NULL;
    free(changes);
    return made;
}

static void begin(bk_page *page, const bk_request *request, const beginning *b, bakeset *session,
                  bakeset *patching, bk_answer *answer)
{
    struct bakeset_begin_options options = {.size = sizeof options,
                                            .recipes = b->recipes,
                                            .named = b->named,
                                            .occasion = bk_text_of(request->json, "occasion"),
                                            .serve = bk_text_of(request->json, "serve"),
                                            .timezone = b->zone[0] ? b->zone : NULL};
    size_t length = 0;
    const char *text = bakeset_begin(session, &options, &length);
    if (!text) {
        bk_answer_messages(answer, 422, "recipe", session);
        return;
    }
    if (b->kitchen)
        text = with_kitchen(patching, b->kitchen, text, &length);
    if (!text)
        bk_answer_messages(answer, 500, "machine", patching);
    else
        bk_change_file(page, b->path, NULL, text, length, answer);
}

void bk_route_new(bk_page *page, const bk_request *request, bk_answer *answer)
{
    beginning b = {.count = 0};
    if (!read_beginning(page, request, &b, answer))
        return;
    bakeset *session = bk_answer_session(answer);
    bakeset *patching = session ? bk_answer_session(answer) : NULL;
    if (patching)
        begin(page, request, &b, session, patching, answer);
    bakeset_free(patching);
    bakeset_free(session);
}

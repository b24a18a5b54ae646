/* What the folder's files are: plans, recipes, kitchens, others. */
#include "page/known.h"

#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { GOOD_FOR_MS = 600 /* a look at the folder, where nobody says that something changed */ };

enum kind { PLAN, RECIPE, KITCHEN, OTHER, KINDS };

typedef struct entry {
    char *path;
    struct stat status;
    enum kind kind;
    cJSON *json;
    bool seen; /* by the listing that is gone through */
} entry;

struct bk_known {
    pthread_mutex_t lock;
    entry *entries; /* in the order of the paths */
    size_t count;
    cJSON *all; /* what was made of them */
    char *text;
    atomic_bool changed; /* since they were made */
    atomic_llong looked; /* milliseconds: when the folder was last seen to be as they are */
};

struct bk_known *bk_known_new(void)
{
    struct bk_known *known = calloc(1, sizeof *known);
    if (known)
        pthread_mutex_init(&known->lock, NULL);
    return known;
}

static void drop(entry *item)
{
    free(item->path);
    cJSON_Delete(item->json);
}

void bk_known_free(struct bk_known *known)
{
    if (!known)
        return;
    for (size_t i = 0; i < known->count; i++)
        drop(&known->entries[i]);
    free(known->entries);
    cJSON_Delete(known->all);
    free(known->text);
    pthread_mutex_destroy(&known->lock);
    free(known);
}

/* ------------------------------------------------------------- one file */

/* By the keys that only one of them has. */
static enum kind kind_of(const cJSON *value)
{
    static const struct {
        const char *key;
        enum kind kind;
    } signs[] = {{"dishes", PLAN},     {"occasion", PLAN},     {"stages", RECIPE},
                 {"dish", RECIPE},     {"equipment", KITCHEN}, {"cooks", KITCHEN},
                 {"kitchen", KITCHEN}, {"asleep", KITCHEN},    {"away", KITCHEN},
                 {"busy", KITCHEN},    {"rules", KITCHEN},     {"pace", KITCHEN}};
    for (size_t i = 0; cJSON_IsObject(value) && i < sizeof signs / sizeof *signs; i++)
        if (cJSON_GetObjectItemCaseSensitive(value, signs[i].key))
            return signs[i].kind;
    return OTHER;
}

static void add_text_of(cJSON *to, const char *key, const cJSON *value, const char *from)
{
    const char *text = bk_text_of(value, from);
    cJSON_AddItemToObject(to, key, text ? cJSON_CreateString(text) : cJSON_CreateNull());
}

/* The plan's own hour, or the first of its dishes that has one. */
static void add_serve(cJSON *to, const cJSON *value)
{
    const cJSON *dish;
    const char *serve = bk_text_of(value, "serve");
    cJSON_ArrayForEach(dish, cJSON_GetObjectItemCaseSensitive(value, "dishes"))
    {
        if (!serve)
            serve = bk_text_of(dish, "serve");
    }
    cJSON_AddItemToObject(to, "serve", serve ? cJSON_CreateString(serve) : cJSON_CreateNull());
}

static void describe(entry *item, const bk_file *file, bakeset *session)
{
    size_t length = 0;
    const char *plain = bakeset_plain_text(session, item->path, file->text, file->length, &length);
    cJSON *value = plain ? cJSON_ParseWithLength(plain, length) : NULL;
    item->kind = kind_of(value);
    if (item->kind == PLAN) {
        add_text_of(item->json, "occasion", value, "occasion");
        add_serve(item->json, value);
    } else if (item->kind == RECIPE) {
        add_text_of(item->json, "dish", value, "dish");
    } else if (item->kind == OTHER) {
        const struct bakeset_message *message = plain ? NULL : bakeset_message(session, 0);
        cJSON_AddStringToObject(item->json, "problem",
                                message ? message->what : "it is no plan, recipe or kitchen");
    }
    cJSON_AddStringToObject(item->json, "version", file->version.text);
    cJSON_Delete(value);
}

static const char *problem_of(enum bk_folder_result result)
{
    return result == BK_FOLDER_LINK       ? "it is a link, which is not followed"
           : result == BK_FOLDER_TOO_BIG  ? "it is larger than 1 MiB"
           : result == BK_FOLDER_NOT_TEXT ? "it is no text in UTF-8"
                                          : "it cannot be read";
}

/* False: there is no memory. */
static bool learn(bk_page *page, const bk_listed *listed, bakeset *session, entry *item)
{
    bk_file file;
    *item = (entry){.path = strdup(listed->path),
                    .status = listed->status,
                    .kind = OTHER,
                    .json = cJSON_CreateObject()};
    if (!item->path || !item->json || !cJSON_AddStringToObject(item->json, "path", item->path)) {
        drop(item);
        return false;
    }
    enum bk_folder_result result = bk_folder_read(page->folder, item->path, &file);
    if (result != BK_FOLDER_OK) {
        cJSON_AddStringToObject(item->json, "problem", problem_of(result));
        return true;
    }
    item->status = file.status; /* of what was read */
    describe(item, &file, session);
    free(file.text);
    return true;
}

/* -------------------------------------------------------------- all of them */

static int compare(const void *key, const void *item)
{
    return strcmp(key, ((const entry *)item)->path);
}

/* The known files become those that are listed: what has not changed is kept. */
static bool refresh(bk_page *page, const bk_listing *listing, bakeset *session)
{
    struct bk_known *known = page->known;
    entry *fresh = calloc(listing->count + 1, sizeof *fresh);
    size_t count = 0;
    bool good = fresh;
    for (size_t i = 0; good && i < listing->count; i++) {
        const bk_listed *listed = &listing->items[i];
        if (listed->journal || listed->other)
            continue;
        entry *old = known->count > 0 ? bsearch(listed->path, known->entries, known->count,
                                                sizeof *known->entries, compare)
                                      : NULL;
        if (old && bk_same_status(&old->status, &listed->status)) {
            fresh[count++] = *old;
            *old = (entry){.path = old->path}; /* moved; its path keeps the order */
            fresh[count - 1].path = strdup(listed->path);
            good = fresh[count - 1].path;
        } else {
            good = learn(page, listed, session, &fresh[count]);
            count += good;
        }
    }
    for (size_t i = 0; i < known->count; i++)
        drop(&known->entries[i]);
    free(known->entries);
    for (size_t i = 0; !good && i < count; i++)
        drop(&fresh[i]);
    known->entries = fresh;
    known->count = good ? count : 0;
    return good;
}

static bool has_journal(const bk_listing *listing, const char *path)
{
    size_t stem = strlen(path) - strlen(".json");
    for (size_t i = 0; i < listing->count; i++)
        if (listing->items[i].journal && strncmp(listing->items[i].path, path, stem) == 0 &&
            strcmp(listing->items[i].path + stem, ".day.jsonl") == 0)
            return true;
    return false;
}

static cJSON *all_json(const struct bk_known *known, const bk_listing *listing)
{
    static const char *const names[KINDS] = {"plans", "recipes", "kitchens", "other"};
    cJSON *all = cJSON_CreateObject(), *lists[KINDS];
    for (int k = 0; k < KINDS; k++)
        lists[k] = cJSON_AddArrayToObject(all, names[k]);
    for (size_t i = 0; i < known->count; i++) {
        cJSON *one = cJSON_Duplicate(known->entries[i].json, true);
        if (known->entries[i].kind == PLAN)
            cJSON_AddBoolToObject(one, "day", has_journal(listing, known->entries[i].path));
        cJSON_AddItemToArray(lists[known->entries[i].kind], one);
    }
    cJSON_AddBoolToObject(all, "more", listing->more);
    cJSON_AddNumberToObject(all, "unlisted", (double)listing->unlisted);
    return all;
}

void bk_known_looked(struct bk_known *known, bool changed)
{
    if (changed)
        atomic_store(&known->changed, true);
    atomic_store(&known->looked, bk_milliseconds());
}

void bk_known_changed(struct bk_known *known)
{
    atomic_store(&known->changed, true);
}

/* With the lock: what is known is what the folder has now. */
static void look_again(bk_page *page)
{
    struct bk_known *known = page->known;
    bk_listing listing;
    cJSON *all = NULL;
    atomic_store(&known->changed, false); /* a change from now on is one more */
    int64_t began = bk_milliseconds();
    bakeset *session = bakeset_new();
    if (session && bk_folder_list(page->folder, &listing)) {
        if (refresh(page, &listing, session))
            all = all_json(known, &listing);
        bk_listing_free(&listing);
    }
    bakeset_free(session);
    cJSON_Delete(known->all);
    free(known->text);
    known->all = all;
    known->text = all ? cJSON_PrintUnformatted(all) : NULL;
    if (known->text)
        atomic_store(&known->looked, began);
    else
        atomic_store(&known->changed, true);
}

bool bk_known_use(bk_page *page, bool may_look,
                  void (*use)(void *context, const cJSON *folder, const char *text), void *context)
{
    struct bk_known *known = page->known;
    if (may_look)
        pthread_mutex_lock(&known->lock);
    else if (pthread_mutex_trylock(&known->lock) != 0)
        return false; /* somebody looks */
    bool fresh = known->text && bk_milliseconds() - atomic_load(&known->looked) < GOOD_FOR_MS &&
                 !atomic_load(&known->changed);
    if (!fresh && may_look)
        look_again(page);
    bool good = known->text && (fresh || may_look);
    if (good)
        use(context, known->all, known->text);
    pthread_mutex_unlock(&known->lock);
    return good;
}

static void answer_all(void *context, const cJSON *folder, const char *text)
{
    (void)folder;
    bk_answer_text(context, "application/json; charset=utf-8", text, strlen(text));
}

void bk_route_folder(bk_page *page, const bk_request *request, bk_answer *answer)
{
    if (!bk_known_use(page, request->may_wait, answer_all, answer) && request->may_wait)
        bk_answer_json(answer, 500, NULL);
}

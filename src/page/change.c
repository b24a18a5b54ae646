/* Several files changed as one: all of them or none, taken back as one. */
#include "page/request.h"
#include "page/undo.h"

#include <stdlib.h>
#include <string.h>

/* What one of them is to become: a patch, or all of it. */
typedef struct wanted {
    const char *path, *was, *text; /* text: NULL with a patch */
    size_t length;
    char *patch;
    bk_file before;
    char *made; /* the patched text */
} wanted;

typedef struct change {
    wanted items[BK_MOST_CHANGED];
    size_t count;
} change;

static void clear(change *c)
{
    for (size_t i = 0; i < c->count; i++) {
        free(c->items[i].patch);
        free(c->items[i].before.text);
        free(c->items[i].made);
    }
}

/* ------------------------------------------------------------- what is wanted */

static bool add(change *c, const cJSON *one)
{
    const cJSON *patch = cJSON_GetObjectItemCaseSensitive(one, "patch");
    wanted *w = &c->items[c->count];
    *w = (wanted){.path = bk_text_of(one, "path"),
                  .was = bk_text_of(one, "version"),
                  .text = bk_text_of(one, "text")};
    if (!w->path || !w->was || (w->text ? patch != NULL : !cJSON_IsArray(patch)) ||
        (w->text && !bk_is_text(w->text, strlen(w->text))))
        return false;
    for (size_t i = 0; i < c->count; i++)
        if (strcmp(c->items[i].path, w->path) == 0)
            return false;
    w->length = w->text ? strlen(w->text) : 0;
    w->patch = w->text ? NULL : cJSON_PrintUnformatted(patch);
    c->count++;
    return w->text || w->patch;
}

static bool read_wanted(const cJSON *files, change *c)
{
    const cJSON *one;
    cJSON_ArrayForEach(one, files)
    {
        if (c->count == BK_MOST_CHANGED || !add(c, one))
            return false;
    }
    return c->count > 0;
}

/* ------------------------------------------------------------------ all of it */

/* Says of an error which file it is about. */
static void name_file(bk_answer *answer, const char *path)
{
    cJSON *all = answer->text ? cJSON_Parse(answer->text) : NULL;
    if (!all)
        return;
    cJSON_AddStringToObject(all, "path", path);
    free(answer->text);
    answer->text = NULL;
    bk_answer_json(answer, answer->status, all);
}

/* The file as it is, which has to be the version that is meant, and what it becomes. False after
 * answering. */
static bool make(bk_page *page, bakeset *session, wanted *w, bk_answer *answer)
{
    enum bk_folder_result result = bk_folder_read(page->folder, w->path, &w->before);
    if (result == BK_FOLDER_NONE ||
        (result == BK_FOLDER_OK && strcmp(w->before.version.text, w->was) != 0))
        bk_answer_changed(session, w->path, &w->before, false, answer);
    else if (result != BK_FOLDER_OK)
        bk_answer_folder(answer, result);
    if (answer->status != 0 || !w->patch)
        return answer->status == 0 &&
               bk_may_become(page, w->path, &w->before, w->text, w->length, answer);
    const char *text = bk_patched(session, &w->before, w->patch, &w->length, answer);
    if (!text)
        return false;
    w->made = malloc(w->length + 1);
    if (!w->made) {
        bk_answer_json(answer, 500, NULL);
        return false;
    }
    memcpy(w->made, text, w->length);
    w->made[w->length] = '\0';
    w->text = w->made;
    return bk_may_become(page, w->path, &w->before, w->text, w->length, answer);
}

static bool write_all(bk_page *page, const change *c, bk_version *versions, bk_answer *answer)
{
    bk_written files[BK_MOST_CHANGED] = {{0}};
    size_t failed = 0;
    for (size_t i = 0; i < c->count; i++) {
        const wanted *w = &c->items[i];
        files[i] = (bk_written){.path = w->path,
                                .was = w->was,
                                .before = w->before.text,
                                .before_length = w->before.length,
                                .text = w->text,
                                .length = w->length};
    }
    enum bk_folder_result result = bk_folder_write_all(page->folder, files, c->count, &failed);
    for (size_t i = 0; i < c->count; i++)
        versions[i] = files[i].version;
    if (result == BK_FOLDER_OK)
        return true;
    bk_answer_folder(answer, result);
    name_file(answer, c->items[failed < c->count ? failed : 0].path);
    return false;
}

static void answer_done(bk_page *page, bakeset *session, const change *c,
                        const bk_version *versions, bk_answer *answer)
{
    bk_undo_set undo = {.count = c->count};
    cJSON *all = cJSON_CreateObject(), *files = cJSON_AddArrayToObject(all, "files");
    for (size_t i = 0; i < c->count; i++) {
        const wanted *w = &c->items[i];
        undo.items[i] = (bk_undo){.path = (char *)(uintptr_t)w->path, /* it is copied */
                                  .before = w->before.text,
                                  .length = w->before.length,
                                  .after = versions[i]};
        cJSON *one = cJSON_CreateObject();
        cJSON_AddStringToObject(one, "path", w->path);
        cJSON_AddStringToObject(one, "version", versions[i].text);
        cJSON_AddItemToObject(one, "messages",
                              bk_file_messages(session, w->path, w->text, w->length));
        cJSON_AddItemToArray(files, one);
    }
    cJSON_AddStringToObject(all, "undo", bk_undos_add(page->undos, &undo).text);
    bk_answer_json(answer, 200, all);
}

static void change_all(bk_page *page, change *c, bk_answer *answer)
{
    bk_version versions[BK_MOST_CHANGED];
    bakeset *session = bk_answer_session(answer);
    if (!session)
        return;
    bool good = true;
    pthread_mutex_lock(&page->writing);
    for (size_t i = 0; i < c->count && good; i++) {
        good = make(page, session, &c->items[i], answer);
        if (!good)
            name_file(answer, c->items[i].path);
    }
    good = good && write_all(page, c, versions, answer);
    pthread_mutex_unlock(&page->writing);
    if (good) {
        answer_done(page, session, c, versions, answer);
        bk_page_look(page); /* who did it is answered first, if it can be */
    }
    bakeset_free(session);
}

void bk_route_change(bk_page *page, const bk_request *request, bk_answer *answer)
{
    change c = {.count = 0};
    if (read_wanted(cJSON_GetObjectItemCaseSensitive(request->json, "files"), &c))
        change_all(page, &c, answer);
    else
        bk_answer_bad(answer, "it is not said what is to be changed",
                      "send 1 to 8 \"files\", each once, with \"path\", \"version\" and "
                      "\"patch\" or \"text\"");
    clear(&c);
}

void bk_change_back(bk_page *page, const bk_undo_set *set, bk_answer *answer)
{
    change c = {.count = set->count};
    for (size_t i = 0; i < set->count; i++)
        c.items[i] = (wanted){.path = set->items[i].path,
                              .was = set->items[i].after.text,
                              .text = set->items[i].before,
                              .length = set->items[i].length};
    change_all(page, &c, answer);
    clear(&c);
}

/* One file: given out, changed. */
#include "page/kept.h"
#include "page/request.h"
#include "page/undo.h"

#include <stdlib.h>
#include <string.h>

cJSON *bk_file_messages(bakeset *session, const char *path, const char *text, size_t length)
{
    struct bakeset_read_options alone = {.size = sizeof alone, .alone = 1};
    bakeset_read_text(session, path, text, length, &alone);
    return bk_messages_json(session);
}

static cJSON *theirs_json(bakeset *session, const char *path, const bk_file *file)
{
    cJSON *theirs = cJSON_CreateObject();
    cJSON_AddStringToObject(theirs, "text", file->text);
    cJSON_AddStringToObject(theirs, "version", file->version.text);
    bk_add_value(theirs, session, path, file->text, file->length);
    return theirs;
}

/* What was made of it and of the files it names, as they are now. */
static bool give_made(bk_page *page, const bk_request *request, bk_answer *answer)
{
    bool fresh = false;
    if (!bk_kept_give(page->kept, BK_FORM_FILE, request->file, 0, &fresh, NULL, answer) || fresh)
        return answer->status != 0;
    free(answer->text);
    *answer = (bk_answer){.status = 0};
    return false;
}

void bk_route_file(bk_page *page, const bk_request *request, bk_answer *answer)
{
    bk_file file;
    struct stat status;
    struct timespec begun = bk_kept_begin();
    enum bk_folder_result result = request->may_wait
                                       ? bk_folder_read(page->folder, request->file, &file)
                                       : bk_folder_look(page->folder, request->file, &status);
    if (result != BK_FOLDER_OK) {
        bk_answer_folder(answer, result);
        return;
    }
    if (!request->may_wait) {
        give_made(page, request, answer); /* or nothing: then it will be waited for */
        return;
    }
    bakeset *session = bk_answer_session(answer);
    if (session) {
        cJSON *all = theirs_json(session, request->file, &file);
        cJSON_AddStringToObject(all, "path", request->file);
        cJSON_AddItemToObject(all, "messages",
                              bk_file_messages(session, request->file, file.text, file.length));
        bk_answer_json(answer, 200, all);
        bk_kept_put(page->kept, BK_FORM_FILE, request->file,
                    &(bk_basis){.session = session, .begun = begun}, answer);
    }
    bakeset_free(session);
    free(file.text);
}

/* ---------------------------------------------------------------- changing */

void bk_answer_changed(bakeset *session, const char *path, const bk_file *file, bool fresh,
                       bk_answer *answer)
{
    cJSON *all = cJSON_CreateObject(), *error = cJSON_AddObjectToObject(all, "error");
    cJSON_AddStringToObject(error, "code", fresh ? "is-there" : "changed");
    cJSON_AddStringToObject(error, "what",
                            fresh        ? "there is a file of that name already"
                            : file->text ? "somebody else changed the file meanwhile"
                                         : "the file is not there any more");
    cJSON_AddStringToObject(error, "mend",
                            fresh ? "name a new file" : "look at both, and keep what is right");
    cJSON_AddItemToObject(all, "theirs",
                          file->text ? theirs_json(session, path, file) : cJSON_CreateNull());
    bk_answer_json(answer, fresh ? 409 : 412, all);
}

static void answer_done(bk_page *page, bakeset *session, const char *path, const bk_file *before,
                        const char *text, size_t length, const bk_version *version,
                        bk_answer *answer)
{
    bk_undo_set undo = {.count = 1,
                        .items = {{.path = (char *)(uintptr_t)path, /* it is copied */
                                   .before = before->text,
                                   .length = before->length}}};
    if (text)
        undo.items[0].after = *version;
    bk_undo_id id = bk_undos_add(page->undos, &undo);
    cJSON *all = cJSON_CreateObject();
    cJSON_AddStringToObject(all, "path", path);
    if (text)
        cJSON_AddStringToObject(all, "version", version->text);
    else
        cJSON_AddNullToObject(all, "version");
    cJSON_AddItemToObject(all, "messages",
                          text ? bk_file_messages(session, path, text, length)
                               : cJSON_CreateArray());
    cJSON_AddStringToObject(all, "undo", id.text);
    bk_answer_json(answer, 200, all);
}

/* What the file's text is to become, of what it is; NULL after answering. */
typedef const char *become(bakeset *session, const bk_file *before, const void *context,
                           size_t *length, bk_answer *answer);

/* The file as it is, or, of a new one, nothing. False after answering. */
static bool look(bk_page *page, bakeset *session, const char *path, const char *was,
                 bk_file *before, bk_answer *answer)
{
    enum bk_folder_result result = bk_folder_read(page->folder, path, before);
    bool there = result == BK_FOLDER_OK;
    if (!there && result != BK_FOLDER_NONE) {
        bk_answer_folder(answer, result);
        return false;
    }
    if (was ? there && strcmp(was, before->version.text) == 0 : !there)
        return true;
    bk_answer_changed(session, path, before, !was, answer);
    return false;
}

static void change(bk_page *page, bakeset *session, const char *path, const char *was, become *to,
                   const void *context, bk_answer *answer)
{
    bk_file before = {0};
    bk_version version = {""};
    size_t length = 0;
    pthread_mutex_lock(&page->writing);
    bool good = look(page, session, path, was, &before, answer);
    const char *text = good ? to(session, &before, context, &length, answer) : NULL;
    good = good && answer->status == 0 && bk_may_become(page, path, &before, text, length, answer);
    if (good) {
        enum bk_folder_result result =
            text ? bk_folder_write(page->folder, path, was, text, length, &version)
                 : bk_folder_remove(page->folder, path, was);
        good = result == BK_FOLDER_OK;
        if (!good)
            bk_answer_folder(answer, result);
    }
    pthread_mutex_unlock(&page->writing);
    if (good) {
        bakeset *checking = bk_answer_session(answer); /* the text is the other's */
        if (checking)
            answer_done(page, checking, path, &before, text, length, &version, answer);
        bakeset_free(checking);
        bk_page_look(page); /* who did it is answered first, if it can be */
    }
    free(before.text);
}

typedef struct whole {
    const char *text;
    size_t length;
} whole;

static const char *become_whole(bakeset *session, const bk_file *before, const void *context,
                                size_t *length, bk_answer *answer)
{
    (void)session;
    (void)before;
    (void)answer;
    const whole *to = context;
    *length = to->length;
    return to->text;
}

void bk_change_file(bk_page *page, const char *path, const char *was, const char *text,
                    size_t length, bk_answer *answer)
{
    whole to = {text, length};
    bakeset *session = bk_answer_session(answer);
    if (session)
        change(page, session, path, was, become_whole, &to, answer);
    bakeset_free(session);
}

/* "version": a text, or null where that is allowed. False after answering. */
static bool read_version(const bk_request *request, bool may_be_new, const char **was,
                         bk_answer *answer)
{
    const cJSON *version = cJSON_GetObjectItemCaseSensitive(request->json, "version");
    *was = cJSON_IsString(version) ? version->valuestring : NULL;
    if (*was || (may_be_new && cJSON_IsNull(version)))
        return true;
    bk_answer_bad(answer, "which version is changed is not said", "send its \"version\"");
    return false;
}

void bk_route_put(bk_page *page, const bk_request *request, bk_answer *answer)
{
    const char *was, *text = bk_text_of(request->json, "text");
    if (!read_version(request, true, &was, answer))
        return;
    if (!text || !bk_is_text(text, strlen(text))) {
        bk_answer_bad(answer, "the text is missing", "send the file's \"text\"");
        return;
    }
    bk_change_file(page, request->file, was, text, strlen(text), answer);
}

const char *bk_patched(bakeset *session, const bk_file *before, const char *patch, size_t *length,
                       bk_answer *answer)
{
    const char *text = bakeset_patch_text(session, "the file", before->text, before->length, patch,
                                          strlen(patch), length);
    const struct bakeset_message *message = bakeset_message(session, 0);
    if (text)
        return text;
    if (message && strcmp(message->code, "patch-test") == 0)
        bk_answer_messages(answer, 409, "test", session);
    else if (message && message->file)
        bk_answer_messages(answer, 422, "not-sound", session);
    else
        bk_answer_messages(answer, 400, "patch", session);
    return NULL;
}

static const char *become_patched(bakeset *session, const bk_file *before, const void *context,
                                  size_t *length, bk_answer *answer)
{
    return bk_patched(session, before, context, length, answer);
}

void bk_route_patch(bk_page *page, const bk_request *request, bk_answer *answer)
{
    const char *was;
    const cJSON *patch = cJSON_GetObjectItemCaseSensitive(request->json, "patch");
    if (!read_version(request, false, &was, answer))
        return;
    if (!cJSON_IsArray(patch)) {
        bk_answer_bad(answer, "the patch is missing", "send a list of changes as \"patch\"");
        return;
    }
    char *text = cJSON_PrintUnformatted(patch);
    bakeset *session = text ? bk_answer_session(answer) : NULL;
    if (!text)
        bk_answer_json(answer, 500, NULL);
    if (session)
        change(page, session, request->file, was, become_patched, text, answer);
    bakeset_free(session);
    free(text);
}

/* Answers: JSON, errors, messages. */
#include "page/request.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static const char json_type[] = "application/json; charset=utf-8";
static const char no_memory[] = "{\"error\":{\"code\":\"memory\",\"what\":\"there is no memory for "
                                "it\",\"mend\":\"try again\"}}";

static void out_of_memory(bk_answer *answer)
{
    free(answer->text);
    *answer = (bk_answer){
        .status = 500, .type = json_type, .fixed = no_memory, .length = sizeof no_memory - 1};
}

void bk_answer_json(bk_answer *answer, unsigned status, cJSON *value)
{
    char *text = value ? cJSON_PrintUnformatted(value) : NULL;
    cJSON_Delete(value);
    if (!text) {
        out_of_memory(answer);
        return;
    }
    answer->status = status;
    answer->type = json_type;
    answer->text = text;
    answer->length = strlen(text);
}

void bk_answer_error(bk_answer *answer, unsigned status, const char *code, const char *what,
                     const char *mend)
{
    cJSON *all = cJSON_CreateObject();
    cJSON *error = cJSON_AddObjectToObject(all, "error");
    cJSON_AddStringToObject(error, "code", code);
    cJSON_AddStringToObject(error, "what", what);
    cJSON_AddStringToObject(error, "mend", mend ? mend : "");
    bk_answer_json(answer, status, all);
}

void bk_answer_folder(bk_answer *answer, enum bk_folder_result result)
{
    switch (result) {
    case BK_FOLDER_BAD_PATH:
        bk_answer_error(answer, 400, "path", "this is no path of a file of the folder",
                        "name a file that ends with .json, below the folder");
        return;
    case BK_FOLDER_NONE:
        bk_answer_error(answer, 404, "no-file", "there is no such file", NULL);
        return;
    case BK_FOLDER_LINK:
        bk_answer_error(answer, 403, "link", "a link is on the way there, which is not followed",
                        "name the file itself");
        return;
    case BK_FOLDER_TOO_BIG:
        bk_answer_error(answer, 413, "too-big", "it is larger than 1 MiB", NULL);
        return;
    case BK_FOLDER_NOT_TEXT:
        bk_answer_error(answer, 422, "not-text", "it is no text in UTF-8", NULL);
        return;
    case BK_FOLDER_CHANGED:
        bk_answer_error(answer, 412, "changed", "the file is not what it was",
                        "look at what it is now");
        return;
    case BK_FOLDER_NO_ROOM:
        bk_answer_error(answer, 507, "no-room", "there is no room left on the disk",
                        "make some room, then try again");
        return;
    case BK_FOLDER_FAILED:
    case BK_FOLDER_OK:
        break;
    }
    bk_answer_error(answer, 500, "machine", "the file could not be read or written",
                    "look at the disk and the rights of the folder");
}

void bk_answer_text(bk_answer *answer, const char *type, const char *text, size_t length)
{
    answer->text = text ? malloc(length + 1) : NULL;
    if (!answer->text) {
        out_of_memory(answer);
        return;
    }
    memcpy(answer->text, text, length);
    answer->text[length] = '\0';
    answer->status = 200;
    answer->type = type;
    answer->length = length;
}

/* ----------------------------------------------------------------- members */

void bk_add_raw(cJSON *object, const char *key, const char *text)
{
    cJSON_AddItemToObject(object, key, text ? cJSON_CreateRaw(text) : cJSON_CreateNull());
}

static void add_text(cJSON *object, const char *key, const char *text)
{
    cJSON_AddItemToObject(object, key, text ? cJSON_CreateString(text) : cJSON_CreateNull());
}

void bk_add_value(cJSON *object, bakeset *session, const char *name, const char *text,
                  size_t length)
{
    bk_add_raw(object, "value", bakeset_plain_text(session, name, text, length, NULL));
}

const char *bk_text_of(const cJSON *object, const char *key)
{
    const cJSON *member = cJSON_GetObjectItemCaseSensitive(object, key);
    return cJSON_IsString(member) ? member->valuestring : NULL;
}

static cJSON *fix_json(const struct bakeset_message *message)
{
    if (!message->fix_text)
        return cJSON_CreateNull();
    cJSON *fix = cJSON_CreateObject();
    cJSON_AddNumberToObject(fix, "offset", (double)message->fix_offset);
    cJSON_AddNumberToObject(fix, "length", (double)message->fix_length);
    add_text(fix, "text", message->fix_text);
    return fix;
}

/* What is to be done, where the command's own options are nothing that can be done. */
static const char *mend_of(const struct bakeset_message *message)
{
    return message->mend && strstr(message->mend, "--allow-outside")
               ? "copy it into the folder of the plan, and name it there"
               : message->mend;
}

cJSON *bk_messages_json(bakeset *session)
{
    static const char *const concerns[] = {[BAKESET_OTHER_CONCERN] = "other",
                                           [BAKESET_FOOD_SAFETY] = "food-safety",
                                           [BAKESET_CAUTION] = "caution"};
    cJSON *all = cJSON_CreateArray();
    const struct bakeset_message *message;
    for (size_t i = 0; (message = bakeset_message(session, i)); i++) {
        cJSON *one = cJSON_CreateObject();
        add_text(one, "severity", message->severity == BAKESET_ERROR ? "error" : "warning");
        add_text(one, "code", message->code);
        add_text(one, "file", message->file);
        cJSON_AddNumberToObject(one, "line", (double)message->line);
        cJSON_AddNumberToObject(one, "column", (double)message->column);
        add_text(one, "pointer", message->file ? bakeset_message_pointer(session, i) : NULL);
        add_text(one, "what", message->what);
        add_text(one, "mend", mend_of(message));
        add_text(one, "dish", message->dish);
        add_text(one, "stage", message->stage);
        add_text(one, "concern", concerns[message->concern]);
        cJSON_AddItemToObject(one, "fix", fix_json(message));
        cJSON_AddItemToArray(all, one);
    }
    return all;
}

bakeset *bk_answer_session(bk_answer *answer)
{
    bakeset *session = bakeset_new();
    if (!session)
        out_of_memory(answer);
    return session;
}

int64_t bk_milliseconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

void bk_answer_bad(bk_answer *answer, const char *what, const char *mend)
{
    bk_answer_error(answer, 400, "request", what, mend);
}

/* The caller's to free; NULL: it has none, or there is no memory. */
static char *with_place(const struct bakeset_message *message)
{
    if (!message->file || message->line == 0)
        return NULL;
    size_t room = strlen(message->file) + strlen(message->what) + 40;
    char *text = malloc(room);
    if (text)
        snprintf(text, room, "%s, line %zu: %s", message->file, (size_t)message->line,
                 message->what);
    return text;
}

static void answer_messages(bk_answer *answer, unsigned status, const char *code, bool placed,
                            bakeset *session)
{
    cJSON *all = cJSON_CreateObject();
    cJSON *error = cJSON_AddObjectToObject(all, "error");
    const struct bakeset_message *message = NULL, *any;
    for (size_t i = 0; (any = bakeset_message(session, i)); i++)
        if (any->severity == BAKESET_ERROR)
            message = message ? message : any;
    cJSON_AddStringToObject(error, "code", code);
    char *what = message && placed ? with_place(message) : NULL;
    add_text(error, "what", what ? what : message ? message->what : "it could not be done");
    free(what);
    cJSON_AddStringToObject(error, "mend", message && message->mend ? mend_of(message) : "");
    cJSON_AddItemToObject(all, "messages", bk_messages_json(session));
    bk_answer_json(answer, status, all);
}

void bk_answer_messages(bk_answer *answer, unsigned status, const char *code, bakeset *session)
{
    answer_messages(answer, status, code, false, session);
}

void bk_answer_placed(bk_answer *answer, unsigned status, const char *code, bakeset *session)
{
    answer_messages(answer, status, code, true, session);
}

/* A recipe from outside, as a draft with its guesses. Nothing is written. */
#include "page/request.h"

#include <string.h>

/* A comment of the draft, with what it stands above; what is said of the whole draft is none. */
static void add_guess(cJSON *guesses, const cJSON *comment)
{
    const char *pointer = bk_text_of(comment, "pointer"), *text = bk_text_of(comment, "text");
    if (!pointer || !text || *pointer == '\0')
        return;
    cJSON *guess = cJSON_CreateObject();
    cJSON_AddStringToObject(guess, "pointer", pointer);
    cJSON_AddStringToObject(guess, "reason", text);
    cJSON_AddItemToArray(guesses, guess);
}

static cJSON *parse(const char *text)
{
    return text ? cJSON_Parse(text) : NULL;
}

/* `reading` reads what `session` made. */
static cJSON *draft_json(bakeset *session, bakeset *reading, const char *draft, size_t length)
{
    struct bakeset_read_options alone = {.size = sizeof alone, .alone = 1};
    cJSON *all = cJSON_CreateObject();
    cJSON *value = parse(bakeset_plain_text(reading, "the draft", draft, length, NULL));
    cJSON *comments = parse(bakeset_comments_text(reading, "the draft", draft, length, NULL));
    const cJSON *comment;
    cJSON_AddStringToObject(all, "draft", draft);
    cJSON *guesses = cJSON_AddArrayToObject(all, "guesses");
    cJSON_ArrayForEach(comment, comments)
    {
        add_guess(guesses, comment);
    }
    cJSON_Delete(comments);
    cJSON_AddItemToObject(all, "value", value ? value : cJSON_CreateNull());
    cJSON *messages = bk_messages_json(session);
    bakeset_read_text(reading, "the draft", draft, length, &alone);
    cJSON *more = bk_messages_json(reading);
    while (cJSON_GetArraySize(more) > 0)
        cJSON_AddItemToArray(messages, cJSON_DetachItemFromArray(more, 0));
    cJSON_Delete(more);
    cJSON_AddItemToObject(all, "messages", messages);
    return all;
}

void bk_route_take_in(bk_page *page, const bk_request *request, bk_answer *answer)
{
    (void)page;
    const char *name = bk_text_of(request->json, "name"), *text = bk_text_of(request->json, "text");
    if (!text) {
        bk_answer_bad(answer, "the recipe is missing", "send it as \"text\"");
        return;
    }
    bakeset *session = bk_answer_session(answer);
    bakeset *reading = session ? bk_answer_session(answer) : NULL;
    if (reading) {
        size_t length = 0;
        const char *draft = bakeset_take_in_text(session, name && *name ? name : "what was pasted",
                                                 text, strlen(text), &length);
        if (draft)
            bk_answer_json(answer, 200, draft_json(session, reading, draft, length));
        else
            bk_answer_messages(answer, 422, "no-recipe", session);
    }
    bakeset_free(reading);
    bakeset_free(session);
}

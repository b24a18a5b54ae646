/* A recipe from outside, as a draft with its guesses. Nothing is written. */
#include "page/request.h"

#include <stdio.h>
#include <string.h>

/* The comments of a draft begin with what they are about; the value that they stand above is a
 * stage. */
static const char *member_of(const char *comment)
{
    static const struct {
        const char *word, *member;
    } words[] = {{"Time:", "time"}, {"Active:", "time"}, {"Passive:", "time"}, {"Oven:", "uses"}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strncmp(comment, words[i].word, strlen(words[i].word)) == 0)
            return words[i].member;
    return NULL;
}

/* "/stages/3" to the stage; NULL: it points elsewhere. */
static const cJSON *stage_at(const cJSON *value, const char *pointer)
{
    int index = -1, length = 0;
    if (sscanf(pointer, "/stages/%4d%n", &index, &length) != 1 || pointer[length] != '\0')
        return NULL;
    return cJSON_GetArrayItem(cJSON_GetObjectItemCaseSensitive(value, "stages"), index);
}

static void add_guess(cJSON *guesses, const cJSON *value, const cJSON *comment)
{
    const char *pointer = bk_text_of(comment, "pointer"), *text = bk_text_of(comment, "text");
    const char *member = text ? member_of(text) : NULL;
    const cJSON *stage = pointer && member ? stage_at(value, pointer) : NULL;
    char whole[64];
    if (!pointer || !text || *pointer == '\0') /* what is said of the whole draft */
        return;
    if (member && strcmp(member, "time") == 0)
        member = cJSON_GetObjectItemCaseSensitive(stage, "active") ? "active" : "passive";
    if (stage && cJSON_GetObjectItemCaseSensitive(stage, member)) {
        snprintf(whole, sizeof whole, "%.40s/%.10s", pointer, member);
        pointer = whole;
    }
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
        add_guess(guesses, value, comment);
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

/* A plan as it is written just now: its problems, its timeline. */
#include "page/plan.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* Lines of [DISH=]WHEN, as bakeset_read_options.serve has them. False after answering. */
static bool read_serve(const cJSON *serve, char **lines, bk_answer *answer)
{
    const cJSON *one;
    size_t length = 0, room = 0;
    if (!serve || cJSON_IsNull(serve))
        return true;
    cJSON_ArrayForEach(one, serve)
    {
        if (!cJSON_IsString(one) || strchr(one->valuestring, '\n') || one->valuestring[0] == '\0') {
            bk_answer_bad(answer, "a serve is no time", "send a list of [DISH=]WHEN as \"serve\"");
            return false;
        }
        room += strlen(one->valuestring) + 1;
    }
    if (room == 0)
        return true;
    *lines = malloc(room + 1);
    if (!*lines) {
        bk_answer_json(answer, 500, NULL);
        return false;
    }
    cJSON_ArrayForEach(one, serve)
    {
        length += (size_t)snprintf(*lines + length, room + 1 - length, "%s%s",
                                   length > 0 ? "\n" : "", one->valuestring);
    }
    return true;
}

static bool read_text(bk_page *page, const bk_request *request, bk_asked *asked, bk_answer *answer)
{
    const char *text = bk_text_of(request->json, "text");
    bk_file file;
    if (!text) {
        enum bk_folder_result result = bk_folder_read(page->folder, asked->path, &file);
        if (result != BK_FOLDER_OK)
            bk_answer_folder(answer, result);
        asked->text = result == BK_FOLDER_OK ? file.text : NULL;
        asked->length = result == BK_FOLDER_OK ? file.length : 0;
        return asked->text;
    }
    if (!bk_path_good(asked->path)) {
        bk_answer_folder(answer, BK_FOLDER_BAD_PATH);
        return false;
    }
    asked->text = strdup(text);
    asked->length = strlen(text);
    if (!asked->text)
        bk_answer_json(answer, 500, NULL);
    return asked->text;
}

bool bk_asked_read(bk_page *page, const bk_request *request, bk_asked *asked, bk_answer *answer)
{
    *asked = (bk_asked){.path = bk_text_of(request->json, "path")};
    const cJSON *serve = cJSON_GetObjectItemCaseSensitive(request->json, "serve");
    if (read_text(page, request, asked, answer) && read_serve(serve, &asked->serve, answer))
        return true;
    bk_asked_free(asked);
    return false;
}

void bk_asked_free(bk_asked *asked)
{
    free(asked->text);
    free(asked->serve);
    *asked = (bk_asked){0};
}

const char *bk_result_word(enum bakeset_result result)
{
    switch (result) {
    case BAKESET_OK:
        return "ok";
    case BAKESET_IMPOSSIBLE:
        return "impossible";
    case BAKESET_BAD_INPUT:
        return "bad-input";
    case BAKESET_FAILED:
        break;
    }
    return "failed";
}

bool bk_is_settled(bakeset *session)
{
    const char *timeline = bakeset_write(session, BAKESET_JSON, NULL, NULL);
    /* within a text of JSON the quotes would have a \ before them */
    return timeline && (strstr(timeline, "\n  \"status\": \"optimal\"") ||
                        strstr(timeline, "\n  \"status\": \"impossible\""));
}

cJSON *bk_plan_json(bakeset *session, enum bakeset_result result)
{
    bool told = result == BAKESET_OK || result == BAKESET_IMPOSSIBLE;
    const char *timeline = told ? bakeset_write(session, BAKESET_JSON, NULL, NULL) : NULL;
    cJSON *all = cJSON_CreateObject();
    cJSON_AddStringToObject(all, "result", bk_result_word(result));
    bk_add_raw(all, "timeline", timeline);
    cJSON_AddBoolToObject(all, "settled", timeline && bk_is_settled(session));
    cJSON_AddItemToObject(all, "messages", bk_messages_json(session));
    return all;
}

typedef struct waiting {
    const bk_page *page;
    bool full; /* all of the effort */
    int64_t until;
} waiting;

/* Somebody waits for the answer: what there is by then. For a first timeline, or a no, it is worth
 * waiting longer: "not known" helps nobody. */
static int is_late(void *context, const struct bakeset_progress *progress)
{
    const waiting *w = context;
    if (w->full || atomic_load(&w->page->closing))
        return atomic_load(&w->page->closing);
    int64_t late = bk_milliseconds() - w->until;
    bool of_a_no = progress->goal == BAKESET_GOAL_WHY || progress->goal == BAKESET_GOAL_REMEDIES;
    return late > (progress->found ? 0 : of_a_no ? BK_REASONS_MS : BK_PATIENT_MS);
}

void bk_route_plan(bk_page *page, const bk_request *request, bk_answer *answer)
{
    bk_asked asked;
    const char *effort = bk_text_of(request->json, "effort");
    if (!bk_asked_read(page, request, &asked, answer))
        return;
    bakeset *session = bk_answer_session(answer);
    if (session) {
        waiting w = {.page = page,
                     .full = effort && strcmp(effort, "full") == 0,
                     .until = request->asked + BK_QUICK_MS}; /* that it waited counts, too */
        struct bakeset_read_options reading = {.size = sizeof reading, .serve = asked.serve};
        struct bakeset_schedule_options scheduling = {.size = sizeof scheduling,
                                                      .effort = BK_SHEET_EFFORT,
                                                      .progress = is_late,
                                                      .progress_context = &w,
                                                      .every = BK_STEPS};
        enum bakeset_result result =
            bakeset_read_text(session, asked.path, asked.text, asked.length, &reading);
        if (result == BAKESET_OK)
            result = bakeset_schedule(session, &scheduling);
        bk_answer_json(answer, 200, bk_plan_json(session, result));
    }
    bakeset_free(session);
    bk_asked_free(&asked);
}

void bk_route_check(bk_page *page, const bk_request *request, bk_answer *answer)
{
    bk_asked asked;
    if (!bk_asked_read(page, request, &asked, answer))
        return;
    bakeset *session = bk_answer_session(answer);
    if (session) {
        struct bakeset_read_options alone = {
            .size = sizeof alone, .alone = 1, .serve = asked.serve};
        bakeset_read_text(session, asked.path, asked.text, asked.length, &alone);
        cJSON *all = cJSON_CreateObject();
        cJSON_AddItemToObject(all, "messages", bk_messages_json(session));
        bk_answer_json(answer, 200, all);
    }
    bakeset_free(session);
    bk_asked_free(&asked);
}

/* What a plan may not become while its evening goes on. */
#include "page/request.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Of one line of a journal, without what is behind it. */
static cJSON *line_of(const char *text)
{
    return cJSON_ParseWithLength(text, strcspn(text, "\n"));
}

/* The occasion that the journal is of, the caller's to free; NULL: it tells none, or the evening is
 * over. */
static char *goes_by(const char *journal)
{
    cJSON *first = line_of(journal);
    const char *occasion = bk_text_of(first, "occasion");
    char *name = occasion ? strdup(occasion) : NULL;
    bool over = false;
    cJSON_Delete(first);
    for (const char *at = strchr(journal, '\n'); at && at[1]; at = strchr(at + 1, '\n')) {
        cJSON *line = line_of(at + 1);
        const char *what = bk_text_of(line, "what");
        if (what && strcmp(what, "planned") != 0)
            over = strcmp(what, "finished") == 0;
        cJSON_Delete(line);
    }
    if (!over)
        return name;
    free(name);
    return NULL;
}

/* "" where it cannot be told; the caller's to free. */
static char *occasion_of(bakeset *session, const char *path, const char *text, size_t length)
{
    size_t plain_length = 0;
    const char *plain = bakeset_plain_text(session, path, text, length, &plain_length);
    cJSON *value = plain ? cJSON_ParseWithLength(plain, plain_length) : NULL;
    const char *occasion = bk_text_of(value, "occasion");
    char *name = strdup(occasion ? occasion : "");
    cJSON_Delete(value);
    return name;
}

static void answer_under_way(const char *name, bk_answer *answer)
{
    char what[300];
    snprintf(what, sizeof what, "the evening of \"%.200s\" is under way, and goes by that name",
             name);
    bk_answer_error(answer, 409, "under-way", what,
                    "keep the name until the day is over; all else may be changed");
}

static bool keeps_name(const char *name, const char *path, const bk_file *before, const char *text,
                       size_t length)
{
    bakeset *session = bakeset_new();
    char *was = session ? occasion_of(session, path, before->text, before->length) : NULL;
    char *becomes = session ? occasion_of(session, path, text, length) : NULL;
    /* a name that was another already is not what stops it, and one that can't be read is told */
    bool keeps =
        !was || !becomes || !*becomes || strcmp(becomes, name) == 0 || strcmp(was, name) != 0;
    free(was);
    free(becomes);
    bakeset_free(session);
    return keeps;
}

bool bk_may_become(bk_page *page, const char *path, const bk_file *before, const char *text,
                   size_t length, bk_answer *answer)
{
    bk_file journal;
    if (!before->text || !text || bk_folder_read_day(page->folder, path, &journal) != BK_FOLDER_OK)
        return true;
    char *name = goes_by(journal.text);
    bool may = !name || keeps_name(name, path, before, text, length);
    if (!may)
        answer_under_way(name, answer);
    free(name);
    free(journal.text);
    return may;
}

/* What a plan may not become while its evening goes on. */
#include "page/request.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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

static bool keeps_name(bakeset *session, const char *name, const char *path, const bk_file *before,
                       const char *text, size_t length)
{
    char *was = occasion_of(session, path, before->text, before->length);
    char *becomes = occasion_of(session, path, text, length);
    /* a name that was another already is not what stops it, and one that can't be read is told */
    bool keeps =
        !was || !becomes || !*becomes || strcmp(becomes, name) == 0 || strcmp(was, name) != 0;
    free(was);
    free(becomes);
    return keeps;
}

bool bk_may_become(bk_page *page, const char *path, const bk_file *before, const char *text,
                   size_t length, bk_answer *answer)
{
    bk_file journal;
    if (!before->text || !text || bk_folder_read_day(page->folder, path, &journal) != BK_FOLDER_OK)
        return true;
    bakeset *session = bakeset_new();
    const char *occasion =
        session ? bakeset_under_way_text(session, journal.text, journal.length) : NULL;
    char *name = occasion ? strdup(occasion) : NULL;
    bool may = !name || keeps_name(session, name, path, before, text, length);
    if (!may)
        answer_under_way(name, answer);
    free(name);
    bakeset_free(session);
    free(journal.text);
    return may;
}

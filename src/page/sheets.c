/* A plan's timeline as a sheet, a picture, a calendar. */
#include "page/kept.h"
#include "page/plan.h"

#include <stdlib.h>
#include <string.h>

/* The digest of the sheet's own script, which it tells in its head before anything that a cook
 * wrote. */
static void find_script(const char *text, char *digest, size_t room)
{
    const char *from = strstr(text, "'sha256-"), *to = from ? strchr(from + 1, '\'') : NULL;
    if (to && (size_t)(to - from) + 2 <= room) {
        memcpy(digest, from, (size_t)(to - from) + 1);
        digest[to - from + 1] = '\0';
    }
}

static void answer_form(bakeset *session, enum bakeset_form form, bk_answer *answer)
{
    static const struct {
        const char *type, *attached;
    } forms[] = {
        [BAKESET_HTML] = {"text/html; charset=utf-8", NULL},
        [BAKESET_SVG] = {"image/svg+xml", NULL},
        [BAKESET_ICS] = {"text/calendar; charset=utf-8", "attachment; filename=\"bakeset.ics\""},
    };
    size_t length = 0;
    const char *text = bakeset_write(session, form, NULL, &length);
    if (!text) {
        bk_answer_messages(answer, 500, "machine", session);
        return;
    }
    bk_answer_text(answer, forms[form].type, text, length);
    answer->attached = forms[form].attached;
    answer->own_style = form != BAKESET_ICS;
    if (form == BAKESET_HTML)
        find_script(text, answer->script, sizeof answer->script);
}

/* Why there is no timeline, for who reads without script. */
static void answer_why(bakeset *session, bk_answer *answer)
{
    size_t length = 0;
    const char *text = bakeset_write(session, BAKESET_TEXT, NULL, &length);
    bk_answer_text(answer, "text/plain; charset=utf-8", text, length);
    if (answer->status == 200)
        answer->status = 409;
}

static const enum bk_form kept_as[] = {[BAKESET_HTML] = BK_FORM_SHEET,
                                       [BAKESET_SVG] = BK_FORM_PICTURE,
                                       [BAKESET_ICS] = BK_FORM_CALENDAR};

/* What was made of the files as they are now. Paper that is old does harm, so what is not fresh is
 * made anew before it is given out. */
static bool give_made(bk_page *page, const bk_request *request, enum bakeset_form form,
                      bk_answer *answer)
{
    bool fresh = false;
    if (!bk_kept_give(page->kept, kept_as[form], request->file, 0, &fresh, NULL, answer) || fresh)
        return answer->status != 0;
    free(answer->text);
    *answer = (bk_answer){.status = 0};
    return false;
}

static void answer_sheet(bk_page *page, const bk_request *request, enum bakeset_form form,
                         bk_answer *answer)
{
    bk_file file;
    struct stat status;
    struct timespec begun = bk_kept_begin();
    enum bk_folder_result found = request->may_wait
                                      ? bk_folder_read(page->folder, request->file, &file)
                                      : bk_folder_look(page->folder, request->file, &status);
    if (found != BK_FOLDER_OK) {
        bk_answer_folder(answer, found);
        return;
    }
    if (!request->may_wait) {
        give_made(page, request, form, answer); /* or nothing: then it will be waited for */
        return;
    }
    bakeset *session = bk_answer_session(answer);
    if (session) {
        struct bakeset_schedule_options scheduling = {.size = sizeof scheduling,
                                                      .effort = BK_SHEET_EFFORT};
        enum bakeset_result result =
            bakeset_read_text(session, request->file, file.text, file.length, NULL);
        if (result == BAKESET_OK)
            result = bakeset_schedule(session, &scheduling);
        if (result == BAKESET_OK)
            answer_form(session, form, answer);
        else if (result == BAKESET_IMPOSSIBLE)
            answer_why(session, answer);
        else
            bk_answer_messages(answer, 422, "plan", session);
        if (result == BAKESET_OK || result == BAKESET_IMPOSSIBLE)
            bk_kept_put(page->kept, kept_as[form], request->file,
                        &(bk_basis){.session = session, .begun = begun}, answer);
    }
    bakeset_free(session);
    free(file.text);
}

void bk_route_sheet(bk_page *page, const bk_request *request, bk_answer *answer)
{
    answer_sheet(page, request, BAKESET_HTML, answer);
}

void bk_route_picture(bk_page *page, const bk_request *request, bk_answer *answer)
{
    answer_sheet(page, request, BAKESET_SVG, answer);
}

void bk_route_calendar(bk_page *page, const bk_request *request, bk_answer *answer)
{
    answer_sheet(page, request, BAKESET_ICS, answer);
}

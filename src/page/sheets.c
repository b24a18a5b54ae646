/* A plan's timeline as a sheet, a picture, a calendar; on its day, the evening as it stands. */
#include "page/given.h"
#include "page/kept.h"
#include "page/plan.h"

#include <stdio.h>
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

/* What a request is answered with. */
typedef struct paper {
    bk_page *page;
    const char *path;
    enum bakeset_form form;
    bk_file file;        /* the plan's */
    struct stat journal; /* st_nlink 0: there is none */
    int64_t minute;
} paper;

static bool has_day(const paper *p)
{
    return p->journal.st_nlink > 0 && p->journal.st_size > 0;
}

static enum bakeset_result plan(const paper *p, bakeset *session)
{
    struct bakeset_schedule_options scheduling = {.size = sizeof scheduling,
                                                  .effort = BK_SHEET_EFFORT};
    enum bakeset_result result =
        bakeset_read_text(session, p->path, p->file.text, p->file.length, NULL);
    return result == BAKESET_OK ? bakeset_schedule(session, &scheduling) : result;
}

static int is_closing(void *context, const struct bakeset_progress *progress)
{
    (void)progress;
    return atomic_load(&((const paper *)context)->page->closing);
}

/* The evening as it stands, where it has begun; else as it is planned. */
static enum bakeset_result work_out(paper *p, bakeset *session)
{
    struct bakeset_day_options options = {.size = sizeof options,
                                          .clock = p->minute,
                                          .effort = BK_SHEET_EFFORT,
                                          .progress = is_closing,
                                          .progress_context = p,
                                          .every = BK_STEPS};
    return has_day(p) ? bakeset_day(session, p->path, &options) : plan(p, session);
}

/* What a phone has of it most likely, where the page does not know what it gave: the calendar of
 * the plan before its day. NULL: there is none. */
static char *calendar_before(const paper *p)
{
    bakeset *session = bakeset_new();
    const char *text = session && plan(p, session) == BAKESET_OK
                           ? bakeset_write(session, BAKESET_ICS, NULL, NULL)
                           : NULL;
    char *before = text ? strdup(text) : NULL;
    bakeset_free(session);
    return before;
}

/* In place of the one that was given before: the same alarms, moved. */
static const char *write_calendar(const paper *p, bakeset *session, size_t *length)
{
    char *before = bk_given_last(p->page->given, p->path);
    if (!before && has_day(p))
        before = calendar_before(p);
    struct bakeset_write_options options = {.size = sizeof options, .replaces_text = before};
    const char *text = bakeset_write(session, BAKESET_ICS, &options, length);
    if (!text && before) /* of that one nothing can be told */
        text = bakeset_write(session, BAKESET_ICS, NULL, length);
    free(before);
    if (text)
        bk_given_note(p->page->given, p->path, text);
    return text;
}

static void answer_form(const paper *p, bakeset *session, bk_answer *answer)
{
    static const struct {
        const char *type, *attached;
    } forms[] = {
        [BAKESET_HTML] = {"text/html; charset=utf-8", NULL},
        [BAKESET_SVG] = {"image/svg+xml", NULL},
        [BAKESET_ICS] = {"text/calendar; charset=utf-8", "attachment; filename=\"bakeset.ics\""},
    };
    size_t length = 0;
    const char *text = p->form == BAKESET_ICS ? write_calendar(p, session, &length)
                                              : bakeset_write(session, p->form, NULL, &length);
    if (!text) {
        bk_answer_messages(answer, 500, "machine", session);
        return;
    }
    bk_answer_text(answer, forms[p->form].type, text, length);
    answer->attached = forms[p->form].attached;
    answer->own_style = p->form != BAKESET_ICS;
    if (p->form == BAKESET_HTML)
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

/* What was made of the files as they are now, and, of an evening, in this minute. Paper that is old
 * does harm, so what is not fresh is made anew before it is given out. */
static void give_made(const paper *p, bk_answer *answer)
{
    bool fresh = false;
    if (!bk_kept_give(p->page->kept, kept_as[p->form], p->path, p->minute, &fresh, NULL, answer) ||
        fresh)
        return;
    free(answer->text);
    *answer = (bk_answer){.status = 0};
}

/* The files as they are now; with the plan's text where it is `whole`. False after answering. */
static bool look(paper *p, bool whole, bk_answer *answer)
{
    struct stat status;
    enum bk_folder_result found = whole ? bk_folder_read(p->page->folder, p->path, &p->file)
                                        : bk_folder_look(p->page->folder, p->path, &status);
    if (found == BK_FOLDER_OK) {
        found = bk_folder_look_day(p->page->folder, p->path, &p->journal);
        if (found != BK_FOLDER_OK)
            p->journal = (struct stat){.st_nlink = 0};
        if (found == BK_FOLDER_OK || found == BK_FOLDER_NONE)
            return true;
    }
    bk_answer_folder(answer, found);
    return false;
}

static void keep(const paper *p, bakeset *session, const struct timespec *begun,
                 const bk_answer *answer)
{
    char beside[BK_LONGEST_PATH + 16];
    size_t length = 0;
    bk_folder_journal_of(p->path, beside, sizeof beside);
    /* one that was added to since it was looked at is not the one that was read */
    if (has_day(p) && (bakeset_day_journal(session, &length) != BAKESET_OK ||
                       length != (size_t)p->journal.st_size))
        return;
    bk_kept_put(p->page->kept, kept_as[p->form], p->path,
                &(bk_basis){.session = session,
                            .begun = *begun,
                            .journal = beside,
                            .journal_status = &p->journal,
                            .minute = has_day(p) ? p->minute : 0},
                answer);
}

static void answer_sheet(bk_page *page, const bk_request *request, enum bakeset_form form,
                         bk_answer *answer)
{
    paper p = {
        .page = page, .path = request->file, .form = form, .minute = page->options->seconds() / 60};
    struct timespec begun = bk_kept_begin();
    if (!look(&p, request->may_wait, answer)) {
        free(p.file.text);
        return;
    }
    if (!request->may_wait) {
        give_made(&p, answer); /* or nothing: then it will be waited for */
        return;
    }
    bakeset *session = bk_answer_session(answer);
    if (session) {
        enum bakeset_result result = work_out(&p, session);
        if (result == BAKESET_OK)
            answer_form(&p, session, answer);
        else if (result == BAKESET_IMPOSSIBLE)
            answer_why(session, answer);
        else
            bk_answer_messages(answer, 422, has_day(&p) ? "day" : "plan", session);
        if (result == BAKESET_OK || result == BAKESET_IMPOSSIBLE)
            keep(&p, session, &begun, answer);
    }
    bakeset_free(session);
    free(p.file.text);
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

/* Private to page: a plan as asked for, read and scheduled. */
#ifndef BK_PAGE_PLAN_H
#define BK_PAGE_PLAN_H

#include "page/request.h"

/* After so long an answer is given while somebody types, so much later where it cannot be met,
 * with what would help, and where there is none yet;
 * conflicts after which a sheet is; steps after which a clock is looked at: some hundredths of a
 * second. */
enum {
    BK_QUICK_MS = 120,
    BK_REASONS_MS = 800,
    BK_PATIENT_MS = 2000,
    BK_SHEET_EFFORT = 20000,
    BK_STEPS = 500000
};

/* What a request asks of: the file at `path`, or `text` in its place; "serve" moves it. The text
 * and the lines are the caller's to free. False after answering. */
typedef struct bk_asked {
    const char *path;
    char *text, *serve;
    size_t length;
} bk_asked;

bool bk_asked_read(bk_page *page, const bk_request *request, bk_asked *asked, bk_answer *answer);
void bk_asked_free(bk_asked *asked);

/* "ok", ... */
const char *bk_result_word(enum bakeset_result result);

/* What was scheduled is proved to be the best, or to be impossible. */
bool bk_is_settled(bakeset *session);

/* The answer of a plan that was scheduled, or could not be. */
cJSON *bk_plan_json(bakeset *session, enum bakeset_result result);

#endif

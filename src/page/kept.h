/* Private to page: answers that were made, kept with what they were made of: whoever only reads
 * gets what there is, while another makes the next. */
#ifndef BK_PAGE_KEPT_H
#define BK_PAGE_KEPT_H

#include "page/request.h"

#include <time.h>

enum bk_form { BK_FORM_DAY, BK_FORM_FILE, BK_FORM_SHEET, BK_FORM_PICTURE, BK_FORM_CALENDAR };

enum { BK_MOST_KEPT = 64, BK_MOST_KEPT_BYTES = 16 * 1024 * 1024 };

struct bk_kept;

struct bk_kept *bk_kept_new(void);
void bk_kept_free(struct bk_kept *kept);

/* To be asked before the files of an answer are read: one that changes from then on makes the
 * answer stale. */
struct timespec bk_kept_begin(void);

/* What an answer hangs on. */
typedef struct bk_basis {
    const bakeset *session; /* its sources; one that read nothing: the answer is not kept */
    struct timespec begun;  /* bk_kept_begin */
    const char *journal;    /* one more file, which may be missing; or NULL */
    const struct stat *journal_status; /* as it was; st_nlink 0: it was missing */
    int64_t minute;                    /* it is good for this minute alone; 0: for any */
} bk_basis;

/* Keeps a copy of the answer in place of the one before, which nobody who has it loses. False: it
 * is not kept, and neither is the one before: a file changed while it was made, or there is no
 * memory. */
bool bk_kept_put(struct bk_kept *kept, enum bk_form form, const char *path, const bk_basis *basis,
                 const bk_answer *answer);

/* Fills the answer with what is kept, and *minute (where not NULL) with its minute; *fresh: it is
 * of the files as they are now, and of minute `now`. False: nothing is kept. */
bool bk_kept_give(struct bk_kept *kept, enum bk_form form, const char *path, int64_t now,
                  bool *fresh, int64_t *minute, bk_answer *answer);

/* The same without the answer: is there one, and is it fresh? */
bool bk_kept_is_fresh(struct bk_kept *kept, enum bk_form form, const char *path, int64_t now);

void bk_kept_drop(struct bk_kept *kept, enum bk_form form, const char *path);

#endif

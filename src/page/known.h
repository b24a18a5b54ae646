/* Private to page: what the folder's files are, kept as long as they do not change. */
#ifndef BK_PAGE_KNOWN_H
#define BK_PAGE_KNOWN_H

#include "page/request.h"

struct bk_known *bk_known_new(void);
void bk_known_free(struct bk_known *known);

/* Calls `use` with what /api/folder answers, as a value and as text, which live as long as that
 * call. The folder is looked at anew where nobody did just now and `may_look`. False: it would have
 * to be; or it cannot be read, or there is no memory. */
bool bk_known_use(bk_page *page, bool may_look,
                  void (*use)(void *context, const cJSON *folder, const char *text), void *context);

/* Somebody changed a file of the folder. */
void bk_known_changed(struct bk_known *known);

/* The folder was looked at; `changed`: it is not as it was the last time. */
void bk_known_looked(struct bk_known *known, bool changed);

#endif

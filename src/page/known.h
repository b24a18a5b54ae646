/* Private to page: what the folder's files are, kept as long as they do not change. */
#ifndef BK_PAGE_KNOWN_H
#define BK_PAGE_KNOWN_H

#include "page/request.h"

struct bk_known *bk_known_new(void);
void bk_known_free(struct bk_known *known);

/* What /api/folder answers; NULL: there is no memory. */
cJSON *bk_known_json(bk_page *page);

#endif

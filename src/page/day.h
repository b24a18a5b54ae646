/* Private to page: days under way, as last worked out. */
#ifndef BK_PAGE_DAY_H
#define BK_PAGE_DAY_H

#include "page/request.h"

struct bk_days *bk_days_new(void);
void bk_days_free(struct bk_days *days);

/* Has the days that somebody asked for worked out anew where their files or the minute have
 * changed; whoever listens is told of each that became another. */
void bk_days_look(bk_page *page);

/* A file was changed: the days that could not be read are tried once more. */
void bk_days_mend(bk_page *page);

/* The journal of that plan was changed. True: it is, or will be, told with the day as it then
 * stands; false: nobody asked for it. */
bool bk_days_changed(bk_page *page, const char *path);

#endif

/* Private to page: changes of the folder's files, whoever made them, become events. */
#ifndef BK_PAGE_WATCH_H
#define BK_PAGE_WATCH_H

#include "page/request.h"

typedef struct bk_watching {
    bk_listing before;
    bool has_before;
} bk_watching;

/* Looks at the folder and sends `file`, `day` and `folder` for what is other than the last time.
 * The files are looked at (stat), not waited for (inotify): it is the same on every file system,
 * those of the network too, needs nothing for a folder that is made meanwhile, and 1,000 files take
 * a few milliseconds, four times a second and only while somebody listens. */
void bk_watch_look(bk_page *page, bk_watching *watching);

void bk_watch_clear(bk_watching *watching);

#endif

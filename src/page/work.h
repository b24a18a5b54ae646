/* Private to page: a few threads that do what takes time, one job after another. */
#ifndef BK_PAGE_WORK_H
#define BK_PAGE_WORK_H

#include <stdbool.h>

enum { BK_WORKERS = 3, BK_MOST_WAITING = 64 };

typedef struct bk_work bk_work;

/* NULL: no threads to be had. */
bk_work *bk_work_new(void (*work)(void *job));

/* False: too much waits already, or it is closed. */
bool bk_work_add(bk_work *work, void *job);

/* Does what waits, then ends the threads; no more is taken. Accepts NULL. */
void bk_work_end(bk_work *work);

/* After bk_work_end. Accepts NULL. */
void bk_work_free(bk_work *work);

#endif

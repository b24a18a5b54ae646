/* Private to page: threads that do what takes time, in queues of their own, so that what is soon
 * done never waits behind what is not. */
#ifndef BK_PAGE_WORK_H
#define BK_PAGE_WORK_H

#include <stdbool.h>

enum bk_queue {
    BK_READS, /* a look at the folder */
    BK_FILES, /* a file is checked or changed, and flushed to the disk */
    BK_DAYS,  /* days are planned anew */
    BK_PLANS, /* plans, sheets */
    BK_AFAR,  /* other machines are waited for */
    BK_QUEUES
};

enum { BK_MOST_WAITING = 64 /* in each queue */ };

typedef struct bk_work bk_work;

/* NULL: no threads to be had. */
bk_work *bk_work_new(void);

/* `run` will be called with the job, once. False: too much waits already, or it is closed. */
bool bk_work_add(bk_work *work, enum bk_queue queue, void (*run)(void *job), void *job);

/* Does what waits, then ends the threads; no more is taken. Accepts NULL. */
void bk_work_end(bk_work *work);

/* After bk_work_end. Accepts NULL. */
void bk_work_free(bk_work *work);

/* The calling thread lets others go first, by so much of nice(1); where the system's threads have
 * no niceness of their own, nothing happens. */
void bk_let_others_first(int niceness);

#endif

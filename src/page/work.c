/* Threads that work off short queues. */
#define _GNU_SOURCE /* gettid */
#include "page/work.h"

#include <errno.h>
#include <pthread.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <unistd.h>

enum { MOST_THREADS = 2 };

typedef struct job {
    void (*run)(void *job);
    void *job;
} job;

typedef struct queue {
    pthread_mutex_t lock;
    pthread_cond_t come;
    pthread_t threads[MOST_THREADS];
    int started, niceness;
    job waiting[BK_MOST_WAITING];
    int first, count;
    bool closed;
} queue;

struct bk_work {
    queue queues[BK_QUEUES];
};

/* Mostly two: what one waits for, another need not. With the few searches that is all that can want
 * a processor; by their niceness those who only read get it first. */
static const struct {
    int threads, niceness;
} kinds[BK_QUEUES] = {[BK_READS] = {2, 0},
                      [BK_FILES] = {2, 0},
                      [BK_DAYS] = {2, 2},
                      [BK_PLANS] = {2, 4},
                      [BK_AFAR] = {1, 4}};

void bk_let_others_first(int niceness)
{
#ifdef __linux__
    id_t thread = (id_t)gettid();
    errno = 0;
    int now = getpriority(PRIO_PROCESS, thread);
    if (errno == 0 && niceness > 0)
        setpriority(PRIO_PROCESS, thread, now + niceness); /* kept to what there is */
#else
    (void)niceness;
#endif
}

static void *run(void *context)
{
    queue *q = context;
    bk_let_others_first(q->niceness);
    pthread_mutex_lock(&q->lock);
    for (;;) {
        while (q->count == 0 && !q->closed)
            pthread_cond_wait(&q->come, &q->lock);
        if (q->count == 0)
            break;
        job next = q->waiting[q->first];
        q->first = (q->first + 1) % BK_MOST_WAITING;
        q->count--;
        pthread_mutex_unlock(&q->lock);
        next.run(next.job);
        pthread_mutex_lock(&q->lock);
    }
    pthread_mutex_unlock(&q->lock);
    return NULL;
}

static bool start(queue *q, int threads, int niceness)
{
    q->niceness = niceness;
    while (q->started < threads && pthread_create(&q->threads[q->started], NULL, run, q) == 0)
        q->started++;
    return q->started > 0;
}

bk_work *bk_work_new(void)
{
    bk_work *work = calloc(1, sizeof *work);
    bool good = work;
    for (int i = 0; work && i < BK_QUEUES; i++) {
        pthread_mutex_init(&work->queues[i].lock, NULL);
        pthread_cond_init(&work->queues[i].come, NULL);
    }
    for (int i = 0; good && i < BK_QUEUES; i++)
        good = start(&work->queues[i], kinds[i].threads, kinds[i].niceness);
    if (good)
        return work;
    bk_work_end(work);
    bk_work_free(work);
    return NULL;
}

bool bk_work_add(bk_work *work, enum bk_queue which, void (*run_it)(void *job), void *what)
{
    queue *q = &work->queues[which];
    pthread_mutex_lock(&q->lock);
    bool room = !q->closed && q->count < BK_MOST_WAITING;
    if (room) {
        q->waiting[(q->first + q->count++) % BK_MOST_WAITING] = (job){run_it, what};
        pthread_cond_signal(&q->come);
    }
    pthread_mutex_unlock(&q->lock);
    return room;
}

void bk_work_end(bk_work *work)
{
    for (int i = 0; work && i < BK_QUEUES; i++) {
        queue *q = &work->queues[i];
        pthread_mutex_lock(&q->lock);
        q->closed = true;
        pthread_cond_broadcast(&q->come);
        pthread_mutex_unlock(&q->lock);
    }
    for (int i = 0; work && i < BK_QUEUES; i++)
        for (queue *q = &work->queues[i]; q->started > 0; q->started--)
            pthread_join(q->threads[q->started - 1], NULL);
}

void bk_work_free(bk_work *work)
{
    for (int i = 0; work && i < BK_QUEUES; i++) {
        pthread_cond_destroy(&work->queues[i].come);
        pthread_mutex_destroy(&work->queues[i].lock);
    }
    free(work);
}

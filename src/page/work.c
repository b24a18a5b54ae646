/* Threads that work off a short queue. */
#include "page/work.h"

#include <pthread.h>
#include <stdlib.h>

struct bk_work {
    void (*work)(void *job);
    pthread_mutex_t lock;
    pthread_cond_t come;
    pthread_t threads[BK_WORKERS];
    int started;
    void *waiting[BK_MOST_WAITING];
    int first, count;
    bool closed;
};

static void *run(void *context)
{
    bk_work *work = context;
    pthread_mutex_lock(&work->lock);
    for (;;) {
        while (work->count == 0 && !work->closed)
            pthread_cond_wait(&work->come, &work->lock);
        if (work->count == 0)
            break;
        void *job = work->waiting[work->first];
        work->first = (work->first + 1) % BK_MOST_WAITING;
        work->count--;
        pthread_mutex_unlock(&work->lock);
        work->work(job);
        pthread_mutex_lock(&work->lock);
    }
    pthread_mutex_unlock(&work->lock);
    return NULL;
}

bk_work *bk_work_new(void (*work)(void *job))
{
    bk_work *made = calloc(1, sizeof *made);
    if (!made)
        return NULL;
    made->work = work;
    pthread_mutex_init(&made->lock, NULL);
    pthread_cond_init(&made->come, NULL);
    while (made->started < BK_WORKERS &&
           pthread_create(&made->threads[made->started], NULL, run, made) == 0)
        made->started++;
    if (made->started > 0)
        return made;
    bk_work_free(made);
    return NULL;
}

bool bk_work_add(bk_work *work, void *job)
{
    pthread_mutex_lock(&work->lock);
    bool room = !work->closed && work->count < BK_MOST_WAITING;
    if (room) {
        work->waiting[(work->first + work->count++) % BK_MOST_WAITING] = job;
        pthread_cond_signal(&work->come);
    }
    pthread_mutex_unlock(&work->lock);
    return room;
}

void bk_work_end(bk_work *work)
{
    if (!work)
        return;
    pthread_mutex_lock(&work->lock);
    work->closed = true;
    pthread_cond_broadcast(&work->come);
    pthread_mutex_unlock(&work->lock);
    for (int i = 0; i < work->started; i++)
        pthread_join(work->threads[i], NULL);
}

void bk_work_free(bk_work *work)
{
    if (!work)
        return;
    pthread_cond_destroy(&work->come);
    pthread_mutex_destroy(&work->lock);
    free(work);
}

/* Threads that work off queues: what waits in one keeps nobody waiting in another; nothing that was
 * taken is lost; too much is not taken. */
#include "page/work.h"

#include <pthread.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <time.h>

#include <cmocka.h>

static pthread_mutex_t gate = PTHREAD_MUTEX_INITIALIZER; /* held: nobody gets on */
static atomic_int passed, done;

static void pass(void *job)
{
    (void)job;
    pthread_mutex_lock(&gate);
    pthread_mutex_unlock(&gate);
    atomic_fetch_add(&passed, 1);
}

static void count(void *job)
{
    atomic_fetch_add((atomic_int *)job, 1);
}

static void who_reads_waits_for_nobody_who_plans(void **state)
{
    (void)state;
    bk_work *work = bk_work_new();
    assert_non_null(work);
    atomic_store(&passed, 0);
    atomic_store(&done, 0);
    pthread_mutex_lock(&gate);
    for (int i = 0; i < 10; i++) {
        assert_true(bk_work_add(work, BK_PLANS, pass, NULL));
        assert_true(bk_work_add(work, BK_DAYS, pass, NULL));
        assert_true(bk_work_add(work, BK_FILES, pass, NULL));
    }
    for (int i = 0; i < 50; i++)
        assert_true(bk_work_add(work, BK_READS, count, &done));
    static const struct timespec moment = {0, 10000000L};
    for (int i = 0; i < 1000 && atomic_load(&done) < 50; i++)
        nanosleep(&moment, NULL);
    assert_int_equal(atomic_load(&done), 50);
    assert_int_equal(atomic_load(&passed), 0);
    pthread_mutex_unlock(&gate);
    bk_work_end(work);
    assert_int_equal(atomic_load(&passed), 30);
    bk_work_free(work);
}

static void too_much_is_not_taken(void **state)
{
    (void)state;
    bk_work *work = bk_work_new();
    int taken = 0;
    atomic_store(&passed, 0);
    pthread_mutex_lock(&gate);
    while (bk_work_add(work, BK_PLANS, pass, NULL) && taken < 1000)
        taken++;
    assert_in_range(taken, BK_MOST_WAITING, BK_MOST_WAITING + 2); /* two are being done */
    assert_true(bk_work_add(work, BK_READS, count, &done));
    pthread_mutex_unlock(&gate);
    bk_work_end(work);
    assert_int_equal(atomic_load(&passed), taken);
    assert_false(bk_work_add(work, BK_READS, count, &done));
    bk_work_free(work);
    bk_work_end(NULL);
    bk_work_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(who_reads_waits_for_nobody_who_plans),
        cmocka_unit_test(too_much_is_not_taken),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

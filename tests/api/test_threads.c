/* Two threads with a session each: the same bytes as one after the other. Under
 * ThreadSanitizer (make check-tsan) also: nothing is shared. */
#include "sample.h"

#include <pthread.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { ROUNDS = 5 };

struct work {
    const char *plans[3];
    char *texts[3]; /* NULL: they differed from round to round */
};

static void *do_work(void *argument)
{
    struct work *work = argument;
    bakeset *session = bakeset_new();
    for (size_t i = 0; session && i < 3 * ROUNDS; i++) {
        char *text = sample_all(session, work->plans[i % 3]);
        char *before = work->texts[i % 3];
        if (i < 3) {
            work->texts[i] = text;
        } else {
            if (before && (!text || strcmp(text, before) != 0)) {
                free(before);
                work->texts[i % 3] = NULL;
            }
            free(text);
        }
    }
    bakeset_free(session);
    return NULL;
}

static void two_threads_with_a_session_each(void **state)
{
    (void)state;
    struct work works[2] = {{.plans = {SUPPER, TEA, IMPOSSIBLE}},
                            {.plans = {IMPOSSIBLE, SUPPER, TEA}}};
    pthread_t threads[2];
    for (size_t i = 0; i < 2; i++)
        assert_int_equal(pthread_create(&threads[i], NULL, do_work, &works[i]), 0);
    for (size_t i = 0; i < 2; i++)
        assert_int_equal(pthread_join(threads[i], NULL), 0);
    for (size_t i = 0; i < 3; i++) {
        assert_non_null(works[0].texts[i]);
        assert_non_null(works[1].texts[(i + 1) % 3]);
        assert_string_equal(works[0].texts[i], works[1].texts[(i + 1) % 3]);
    }
    for (size_t i = 0; i < 6; i++)
        free(works[i / 3].texts[i % 3]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(two_threads_with_a_session_each)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* Keys and cookies: once, ten minutes, forgotten when the file is gone. */
#define _XOPEN_SOURCE 700
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "own_folder.h"
#include "page/keys.h"

static int fresh(void **state)
{
    (void)state;
    unlinkat(folder, BK_PHONES_FILE, 0);
    return 0;
}

static struct bk_keys *keys_new(void)
{
    const char *problem = NULL;
    struct bk_keys *keys = bk_keys_new(folder, &problem);
    assert_non_null(keys);
    return keys;
}

/* As on a medium that is only read: no cookie could be kept. */
static void where_nothing_can_be_written_nobody_waits_for_a_key(void **state)
{
    (void)state;
    const char *problem = NULL;
    assert_int_equal(mkdirat(folder, BK_PHONES_FILE ".part", 0700), 0);
    assert_null(bk_keys_new(folder, &problem));
    assert_non_null(strstr(problem, "cannot be written"));
    assert_int_equal(unlinkat(folder, BK_PHONES_FILE ".part", AT_REMOVEDIR), 0);
    bk_keys_free(keys_new());
    assert_int_not_equal(faccessat(folder, BK_PHONES_FILE ".part", F_OK, 0), 0);
    assert_int_not_equal(faccessat(folder, BK_PHONES_FILE, F_OK, 0), 0);
}

static void a_key_lets_one_phone_in(void **state)
{
    (void)state;
    struct bk_keys *keys = keys_new();
    char key[BK_KEY_LENGTH + 1], other[BK_KEY_LENGTH + 1], cookie[BK_COOKIE_LENGTH + 1],
        none[BK_COOKIE_LENGTH + 1];
    assert_true(bk_keys_spent(keys, 0));
    assert_false(bk_keys_pair(keys, "", 0, none)); /* none was made yet */
    assert_true(bk_keys_make(keys, 1000, key));
    assert_int_equal(strlen(key), BK_KEY_LENGTH);
    assert_false(bk_keys_spent(keys, 1000));
    assert_false(bk_keys_pair(keys, "", 1000, none));
    assert_false(bk_keys_pair(keys, "wrong", 1000, none));
    assert_true(bk_keys_good(keys, key, 1000));
    assert_true(bk_keys_good(keys, key, 1000)); /* a look uses nothing up */
    assert_false(bk_keys_good(keys, "wrong", 1000));
    assert_false(bk_keys_good(keys, key, 1001 + BK_KEY_SECONDS));
    assert_true(bk_keys_pair(keys, key, 1000, cookie));
    assert_false(bk_keys_good(keys, key, 1000));
    assert_int_equal(strlen(cookie), BK_COOKIE_LENGTH);
    assert_true(bk_keys_spent(keys, 1000));
    assert_false(bk_keys_pair(keys, key, 1000, none));
    assert_true(bk_keys_know(keys, cookie));
    assert_false(bk_keys_know(keys, key));
    assert_false(bk_keys_know(keys, ""));
    assert_true(bk_keys_make(keys, 2000, other));
    assert_string_not_equal(key, other);
    assert_true(bk_keys_pair(keys, other, 2000 + BK_KEY_SECONDS, none));
    assert_true(bk_keys_make(keys, 2000, key));
    assert_true(bk_keys_spent(keys, 2001 + BK_KEY_SECONDS));
    assert_false(bk_keys_pair(keys, key, 2001 + BK_KEY_SECONDS, none));
    /* a new one in place of it */
    assert_true(bk_keys_make(keys, 3000, key));
    assert_true(bk_keys_make(keys, 3000, other));
    assert_false(bk_keys_pair(keys, key, 3000, none));
    bk_keys_free(keys);
}

static void phones_are_kept_and_forgotten(void **state)
{
    (void)state;
    struct bk_keys *keys = keys_new();
    char key[BK_KEY_LENGTH + 1], cookie[BK_COOKIE_LENGTH + 1];
    const char *problem = NULL;
    struct stat status;
    assert_false(bk_keys_forgotten(keys));
    assert_true(bk_keys_make(keys, 0, key) && bk_keys_pair(keys, key, 0, cookie));
    assert_int_equal(fstatat(folder, BK_PHONES_FILE, &status, 0), 0);
    assert_int_equal(status.st_mode & 0777, 0600);
    struct bk_keys *again = keys_new();
    assert_true(bk_keys_know(again, cookie));
    assert_true(bk_keys_forget(folder, &problem));
    assert_false(bk_keys_know(keys, cookie));
    assert_true(bk_keys_forgotten(keys));
    assert_false(bk_keys_forgotten(keys)); /* once told */
    assert_true(bk_keys_forgotten(again));
    assert_true(bk_keys_forget(folder, &problem));
    bk_keys_free(again);
    bk_keys_free(keys);
}

static void a_hundred_phones_at_most(void **state)
{
    (void)state;
    struct bk_keys *keys = keys_new();
    char key[BK_KEY_LENGTH + 1], first[BK_COOKIE_LENGTH + 1], second[BK_COOKIE_LENGTH + 1],
        last[BK_COOKIE_LENGTH + 1];
    for (int i = 0; i <= BK_MOST_PHONES; i++)
        assert_true(bk_keys_make(keys, 0, key) && bk_keys_pair(keys, key, 0,
                                                               i == 0   ? first
                                                               : i == 1 ? second
                                                                        : last));
    assert_false(bk_keys_know(keys, first));
    assert_true(bk_keys_know(keys, second));
    assert_true(bk_keys_know(keys, last));
    bk_keys_free(keys);
}

static void a_file_of_others_is_refused(void **state)
{
    (void)state;
    const char *problem = NULL;
    char key[BK_KEY_LENGTH + 1], cookie[BK_COOKIE_LENGTH + 1];
    struct bk_keys *keys = keys_new();
    assert_true(bk_keys_make(keys, 0, key) && bk_keys_pair(keys, key, 0, cookie));
    assert_int_equal(fchmodat(folder, BK_PHONES_FILE, 0644, 0), 0);
    assert_false(bk_keys_know(keys, cookie));
    assert_null(bk_keys_new(folder, &problem));
    assert_non_null(strstr(problem, "only you"));
    assert_int_equal(fchmodat(folder, BK_PHONES_FILE, 0600, 0), 0);
    assert_true(bk_keys_know(keys, cookie));
    int file = openat(folder, BK_PHONES_FILE, O_WRONLY | O_APPEND);
    assert_int_equal(write(file, "x\n", 2), 2);
    close(file);
    assert_false(bk_keys_know(keys, cookie));
    assert_null(bk_keys_new(folder, &problem));
    unlinkat(folder, BK_PHONES_FILE, 0);
    assert_int_equal(symlinkat("/etc/passwd", folder, BK_PHONES_FILE), 0);
    assert_null(bk_keys_new(folder, &problem));
    bk_keys_free(keys);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(a_key_lets_one_phone_in, fresh),
        cmocka_unit_test_setup(where_nothing_can_be_written_nobody_waits_for_a_key, fresh),
        cmocka_unit_test_setup(phones_are_kept_and_forgotten, fresh),
        cmocka_unit_test_setup(a_hundred_phones_at_most, fresh),
        cmocka_unit_test_setup(a_file_of_others_is_refused, fresh),
    };
    return cmocka_run_group_tests(tests, own_folder_begin, own_folder_end);
}

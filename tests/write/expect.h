/* For tests of what is written: is it there or not. A test's state is an arena of
 * its own. */
#ifndef BK_TESTS_WRITE_EXPECT_H
#define BK_TESTS_WRITE_EXPECT_H

#include "base/base.h"

/* Set-up and tear-down of a test. */
int new_arena(void **state);
int free_arena(void **state);

#define TEST(name) cmocka_unit_test_setup_teardown(name, new_arena, free_arena)

/* Fails the test unless `part` stands (or does not stand) somewhere in `text`. */
void expect(const char *text, const char *part);
void expect_not(const char *text, const char *part);

#endif

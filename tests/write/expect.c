#include "expect.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

int new_arena(void **state)
{
    *state = bk_arena_new(NULL);
    return *state ? 0 : -1;
}

int free_arena(void **state)
{
    bk_arena_free(*state);
    return 0;
}

void expect(const char *text, const char *part)
{
    if (!strstr(text, part))
        fail_msg("not there: %s\nin:\n%s", part, text);
}

void expect_not(const char *text, const char *part)
{
    if (strstr(text, part))
        fail_msg("there: %s\nin:\n%s", part, text);
}

/* The arena of one test of this folder. */
#ifndef TESTS_JSON_MEMORY_H
#define TESTS_JSON_MEMORY_H

#include "base/base.h"

extern bk_arena *arena;

/* For cmocka: makes the arena, frees it with all that the test made. */
int set_up(void **state);
int tear_down(void **state);

#endif

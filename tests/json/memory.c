/* The arena of one test, made before it and freed behind it. */
#include "memory.h"

#include <setjmp.h>

bk_arena *arena;
static jmp_buf no_memory;

int set_up(void **state)
{
    (void)state;
    arena = bk_arena_new(&no_memory);
    return arena == NULL;
}

int tear_down(void **state)
{
    (void)state;
    bk_arena_free(arena);
    return 0;
}

/* The arena of a fuzz target: one for all inputs, emptied between them, so that its memory is not
 * asked for a hundred thousand times a second. AddressSanitizer knows what of it is given out
 * (base/arena.c). */
#ifndef TESTS_FUZZ_EMPTIED_H
#define TESTS_FUZZ_EMPTIED_H

#include "base/base.h"

#include <stdlib.h>

/* With nothing in it. Whoever wants to hear of memory that ran out names the jump buffer, of static
 * storage, in the first call. */
static inline bk_arena *emptied_arena(jmp_buf *no_memory)
{
    static bk_arena *arena;
    static bk_mark nothing;
    if (!arena) {
        arena = bk_arena_new(no_memory);
        if (!arena)
            abort();
        bk_alloc(arena, 1, 512 * 1024);
        nothing = bk_arena_mark(arena);
        nothing.used = 0;
    }
    bk_arena_release(arena, nothing);
    return arena;
}

#endif

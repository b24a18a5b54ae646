/* Memory of one solve: every block is on one list, so that all of it can be given back
 * at any moment, also when the next request fails. */
#ifndef BK_ENGINE_MEMORY_H
#define BK_ENGINE_MEMORY_H

#include "base/base.h"

typedef struct bk_block bk_block;

typedef struct bk_memory {
    bk_arena *arena; /* fails, as an arena does, when memory runs out: all blocks are then free */
    bk_block *blocks;
    struct bk_memory *around; /* of a solve that this one is part of: goes with it; or NULL */
} bk_memory;

#define BK_VECTOR(type)                                                                            \
    struct {                                                                                       \
        type *at;                                                                                  \
        int32_t count, room;                                                                       \
    }

/* A slot at the end of a vector of the solver's. */
#define BK_ADD(solver, vector)                                                                     \
    ((vector).at = (vector).count < (vector).room                                                  \
                       ? (vector).at                                                               \
                       : bk_memory_grow(&(solver)->memory, (vector).at, sizeof *(vector).at,       \
                                        &(vector).room),                                           \
     &(vector).at[(vector).count++])

/* Room for at least one more (half as much again); zeroed beyond the old part. */
void *bk_memory_grow(bk_memory *memory, void *old, size_t size, int32_t *room);
/* `count` zeroed elements. */
void *bk_memory_new(bk_memory *memory, size_t count, size_t size);
/* The array with room for `count` elements, of which `had` are kept. */
void *bk_memory_resize(bk_memory *memory, void *old, size_t had, size_t count, size_t size);
/* Gives one block back; NULL is none. */
void bk_memory_release(bk_memory *memory, void *block);
/* Gives all blocks back. */
void bk_memory_free(bk_memory *memory);

#endif

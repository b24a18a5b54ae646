/* Blocks on one list. */
#include "engine/memory.h"

#include <stdlib.h>
#include <string.h>

struct bk_block {
    bk_block *next, *previous;
    max_align_t data[];
};

static bk_block *block_of(void *data)
{
    return (bk_block *)(void *)((char *)data - offsetof(bk_block, data));
}

static BK_NORETURN void no_memory(bk_memory *memory)
{
    bk_arena *arena = memory->arena;
    while (memory) {
        bk_memory *around = memory->around; /* where the inner one may be kept */
        bk_memory_free(memory);
        memory = around;
    }
    bk_arena_fail(arena);
}

void *bk_memory_resize(bk_memory *memory, void *old, size_t had, size_t count, size_t size)
{
    if (count > (SIZE_MAX / 2 - sizeof(bk_block)) / size)
        no_memory(memory);
    bk_block *before = old ? block_of(old) : NULL;
    bk_block *block = realloc(before, sizeof(bk_block) + count * size);
    if (!block)
        no_memory(memory);
    if (old) {
        if (block->next)
            block->next->previous = block;
        if (block->previous)
            block->previous->next = block;
        else
            memory->blocks = block;
    } else {
        block->previous = NULL;
        block->next = memory->blocks;
        if (block->next)
            block->next->previous = block;
        memory->blocks = block;
    }
    if (count > had)
        memset((char *)block->data + had * size, 0, (count - had) * size);
    return block->data;
}

void *bk_memory_grow(bk_memory *memory, void *old, size_t size, int32_t *room)
{
    if (*room > INT32_MAX / 2)
        no_memory(memory);
    int32_t more = *room < 4 ? 4 : *room + *room / 2;
    void *data = bk_memory_resize(memory, old, (size_t)*room, (size_t)more, size);
    *room = more;
    return data;
}

void *bk_memory_new(bk_memory *memory, size_t count, size_t size)
{
    return bk_memory_resize(memory, NULL, 0, count, size);
}

void bk_memory_release(bk_memory *memory, void *old)
{
    if (!old)
        return;
    bk_block *block = block_of(old);
    if (block->next)
        block->next->previous = block->previous;
    if (block->previous)
        block->previous->next = block->next;
    else
        memory->blocks = block->next;
    free(block);
}

void bk_memory_free(bk_memory *memory)
{
    while (memory->blocks) {
        bk_block *block = memory->blocks;
        memory->blocks = block->next;
        free(block);
    }
}

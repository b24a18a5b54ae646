/* The solver's own memory: every block is on one list, so that all of it can be
 * given back at any moment, also when the next request fails. */
#include "engine/solver.h"

#include <stdlib.h>
#include <string.h>

struct bk_block {
    bk_block *next, *previous;
    max_align_t data[];
};

static bk_block *block_of(void *memory)
{
    return (bk_block *)(void *)((char *)memory - offsetof(bk_block, data));
}

static BK_NORETURN void no_memory(bk_solver *solver)
{
    bk_arena *arena = solver->arena;
    bk_solver_free(solver);
    bk_arena_fail(arena);
}

void *bk_solver_resize(bk_solver *solver, void *old, size_t had, size_t count, size_t size)
{
    if (count > (SIZE_MAX / 2 - sizeof(bk_block)) / size)
        no_memory(solver);
    bk_block *before = old ? block_of(old) : NULL;
    bk_block *block = realloc(before, sizeof(bk_block) + count * size);
    if (!block)
        no_memory(solver);
    if (old) {
        if (block->next)
            block->next->previous = block;
        if (block->previous)
            block->previous->next = block;
        else
            solver->blocks = block;
    } else {
        block->previous = NULL;
        block->next = solver->blocks;
        if (block->next)
            block->next->previous = block;
        solver->blocks = block;
    }
    if (count > had)
        memset((char *)block->data + had * size, 0, (count - had) * size);
    return block->data;
}

void *bk_solver_grow(bk_solver *solver, void *old, size_t size, int32_t *room)
{
    if (*room > INT32_MAX / 2)
        no_memory(solver);
    int32_t more = *room < 4 ? 4 : *room + *room / 2;
    void *data = bk_solver_resize(solver, old, (size_t)*room, (size_t)more, size);
    *room = more;
    return data;
}

void *bk_solver_new(bk_solver *solver, size_t count, size_t size)
{
    return bk_solver_resize(solver, NULL, 0, count, size);
}

void bk_solver_release(bk_solver *solver, void *memory)
{
    if (!memory)
        return;
    bk_block *block = block_of(memory);
    if (block->next)
        block->next->previous = block->previous;
    if (block->previous)
        block->previous->next = block->next;
    else
        solver->blocks = block->next;
    free(block);
}

void bk_solver_free(bk_solver *solver)
{
    while (solver->blocks) {
        bk_block *block = solver->blocks;
        solver->blocks = block->next;
        free(block);
    }
}

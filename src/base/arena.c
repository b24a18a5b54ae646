/* The arena: memory given out in order and freed at once. */
#include "base/base.h"
#include "base/watched.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CHUNK = 64 * 1024 };

/* To AddressSanitizer a chunk is one allocation, and a step over the end of what lies in it a step
 * to its neighbour. Told what is given out, and with a gap behind each, it sees such a step. */
#ifdef BK_WATCHED
#include <sanitizer/asan_interface.h>
enum { GAP = 16 };
#define FORBID(from, length) ASAN_POISON_MEMORY_REGION((from), (length))
#define ALLOW(from, length) ASAN_UNPOISON_MEMORY_REGION((from), (length))
#else
enum { GAP = 0 };
#define FORBID(from, length) ((void)0)
#define ALLOW(from, length) ((void)0)
#endif

struct chunk {
    struct chunk *before;
    size_t size, used;
    max_align_t data[];
};

struct bk_arena {
    jmp_buf *no_memory;
    struct chunk *last;
    bk_arena *within;        /* the first of those within it */
    bk_arena *parent, *next; /* of one that is within another */
};

bk_arena *bk_arena_new(jmp_buf *no_memory)
{
    bk_arena *arena = calloc(1, sizeof *arena);
    if (arena)
        arena->no_memory = no_memory;
    return arena;
}

bk_arena *bk_arena_within(bk_arena *parent)
{
    bk_arena *arena = bk_arena_new(parent->no_memory);
    if (!arena)
        bk_arena_fail(parent);
    arena->parent = parent;
    arena->next = parent->within;
    parent->within = arena;
    return arena;
}

static void free_back_to(bk_arena *arena, const struct chunk *kept)
{
    while (arena->last != kept) {
        struct chunk *before = arena->last->before;
        free(arena->last);
        arena->last = before;
    }
}

static void leave_parent(bk_arena *arena)
{
    bk_arena **link = &arena->parent->within;
    while (*link != arena)
        link = &(*link)->next;
    *link = arena->next;
}

static void free_one(bk_arena *arena)
{
    free_back_to(arena, NULL);
    free(arena);
}

void bk_arena_free(bk_arena *arena)
{
    if (!arena)
        return;
    if (arena->parent)
        leave_parent(arena);
    while (arena->within) {
        bk_arena *inner = arena->within;
        while (inner->within)
            inner = inner->within;
        leave_parent(inner);
        free_one(inner);
    }
    free_one(arena);
}

bk_mark bk_arena_mark(const bk_arena *arena)
{
    return (bk_mark){arena->last, arena->last ? arena->last->used : 0};
}

void bk_arena_release(bk_arena *arena, bk_mark mark)
{
    free_back_to(arena, mark.chunk);
    if (!arena->last)
        return;
    FORBID((char *)arena->last->data + mark.used, arena->last->used - mark.used);
    arena->last->used = mark.used;
}

BK_NORETURN void bk_arena_fail(bk_arena *arena)
{
    if (arena->no_memory)
        longjmp(*arena->no_memory, 1);
    abort();
}

void *bk_alloc(bk_arena *arena, size_t count, size_t size)
{
    size_t align = sizeof(max_align_t);
    if (size && count > (SIZE_MAX / 2 - align - GAP) / size)
        bk_arena_fail(arena);
    size_t need = (count * size + align - 1) / align * align + GAP;
    struct chunk *chunk = arena->last;
    if (!chunk || chunk->size - chunk->used < need) {
        size_t room = need > CHUNK ? need : CHUNK;
        struct chunk *fresh = malloc(sizeof *fresh + room);
        if (!fresh)
            bk_arena_fail(arena);
        fresh->size = room;
        fresh->used = 0;
        fresh->before = chunk;
        FORBID(fresh->data, room);
        arena->last = chunk = fresh;
    }
    void *given = (char *)chunk->data + chunk->used;
    chunk->used += need;
    ALLOW(given, count * size);
    return memset(given, 0, count * size);
}

void *bk_grow(bk_arena *arena, void *old, size_t size, size_t *room, size_t need)
{
    size_t wanted = *room < 8 ? 8 : *room * 2;
    if (wanted < need)
        wanted = need;
    void *grown = bk_alloc(arena, wanted, size);
    if (*room)
        memcpy(grown, old, *room * size);
    *room = wanted;
    return grown;
}

char *bk_copy(bk_arena *arena, const char *text, size_t length)
{
    char *copy = bk_alloc(arena, length + 1, 1);
    if (length)
        memcpy(copy, text, length);
    return copy;
}

char *bk_copy_string(bk_arena *arena, const char *text)
{
    return bk_copy(arena, text, strlen(text));
}

char *bk_vformat(bk_arena *arena, const char *format, va_list arguments)
{
    if (!format)
        format = "";
    va_list again;
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, again);
    va_end(again);
    if (length < 0)
        return bk_copy(arena, "", 0);
    char *text = bk_alloc(arena, (size_t)length + 1, 1);
    vsnprintf(text, (size_t)length + 1, format, arguments);
    return text;
}

char *bk_format(bk_arena *arena, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    char *text = bk_vformat(arena, format, arguments);
    va_end(arguments);
    return text;
}

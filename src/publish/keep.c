#include "publish/keep.h"

#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct block {
    struct block *before;
    max_align_t data[];
} block;

struct bk_keep {
    jmp_buf *no_memory;
    block *last;
};

bk_keep *bk_keep_new(jmp_buf *no_memory)
{
    bk_keep *keep = calloc(1, sizeof *keep);
    if (keep)
        keep->no_memory = no_memory;
    return keep;
}

void bk_keep_free(bk_keep *keep)
{
    while (keep && keep->last) {
        block *last = keep->last;
        keep->last = last->before;
        free(last);
    }
    free(keep);
}

void *bk_keep_room(bk_keep *keep, size_t size)
{
    block *fresh = size < SIZE_MAX / 2 ? calloc(1, sizeof *fresh + size) : NULL;
    if (!fresh)
        longjmp(*keep->no_memory, 1);
    fresh->before = keep->last;
    keep->last = fresh;
    return fresh->data;
}

void *bk_keep_more(bk_keep *keep, void *items, size_t count, size_t size)
{
    if (count > 0 && (count & (count - 1)) != 0) /* room doubles at powers of two */
        return items;
    void *more = bk_keep_room(keep, (count > 0 ? 2 * count : 1) * size);
    if (count > 0)
        memcpy(more, items, count * size);
    return more;
}

char *bk_keep_bytes(bk_keep *keep, const char *bytes, size_t length)
{
    char *copy = bk_keep_room(keep, length + 1);
    memcpy(copy, bytes, length);
    return copy;
}

char *bk_keep_text(bk_keep *keep, const char *format, ...)
{
    va_list arguments, again;
    va_start(arguments, format);
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, again);
    va_end(again);
    char *text = bk_keep_room(keep, length < 0 ? 1 : (size_t)length + 1);
    if (length > 0)
        vsnprintf(text, (size_t)length + 1, format, arguments);
    va_end(arguments);
    return text;
}

/* Memory of one publish, given back all at once. Private to src/publish and its command. */
#ifndef BK_PUBLISH_KEEP_H
#define BK_PUBLISH_KEEP_H

#include <setjmp.h>
#include <stddef.h>

typedef struct bk_keep bk_keep;

/* NULL when there is no memory. When there is none later, *no_memory is jumped to, with 1. */
bk_keep *bk_keep_new(jmp_buf *no_memory);
void bk_keep_free(bk_keep *keep);

/* `size` zeroed bytes. */
void *bk_keep_room(bk_keep *keep, size_t size);

/* The items of a list that has `count` of them, with room for one more. */
void *bk_keep_more(bk_keep *keep, void *items, size_t count, size_t size);

/* A copy, with a NUL behind it. */
char *bk_keep_bytes(bk_keep *keep, const char *bytes, size_t length);

/* printf. */
char *bk_keep_text(bk_keep *keep, const char *format, ...) __attribute__((format(printf, 2, 3)));

#endif

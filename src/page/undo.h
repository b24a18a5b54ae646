/* Private to page: changes that can be taken back, as long as the server runs. */
#ifndef BK_PAGE_UNDO_H
#define BK_PAGE_UNDO_H

#include "page/folder.h"

#include <stdint.h>

enum { BK_MOST_UNDOS = 64 };

struct bk_undos;

/* `begun`, seconds, tells the ids of this run from those of another. */
struct bk_undos *bk_undos_new(int64_t begun);
void bk_undos_free(struct bk_undos *undos);

typedef struct bk_undo_id {
    char text[40]; /* "": it is not kept, for want of memory */
} bk_undo_id;

/* Keeps what the file was, NULL: it was not there; and what it became, "": it is gone. Beyond
 * BK_MOST_UNDOS the oldest is forgotten. */
bk_undo_id bk_undos_add(struct bk_undos *undos, const char *path, const char *before, size_t length,
                        const char *after);

/* A kept change, taken out: `path` and `before` are the caller's to free. False: it is not kept. */
typedef struct bk_undo {
    char *path, *before;
    size_t length;
    bk_version after; /* "" where it removed the file */
} bk_undo;

bool bk_undos_take(struct bk_undos *undos, const char *id, bk_undo *undo);

#endif

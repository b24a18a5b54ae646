/* Private to page: changes that can be taken back, as long as the server runs. */
#ifndef BK_PAGE_UNDO_H
#define BK_PAGE_UNDO_H

#include "page/folder.h"

#include <stdint.h>

enum { BK_MOST_UNDOS = 64, BK_MOST_UNDO_BYTES = 16 * 1024 * 1024 };

struct bk_undos;

/* `begun`, seconds, tells the ids of this run from those of another. */
struct bk_undos *bk_undos_new(int64_t begun);
void bk_undos_free(struct bk_undos *undos);

typedef struct bk_undo_id {
    char text[40]; /* "": it is not kept, for want of memory */
} bk_undo_id;

/* What a file was: `before`, NULL: it was not there; and what it became: `after`, "": it is gone.
 */
typedef struct bk_undo {
    char *path, *before;
    size_t length;
    bk_version after;
} bk_undo;

/* A change of one file or several. */
typedef struct bk_undo_set {
    bk_undo items[BK_MOST_CHANGED];
    size_t count;
} bk_undo_set;

void bk_undo_set_free(bk_undo_set *set);

/* Keeps a copy. Beyond BK_MOST_UNDOS, and beyond BK_MOST_UNDO_BYTES, the oldest is forgotten. */
bk_undo_id bk_undos_add(struct bk_undos *undos, const bk_undo_set *set);

/* A kept change, taken out: the caller's to free or to put back. False: it is not kept. */
bool bk_undos_take(struct bk_undos *undos, const char *id, bk_undo_set *set, size_t *place);

/* Keeps again what was taken from that place, unless another is kept there by now. The set is gone.
 */
void bk_undos_put_back(struct bk_undos *undos, const char *id, bk_undo_set *set, size_t place);

#endif

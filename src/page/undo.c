/* Changes that can be taken back. */
#include "page/undo.h"
#include "page/request.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct kept {
    bk_undo_id id;
    bk_undo undo;
} kept;

struct bk_undos {
    pthread_mutex_t lock;
    int64_t begun;
    uint64_t next;
    kept items[BK_MOST_UNDOS]; /* a ring: by next */
};

struct bk_undos *bk_undos_new(int64_t begun)
{
    struct bk_undos *undos = calloc(1, sizeof *undos);
    if (!undos)
        return NULL;
    pthread_mutex_init(&undos->lock, NULL);
    undos->begun = begun;
    return undos;
}

static void forget(kept *item)
{
    free(item->undo.path);
    free(item->undo.before);
    *item = (kept){0};
}

void bk_undos_free(struct bk_undos *undos)
{
    if (!undos)
        return;
    for (size_t i = 0; i < BK_MOST_UNDOS; i++)
        forget(&undos->items[i]);
    pthread_mutex_destroy(&undos->lock);
    free(undos);
}

bk_undo_id bk_undos_add(struct bk_undos *undos, const char *path, const char *before, size_t length,
                        const char *after)
{
    kept item = {.undo = {.path = strdup(path), .length = length}};
    item.undo.before = before ? malloc(length + 1) : NULL;
    snprintf(item.undo.after.text, sizeof item.undo.after.text, "%s", after);
    if (!item.undo.path || (before && !item.undo.before)) {
        forget(&item);
        return item.id;
    }
    if (before) {
        memcpy(item.undo.before, before, length);
        item.undo.before[length] = '\0';
    }
    pthread_mutex_lock(&undos->lock);
    snprintf(item.id.text, sizeof item.id.text, "%" PRIx64 "-%" PRIu64, (uint64_t)undos->begun,
             undos->next);
    kept *slot = &undos->items[undos->next++ % BK_MOST_UNDOS];
    forget(slot);
    *slot = item;
    pthread_mutex_unlock(&undos->lock);
    return item.id;
}

bool bk_undos_take(struct bk_undos *undos, const char *id, bk_undo *undo)
{
    bool found = false;
    pthread_mutex_lock(&undos->lock);
    for (size_t i = 0; i < BK_MOST_UNDOS && !found; i++) {
        kept *item = &undos->items[i];
        if (!item->undo.path || strcmp(item->id.text, id) != 0)
            continue;
        *undo = item->undo;
        *item = (kept){0};
        found = true;
    }
    pthread_mutex_unlock(&undos->lock);
    return found;
}

void bk_route_undo(bk_page *page, const bk_request *request, bk_answer *answer)
{
    const char *id = bk_text_of(request->json, "id");
    bk_undo undo;
    if (!id) {
        bk_answer_bad(answer, "which change is not said", "send its \"id\"");
        return;
    }
    if (!bk_undos_take(page->undos, id, &undo)) {
        bk_answer_error(answer, 404, "no-change", "that change is not kept any more", NULL);
        return;
    }
    bk_change_file(page, undo.path, undo.after.text[0] ? undo.after.text : NULL, undo.before,
                   undo.length, answer);
    free(undo.path);
    free(undo.before);
}

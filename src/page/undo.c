/* Changes that can be taken back. */
#include "page/undo.h"
#include "page/request.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct kept {
    bk_undo_id id;
    bk_undo_set set;
    size_t bytes;
} kept;

struct bk_undos {
    pthread_mutex_t lock;
    int64_t begun;
    uint64_t next;
    size_t bytes;
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

void bk_undo_set_free(bk_undo_set *set)
{
    for (size_t i = 0; i < set->count; i++) {
        free(set->items[i].path);
        free(set->items[i].before);
    }
    *set = (bk_undo_set){.count = 0};
}

/* With the lock. */
static void forget(struct bk_undos *undos, kept *item)
{
    undos->bytes -= item->bytes;
    bk_undo_set_free(&item->set);
    *item = (kept){.bytes = 0};
}

void bk_undos_free(struct bk_undos *undos)
{
    if (!undos)
        return;
    for (size_t i = 0; i < BK_MOST_UNDOS; i++)
        forget(undos, &undos->items[i]);
    pthread_mutex_destroy(&undos->lock);
    free(undos);
}

/* False: there is no memory. */
static bool copy(bk_undo *to, const bk_undo *from)
{
    *to = (bk_undo){.path = strdup(from->path), .length = from->length, .after = from->after};
    to->before = from->before ? malloc(from->length + 1) : NULL;
    if (to->before) {
        memcpy(to->before, from->before, from->length);
        to->before[from->length] = '\0';
    }
    return to->path && (to->before || !from->before);
}

/* With the lock: the oldest go until there is room. */
static void make_room(struct bk_undos *undos, size_t bytes)
{
    for (uint64_t i = 0; i < BK_MOST_UNDOS && undos->bytes + bytes > BK_MOST_UNDO_BYTES; i++)
        forget(undos, &undos->items[(undos->next + i) % BK_MOST_UNDOS]);
}

bk_undo_id bk_undos_add(struct bk_undos *undos, const bk_undo_set *set)
{
    kept item = {.bytes = 0};
    bool good = true;
    for (size_t i = 0; i < set->count && good; i++) {
        good = copy(&item.set.items[item.set.count++], &set->items[i]);
        item.bytes += set->items[i].length;
    }
    if (!good) {
        bk_undo_set_free(&item.set);
        return item.id;
    }
    pthread_mutex_lock(&undos->lock);
    make_room(undos, item.bytes);
    snprintf(item.id.text, sizeof item.id.text, "%" PRIx64 "-%" PRIu64, (uint64_t)undos->begun,
             undos->next);
    kept *slot = &undos->items[undos->next++ % BK_MOST_UNDOS];
    forget(undos, slot);
    *slot = item;
    undos->bytes += item.bytes;
    pthread_mutex_unlock(&undos->lock);
    return item.id;
}

bool bk_undos_take(struct bk_undos *undos, const char *id, bk_undo_set *set, size_t *place)
{
    bool found = false;
    pthread_mutex_lock(&undos->lock);
    for (size_t i = 0; i < BK_MOST_UNDOS && !found; i++) {
        kept *item = &undos->items[i];
        if (item->set.count == 0 || strcmp(item->id.text, id) != 0)
            continue;
        *set = item->set;
        *place = i;
        undos->bytes -= item->bytes;
        *item = (kept){.bytes = 0};
        found = true;
    }
    pthread_mutex_unlock(&undos->lock);
    return found;
}

void bk_undos_put_back(struct bk_undos *undos, const char *id, bk_undo_set *set, size_t place)
{
    size_t bytes = 0;
    for (size_t i = 0; i < set->count; i++)
        bytes += set->items[i].length;
    pthread_mutex_lock(&undos->lock);
    kept *item = &undos->items[place];
    if (item->set.count == 0 && undos->bytes + bytes <= BK_MOST_UNDO_BYTES) {
        snprintf(item->id.text, sizeof item->id.text, "%s", id);
        item->set = *set;
        item->bytes = bytes;
        undos->bytes += bytes;
        *set = (bk_undo_set){.count = 0};
    }
    pthread_mutex_unlock(&undos->lock);
    bk_undo_set_free(set);
}

void bk_route_undo(bk_page *page, const bk_request *request, bk_answer *answer)
{
    const char *id = bk_text_of(request->json, "id");
    bk_undo_set set;
    size_t place;
    if (!id) {
        bk_answer_bad(answer, "which change is not said", "send its \"id\"");
        return;
    }
    if (!bk_undos_take(page->undos, id, &set, &place)) {
        bk_answer_error(answer, 404, "no-change", "that change is not kept any more", NULL);
        return;
    }
    const bk_undo *one = &set.items[0];
    if (set.count == 1)
        bk_change_file(page, one->path, one->after.text[0] ? one->after.text : NULL, one->before,
                       one->length, answer);
    else
        bk_change_back(page, &set, answer);
    if (answer->status >= 400) /* it can be asked for again */
        bk_undos_put_back(page->undos, id, &set, place);
    else
        bk_undo_set_free(&set);
}

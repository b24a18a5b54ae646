/* Answers that were made. A lock is held while one is copied or its files are looked at, never
 * while one is made. */
#define _GNU_SOURCE /* CLOCK_REALTIME_COARSE */
#include "page/kept.h"

#include <stdlib.h>
#include <string.h>

enum { MOST_SOURCES = 1000 /* what is made of more files is made for each who asks */ };

typedef struct source {
    char *path;
    struct stat status; /* st_nlink 0: it was not there */
} source;

typedef struct item {
    char *path; /* NULL: it is free */
    enum bk_form form;
    bk_answer answer; /* its text is this one's */
    source *sources;
    size_t source_count;
    int64_t minute;
    uint64_t used;
} item;

struct bk_kept {
    pthread_mutex_t lock;
    item items[BK_MOST_KEPT];
    size_t bytes;
    uint64_t used;
};

struct bk_kept *bk_kept_new(void)
{
    struct bk_kept *kept = calloc(1, sizeof *kept);
    if (kept)
        pthread_mutex_init(&kept->lock, NULL);
    return kept;
}

static void clear(item *it)
{
    for (size_t i = 0; i < it->source_count; i++)
        free(it->sources[i].path);
    free(it->sources);
    free(it->answer.text);
    free(it->path);
    *it = (item){0};
}

void bk_kept_free(struct bk_kept *kept)
{
    if (!kept)
        return;
    for (size_t i = 0; i < BK_MOST_KEPT; i++)
        clear(&kept->items[i]);
    pthread_mutex_destroy(&kept->lock);
    free(kept);
}

/* The clock that the system marks files by, where it has that: a change after this has a mark that
 * is no earlier. */
struct timespec bk_kept_begin(void)
{
    struct timespec now;
#ifdef CLOCK_REALTIME_COARSE
    clock_gettime(CLOCK_REALTIME_COARSE, &now);
#else
    clock_gettime(CLOCK_REALTIME, &now);
#endif
    return now;
}

static bool is_before(const struct timespec *a, const struct timespec *b)
{
    return a->tv_sec < b->tv_sec || (a->tv_sec == b->tv_sec && a->tv_nsec < b->tv_nsec);
}

/* ------------------------------------------------------------------- in */

/* False: there is no memory. */
static bool add_source(item *it, const char *path, const struct stat *status)
{
    source *s = &it->sources[it->source_count];
    *s = (source){strdup(path), *status};
    it->source_count += s->path ? 1 : 0;
    return s->path;
}

/* What it was made of, as that is now. False: it cannot be told whether it stays so. */
static bool note_sources(item *it, const bk_basis *basis)
{
    size_t count = bakeset_source_count(basis->session);
    if (count == 0 || count > MOST_SOURCES)
        return false;
    it->sources = calloc(count + 1, sizeof *it->sources);
    for (size_t i = 0; it->sources && i < count; i++) {
        struct stat status;
        const char *path = bakeset_source(basis->session, i);
        if (stat(path, &status) != 0 || !is_before(&status.st_ctim, &basis->begun) ||
            !add_source(it, path, &status))
            return false;
    }
    return it->sources &&
           (!basis->journal || add_source(it, basis->journal, basis->journal_status));
}

/* With the lock. NULL: it is not kept. */
static item *find(struct bk_kept *kept, enum bk_form form, const char *path)
{
    for (size_t i = 0; i < BK_MOST_KEPT; i++) {
        item *it = &kept->items[i];
        if (it->path && it->form == form && strcmp(it->path, path) == 0)
            return it;
    }
    return NULL;
}

/* With the lock. */
static void remove_item(struct bk_kept *kept, item *it)
{
    kept->bytes -= it->path ? it->answer.length : 0;
    clear(it);
}

/* With the lock. The one not asked for longest; NULL: there is none. */
static item *oldest(struct bk_kept *kept)
{
    item *found = NULL;
    for (size_t i = 0; i < BK_MOST_KEPT; i++)
        if (kept->items[i].path && (!found || kept->items[i].used < found->used))
            found = &kept->items[i];
    return found;
}

/* With the lock. A free place for `length` bytes. */
static item *make_room(struct bk_kept *kept, size_t length)
{
    while (kept->bytes + length > BK_MOST_KEPT_BYTES)
        remove_item(kept, oldest(kept));
    for (size_t i = 0; i < BK_MOST_KEPT; i++)
        if (!kept->items[i].path)
            return &kept->items[i];
    item *it = oldest(kept);
    remove_item(kept, it);
    return it;
}

static void copy_answer(bk_answer *to, const bk_answer *from)
{
    char *text = malloc(from->length + 1);
    if (text)
        memcpy(text, from->text, from->length + 1);
    *to = *from;
    to->text = text;
}

bool bk_kept_put(struct bk_kept *kept, enum bk_form form, const char *path, const bk_basis *basis,
                 const bk_answer *answer)
{
    item made = {.form = form, .path = strdup(path), .minute = basis->minute};
    bool good = made.path && answer->text && answer->length < BK_MOST_KEPT_BYTES / 4 &&
                note_sources(&made, basis);
    if (good)
        copy_answer(&made.answer, answer);
    good = good && made.answer.text;
    pthread_mutex_lock(&kept->lock);
    item *before = find(kept, form, path);
    if (before)
        remove_item(kept, before);
    if (good) {
        made.used = ++kept->used;
        item *it = make_room(kept, made.answer.length);
        *it = made;
        kept->bytes += made.answer.length;
    }
    pthread_mutex_unlock(&kept->lock);
    if (!good)
        clear(&made);
    return good;
}

void bk_kept_drop(struct bk_kept *kept, enum bk_form form, const char *path)
{
    pthread_mutex_lock(&kept->lock);
    item *it = find(kept, form, path);
    if (it)
        remove_item(kept, it);
    pthread_mutex_unlock(&kept->lock);
}

/* ------------------------------------------------------------------ out */

static bool is_fresh(const item *it, int64_t now)
{
    if (it->minute != 0 && it->minute != now)
        return false;
    for (size_t i = 0; i < it->source_count; i++) {
        const source *s = &it->sources[i];
        struct stat status;
        bool there = stat(s->path, &status) == 0;
        if (there ? !bk_same_status(&status, &s->status) : s->status.st_nlink > 0)
            return false;
    }
    return true;
}

bool bk_kept_give(struct bk_kept *kept, enum bk_form form, const char *path, int64_t now,
                  bool *fresh, int64_t *minute, bk_answer *answer)
{
    pthread_mutex_lock(&kept->lock);
    item *it = find(kept, form, path);
    if (it) {
        it->used = ++kept->used;
        copy_answer(answer, &it->answer);
        *fresh = is_fresh(it, now);
        if (minute)
            *minute = it->minute;
    }
    pthread_mutex_unlock(&kept->lock);
    if (it && !answer->text)
        bk_answer_json(answer, 500, NULL);
    return it;
}

bool bk_kept_is_fresh(struct bk_kept *kept, enum bk_form form, const char *path, int64_t now)
{
    pthread_mutex_lock(&kept->lock);
    item *it = find(kept, form, path);
    bool fresh = it && is_fresh(it, now);
    pthread_mutex_unlock(&kept->lock);
    return fresh;
}

/* What the sure mends of a plan's faults come to, in memory: nothing is written. */
#include "plan/reader.h"

#include <stdlib.h>
#include <string.h>

enum { MOST_ROUNDS = 8 };

/* The plan's files as the mends so far have made them; else those behind. */
typedef struct overlay {
    const bk_files *behind;
    bk_mended *files;
    size_t count, room;
} overlay;

static bk_mended *file_of(overlay *over, const char *path)
{
    for (size_t i = 0; i < over->count; i++)
        if (strcmp(over->files[i].path, path) == 0)
            return &over->files[i];
    return NULL;
}

static bool load(void *context, bk_arena *arena, const char *path, size_t most, const char **text,
                 size_t *length, const char **problem)
{
    overlay *over = context;
    const bk_mended *file = file_of(over, path);
    if (!file)
        return over->behind->load(over->behind->context, arena, path, most, text, length, problem);
    if (file->length > most) {
        *problem = BK_TOO_LONG;
        return false;
    }
    *text = bk_copy(arena, file->text, file->length);
    *length = file->length;
    return true;
}

/* One mend, in the file that it is of. */
typedef struct bk_mend {
    const bk_source *source;
    bk_fix fix;
} bk_mend;

static int by_place(const void *left, const void *right)
{
    const bk_mend *a = left, *b = right;
    if (a->source != b->source)
        return strcmp(a->source->name, b->source->name);
    return (a->fix.offset > b->fix.offset) - (a->fix.offset < b->fix.offset);
}

/* The mends among the messages, by file and place, none touching another. */
static size_t gather(bk_arena *arena, const bk_report *report, bk_mend **mends)
{
    size_t count = 0, kept = 0;
    bk_mend *all = BK_NEW(arena, bk_mend, report->count);
    for (size_t i = 0; i < report->count; i++)
        if (report->messages[i].fix.text && report->messages[i].place.source)
            all[count++] = (bk_mend){report->messages[i].place.source, report->messages[i].fix};
    qsort(all, count, sizeof *all, by_place);
    for (size_t i = 0; i < count; i++) {
        const bk_mend *last = kept > 0 ? &all[kept - 1] : NULL;
        if (!last || last->source != all[i].source ||
            all[i].fix.offset > last->fix.offset + last->fix.length)
            all[kept++] = all[i];
    }
    *mends = all;
    return kept;
}

/* Makes these mends, in the order of their places, in files of the overlay that is given. */
static void make(bk_arena *arena, overlay *over, const bk_mend *mends, size_t count)
{
    static const char mark[] = "\xEF\xBB\xBF";
    for (size_t i = 0, next; i < count; i = next) {
        const bk_source *source = mends[i].source;
        bk_text text = bk_text_new(arena);
        bk_mended *file = file_of(over, source->name);
        if (!file) {
            const char *before = NULL, *problem = NULL;
            size_t length = 0;
            if (!over->behind->load(over->behind->context, arena, source->name, BK_MOST_BYTES,
                                    &before, &length, &problem))
                return;
            file = BK_PUSH(arena, over->files, over->count, over->room);
            *file = (bk_mended){.path = source->name,
                                .before = before,
                                .before_length = length,
                                .text = before,
                                .length = length};
        }
        if (file->length >= 3 && memcmp(file->text, mark, 3) == 0)
            bk_text_add(&text, mark);
        size_t at = 0;
        for (next = i; next < count && mends[next].source == source; next++) {
            const bk_fix *fix = &mends[next].fix;
            bk_text_add_bytes(&text, source->text + at, fix->offset - at);
            bk_text_add(&text, fix->text);
            at = fix->offset + fix->length;
            file->mends++;
        }
        bk_text_add_bytes(&text, source->text + at, source->length - at);
        file->text = text.data;
        file->length = text.length;
    }
}

/* Errors of the plan as the overlay has it; nothing of the reading is kept. */
static size_t errors_of(bk_arena *arena, overlay *over, const char *path,
                        const bk_read_options *options)
{
    bk_mark mark = bk_arena_mark(arena);
    bk_files files = {load, over};
    bk_report report = bk_report_new(arena);
    bk_plan_read(arena, &files, path, options, &report);
    size_t errors = report.machine_failed ? SIZE_MAX : report.errors;
    bk_arena_release(arena, mark);
    return errors;
}

/* A copy to try something in. */
static overlay copy_of(bk_arena *arena, const overlay *over)
{
    overlay copy = {.behind = over->behind, .count = over->count, .room = over->count};
    copy.files = BK_NEW(arena, bk_mended, over->count);
    if (over->count > 0)
        memcpy(copy.files, over->files, over->count * sizeof *over->files);
    return copy;
}

/* Makes the mends if that leaves fewer errors. */
static bool try_mends(bk_arena *arena, overlay *over, const char *path,
                      const bk_read_options *options, const bk_mend *mends, size_t count,
                      size_t errors)
{
    overlay tried = copy_of(arena, over);
    make(arena, &tried, mends, count);
    if (errors_of(arena, &tried, path, options) >= errors)
        return false;
    *over = tried;
    return true;
}

const bk_mended *bk_plan_mend(bk_arena *arena, const bk_files *files, const char *path,
                              const bk_read_options *options, size_t *count)
{
    overlay over = {.behind = files};
    for (int round = 0; round < MOST_ROUNDS; round++) {
        bk_files mended = {load, &over};
        bk_report report = bk_report_new(arena);
        bk_mend *mends = NULL;
        bk_plan_read(arena, &mended, path, options, &report);
        size_t mend_count = gather(arena, &report, &mends);
        if (mend_count == 0 || report.machine_failed)
            break;
        bool some = try_mends(arena, &over, path, options, mends, mend_count, report.errors);
        /* One of them may have brought out what was hidden: the others by themselves. */
        for (size_t i = 0; !some && mend_count > 1 && i < mend_count; i++)
            some = try_mends(arena, &over, path, options, &mends[i], 1, report.errors);
        if (!some)
            break;
    }
    *count = over.count;
    return over.files;
}

/* Files as text: laid out, made plain, patched. */
#include "session/session.h"

#include "json/json.h"

#include <string.h>

/* What makes a text of a text; false after reporting. */
typedef bool bk_make(bk_arena *arena, const bk_source *source, bk_text *out, bk_report *report);

static bool comments(bk_arena *arena, const bk_source *source, bk_text *out, bk_report *report)
{
    bk_put put = bk_put_line_to(out);
    return bk_json_comments(arena, source, &put, report);
}

static const bk_source *copy_of(bk_arena *arena, const bk_source *given)
{
    return bk_source_of(arena, bk_copy_string(arena, given->name),
                        bk_copy(arena, given->text, given->length), given->length);
}

static const char *make(bakeset *session, bk_make *of, const bk_source *given, size_t *length)
{
    bk_shelf *shelf = &session->shelves[BK_TAKING];
    bk_text out = bk_text_new(shelf->arena);
    bool done = of(shelf->arena, copy_of(shelf->arena, given), &out, &shelf->report);
    return bk_session_finish_text(session, shelf, done ? &out : NULL, length);
}

static const char *make_of_text(bakeset *session, bk_make *of, const bk_source *given,
                                size_t *length)
{
    bk_shelf_clear(&session->shelves[BK_TAKING]);
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_TAKING]);
        return NULL;
    }
    return make(session, of, given, length);
}

const char *bakeset_tidy_text(bakeset *session, const char *name, const char *text,
                              size_t text_length, size_t *length)
{
    return make_of_text(session, bk_json_tidy, &(bk_source){name, text, text_length}, length);
}

const char *bakeset_plain_text(bakeset *session, const char *name, const char *text,
                               size_t text_length, size_t *length)
{
    return make_of_text(session, bk_json_plain, &(bk_source){name, text, text_length}, length);
}

const char *bakeset_comments_text(bakeset *session, const char *name, const char *text,
                                  size_t text_length, size_t *length)
{
    return make_of_text(session, comments, &(bk_source){name, text, text_length}, length);
}

/* A byte-order mark is no part of what is read, and stays. */
static const char *patched(bakeset *session, const bk_source *given, const bk_source *patch,
                           size_t *length)
{
    bk_shelf *shelf = &session->shelves[BK_TAKING];
    bk_text out = bk_text_new(shelf->arena);
    const bk_source *source = copy_of(shelf->arena, given);
    bk_report about_patch = bk_report_new(shelf->arena);
    bk_text_add_bytes(&out, given->text, given->length - source->length);
    bool done = bk_json_patch(shelf->arena, source, patch, &out, &about_patch);
    for (size_t i = 0; i < about_patch.count; i++) {
        const bk_message *m = &about_patch.messages[i];
        bk_error(&shelf->report, m->code, m->place.source == source ? m->place : (bk_place){0},
                 m->mend, "%s", m->text);
    }
    shelf->report.machine_failed = about_patch.machine_failed;
    return bk_session_finish_text(session, shelf, done ? &out : NULL, length);
}

const char *bakeset_patch_text(bakeset *session, const char *name, const char *text,
                               size_t text_length, const char *patch, size_t patch_length,
                               size_t *length)
{
    bk_shelf_clear(&session->shelves[BK_TAKING]);
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_TAKING]);
        return NULL;
    }
    bk_arena *arena = session->shelves[BK_TAKING].arena;
    const bk_source given = {name, text, text_length};
    const bk_source changes = {"the patch", bk_copy(arena, patch, patch_length), patch_length};
    return patched(session, &given, &changes, length);
}

static const char *tidy_file(bakeset *session, const char *path, size_t *length)
{
    bk_shelf *shelf = &session->shelves[BK_TAKING];
    const char *text = NULL;
    size_t text_length = 0;
    if (!bk_shelf_load(shelf, path, BK_MOST_BYTES, "16 MiB", &text, &text_length))
        return bk_session_finish_text(session, shelf, NULL, length);
    const bk_source source = {strcmp(path, "-") == 0 ? "<stdin>" : path, text, text_length};
    return make(session, bk_json_tidy, &source, length);
}

const char *bakeset_tidy(bakeset *session, const char *path, size_t *length)
{
    bk_shelf_clear(&session->shelves[BK_TAKING]);
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_TAKING]);
        return NULL;
    }
    return tidy_file(session, path, length);
}

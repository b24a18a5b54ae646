/* Recipes taken in, and plans begun with them. */
#include "session/session.h"

#include "takein/takein.h"

#include <string.h>

static const char *take_in(bakeset *session, const char *name, const char *text, size_t text_length,
                           size_t *length)
{
    bk_shelf *shelf = &session->shelves[BK_TAKING];
    const bk_source source = {name, text, text_length};
    bk_text out = bk_text_new(shelf->arena);
    bool taken = bk_take_in(shelf->arena, &source, &out, &shelf->report);
    return bk_session_finish_text(session, shelf, taken ? &out : NULL, length);
}

const char *bakeset_take_in_text(bakeset *session, const char *name, const char *text,
                                 size_t text_length, size_t *length)
{
    bk_shelf_clear(&session->shelves[BK_TAKING]);
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_TAKING]);
        return NULL;
    }
    return take_in(session, name, text, text_length, length);
}

static const char *take_in_file(bakeset *session, const char *path, size_t *length)
{
    bk_shelf *shelf = &session->shelves[BK_TAKING];
    const char *text = NULL;
    size_t text_length = 0;
    if (!bk_shelf_load(shelf, path, BK_MOST_TAKEN_IN, "8 MiB", &text, &text_length))
        return bk_session_finish_text(session, shelf, NULL, length);
    return take_in(session, strcmp(path, "-") == 0 ? "standard input" : path, text, text_length,
                   length);
}

const char *bakeset_take_in(bakeset *session, const char *path, size_t *length)
{
    bk_shelf_clear(&session->shelves[BK_TAKING]);
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_TAKING]);
        return NULL;
    }
    return take_in_file(session, path, length);
}

static const char *begin(bakeset *session, const struct bakeset_begin_options *given,
                         size_t *length)
{
    bk_shelf *shelf = &session->shelves[BK_TAKING];
    struct bakeset_begin_options options = {0};
    if (!bk_shelf_take_options(shelf, given, &options, sizeof options))
        return bk_session_finish_text(session, shelf, NULL, length);
    bk_beginning beginning = {.recipes = options.recipes,
                              .named = options.named ? options.named : options.recipes,
                              .occasion = options.occasion,
                              .serve = options.serve,
                              .zone = options.timezone};
    while (options.recipes && options.recipes[beginning.recipe_count])
        beginning.recipe_count++;
    bk_files files = bk_files_system();
    bk_text out = bk_text_new(shelf->arena);
    bool begun = bk_plan_begin(shelf->arena, &files, &beginning, &out, &shelf->report);
    return bk_session_finish_text(session, shelf, begun ? &out : NULL, length);
}

const char *bakeset_begin(bakeset *session, const struct bakeset_begin_options *options,
                          size_t *length)
{
    bk_shelf_clear(&session->shelves[BK_TAKING]);
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_TAKING]);
        return NULL;
    }
    return begin(session, options, length);
}

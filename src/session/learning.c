/* What the times of other days propose. */
#include "session/session.h"

#include "learn/learn.h"

static const bk_learned *learn(bakeset *session)
{
    bk_shelf *shelf = &session->shelves[BK_SCHEDULING];
    bk_files files = bk_files_system();
    if (session->read)
        return bk_learn(shelf->arena, &files, session->read, &shelf->report);
    bk_shelf_usage(shelf, "there is no plan whose times could be learned", "read a plan first");
    return NULL;
}

static const char *history(bakeset *session, const struct bakeset_write_options *given,
                           size_t *length)
{
    bk_shelf *shelf = &session->shelves[BK_SCHEDULING];
    struct bakeset_write_options options = {0};
    bk_text out = bk_text_new(shelf->arena);
    const bk_learned *learned =
        bk_shelf_take_write_options(shelf, given, &options) ? learn(session) : NULL;
    if (learned)
        bk_write_learned(learned, &(bk_text_style){.width = options.width}, &out);
    return bk_session_finish_text(session, shelf, learned ? &out : NULL, length);
}

const char *bakeset_history(bakeset *session, const struct bakeset_write_options *options,
                            size_t *length)
{
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_SCHEDULING]);
        return NULL;
    }
    return history(session, options, length);
}

static const struct bakeset_changed_file *const *history_changes(bakeset *session, size_t *count)
{
    bk_shelf *shelf = &session->shelves[BK_SCHEDULING];
    bk_files files = bk_files_system();
    size_t files_count = 0;
    const bk_learned *learned = learn(session);
    const bk_changed_file *changed =
        learned ? bk_learned_files(shelf->arena, &files, learned, &files_count, &shelf->report)
                : NULL;
    if (!changed) {
        bk_session_finish(session, shelf,
                          shelf->report.machine_failed ? BAKESET_FAILED : BAKESET_BAD_INPUT);
        return NULL;
    }
    struct bakeset_changed_file *given =
        BK_NEW(shelf->arena, struct bakeset_changed_file, files_count);
    const struct bakeset_changed_file **list =
        BK_NEW(shelf->arena, const struct bakeset_changed_file *, files_count + 1);
    for (size_t i = 0; i < files_count; i++) {
        given[i] = (struct bakeset_changed_file){.path = changed[i].path,
                                                 .text = changed[i].text,
                                                 .length = changed[i].length,
                                                 .changes = changed[i].changes,
                                                 .said = changed[i].said};
        list[i] = &given[i];
    }
    if (count)
        *count = files_count;
    bk_session_finish(session, shelf, BAKESET_OK);
    return list;
}

const struct bakeset_changed_file *const *bakeset_history_changes(bakeset *session, size_t *count)
{
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_SCHEDULING]);
        return NULL;
    }
    return history_changes(session, count);
}

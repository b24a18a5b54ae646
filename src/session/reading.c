/* A plan, read and mended. */
#include "session/session.h"

#include <string.h>

bk_read_options bk_reading_of(const struct bakeset_read_options *options)
{
    return (bk_read_options){.serve = options->serve,
                             .has_now = options->now || options->clock != 0,
                             .now = options->now,
                             .clock = options->clock,
                             .alone = options->alone != 0,
                             .allow_outside = options->allow_outside != 0};
}

static enum bakeset_result read_with(bakeset *session, const bk_files *files, const char *path,
                                     const struct bakeset_read_options *given)
{
    bk_shelf *shelf = &session->shelves[BK_READING];
    struct bakeset_read_options options = {0};
    if (!bk_shelf_take_options(shelf, given, &options, sizeof options))
        return bk_session_finish(session, shelf, BAKESET_BAD_INPUT);
    bk_read_options reading = bk_reading_of(&options);
    const bk_plan *plan = bk_plan_read(shelf->arena, files, path, &reading, &shelf->report);
    enum bakeset_result result = plan                           ? BAKESET_OK
                                 : shelf->report.machine_failed ? BAKESET_FAILED
                                                                : BAKESET_BAD_INPUT;
    bk_session_finish(session, shelf, result);
    session->plan = plan && !plan->alone ? plan : NULL;
    session->read = plan;
    return result;
}

enum bakeset_result bakeset_read(bakeset *session, const char *path,
                                 const struct bakeset_read_options *options)
{
    bk_session_clear_plan(session);
    if (setjmp(session->no_memory))
        return bk_session_out_of_memory(session, &session->shelves[BK_READING]);
    bk_files files = bk_files_system();
    return read_with(session, &files, path, options);
}

bool bk_load_memory(void *context, bk_arena *arena, const char *path, size_t most,
                    const char **text, size_t *length, const char **problem)
{
    const struct bk_memory_file *file = context;
    if (strcmp(path, file->name) != 0)
        return file->system.load(file->system.context, arena, path, most, text, length, problem);
    if (file->length > most) {
        *problem = BK_TOO_LONG;
        return false;
    }
    *text = bk_copy(arena, file->text, file->length);
    *length = file->length;
    return true;
}

enum bakeset_result bakeset_read_text(bakeset *session, const char *name, const char *text,
                                      size_t length, const struct bakeset_read_options *options)
{
    bk_session_clear_plan(session);
    if (setjmp(session->no_memory))
        return bk_session_out_of_memory(session, &session->shelves[BK_READING]);
    struct bk_memory_file file = {bk_files_system(), name, text, length};
    bk_files files = {bk_load_memory, &file};
    return read_with(session, &files, name, options);
}

size_t bk_shelf_find_stage(const bk_plan *plan, const char *name, bk_shelf *shelf)
{
    size_t stage = bk_stage_find(plan, name);
    if (stage < plan->stage_count)
        return stage;
    if (stage == SIZE_MAX - 1) {
        bk_error(&shelf->report, "unknown-stage", (bk_place){0}, "write \"dish/stage\"",
                 "several dishes have a stage \"%s\"", name);
        return SIZE_MAX;
    }
    const char **names = BK_NEW(shelf->arena, const char *, 2 * plan->stage_count + 1);
    for (size_t i = 0; i < plan->stage_count; i++) {
        names[2 * i] = plan->stages[i].id;
        names[2 * i + 1] = bk_stage_name(shelf->arena, plan, i);
    }
    const char *nearest = bk_nearest(name, names);
    bk_error(&shelf->report, "unknown-stage", (bk_place){0},
             nearest ? bk_format(shelf->arena, "did you mean \"%s\"?", nearest)
                     : "write \"dish/stage\" as the plan names them",
             "the plan has no stage \"%s\"", name);
    return SIZE_MAX;
}

bool bk_shelf_load(bk_shelf *shelf, const char *path, size_t most, const char *limit,
                   const char **text, size_t *length)
{
    bk_files files = bk_files_system();
    const char *problem = NULL;
    if (files.load(files.context, shelf->arena, path, most, text, length, &problem))
        return true;
    bool too_long = strcmp(problem, BK_TOO_LONG) == 0;
    shelf->report.machine_failed = !too_long;
    if (too_long)
        problem = bk_format(shelf->arena, "it is larger than %s", limit);
    bk_error(&shelf->report, "file", (bk_place){0}, NULL, "cannot read %s: %s", path, problem);
    return false;
}

enum bakeset_result bakeset_serves(const bakeset *session, int64_t *first, int64_t *last)
{
    if (!session->plan)
        return BAKESET_BAD_INPUT;
    if (first)
        *first = session->plan->first_serve;
    if (last)
        *last = session->plan->last_serve;
    return BAKESET_OK;
}

size_t bakeset_source_count(const bakeset *session)
{
    return session->plan ? session->plan->source_count : 0;
}

const char *bakeset_source(const bakeset *session, size_t index)
{
    return index < bakeset_source_count(session) ? session->plan->sources[index]->name : NULL;
}

const char *bakeset_publish_to(const bakeset *session)
{
    return session->plan ? session->plan->publish : NULL;
}

static const struct bakeset_mended *const *
mend(bakeset *session, const char *path, const struct bakeset_read_options *given, size_t *count)
{
    bk_shelf *shelf = &session->shelves[BK_TAKING];
    struct bakeset_read_options options = {0};
    if (!bk_shelf_take_options(shelf, given, &options, sizeof options)) {
        bk_session_finish(session, shelf, BAKESET_BAD_INPUT);
        return NULL;
    }
    bk_read_options reading = bk_reading_of(&options);
    bk_files files = bk_files_system();
    size_t found = 0;
    const bk_mended *mended =
        bk_plan_mend(shelf->arena, &files, bk_copy_string(shelf->arena, path), &reading, &found);
    const struct bakeset_mended **list =
        BK_NEW(shelf->arena, const struct bakeset_mended *, found + 1);
    struct bakeset_mended *items = BK_NEW(shelf->arena, struct bakeset_mended, found);
    for (size_t i = 0; i < found; i++) {
        items[i] = (struct bakeset_mended){.file = mended[i].path,
                                           .before = mended[i].before,
                                           .before_length = mended[i].before_length,
                                           .text = mended[i].text,
                                           .length = mended[i].length,
                                           .mends = mended[i].mends};
        list[i] = &items[i];
    }
    if (count)
        *count = found;
    bk_session_finish(session, shelf, BAKESET_OK);
    return list;
}

const struct bakeset_mended *const *bakeset_mend(bakeset *session, const char *path,
                                                 const struct bakeset_read_options *options,
                                                 size_t *count)
{
    bk_shelf_clear(&session->shelves[BK_TAKING]);
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_TAKING]);
        return NULL;
    }
    return mend(session, path, options, count);
}

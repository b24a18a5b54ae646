/* A day under way: followed, told of. */
#include "session/session.h"

#include <string.h>

/* What runs, by name. */
static const char *const *running_of(bk_arena *arena, const bk_day *day)
{
    const bk_plan *plan = day->plan;
    const char **names = BK_NEW(arena, const char *, plan->stage_count + 1);
    size_t count = 0;
    for (size_t i = 0; i < plan->stage_count; i++)
        if (plan->stages[i].progress == BK_RUNNING)
            names[count++] = bk_stage_name(arena, plan, i);
    return names;
}

enum { MOST_ID = 64 };

static enum bakeset_result follow_day(bakeset *session, const char *path,
                                      const struct bakeset_day_options *given)
{
    bk_shelf *shelf = &session->shelves[BK_READING];
    struct bakeset_day_options options = {0};
    if (!bk_shelf_take_options(shelf, given, &options, sizeof options))
        return bk_session_finish(session, shelf, BAKESET_BAD_INPUT);
    if (!options.now && options.clock == 0) {
        bk_shelf_usage(shelf, "it is not said what time it is", "set now or clock");
        return bk_session_finish(session, shelf, BAKESET_BAD_INPUT);
    }
    if (options.id && (options.id[0] == '\0' || strlen(options.id) > MOST_ID)) {
        bk_shelf_usage(shelf, "the id is out of range", "1 to 64 characters");
        return bk_session_finish(session, shelf, BAKESET_BAD_INPUT);
    }
    bk_files files = bk_files_system();
    bk_day_call call = {.files = &files,
                        .path = path,
                        .now = options.now,
                        .clock = options.clock,
                        .words = options.words,
                        .at = options.at,
                        .id = options.id,
                        .once = options.once != 0,
                        .since = options.since,
                        .allow_outside = options.allow_outside != 0,
                        .effort = options.effort};
    bk_told told = {shelf->arena, options.progress, options.progress_context};
    bk_follower follower = bk_follower_new(bk_tell, &told, options.effort);
    follower.every = options.every;
    if (options.progress)
        call.follower = &follower;
    bk_day_choices choices = {0};
    bk_day *day = bk_day_follow(shelf->arena, &call, &session->journal, &choices, &shelf->report);
    bk_file_let_go(session->journal);
    session->journal = NULL;
    if (choices.count > 0) {
        const char **names = BK_NEW(shelf->arena, const char *, choices.count + 1);
        memcpy(names, choices.names, choices.count * sizeof *names);
        session->choices = names;
    }
    session->plan = day ? day->plan : NULL;
    bool placed = day && day->timeline->stage_count > 0;
    enum bakeset_result result = placed                         ? BAKESET_OK
                                 : day                          ? BAKESET_IMPOSSIBLE
                                 : shelf->report.machine_failed ? BAKESET_FAILED
                                                                : BAKESET_BAD_INPUT;
    bk_session_finish(session, shelf, result);
    session->day = day;
    session->timeline = day ? day->timeline : NULL;
    session->running = day ? running_of(shelf->arena, day) : NULL;
    session->next_touch = placed ? bk_day_next_touch(shelf->arena, day) : INT64_MAX;
    return result;
}

enum bakeset_result bakeset_day(bakeset *session, const char *path,
                                const struct bakeset_day_options *options)
{
    bk_session_clear_plan(session);
    if (setjmp(session->no_memory)) {
        bk_file_let_go(session->journal);
        session->journal = NULL;
        return bk_session_out_of_memory(session, &session->shelves[BK_READING]);
    }
    return follow_day(session, path, options);
}

enum bakeset_result bakeset_day_now(const bakeset *session, int64_t *now)
{
    if (!session->day)
        return BAKESET_BAD_INPUT;
    *now = session->day->now;
    return BAKESET_OK;
}

enum bakeset_result bakeset_day_next(const bakeset *session, int64_t *next)
{
    if (!session->day || session->next_touch == INT64_MAX)
        return BAKESET_BAD_INPUT;
    *next = session->next_touch;
    return BAKESET_OK;
}

enum bakeset_result bakeset_day_journal(const bakeset *session, size_t *length)
{
    if (!session->day)
        return BAKESET_BAD_INPUT;
    *length = session->day->journal_length;
    return BAKESET_OK;
}

static const char *under_way(bakeset *session, const struct bk_memory_file *file)
{
    bk_shelf *shelf = &session->shelves[BK_TAKING];
    bk_files files = {bk_load_memory, (void *)file};
    session->result = BAKESET_OK;
    return bk_day_under_way(shelf->arena, &files, file->name, &shelf->report);
}

const char *bakeset_under_way_text(bakeset *session, const char *text, size_t length)
{
    bk_shelf_clear(&session->shelves[BK_TAKING]);
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_TAKING]);
        return NULL;
    }
    const struct bk_memory_file file = {bk_files_system(), "the journal", text, length};
    return under_way(session, &file);
}

const char *const *bakeset_day_running(const bakeset *session)
{
    return session->day ? session->running : NULL;
}

const char *const *bakeset_day_choices(const bakeset *session)
{
    return session->choices;
}

static const char *write_day(bakeset *session, const struct bakeset_write_options *given,
                             size_t *length)
{
    bk_shelf *shelf = &session->shelves[BK_SCHEDULING];
    struct bakeset_write_options options = {0};
    bk_text out = bk_text_new(shelf->arena);
    bool good = bk_shelf_take_write_options(shelf, given, &options);
    if (good && !session->day)
        bk_shelf_usage(shelf, "there is no day to tell of", "follow one first, with bakeset_day");
    good = good && session->day;
    bk_text_style style = bk_style_of(&options);
    style.progress = options.progress != 0;
    if (good)
        bk_write_day(session->day, &style, &out);
    if (good && session->timeline->stage_count == 0)
        bk_write_text(session->timeline, &style, &out);
    bk_keep_to_ascii(&style, &out);
    return bk_session_finish_text(session, shelf, good ? &out : NULL, length);
}

const char *bakeset_write_day(bakeset *session, const struct bakeset_write_options *options,
                              size_t *length)
{
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_SCHEDULING]);
        return NULL;
    }
    return write_day(session, options, length);
}

static const char *write_day_json(bakeset *session, size_t *length)
{
    bk_shelf *shelf = &session->shelves[BK_SCHEDULING];
    bk_text out = bk_text_new(shelf->arena);
    if (session->day)
        bk_write_day_json(session->day, &out);
    else
        bk_shelf_usage(shelf, "there is no day to tell of", "follow one first, with bakeset_day");
    return bk_session_finish_text(session, shelf, session->day ? &out : NULL, length);
}

const char *bakeset_write_day_json(bakeset *session, size_t *length)
{
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_SCHEDULING]);
        return NULL;
    }
    return write_day_json(session, length);
}

/* Why a timeline begins when it does, or cannot be. */
#include "session/session.h"

#include "explain/explain.h"

static bool is_right(const bk_reasons *reasons, bk_shelf *shelf)
{
    if (!reasons->wrong)
        return true;
    bk_error(&shelf->report, "internal", (bk_place){0}, NULL,
             "internal error: the search found what its own check refuses");
    shelf->report.machine_failed = true;
    return false;
}

static bool why(bakeset *session, const char *name, int64_t effort, bk_onlooker *onlooker,
                const struct bakeset_write_options *options, bk_text *out)
{
    bk_shelf *shelf = &session->shelves[BK_SCHEDULING];
    const bk_timeline *timeline = session->timeline;
    size_t stage = 0;
    if (name && session->plan &&
        (stage = bk_shelf_find_stage(session->plan, name, shelf)) == SIZE_MAX)
        return false;
    if (!timeline || timeline->stage_count == 0)
        return bk_session_write_form(session, BAKESET_TEXT, options, out);
    bk_text_style style = bk_style_of(options);
    if (name) {
        bk_reasons reasons = bk_why_stage(shelf->arena, timeline, stage, effort, onlooker);
        bk_write_why_stage(timeline, stage, &reasons, &style, out);
        bk_keep_to_ascii(&style, out);
        return is_right(&reasons, shelf);
    }
    bk_reasons reasons = bk_why_start(shelf->arena, timeline, effort, onlooker);
    bk_write_why_start(timeline, &reasons, &style, out);
    bk_keep_to_ascii(&style, out);
    return is_right(&reasons, shelf);
}

static const char *take_and_say_why(bakeset *session, const char *stage,
                                    const struct bakeset_schedule_options *schedule,
                                    const struct bakeset_write_options *write, size_t *length)
{
    bk_shelf *shelf = &session->shelves[BK_SCHEDULING];
    struct bakeset_schedule_options scheduling = {0};
    struct bakeset_write_options options = {0};
    bk_text out = bk_text_new(shelf->arena);
    bool taken = bk_shelf_take_options(shelf, schedule, &scheduling, sizeof scheduling) &&
                 bk_shelf_take_write_options(shelf, write, &options);
    int64_t effort = scheduling.effort > 0 ? scheduling.effort : BK_DEFAULT_EFFORT;
    bk_told told = {shelf->arena, scheduling.progress, scheduling.progress_context};
    bk_follower follower = bk_follower_new(bk_tell, &told, effort);
    follower.progress.goal = BK_GOAL_WHY;
    bk_onlooker *onlooker = scheduling.progress ? &follower.onlooker : NULL;
    bool said = taken && why(session, stage, effort, onlooker, &options, &out);
    return bk_session_finish_text(session, shelf, said ? &out : NULL, length);
}

const char *bakeset_why(bakeset *session, const char *stage,
                        const struct bakeset_schedule_options *schedule,
                        const struct bakeset_write_options *options, size_t *length)
{
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_SCHEDULING]);
        return NULL;
    }
    return take_and_say_why(session, stage, schedule, options, length);
}

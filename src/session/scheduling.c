/* The timeline of the plan that was read, and how far the search for it is. */
#include "session/session.h"

#include <inttypes.h>

/* How much better than the best so far it may get: "at most 2 h 10 min less waiting". */
static const char *goal_words(bk_arena *arena, const bk_search_state *p)
{
    int64_t less = p->best - p->bound;
    switch (p->goal) {
    case BK_GOAL_HANDS_ON:
    case BK_GOAL_BUSIEST_OTHER_DAY:
        return less <= 0 ? ""
                         : bk_format(arena, "at most %s less hands-on%s", bk_minutes(arena, less),
                                     p->goal == BK_GOAL_HANDS_ON ? "" : " a day");
    case BK_GOAL_WAITING:
        return less <= 0 ? ""
                         : bk_format(arena, "at most %s less waiting", bk_minutes(arena, less));
    case BK_GOAL_FIRST_START:
        return less >= 0 ? "" : bk_format(arena, "at most %s later", bk_minutes(arena, -less));
    case BK_GOAL_INTERRUPTIONS:
        return less <= 0 ? ""
                         : bk_format(arena, "at most %" PRId64 " %s", less,
                                     less == 1 ? "interruption fewer" : "interruptions fewer");
    case BK_GOAL_MOVED:
        return less <= 0 ? "" : bk_format(arena, "at most %" PRId64 " fewer moved", less);
    case BK_GOAL_WHY:
        return "looking for the reasons";
    case BK_GOAL_REMEDIES:
        return "it cannot be met; looking for what helps";
    case BK_GOAL_ANY:
        break;
    }
    return p->found ? "" : "no timeline yet";
}

static const char *progress_words(bk_arena *arena, const bk_search_state *p)
{
    const char *goal = goal_words(arena, p);
    if (!p->found)
        return goal;
    return bk_format(arena, "start %s%s%s", bk_moment_short(arena, p->zone, p->first_start),
                     *goal ? ", " : "", goal);
}

bool bk_tell(void *context, const bk_search_state *progress)
{
    static const enum bakeset_goal goals[] = {[BK_GOAL_ANY] = BAKESET_GOAL_ANY,
                                              [BK_GOAL_HANDS_ON] = BAKESET_GOAL_HANDS_ON,
                                              [BK_GOAL_BUSIEST_OTHER_DAY] =
                                                  BAKESET_GOAL_BUSIEST_OTHER_DAY,
                                              [BK_GOAL_MOVED] = BAKESET_GOAL_MOVED,
                                              [BK_GOAL_FIRST_START] = BAKESET_GOAL_FIRST_START,
                                              [BK_GOAL_INTERRUPTIONS] = BAKESET_GOAL_INTERRUPTIONS,
                                              [BK_GOAL_WAITING] = BAKESET_GOAL_WAITING,
                                              [BK_GOAL_WHY] = BAKESET_GOAL_WHY,
                                              [BK_GOAL_REMEDIES] = BAKESET_GOAL_REMEDIES};
    const bk_told *told = context;
    bk_mark mark = bk_arena_mark(told->arena);
    struct bakeset_progress given = {.goal = goals[progress->goal],
                                     .level = progress->level,
                                     .levels = progress->levels,
                                     .found = progress->found,
                                     .first_start = progress->first_start,
                                     .best = progress->best,
                                     .bound = progress->bound,
                                     .used = progress->used,
                                     .effort = progress->effort,
                                     .words = progress_words(told->arena, progress)};
    bool on = told->progress(told->context, &given) == 0;
    bk_arena_release(told->arena, mark);
    return on;
}

static enum bakeset_result schedule(bakeset *session, const struct bakeset_schedule_options *given)
{
    bk_shelf *shelf = &session->shelves[BK_SCHEDULING];
    struct bakeset_schedule_options options = {0};
    if (!bk_shelf_take_options(shelf, given, &options, sizeof options))
        return bk_session_finish(session, shelf, BAKESET_BAD_INPUT);
    if (!session->plan) {
        bk_shelf_usage(shelf, "there is no plan to schedule", "read a plan first");
        return bk_session_finish(session, shelf, BAKESET_BAD_INPUT);
    }
    bk_told told = {shelf->arena, options.progress, options.progress_context};
    bk_follower follower = bk_follower_new(bk_tell, &told, options.effort);
    follower.every = options.every;
    bk_schedule_options scheduling = {.effort = options.effort,
                                      .remedies = true,
                                      .follower = options.progress ? &follower : NULL};
    bk_timeline *timeline = bk_schedule(shelf->arena, session->plan, &scheduling, &shelf->report);
    bool placed = timeline && (timeline->status == BK_TIMELINE_OPTIMAL ||
                               timeline->status == BK_TIMELINE_FEASIBLE);
    enum bakeset_result result = !timeline ? BAKESET_FAILED
                                 : placed  ? BAKESET_OK
                                           : BAKESET_IMPOSSIBLE;
    bk_session_finish(session, shelf, result);
    session->timeline = timeline;
    return result;
}

enum bakeset_result bakeset_schedule(bakeset *session,
                                     const struct bakeset_schedule_options *options)
{
    bk_session_clear_timeline(session);
    if (setjmp(session->no_memory))
        return bk_session_out_of_memory(session, &session->shelves[BK_SCHEDULING]);
    return schedule(session, options);
}

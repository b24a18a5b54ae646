/* The best timeline of a plan: compile, solve, place, verify. */
#include "schedule/schedule.h"

#include "compile/compile.h"
#include "explain/explain.h"
#include "safety/safety.h"
#include "schedule/place.h"
#include "verify/verify.h"

/* Beyond it the steps would no longer be counted right. */
static const int64_t MOST_EFFORT = 1000000000000;

enum { PART_OF_EFFORT = 20 /* for a plan as a remedy changes it */ };

/* The bounds that the search proved, level by level: a later level's bound says
 * something only when the levels before it are decided. */
static void fill_bounds(bk_timeline *timeline, const bk_compiled *c, const bk_result *result)
{
    timeline->bound_hands = c->level_hands >= 0 ? result->bound[c->level_hands] : 0;
    timeline->bound_busiest =
        c->level_spread >= 0 ? result->bound[c->level_spread] * c->spread_unit : 0;
    timeline->bound_start = c->mirror - result->bound[c->level_start];
    timeline->bound_interruptions = result->bound[c->level_interruptions];
    timeline->bound_waiting = result->bound[c->level_waiting] - c->waiting_offset;
    if (timeline->bound_waiting < 0 && !c->plan->under_way) /* what has begun may end too late */
        timeline->bound_waiting = 0;
}

/* The plan's, and those that the timeline added to the report from `first` on. */
static void copy_warnings(bk_arena *arena, bk_timeline *timeline, const bk_report *report,
                          size_t first)
{
    const bk_plan *plan = timeline->plan;
    size_t room = 0;
    for (size_t i = 0; i < plan->warning_count; i++)
        *BK_PUSH(arena, timeline->warnings, timeline->warning_count, room) = plan->warnings[i];
    for (size_t i = first; i < report->count; i++)
        if (report->messages[i].severity == BK_WARNING)
            *BK_PUSH(arena, timeline->warnings, timeline->warning_count, room) =
                report->messages[i];
}

/* The last line of defence: what does not stand is an error of ours, not output. */
static bool stands(bk_arena *arena, const bk_timeline *timeline, bk_report *report)
{
    if (timeline->wrong) {
        bk_error(report, "internal", (bk_place){0}, NULL,
                 "internal error: the search found what its own check refuses");
        report->machine_failed = true;
        return false;
    }
    bk_breach *breaches = NULL;
    size_t n = bk_verify(arena, timeline, &breaches);
    for (size_t i = 0; i < n && i < 5; i++)
        bk_error(report, "internal", (bk_place){0}, NULL,
                 "internal error: the timeline breaks rule %d: %s", breaches[i].rule,
                 breaches[i].message);
    if (n > 0)
        report->machine_failed = true;
    return n == 0;
}

/* A changed plan, for the remedies of another: what it is warned of stays with it. It need not be
 * proved the best, and where it cannot be met either, nobody asks why. */
static bk_timeline *reschedule(bk_arena *arena, const bk_plan *plan, int64_t effort,
                               bk_onlooker *onlooker)
{
    bk_report quiet = bk_report_new(arena);
    return bk_schedule(arena, plan,
                       &(bk_schedule_options){.effort = effort / PART_OF_EFFORT + 1,
                                              .unexplained = true,
                                              .onlooker = onlooker},
                       &quiet);
}

static bk_onlooker *onlooker_of(const bk_schedule_options *options)
{
    return options->follower ? &options->follower->onlooker : options->onlooker;
}

static void explain(bk_arena *arena, bk_timeline *timeline, const bk_schedule_options *options,
                    int64_t effort)
{
    bk_onlooker *onlooker = onlooker_of(options);
    bk_follower_turn(options->follower, BK_GOAL_WHY);
    bk_reasons reasons =
        bk_reasons_of(arena, timeline->plan, (bk_compile_options){0}, effort, onlooker);
    timeline->wrong = reasons.wrong;
    timeline->why = reasons.facts;
    timeline->why_count = reasons.count;
    bk_follower_turn(options->follower, BK_GOAL_REMEDIES);
    if (options->remedies && !bk_remedies(arena, timeline, effort, onlooker, reschedule))
        bk_more_conflicts(arena, timeline, effort, onlooker, reschedule);
}

/* Is the second answer, whose search ended early, worse than the first? Interruptions are those of
 * minutes that may be shared in both. */
static bool is_worse(bk_arena *arena, const bk_compiled *c, const bk_result *second,
                     const bk_result *first)
{
    for (int level = 0; level <= c->level_start; level++)
        if (second->sum[level] != first->sum[level])
            return second->sum[level] > first->sum[level];
    int64_t interruptions = bk_interruptions(arena, c, first->value, INT32_MIN, INT32_MAX);
    if (second->sum[c->level_interruptions] != interruptions)
        return second->sum[c->level_interruptions] > interruptions;
    return second->sum[c->level_waiting] > first->sum[c->level_waiting];
}

/* Solves as if each touch were a minute of its own; only where that leaves an
 * interruption can those of one minute change what is best. */
static bk_result solve(bk_arena *arena, const bk_plan *plan, const bk_schedule_options *options,
                       int64_t effort, bk_compiled **compiled)
{
    bk_follower *follower = options->follower;
    *compiled = bk_compile(arena, plan, &(bk_compile_options){0});
    bk_follower_turn(follower, BK_GOAL_ANY);
    if (follower)
        follower->compiled = *compiled;
    bk_solve_options solving = {.conflicts = effort,
                                .work = effort * BK_WORK_A_CONFLICT,
                                .facts = (*compiled)->fact_count,
                                .onlooker = onlooker_of(options)};
    bk_result result = bk_solve(arena, (*compiled)->problem, &solving);
    if (!result.value || result.sum[(*compiled)->level_interruptions] == 0)
        return result;
    bk_compiled *exact = bk_compile(arena, plan, &(bk_compile_options){.minutes_shared = true});
    int32_t *hint = BK_NEW(arena, int32_t, bk_problem_vars(exact->problem));
    for (size_t i = 0; i < bk_problem_vars((*compiled)->problem); i++)
        hint[i] = result.value[i]; /* what is new comes last */
    solving.hint = hint;
    solving.facts = exact->fact_count;
    if (follower) {
        follower->compiled = exact;
        follower->from_level = exact->level_interruptions; /* before it nothing is new */
        follower->progress.effort += effort;               /* granted anew */
    }
    bk_result second = bk_solve(arena, exact->problem, &solving);
    second.conflicts += result.conflicts;
    if (second.status == BK_WRONG ||
        (second.value && !is_worse(arena, *compiled, &second, &result))) {
        *compiled = exact;
        return second;
    }
    result.conflicts = second.conflicts;
    result.status = BK_FEASIBLE;
    result.complete = false;
    if (result.bound[(*compiled)->level_interruptions] > 1)
        result.bound[(*compiled)->level_interruptions] = 1; /* they may be of one minute */
    return result;
}

static void say_given_up(enum bk_timeline_status status, bk_report *report)
{
    bk_warning(report, "given-up", (bk_place){0}, NULL, "%s",
               status == BK_TIMELINE_FEASIBLE
                   ? "the search was given up: this is the best timeline until then, which is not "
                     "proved the best"
               : status == BK_TIMELINE_IMPOSSIBLE
                   ? "the search was given up: fewer facts than these may say why, and other "
                     "changes may help"
                   : "the search was given up before a timeline was found");
}

bk_timeline *bk_schedule(bk_arena *arena, const bk_plan *plan, const bk_schedule_options *options,
                         bk_report *report)
{
    bk_timeline *timeline = BK_NEW(arena, bk_timeline, 1);
    timeline->plan = plan;
    size_t first = report->count;
    int64_t effort = options->effort > 0 ? options->effort : BK_DEFAULT_EFFORT;
    if (effort > MOST_EFFORT)
        effort = MOST_EFFORT;
    bk_compiled *compiled;
    bk_result result = solve(arena, plan, options, effort, &compiled);
    timeline->conflicts = result.conflicts;
    timeline->complete = result.complete;
    timeline->wrong = result.status == BK_WRONG;
    if (result.status == BK_OPTIMAL || result.status == BK_FEASIBLE) {
        timeline->status = result.status == BK_OPTIMAL ? BK_TIMELINE_OPTIMAL : BK_TIMELINE_FEASIBLE;
        fill_bounds(timeline, compiled, &result);
        bk_timeline_place(arena, timeline, compiled, result.value, report);
        bk_safety(arena, timeline, report);
        bk_cautions(arena, timeline, report);
        bk_find_gaps(arena, timeline);
    } else if (result.status == BK_INFEASIBLE) {
        timeline->status = BK_TIMELINE_IMPOSSIBLE;
        if (!options->unexplained)
            explain(arena, timeline, options, effort);
    } else {
        timeline->status = BK_TIMELINE_UNKNOWN;
    }
    timeline->given_up =
        bk_is_called_off(onlooker_of(options)) && timeline->status != BK_TIMELINE_OPTIMAL;
    if (timeline->given_up)
        say_given_up(timeline->status, report);
    copy_warnings(arena, timeline, report, first);
    return stands(arena, timeline, report) ? timeline : NULL;
}

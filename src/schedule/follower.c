/* How far a search is, in a cook's terms. */
#include "schedule/schedule.h"

#include "compile/compile.h"

/* Told every so many steps of propagation: a few times a second where a processor does some tens of
 * millions of them. What is looked at has its price, too. */
enum { TOLD_EVERY = 8000000, A_LOOK = 2000 };

static enum bk_goal goal_of(const bk_compiled *compiled, int level)
{
    return level == compiled->level_start           ? BK_GOAL_FIRST_START
           : level == compiled->level_interruptions ? BK_GOAL_INTERRUPTIONS
           : level == compiled->level_waiting       ? BK_GOAL_WAITING
           : level == compiled->level_hands         ? BK_GOAL_HANDS_ON
           : level == compiled->level_spread        ? BK_GOAL_BUSIEST_OTHER_DAY
                                                    : BK_GOAL_MOVED;
}

static int64_t in_terms(const bk_compiled *compiled, enum bk_goal goal, int64_t sum)
{
    switch (goal) {
    case BK_GOAL_FIRST_START:
        return compiled->mirror - sum;
    case BK_GOAL_BUSIEST_OTHER_DAY:
        return sum * compiled->spread_unit;
    case BK_GOAL_WAITING:
        sum -= compiled->waiting_offset;
        return sum < 0 && !compiled->plan->under_way ? 0 : sum;
    default:
        return sum;
    }
}

static void take(bk_search_state *progress, const bk_compiled *compiled,
                 const bk_standing *standing)
{
    progress->levels = compiled->level_waiting + 1;
    progress->level = standing->level;
    progress->found = standing->value;
    progress->goal = BK_GOAL_ANY;
    if (!standing->value)
        return;
    progress->first_start = compiled->mirror - standing->value[compiled->first_start];
    progress->zone = compiled->plan->zone;
    if (standing->level < 0)
        return;
    progress->goal = goal_of(compiled, standing->level);
    progress->best = in_terms(compiled, progress->goal, standing->best);
    progress->bound = in_terms(compiled, progress->goal, standing->bound);
}

static bool look(bk_onlooker *onlooker, const bk_standing *standing)
{
    bk_follower *follower = (bk_follower *)onlooker;
    follower->conflicts += standing->conflicts;
    follower->work += standing->work;
    follower->untold += standing->work + standing->conflicts * BK_WORK_A_CONFLICT + A_LOOK;
    if (follower->untold < (follower->every > 0 ? follower->every : TOLD_EVERY))
        return true;
    follower->untold = 0;
    bk_search_state *progress = &follower->progress;
    if (follower->compiled &&
        (!progress->found || (standing->value && standing->level >= follower->from_level)))
        take(progress, follower->compiled, standing);
    int64_t by_work = follower->work / BK_WORK_A_CONFLICT;
    progress->used = by_work > follower->conflicts ? by_work : follower->conflicts;
    return follower->tell(follower->context, progress);
}

void bk_follower_turn(bk_follower *follower, enum bk_goal goal)
{
    if (!follower)
        return;
    follower->compiled = NULL;
    follower->from_level = 0;
    follower->progress.goal = goal;
    follower->progress.level = -1;
    follower->progress.found = false;
}

bk_follower bk_follower_new(bool (*tell)(void *context, const bk_search_state *progress),
                            void *context, int64_t effort)
{
    return (bk_follower){
        .onlooker = {.look = look},
        .tell = tell,
        .context = context,
        .progress = {.level = -1, .effort = effort > 0 ? effort : BK_DEFAULT_EFFORT}};
}

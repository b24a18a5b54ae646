/* What the day comes to from here on: on time where that can be, else the least late; the
 * fewest stages that move; then as the plan's style. */
#include "day/parts.h"

#include "explain/explain.h"

/* A dish may come to be a day late; nobody waits longer. */
enum { LATEST = BK_DAY, PART_OF_EFFORT = 20, MOST_DROPPED = 64 };

/* --------------------------------------------------- what happened stands in the way */

/* Drops what a fact asks of a stage that has begun, or in relation to one, and the hours at which
 * one is to be done; false when it asks for something else. */
static bool drop(bk_arena *arena, bk_day *day, bk_plan *plan, const bk_fact *fact)
{
    if (fact->stage == SIZE_MAX)
        return false;
    bk_stage *stage = &plan->stages[fact->stage];
    const char *rule = "within";
    if (fact->kind == BK_FACT_WITHIN && fact->link < stage->link_count &&
        stage->links[fact->link].has_within &&
        bk_has_begun(&plan->stages[stage->links[fact->link].stage])) {
        stage->links[fact->link].has_within = false;
        stage->links[fact->link].run_out = !bk_has_begun(stage);
    } else if (fact->kind == BK_FACT_CHECK && bk_has_begun(stage)) {
        stage->check_count = 0;
        rule = "checks";
    } else if (fact->kind == BK_FACT_WHEN) {
        stage->has_when = false;
        rule = "when";
    } else {
        return false;
    }
    bk_day_broke(arena, day,
                 (bk_broken_rule){rule, fact->stage, stage->dish, day->now,
                                  bk_format(arena, "No longer to be kept: %s.", fact->message)});
    return true;
}

/* How long a dish keeps, when what happened of it already has it ready too soon. */
static bool drop_keeps(bk_arena *arena, bk_day *day, bk_plan *plan, const bk_fact *fact)
{
    if (fact->kind != BK_FACT_KEEPS)
        return false;
    bk_dish *dish = &plan->dishes[fact->dish];
    bool begun = false;
    for (size_t i = dish->first_stage; i < dish->first_stage + dish->stage_count; i++)
        begun = begun || bk_has_begun(&plan->stages[i]);
    if (!begun)
        return false;
    dish->has_keeps = false;
    dish->keeps_run_out = !dish->part;
    bk_day_broke(arena, day,
                 (bk_broken_rule){"keeps", SIZE_MAX, fact->dish, day->now,
                                  bk_format(arena, "%s will stand longer than the %s it keeps.",
                                            dish->name, bk_minutes(arena, dish->keeps))});
    return true;
}

/* What a stage that has begun holds until something to come, which cannot be done without it:
 * of those, the one that began last. */
static bool drop_hold(bk_arena *arena, bk_day *day, bk_plan *plan, const bk_fact *fact)
{
    bk_hold *last = NULL;
    size_t holder = SIZE_MAX;
    if (fact->kind != BK_FACT_POOL)
        return false;
    for (size_t i = 0; i < plan->stage_count; i++)
        for (size_t k = 0; k < plan->stages[i].hold_count; k++) {
            bk_hold *hold = &plan->stages[i].holds[k];
            if (hold->equipment != fact->equipment || hold->amount == 0 ||
                !bk_has_begun(&plan->stages[i]) || bk_has_begun(&plan->stages[hold->until]) ||
                (last && plan->stages[i].began < plan->stages[holder].began))
                continue;
            last = hold;
            holder = i;
        }
    if (!last)
        return false;
    last->amount = 0;
    bk_day_broke(arena, day,
                 (bk_broken_rule){"holds", holder, plan->stages[holder].dish, day->now,
                                  bk_format(arena, "%s cannot keep the %s to itself until %s.",
                                            bk_stage_name(arena, plan, holder),
                                            plan->kitchen.equipment[fact->equipment].name,
                                            bk_stage_name(arena, plan, last->until))});
    return true;
}

/* Where not even lateness helps: drops what happened has made impossible, one rule at a
 * time. False when what stands in the way is about what is to come alone. */
static bool relax(bk_arena *arena, bk_day *day, bk_plan *plan, int64_t effort,
                  bk_follower *follower)
{
    if (follower && bk_is_called_off(&follower->onlooker))
        return false;
    bk_follower_turn(follower, BK_GOAL_WHY);
    bk_reasons reasons =
        bk_reasons_of(arena, plan, (bk_compile_options){.late_most = LATEST},
                      effort / PART_OF_EFFORT + 1, follower ? &follower->onlooker : NULL);
    for (size_t i = 0; i < reasons.count; i++)
        if (drop_keeps(arena, day, plan, &reasons.facts[i]))
            return true;
    for (size_t i = 0; i < reasons.count; i++)
        if (drop(arena, day, plan, &reasons.facts[i]))
            return true;
    for (size_t i = 0; i < reasons.count; i++)
        if (drop_hold(arena, day, plan, &reasons.facts[i]))
            return true;
    return false;
}

/* ---------------------------------------------------------------------- late */

static void be_late(bk_plan *plan, bk_day *day, const bk_lateness *lateness)
{
    for (size_t d = 0; d < plan->dish_count; d++) {
        bk_dish *dish = &plan->dishes[d];
        day->late[d] += lateness->late[d];
        dish->serve += lateness->late[d];
        dish->margin_used = lateness->margin_used[d];
    }
    bk_span_serves(plan);
}

static bk_plan *shallow(bk_arena *arena, const bk_plan *from)
{
    bk_plan *plan = BK_NEW(arena, bk_plan, 1);
    *plan = *from;
    plan->dishes = BK_NEW(arena, bk_dish, from->dish_count);
    for (size_t d = 0; d < from->dish_count; d++)
        plan->dishes[d] = from->dishes[d];
    plan->stages = BK_NEW(arena, bk_stage, from->stage_count);
    for (size_t i = 0; i < from->stage_count; i++)
        plan->stages[i] = from->stages[i];
    return plan;
}

static bool placed(const bk_timeline *timeline)
{
    return timeline &&
           (timeline->status == BK_TIMELINE_OPTIMAL || timeline->status == BK_TIMELINE_FEASIBLE);
}

/* Where the effort ran out, less late than was thought of may come of it: then that counts, and
 * what it leaves is planned once more. */
static void tighten(bk_arena *arena, bk_day *day, const bk_schedule_options *options)
{
    enum { ROUNDS = 3 };
    for (int round = 0; round < ROUNDS && placed(day->timeline); round++) {
        bk_plan *plan = shallow(arena, day->plan);
        int64_t *late = BK_NEW(arena, int64_t, plan->dish_count);
        bool less = false;
        for (size_t d = 0; d < plan->dish_count; d++) {
            bk_instant ready = INT64_MIN;
            for (size_t i = 0; i < day->timeline->stage_count; i++)
                if (plan->stages[day->timeline->stages[i].stage].dish == d &&
                    day->timeline->stages[i].end > ready)
                    ready = day->timeline->stages[i].end;
            int64_t over = plan->dishes[d].serve - ready;
            over = over < 0 ? 0 : over < day->late[d] ? over : day->late[d];
            late[d] = day->late[d] - over;
            plan->dishes[d].serve -= over;
            less = less || over > 0;
        }
        bk_span_serves(plan);
        if (!less)
            return;
        bk_report quiet = bk_report_new(arena);
        bk_timeline *timeline = bk_schedule(arena, plan, options, &quiet);
        if (!placed(timeline))
            return;
        day->plan = plan;
        day->timeline = timeline;
        day->late = late;
    }
}

/* What should have begun already begins no later than it can, and what will be ready too soon is so
 * no sooner; false: there is no such. */
static bool hurry(bk_arena *arena, bk_plan *plan, const bk_lateness *lateness)
{
    bool any = false;
    for (size_t i = 0; i < plan->stage_count; i++) {
        bk_stage *stage = &plan->stages[i];
        if (!bk_is_run_out(stage))
            continue;
        any = true;
        if (!lateness)
            continue;
        bk_link *links = BK_NEW(arena, bk_link, stage->link_count);
        for (size_t k = 0; k < stage->link_count; k++) {
            links[k] = stage->links[k];
            const bk_stage *other = &plan->stages[links[k].stage];
            bk_instant from = other->began + (links[k].from_start ? 0 : other->planned);
            links[k].has_within = links[k].has_within || links[k].run_out;
            if (links[k].run_out)
                links[k].within = lateness->start[i] - from;
        }
        stage->links = links;
    }
    for (size_t d = 0; d < plan->dish_count && lateness; d++)
        if (plan->dishes[d].keeps_run_out) {
            plan->dishes[d].has_keeps = true;
            plan->dishes[d].keeps = plan->dishes[d].serve - lateness->ready[d];
        }
    return any;
}

/* The timeline from here on. */
static void replan(bk_arena *arena, bk_day *day, bk_plan *plan, int64_t effort,
                   bk_follower *follower, bk_report *report)
{
    bk_schedule_options quick = {.effort = effort, .unexplained = true, .follower = follower};
    day->plan = plan;
    day->late_proved = true;
    if (!hurry(arena, plan, NULL)) {
        day->timeline = bk_schedule(arena, plan, &quick, report);
        if (!day->timeline || placed(day->timeline))
            return;
    }
    int64_t full = effort > 0 ? effort : BK_DEFAULT_EFFORT;
    bk_lateness lateness = bk_least_lateness(arena, plan, LATEST, full, follower);
    for (int i = 0;
         i < MOST_DROPPED && !lateness.possible && relax(arena, day, plan, full, follower); i++)
        lateness = bk_least_lateness(arena, plan, LATEST, full, follower);
    if (!lateness.possible) {
        bk_schedule_options whole = {.effort = effort, .remedies = true, .follower = follower};
        day->timeline = bk_schedule(arena, plan, &whole, report);
        return;
    }
    bk_plan *late = shallow(arena, plan);
    be_late(late, day, &lateness);
    day->plan = late;
    day->late_proved = lateness.proved;
    hurry(arena, late, &lateness);
    day->timeline = bk_schedule(arena, late, &quick, report);
    if (!day->late_proved && plan->at_table == 0) /* a table may be put off for itself */
        tighten(arena, day, &quick);
    bool any = false;
    for (size_t d = 0; d < plan->dish_count; d++)
        any = any || day->late[d] > 0;
    if (!any)
        return;
    bk_report quiet = bk_report_new(arena);
    bk_schedule_options why = {
        .effort = effort / PART_OF_EFFORT + 1000, .remedies = true, .follower = follower};
    day->on_time = bk_schedule(arena, plan, &why, &quiet);
}

/* ---------------------------------------------------------------------- moved */

void bk_day_find_moved(bk_arena *arena, bk_day *day, const bk_told *told)
{
    size_t room = 0;
    day->moved = NULL;
    day->moved_count = 0;
    day->moved_little = 0;
    for (size_t i = 0; placed(day->timeline) && i < day->timeline->stage_count; i++) {
        const bk_placed *at = &day->timeline->stages[i];
        const bk_stage *stage = &day->plan->stages[at->stage];
        int64_t by = at->start - told->start[at->stage];
        int64_t minutes = by < 0 ? -by : by;
        if (!told->has[at->stage] || bk_has_begun(stage))
            continue;
        if (minutes > BK_NO_MOVE)
            *BK_PUSH(arena, day->moved, day->moved_count, room) =
                (bk_moved){at->stage, told->start[at->stage], at->start};
        else if (minutes > day->moved_little)
            day->moved_little = minutes;
    }
}

/* What the journal names and the plan has not: it may have been renamed. */
static void find_unknown(bk_arena *arena, bk_day *day, const bk_plan *plan,
                         const bk_day_entry *const *entries, size_t count)
{
    size_t room = 0;
    for (size_t i = 0; i < count; i++) {
        const bk_day_entry *entry = entries[i];
        if (entry->what == BK_DAY_PLANNED || !entry->dish ||
            (bk_day_dish(plan, entry->dish) != SIZE_MAX &&
             (!entry->stage || bk_day_stage(plan, entry->dish, entry->stage) != SIZE_MAX)))
            continue;
        *BK_PUSH(arena, day->unknown, day->unknown_count, room) =
            bk_format(arena, "the journal speaks of \"%s%s%s\", which the plan has not",
                      entry->dish, entry->stage ? "/" : "", entry->stage ? entry->stage : "");
    }
}

bk_day *bk_day_make(bk_arena *arena, const bk_plan *plan, const bk_journal *journal,
                    const bk_timeline *first, bk_instant now, bool heard, int64_t effort,
                    bk_follower *follower, bk_report *report)
{
    bk_day *day = BK_NEW(arena, bk_day, 1);
    size_t count, room = 0;
    const bk_day_entry **entries = bk_day_effective(arena, journal, now, &count);
    day->now = day->before = now;
    day->late = BK_NEW(arena, int64_t, plan->dish_count);
    bool any = false;
    for (size_t i = 0; i < count; i++) {
        if (entries[i]->what == BK_DAY_PLANNED)
            continue;
        if (i + 1 < count || !heard) { /* what is said now is told now */
            day->before = any && day->before > entries[i]->at ? day->before : entries[i]->at;
            any = true;
        }
        day->finished = day->finished || entries[i]->what == BK_DAY_FINISHED;
    }
    bk_told told = bk_day_told(arena, plan, entries, count, first);
    bk_state state = bk_day_state(arena, plan, entries, count, &told, now);
    for (size_t i = 0; i < plan->stage_count; i++)
        if (state.stages[i].overdue)
            *BK_PUSH(arena, day->overdue, day->overdue_count, room) =
                (bk_overdue){i, state.stages[i].due};
    find_unknown(arena, day, plan, entries, count);
    bk_plan *rest = bk_day_rest(arena, &state, &told, entries, count, day);
    replan(arena, day, rest, effort, follower, report);
    bk_day_find_moved(arena, day, &told);
    return day->timeline ? day : NULL;
}

/* The plan as it is now: what has begun is a fact, the hours before now are gone, and the
 * rules that what happened has broken are dropped for the stages that broke them. */
#include "day/parts.h"

#include <math.h>
#include <string.h>

void bk_day_broke(bk_arena *arena, bk_day *day, bk_broken_rule broken)
{
    size_t room = day->broken_count; /* grown by hand: few ever come */
    bk_broken_rule *all = BK_NEW(arena, bk_broken_rule, room + 1);
    if (room > 0)
        memcpy(all, day->broken, room * sizeof *all);
    all[room] = broken;
    day->broken = all;
    day->broken_count = room + 1;
}

/* ----------------------------------------------------------------- copying */

static void *copy_of(bk_arena *arena, const void *from, size_t count, size_t size)
{
    char *copy = bk_alloc(arena, count > 0 ? count : 1, size);
    if (count > 0)
        memcpy(copy, from, count * size);
    return copy;
}

#define COPY(arena, items, count) ((items) = copy_of((arena), (items), (count), sizeof *(items)))

static bk_plan *copy_plan(bk_arena *arena, const bk_plan *from)
{
    bk_plan *plan = copy_of(arena, from, 1, sizeof *from);
    COPY(arena, plan->stages, plan->stage_count);
    COPY(arena, plan->dishes, plan->dish_count);
    COPY(arena, plan->kitchen.people, plan->kitchen.people_count);
    for (size_t i = 0; i < plan->stage_count; i++) {
        bk_stage *stage = &plan->stages[i];
        COPY(arena, stage->links, stage->link_count);
        COPY(arena, stage->holds, stage->hold_count);
        COPY(arena, stage->needs, stage->need_count);
        COPY(arena, stage->checks, stage->check_count);
    }
    for (size_t d = 0; d < plan->dish_count; d++)
        COPY(arena, plan->dishes[d].stored, plan->dishes[d].stored_count);
    return plan;
}

/* ------------------------------------------------------------------ facts */

/* Of a stage that has begun only what is still to come of its checks is asked for. */
static void keep_checks_to_come(bk_stage *stage, bk_instant now)
{
    size_t kept = 0;
    for (size_t k = 0; k < stage->check_count; k++) {
        const bk_check *check = &stage->checks[k];
        if (stage->began + check->at < now || check->at + check->takes > stage->planned ||
            stage->progress != BK_RUNNING)
            continue;
        stage->checks[kept++] = *check;
    }
    stage->check_count = kept;
}

static void set_facts(const bk_state *state, const bk_told *told, bk_plan *plan)
{
    for (size_t i = 0; i < plan->stage_count; i++) {
        bk_stage *stage = &plan->stages[i];
        const bk_stage_state *at = &state->stages[i];
        stage->progress = at->progress;
        stage->told = told->has[i];
        stage->told_start = told->start[i];
        stage->oven_number = at->oven_number; /* of one that has not begun: as was told */
        if (at->progress == BK_NOT_BEGUN)
            continue;
        stage->began = at->start;
        stage->planned = at->end - at->start;
        stage->assumed = at->assumed;
        stage->has_when = false;
        if (at->progress == BK_LEFT_OUT) {
            stage->hold_count = stage->need_count = 0;
            stage->in_oven = stage->oven_off = false;
            stage->oven_number = 0;
        }
        keep_checks_to_come(stage, state->now);
    }
}

/* ------------------------------------------------------------------- links */

/* What waits for a stage that is left out waits for what that one waited for. */
static void bridge(bk_arena *arena, bk_plan *plan, size_t i)
{
    bk_stage *stage = &plan->stages[i];
    bk_link *links = NULL;
    size_t count = 0, room = 0;
    bool *seen = BK_NEW(arena, bool, plan->stage_count);
    for (size_t k = 0; k < stage->link_count; k++)
        *BK_PUSH(arena, links, count, room) = stage->links[k];
    for (size_t k = 0; k < count; k++) {
        size_t out = links[k].stage;
        if (plan->stages[out].progress != BK_LEFT_OUT || seen[out])
            continue;
        seen[out] = true;
        links[k].wait = 0;
        links[k].has_within = false;
        for (size_t l = 0; l < plan->stages[out].link_count; l++) {
            bk_link further = plan->stages[out].links[l];
            further.has_within = false;
            *BK_PUSH(arena, links, count, room) = further;
        }
    }
    stage->links = links;
    stage->link_count = count;
}

static bk_instant end_of(const bk_stage *stage)
{
    return stage->began + stage->planned;
}

/* A most wait after something that is over, which cannot be kept any more. */
static void drop_withins(bk_arena *arena, bk_day *day, bk_plan *plan, size_t i)
{
    bk_stage *stage = &plan->stages[i];
    for (size_t k = 0; k < stage->link_count; k++) {
        bk_link *link = &stage->links[k];
        const bk_stage *other = &plan->stages[link->stage];
        if (!link->has_within || !bk_has_begun(other) ||
            (other->progress == BK_RUNNING && !link->from_start))
            continue;
        bk_instant last = (link->from_start ? other->began : end_of(other)) + link->within;
        bk_instant is = bk_has_begun(stage) ? stage->began : day->now;
        if (is <= last)
            continue;
        if (!bk_has_begun(stage)) {
            link->has_within = false;
            link->run_out = true;
        }
        bk_day_broke(arena, day,
                     (bk_broken_rule){
                         "within", i, stage->dish, last,
                         bk_format(arena, "%s was to start within %s of %s, by %s.",
                                   bk_stage_name(arena, plan, i), bk_minutes(arena, link->within),
                                   bk_stage_name(arena, plan, link->stage),
                                   bk_clock_seen_from(arena, plan->zone, day->now, last))});
    }
}

/* A least wait that was cut short: it has begun all the same. */
static void tell_waits(bk_arena *arena, bk_day *day, const bk_plan *plan, size_t i)
{
    const bk_stage *stage = &plan->stages[i];
    if (!bk_has_begun(stage) || stage->progress == BK_LEFT_OUT || stage->assumed)
        return;
    for (size_t k = 0; k < stage->link_count; k++) {
        const bk_link *link = &stage->links[k];
        const bk_stage *other = &plan->stages[link->stage];
        if (!bk_has_begun(other) || other->progress == BK_LEFT_OUT)
            continue;
        bk_instant first = (link->from_start ? other->began : end_of(other)) + link->wait;
        if (stage->began >= first)
            continue;
        const char *words =
            link->wait > 0
                ? bk_format(arena, "%s began %s too soon: it was to wait %s after %s.",
                            bk_stage_name(arena, plan, i), bk_minutes(arena, first - stage->began),
                            bk_minutes(arena, link->wait), bk_stage_name(arena, plan, link->stage))
                : bk_format(arena, "%s began before %s was over.", bk_stage_name(arena, plan, i),
                            bk_stage_name(arena, plan, link->stage));
        bk_day_broke(arena, day, (bk_broken_rule){"wait", i, stage->dish, stage->began, words});
    }
}

/* Its hours are over before it has begun. */
static void drop_when(bk_arena *arena, bk_day *day, bk_plan *plan, size_t i)
{
    bk_stage *stage = &plan->stages[i];
    if (!stage->has_when)
        return;
    bk_instant last = INT64_MIN;
    for (size_t k = 0; k < stage->when_count; k++) {
        bk_instant from = stage->when[k].from > day->now ? stage->when[k].from : day->now;
        if (from + stage->planned <= stage->when[k].to)
            return;
        last = stage->when[k].to > last ? stage->when[k].to : last;
    }
    stage->has_when = false;
    if (last == INT64_MIN)
        return;
    bk_day_broke(arena, day,
                 (bk_broken_rule){"when", i, stage->dish, last,
                                  bk_format(arena, "%s was to be done at %s, which is over.",
                                            bk_stage_name(arena, plan, i), stage->when_time)});
}

/* ------------------------------------------------------------------ dishes */

/* Late by what has begun, whatever comes; what that takes of the margin is gone. */
static void be_late(bk_day *day, const bk_plan *plan, size_t d, bk_instant ready)
{
    bk_dish *dish = &plan->dishes[d];
    int64_t over = ready == INT64_MIN ? 0 : ready - (dish->serve - plan->margin);
    if (over <= 0)
        return;
    dish->margin_used = over < plan->margin ? over : plan->margin;
    day->late[d] = over - dish->margin_used;
    dish->serve += day->late[d];
}

static void set_dishes(bk_arena *arena, bk_day *day, const bk_state *state, bk_plan *plan)
{
    for (size_t d = 0; d < plan->dish_count; d++) {
        bk_dish *dish = &plan->dishes[d];
        bk_instant ready = INT64_MIN;
        bool over = true, made = false, out = state->dish_out[d];
        for (size_t i = dish->first_stage; i < dish->first_stage + dish->stage_count; i++) {
            over = over && bk_has_begun(&plan->stages[i]);
            made = made || plan->stages[i].progress != BK_LEFT_OUT;
            if (bk_has_begun(&plan->stages[i]) && end_of(&plan->stages[i]) > ready)
                ready = end_of(&plan->stages[i]);
        }
        out = out || !made; /* nothing of it is left: it is no dish */
        dish->out = out;
        dish->served = state->dish_served[d];
        if (dish->served)
            dish->serve = state->served_at[d];
        if (out)
            dish->stored_count = 0;
        if (!out && !dish->served && !dish->part)
            be_late(day, plan, d, ready);
        if (!over || !dish->has_keeps)
            continue;
        if (ready != INT64_MIN && ready < dish->serve - dish->keeps && !out)
            bk_day_broke(
                arena, day,
                (bk_broken_rule){"keeps", SIZE_MAX, d, ready + dish->keeps,
                                 bk_format(arena, "%s was ready at %s and keeps %s, until %s.",
                                           dish->name,
                                           bk_clock_seen_from(arena, plan->zone, day->now, ready),
                                           bk_minutes(arena, dish->keeps),
                                           bk_clock_seen_from(arena, plan->zone, day->now,
                                                              ready + dish->keeps))});
        dish->has_keeps = false;
    }
    bk_span_serves(plan);
}

/* ------------------------------------------------------------------- hours */

/* What is past of them is gone: nobody is asked about it. */
static size_t cut(bk_arena *arena, bk_window **windows, size_t count, bk_instant now)
{
    bk_window *kept = BK_NEW(arena, bk_window, count);
    size_t n = 0;
    for (size_t i = 0; i < count; i++) {
        bk_window window = (*windows)[i];
        if (window.to > now)
            kept[n++] = window;
    }
    *windows = kept;
    return n;
}

static void leave(bk_arena *arena, bk_cook *cook, bk_instant from, bk_instant to)
{
    bk_window *windows = BK_NEW(arena, bk_window, cook->window_count + 1);
    if (cook->window_count > 0)
        memcpy(windows, cook->windows, cook->window_count * sizeof *windows);
    windows[cook->window_count++] =
        (bk_window){.kind = BK_AWAY, .from = from, .to = to, .place = cook->place};
    cook->windows = windows;
}

static void set_hours(bk_arena *arena, const bk_day_entry *const *entries, size_t count,
                      bk_plan *plan)
{
    bk_kitchen *kitchen = &plan->kitchen;
    bk_instant far = (plan->last_serve > plan->now ? plan->last_serve : plan->now) + 2 * BK_DAY;
    for (size_t c = 0; c < kitchen->people_count; c++) {
        bk_cook *cook = &kitchen->people[c];
        const bk_day_entry *last = NULL; /* what was said last counts */
        for (size_t i = 0; i < count; i++)
            if (entries[i]->what == BK_DAY_COOK && entries[i]->cook &&
                strcmp(entries[i]->cook, cook->name) == 0)
                last = entries[i];
        cook->leaves = last && last->until < far;
        if (cook->leaves) {
            cook->until = last->until;
            leave(arena, cook, last->until, far);
        }
        cook->window_count = cut(arena, &cook->windows, cook->window_count, plan->now);
    }
    if (kitchen->people_count > 0)
        bk_kitchen_gather(arena, kitchen);
    kitchen->window_count = cut(arena, &kitchen->windows, kitchen->window_count, plan->now);
}

/* ------------------------------------------------------------------ amounts */

/* What is in use at now by more than there is was broken by what happened: told of those that
 * began last. What is to come finds what they leave (src/compile/begun.c). */
static bool fits(int64_t *left, int64_t amount)
{
    bool fitting = amount <= *left;
    *left -= amount < *left ? amount : *left;
    return fitting;
}

static size_t *by_beginning(bk_arena *arena, const bk_plan *plan, size_t *count)
{
    size_t *begun = BK_NEW(arena, size_t, plan->stage_count);
    *count = 0;
    for (size_t i = 0; i < plan->stage_count; i++) {
        if (!bk_has_begun(&plan->stages[i]))
            continue;
        size_t at = (*count)++;
        for (; at > 0 && plan->stages[begun[at - 1]].began > plan->stages[i].began; at--)
            begun[at] = begun[at - 1];
        begun[at] = i;
    }
    return begun;
}

static void broke_amount(bk_arena *arena, bk_day *day, const bk_plan *plan, size_t i,
                         const char *what)
{
    bk_day_broke(arena, day,
                 (bk_broken_rule){"uses", i, plan->stages[i].dish, plan->stages[i].began,
                                  bk_format(arena, "%s takes %s than there is.",
                                            bk_stage_name(arena, plan, i), what)});
}

/* Whether a stage's own dish holds the equipment around it. */
static bool held_by_own(const bk_plan *plan, size_t i, size_t e)
{
    const bk_dish *dish = &plan->dishes[plan->stages[i].dish];
    for (size_t s = dish->first_stage; s < dish->first_stage + dish->stage_count; s++)
        for (size_t k = 0; k < plan->stages[s].hold_count; k++)
            if (plan->stages[s].holds[k].equipment == e && bk_has_begun(&plan->stages[s]))
                return true;
    return false;
}

static bool is_over(const bk_plan *plan, size_t i)
{
    return bk_has_begun(&plan->stages[i]) && end_of(&plan->stages[i]) <= plan->now;
}

static void tell_pool(bk_arena *arena, bk_day *day, const bk_plan *plan, const size_t *begun,
                      size_t count, size_t e)
{
    int64_t left = plan->kitchen.equipment[e].pool;
    for (size_t n = 0; n < count; n++) {
        const bk_stage *stage = &plan->stages[begun[n]];
        bool fitting = true;
        for (size_t k = 0; k < stage->hold_count; k++)
            if (stage->holds[k].equipment == e && !is_over(plan, stage->holds[k].until))
                fitting = fits(&left, stage->holds[k].amount) && fitting;
        for (size_t k = 0; k < stage->need_count; k++)
            if (stage->needs[k].equipment == e && !is_over(plan, begun[n]) &&
                !held_by_own(plan, begun[n], e))
                fitting = fits(&left, stage->needs[k].amount) && fitting;
        if (!fitting)
            broke_amount(arena, day, plan, begun[n],
                         bk_format(arena, "more of %s", plan->kitchen.equipment[e].name));
    }
}

static void tell_oven(bk_arena *arena, bk_day *day, const bk_plan *plan, const size_t *begun,
                      size_t count, size_t e, int number)
{
    int64_t left = plan->kitchen.equipment[e].shelves;
    for (size_t n = 0; n < count; n++) {
        const bk_stage *stage = &plan->stages[begun[n]];
        if (stage->in_oven && stage->oven.equipment == e && stage->oven_number == number &&
            !is_over(plan, begun[n]) && !fits(&left, stage->oven.amount))
            broke_amount(arena, day, plan, begun[n], "more shelves");
    }
}

/* Cooks with hands at now. */
static int64_t hands_there(const bk_plan *plan)
{
    const bk_kitchen *kitchen = &plan->kitchen;
    int64_t hands = kitchen->cooks;
    for (size_t c = 0; c < kitchen->people_count; c++)
        for (size_t w = 0; w < kitchen->people[c].window_count; w++)
            if (kitchen->people[c].windows[w].from <= plan->now &&
                plan->now < kitchen->people[c].windows[w].to) {
                hands--;
                break;
            }
    return hands;
}

static void tell_hands(bk_arena *arena, bk_day *day, const bk_plan *plan, const size_t *begun,
                       size_t count)
{
    int64_t left = hands_there(plan);
    for (size_t n = 0; n < count; n++) {
        const bk_stage *stage = &plan->stages[begun[n]];
        if (stage->attention == BK_HANDS && !is_over(plan, begun[n]) && !fits(&left, stage->cooks))
            broke_amount(arena, day, plan, begun[n], "more hands");
    }
}

static void tell_amounts(bk_arena *arena, bk_day *day, const bk_plan *plan)
{
    size_t count;
    const size_t *begun = by_beginning(arena, plan, &count);
    tell_hands(arena, day, plan, begun, count);
    for (size_t e = 0; e < plan->kitchen.equipment_count; e++) {
        const bk_equipment *equipment = &plan->kitchen.equipment[e];
        if (equipment->kind != BK_OVEN)
            tell_pool(arena, day, plan, begun, count, e);
        for (int k = 1; equipment->kind == BK_OVEN && k <= equipment->count; k++)
            tell_oven(arena, day, plan, begun, count, e, k);
    }
}

/* -------------------------------------------------------------------- ovens */

bool bk_day_oven(const bk_plan *plan, const char *name, size_t *equipment, int *number)
{
    for (size_t e = 0; name && e < plan->kitchen.equipment_count; e++) {
        const bk_equipment *oven = &plan->kitchen.equipment[e];
        size_t length = strlen(oven->name);
        if (oven->kind != BK_OVEN || strncmp(oven->name, name, length) != 0 ||
            (name[length] != '\0' && name[length] != '#'))
            continue;
        *equipment = e;
        *number = name[length] == '#' && name[length + 1] > '0' ? name[length + 1] - '0' : 1;
        return *number <= oven->count;
    }
    return false;
}

/* The stage that is to be in an oven next, by what was told; NULL: none. */
static const bk_stage *next_in_oven(const bk_plan *plan, size_t e)
{
    const bk_stage *next = NULL;
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        if (bk_is_heated(stage) && stage->oven.equipment == e && !bk_has_begun(stage) &&
            stage->told && (!next || stage->told_start < next->told_start))
            next = stage;
    }
    return next;
}

/* Is the oven still on, where the last in it ended at `end`: it is being used, or left on for
 * the next. */
static bool left_on(const bk_plan *plan, size_t e, bk_instant end)
{
    const bk_stage *next = next_in_oven(plan, e);
    int64_t idle = plan->kitchen.equipment[e].idle;
    return end >= plan->now || (next && next->told_start - end <= idle && plan->now - end <= idle);
}

/* Is the oven on its way to be hot for stage `i`, or turned over to it, as was told? Also when
 * that has to wait, for as long as it would be left on. Not if something else was said of it
 * after that began. What is in it meanwhile keeps it away all the same. */
static bool is_warming(const bk_plan *plan, const bk_heats *heats, size_t i, size_t e, int number,
                       bk_instant word)
{
    const bk_stage *stage = &plan->stages[i];
    const bk_equipment *oven = &plan->kitchen.equipment[e];
    if (!bk_is_heated(stage) || stage->oven.equipment != e || bk_has_begun(stage) || !stage->told ||
        stage->oven_number != number)
        return false;
    bk_instant on = stage->told_start - bk_oven_preheat(oven, heats->hottest[i]);
    return on < plan->now && word < on && plan->now - stage->told_start <= oven->idle;
}

/* Last known of each oven: what was in it, if it is still on, or what somebody said of it
 * since. */
static void know_ovens(bk_arena *arena, const bk_day_entry *const *entries, size_t count,
                       bk_plan *plan)
{
    size_t room = 0;
    bk_heats heats = bk_heats_of(arena, plan);
    for (size_t e = 0; e < plan->kitchen.equipment_count; e++) {
        const bk_equipment *oven = &plan->kitchen.equipment[e];
        for (int k = 1; oven->kind == BK_OVEN && k <= oven->count; k++) {
            bk_instant word = INT64_MIN; /* when somebody said that it is hot */
            bk_hot hot = {.equipment = e, .number = k};
            bool known = false;
            bk_instant last = INT64_MIN; /* when the last that was in it went in */
            for (size_t i = 0; i < plan->stage_count; i++) {
                const bk_stage *stage = &plan->stages[i];
                if (!bk_has_begun(stage) || !stage->in_oven || stage->oven.equipment != e ||
                    stage->oven_number != k || stage->began < last)
                    continue;
                last = stage->began;
                known = !stage->oven_off && left_on(plan, e, end_of(stage));
                if (known)
                    hot.celsius = bk_dial_wanted(bk_dial_of(oven), &stage->oven.at);
                hot.since = stage->began;
            }
            for (size_t i = 0; i < count; i++) {
                size_t equipment;
                int number;
                if (entries[i]->what != BK_DAY_HOT || entries[i]->at < last ||
                    !bk_day_oven(plan, entries[i]->oven, &equipment, &number) || equipment != e ||
                    number != k)
                    continue;
                const bk_stage *next = next_in_oven(plan, e);
                if (!isnan(entries[i]->temperature_c))
                    hot.celsius = entries[i]->temperature_c;
                else if (next) /* hot for what comes */
                    hot.celsius = bk_dial_wanted(bk_dial_of(oven), &next->oven.at);
                else if (!known)
                    continue;
                hot.since = word = entries[i]->at;
                known = true;
            }
            hot.ready = plan->now;
            if (known)
                *BK_PUSH(arena, plan->hot, plan->hot_count, room) = hot;
            for (size_t i = 0; i < plan->stage_count; i++)
                if (is_warming(plan, &heats, i, e, k, word))
                    *BK_PUSH(arena, plan->hot, plan->hot_count, room) = (bk_hot){
                        .equipment = e,
                        .number = k,
                        .celsius = bk_dial_wanted(bk_dial_of(oven), &plan->stages[i].oven.at),
                        .since = plan->stages[i].told_start,
                        .ready = plan->stages[i].told_start};
        }
    }
}

/* --------------------------------------------------------------------- all */

bk_plan *bk_day_rest(bk_arena *arena, const bk_state *state, const bk_told *told,
                     const bk_day_entry *const *entries, size_t count, bk_day *day)
{
    bk_plan *plan = copy_plan(arena, state->plan);
    plan->under_way = true;
    plan->has_now = true;
    plan->now = plan->earliest = state->now;
    set_facts(state, told, plan);
    for (size_t i = 0; i < plan->stage_count; i++) {
        if (!bk_has_begun(&plan->stages[i]))
            bridge(arena, plan, i);
        tell_waits(arena, day, plan, i);
        drop_withins(arena, day, plan, i);
        if (!bk_has_begun(&plan->stages[i]))
            drop_when(arena, day, plan, i);
    }
    set_dishes(arena, day, state, plan);
    set_hours(arena, entries, count, plan);
    tell_amounts(arena, day, plan);
    know_ovens(arena, entries, count, plan);
    return plan;
}

/* A placed timeline held against the limits: cooling that is computed, and all else by place
 * and time. */
#include "safety/safety.h"

#include "safety/judge.h"

#include <string.h>

enum { MOST_WARNINGS = 60 };

typedef bk_judge safety;

/* ------------------------------------------------------------------ words */

const char *bk_follow_local(void)
{
    return "follow your local rules";
}

const char *bk_judge_stage(const bk_judge *judge, size_t stage)
{
    return bk_stage_name(judge->arena, judge->plan, stage);
}

const char *bk_judge_span(const bk_judge *judge, double minutes)
{
    return bk_minutes(judge->arena, (int64_t)minutes);
}

const char *bk_judge_hour(const bk_judge *judge, bk_instant instant)
{
    return bk_hour_on_weekday(judge->arena, judge->plan->zone, instant);
}

const char *bk_judge_word(const bk_judge *judge, size_t stage)
{
    const char *word = bk_risk_word(&judge->standings.stage[stage]);
    return word ? bk_format(judge->arena, "; \"%s\" counts as food that spoils", word) : "";
}

/* In the units of a stage that is modelled. */
static const char *degrees(const safety *s, size_t n, double celsius)
{
    return bk_degrees(s->arena, s->plan->stages[n].cooling->question->units, celsius);
}

/* In Fahrenheit where every oven and fridge is. */
static bk_units of_kitchen(const bk_plan *plan)
{
    bool any = false, celsius = false;
    for (size_t e = 0; e < plan->kitchen.equipment_count; e++) {
        const bk_equipment *equipment = &plan->kitchen.equipment[e];
        bool warm = equipment->kind == BK_OVEN || equipment->kind == BK_COLD;
        any = any || (warm && equipment->fahrenheit);
        celsius = celsius || (warm && !equipment->fahrenheit);
    }
    return (bk_units){.fahrenheit = any && !celsius};
}

bool bk_may_say(bk_judge *judge, size_t dish, enum bk_warned kind)
{
    unsigned bit = 1U << kind;
    if (judge->plan->dishes[dish].out || (judge->said[dish] & bit) != 0 ||
        judge->count >= MOST_WARNINGS)
        return false;
    judge->said[dish] |= bit;
    judge->count++;
    return true;
}

/* ------------------------------------------------- cooling that is modelled */

/* Food that needs cooling by the rules: wet and with protein, and not one of those
 * that keep by sugar, acid or yeast. */
static bool needs_control(const bk_cooling *c)
{
    static const char *const keeps[] = {"bread dough", "fruit compote", "fruit jelly", "water",
                                        NULL};
    if (c->food)
        for (int i = 0; keeps[i]; i++)
            if (strcmp(keeps[i], c->food) == 0)
                return false;
    return c->fraction[0] >= 0.4 && c->fraction[1] >= 0.01;
}

/* A modelled stage that cools food that needs it. */
static bool is_cooling(const bk_stage *stage)
{
    return stage->cooling && stage->cooling->place_c < stage->cooling->from_c &&
           needs_control(stage->cooling);
}

enum bk_heat_end bk_judge_end(const bk_judge *judge)
{
    switch (judge->plan->plan_on) {
    case BK_PLAN_ON_LEAST:
        return BK_HEAT_STRONG;
    case BK_PLAN_ON_LIKELY:
        return BK_HEAT_TYPICAL;
    case BK_PLAN_ON_MOST:
        break;
    }
    return BK_HEAT_WEAK;
}

/* Minutes from the stage's start until the middle is at `celsius` if it stays where
 * it is; INFINITY when never. */
static double minutes_to(const safety *s, size_t stage, double celsius)
{
    bk_heat_question q;
    bk_cooling_question(s->plan->stages[stage].cooling, &q);
    return ceil(bk_heat_seconds_to(s->arena, &q, bk_judge_end(s), celsius) / 60.0 - 1e-6);
}

/* When each cooling began, handed on from stage to stage until something is heated. */
static void run_clocks(safety *s)
{
    size_t *last = BK_NEW(s->arena, size_t, s->plan->stage_count); /* modelled stage before, + 1 */
    for (size_t i = 0; i < s->standings.count; i++) {
        size_t n = s->standings.order[i];
        const bk_stage *stage = &s->plan->stages[n];
        bk_cooling_clock *clock = &s->clock[n];
        if (s->standings.stage[n].place == BK_STANDS_HOT)
            continue;
        for (size_t k = 0; k < stage->link_count; k++) {
            size_t p = stage->links[k].stage;
            if (!bk_hands_on_food(s->plan, n, &stage->links[k]))
                continue;
            if (s->clock[p].runs && (!clock->runs || s->clock[p].since < clock->since)) {
                clock->runs = true;
                clock->since = s->clock[p].since;
                clock->assumed = s->clock[p].assumed;
            }
            if (last[p] != 0)
                last[n] = last[p];
        }
        if (!is_cooling(stage))
            continue;
        if (last[n] != 0)
            s->clock[last[n] - 1].goes_on = true;
        last[n] = n + 1;
        double from = stage->cooling->from_c, hot = s->rules.hot.value;
        bk_instant start = s->standings.stage[n].start;
        if (from > hot) {
            double passed = minutes_to(s, n, hot);
            clock->runs = isfinite(passed); /* else the middle stays hot here */
            clock->since = isfinite(passed) ? start + (bk_instant)passed : 0;
            clock->assumed = false;
        } else if (!clock->runs && from > s->rules.cooling_middle_c) {
            clock->runs = true;
            clock->since = start;
            clock->assumed = true;
        }
    }
}

/* What would help, the best three, with the time each gives. */
static const char *helps(const safety *s, size_t stage, double celsius)
{
    bk_heat_question q;
    bk_heat_change changes[BK_HEAT_MOST_CHANGES];
    bk_cooling_question(s->plan->stages[stage].cooling, &q);
    q.to_c = celsius;
    if (bk_heat_estimate(s->arena, &q).fault != BK_HEAT_OK)
        return "colder air, a shallower dish or colder ingredients help";
    size_t count = bk_heat_sensitivities(s->arena, &q, changes), said = 0;
    bk_text text = bk_text_new(s->arena);
    for (size_t i = 0; i < count && said < 3; i++) {
        const bk_heat_change *c = &changes[i];
        if (c->answer.fault != BK_HEAT_OK || c->likely_difference >= 0 ||
            c->question.air_c < q.air_c || c->question.tin != q.tin)
            continue;
        int64_t minutes = s->plan->plan_on == BK_PLAN_ON_MOST     ? c->answer.most_minutes
                          : s->plan->plan_on == BK_PLAN_ON_LIKELY ? c->answer.likely_minutes
                                                                  : c->answer.least_minutes;
        bk_text_addf(&text, "%s%s (%s)", said > 0 ? ", " : "", c->what,
                     bk_minutes(s->arena, minutes));
        said++;
    }
    return said > 0 ? bk_format(s->arena, "what helps: %s", text.data)
                    : "a shallower dish or colder ingredients help";
}

static void say_cooling(safety *s, size_t n, double celsius, double reached, const bk_limit *limit)
{
    const bk_stage *stage = &s->plan->stages[n];
    const bk_cooling_clock *clock = &s->clock[n];
    bk_instant start = s->standings.stage[n].start;
    const char *began =
        clock->assumed
            ? bk_format(s->arena, "this cooling begins at %s", bk_judge_hour(s, clock->since))
            : bk_format(s->arena, "it passes %s at %s", degrees(s, n, s->rules.hot.value),
                        bk_judge_hour(s, clock->since));
    if (!bk_may_say(s, stage->dish, BK_WARNED_COOLING))
        return;
    const char *mend =
        bk_format(s->arena, "%s, an ice bath too; %s", helps(s, n, celsius), bk_follow_local());
    bk_instant end = s->standings.stage[n].end;
    if (stage->cooling->in_room && (double)(end - start) < reached)
        bk_warning_about(s->report, (bk_about){BK_FOOD_SAFETY, n}, "safety-cooling", stage->place,
                         mend,
                         "%s: its middle is still above %s at %s; %s, and the limit is %s (%s)",
                         bk_judge_stage(s, n), degrees(s, n, celsius), bk_judge_hour(s, end), began,
                         bk_judge_span(s, limit->value), limit->source);
    else if (!isfinite(reached))
        bk_warning_about(
            s->report, (bk_about){BK_FOOD_SAFETY, n}, "safety-cooling", stage->place, mend,
            "%s: in air at %s its middle is never at %s; %s, and the limit is %s (%s)",
            bk_judge_stage(s, n), degrees(s, n, stage->cooling->place_c), degrees(s, n, celsius),
            began, bk_judge_span(s, limit->value), limit->source);
    else
        bk_warning_about(s->report, (bk_about){BK_FOOD_SAFETY, n}, "safety-cooling", stage->place,
                         mend, "%s: its middle is at %s only at %s; %s, and the limit is %s (%s)",
                         bk_judge_stage(s, n), degrees(s, n, celsius),
                         bk_judge_hour(s, start + (bk_instant)reached), began,
                         bk_judge_span(s, limit->value), limit->source);
}

/* One step of cooling: `celsius` within `limit` of the clock's start. What a later
 * stage models is left to it; what leaves a room half cooled for a place that is not
 * modelled is known only until it leaves. */
static bool check_step(safety *s, size_t n, double celsius, const bk_limit *limit)
{
    const bk_standing *at = &s->standings.stage[n];
    const bk_cooling *cooling = s->plan->stages[n].cooling;
    double reached = minutes_to(s, n, celsius), here = (double)(at->end - at->start);
    double known = cooling->in_room ? fmin(reached, here) : reached;

    if ((reached > here && s->clock[n].goes_on) ||
        (double)(at->start - s->clock[n].since) + known <= limit->value)
        return true;
    say_cooling(s, n, celsius, reached, limit);
    return false;
}

/* Hot food: down through the middle temperature and to cold in time. */
static void check_cooked(safety *s, size_t n)
{
    const bk_safety_rules *r = &s->rules;
    const bk_cooling *cooling = s->plan->stages[n].cooling;
    if (cooling->from_c > r->cooling_middle_c &&
        !check_step(s, n, r->cooling_middle_c, &r->cooling_first))
        return;
    if (!cooling->in_room)
        check_step(s, n, r->cold.value, &r->cooling_whole);
}

/* Made of ingredients at room temperature or below: a caution, for a deep set dessert
 * sets well and still takes longer than this. */
static void check_ambient(safety *s, size_t n)
{
    const bk_safety_rules *r = &s->rules;
    const bk_stage *stage = &s->plan->stages[n];
    double cold = minutes_to(s, n, r->cold.value);

    if (stage->cooling->from_c <= r->cold.value || stage->cooling->in_room || s->clock[n].goes_on ||
        cold <= r->ambient.value || !bk_may_say(s, stage->dish, BK_WARNED_AMBIENT))
        return;
    const char *mend = bk_format(s->arena, "%s; %s", helps(s, n, r->cold.value), bk_follow_local());
    const char *rule = bk_format(
        s->arena, "food made of ingredients that are not cold is to be there within %s (%s)",
        bk_judge_span(s, r->ambient.value), r->ambient.source);
    if (isfinite(cold))
        bk_warning_about(s->report, (bk_about){BK_FOOD_SAFETY, n}, "safety-ambient", stage->place,
                         mend,
                         "%s sets in its time, but its middle is at %s only after %s, at %s; %s",
                         bk_judge_stage(s, n), degrees(s, n, r->cold.value), bk_judge_span(s, cold),
                         bk_judge_hour(s, s->standings.stage[n].start + (bk_instant)cold), rule);
    else
        bk_warning_about(s->report, (bk_about){BK_FOOD_SAFETY, n}, "safety-ambient", stage->place,
                         mend, "%s: in air at %s its middle is never at %s; %s",
                         bk_judge_stage(s, n), degrees(s, n, stage->cooling->place_c),
                         degrees(s, n, r->cold.value), rule);
}

static void check_modelled(safety *s, size_t n)
{
    if (!is_cooling(&s->plan->stages[n]))
        return;
    if (s->clock[n].runs)
        check_cooked(s, n);
    else if (s->plan->stages[n].cooling->from_c <= s->rules.cooling_middle_c)
        check_ambient(s, n);
}

/* ------------------------------------------------------- by place and time */

/* The clock of a stage's food when it has waited from the stage's end until then. */
static bk_room_clock waited(const safety *s, size_t n, bk_instant until)
{
    const bk_standing *at = &s->standings.stage[n];
    bk_room_clock room = at->room;
    if (until > at->end)
        bk_room_pass(&s->standings, &room, at->end, until - at->end,
                     bk_held_cold(&s->standings, s->plan->stages[n].dish, at->end, until));
    return room;
}

/* A later reading of the same clock. */
static void take_later(bk_room_clock *room, bk_instant *until, bk_room_clock later, bk_instant at)
{
    if (later.since != room->since || later.minutes <= room->minutes)
        return;
    *room = later;
    *until = at;
}

/* Food that is over the limit goes on standing while it rests or is unmoulded or decorated, up
 * to the table, unless something cools or heats it: the clock as it is last. */
static void stand_on(const safety *s, size_t dish, bk_room_clock *room, bk_instant *until)
{
    const bk_dish *d = &s->plan->dishes[dish];
    for (size_t i = 0; i < d->stage_count; i++) {
        size_t n = d->first_stage + i;
        const bk_stage *stage = &s->plan->stages[n];
        const bk_standing *at = &s->standings.stage[n];
        if (!at->placed)
            continue;
        for (size_t k = 0; k < stage->link_count; k++) {
            size_t before = stage->links[k].stage;
            if (bk_hands_on_food(s->plan, n, &stage->links[k]) &&
                s->standings.stage[before].at_risk)
                take_later(room, until, waited(s, before, at->start), at->start);
        }
        bk_instant end = s->handed_on[n] ? at->end : bk_timeline_until(s->standings.timeline, dish);
        if (at->at_risk)
            take_later(room, until, waited(s, n, end), end);
    }
}

/* What stands in a room until then, by its clock. Hot to begin with, it is counted from
 * when its middle was no longer hot. */
static void check_room(safety *s, size_t n, bk_room_clock room, bk_instant until)
{
    const bk_stage *stage = &s->plan->stages[n];
    const bk_limit *limit = room.hot_room ? &s->rules.hot_room : &s->rules.room;
    const unsigned told = 1U << BK_WARNED_COOLING | 1U << BK_WARNED_THAWING; /* and why, already */
    bk_instant hot_until = s->clock[n].runs ? s->clock[n].since : room.since;
    int64_t hot = hot_until > room.since ? hot_until - room.since : 0;
    if ((double)(room.minutes - hot) <= limit->value || (s->said[stage->dish] & told) != 0 ||
        !bk_may_say(s, stage->dish, BK_WARNED_ROOM))
        return;
    stand_on(s, stage->dish, &room, &until);
    if (room.hot_room)
        limit = &s->rules.hot_room;
    room.since += hot;
    room.minutes -= hot;
    bool broken = room.since + room.minutes < until;
    bk_warning_about(
        s->report, (bk_about){BK_FOOD_SAFETY, n}, "safety-room", stage->place,
        bk_format(s->arena, "put it in the fridge, keep it hot or make it later; %s",
                  bk_follow_local()),
        "%s: from %s to %s (%s%s) nothing in the plan keeps it cold or hot; the limit in a room "
        "%sis %s (%s)%s",
        bk_judge_stage(s, n), bk_judge_hour(s, room.since), bk_judge_hour(s, until),
        bk_minutes(s->arena, room.minutes), broken ? " in all" : "",
        room.hot_room ? "so warm " : "", bk_judge_span(s, limit->value), limit->source,
        bk_judge_word(s, n));
}

static void check_hot(safety *s, size_t n)
{
    const bk_stage *stage = &s->plan->stages[n];
    const bk_limit *hot = &s->rules.hot;
    bk_units units = {.fahrenheit = stage->oven.at.fahrenheit};
    if (!bk_is_heated(stage) || stage->attention == BK_HANDS || bk_is_rising(stage) ||
        stage->oven.at.nominal >= hot->value || stage->oven.at.nominal <= 0.0 ||
        !bk_may_say(s, stage->dish, BK_WARNED_HOT))
        return;
    bk_warning_about(s->report, (bk_about){BK_FOOD_SAFETY, n}, "safety-hot", stage->place,
                     bk_format(s->arena, "set it higher; %s", bk_follow_local()),
                     "%s: from %s it is in an oven at %s; hot food is kept at %s or above (%s)",
                     bk_judge_stage(s, n), bk_judge_hour(s, s->standings.stage[n].start),
                     bk_degrees(s->arena, units, stage->oven.at.nominal),
                     bk_degrees(s->arena, units, hot->value), hot->source);
}

static void check_thawing(safety *s, size_t n)
{
    const bk_stage *stage = &s->plan->stages[n];
    const bk_standing *at = &s->standings.stage[n];
    const bk_limit *thawing = &s->rules.thawing;
    bool room = at->place == BK_STANDS_IN_ROOM;
    bool mild = at->cold != SIZE_MAX && s->plan->kitchen.equipment[at->cold].at_c > thawing->value;
    if (!bk_is_thawing(stage) || stage->attention == BK_HANDS || !bk_may_spoil(at->food.kinds) ||
        (!room && !mild) || !bk_may_say(s, stage->dish, BK_WARNED_THAWING))
        return;
    bk_warning_about(
        s->report, (bk_about){BK_FOOD_SAFETY, n}, "safety-thawing", stage->place,
        bk_format(s->arena, "thaw it in a fridge at %s, or as part of cooking; %s",
                  bk_degrees(s->arena, of_kitchen(s->plan), thawing->value), bk_follow_local()),
        "%s: from %s to %s it thaws in %s (%s)%s", bk_judge_stage(s, n),
        bk_judge_hour(s, at->start), bk_judge_hour(s, at->end),
        room ? "a room" : "air warmer than that", thawing->source, bk_judge_word(s, n));
}

/* In the fridge too long: by hours, or by days from the one it was made on, counted as the
 * first. A freezer stops both clocks. */
static void check_storage(safety *s, size_t n, bk_instant until)
{
    const bk_standing *at = &s->standings.stage[n];
    const bk_stage *stage = &s->plan->stages[n];
    const bk_limit *storage = &s->rules.storage, *leftovers = &s->rules.leftovers;
    if (!at->has_cold_since || until <= at->cold_since)
        return;
    bk_instant thawed =
        until - bk_frozen_minutes(&s->standings, stage->dish, at->cold_since, until);
    bk_instant first = bk_day_start(s->plan->zone, at->cold_since),
               last = bk_day_start(s->plan->zone, thawed);
    int64_t days =
        (last - first + BK_DAY / 2) / BK_DAY + 1; /* a day of a clock change is one too */
    bool hours = (double)(thawed - at->cold_since) > leftovers->value;
    if ((!hours && (double)days <= storage->value) ||
        !bk_may_say(s, stage->dish, BK_WARNED_STORAGE))
        return;
    const char *counted =
        hours ? bk_format(s->arena, "%s; the limit is %s",
                          bk_minutes(s->arena, thawed - at->cold_since),
                          bk_judge_span(s, leftovers->value))
              : bk_format(s->arena, "day %lld with the first counted; the limit is %.0f days",
                          (long long)days, storage->value);
    bk_warning_about(s->report, (bk_about){BK_FOOD_SAFETY, n}, "safety-storage", stage->place,
                     bk_format(s->arena, "make it later, or freeze it; %s", bk_follow_local()),
                     "%s: it is in the fridge from %s, %s, to %s, %s (%s)%s",
                     s->plan->dishes[stage->dish].name,
                     bk_clock(s->arena, s->plan->zone, at->cold_since),
                     bk_date_long(s->arena, s->plan->zone, at->cold_since), bk_judge_hour(s, until),
                     counted, hours ? leftovers->source : storage->source, bk_judge_word(s, n));
}

/* A stage whose food goes no further waits for the table. */
static void check_waiting(safety *s, size_t n)
{
    const bk_standing *at = &s->standings.stage[n];
    if (!at->at_risk)
        return;
    if (s->handed_on[n]) {
        /* a modelled stage in a room is held against the limits of cooling */
        if (!is_cooling(&s->plan->stages[n]))
            check_room(s, n, at->room, at->end);
        return;
    }
    size_t d = s->plan->stages[n].dish;
    bk_instant until = bk_timeline_until(s->standings.timeline, d);
    check_room(s, n, waited(s, n, until), until);
    check_storage(s, n, until);
}

/* When something first heats or cools what a stage hands on; at the latest, the table. */
static bk_instant stands_until(const safety *s, size_t n)
{
    const bk_dish *dish = &s->plan->dishes[s->plan->stages[n].dish];
    bk_instant until = bk_timeline_until(s->standings.timeline, s->plan->stages[n].dish);
    for (size_t i = 0; i < dish->stage_count; i++) {
        const bk_standing *at = &s->standings.stage[dish->first_stage + i];
        bool kept = at->place == BK_STANDS_HOT || at->place == BK_STANDS_COLD;
        if (at->placed && kept && at->start >= s->standings.stage[n].end && at->start < until)
            until = at->start;
    }
    return until;
}

/* Food that its step takes out of the fridge in time, and that the plan lets be taken out too
 * early: nothing says how long before the next step it may be. */
static void check_out_early(safety *s, const bk_placed *placed)
{
    static const char *const out[] = {"from the fridge",         "from the refrigerator",
                                      "out of the cold",         "out of the fridge",
                                      "out of the refrigerator", NULL};
    size_t n = placed->stage;
    const bk_stage *stage = &s->plan->stages[n];
    const bk_standing *at = &s->standings.stage[n];
    const bk_limit *limit = at->room.hot_room ? &s->rules.hot_room : &s->rules.room;
    if (placed->early <= 0 || !at->at_risk || at->place != BK_STANDS_IN_ROOM ||
        !bk_has_any(stage->text, out))
        return;
    bk_instant earliest = at->start - placed->early, until = stands_until(s, n);
    if ((double)(until - at->start) > limit->value || (double)(until - earliest) <= limit->value ||
        bk_held_cold(&s->standings, stage->dish, at->start, until + 1) || /* still held for it */
        !bk_may_say(s, stage->dish, BK_WARNED_OUT_EARLY))
        return;
    bk_warning_about(
        s->report, (bk_about){BK_FOOD_SAFETY, n}, "safety-out-early", stage->place,
        bk_format(s->arena, "not before %s; \"within\" on what follows it would keep it late; %s",
                  bk_judge_hour(s, until - (bk_instant)limit->value), bk_follow_local()),
        "%s: the plan lets it come out at any time from %s, %s before anything heats or cools it; "
        "the limit in a room is %s (%s)%s",
        bk_judge_stage(s, n), bk_judge_hour(s, earliest), bk_minutes(s->arena, until - earliest),
        bk_judge_span(s, limit->value), limit->source, bk_judge_word(s, n));
}

/* Waits between stages. */
static void check_waits(safety *s, size_t n)
{
    const bk_stage *stage = &s->plan->stages[n];
    const bk_standing *at = &s->standings.stage[n];
    for (size_t k = 0; k < stage->link_count; k++) {
        const bk_link *link = &stage->links[k];
        const bk_standing *from = &s->standings.stage[link->stage];
        if (!bk_hands_on_food(s->plan, n, link) || !from->at_risk)
            continue;
        if (from->cooked && at->place == BK_STANDS_HOT)
            check_storage(s, link->stage, at->start); /* to be heated again */
        if (from->place == BK_STANDS_RISING)
            continue;
        check_room(s, link->stage, waited(s, link->stage, at->start), at->start);
    }
}

static void check_fridges(safety *s)
{
    const bk_kitchen *kitchen = &s->plan->kitchen;
    bool *used = BK_NEW(s->arena, bool, kitchen->equipment_count);
    const bk_limit *cold = &s->rules.cold;
    for (size_t i = 0; i < s->standings.count; i++) {
        size_t n = s->standings.order[i];
        const bk_stage *stage = &s->plan->stages[n];
        if (!bk_may_spoil(s->standings.stage[n].food.kinds))
            continue;
        for (size_t k = 0; k < stage->need_count; k++)
            used[stage->needs[k].equipment] = true;
        for (size_t k = 0; k < stage->hold_count; k++)
            used[stage->holds[k].equipment] = true;
    }
    for (size_t e = 0; e < kitchen->equipment_count; e++) {
        const bk_equipment *fridge = &kitchen->equipment[e];
        if (!used[e] || fridge->kind != BK_COLD || fridge->at_c <= cold->value)
            continue;
        bk_warning_about(
            s->report, (bk_about){BK_FOOD_SAFETY, SIZE_MAX}, "safety-cold", fridge->place,
            bk_format(s->arena, "set it colder; %s", bk_follow_local()),
            "%s is at %s; cold food is kept at %s or below (%s)", fridge->name,
            bk_degrees(s->arena, (bk_units){.fahrenheit = fridge->fahrenheit}, fridge->at_c),
            bk_degrees(s->arena, (bk_units){.fahrenheit = fridge->fahrenheit}, cold->value),
            cold->source);
    }
}

void bk_safety(bk_arena *arena, const bk_timeline *timeline, bk_report *report)
{
    const bk_plan *plan = timeline->plan;
    safety s = {.arena = arena,
                .plan = plan,
                .report = report,
                .standings = bk_standings_of(arena, timeline),
                .clock = BK_NEW(arena, bk_cooling_clock, plan->stage_count),
                .handed_on = BK_NEW(arena, bool, plan->stage_count),
                .said = BK_NEW(arena, unsigned, plan->dish_count),
                .litres = BK_NEW(arena, double, plan->dish_count)};
    s.rules = s.standings.rules;

    for (size_t i = 0; i < s.standings.count; i++) {
        const bk_stage *stage = &plan->stages[s.standings.order[i]];
        for (size_t k = 0; k < stage->link_count; k++)
            if (bk_hands_on_food(plan, s.standings.order[i], &stage->links[k]))
                s.handed_on[stage->links[k].stage] = true;
    }
    run_clocks(&s);
    check_fridges(&s);
    for (size_t i = 0; i < s.standings.count; i++) {
        size_t n = s.standings.order[i];
        check_modelled(&s, n);
        check_thawing(&s, n);
        if (s.standings.stage[n].at_risk)
            check_hot(&s, n);
        check_waits(&s, n);
        check_waiting(&s, n);
        bk_judge_reheating(&s, n);
        bk_judge_pot(&s, n);
    }
    for (size_t i = 0; i < timeline->stage_count; i++)
        check_out_early(&s, &timeline->stages[i]);
    for (size_t d = 0; d < plan->dish_count; d++)
        bk_judge_raw(&s, d);
}

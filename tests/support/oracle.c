#include "support/oracle.h"

#include <string.h>

static bk_instant end_of(const bk_plan *plan, const oracle_placing *placing, size_t s)
{
    return placing->start[s] + plan->stages[s].planned;
}

bool oracle_can(const bk_plan *plan)
{
    bool can = plan->stage_count <= ORACLE_STAGES &&
               plan->kitchen.equipment_count <= ORACLE_EQUIPMENT &&
               plan->kitchen.people_count <= ORACLE_COOKS &&
               plan->last_serve - plan->earliest <= ORACLE_SPAN;
    for (size_t s = 0; can && s < plan->stage_count; s++)
        can = plan->stages[s].check_count <= ORACLE_CHECKS;
    for (size_t e = 0; can && e < plan->kitchen.equipment_count; e++)
        can = plan->kitchen.equipment[e].kind != BK_OVEN ||
              plan->kitchen.equipment[e].count <= ORACLE_OVENS;
    return can;
}

/* ------------------------------------------------------- the rules, plainly */

/* Is one of the windows over minute `t`? Of the kitchen, its own alone. */
static bool over(const bk_window *windows, size_t count, bool busy, bk_instant t)
{
    for (size_t w = 0; w < count; w++)
        if (!windows[w].derived && (busy || windows[w].kind != BK_BUSY) && windows[w].from <= t &&
            t < windows[w].to)
            return true;
    return false;
}

/* Is this cook there (and, with `busy`, are their hands free)? */
static bool cook_can(const bk_plan *plan, size_t cook, bool busy, bk_instant t)
{
    const bk_cook *who = &plan->kitchen.people[cook];
    return !over(plan->kitchen.windows, plan->kitchen.window_count, busy, t) &&
           !over(who->windows, who->window_count, busy, t);
}

bool oracle_somebody(const bk_plan *plan, bk_instant from, bk_instant to, bool busy)
{
    for (bk_instant t = from; t < to; t++) {
        bool somebody = plan->kitchen.people_count == 0 &&
                        !over(plan->kitchen.windows, plan->kitchen.window_count, busy, t);
        for (size_t c = 0; c < plan->kitchen.people_count; c++)
            somebody = somebody || cook_can(plan, c, busy, t);
        if (!somebody)
            return false;
    }
    return true;
}

static int64_t hands_there(const bk_plan *plan, bk_instant t)
{
    int64_t hands = plan->kitchen.people_count == 0 ? plan->kitchen.cooks : 0;
    for (size_t c = 0; c < plan->kitchen.people_count; c++)
        hands += cook_can(plan, c, true, t);
    return hands;
}

bool oracle_reminder(const bk_plan *plan, const oracle_placing *placing, size_t stage, size_t check,
                     bk_instant *at)
{
    bk_instant wanted = placing->start[stage] + plan->stages[stage].checks[check].at;
    bk_instant end = placing->start[stage] + plan->stages[stage].planned;
    for (*at = wanted; *at < plan->last_serve || *at <= wanted; ++*at) {
        if (!oracle_somebody(plan, *at, *at + 1, false))
            continue;
        if (*at == wanted || *at < end)
            return true;
        bool begun = *at >= plan->dishes[plan->stages[stage].dish].serve;
        for (size_t s = 0; s < plan->stage_count; s++)
            for (size_t k = 0; k < plan->stages[s].link_count; k++)
                begun |= plan->stages[s].links[k].stage == stage && placing->start[s] <= *at;
        return !begun;
    }
    return false;
}

static bool during(bk_instant t, bk_instant from, bk_instant to)
{
    return from <= t && t < to;
}

/* A dish keeps and is stored until it is served; a part, until the last of the others'
 * stages that are linked to it begins. */
static bk_instant needed_until(const bk_plan *plan, const oracle_placing *placing, size_t d)
{
    bk_instant until = plan->earliest;
    if (!plan->dishes[d].part)
        return plan->dishes[d].serve;
    for (size_t s = 0; s < plan->stage_count; s++)
        for (size_t l = 0; l < plan->stages[s].link_count; l++) {
            size_t other = plan->stages[plan->stages[s].links[l].stage].dish;
            if (other == d && plan->stages[s].dish != d && placing->start[s] > until)
                until = placing->start[s];
        }
    return until;
}

static bk_instant ready_of(const bk_plan *plan, const oracle_placing *placing, size_t d)
{
    const bk_dish *dish = &plan->dishes[d];
    bk_instant ready = INT64_MIN;
    for (size_t s = dish->first_stage; s < dish->first_stage + dish->stage_count; s++)
        if (end_of(plan, placing, s) > ready)
            ready = end_of(plan, placing, s);
    return ready;
}

static bool temperatures_meet(const bk_stage *a, const bk_stage *b)
{
    double low = a->oven.at.low > b->oven.at.low ? a->oven.at.low : b->oven.at.low;
    double high = a->oven.at.high < b->oven.at.high ? a->oven.at.high : b->oven.at.high;
    return high - low > -1e-6;
}

/* The coolest and the hottest that counts for a stage: what is set for it alone; where
 * another could be in with it that is written otherwise, the ends of what it accepts. */
static void heat_of(const bk_plan *plan, size_t s, double *coolest, double *hottest)
{
    const bk_stage *stage = &plan->stages[s];
    const bk_temperature *at = &stage->oven.at;
    *coolest = *hottest =
        bk_dial_wanted(bk_dial_of(&plan->kitchen.equipment[stage->oven.equipment]), at);
    for (size_t o = 0; o < plan->stage_count; o++) {
        const bk_stage *other = &plan->stages[o];
        if (!other->in_oven || other->oven_off || other->oven.equipment != stage->oven.equipment ||
            !temperatures_meet(stage, other))
            continue;
        if (other->oven.at.low != at->low || other->oven.at.high != at->high) {
            *coolest = at->low;
            *hottest = at->high;
        }
    }
}

static int64_t rounded_up(double minutes)
{
    int64_t whole = 0;
    while ((double)whole + 1e-7 < minutes)
        whole++;
    return whole;
}

static int64_t preheat_of(const bk_plan *plan, size_t s)
{
    const bk_equipment *oven = &plan->kitchen.equipment[plan->stages[s].oven.equipment];
    double coolest, hottest;
    heat_of(plan, s, &coolest, &hottest);
    return oven->warms > 0 ? rounded_up((hottest - 20) / oven->warms) : oven->preheat;
}

/* From what stage a is baked at to what stage b wants. */
static int64_t change_of(const bk_plan *plan, size_t a, size_t b)
{
    const bk_equipment *oven = &plan->kitchen.equipment[plan->stages[a].oven.equipment];
    double a_low, a_high, b_low, b_high;
    heat_of(plan, a, &a_low, &a_high);
    heat_of(plan, b, &b_low, &b_high);
    if (b_low > a_high)
        return oven->warms > 0 ? rounded_up((b_high - a_low) / oven->warms) : oven->change;
    return oven->cools > 0 ? rounded_up((a_high - b_low) / oven->cools) : oven->change;
}

/* Rule 6 for two stages in the same oven. */
static bool share_oven(const bk_plan *plan, const oracle_placing *placing, size_t a, size_t b)
{
    if (plan->stages[a].oven_off && plan->stages[b].oven_off)
        return true;
    if (plan->stages[a].oven_off)
        return end_of(plan, placing, b) <= placing->start[a] ||
               placing->start[b] - preheat_of(plan, b) >= end_of(plan, placing, a);
    if (plan->stages[b].oven_off)
        return share_oven(plan, placing, b, a);
    if (temperatures_meet(&plan->stages[a], &plan->stages[b]))
        return true;
    return placing->start[a] >= end_of(plan, placing, b) + change_of(plan, b, a) ||
           placing->start[b] >= end_of(plan, placing, a) + change_of(plan, a, b);
}

/* Rule 11: is `at` strictly inside a time in which nobody can? */
static bool nobody_begins(const bk_plan *plan, bk_instant at)
{
    return !oracle_somebody(plan, at - 1, at, true) && !oracle_somebody(plan, at, at + 1, true);
}

static bool touches_fit(const bk_plan *plan, size_t s, bk_instant start, bk_instant end)
{
    const bk_stage *stage = &plan->stages[s];
    if (stage->attention != BK_HANDS && !stage->begins_itself && nobody_begins(plan, start))
        return false;
    return !stage->in_oven || stage->oven_off || !nobody_begins(plan, end);
}

/* Do the cooks eat in a minute of [from, to)? */
static bool eating(const bk_plan *plan, bk_instant from, bk_instant to)
{
    for (bk_instant t = from; t < to; t++)
        for (size_t d = 0; d < plan->dish_count; d++)
            if (!plan->dishes[d].part && plan->dishes[d].serve <= t &&
                t < plan->dishes[d].serve + plan->at_table)
                return true;
    return false;
}

/* Hands free all through [from, to)? */
static bool hands_free(const bk_plan *plan, bk_instant from, bk_instant to)
{
    return oracle_somebody(plan, from, to, true) && !eating(plan, from, to);
}

/* Does the stage lie in a window of its `when`? */
static bool in_its_window(const bk_stage *stage, bk_instant start, bk_instant end)
{
    for (size_t w = 0; stage->has_when && w < stage->when_count; w++)
        if (stage->when[w].from <= start && end <= stage->when[w].to)
            return true;
    return !stage->has_when;
}

/* Rules that one stage keeps by itself: 3 and 4 (windows), 7, 8, 9, 11. */
static bool stage_alone(const bk_plan *plan, const oracle_placing *placing, size_t s)
{
    const bk_stage *stage = &plan->stages[s];
    const bk_kitchen *kitchen = &plan->kitchen;
    bk_instant start = placing->start[s], end = end_of(plan, placing, s);
    if (start < plan->earliest || end > plan->dishes[stage->dish].serve - plan->margin)
        return false;
    bk_instant on = start;
    if (stage->in_oven && !stage->oven_off)
        on -= preheat_of(plan, s);
    if (on < plan->earliest)
        return false;
    if (stage->attention == BK_HANDS && !hands_free(plan, start, end))
        return false;
    if (stage->watch && !oracle_somebody(plan, on, end, false))
        return false;
    if (!touches_fit(plan, s, start, end) || !in_its_window(stage, start, end))
        return false;
    if (stage->in_oven && (placing->oven[s] < 1 ||
                           placing->oven[s] > kitchen->equipment[stage->oven.equipment].count))
        return false;
    return true;
}

static bool check_alone(const bk_plan *plan, const oracle_placing *placing, size_t s, size_t c)
{
    const bk_check *check = &plan->stages[s].checks[c];
    bk_instant at = placing->check[s][c], wanted = placing->start[s] + check->at;
    if (check->takes == 0)
        return true;
    return at >= wanted - check->give && at <= wanted + check->give && at >= placing->start[s] &&
           at + check->takes <= end_of(plan, placing, s) && hands_free(plan, at, at + check->takes);
}

static bool links_hold(const bk_plan *plan, const oracle_placing *placing, size_t s)
{
    const bk_stage *stage = &plan->stages[s];
    if (stage->batch > 1 &&
        placing->start[s] < placing->start[s - plan->dishes[stage->dish].batch_stages])
        return false;
    for (size_t l = 0; l < stage->link_count; l++) {
        const bk_link *link = &stage->links[l];
        bk_instant ref =
            link->from_start ? placing->start[link->stage] : end_of(plan, placing, link->stage);
        if (placing->start[s] < ref + link->wait)
            return false;
        if (link->has_within && placing->start[s] > ref + link->within)
            return false;
    }
    return true;
}

/* Is stage `later` linked, at any remove, after stage `sooner`? */
static bool linked_after(const bk_plan *plan, size_t later, size_t sooner)
{
    for (size_t l = 0; l < plan->stages[later].link_count; l++) {
        size_t before = plan->stages[later].links[l].stage;
        if (before == sooner || linked_after(plan, before, sooner))
            return true;
    }
    return false;
}

/* Does a hold last until stage `s`, or for a later batch too? And is `s` before such an end? */
static bool ends_hold(const bk_hold *hold, size_t s)
{
    return s <= hold->until &&
           (hold->step == 0 ? s == hold->until
                            : (hold->until - s) % hold->step == 0 &&
                                  (hold->until - s) / hold->step <= hold->before);
}

static bool before_end(const bk_plan *plan, const bk_hold *hold, size_t s)
{
    for (size_t e = 0; e < plan->stage_count; e++)
        if (ends_hold(hold, e) && linked_after(plan, e, s))
            return true;
    return false;
}

/* Rule 5: what a stage uses beyond what its own dish holds of it around the stage. */
static int64_t uses_beyond(const bk_plan *plan, size_t s, size_t u)
{
    const bk_need *need = &plan->stages[s].needs[u];
    int64_t amount = need->amount;
    for (size_t p = 0; p < plan->stage_count; p++)
        for (size_t h = 0; h < plan->stages[p].hold_count; h++) {
            const bk_hold *hold = &plan->stages[p].holds[h];
            if (hold->equipment == need->equipment &&
                plan->stages[p].dish == plan->stages[s].dish &&
                (s == p || ends_hold(hold, s) ||
                 (linked_after(plan, s, p) && before_end(plan, hold, s))))
                amount -= hold->amount;
        }
    return amount > 0 ? amount : 0;
}

/* Is a stage in a switched-off oven where a heated stage was that it is linked after, one
 * that ended no sooner than any other such stage? True while one of them is not placed
 * (`placed`, NULL: all are). */
static bool where_it_was_hot(const bk_plan *plan, const oracle_placing *placing, size_t s,
                             const bool *placed)
{
    const bk_stage *stage = &plan->stages[s];
    bk_instant last = INT64_MIN;
    bool same = false;
    if (!stage->oven_off || (placed && !placed[s]))
        return true;
    for (size_t h = 0; h < plan->stage_count; h++) {
        const bk_stage *hot = &plan->stages[h];
        if (!hot->in_oven || hot->oven_off || hot->oven.equipment != stage->oven.equipment ||
            !linked_after(plan, s, h))
            continue;
        if (placed && !placed[h])
            return true;
        if (end_of(plan, placing, h) > last)
            same = false;
        if (end_of(plan, placing, h) >= last) {
            last = end_of(plan, placing, h);
            same = same || placing->oven[h] == placing->oven[s];
        }
    }
    return same;
}

static bool minute_fits(const bk_plan *plan, const oracle_placing *placing, bk_instant t)
{
    int64_t hands = 0;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        if (stage->attention == BK_HANDS && during(t, placing->start[s], end_of(plan, placing, s)))
            hands += stage->cooks;
        for (size_t c = 0; c < stage->check_count; c++)
            if (stage->checks[c].takes > 0 &&
                during(t, placing->check[s][c], placing->check[s][c] + stage->checks[c].takes))
                hands += 1;
    }
    if (hands > 0 && hands > hands_there(plan, t))
        return false;
    for (size_t e = 0; e < plan->kitchen.equipment_count; e++) {
        const bk_equipment *equipment = &plan->kitchen.equipment[e];
        int64_t amount = 0;
        int64_t shelves[ORACLE_OVENS + 1] = {0};
        for (size_t s = 0; s < plan->stage_count; s++) {
            const bk_stage *stage = &plan->stages[s];
            bool now = during(t, placing->start[s], end_of(plan, placing, s));
            for (size_t u = 0; u < stage->need_count; u++)
                if (now && stage->needs[u].equipment == e)
                    amount += uses_beyond(plan, s, u);
            for (size_t h = 0; h < stage->hold_count; h++)
                if (stage->holds[h].equipment == e &&
                    during(t, placing->start[s], end_of(plan, placing, stage->holds[h].until)))
                    amount += stage->holds[h].amount;
            if (now && stage->in_oven && stage->oven.equipment == e)
                shelves[placing->oven[s]] += stage->oven.amount;
        }
        for (size_t d = 0; d < plan->dish_count; d++)
            for (size_t i = 0; i < plan->dishes[d].stored_count; i++)
                if (plan->dishes[d].stored[i].equipment == e &&
                    during(t, ready_of(plan, placing, d), needed_until(plan, placing, d)))
                    amount += plan->dishes[d].stored[i].amount;
        if (equipment->kind != BK_OVEN && amount > equipment->pool)
            return false;
        for (int o = 1; equipment->kind == BK_OVEN && o <= equipment->count; o++)
            if (shelves[o] > equipment->shelves)
                return false;
    }
    return true;
}

static bool keeps_hold(const bk_plan *plan, const oracle_placing *placing, size_t d)
{
    const bk_dish *dish = &plan->dishes[d];
    return !dish->has_keeps ||
           ready_of(plan, placing, d) >= needed_until(plan, placing, d) - dish->keeps;
}

/* --------------------------------------------------------- named cooks */

struct piece {
    bk_instant from, to;
    int64_t hands;
    unsigned by; /* as in a placing */
    unsigned able;
};

static bool all_by_cook(const bk_plan *plan, size_t cook, bk_instant from, bk_instant to)
{
    for (bk_instant t = from; t < to; t++)
        if (!cook_can(plan, cook, true, t))
            return false;
    return true;
}

static int64_t bits(unsigned set)
{
    int64_t count = 0;
    for (; set > 0; set >>= 1)
        count += set & 1;
    return count;
}

/* What some can do all of is theirs; nobody does two things at once. Tries every choice. */
static bool hands_given(const struct piece *pieces, size_t count, size_t at, unsigned *chosen)
{
    if (at == count)
        return true;
    const struct piece *piece = &pieces[at];
    if (bits(piece->able) < piece->hands) {
        chosen[at] = 0;
        return (piece->by == 0 || piece->by == ORACLE_PASSES) &&
               hands_given(pieces, count, at + 1, chosen);
    }
    for (unsigned set = 1; set < 1u << ORACLE_COOKS; set++) {
        if ((set & ~piece->able) != 0 || bits(set) != piece->hands ||
            (piece->by != 0 && piece->by != set))
            continue;
        bool free = true;
        for (size_t i = 0; i < at && free; i++)
            free = (chosen[i] & set) == 0 || pieces[i].to <= piece->from ||
                   piece->to <= pieces[i].from;
        chosen[at] = set;
        if (free && hands_given(pieces, count, at + 1, chosen))
            return true;
    }
    return false;
}

bool oracle_give_hands(const bk_plan *plan, oracle_placing *placing)
{
    struct piece pieces[ORACLE_STAGES * (ORACLE_CHECKS + 1)];
    unsigned chosen[ORACLE_STAGES * (ORACLE_CHECKS + 1)];
    unsigned *by[ORACLE_STAGES * (ORACLE_CHECKS + 1)];
    size_t count = 0;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        if (stage->attention == BK_HANDS && stage->planned > 0) {
            by[count] = &placing->by[s];
            pieces[count++] = (struct piece){placing->start[s], end_of(plan, placing, s),
                                             stage->cooks, placing->by[s], 0};
        }
        for (size_t c = 0; c < stage->check_count; c++)
            if (stage->checks[c].takes > 0) {
                by[count] = &placing->check_by[s][c];
                pieces[count++] = (struct piece){placing->check[s][c],
                                                 placing->check[s][c] + stage->checks[c].takes, 1,
                                                 placing->check_by[s][c], 0};
            }
    }
    for (size_t i = 0; i < count; i++)
        for (size_t c = 0; c < plan->kitchen.people_count; c++)
            if (all_by_cook(plan, c, pieces[i].from, pieces[i].to))
                pieces[i].able |= 1u << c;
    if (plan->kitchen.people_count == 0)
        return true;
    if (!hands_given(pieces, count, 0, chosen))
        return false;
    for (size_t i = 0; i < count; i++)
        *by[i] = chosen[i] > 0 ? chosen[i] : ORACLE_PASSES;
    return true;
}

static bool cooks_suffice(const bk_plan *plan, const oracle_placing *placing)
{
    oracle_placing copy = *placing;
    return oracle_give_hands(plan, &copy);
}

bool oracle_valid(const bk_plan *plan, const oracle_placing *placing)
{
    for (size_t s = 0; s < plan->stage_count; s++) {
        if (!stage_alone(plan, placing, s) || !links_hold(plan, placing, s) ||
            !where_it_was_hot(plan, placing, s, NULL))
            return false;
        for (size_t c = 0; c < plan->stages[s].check_count; c++)
            if (!check_alone(plan, placing, s, c))
                return false;
    }
    for (size_t a = 0; a < plan->stage_count; a++)
        for (size_t b = 0; b < a; b++)
            if (plan->stages[a].in_oven && plan->stages[b].in_oven &&
                plan->stages[a].oven.equipment == plan->stages[b].oven.equipment &&
                placing->oven[a] == placing->oven[b] && !share_oven(plan, placing, a, b))
                return false;
    for (size_t d = 0; d < plan->dish_count; d++)
        if (!keeps_hold(plan, placing, d))
            return false;
    for (bk_instant t = plan->earliest; t < plan->last_serve; t++)
        if (!minute_fits(plan, placing, t))
            return false;
    return cooks_suffice(plan, placing);
}

/* --------------------------------------------------------------- objective */

static bool inside(bk_instant at, bk_instant from, bk_instant to)
{
    return from < at && at < to;
}

/* Rule 12: is no cook free at `at`? Of the stages in `there` (NULL: all), and of the
 * last of them, `last`, only the first `checks` checks. */
static bool no_cook_free(const bk_plan *plan, const oracle_placing *placing, const bool *there,
                         size_t last, size_t checks, bk_instant at)
{
    int64_t hands = 0;
    for (size_t c = 0; c < plan->kitchen.people_count; c++)
        hands += !cook_can(plan, c, true, at - 1) && !cook_can(plan, c, true, at);
    for (size_t d = 0; d < plan->dish_count; d++)
        if (!plan->dishes[d].part &&
            inside(at, plan->dishes[d].serve, plan->dishes[d].serve + plan->at_table))
            return true;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        if (there && !there[s])
            continue;
        if (stage->attention == BK_HANDS && inside(at, placing->start[s], end_of(plan, placing, s)))
            hands += stage->cooks;
        for (size_t c = 0; c < stage->check_count && (s != last || c < checks); c++)
            if (stage->checks[c].takes > 0 &&
                inside(at, placing->check[s][c], placing->check[s][c] + stage->checks[c].takes))
                hands++;
    }
    return hands >= plan->kitchen.cooks;
}

static bool touched(const bk_plan *plan, const oracle_placing *placing, const bool *there,
                    bk_instant at)
{
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        if (there && !there[s])
            continue;
        if ((stage->attention != BK_HANDS && !stage->begins_itself && placing->start[s] == at) ||
            (stage->in_oven && !stage->oven_off && end_of(plan, placing, s) == at))
            return true;
    }
    return false;
}

static int64_t count_interruptions(const bk_plan *plan, const oracle_placing *placing,
                                   const bool *there, size_t last, size_t checks)
{
    int64_t count = 0;
    for (bk_instant t = plan->earliest; t <= plan->last_serve; t++)
        count +=
            touched(plan, placing, there, t) && no_cook_free(plan, placing, there, last, checks, t);
    return count;
}

static int64_t date_at(const bk_plan *plan, bk_instant t)
{
    bk_civil civil = bk_civil_at(plan->zone, t);
    return civil.year * 400 + civil.month * 32 + civil.day;
}

/* Hands-on minutes on the busiest date but the last serve's; of which stages and checks,
 * as no_cook_free. The span is of less than a day, so there are two dates at most. */
static int64_t busiest_of(const bk_plan *plan, const oracle_placing *placing, const bool *there,
                          size_t last, size_t checks)
{
    int64_t minutes = 0;
    for (bk_instant t = plan->earliest; t < plan->last_serve; t++) {
        if (date_at(plan, t) == date_at(plan, plan->last_serve))
            break;
        for (size_t s = 0; s < plan->stage_count; s++) {
            const bk_stage *stage = &plan->stages[s];
            if (there && !there[s])
                continue;
            minutes += stage->attention == BK_HANDS &&
                       during(t, placing->start[s], end_of(plan, placing, s));
            for (size_t c = 0; c < stage->check_count && (s != last || c < checks); c++)
                minutes +=
                    stage->checks[c].takes > 0 &&
                    during(t, placing->check[s][c], placing->check[s][c] + stage->checks[c].takes);
        }
    }
    return minutes;
}

oracle_figures oracle_reckon(const bk_plan *plan, const oracle_placing *placing)
{
    oracle_figures figures = {.first = INT64_MAX};
    bk_civil date = bk_civil_at(plan->zone, plan->last_serve);
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        if (placing->start[s] < figures.first)
            figures.first = placing->start[s];
        figures.waiting += plan->dishes[stage->dish].serve - end_of(plan, placing, s);
    }
    figures.interruptions = count_interruptions(plan, placing, NULL, SIZE_MAX, 0);
    /* The serving date's minutes run back from the last serve to its midnight. */
    bk_instant midnight = plan->last_serve - (date.hour * 60 + date.minute);
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        for (bk_instant t = placing->start[s]; t < end_of(plan, placing, s); t++)
            figures.hands += stage->attention == BK_HANDS && t >= midnight;
        for (size_t c = 0; c < stage->check_count; c++)
            for (int64_t m = 0; m < stage->checks[c].takes; m++)
                figures.hands += placing->check[s][c] + m >= midnight;
    }
    figures.busiest = busiest_of(plan, placing, NULL, SIZE_MAX, 0);
    return figures;
}

bool oracle_better(const bk_plan *plan, oracle_figures a, oracle_figures b)
{
    if (plan->style != BK_FRESH && a.hands != b.hands)
        return a.hands < b.hands;
    if (plan->style == BK_SPREAD && a.busiest != b.busiest)
        return a.busiest < b.busiest;
    if (a.first != b.first)
        return a.first > b.first;
    if (a.interruptions != b.interruptions)
        return a.interruptions < b.interruptions;
    return a.waiting < b.waiting;
}

/* ------------------------------------------------------------ naive search */

struct naive {
    const bk_plan *plan;
    oracle_placing placing;
    oracle_answer answer;
    uint64_t most;
};

static void naive_stage(struct naive *search, size_t s);

static void naive_check(struct naive *search, size_t s, size_t c)
{
    const bk_stage *stage = &search->plan->stages[s];
    if (c == stage->check_count) {
        naive_stage(search, s + 1);
        return;
    }
    bk_instant from = search->placing.start[s], to = from + stage->planned;
    if (stage->checks[c].takes == 0)
        to = from;
    for (bk_instant t = from; t <= to; t++) {
        search->placing.check[s][c] = t;
        naive_check(search, s, c + 1);
    }
}

static void naive_stage(struct naive *search, size_t s)
{
    const bk_plan *plan = search->plan;
    if (search->answer.gave_up)
        return;
    if (s == plan->stage_count) {
        search->answer.gave_up = ++search->answer.tried > search->most;
        if (!oracle_valid(plan, &search->placing))
            return;
        oracle_figures figures = oracle_reckon(plan, &search->placing);
        if (!search->answer.possible || oracle_better(plan, figures, search->answer.figures)) {
            search->answer.possible = true;
            search->answer.figures = figures;
            search->answer.best = search->placing;
        }
        return;
    }
    int ovens =
        plan->stages[s].in_oven ? plan->kitchen.equipment[plan->stages[s].oven.equipment].count : 1;
    for (int o = 1; o <= ovens; o++)
        for (bk_instant t = plan->earliest; t <= plan->last_serve; t++) {
            search->placing.oven[s] = plan->stages[s].in_oven ? o : 0;
            search->placing.start[s] = t;
            naive_check(search, s, 0);
        }
}

oracle_answer oracle_solve_naively(const bk_plan *plan, uint64_t most)
{
    struct naive search = {.plan = plan, .most = most};
    naive_stage(&search, 0);
    return search.answer;
}

/* -------------------------------------------------- search with short cuts */

/* The last stages are placed first, each from its latest time back: the first
 * start is then known last and is soon a late one. */
struct search {
    const bk_plan *plan;
    size_t order[ORACLE_STAGES];
    bool is_placed[ORACLE_STAGES];
    oracle_placing placing;
    oracle_figures so_far[ORACLE_STAGES + 1]; /* of the stages placed before each depth */
    oracle_answer answer;
    uint64_t most;
    bool nobody[ORACLE_SPAN + 1], no_hands[ORACLE_SPAN + 1];
    int64_t hands[ORACLE_SPAN + 1];
    int64_t pool[ORACLE_EQUIPMENT][ORACLE_SPAN + 1];
    int64_t shelf[ORACLE_EQUIPMENT][ORACLE_OVENS + 1][ORACLE_SPAN + 1];
    bk_instant midnight;
};

static void place(struct search *search, size_t depth);

/* Adds an amount to [from, to) of a minute array; false (and nothing added) when
 * it goes over the size. */
static bool add(struct search *search, int64_t *minutes, bk_instant from, bk_instant to,
                int64_t amount, int64_t size)
{
    bk_instant base = search->plan->earliest;
    for (bk_instant t = from; t < to; t++)
        if (minutes[t - base] + amount > size)
            return false;
    for (bk_instant t = from; t < to; t++)
        minutes[t - base] += amount;
    return true;
}

static void take_away(struct search *search, int64_t *minutes, bk_instant from, bk_instant to,
                      int64_t amount)
{
    for (bk_instant t = from; t < to; t++)
        minutes[t - search->plan->earliest] -= amount;
}

static bool any(const struct search *search, const bool *minutes, bk_instant from, bk_instant to)
{
    for (bk_instant t = from; t < to; t++)
        if (minutes[t - search->plan->earliest])
            return true;
    return false;
}

/* Can this partial placing still be better than the best? All that is to come
 * makes the first start no later, the waiting and the hands no less. */
static bool hopeless(const struct search *search, oracle_figures f)
{
    return search->answer.possible && !oracle_better(search->plan, f, search->answer.figures);
}

static void place_checks(struct search *search, size_t depth, size_t c)
{
    size_t s = search->order[depth];
    const bk_stage *stage = &search->plan->stages[s];
    if (c == stage->check_count) {
        place(search, depth + 1);
        return;
    }
    const bk_check *check = &stage->checks[c];
    if (check->takes == 0) {
        place_checks(search, depth, c + 1);
        return;
    }
    bk_instant start = search->placing.start[s], end = start + stage->planned;
    oracle_figures before = search->so_far[depth + 1];
    for (bk_instant t = start + check->at - check->give; t <= start + check->at + check->give;
         t++) {
        if (t < start || t + check->takes > end ||
            any(search, search->no_hands, t, t + check->takes) ||
            !add(search, search->hands, t, t + check->takes, 1, search->plan->kitchen.cooks))
            continue;
        search->placing.check[s][c] = t;
        for (int64_t m = 0; m < check->takes; m++)
            search->so_far[depth + 1].hands += t + m >= search->midnight;
        search->so_far[depth + 1].interruptions =
            count_interruptions(search->plan, &search->placing, search->is_placed, s, c + 1);
        if (search->plan->style == BK_SPREAD)
            search->so_far[depth + 1].busiest =
                busiest_of(search->plan, &search->placing, search->is_placed, s, c + 1);
        if (!hopeless(search, search->so_far[depth + 1]))
            place_checks(search, depth, c + 1);
        search->so_far[depth + 1] = before;
        take_away(search, search->hands, t, t + check->takes, 1);
    }
}

/* A need that became known when its last stage was placed. */
struct known {
    int64_t *minutes;
    bk_instant from, to;
    int64_t amount, size;
};

/* Is all of a dish placed, with what a part is for, and `s` the last of it that was? */
static bool completes(const struct search *search, size_t d, size_t s)
{
    const bk_plan *plan = search->plan;
    bool whole = true, of_it = false;
    for (size_t p = 0; p < plan->stage_count; p++) {
        bool counts = plan->stages[p].dish == d;
        for (size_t l = 0; plan->dishes[d].part && l < plan->stages[p].link_count; l++)
            counts = counts || plan->stages[plan->stages[p].links[l].stage].dish == d;
        whole = whole && (!counts || search->is_placed[p]);
        of_it = of_it || (counts && p == s);
    }
    return whole && of_it;
}

static size_t known_needs(struct search *search, size_t s, struct known *known)
{
    const bk_plan *plan = search->plan;
    const bk_kitchen *kitchen = &plan->kitchen;
    const bk_stage *stage = &plan->stages[s];
    const oracle_placing *placing = &search->placing;
    bk_instant start = placing->start[s], end = end_of(plan, placing, s);
    size_t n = 0;
    if (stage->attention == BK_HANDS)
        known[n++] = (struct known){search->hands, start, end, stage->cooks, kitchen->cooks};
    if (stage->in_oven)
        known[n++] =
            (struct known){search->shelf[stage->oven.equipment][placing->oven[s]], start, end,
                           stage->oven.amount, kitchen->equipment[stage->oven.equipment].shelves};
    for (size_t u = 0; u < stage->need_count; u++)
        known[n++] = (struct known){search->pool[stage->needs[u].equipment], start, end,
                                    uses_beyond(plan, s, u),
                                    kitchen->equipment[stage->needs[u].equipment].pool};
    for (size_t p = 0; p < plan->stage_count; p++)
        for (size_t h = 0; h < plan->stages[p].hold_count; h++) {
            const bk_hold *hold = &plan->stages[p].holds[h];
            if ((p == s || hold->until == s) && search->is_placed[p] &&
                search->is_placed[hold->until])
                known[n++] = (struct known){search->pool[hold->equipment], placing->start[p],
                                            end_of(plan, placing, hold->until), hold->amount,
                                            kitchen->equipment[hold->equipment].pool};
        }
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[d];
        if (!completes(search, d, s))
            continue;
        for (size_t i = 0; i < dish->stored_count; i++)
            known[n++] =
                (struct known){search->pool[dish->stored[i].equipment], ready_of(plan, placing, d),
                               needed_until(plan, placing, d), dish->stored[i].amount,
                               kitchen->equipment[dish->stored[i].equipment].pool};
    }
    return n;
}

/* The stage at `depth` has its time and oven: do they go with those before it? */
static void try_stage(struct search *search, size_t depth)
{
    const bk_plan *plan = search->plan;
    size_t s = search->order[depth];
    const bk_stage *stage = &plan->stages[s];
    oracle_placing *placing = &search->placing;
    bk_instant start = placing->start[s], end = start + stage->planned, on = start;
    if (stage->in_oven && !stage->oven_off)
        on -= preheat_of(plan, s);
    if (on < plan->earliest ||
        (stage->attention == BK_HANDS && any(search, search->no_hands, start, end)) ||
        (stage->watch && any(search, search->nobody, on, end)) ||
        !touches_fit(plan, s, start, end) || !in_its_window(stage, start, end))
        return;
    for (size_t d = 0; d < depth; d++) {
        size_t other = search->order[d];
        if (stage->in_oven && plan->stages[other].in_oven &&
            stage->oven.equipment == plan->stages[other].oven.equipment &&
            placing->oven[s] == placing->oven[other] && !share_oven(plan, placing, s, other))
            return;
    }
    search->is_placed[s] = true;
    for (size_t f = 0; f < plan->stage_count; f++)
        if (!where_it_was_hot(plan, placing, f, search->is_placed)) {
            search->is_placed[s] = false;
            return;
        }
    bool keep = true;
    for (size_t d = 0; d < plan->dish_count; d++)
        keep = keep && (!completes(search, d, s) || keeps_hold(plan, placing, d));
    if (keep) {
        struct known known[64];
        size_t n = known_needs(search, s, known), added = 0;
        while (added < n && add(search, known[added].minutes, known[added].from, known[added].to,
                                known[added].amount, known[added].size))
            added++;
        if (added == n) {
            search->so_far[depth + 1].interruptions =
                count_interruptions(plan, placing, search->is_placed, s, 0);
            if (plan->style == BK_SPREAD)
                search->so_far[depth + 1].busiest =
                    busiest_of(plan, placing, search->is_placed, s, 0);
            if (!hopeless(search, search->so_far[depth + 1]))
                place_checks(search, depth, 0);
        }
        while (added > 0) {
            added--;
            take_away(search, known[added].minutes, known[added].from, known[added].to,
                      known[added].amount);
        }
    }
    search->is_placed[s] = false;
}

static void place(struct search *search, size_t depth)
{
    const bk_plan *plan = search->plan;
    if (depth == plan->stage_count) {
        if (!cooks_suffice(plan, &search->placing))
            return;
        if (!search->answer.possible ||
            oracle_better(plan, search->so_far[depth], search->answer.figures)) {
            search->answer.possible = true;
            search->answer.figures = search->so_far[depth];
            search->answer.best = search->placing;
        }
        return;
    }
    size_t s = search->order[depth];
    const bk_stage *stage = &plan->stages[s];
    const oracle_placing *placing = &search->placing;
    bk_instant low = plan->earliest,
               high = plan->dishes[stage->dish].serve - plan->margin - stage->planned;
    for (size_t o = 0; o < plan->stage_count; o++) { /* batches one after another */
        const bk_stage *other = &plan->stages[o];
        size_t step = plan->dishes[stage->dish].batch_stages;
        if (!search->is_placed[o] || other->dish != stage->dish || stage->batch == 0)
            continue;
        if (o == s + step && other->batch > 0 && placing->start[o] < high)
            high = placing->start[o];
        if (o + step == s && stage->batch > 1 && placing->start[o] > low)
            low = placing->start[o];
    }
    /* Links between this stage and those already placed, either way round. */
    for (size_t l = 0; l < stage->link_count; l++) {
        const bk_link *link = &stage->links[l];
        if (!search->is_placed[link->stage])
            continue;
        bk_instant ref =
            link->from_start ? placing->start[link->stage] : end_of(plan, placing, link->stage);
        low = ref + link->wait > low ? ref + link->wait : low;
        high = link->has_within && ref + link->within < high ? ref + link->within : high;
    }
    for (size_t d = 0; d < depth; d++) {
        const bk_stage *other = &plan->stages[search->order[d]];
        for (size_t l = 0; l < other->link_count; l++) {
            const bk_link *link = &other->links[l];
            if (link->stage != s)
                continue;
            bk_instant latest =
                placing->start[search->order[d]] - (link->from_start ? 0 : stage->planned);
            high = latest - link->wait < high ? latest - link->wait : high;
            low = link->has_within && latest - link->within > low ? latest - link->within : low;
        }
    }
    int ovens = stage->in_oven ? plan->kitchen.equipment[stage->oven.equipment].count : 1;
    for (bk_instant t = high; t >= low; t--)
        for (int o = 1; o <= ovens; o++) {
            search->answer.gave_up = ++search->answer.tried > search->most;
            if (search->answer.gave_up)
                return;
            search->placing.start[s] = t;
            search->placing.oven[s] = stage->in_oven ? o : 0;
            oracle_figures f = search->so_far[depth];
            f.first = t < f.first ? t : f.first;
            f.waiting += plan->dishes[stage->dish].serve - t - stage->planned;
            for (bk_instant m = t; m < t + stage->planned; m++)
                f.hands += stage->attention == BK_HANDS && m >= search->midnight;
            search->so_far[depth + 1] = f;
            if (!hopeless(search, f))
                try_stage(search, depth);
        }
}

oracle_answer oracle_solve(const bk_plan *plan, uint64_t most)
{
    static struct search search; /* large; the tests have one thread */
    memset(&search, 0, sizeof search);
    search.plan = plan;
    search.most = most;
    search.so_far[0].first = INT64_MAX;
    bk_civil date = bk_civil_at(plan->zone, plan->last_serve);
    search.midnight = plan->last_serve - (date.hour * 60 + date.minute);
    for (bk_instant t = plan->earliest; t < plan->last_serve; t++) {
        search.nobody[t - plan->earliest] = !oracle_somebody(plan, t, t + 1, false);
        search.hands[t - plan->earliest] = plan->kitchen.cooks - hands_there(plan, t);
        search.no_hands[t - plan->earliest] = !hands_free(plan, t, t + 1);
    }
    /* A stage goes after (that is, is placed before) all that it is linked to. */
    size_t depth = plan->stage_count;
    bool taken[ORACLE_STAGES] = {false};
    while (depth > 0) {
        for (size_t s = 0; s < plan->stage_count; s++) {
            bool free = !taken[s];
            for (size_t l = 0; free && l < plan->stages[s].link_count; l++)
                free = taken[plan->stages[s].links[l].stage];
            if (free) {
                taken[s] = true;
                search.order[--depth] = s;
                break;
            }
        }
    }
    place(&search, 0);
    return search.answer;
}

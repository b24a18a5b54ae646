#include "support/day_oracle.h"

#include <math.h>
#include <string.h>

static int64_t most(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

static int64_t least(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

bool day_oracle_can(const trial_day *day)
{
    const bk_plan *plan = day->plan;
    bk_instant low = least(plan->earliest, day->now), high = most(plan->last_serve, day->now);
    bool can = plan->stage_count <= TRIAL_STAGES && plan->dish_count <= TRIAL_DISHES &&
               plan->kitchen.equipment_count <= TRIAL_EQUIPMENT &&
               plan->kitchen.people_count <= TRIAL_COOKS &&
               high - low + TRIAL_LATE + plan->at_table < TRIAL_SPAN / 2;
    for (size_t s = 0; can && s < plan->stage_count; s++)
        can = plan->stages[s].check_count <= TRIAL_CHECKS && plan->stages[s].batch == 0;
    for (size_t e = 0; can && e < plan->kitchen.equipment_count; e++)
        can = plan->kitchen.equipment[e].count <= TRIAL_OVENS;
    return can;
}

/* ------------------------------------------------------------- what was said */

typedef struct story {
    bool begun, done, skipped, longer;
    bk_instant begun_at, done_at, skipped_at;
} story;

typedef struct reading {
    trial_day *day;
    const bk_day_entry *said[512];
    size_t said_count;
    story of[TRIAL_STAGES];
} reading;

static size_t dish_named(const bk_plan *plan, const char *name)
{
    for (size_t d = 0; name && d < plan->dish_count; d++)
        if (strcmp(plan->dishes[d].name, name) == 0)
            return d;
    return SIZE_MAX;
}

static size_t stage_named(const bk_plan *plan, const char *dish, const char *id)
{
    for (size_t s = 0; id && s < plan->stage_count; s++)
        if (plan->stages[s].dish == dish_named(plan, dish) && strcmp(plan->stages[s].id, id) == 0)
            return s;
    return SIZE_MAX;
}

/* Each "undo" takes back the last word that still counts, and what was told after it. */
static void gather(reading *r)
{
    const bk_journal *journal = r->day->journal;
    for (size_t i = 0; i < journal->count && r->said_count < 512; i++) {
        const bk_day_entry *entry = &journal->entries[i];
        size_t last = r->said_count;
        if (entry->what != BK_DAY_UNDO) {
            r->said[r->said_count++] = entry;
            continue;
        }
        while (last > 0 && r->said[last - 1]->what == BK_DAY_PLANNED)
            last--;
        if (last > 0)
            r->said_count = last - 1;
    }
}

/* What was told last counts. */
static void be_told(reading *r)
{
    trial_day *day = r->day;
    for (size_t i = 0; i < r->said_count; i++)
        for (size_t k = 0; k < r->said[i]->start_count; k++) {
            const bk_planned_start *start = &r->said[i]->starts[k];
            size_t s = stage_named(day->plan, start->dish, start->stage);
            if (s == SIZE_MAX)
                continue;
            day->told[s] = true;
            day->told_start[s] = start->start;
            day->told_oven[s] = start->oven ? strrchr(start->oven, '#')[1] - '0' : 0;
        }
}

static void hear(reading *r)
{
    trial_day *day = r->day;
    for (size_t i = 0; i < r->said_count; i++) {
        const bk_day_entry *entry = r->said[i];
        size_t s = stage_named(day->plan, entry->dish, entry->stage);
        if (s == SIZE_MAX)
            continue;
        story *of = &r->of[s];
        switch (entry->what) {
        case BK_DAY_BEGUN:
            *of = (story){.begun = true, .begun_at = entry->at};
            break;
        case BK_DAY_DONE:
            of->done = true;
            of->skipped = false;
            of->done_at = entry->at;
            break;
        case BK_DAY_SKIPPED:
            *of = (story){.skipped = true, .skipped_at = entry->at};
            break;
        case BK_DAY_LONGER:
            of->longer = true;
            of->done = of->skipped = false;
            break;
        default:
            break;
        }
    }
}

/* When it had begun at the latest, by what was said of it and of all that follows it; and
 * when it was over at the latest. INT64_MAX: nothing says so. */
static bk_instant over_by(const reading *r, size_t s);

static bk_instant begun_by(const reading *r, size_t s)
{
    const trial_day *day = r->day;
    const story *of = &r->of[s];
    int64_t planned = day->plan->stages[s].planned;
    if (of->skipped)
        return INT64_MAX;
    if (of->begun)
        return of->begun_at;
    if (of->done)
        return day->told[s] && day->told_start[s] <= of->done_at ? day->told_start[s]
                                                                 : of->done_at - planned;
    bk_instant by = over_by(r, s);
    return by == INT64_MAX ? by : by - planned;
}

static bk_instant over_by(const reading *r, size_t s)
{
    const trial_day *day = r->day;
    const bk_plan *plan = day->plan;
    size_t dish = plan->stages[s].dish;
    bk_instant by = day->served[dish] ? day->serve[dish] : INT64_MAX;
    for (size_t f = 0; f < plan->stage_count; f++)
        for (size_t l = 0; l < plan->stages[f].link_count; l++) {
            const bk_link *link = &plan->stages[f].links[l];
            bk_instant begun = link->stage == s ? begun_by(r, f) : INT64_MAX;
            if (begun != INT64_MAX)
                by = least(by, link->from_start ? begun + plan->stages[s].planned : begun);
        }
    return by;
}

static bk_instant thought_end(const reading *r, size_t s, bk_instant start)
{
    bk_instant end = start + r->day->plan->stages[s].planned;
    for (size_t i = 0; i < r->said_count; i++)
        if (r->said[i]->what == BK_DAY_LONGER && r->said[i]->at >= start &&
            stage_named(r->day->plan, r->said[i]->dish, r->said[i]->stage) == s)
            end = most(end, r->said[i]->at) + r->said[i]->minutes;
    return end;
}

/* By when all that it follows had come so far; false: something has not. */
static bool followed(const trial_day *day, size_t s, bk_instant *from)
{
    *from = INT64_MIN;
    for (size_t l = 0; l < day->plan->stages[s].link_count; l++) {
        const bk_link *link = &day->plan->stages[s].links[l];
        const trial_fact *other = &day->fact[link->stage];
        if (other->is == TRIAL_TO_COME || (other->is == TRIAL_RUNS && !link->from_start))
            return false;
        *from = most(*from, (link->from_start ? other->start : other->end) + link->wait);
    }
    return true;
}

static trial_fact fact_of(const reading *r, size_t s, bool out, bk_instant out_at)
{
    const trial_day *day = r->day;
    const story *of = &r->of[s];
    int64_t planned = day->plan->stages[s].planned;
    bk_instant told = day->told[s] ? day->told_start[s] : INT64_MAX, from, by = over_by(r, s);
    bool free = followed(day, s, &from);
    if (of->skipped)
        return (trial_fact){TRIAL_LEFT_OUT, of->skipped_at, of->skipped_at, 0};
    if (of->done) {
        bk_instant start = of->begun             ? of->begun_at
                           : told <= of->done_at ? told
                                                 : of->done_at - planned;
        if (!of->begun && free)
            start = most(start, from);
        return (trial_fact){TRIAL_OVER, least(start, of->done_at), of->done_at, 0};
    }
    bool spoken = of->begun || (of->longer && told < day->now);
    bk_instant start = of->begun ? of->begun_at : told;
    if (of->begun && by < start)
        by = INT64_MAX; /* it has its start, whatever began before */
    if (by != INT64_MAX) {
        if (!of->begun)
            start = least(told, by - planned);
        bk_instant end = spoken ? by : least(start + planned, by);
        return (trial_fact){end <= day->now ? TRIAL_OVER : TRIAL_RUNS, least(start, end), end, 0};
    }
    if (!spoken && free && told != INT64_MAX)
        start = most(told, from);
    if (spoken || (start < day->now && free && (!out || start < out_at))) {
        bk_instant end = spoken ? thought_end(r, s, start) : start + planned;
        if (spoken && end <= day->now) /* overdue without word: now */
            return (trial_fact){TRIAL_RUNS, least(start, day->now), day->now, 0};
        return (trial_fact){end <= day->now ? TRIAL_OVER : TRIAL_RUNS, start, end, 0};
    }
    return (trial_fact){.is = TRIAL_TO_COME};
}

/* A dropped dish: what has begun ends there and then. */
static void drop(trial_fact *fact, bk_instant at)
{
    if (fact->is == TRIAL_TO_COME)
        *fact = (trial_fact){TRIAL_LEFT_OUT, at, at, 0};
    else if (fact->is == TRIAL_RUNS && fact->start <= at)
        *fact = (trial_fact){TRIAL_OVER, fact->start, least(fact->end, at), 0};
}

static void bridge(trial_day *day, size_t s)
{
    const bk_plan *plan = day->plan;
    size_t n = 0;
    bool seen[TRIAL_STAGES] = {false};
    for (size_t l = 0; l < plan->stages[s].link_count; l++) {
        const bk_link *link = &plan->stages[s].links[l];
        day->link[s][n++] =
            (trial_link){link->stage, link->from_start, link->has_within, link->wait, link->within};
    }
    for (size_t l = 0; l < n; l++) {
        trial_link *link = &day->link[s][l];
        size_t gone = link->stage;
        if (day->fact[gone].is != TRIAL_LEFT_OUT)
            continue;
        *link = (trial_link){.stage = gone};
        for (size_t k = 0; !seen[gone] && k < plan->stages[gone].link_count; k++) {
            const bk_link *further = &plan->stages[gone].links[k];
            if (n < TRIAL_LINKS)
                day->link[s][n++] =
                    (trial_link){further->stage, further->from_start, false, further->wait, 0};
        }
        seen[gone] = true;
    }
    day->link_count[s] = n;
}

/* Of a most wait that is over already nothing is asked. */
static void let_go(trial_day *day, size_t s)
{
    for (size_t l = 0; l < day->link_count[s]; l++) {
        trial_link *link = &day->link[s][l];
        const trial_fact *other = &day->fact[link->stage];
        if (other->is == TRIAL_TO_COME || (other->is == TRIAL_RUNS && !link->from_start))
            continue;
        if (link->has_within &&
            day->now > (link->from_start ? other->start : other->end) + link->within) {
            link->has_within = false;
            day->run_out[s] = true;
        }
    }
}

/* The lowest heated stage to come in that kind of oven, by what was told. */
static size_t next_told(const trial_day *day, size_t e)
{
    size_t next = SIZE_MAX;
    for (size_t s = 0; s < day->plan->stage_count; s++) {
        const bk_stage *stage = &day->plan->stages[s];
        if (stage->in_oven && !stage->oven_off && stage->oven.equipment == e &&
            day->fact[s].is == TRIAL_TO_COME && day->told[s] &&
            (next == SIZE_MAX || day->told_start[s] < day->told_start[next]))
            next = s;
    }
    return next;
}

static double set_for(const trial_day *day, size_t s)
{
    const bk_need *need = &day->plan->stages[s].oven;
    return bk_dial_wanted(bk_dial_of(&day->plan->kitchen.equipment[need->equipment]), &need->at);
}

static bool speaks_of(const bk_day_entry *entry, const char *oven, int number)
{
    size_t length = strlen(oven);
    if (entry->what != BK_DAY_HOT || strncmp(entry->oven, oven, length) != 0)
        return false;
    return entry->oven[length] == '#' ? entry->oven[length + 1] == '0' + number
                                      : entry->oven[length] == '\0' && number == 1;
}

static void know_oven(const reading *r, size_t e, int number)
{
    trial_day *day = r->day;
    const bk_plan *plan = day->plan;
    bk_instant since = INT64_MIN;
    size_t next = next_told(day, e);
    bool *hot = &day->hot[e][number];
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        const trial_fact *fact = &day->fact[s];
        if ((fact->is != TRIAL_RUNS && fact->is != TRIAL_OVER) || !stage->in_oven ||
            stage->oven.equipment != e || fact->oven != number || fact->start < since)
            continue;
        int64_t idle = plan->kitchen.equipment[e].idle;
        since = fact->start;
        *hot =
            !stage->oven_off && (fact->end >= day->now ||
                                 (next != SIZE_MAX && day->told_start[next] - fact->end <= idle &&
                                  day->now - fact->end <= idle));
        if (!stage->oven_off)
            day->hot_c[e][number] = set_for(day, s);
    }
    day->last_word[e][number] = INT64_MIN;
    for (size_t i = 0; i < r->said_count; i++) {
        const bk_day_entry *entry = r->said[i];
        if (!speaks_of(entry, plan->kitchen.equipment[e].name, number) || entry->at < since)
            continue;
        if (!isnan(entry->temperature_c))
            day->hot_c[e][number] = entry->temperature_c;
        else if (next != SIZE_MAX)
            day->hot_c[e][number] = set_for(day, next);
        else if (!*hot)
            continue; /* hot for nothing */
        *hot = true;
        day->last_word[e][number] = since = entry->at;
    }
}

void day_oracle_read(trial_day *day)
{
    const bk_plan *plan = day->plan;
    reading r = {.day = day};
    bk_instant out_at[TRIAL_DISHES] = {0};
    gather(&r);
    be_told(&r);
    hear(&r);
    for (size_t d = 0; d < plan->dish_count; d++)
        day->serve[d] = plan->dishes[d].serve;
    for (size_t c = 0; c < plan->kitchen.people_count; c++)
        day->leaves[c] = INT64_MAX;
    for (size_t i = 0; i < r.said_count; i++) {
        const bk_day_entry *entry = r.said[i];
        size_t d = dish_named(plan, entry->dish);
        if (entry->what == BK_DAY_OUT && d != SIZE_MAX) {
            day->out[d] = true;
            out_at[d] = entry->at;
        } else if (entry->what == BK_DAY_SERVED && d != SIZE_MAX) {
            day->served[d] = true;
            day->serve[d] = entry->at;
        }
        for (size_t c = 0; entry->what == BK_DAY_COOK && c < plan->kitchen.people_count; c++)
            if (strcmp(plan->kitchen.people[c].name, entry->cook) == 0)
                day->leaves[c] = entry->until;
    }
    /* Each after what it follows: links have no circle. */
    bool known[TRIAL_STAGES] = {false};
    for (size_t n = 0; n < plan->stage_count;)
        for (size_t s = 0; s < plan->stage_count; s++) {
            bool ready = !known[s];
            for (size_t l = 0; ready && l < plan->stages[s].link_count; l++)
                ready = known[plan->stages[s].links[l].stage];
            if (!ready)
                continue;
            size_t d = plan->stages[s].dish;
            day->fact[s] = fact_of(&r, s, day->out[d], out_at[d]);
            if (day->out[d])
                drop(&day->fact[s], out_at[d]);
            if (plan->stages[s].in_oven)
                day->fact[s].oven = day->told_oven[s] > 0 ? day->told_oven[s] : 1;
            known[s] = true;
            n++;
        }
    for (size_t s = 0; s < plan->stage_count; s++) {
        bridge(day, s);
        let_go(day, s);
    }
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[d];
        bool made = false;
        for (size_t s = dish->first_stage; s < dish->first_stage + dish->stage_count; s++)
            made = made || day->fact[s].is != TRIAL_LEFT_OUT;
        day->out[d] = day->out[d] || !made;
        day->keeps[d] = false;
        for (size_t s = dish->first_stage; s < dish->first_stage + dish->stage_count; s++)
            day->keeps[d] = day->keeps[d] || (dish->has_keeps && day->fact[s].is == TRIAL_TO_COME);
    }
    for (size_t e = 0; e < plan->kitchen.equipment_count; e++)
        for (int o = 1;
             plan->kitchen.equipment[e].kind == BK_OVEN && o <= plan->kitchen.equipment[e].count;
             o++)
            know_oven(&r, e, o);
}

/* --------------------------------------------------------- the rules, plainly */

static bool to_come(const trial_day *day, size_t s)
{
    return day->fact[s].is == TRIAL_TO_COME;
}

static bool counts(const trial_day *day, size_t s)
{
    return day->fact[s].is != TRIAL_LEFT_OUT;
}

static bk_instant end_of(const trial_day *day, const trial_placing *placing, size_t s)
{
    return to_come(day, s) ? placing->start[s] + day->plan->stages[s].planned : day->fact[s].end;
}

static bk_instant start_of(const trial_day *day, const trial_placing *placing, size_t s)
{
    return to_come(day, s) ? placing->start[s] : day->fact[s].start;
}

static int oven_of(const trial_day *day, const trial_placing *placing, size_t s)
{
    return to_come(day, s) ? placing->oven[s] : day->fact[s].oven;
}

static bool over(const bk_window *windows, size_t count, bool busy, bk_instant t)
{
    for (size_t w = 0; w < count; w++)
        if (!windows[w].derived && (busy || windows[w].kind != BK_BUSY) && windows[w].from <= t &&
            t < windows[w].to)
            return true;
    return false;
}

static bool cook_can(const trial_day *day, size_t cook, bool busy, bk_instant t)
{
    const bk_kitchen *kitchen = &day->plan->kitchen;
    return t < day->leaves[cook] && !over(kitchen->windows, kitchen->window_count, busy, t) &&
           !over(kitchen->people[cook].windows, kitchen->people[cook].window_count, busy, t);
}

static int64_t cooks_there(const trial_day *day, bool busy, bk_instant t)
{
    const bk_kitchen *kitchen = &day->plan->kitchen;
    int64_t there = 0;
    if (kitchen->people_count == 0)
        return over(kitchen->windows, kitchen->window_count, busy, t) ? 0 : kitchen->cooks;
    for (size_t c = 0; c < kitchen->people_count; c++)
        there += cook_can(day, c, busy, t);
    return there;
}

static bool at_table(const trial_day *day, const trial_placing *placing, bk_instant t)
{
    for (size_t d = 0; d < day->plan->dish_count; d++) {
        bk_instant serve = day->serve[d] + placing->late[d];
        if (!day->out[d] && serve <= t && t < serve + day->plan->at_table)
            return true;
    }
    return false;
}

static bool hands_free(const trial_day *day, const trial_placing *placing, bk_instant from,
                       bk_instant to)
{
    for (bk_instant t = from; t < to; t++)
        if (cooks_there(day, true, t) == 0 || at_table(day, placing, t))
            return false;
    return true;
}

static bool up(const trial_day *day, bk_instant from, bk_instant to)
{
    for (bk_instant t = from; t < to; t++)
        if (cooks_there(day, false, t) == 0)
            return false;
    return true;
}

static bool meet(const bk_temperature *a, const bk_temperature *b)
{
    return fmin(a->high, b->high) - fmax(a->low, b->low) > -1e-6;
}

/* The coolest and hottest that count for a stage: what is set for it; where another that is
 * written otherwise could be in with it, the ends of what it accepts. */
static void heat_of(const trial_day *day, size_t s, double *coolest, double *hottest)
{
    const bk_plan *plan = day->plan;
    const bk_need *need = &plan->stages[s].oven;
    *coolest = *hottest = set_for(day, s);
    for (size_t o = 0; o < plan->stage_count; o++) {
        const bk_stage *other = &plan->stages[o];
        if (other->in_oven && !other->oven_off && counts(day, o) &&
            other->oven.equipment == need->equipment && meet(&need->at, &other->oven.at) &&
            (need->at.low != other->oven.at.low || need->at.high != other->oven.at.high)) {
            *coolest = need->at.low;
            *hottest = need->at.high;
        }
    }
}

static int64_t rounded_up(double minutes)
{
    return (int64_t)ceil(minutes - 1e-7);
}

static int64_t preheat_of(const trial_day *day, size_t s)
{
    const bk_equipment *oven = &day->plan->kitchen.equipment[day->plan->stages[s].oven.equipment];
    double coolest, hottest;
    heat_of(day, s, &coolest, &hottest);
    return oven->warms > 0 ? rounded_up((hottest - 20) / oven->warms) : oven->preheat;
}

static int64_t change(const bk_equipment *oven, double from, double to)
{
    if (to > from)
        return oven->warms > 0 ? rounded_up((to - from) / oven->warms) : oven->change;
    return oven->cools > 0 ? rounded_up((from - to) / oven->cools) : oven->change;
}

/* From the temperature it is at to one for the stage. */
static int64_t turned(const trial_day *day, size_t s, double at)
{
    const bk_need *need = &day->plan->stages[s].oven;
    double coolest, hottest;
    if (need->at.low <= at + 1e-6 && at <= need->at.high + 1e-6)
        return 0;
    heat_of(day, s, &coolest, &hottest);
    return change(&day->plan->kitchen.equipment[need->equipment], at, hottest);
}

static bool is_warming(const trial_day *day, size_t w, size_t e, int number)
{
    const bk_stage *stage = &day->plan->stages[w];
    if (!to_come(day, w) || !day->told[w] || !stage->in_oven || stage->oven_off ||
        stage->oven.equipment != e || (day->told_oven[w] > 0 ? day->told_oven[w] : 1) != number)
        return false;
    bk_instant on = day->told_start[w] - preheat_of(day, w);
    return on < day->now && on > day->last_word[e][number] &&
           day->now <= day->told_start[w] + day->plan->kitchen.equipment[e].idle;
}

/* From now until the oven can be ready for it: from cold, or from what it is at. */
static int64_t ready_in(const trial_day *day, size_t s, int number)
{
    const bk_need *need = &day->plan->stages[s].oven;
    int64_t cold = preheat_of(day, s);
    int64_t soonest = cold;
    if (day->hot[need->equipment][number])
        soonest = least(cold, turned(day, s, day->hot_c[need->equipment][number]));
    for (size_t w = 0; w < day->plan->stage_count; w++)
        if (is_warming(day, w, need->equipment, number))
            soonest = least(soonest, most(0, day->told_start[w] - day->now) +
                                         turned(day, s, set_for(day, w)));
    return soonest;
}

static int64_t change_between(const trial_day *day, size_t a, size_t b)
{
    const bk_equipment *oven = &day->plan->kitchen.equipment[day->plan->stages[a].oven.equipment];
    double a_low, a_high, b_low, b_high;
    heat_of(day, a, &a_low, &a_high);
    heat_of(day, b, &b_low, &b_high);
    return b_low > a_high ? change(oven, a_low, b_high) : change(oven, a_high, b_low);
}

/* Rule 6 for two in one oven. */
static bool go_together(const trial_day *day, const trial_placing *placing, size_t a, size_t b)
{
    const bk_stage *one = &day->plan->stages[a], *two = &day->plan->stages[b];
    bk_instant a_end = end_of(day, placing, a), b_end = end_of(day, placing, b),
               a_start = start_of(day, placing, a), b_start = start_of(day, placing, b);
    if (one->oven_off && two->oven_off)
        return true;
    if (two->oven_off)
        return go_together(day, placing, b, a);
    if (one->oven_off)
        return b_end <= a_start || b_start - preheat_of(day, b) >= a_end;
    return meet(&one->oven.at, &two->oven.at) || a_start >= b_end + change_between(day, b, a) ||
           b_start >= a_end + change_between(day, a, b);
}

static bool follows(const trial_day *day, size_t later, size_t sooner)
{
    const bk_stage *stage = &day->plan->stages[later];
    for (size_t l = 0; l < stage->link_count; l++)
        if (stage->links[l].stage == sooner || follows(day, stage->links[l].stage, sooner))
            return true;
    return false;
}

/* Where it stands switched off it was heated, by the last to end of those it follows. Of
 * those in `placed` (NULL: all). */
static bool where_it_was_hot(const trial_day *day, const trial_placing *placing, size_t s,
                             const bool *placed)
{
    const bk_plan *plan = day->plan;
    const bk_stage *stage = &plan->stages[s];
    bk_instant last = INT64_MIN;
    bool there = true;
    if (!stage->in_oven || !stage->oven_off || !to_come(day, s) || (placed && !placed[s]))
        return true;
    for (size_t h = 0; h < plan->stage_count; h++) {
        const bk_stage *hot = &plan->stages[h];
        if (!hot->in_oven || hot->oven_off || hot->oven.equipment != stage->oven.equipment ||
            !follows(day, s, h) || !counts(day, h))
            continue;
        if (placed && to_come(day, h) && !placed[h])
            return true; /* not known yet */
        bk_instant end = end_of(day, placing, h);
        bool here = oven_of(day, placing, h) == placing->oven[s];
        if (end >= last) {
            there = here || (there && end == last && last != INT64_MIN);
            last = end;
        }
    }
    return there;
}

static bool nobody_begins(const trial_day *day, bk_instant at)
{
    return cooks_there(day, true, at - 1) == 0 && cooks_there(day, true, at) == 0;
}

/* What a stage by itself keeps: windows, ovens, its hours. */
static bool keeps_by_itself(const trial_day *day, const trial_placing *placing, size_t s)
{
    const bk_stage *stage = &day->plan->stages[s];
    bk_instant start = placing->start[s], end = end_of(day, placing, s), on = start;
    if (start < day->now)
        return false;
    if (stage->in_oven && !stage->oven_off) {
        if (start < day->now + ready_in(day, s, placing->oven[s]))
            return false;
        on = most(day->now, start - preheat_of(day, s));
    }
    if (stage->attention == BK_HANDS && !hands_free(day, placing, start, end))
        return false;
    if (stage->watch && !up(day, on, end))
        return false;
    if (stage->attention != BK_HANDS && !stage->begins_itself && nobody_begins(day, start))
        return false;
    if (stage->in_oven && !stage->oven_off && nobody_begins(day, end))
        return false;
    if (!stage->has_when || day->without_when[s])
        return true;
    bool gone = true;
    for (size_t w = 0; w < stage->when_count; w++) {
        if (stage->when[w].from <= start && end <= stage->when[w].to)
            return true;
        gone = gone && most(stage->when[w].from, day->now) + stage->planned > stage->when[w].to;
    }
    return gone;
}

static bool link_holds(const trial_day *day, const trial_placing *placing, size_t s, size_t l)
{
    const trial_link *link = &day->link[s][l];
    bk_instant ref =
        link->from_start ? start_of(day, placing, link->stage) : end_of(day, placing, link->stage);
    return placing->start[s] >= ref + link->wait &&
           (!link->has_within || day->without_within[s][l] ||
            placing->start[s] <= ref + link->within);
}

/* What a stage uses beyond what its own dish holds around it. */
static int64_t beyond(const trial_day *day, size_t s, const bk_need *need)
{
    const bk_plan *plan = day->plan;
    int64_t amount = need->amount;
    for (size_t p = 0; p < plan->stage_count; p++)
        for (size_t h = 0; counts(day, p) && h < plan->stages[p].hold_count; h++) {
            const bk_hold *hold = &plan->stages[p].holds[h];
            if (hold->equipment == need->equipment &&
                plan->stages[p].dish == plan->stages[s].dish &&
                (s == p || s == hold->until ||
                 (follows(day, s, p) && follows(day, hold->until, s))))
                amount -= hold->amount;
        }
    return most(amount, 0);
}

/* ------------------------------------------------------------------- trial */

/* What is used at a minute, of facts and of what is to come. */
typedef struct use {
    int64_t fact, more;
} use;

struct trial {
    const trial_day *day;
    trial_placing placing;
    bool placed[TRIAL_STAGES];
    size_t order[TRIAL_STAGES], order_count;
    size_t checked[TRIAL_STAGES * TRIAL_CHECKS]; /* running stages with checks to come */
    size_t checked_count;
    bk_instant head[TRIAL_STAGES];
    trial_figures so_far[TRIAL_STAGES + 1];
    trial_answer answer;
    uint64_t most;
    bool given; /* one placing alone is looked at: *fixed */
    trial_placing fixed;
    use hands[TRIAL_SPAN], pool[TRIAL_EQUIPMENT][TRIAL_SPAN],
        shelf[TRIAL_EQUIPMENT][TRIAL_OVENS + 1][TRIAL_SPAN];
    int64_t there[TRIAL_SPAN];
    bool no_hands[TRIAL_SPAN];
};

static void take(struct trial *t, use *uses, bk_instant from, bk_instant to, int64_t amount,
                 bool fact)
{
    from = most(from, t->day->now);
    for (bk_instant m = from; m < to && m - t->day->now < TRIAL_SPAN; m++)
        *(fact ? &uses[m - t->day->now].fact : &uses[m - t->day->now].more) += amount;
}

/* At minutes where something to come uses any, all of it fits. */
static bool fits(const struct trial *t, const use *uses, bk_instant from, bk_instant to,
                 const int64_t *sizes, int64_t size)
{
    from = most(from, t->day->now);
    for (bk_instant m = from; m < to && m - t->day->now < TRIAL_SPAN; m++) {
        const use *at = &uses[m - t->day->now];
        if (at->more > 0 && at->fact + at->more > (sizes ? sizes[m - t->day->now] : size))
            return false;
    }
    return true;
}

typedef struct claim {
    use *uses;
    bk_instant from, to;
    int64_t amount;
    const int64_t *sizes;
    int64_t size;
    bool fact;
} claim;

static bool is_known(const struct trial *t, size_t s)
{
    return !to_come(t->day, s) || t->placed[s];
}

/* What is used where stage `s` (SIZE_MAX: the facts together) has become known. */
static size_t claims_of(struct trial *t, size_t s, claim *claims)
{
    const trial_day *day = t->day;
    const bk_plan *plan = day->plan;
    const bk_kitchen *kitchen = &plan->kitchen;
    size_t n = 0;
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        bool fact = !to_come(day, i), now = s == SIZE_MAX ? fact : i == s;
        bk_instant from = start_of(day, &t->placing, i), to = end_of(day, &t->placing, i);
        if (!counts(day, i))
            continue;
        if (now && stage->attention == BK_HANDS)
            claims[n++] = (claim){t->hands, from, to, stage->cooks, t->there, 0, fact};
        if (now && stage->in_oven)
            claims[n++] = (claim){t->shelf[stage->oven.equipment][oven_of(day, &t->placing, i)],
                                  from,
                                  to,
                                  stage->oven.amount,
                                  NULL,
                                  kitchen->equipment[stage->oven.equipment].shelves,
                                  fact};
        for (size_t u = 0; now && u < stage->need_count; u++)
            claims[n++] = (claim){t->pool[stage->needs[u].equipment],
                                  from,
                                  to,
                                  beyond(day, i, &stage->needs[u]),
                                  NULL,
                                  kitchen->equipment[stage->needs[u].equipment].pool,
                                  fact};
        for (size_t h = 0; h < stage->hold_count; h++) {
            const bk_hold *hold = &stage->holds[h];
            bool both = is_known(t, i) && is_known(t, hold->until);
            bool news =
                s == SIZE_MAX ? fact && !to_come(day, hold->until) : (i == s || hold->until == s);
            if (both && news)
                claims[n++] = (claim){t->pool[hold->equipment],
                                      from,
                                      end_of(day, &t->placing, hold->until),
                                      hold->amount,
                                      NULL,
                                      kitchen->equipment[hold->equipment].pool,
                                      fact};
        }
    }
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[d];
        bool whole = !day->out[d], news = false, fact = true;
        bk_instant ready = INT64_MIN;
        for (size_t i = dish->first_stage; i < dish->first_stage + dish->stage_count; i++) {
            whole = whole && is_known(t, i);
            news = news || i == s;
            fact = fact && !to_come(day, i);
            ready = most(ready, end_of(day, &t->placing, i));
        }
        for (size_t i = 0; whole && (s == SIZE_MAX ? fact : news) && i < dish->stored_count; i++)
            claims[n++] = (claim){t->pool[dish->stored[i].equipment],
                                  ready,
                                  day->serve[d] + t->placing.late[d],
                                  dish->stored[i].amount,
                                  NULL,
                                  kitchen->equipment[dish->stored[i].equipment].pool,
                                  fact};
    }
    return n;
}

/* Rule 12: touches at minutes when no cook's hands are free. Of what is known. */
static bool touched(const struct trial *t, bk_instant at)
{
    const trial_day *day = t->day;
    for (size_t s = 0; s < day->plan->stage_count; s++) {
        const bk_stage *stage = &day->plan->stages[s];
        bool heated = stage->in_oven && !stage->oven_off;
        if (!is_known(t, s) || !counts(day, s) || day->fact[s].is == TRIAL_OVER)
            continue;
        if (to_come(day, s) && stage->attention != BK_HANDS && !stage->begins_itself &&
            t->placing.start[s] == at)
            return true;
        if (heated && end_of(day, &t->placing, s) == at)
            return true;
    }
    return false;
}

static bool inside(bk_instant at, bk_instant from, bk_instant to)
{
    return from < at && at < to;
}

static bool asked(const trial_day *day, size_t s, size_t c)
{
    const bk_stage *stage = &day->plan->stages[s];
    const bk_check *check = &stage->checks[c];
    if (check->takes == 0 || day->without_checks[s])
        return false;
    if (to_come(day, s))
        return true;
    bk_instant start = day->fact[s].start;
    return day->fact[s].is == TRIAL_RUNS && start + check->at >= day->now &&
           start + check->at + check->takes <= day->fact[s].end;
}

static bool all_hands_full(const struct trial *t, bk_instant at, size_t last, size_t checks)
{
    const trial_day *day = t->day;
    const bk_plan *plan = day->plan;
    int64_t hands = 0;
    for (size_t c = 0; c < plan->kitchen.people_count; c++)
        hands += !cook_can(day, c, true, at - 1) && !cook_can(day, c, true, at);
    for (size_t d = 0; d < plan->dish_count; d++) {
        bk_instant serve = day->serve[d] + t->placing.late[d];
        if (!day->out[d] && inside(at, serve, serve + plan->at_table))
            return true;
    }
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        if (!is_known(t, s) || !counts(day, s))
            continue;
        if (stage->attention == BK_HANDS &&
            inside(at, start_of(day, &t->placing, s), end_of(day, &t->placing, s)))
            hands += stage->cooks;
        for (size_t c = 0; c < stage->check_count && (s != last || c < checks); c++)
            hands +=
                asked(day, s, c) && (to_come(day, s) || last == SIZE_MAX) &&
                inside(at, t->placing.check[s][c], t->placing.check[s][c] + stage->checks[c].takes);
    }
    return hands >= plan->kitchen.cooks;
}

static int64_t interruptions(const struct trial *t, size_t last, size_t checks)
{
    int64_t count = 0;
    for (bk_instant m = t->day->now; m < t->day->now + TRIAL_SPAN / 2; m++)
        count += touched(t, m) && all_hands_full(t, m, last, checks);
    return count;
}

static bk_instant last_serve(const trial_day *day, const trial_placing *placing)
{
    bk_instant last = INT64_MIN;
    for (size_t d = 0; d < day->plan->dish_count; d++)
        if (!day->out[d])
            last = most(last, day->serve[d] + placing->late[d]);
    return last == INT64_MIN ? day->plan->last_serve : last;
}

static int64_t date_of(const bk_plan *plan, bk_instant t)
{
    bk_civil civil = bk_civil_at(plan->zone, t);
    return civil.year * 400 + civil.month * 32 + civil.day;
}

/* Hands-on minutes by date: of the last serve's, and the most of any other. */
static void count_hands(const struct trial *t, size_t last, size_t checks, trial_figures *f)
{
    const trial_day *day = t->day;
    const bk_plan *plan = day->plan;
    struct {
        int64_t date, minutes;
    } dates[64] = {{0, 0}};
    size_t n = 0;
    int64_t serving = date_of(plan, last_serve(day, &t->placing));
    f->hands = f->busiest = 0;
    if (plan->style == BK_FRESH)
        return;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        if (!is_known(t, s) || !counts(day, s))
            continue;
        for (size_t k = 0; k <= stage->check_count; k++) {
            bk_instant from, to;
            if (k == stage->check_count) {
                if (stage->attention != BK_HANDS)
                    continue;
                from = start_of(day, &t->placing, s);
                to = end_of(day, &t->placing, s);
            } else {
                if (!asked(day, s, k) || (s == last && k >= checks) ||
                    (!to_come(day, s) && last != SIZE_MAX))
                    continue;
                from = t->placing.check[s][k];
                to = from + stage->checks[k].takes;
            }
            for (bk_instant m = from; m < to; m++) {
                int64_t date = date_of(plan, m);
                size_t i = 0;
                while (i < n && dates[i].date != date)
                    i++;
                if (i == n && n < 63)
                    dates[n++].date = date;
                dates[i].minutes++;
            }
        }
    }
    for (size_t i = 0; i < n; i++)
        if (dates[i].date == serving)
            f->hands = dates[i].minutes;
        else
            f->busiest = most(f->busiest, dates[i].minutes);
    if (plan->style != BK_SPREAD)
        f->busiest = 0;
}

/* The figures of what is known. */
static trial_figures figures_of(const struct trial *t, size_t last, size_t checks)
{
    const trial_day *day = t->day;
    const bk_plan *plan = day->plan;
    trial_figures f = {.first = INT64_MAX};
    bk_instant ready[TRIAL_DISHES];
    for (size_t d = 0; d < plan->dish_count; d++) {
        ready[d] = INT64_MIN;
        f.late += t->placing.late[d];
    }
    for (size_t s = 0; s < plan->stage_count; s++) {
        size_t d = plan->stages[s].dish;
        if (!is_known(t, s))
            continue;
        bk_instant start = start_of(day, &t->placing, s), end = end_of(day, &t->placing, s);
        if (!day->out[d] && !day->served[d])
            ready[d] = most(ready[d], end);
        if (!counts(day, s))
            continue;
        f.first = least(f.first, start);
        f.waiting += day->serve[d] + t->placing.late[d] - end;
        if (to_come(day, s) && day->told[s] &&
            (start - day->told_start[s] > 5 || day->told_start[s] - start > 5))
            f.moved++;
        if (to_come(day, s) && day->run_out[s])
            f.overdue += start - day->now;
    }
    for (size_t d = 0; d < plan->dish_count; d++)
        if (ready[d] != INT64_MIN)
            f.margin += most(0, ready[d] - (day->serve[d] + t->placing.late[d] - plan->margin));
    count_hands(t, last, checks, &f);
    return f;
}

int day_oracle_compare(const bk_plan *plan, trial_figures a, trial_figures b)
{
    int64_t differences[9] = {a.late - b.late,
                              a.margin - b.margin,
                              a.overdue - b.overdue,
                              a.moved - b.moved,
                              plan->style == BK_FRESH ? 0 : a.hands - b.hands,
                              plan->style == BK_SPREAD ? a.busiest - b.busiest : 0,
                              b.first == a.first  ? 0
                              : b.first > a.first ? 1
                                                  : -1,
                              a.interruptions - b.interruptions,
                              a.waiting - b.waiting};
    for (size_t i = 0; i < 9; i++)
        if (differences[i] != 0)
            return differences[i] < 0 ? -1 : 1;
    return 0;
}

/* What is to come makes no figure better. */
static bool hopeless(const struct trial *t, size_t last, size_t checks)
{
    if (!t->answer.possible || t->given)
        return false;
    trial_figures f = figures_of(t, last, checks);
    f.interruptions = 0;
    if (day_oracle_compare(t->day->plan, f, t->answer.figures) >= 0)
        return true;
    trial_figures upper = t->answer.figures;
    upper.interruptions = upper.waiting = f.waiting = 0;
    if (day_oracle_compare(t->day->plan, f, upper) < 0)
        return false;
    f = figures_of(t, last, checks);
    f.interruptions = interruptions(t, last, checks);
    return day_oracle_compare(t->day->plan, f, t->answer.figures) >= 0;
}

/* ---------------------------------------------------------- named cooks */

typedef struct piece {
    bk_instant from, to;
    int64_t hands;
    unsigned able, chosen;
} piece;

static int64_t bits(unsigned set)
{
    int64_t count = 0;
    for (; set > 0; set >>= 1)
        count += set & 1;
    return count;
}

/* What enough can do all of is theirs; what is left at each minute the totals see to. */
static bool given_to(piece *pieces, size_t count, size_t at, size_t cooks)
{
    if (at == count)
        return true;
    piece *own = &pieces[at];
    if (bits(own->able) < own->hands)
        return given_to(pieces, count, at + 1, cooks);
    for (unsigned set = 1; set < 1u << cooks; set++) {
        bool free = (set & ~own->able) == 0 && bits(set) == own->hands;
        for (size_t i = 0; i < at && free; i++)
            free = (pieces[i].chosen & set) == 0 || pieces[i].to <= own->from ||
                   own->to <= pieces[i].from;
        own->chosen = set;
        if (free && given_to(pieces, count, at + 1, cooks))
            return true;
    }
    own->chosen = 0;
    return false;
}

static bool cooks_suffice(const struct trial *t)
{
    const trial_day *day = t->day;
    const bk_plan *plan = day->plan;
    piece pieces[TRIAL_STAGES * (TRIAL_CHECKS + 1)];
    size_t count = 0;
    if (plan->kitchen.people_count == 0)
        return true;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        if (to_come(day, s) && stage->attention == BK_HANDS && stage->planned > 0)
            pieces[count++] =
                (piece){t->placing.start[s], end_of(day, &t->placing, s), stage->cooks, 0, 0};
        for (size_t c = 0; c < stage->check_count; c++)
            if (asked(day, s, c))
                pieces[count++] = (piece){t->placing.check[s][c],
                                          t->placing.check[s][c] + stage->checks[c].takes, 1, 0, 0};
    }
    for (size_t i = 0; i < count; i++)
        for (size_t c = 0; c < plan->kitchen.people_count; c++) {
            bool all = true;
            for (bk_instant m = pieces[i].from; m < pieces[i].to; m++)
                all = all && cook_can(day, c, true, m);
            pieces[i].able |= all ? 1u << c : 0;
        }
    return given_to(pieces, count, 0, plan->kitchen.people_count);
}

/* ------------------------------------------------------------- the search */

static void place(struct trial *t, size_t depth);
static void place_running(struct trial *t, size_t i, size_t c);

static void finish(struct trial *t)
{
    if (!cooks_suffice(t))
        return;
    trial_figures f = figures_of(t, SIZE_MAX, 0);
    f.interruptions = interruptions(t, SIZE_MAX, 0);
    if (t->answer.possible && day_oracle_compare(t->day->plan, f, t->answer.figures) >= 0)
        return;
    t->answer.possible = true;
    t->answer.figures = f;
    t->answer.best = t->placing;
}

/* Places a check of `s` wherever it can be, then goes on. */
static bool try_check(struct trial *t, size_t s, size_t c, bk_instant at)
{
    const bk_check *check = &t->day->plan->stages[s].checks[c];
    bk_instant start = start_of(t->day, &t->placing, s), end = end_of(t->day, &t->placing, s);
    if (at < most(start, t->day->now) || at + check->takes > end ||
        at < start + check->at - check->give || at > start + check->at + check->give)
        return false;
    for (bk_instant m = at; m < at + check->takes; m++)
        if (t->no_hands[m - t->day->now])
            return false;
    take(t, t->hands, at, at + check->takes, 1, false);
    t->placing.check[s][c] = at;
    if (fits(t, t->hands, at, at + check->takes, t->there, 0))
        return true;
    take(t, t->hands, at, at + check->takes, -1, false);
    return false;
}

static void place_checks(struct trial *t, size_t depth, size_t s, size_t c)
{
    const bk_stage *stage = &t->day->plan->stages[s];
    if (c == stage->check_count) {
        if (!hopeless(t, s, c))
            place(t, depth + 1);
        return;
    }
    if (!asked(t->day, s, c)) {
        place_checks(t, depth, s, c + 1);
        return;
    }
    const bk_check *check = &stage->checks[c];
    bk_instant start = t->placing.start[s];
    for (bk_instant at = start + check->at - check->give; at <= start + check->at + check->give;
         at++) {
        if ((t->given && at != t->fixed.check[s][c]) || !try_check(t, s, c, at))
            continue;
        place_checks(t, depth, s, c + 1);
        take(t, t->hands, at, at + check->takes, -1, false);
    }
}

/* Then the checks of what runs. */
static void place_running(struct trial *t, size_t i, size_t c)
{
    if (i == t->checked_count) {
        finish(t);
        return;
    }
    size_t s = t->checked[i];
    const bk_stage *stage = &t->day->plan->stages[s];
    if (c == stage->check_count) {
        place_running(t, i + 1, 0);
        return;
    }
    if (!asked(t->day, s, c)) {
        place_running(t, i, c + 1);
        return;
    }
    const bk_check *check = &stage->checks[c];
    bk_instant start = t->day->fact[s].start;
    for (bk_instant at = start + check->at - check->give; at <= start + check->at + check->give;
         at++) {
        if ((t->given && at != t->fixed.check[s][c]) || !try_check(t, s, c, at))
            continue;
        place_running(t, i, c + 1);
        take(t, t->hands, at, at + check->takes, -1, false);
    }
}

static bool keeps_its_dish(const struct trial *t, size_t d)
{
    const trial_day *day = t->day;
    const bk_dish *dish = &day->plan->dishes[d];
    bk_instant ready = INT64_MIN;
    if (!day->keeps[d] || day->out[d])
        return true;
    for (size_t s = dish->first_stage; s < dish->first_stage + dish->stage_count; s++) {
        if (!is_known(t, s))
            return true;
        ready = most(ready, end_of(day, &t->placing, s));
    }
    return ready >= day->serve[d] + t->placing.late[d] - dish->keeps;
}

static void try_stage(struct trial *t, size_t depth, size_t s)
{
    const trial_day *day = t->day;
    const bk_plan *plan = day->plan;
    const bk_stage *stage = &plan->stages[s];
    claim claims[96];
    bool good = keeps_by_itself(day, &t->placing, s);
    for (size_t o = 0; good && stage->in_oven && o < plan->stage_count; o++)
        good = o == s || !plan->stages[o].in_oven || !counts(day, o) || !is_known(t, o) ||
               plan->stages[o].oven.equipment != stage->oven.equipment ||
               oven_of(day, &t->placing, o) != t->placing.oven[s] ||
               go_together(day, &t->placing, s, o);
    if (!good)
        return;
    t->placed[s] = true;
    for (size_t i = 0; good && i < plan->stage_count; i++)
        for (size_t l = 0; good && to_come(day, i) && l < day->link_count[i]; l++)
            if ((i == s || day->link[i][l].stage == s) && is_known(t, i) &&
                is_known(t, day->link[i][l].stage))
                good = link_holds(day, &t->placing, i, l);
    for (size_t i = 0; good && i < plan->stage_count; i++)
        good = where_it_was_hot(day, &t->placing, i, t->placed);
    good = good && keeps_its_dish(t, stage->dish);
    if (good && !hopeless(t, s, 0)) {
        size_t n = claims_of(t, s, claims);
        for (size_t i = 0; i < n; i++)
            take(t, claims[i].uses, claims[i].from, claims[i].to, claims[i].amount, claims[i].fact);
        for (size_t i = 0; good && i < n; i++)
            good = fits(t, claims[i].uses, claims[i].from, claims[i].to, claims[i].sizes,
                        claims[i].size);
        if (good)
            place_checks(t, depth, s, 0);
        for (size_t i = 0; i < n; i++)
            take(t, claims[i].uses, claims[i].from, claims[i].to, -claims[i].amount,
                 claims[i].fact);
    }
    t->placed[s] = false;
}

static bk_instant latest(const struct trial *t, size_t s)
{
    const trial_day *day = t->day;
    const bk_plan *plan = day->plan;
    size_t d = plan->stages[s].dish;
    bk_instant high = day->serve[d] + t->placing.late[d] - plan->stages[s].planned;
    for (size_t f = 0; f < plan->stage_count; f++)
        for (size_t l = 0; t->placed[f] && l < day->link_count[f]; l++) {
            const trial_link *link = &day->link[f][l];
            if (link->stage == s)
                high = least(high, t->placing.start[f] - link->wait -
                                       (link->from_start ? 0 : plan->stages[s].planned));
        }
    return high;
}

static void try_at(struct trial *t, size_t depth, size_t s, bk_instant at)
{
    const bk_stage *stage = &t->day->plan->stages[s];
    int ovens = stage->in_oven ? t->day->plan->kitchen.equipment[stage->oven.equipment].count : 1;
    for (int o = 1; o <= ovens; o++) {
        t->answer.gave_up = ++t->answer.tried > t->most;
        if (t->answer.gave_up)
            return;
        t->placing.start[s] = at;
        t->placing.oven[s] = stage->in_oven ? o : 0;
        if (!t->given || t->placing.oven[s] == t->fixed.oven[s])
            try_stage(t, depth, s);
    }
}

static void place(struct trial *t, size_t depth)
{
    if (depth == t->order_count) {
        place_running(t, 0, 0);
        return;
    }
    size_t s = t->order[depth];
    const trial_day *day = t->day;
    bk_instant high = latest(t, s), low = t->head[s], first = INT64_MIN;
    if (t->given) {
        if (t->fixed.start[s] >= low && t->fixed.start[s] <= high)
            try_at(t, depth, s, t->fixed.start[s]);
        return;
    }
    if (day->told[s] && day->told_start[s] >= low && day->told_start[s] <= high) {
        first = day->told_start[s]; /* where most stay */
        try_at(t, depth, s, first);
    }
    for (bk_instant at = high; at >= low && !t->answer.gave_up; at--)
        if (at != first)
            try_at(t, depth, s, at);
}

/* --------------------------------------------------------------------- all */

static void begin(struct trial *t, const trial_day *day)
{
    const bk_plan *plan = day->plan;
    memset(t, 0, sizeof *t);
    t->day = day;
    bool taken[TRIAL_STAGES] = {false};
    size_t order[TRIAL_STAGES], n = 0;
    while (n < plan->stage_count)
        for (size_t s = 0; s < plan->stage_count; s++) {
            bool free = !taken[s];
            for (size_t l = 0; free && l < plan->stages[s].link_count; l++)
                free = taken[plan->stages[s].links[l].stage];
            if (!free)
                continue;
            taken[s] = true;
            order[n++] = s;
        }
    for (size_t i = 0; i < n; i++) {
        size_t s = order[i];
        t->head[s] = day->now;
        for (size_t l = 0; l < day->link_count[s]; l++) {
            const trial_link *link = &day->link[s][l];
            size_t p = link->stage;
            bk_instant from = to_come(day, p) ? t->head[p] : day->fact[p].start;
            bk_instant to = to_come(day, p) ? from + plan->stages[p].planned : day->fact[p].end;
            t->head[s] = most(t->head[s], (link->from_start ? from : to) + link->wait);
        }
    }
    for (size_t i = n; i-- > 0;)
        if (to_come(day, order[i]))
            t->order[t->order_count++] = order[i];
    for (size_t s = 0; s < plan->stage_count; s++)
        for (size_t c = 0; c < plan->stages[s].check_count; c++)
            if (!to_come(day, s) && asked(day, s, c)) {
                t->checked[t->checked_count++] = s;
                break;
            }
}

/* With serves put off as `late` says. */
static void with_late(struct trial *t, const int64_t *late)
{
    const trial_day *day = t->day;
    claim claims[96];
    memset(t->hands, 0, sizeof t->hands);
    memset(t->pool, 0, sizeof t->pool);
    memset(t->shelf, 0, sizeof t->shelf);
    memcpy(t->placing.late, late, day->plan->dish_count * sizeof *late);
    for (bk_instant m = 0; m < TRIAL_SPAN; m++) {
        t->there[m] = day->plan->kitchen.people_count > 0 ? cooks_there(day, true, day->now + m)
                                                          : day->plan->kitchen.cooks;
        t->no_hands[m] = !hands_free(day, &t->placing, day->now + m, day->now + m + 1);
    }
    size_t n = claims_of(t, SIZE_MAX, claims);
    for (size_t i = 0; i < n; i++)
        take(t, claims[i].uses, claims[i].from, claims[i].to, claims[i].amount, true);
    place(t, 0);
}

/* Every way to be late by `left` minutes more in all, from dish `d` on. */
static void share_out(struct trial *t, int64_t *late, size_t d, int64_t left)
{
    const trial_day *day = t->day;
    if (t->answer.gave_up)
        return;
    if (d == day->plan->dish_count) {
        if (left == 0)
            with_late(t, late);
        return;
    }
    int64_t floor = late[d];
    for (int64_t more = 0; more <= (day->out[d] || day->served[d] ? 0 : left); more++) {
        late[d] = floor + more;
        share_out(t, late, d + 1, left - more);
    }
    late[d] = floor;
}

trial_answer day_oracle_solve(const trial_day *day, uint64_t most_tried)
{
    static struct trial t; /* large; the tests have one thread */
    const bk_plan *plan = day->plan;
    int64_t late[TRIAL_DISHES] = {0};
    begin(&t, day);
    t.most = most_tried;
    for (size_t s = 0; s < plan->stage_count; s++) {
        size_t d = plan->stages[s].dish;
        bk_instant soonest =
            to_come(day, s) ? t.head[s] + plan->stages[s].planned : day->fact[s].end;
        if (!day->out[d] && !day->served[d])
            late[d] = most(late[d], soonest - day->serve[d]);
    }
    for (int64_t more = 0; !t.answer.possible && !t.answer.gave_up; more++) {
        share_out(&t, late, 0, more);
        if (more == TRIAL_LATE && !t.answer.possible)
            t.answer.gave_up = true;
    }
    return t.answer;
}

bool day_oracle_valid(const trial_day *day, const trial_placing *placing)
{
    static struct trial t;
    begin(&t, day);
    t.most = UINT64_MAX;
    t.given = true;
    t.fixed = *placing;
    with_late(&t, placing->late);
    return t.answer.possible;
}

trial_figures day_oracle_reckon(const trial_day *day, const trial_placing *placing)
{
    static struct trial t;
    begin(&t, day);
    t.placing = *placing;
    for (size_t s = 0; s < day->plan->stage_count; s++)
        t.placed[s] = to_come(day, s);
    trial_figures f = figures_of(&t, SIZE_MAX, 0);
    f.interruptions = interruptions(&t, SIZE_MAX, 0);
    return f;
}

/* What stages share: hands, pools and ovens (rules 3, 5 and 6). */
#include "verify/parts.h"

#include <stdlib.h>

/* Temperatures closer than this are one temperature: they went through decimal
 * text and a change of scale. */
static const double SAME_TEMPERATURE = 1e-6;

/* ------------------------------------------------------------------- rule 3 */

static void verify_free(bk_verify_state *state, size_t stage, const char *what, bk_instant from,
                        bk_instant to)
{
    static const char *const doing[] = {"everybody sleeps", "nobody is at home",
                                        "hands are not free"};
    const bk_kitchen *kitchen = &state->plan->kitchen;
    if (to <= from)
        return;
    for (size_t w = 0; w < kitchen->window_count; w++) {
        const bk_window *window = &kitchen->windows[w];
        if (window->to <= from || window->from >= to)
            continue;
        bk_verify_breach(state, 3, stage, "%s%s needs hands from %s to %s; from %s to %s %s.", what,
                         bk_verify_name(state, stage), bk_verify_when(state, from),
                         bk_verify_when(state, to), bk_verify_when(state, window->from),
                         bk_verify_when(state, window->to), doing[window->kind]);
    }
}

/* No hands from any serve on, for as long as the cooks eat. */
static void verify_table(bk_verify_state *state, size_t stage, const char *what, bk_instant from,
                         bk_instant to)
{
    const bk_plan *plan = state->plan;
    for (size_t d = 0; d < plan->dish_count && from < to && plan->at_table > 0; d++) {
        bk_instant serve = plan->dishes[d].serve;
        if (!plan->dishes[d].out && !plan->dishes[d].part && from < serve + plan->at_table &&
            serve < to)
            bk_verify_breach(state, 3, stage,
                             "%s%s needs hands from %s to %s; from %s to %s the "
                             "cooks are at table.",
                             what, bk_verify_name(state, stage), bk_verify_when(state, from),
                             bk_verify_when(state, to), bk_verify_when(state, serve),
                             bk_verify_when(state, serve + plan->at_table));
    }
}

void bk_verify_hands(bk_verify_state *state)
{
    const bk_plan *plan = state->plan;
    bk_verify_needs needs = {0};
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        const bk_placed *placed = state->placed[s];
        bool begun = stage->progress != BK_NOT_BEGUN;
        if (stage->attention == BK_HANDS)
            bk_verify_own_need(state, &needs, placed->start, placed->end, stage->cooks, s);
        if (stage->attention == BK_HANDS && !begun) {
            verify_free(state, s, "", placed->start, placed->end);
            verify_table(state, s, "", placed->start, placed->end);
        }
        for (size_t c = 0; c < placed->check_count; c++) {
            const bk_placed_check *given = &placed->checks[c];
            if (given->dropped)
                continue;
            bk_verify_need_add(state, &needs, given->start, given->end, 1, s);
            verify_free(state, s, "A check of ", given->start, given->end);
            verify_table(state, s, "A check of ", given->start, given->end);
        }
    }
    bk_verify_people(state, &needs);
    bk_verify_sweep(state, 3, &needs, plan->kitchen.cooks, "pairs of hands");
}

/* ------------------------------------------------------------------- rule 5 */

/* Is a stage at, or linked at any remove after, stage `first`? Asked of many stages in
 * one walk back along the links: 0 not asked yet, 1 being asked, 2 no, 3 yes. */
enum answer { UNASKED, ASKED, NO, YES };

static bool is_after(const bk_plan *plan, size_t stage, size_t first, enum answer *answer,
                     size_t *path, size_t *next)
{
    size_t depth = 0;
    if (answer[stage] == UNASKED)
        path[depth++] = stage;
    while (depth > 0) {
        size_t at = path[depth - 1];
        if (answer[at] == UNASKED) {
            answer[at] = ASKED;
            next[at] = 0;
        }
        if (at == first)
            answer[at] = YES;
        while (answer[at] == ASKED && next[at] < plan->stages[at].link_count) {
            size_t before = plan->stages[at].links[next[at]].stage;
            if (answer[before] == UNASKED) {
                path[depth++] = before;
                break;
            }
            if (answer[before] == YES)
                answer[at] = YES;
            next[at]++;
        }
        if (path[depth - 1] == at) {
            if (answer[at] == ASKED)
                answer[at] = NO;
            depth--;
        }
    }
    return answer[stage] == YES;
}

static bool is_end(const size_t *ends, size_t count, size_t stage)
{
    for (size_t k = 0; k < count; k++)
        if (ends[k] == stage)
            return true;
    return false;
}

/* What the dish of each stage holds around it of each piece of equipment that the stage
 * uses, by stage and need: the hold's own stage, the one it lasts until, and what is
 * linked after the one and before the other. */
static int64_t **held_around(bk_verify_state *state)
{
    const bk_plan *plan = state->plan;
    size_t n = plan->stage_count;
    int64_t **held = BK_NEW(state->arena, int64_t *, n);
    for (size_t s = 0; s < n; s++)
        held[s] = BK_NEW(state->arena, int64_t, plan->stages[s].need_count);
    enum answer *from_holder = BK_NEW(state->arena, enum answer, n);
    bool *to_until = BK_NEW(state->arena, bool, n);
    size_t *path = BK_NEW(state->arena, size_t, n + 1), *next = BK_NEW(state->arena, size_t, n);
    size_t *ends = BK_NEW(state->arena, size_t, n);
    for (size_t h = 0; h < n; h++)
        for (size_t i = 0; i < plan->stages[h].hold_count; i++) {
            const bk_hold *hold = &plan->stages[h].holds[i];
            const bk_dish *dish = &plan->dishes[plan->stages[h].dish];
            for (size_t s = 0; s < n; s++) {
                from_holder[s] = UNASKED;
                to_until[s] = false;
            }
            size_t depth = 0;
            for (size_t k = 0; k <= hold->before; k++) {
                ends[k] = path[depth++] = hold->until - k * hold->step;
                to_until[ends[k]] = true;
            }
            while (depth > 0) {
                const bk_stage *at = &plan->stages[path[--depth]];
                for (size_t l = 0; l < at->link_count; l++)
                    if (!to_until[at->links[l].stage]) {
                        to_until[at->links[l].stage] = true;
                        path[depth++] = at->links[l].stage;
                    }
            }
            for (size_t s = dish->first_stage; s < dish->first_stage + dish->stage_count; s++)
                for (size_t u = 0; u < plan->stages[s].need_count; u++)
                    if (plan->stages[s].needs[u].equipment == hold->equipment &&
                        (s == h || is_end(ends, hold->before + 1, s) ||
                         (to_until[s] && is_after(plan, s, h, from_holder, path, next))))
                        held[s][u] += hold->amount;
        }
    return held;
}

void bk_verify_pools(bk_verify_state *state)
{
    const bk_plan *plan = state->plan;
    const bk_kitchen *kitchen = &plan->kitchen;
    bk_verify_needs *needs = BK_NEW(state->arena, bk_verify_needs, kitchen->equipment_count);
    int64_t **held = held_around(state);
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        const bk_placed *placed = state->placed[s];
        for (size_t u = 0; u < stage->need_count; u++)
            if (stage->needs[u].amount > held[s][u])
                bk_verify_own_need(state, &needs[stage->needs[u].equipment], placed->start,
                                   placed->end, stage->needs[u].amount - held[s][u], s);
        for (size_t h = 0; h < stage->hold_count; h++) {
            const bk_hold *hold = &stage->holds[h];
            bk_instant end = INT64_MIN;
            for (size_t k = 0; k <= hold->before; k++)
                if (state->placed[hold->until - k * hold->step]->end > end)
                    end = state->placed[hold->until - k * hold->step]->end;
            bk_verify_own_need(state, &needs[hold->equipment], placed->start, end, hold->amount, s);
        }
    }
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[d];
        if (dish->stage_count == 0)
            continue;
        bk_instant ready = INT64_MIN;
        size_t last = dish->first_stage, to_come = SIZE_MAX;
        for (size_t s = dish->first_stage; s < dish->first_stage + dish->stage_count; s++) {
            if (state->placed[s]->end > ready) {
                ready = state->placed[s]->end;
                last = s;
            }
            if (plan->stages[s].progress == BK_NOT_BEGUN)
                to_come = s;
        }
        if (to_come != SIZE_MAX)
            last = to_come; /* when it is ready is no fact yet */
        for (size_t i = 0; i < dish->stored_count; i++)
            bk_verify_own_need(state, &needs[dish->stored[i].equipment], ready,
                               bk_verify_until(state, d), dish->stored[i].amount, last);
    }
    for (size_t e = 0; e < kitchen->equipment_count; e++)
        if (kitchen->equipment[e].kind != BK_OVEN)
            bk_verify_sweep(state, 5, &needs[e], kitchen->equipment[e].pool,
                            bk_format(state->arena, "of %s", kitchen->equipment[e].name));
}

/* ------------------------------------------------------------------- rule 6 */

struct baking {
    size_t oven; /* index in kitchen.equipment */
    int number;
    bk_instant start, end;
    size_t stage;
};

static int baking_order(const void *left, const void *right)
{
    const struct baking *a = left, *b = right;
    if (a->oven != b->oven)
        return a->oven < b->oven ? -1 : 1;
    if (a->number != b->number)
        return a->number < b->number ? -1 : 1;
    if (a->start != b->start)
        return a->start < b->start ? -1 : 1;
    if (a->end != b->end)
        return a->end < b->end ? -1 : 1;
    return (a->stage > b->stage) - (a->stage < b->stage);
}

bk_verify_heat bk_verify_heat_of(const bk_verify_state *state, size_t stage)
{
    const bk_plan *plan = state->plan;
    const bk_temperature *at = &plan->stages[stage].oven.at;
    size_t oven = plan->stages[stage].oven.equipment;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_temperature *other = &plan->stages[s].oven.at;
        if (!bk_is_heated(&plan->stages[s]) || plan->stages[s].oven.equipment != oven ||
            other->low > at->high + SAME_TEMPERATURE || at->low > other->high + SAME_TEMPERATURE)
            continue;
        if (other->low != at->low || other->high != at->high || other->exact != at->exact ||
            other->fahrenheit != at->fahrenheit || other->nominal != at->nominal)
            return (bk_verify_heat){at->low, at->high};
    }
    double set = bk_dial_wanted(bk_dial_of(&plan->kitchen.equipment[oven]), at);
    return (bk_verify_heat){set, set};
}

static int64_t by_rate(double degrees, double rate)
{
    int64_t minutes = 0;
    while (degrees - (double)minutes * rate > 1e-6)
        minutes++;
    return minutes;
}

int64_t bk_verify_preheat(const bk_verify_state *state, size_t stage)
{
    const bk_equipment *oven =
        &state->plan->kitchen.equipment[state->plan->stages[stage].oven.equipment];
    return oven->warms > 0 ? by_rate(bk_verify_heat_of(state, stage).most - 20, oven->warms)
                           : oven->preheat;
}

int64_t bk_verify_reheat(const bk_verify_state *state, size_t stage, double celsius)
{
    const bk_need *need = &state->plan->stages[stage].oven;
    const bk_equipment *oven = &state->plan->kitchen.equipment[need->equipment];
    bk_verify_heat heat = bk_verify_heat_of(state, stage);
    if (celsius >= need->at.low - SAME_TEMPERATURE && celsius <= need->at.high + SAME_TEMPERATURE)
        return 0;
    if (heat.most > celsius)
        return oven->warms > 0 ? by_rate(heat.most - celsius, oven->warms) : oven->change;
    return oven->cools > 0 ? by_rate(celsius - heat.most, oven->cools) : oven->change;
}

/* Minutes from the temperature of one stage to that of another that shares none. */
static int64_t change_between(const bk_verify_state *state, size_t from, size_t to)
{
    const bk_equipment *oven =
        &state->plan->kitchen.equipment[state->plan->stages[to].oven.equipment];
    if (oven->warms <= 0 && oven->cools <= 0)
        return oven->change;
    bk_verify_heat a = bk_verify_heat_of(state, from), b = bk_verify_heat_of(state, to);
    bool up = b.least > a.most;
    double rate = up ? oven->warms : oven->cools;
    if (rate <= 0)
        return oven->change;
    return by_rate(up ? b.most - a.least : a.most - b.least, rate);
}

static bool common_temperature(const bk_stage *a, const bk_stage *b)
{
    return a->oven.at.low <= b->oven.at.high + SAME_TEMPERATURE &&
           b->oven.at.low <= a->oven.at.high + SAME_TEMPERATURE;
}

/* The same between two bakings. Of two of no length at one minute either may be the first. */
static int64_t change_after(const bk_verify_state *state, const struct baking *one,
                            const struct baking *next)
{
    int64_t there = change_between(state, one->stage, next->stage);
    if (one->start != next->end)
        return there;
    int64_t back = change_between(state, next->stage, one->stage);
    return back < there ? back : there;
}

/* All bakings of one oven, by start, then end. One of no length needs no shelf,
 * but its temperature still has to be reached. */
static void verify_one_oven(bk_verify_state *state, const struct baking *bakings, size_t count)
{
    const bk_plan *plan = state->plan;
    const bk_equipment *oven = &plan->kitchen.equipment[bakings[0].oven];
    int number = bakings[0].number;
    bk_verify_needs shelves = {0};
    int64_t longest = oven->change;
    if (oven->warms > 0 || oven->cools > 0)
        longest = BK_DAY * 10; /* no change of an oven takes that long */
    for (size_t i = 0; i < count; i++) {
        const bk_stage *stage = &plan->stages[bakings[i].stage];
        bk_verify_own_need(state, &shelves, bakings[i].start, bakings[i].end, stage->oven.amount,
                           bakings[i].stage);
        /* By start: those behind the first that starts late enough are late enough too. */
        for (size_t j = i + 1; j < count && bakings[j].start < bakings[i].end + longest; j++) {
            size_t s = bakings[i].stage, other = bakings[j].stage;
            int64_t change = change_after(state, &bakings[i], &bakings[j]);
            bool facts =
                stage->progress != BK_NOT_BEGUN && plan->stages[other].progress != BK_NOT_BEGUN;
            if (facts || stage->oven_off || plan->stages[other].oven_off ||
                common_temperature(stage, &plan->stages[other]) ||
                bakings[j].start >= bakings[i].end + change)
                continue;
            if (bakings[j].start < bakings[i].end)
                bk_verify_breach(
                    state, 6, other,
                    "%s and %s are together in %s %d on %s, and no temperature suits both.",
                    bk_verify_name(state, s), bk_verify_name(state, other), oven->name, number,
                    bk_verify_when(state, bakings[j].start));
            else
                bk_verify_breach(
                    state, 6, other,
                    "%s goes into %s %d on %s, less than %lld min after %s came out on %s: "
                    "no time to change the temperature.",
                    bk_verify_name(state, other), oven->name, number,
                    bk_verify_when(state, bakings[j].start), (long long)change,
                    bk_verify_name(state, s), bk_verify_when(state, bakings[i].end));
        }
    }
    bk_verify_sweep(state, 6, &shelves, oven->shelves,
                    bk_format(state->arena, "shelves of %s %d", oven->name, number));
}

/* A stage in a switched-off oven: where the last heated stage before it was, with
 * nothing heated meanwhile, the heating up for what comes later included. */
static void verify_off(bk_verify_state *state, size_t s)
{
    const bk_plan *plan = state->plan;
    const bk_placed *placed = state->placed[s];
    size_t oven = plan->stages[s].oven.equipment;
    enum answer *after = BK_NEW(state->arena, enum answer, plan->stage_count);
    size_t *path = BK_NEW(state->arena, size_t, plan->stage_count + 1);
    size_t *next = BK_NEW(state->arena, size_t, plan->stage_count);
    bk_instant last = INT64_MIN;
    bool there = true; /* where all that heated it is left out */
    for (size_t k = 0; k < plan->stage_count; k++) {
        const bk_stage *other = &plan->stages[k];
        const bk_placed *hot = state->placed[k];
        if (k == s || !bk_is_heated(other) || other->oven.equipment != oven)
            continue;
        for (size_t i = 0; i < plan->stage_count; i++)
            after[i] = UNASKED;
        if (is_after(plan, s, k, after, path, next) && hot->end >= last) {
            there = hot->oven_number == placed->oven_number || (there && hot->end == last);
            last = hot->end;
        }
        bool facts = plan->stages[s].progress != BK_NOT_BEGUN && other->progress != BK_NOT_BEGUN;
        if (!facts && hot->oven_number == placed->oven_number && hot->end > placed->start &&
            hot->start - bk_verify_preheat(state, k) < placed->end)
            bk_verify_breach(state, 6, s,
                             "%s is in %s %d, switched off, and %s wants it hot from %s to %s.",
                             bk_verify_name(state, s), plan->kitchen.equipment[oven].name,
                             placed->oven_number, bk_verify_name(state, k),
                             bk_verify_when(state, hot->start), bk_verify_when(state, hot->end));
    }
    if (!there && plan->stages[s].progress == BK_NOT_BEGUN)
        bk_verify_breach(state, 6, s, "%s is in %s %d, and nothing before it was there last.",
                         bk_verify_name(state, s), plan->kitchen.equipment[oven].name,
                         placed->oven_number);
}

void bk_verify_ovens(bk_verify_state *state)
{
    const bk_plan *plan = state->plan;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        const bk_placed *placed = state->placed[s];
        if (!stage->in_oven) {
            if (placed->oven_number != 0)
                bk_verify_breach(state, 6, s, "%s is given oven number %d and is in no oven.",
                                 bk_verify_name(state, s), placed->oven_number);
            continue;
        }
        const bk_equipment *oven = &plan->kitchen.equipment[stage->oven.equipment];
        if (placed->oven_number < 1 || placed->oven_number > oven->count)
            bk_verify_breach(state, 6, s, "%s is given %s %d; there are %d.",
                             bk_verify_name(state, s), oven->name, placed->oven_number,
                             oven->count);
        if (stage->oven_off) {
            verify_off(state, s);
            continue;
        }
        if (stage->progress != BK_NOT_BEGUN)
            continue; /* in what it was, it was */
        if (!(placed->temperature_c >= stage->oven.at.low - SAME_TEMPERATURE &&
              placed->temperature_c <= stage->oven.at.high + SAME_TEMPERATURE))
            bk_verify_breach(state, 6, s, "%s is given an oven of %g °C; it accepts %g to %g °C.",
                             bk_verify_name(state, s), placed->temperature_c, stage->oven.at.low,
                             stage->oven.at.high);
    }
    struct baking *bakings = BK_NEW(state->arena, struct baking, plan->stage_count);
    size_t count = 0;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_placed *placed = state->placed[s];
        if (plan->stages[s].in_oven)
            bakings[count++] = (struct baking){plan->stages[s].oven.equipment, placed->oven_number,
                                               placed->start, placed->end, s};
    }
    if (count > 0)
        qsort(bakings, count, sizeof *bakings, baking_order);
    for (size_t from = 0, to = 0; from < count; from = to) {
        while (to < count && bakings[to].oven == bakings[from].oven &&
               bakings[to].number == bakings[from].number)
            to++;
        verify_one_oven(state, &bakings[from], to - from);
    }
}

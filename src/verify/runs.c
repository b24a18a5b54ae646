/* When ovens go on and off, against the stages in them. */
#include "verify/parts.h"

#include <math.h>

static const double SAME_TEMPERATURE = 1e-6;

static bool same_oven(const bk_oven_run *a, const bk_oven_run *b)
{
    return a->equipment == b->equipment && a->number == b->number;
}

static const char *run_name(const bk_verify_state *state, const bk_oven_run *run)
{
    return bk_format(state->arena, "%s %d", state->plan->kitchen.equipment[run->equipment].name,
                     run->number);
}

static bool run_is_real(bk_verify_state *state, size_t index)
{
    const bk_oven_run *run = &state->timeline->ovens[index];
    const bk_kitchen *kitchen = &state->plan->kitchen;
    if (run->equipment < kitchen->equipment_count &&
        kitchen->equipment[run->equipment].kind == BK_OVEN && run->number >= 1 &&
        run->number <= kitchen->equipment[run->equipment].count)
        return true;
    bk_verify_breach(state, 0, SIZE_MAX, "Oven run %zu is of no oven in the kitchen.", index + 1);
    return false;
}

/* Of a day under way: was it on before now, by what is known? */
static bool on_already(const bk_verify_state *state, const bk_oven_run *run)
{
    const bk_plan *plan = state->plan;
    if (plan->under_way && !run->from_cold)
        return true; /* turned over when what was in it came out */
    for (size_t h = 0; plan->under_way && h < plan->hot_count; h++)
        if (plan->hot[h].equipment == run->equipment && plan->hot[h].number == run->number)
            return true;
    for (size_t s = 0; plan->under_way && s < plan->stage_count; s++)
        if (plan->stages[s].progress != BK_NOT_BEGUN && bk_is_heated(&plan->stages[s]) &&
            plan->stages[s].oven.equipment == run->equipment &&
            state->placed[s]->oven_number == run->number && state->placed[s]->start >= run->ready &&
            state->placed[s]->start < run->off)
            return true;
    return false;
}

/* Of a day under way: is there anything in it that is to come? What was, was as it was. */
static bool is_to_come(const bk_verify_state *state, const bk_oven_run *run)
{
    const bk_plan *plan = state->plan;
    for (size_t s = 0; s < plan->stage_count; s++)
        if (plan->stages[s].progress == BK_NOT_BEGUN && bk_is_heated(&plan->stages[s]) &&
            plan->stages[s].oven.equipment == run->equipment &&
            state->placed[s]->oven_number == run->number && state->placed[s]->start < run->off &&
            run->on < state->placed[s]->end)
            return true;
    return !plan->under_way;
}

static void verify_run(bk_verify_state *state, size_t index)
{
    const bk_oven_run *run = &state->timeline->ovens[index];
    if (!is_to_come(state, run))
        return;
    const bk_oven_run *before = index > 0 ? run - 1 : NULL;
    const bk_equipment *oven = &state->plan->kitchen.equipment[run->equipment];
    int64_t preheat = oven->preheat;
    if (oven->warms > 0) /* from 20 °C */
        preheat = (int64_t)ceil(fmax(0, run->temperature_c - 20) / oven->warms - 1e-9);
    if (run->on > run->ready || run->ready > run->off)
        bk_verify_breach(state, 0, SIZE_MAX, "%s is on from %s, ready from %s and off from %s.",
                         run_name(state, run), bk_verify_when(state, run->on),
                         bk_verify_when(state, run->ready), bk_verify_when(state, run->off));
    if (run->on < state->plan->earliest && !on_already(state, run))
        bk_verify_breach(state, 0, SIZE_MAX, "%s is on from %s; nothing may start before %s.",
                         run_name(state, run), bk_verify_when(state, run->on),
                         bk_verify_when(state, state->plan->earliest));
    if (run->from_cold && run->ready - run->on < preheat && !on_already(state, run))
        bk_verify_breach(state, 0, SIZE_MAX,
                         "%s is on from %s and needs %lld min to heat up; %s is too soon.",
                         run_name(state, run), bk_verify_when(state, run->on), (long long)preheat,
                         bk_verify_when(state, run->ready));
    if (before && (before->equipment > run->equipment ||
                   (before->equipment == run->equipment && before->number > run->number) ||
                   (same_oven(before, run) && before->on > run->on)))
        bk_verify_breach(state, 0, SIZE_MAX, "The run of %s from %s on is out of order.",
                         run_name(state, run), bk_verify_when(state, run->on));
    if (before && same_oven(before, run) && run->on < before->off)
        bk_verify_breach(state, 0, SIZE_MAX, "%s is on from %s, and still on until %s.",
                         run_name(state, run), bk_verify_when(state, run->on),
                         bk_verify_when(state, before->off));
    if (!run->from_cold && (!before || !same_oven(before, run) || before->off != run->on))
        bk_verify_breach(state, 0, SIZE_MAX, "%s is turned over on %s and was not on before.",
                         run_name(state, run), bk_verify_when(state, run->on));
}

static bool accepts(const bk_stage *stage, double temperature)
{
    return temperature >= stage->oven.at.low - SAME_TEMPERATURE &&
           temperature <= stage->oven.at.high + SAME_TEMPERATURE;
}

/* Is the oven at a temperature that the stage accepts for all of it? While it is
 * turned over between two accepted temperatures it is at accepted ones. */
static void verify_cover(bk_verify_state *state, size_t s)
{
    const bk_timeline *timeline = state->timeline;
    const bk_stage *stage = &state->plan->stages[s];
    const bk_placed *placed = state->placed[s];
    if (!bk_is_heated(stage) || placed->end <= placed->start || stage->progress != BK_NOT_BEGUN)
        return;
    bk_instant covered = placed->start;
    bool at_said_temperature = false;
    for (size_t r = 0; r < timeline->oven_count && covered < placed->end; r++) {
        const bk_oven_run *run = &timeline->ovens[r];
        if (run->equipment != stage->oven.equipment || run->number != placed->oven_number ||
            !accepts(stage, run->temperature_c))
            continue;
        bool turned = !run->from_cold && r > 0 && accepts(stage, (run - 1)->temperature_c);
        bk_instant from = turned ? run->on : run->ready;
        if (from > covered || run->off <= covered)
            continue;
        double apart = run->temperature_c - placed->temperature_c;
        at_said_temperature =
            at_said_temperature || (apart < SAME_TEMPERATURE && apart > -SAME_TEMPERATURE);
        covered = run->off;
    }
    if (covered < placed->end)
        bk_verify_breach(
            state, 0, s,
            "%s is in %s %d from %s to %s, and on %s it is not on at a temperature for it.",
            bk_verify_name(state, s), state->plan->kitchen.equipment[stage->oven.equipment].name,
            placed->oven_number, bk_verify_when(state, placed->start),
            bk_verify_when(state, placed->end), bk_verify_when(state, covered));
    else if (!at_said_temperature)
        bk_verify_breach(state, 0, s,
                         "%s is given an oven of %g °C, and its oven is never at that.",
                         bk_verify_name(state, s), placed->temperature_c);
}

/* Could a dial show it: a whole ten (in Fahrenheit a multiple of 25)? */
static bool is_round(const bk_equipment *oven, double celsius)
{
    double number = celsius - (oven->fan ? 20 : 0), step = 10;
    if (oven->fahrenheit) {
        number = number * 9 / 5 + 32;
        step = 25;
    }
    double over = fmod(number + 1e-7, step);
    return over < 2e-7 || over > step - 2e-7;
}

/* The temperature of a run is one that the plan wrote, or a round one wherever all that
 * is in it at that temperature accepts a round one. */
static void verify_dial(bk_verify_state *state, const bk_oven_run *run)
{
    const bk_plan *plan = state->plan;
    const bk_equipment *oven = &plan->kitchen.equipment[run->equipment];
    double low = -1000, high = 1000;
    bool planned = false;
    if (is_round(oven, run->temperature_c))
        return;
    for (size_t s = 0; s < plan->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        const bk_placed *placed = state->placed[s];
        if (!bk_is_heated(stage) || stage->oven.equipment != run->equipment ||
            placed->oven_number != run->number || placed->end <= run->on ||
            placed->start >= run->off || !accepts(stage, run->temperature_c))
            continue;
        planned = planned || stage->progress == BK_NOT_BEGUN;
        if (stage->oven.at.exact && fabs(stage->oven.at.nominal - run->temperature_c) < 1e-6)
            return;
        low = fmax(low, stage->oven.at.low);
        high = fmin(high, stage->oven.at.high);
    }
    if (plan->under_way && !planned)
        return; /* it was as it was */
    for (double celsius = floor(low); celsius <= high; celsius += 1.0 / 9)
        if (celsius >= low - 1e-6 && is_round(oven, celsius)) {
            bk_verify_breach(state, 0, SIZE_MAX, "%s is set to %g °C where %g °C would do.",
                             run_name(state, run), run->temperature_c, celsius);
            return;
        }
}

/* While a stage stands in a switched-off oven, no run of that oven is on. */
static void verify_off(bk_verify_state *state, size_t s)
{
    const bk_stage *stage = &state->plan->stages[s];
    const bk_placed *placed = state->placed[s];
    bool planned = stage->oven_off && stage->progress == BK_NOT_BEGUN;
    for (size_t r = 0; planned && r < state->timeline->oven_count; r++) {
        const bk_oven_run *run = &state->timeline->ovens[r];
        if (run->equipment == stage->oven.equipment && run->number == placed->oven_number &&
            run->on < placed->end && placed->start < run->off)
            bk_verify_breach(state, 0, s, "%s is in a switched-off oven, and %s is on from %s.",
                             bk_verify_name(state, s), run_name(state, run),
                             bk_verify_when(state, run->on));
    }
}

void bk_verify_runs(bk_verify_state *state)
{
    bool real = true;
    for (size_t r = 0; r < state->timeline->oven_count; r++)
        real = run_is_real(state, r) && real;
    if (!real)
        return;
    for (size_t r = 0; r < state->timeline->oven_count; r++) {
        verify_run(state, r);
        verify_dial(state, &state->timeline->ovens[r]);
    }
    for (size_t s = 0; s < state->plan->stage_count; s++) {
        verify_cover(state, s);
        verify_off(state, s);
    }
}

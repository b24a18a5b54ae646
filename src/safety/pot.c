/* A pot whose size the plan tells, put in the cold while it is hot: what its middle does, by
 * conduction, where the plan does not compute it. */
#include "heat/heat.h"
#include "safety/judge.h"
#include "safety/said.h"

#include <math.h>

/* A pot is taken for twice as wide as its food is deep, and for as hot as a pot off the boil
 * is (common practice, no source); below the least of litres it is small. */
static const double least_litres = 2.0, wide_by_deep = 2.0, hot_c = 90.0;

/* Off the heat for longer than this it is no hot pot (minutes; common practice, no source). */
enum { STAYS_HOT = 4 * 60 };

/* Each takes a hundredth of a second and more. */
enum { MOST_POTS = 60 };

static bool is_divided(const char *text)
{
    static const char *const words[] = {
        "bath",     "boxes", "containers", "divide", "glasses", "ice",  "iced",  "jars", "moulds",
        "portions", "pots",  "shallow",    "small",  "spread",  "tray", "trays", "tubs", NULL};
    return bk_has_any(text, words);
}

/* Litres that the dish is cooked in: by its name and its steps; by its ingredients, where a
 * step speaks of a pot. */
static double find_litres(const bk_judge *judge, const bk_dish *dish)
{
    static const char *const pots[] = {"casserole", "pan", "pot", "saucepan", "stockpot", NULL};
    double most = bk_said_litres(dish->name);
    bool pot = false;
    for (size_t i = 0; i < dish->stage_count; i++) {
        const char *text = judge->plan->stages[dish->first_stage + i].text;
        if (is_divided(text))
            return 0.0;
        pot = pot || bk_has_any(text, pots);
        most = fmax(most, bk_said_litres(text));
    }
    for (size_t i = 0; pot && i < dish->ingredient_count; i++)
        most = fmax(most, fmax(bk_said_litres(dish->ingredients[i].item),
                               bk_said_litres(dish->ingredients[i].amount)));
    return most;
}

static double litres_of(const bk_judge *judge, size_t d)
{
    if (!(fabs(judge->litres[d]) > 0.0)) {
        double litres = find_litres(judge, &judge->plan->dishes[d]);
        judge->litres[d] = litres > 0.0 ? litres : -1.0;
    }
    return judge->litres[d];
}

static bool is_thin(const bk_judge *judge, const bk_dish *dish)
{
    static const char *const words[] = {"broth", "consomme", "soup", "stock", NULL};
    bool thin = bk_has_any(dish->name, words);
    for (size_t i = 0; i < dish->stage_count; i++)
        thin = thin || bk_has_any(judge->plan->stages[dish->first_stage + i].text, words);
    return thin;
}

/* When the food of a stage was last heated; INT64_MIN where that is not known or long ago. */
static bk_instant heated_before(const bk_judge *judge, size_t n)
{
    const bk_stage *stage = &judge->plan->stages[n];
    bk_instant start = judge->standings.stage[n].start, last = INT64_MIN;
    for (size_t k = 0; k < stage->link_count; k++) {
        const bk_standing *from = &judge->standings.stage[stage->links[k].stage];
        if (bk_hands_on_food(judge->plan, n, &stage->links[k]) && from->at_risk &&
            !judge->clock[stage->links[k].stage].runs && from->hot_end > last)
            last = from->hot_end;
    }
    return last != INT64_MIN && start - last <= STAYS_HOT ? last : INT64_MIN;
}

/* Minutes from the heat until the middle is at `celsius`; INFINITY: never. */
static double minutes_to(const bk_judge *judge, const bk_heat_question *q, double celsius)
{
    return bk_heat_seconds_to(judge->arena, q, bk_judge_end(judge), celsius) / 60.0;
}

void bk_judge_pot(bk_judge *judge, size_t n)
{
    const bk_standing *at = &judge->standings.stage[n];
    const bk_stage *stage = &judge->plan->stages[n];
    const bk_safety_rules *rules = &judge->rules;
    if (at->place != BK_STANDS_COLD || at->cold == SIZE_MAX || stage->cooling)
        return;
    const bk_dish *dish = &judge->plan->dishes[stage->dish];
    const bk_equipment *cold = &judge->plan->kitchen.equipment[at->cold];
    bk_instant off = heated_before(judge, n);
    double litres = litres_of(judge, stage->dish);
    if (off == INT64_MIN || litres < least_litres || judge->pots++ >= MOST_POTS)
        return;
    const bk_food *food = bk_food_find(is_thin(judge, dish) ? "soup" : "stew");
    double pi = acos(-1.0);
    double wide = cbrt(4.0 * wide_by_deep * litres / 1000.0 / pi);
    bk_heat_leg bench = {(double)(at->start - off), judge->plan->kitchen.room_c, BK_HEAT_ROOM};
    bk_heat_question q = {.shape = BK_HEAT_ROUND,
                          .across = wide,
                          .deep = wide / wide_by_deep,
                          .composition = food->composition,
                          .from_c = hot_c,
                          .to_c = rules->cooling_middle_c,
                          .air_c = cold->at_c,
                          .place = bk_heat_place_of(false, cold->at_c, cold->air_fan),
                          .tin = BK_HEAT_TIN_METAL,
                          .liquid = bk_food_liquid(food->name),
                          .legs = at->start > off ? &bench : NULL,
                          .leg_count = at->start > off};
    double hot = minutes_to(judge, &q, rules->hot.value);
    double middle = minutes_to(judge, &q, rules->cooling_middle_c) - hot;
    double whole = minutes_to(judge, &q, rules->cold.value) - hot;
    bool first = !(middle <= rules->cooling_first.value);
    const bk_limit *limit = first ? &rules->cooling_first : &rules->cooling_whole;
    if ((!first && whole <= limit->value) || !bk_may_say(judge, stage->dish, BK_WARNED_COOLING))
        return;
    const char *all_cold = isfinite(whole)
                               ? bk_format(judge->arena, "and at %.3g C after %s",
                                           rules->cold.value, bk_judge_span(judge, ceil(whole)))
                               : bk_format(judge->arena, "and never at %.3g C", rules->cold.value);
    bk_warning_about(
        judge->report, (bk_about){BK_FOOD_SAFETY, n}, "safety-cooling", stage->place,
        bk_format(judge->arena,
                  "divide it into shallow dishes or stand it in iced water, and compute it with "
                  "\"cooling\"; %s",
                  bk_follow_local()),
        "%s, at %s: the middle of %.3g litres in one pot, twice as wide as deep and at %.3g C off "
        "the heat, is at %.3g C only %s after it passes %.3g C, %s; the limit is %s (%s)",
        bk_judge_stage(judge, n), bk_judge_hour(judge, at->start), litres, hot_c,
        rules->cooling_middle_c, bk_judge_span(judge, ceil(middle)), rules->hot.value, all_cold,
        bk_judge_span(judge, limit->value), limit->source);
}

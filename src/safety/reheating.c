/* What was cooked and chilled, and is heated again: hot enough by what its step says. */
#include "safety/judge.h"
#include "safety/said.h"

#include <math.h>

/* Words of a step that stops far below any limit (common practice, no source). */
static bool is_lukewarm(const char *text)
{
    static const char *const words[] = {"barely warm",   "blood heat",  "blood warm",
                                        "blood-warm",    "blood-heat",  "body temperature",
                                        "hand-warm",     "hand warm",   "slightly warm",
                                        "warm slightly", "hand hot",    "hand-hot",
                                        "just warm",     "luke warm",   "lukewarm",
                                        "tepid",         "not too hot", NULL};
    /* what is warmed to be poured over the rest or stirred into it, and what was hot before */
    static const char *const beside[] = {"boil",  "butter", "chocolate", "gelatin", "gelatine",
                                         "glaze", "icing",  "jelly",     "melt",    "simmer",
                                         "syrup", "water",  NULL};
    return bk_has_any(text, words) && !bk_has_any(text, beside);
}

/* Cooked before the plan begins, by the words of the dish. */
static bool is_leftover(const bk_dish *dish, const char *text)
{
    static const char *const words[] = {"left over", "left-over",   "leftover",
                                        "leftovers", "yesterday's", NULL};
    bool left = bk_has_any(dish->name, words) || bk_has_any(text, words);
    for (size_t i = 0; i < dish->ingredient_count; i++)
        left = left || bk_has_any(dish->ingredients[i].item, words);
    return left;
}

/* Out of the cold since it was last hot. */
static bool comes_cold(const bk_judge *judge, size_t n)
{
    const bk_stage *stage = &judge->plan->stages[n];
    const bk_standing *at = &judge->standings.stage[n];
    bool heated = false;
    for (size_t k = 0; k < stage->link_count; k++) {
        const bk_standing *from = &judge->standings.stage[stage->links[k].stage];
        heated = heated || from->cooked;
        if (!bk_hands_on_food(judge->plan, n, &stage->links[k]) || !from->cooked || !from->at_risk)
            continue;
        bk_instant start = judge->standings.stage[n].start;
        if (from->chilled ||
            (from->end < start && bk_held_cold(&judge->standings, stage->dish, from->end, start)))
            return true;
    }
    return !heated && bk_may_spoil(at->food.kinds) &&
           is_leftover(&judge->plan->dishes[stage->dish], stage->text);
}

void bk_judge_reheating(bk_judge *judge, size_t n)
{
    const bk_stage *stage = &judge->plan->stages[n];
    const bk_limit *limit = &judge->rules.reheating;
    bool hot = judge->standings.stage[n].place == BK_STANDS_HOT;
    double said = hot ? bk_said_celsius(stage->text) : NAN;
    double oven = bk_is_heated(stage) ? stage->oven.at.nominal : INFINITY;
    bool too_little = isnan(said) ? is_lukewarm(stage->text) : said < limit->value - 0.5;
    if ((!too_little && oven >= limit->value) || !comes_cold(judge, n) ||
        !bk_may_say(judge, stage->dish, BK_WARNED_REHEATING))
        return;
    const char *to = !isnan(said) && too_little ? bk_format(judge->arena, "to %.3g C", said)
                     : too_little               ? "lukewarm"
                                  : bk_format(judge->arena, "in an oven at %.3g C", oven);
    bk_warning_about(
        judge->report, (bk_about){BK_FOOD_SAFETY, n}, "safety-reheating", stage->place,
        bk_format(judge->arena, "heat it through, or serve it cold; %s", bk_follow_local()),
        "%s, at %s: cooked food from the fridge is warmed %s; what is heated again is brought to "
        "%.3g C all through (%s)",
        bk_judge_stage(judge, n), bk_judge_hour(judge, judge->standings.stage[n].start), to,
        limit->value, limit->source);
}

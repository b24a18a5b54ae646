/* The limits of food-safety rules, each with its source. */
#include "safety/safety.h"

#include <math.h>

/* Section numbers are those of the FDA Food Code, read in state adoptions of it;
 * UK figures from the food hygiene regulations and the Food Standards Agency's
 * advice. They bind businesses; for a home kitchen they are a yardstick. */
static const bk_safety_rules us = {
    .hot = {57.0, "FDA Food Code 3-501.16"},
    .cold = {5.0, "FDA Food Code 3-501.16"},
    .cooling_first = {120.0, "FDA Food Code 3-501.14(A)"},
    .cooling_middle_c = 21.0,
    .cooling_whole = {360.0, "FDA Food Code 3-501.14(A)"},
    .ambient = {240.0, "FDA Food Code 3-501.14(B)"},
    .room = {120.0, "USDA 2-hour rule"},
    .storage = {7.0, "FDA Food Code 3-501.17"},
    .thawing = {5.0, "FDA Food Code 3-501.13"},
};

/* No UK rule gives times for cooling in steps: advice is to have cooked food cool
 * and in the fridge within one to two hours. The long limits are the US ones. */
static const bk_safety_rules uk = {
    .hot = {63.0, "Food Safety and Hygiene (England) Regulations 2013, Sch. 4"},
    .cold = {8.0, "Food Safety and Hygiene (England) Regulations 2013, Sch. 4; FSA advice is 5 C"},
    .cooling_first = {120.0, "FSA advice: cool and in the fridge within 1-2 h"},
    .cooling_middle_c = 21.0,
    .cooling_whole = {360.0, "FDA Food Code 3-501.14(A), in the absence of a UK figure"},
    .ambient = {240.0, "FDA Food Code 3-501.14(B), in the absence of a UK figure"},
    .room = {120.0, "FSA advice: in the fridge within 1-2 h"},
    .storage = {3.0, "FSA advice: leftovers within two days"},
    .thawing = {5.0, "FSA advice: thaw in the fridge"},
};

static bk_limit lower(bk_limit a, bk_limit b)
{
    return b.value < a.value ? b : a;
}

static bk_limit higher(bk_limit a, bk_limit b)
{
    return b.value > a.value ? b : a;
}

bk_safety_rules bk_safety_rules_of(enum bk_rules region, bool strictest)
{
    if (!strictest)
        return region == BK_RULES_UK ? uk : us;
    return (bk_safety_rules){
        .hot = higher(us.hot, uk.hot),
        .cold = lower(us.cold, uk.cold),
        .cooling_first = lower(us.cooling_first, uk.cooling_first),
        .cooling_middle_c = us.cooling_middle_c,
        .cooling_whole = lower(us.cooling_whole, uk.cooling_whole),
        .ambient = lower(us.ambient, uk.ambient),
        .room = lower(us.room, uk.room),
        .storage = lower(us.storage, uk.storage),
        .thawing = lower(us.thawing, uk.thawing),
    };
}

static bool same(double celsius, double limit)
{
    return fabs(celsius - limit) <= 0.3; /* 41, 46, 70, 135 and 145 F are these */
}

const char *bk_safety_limit(bk_arena *arena, double celsius)
{
    const double hour = 60.0;
    if (same(celsius, us.cold.value))
        return bk_format(arena,
                         "%g C is a food-safety limit: cold food is kept at or below it (%s), and "
                         "cooked food is to be there within %g h of %g C (%s)",
                         us.cold.value, us.cold.source, us.cooling_whole.value / hour, us.hot.value,
                         us.cooling_whole.source);
    if (same(celsius, us.cooling_middle_c))
        return bk_format(arena,
                         "%g C is a food-safety limit: cooked food is to be there within %g h of "
                         "%g C (%s)",
                         us.cooling_middle_c, us.cooling_first.value / hour, us.hot.value,
                         us.cooling_first.source);
    if (same(celsius, uk.cold.value))
        return bk_format(arena,
                         "%g C is a food-safety limit: cold food is kept at or below it (%s)",
                         uk.cold.value, uk.cold.source);
    const bk_limit *hot = same(celsius, us.hot.value)   ? &us.hot
                          : same(celsius, uk.hot.value) ? &uk.hot
                                                        : NULL;
    if (hot)
        return bk_format(arena, "%g C is a food-safety limit: hot food is kept at or above it (%s)",
                         hot->value, hot->source);
    return NULL;
}

/* The limits of food-safety rules, each with its source. */
#include "safety/safety.h"

#include <math.h>

/* Section numbers are those of the FDA Food Code, read in state adoptions of it;
 * UK figures from the food hygiene regulations and the Food Standards Agency's
 * advice. They bind businesses; for a home kitchen they are a yardstick. "From memory"
 * where the text was not read. */
static const bk_safety_rules us = {
    .hot = {57.0, "FDA Food Code 3-501.16"},
    .cold = {5.0, "FDA Food Code 3-501.16"},
    .cooling_first = {120.0, "FDA Food Code 3-501.14(A)"},
    .cooling_middle_c = 21.0,
    .cooling_whole = {360.0, "FDA Food Code 3-501.14(A)"},
    .ambient = {240.0, "FDA Food Code 3-501.14(B)"},
    .room = {120.0, "USDA 2-hour rule"},
    .hot_room = {60.0, "USDA: 1 hour above 90 F, 32 C"},
    .hot_room_c = 32.0,
    .cold_stay = 30.0, /* common practice, no source */
    .storage = {7.0, "FDA Food Code 3-501.17"},
    .leftovers = {INFINITY, NULL},
    .raw_egg = {1440.0, "Western Australia Department of Health, for want of a US figure"},
    .thawing = {5.0, "FDA Food Code 3-501.13"},
    /* "just before", without a number; two hours are common practice */
    .stuffed = {120.0, "USDA FSIS: a bird is stuffed just before it goes into the oven"},
    .reheating = {74.0, "FDA Food Code 3-403.11, USDA: leftovers"},
    .boiling = {30.0, "FDA Bad Bug Book"},
    .freezing = {10080.0, "FDA Food Code 3-402.11"},
    .freezing_c = -20.0,
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
    .hot_room = {60.0, "USDA: 1 hour above 90 F, 32 C, in the absence of a UK figure"},
    .hot_room_c = 32.0,
    .cold_stay = 30.0,
    .storage = {INFINITY, NULL},
    .leftovers = {2880.0, "FSA advice: leftovers within two days"},
    .raw_egg = {1440.0, "Western Australia Department of Health, in the absence of a UK figure"},
    .thawing = {5.0, "FSA advice: thaw in the fridge"},
    .stuffed = {120.0, "FSA advice: stuff a bird just before it is cooked, from memory"},
    .reheating = {75.0, "FSA advice: steaming hot; in Scotland 82 C, Food Hygiene (Scotland) "
                        "Regulations 2006, Sch. 4"},
    .boiling = {10.0, "FSA advice: boil them hard, from memory"},
    .freezing = {1440.0, "Regulation (EC) 853/2004, annex III, section VIII, from memory"},
    .freezing_c = -20.0,
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
        .hot_room = lower(us.hot_room, uk.hot_room),
        .hot_room_c = us.hot_room_c,
        .cold_stay = us.cold_stay,
        .storage = lower(us.storage, uk.storage),
        .leftovers = lower(us.leftovers, uk.leftovers),
        .raw_egg = lower(us.raw_egg, uk.raw_egg),
        .thawing = lower(us.thawing, uk.thawing),
        .stuffed = lower(us.stuffed, uk.stuffed),
        .reheating = higher(us.reheating, uk.reheating),
        .boiling = higher(us.boiling, uk.boiling),
        .freezing = higher(us.freezing, uk.freezing),
        .freezing_c = us.freezing_c,
    };
}

static bool same(double celsius, double limit)
{
    return fabs(celsius - limit) <= 0.3; /* 41, 46, 70, 135 and 145 F are these */
}

const char *bk_safety_limit(bk_arena *arena, bk_units units, double celsius)
{
    const double hour = 60.0;
    if (same(celsius, us.cold.value))
        return bk_format(arena,
                         "%s is a food-safety limit: cold food is kept at or below it (%s), and "
                         "cooked food is to be there within %g h of %s (%s)",
                         bk_degrees(arena, units, us.cold.value), us.cold.source,
                         us.cooling_whole.value / hour, bk_degrees(arena, units, us.hot.value),
                         us.cooling_whole.source);
    if (same(celsius, us.cooling_middle_c))
        return bk_format(arena,
                         "%s is a food-safety limit: cooked food is to be there within %g h of "
                         "%s (%s)",
                         bk_degrees(arena, units, us.cooling_middle_c),
                         us.cooling_first.value / hour, bk_degrees(arena, units, us.hot.value),
                         us.cooling_first.source);
    if (same(celsius, uk.cold.value))
        return bk_format(arena, "%s is a food-safety limit: cold food is kept at or below it (%s)",
                         bk_degrees(arena, units, uk.cold.value), uk.cold.source);
    const bk_limit *hot = same(celsius, us.hot.value)   ? &us.hot
                          : same(celsius, uk.hot.value) ? &uk.hot
                                                        : NULL;
    if (hot)
        return bk_format(arena, "%s is a food-safety limit: hot food is kept at or above it (%s)",
                         bk_degrees(arena, units, hot->value), hot->source);
    return NULL;
}

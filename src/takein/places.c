/* Where a thing stands: the oven, the fridge, a tin. Common practice, no source. */
#include "takein/parts.h"

static const struct {
    const char *words;
    unsigned where;
} places[] = {
    {" oven ", BK_IN_OVEN},
    {" fridge refrigerator ", BK_IN_FRIDGE},
    {" freezer ", BK_IN_FREEZER},
    {" hob stove stovetop saucepan skillet flame pan pot wok casserole burner ", BK_ON_HOB},
    {" tin tins mould moulds mold molds ramekin ramekins springform terrine dish basin basins "
     "traybake ",
     BK_IN_TIN},
    {" mixer ", BK_IN_MIXER},
    {" blender processor ", BK_IN_BLENDER},
    {" grill broiler ", BK_IN_GRILL},
    {" microwave ", BK_IN_MICROWAVE},
    {" crockpot ", BK_IN_SLOW_COOKER},
    {" cellar larder pantry cupboard doorstep porch shed ", BK_IN_COOL_PLACE},
};

/* "out of the oven", "from the tin", "off the heat": no longer there. */
static bool is_left(const bk_token *t, size_t from, size_t at)
{
    for (size_t back = 1; back <= 4 && at >= from + back; back++) {
        const bk_token *before = &t[at - back];
        if (bk_among(before, " from off ") ||
            (bk_is(before, "of") && at >= from + back + 1 && bk_among(&t[at - back - 1], " out ")))
            return true;
        if (before->kind != BK_TOKEN_WORD || bk_among(before, " in into on onto and to "))
            return false;
    }
    return false;
}

/* "NOT in the fridge", "do not put it in the fridge" */
static bool is_denied(const bk_token *t, size_t from, size_t at)
{
    enum { BACK = 6 };
    for (size_t back = 1; back <= BACK && at >= from + back; back++) {
        const bk_token *before = &t[at - back];
        if (before->kind != BK_TOKEN_WORD)
            return false;
        if (bk_among(before, " not never don't "))
            return true;
    }
    return false;
}

unsigned bk_places_named(const bk_token *t, size_t from, size_t end)
{
    unsigned where = 0;
    for (size_t i = from; i < end; i++) {
        if (is_left(t, from, i) ||
            (bk_among(&t[i], " fridge freezer refrigerator ") && is_denied(t, from, i)))
            continue;
        for (size_t p = 0; p < sizeof places / sizeof *places; p++)
            if (bk_among(&t[i], places[p].words))
                where |= places[p].where;
        bool before = i > from;
        if (bk_is(&t[i], "oven") && before && bk_is(&t[i - 1], "dutch"))
            where = (where & ~(unsigned)BK_IN_OVEN) | BK_ON_HOB; /* a pot */
        if (bk_is(&t[i], "walk") && i + 2 < end && bk_is(&t[i + 1], "-") && bk_is(&t[i + 2], "in"))
            where |= BK_IN_FRIDGE;
        if (bk_is(&t[i], "heat") && before &&
            bk_among(&t[i - 1],
                     " low high medium gentle lowest highest moderate hot fierce brisk "))
            where |= BK_ON_HOB;
        if (bk_is(&t[i], "cooker") && before && bk_among(&t[i - 1], " slow - "))
            where |= BK_IN_SLOW_COOKER;
        if (bk_is(&t[i], "machine") || bk_is(&t[i], "maker"))
            where |= BK_IN_MACHINE;
        if (bk_among(&t[i], " tin tins ") && i + 1 < end && bk_is(&t[i + 1], "foil"))
            where &= ~(unsigned)BK_IN_TIN;
        if (bk_among(&t[i], " dish ") && before && bk_among(&t[i - 1], " serving the big ") &&
            bk_is(&t[i - 1], "serving"))
            where &= ~(unsigned)BK_IN_TIN;
        if (bk_among(&t[i], " cold cool ") && i + 1 < end &&
            bk_among(&t[i + 1], " place room spot "))
            where |= BK_IN_COOL_PLACE;
        if (bk_is(&t[i], "electric") && i + 1 < end &&
            bk_among(&t[i + 1], " whisk beaters beater "))
            where |= BK_IN_MIXER;
        if (bk_among(&t[i], " stick ") && i + 1 < end && bk_is(&t[i + 1], "blender"))
            where |= BK_IN_BLENDER;
    }
    return where;
}

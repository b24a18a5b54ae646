/* A question of cooling from the values of its keys, wherever they come from. */
#include "plan/cooling_keys.h"

#include "quantity/quantity.h"

/* Whether the question has what a needed key would say. */
static bool has(const bk_cooling_values *values, size_t key, const bk_heat_question *q)
{
    switch (key) {
    case BK_COOLING_ACROSS:
        return isfinite(q->across);
    case BK_COOLING_DEEP:
        return q->deep > 0.0;
    case BK_COOLING_FROM:
        return !isnan(q->from_c);
    case BK_COOLING_TO:
        return !isnan(q->to_c);
    default:
        return values->whole;
    }
}

static bool collect_stuff(const bk_cooling_values *values, size_t key, bk_heat_question *q,
                          bk_cooling *cooling)
{
    const bk_food *food = NULL;
    if (key == BK_COOLING_ONTO) {
        bool good = values->stuff(values->from, key, &q->below.composition, &food);
        cooling->below = food ? food->name : NULL;
        return good;
    }
    q->has_material = false;
    bool good = values->stuff(values->from, key, &q->composition, &food);
    cooling->food = food ? food->name : NULL;
    q->liquid = food ? bk_food_liquid(food->name) : BK_HEAT_SOLID;
    return good;
}

/* The value of one key, which may have to be there. */
static bool collect(const bk_cooling_values *values, size_t key, bool needed, bk_heat_question *q,
                    bk_cooling *cooling)
{
    const void *from = values->from;
    double value = 0.0;
    int word = 0;
    if (!values->given(from, key))
        return !needed || values->lacking(from, key);
    bool good = false;
    switch (bk_cooling_keys[key].kind) {
    case BK_COOLING_STUFF:
        return collect_stuff(values, key, q, cooling);
    case BK_COOLING_LENGTH:
        good = values->length(from, key, &value);
        break;
    case BK_COOLING_TEMPERATURE:
        good = values->temperature(from, key, &value);
        break;
    case BK_COOLING_WORD:
        good = values->word(from, key, &word);
        value = word;
        break;
    }
    if (good && key == BK_COOLING_MELTS)
        cooling->melts_c = value;
    else if (good)
        bk_cooling_put(q, key, value);
    return good;
}

/* What comes of it is worded in the units that it was written in. */
static void collect_units(const bk_cooling_values *values, bk_units *units)
{
    const char *to = values->text(values->from, BK_COOLING_TO);
    const char *size = values->text(values->from, BK_COOLING_DEEP);
    size = size ? size : values->text(values->from, BK_COOLING_ACROSS);
    if (to)
        units->fahrenheit = bk_is_fahrenheit(to);
    if (size)
        units->inches = bk_is_inches(size);
}

/* What it is poured onto. */
static bool collect_below(const bk_cooling_values *values, bk_heat_question *q, bk_cooling *cooling)
{
    bool before = values->whole && q->below.deep > 0.0, there = false;
    if (!values->poured(values->from, before, &there))
        return false;
    bool good = true;
    for (size_t key = BK_COOLING_ONTO; there && key <= BK_COOLING_MELTS; key++)
        good &= collect(values, key, !before && bk_cooling_needs(key, q->shape), q, cooling);
    return good;
}

bool bk_cooling_collect(const bk_cooling_values *values, bk_heat_question *q, bk_cooling *cooling)
{
    collect_units(values, &q->units);
    /* Which sizes are needed hangs on the shape. */
    bool shaped = collect(values, BK_COOLING_SHAPE, !values->whole, q, cooling), good = shaped;
    for (size_t key = BK_COOLING_SHAPE + 1; key < BK_COOLING_ONTO; key++) {
        bool of_size = key == BK_COOLING_ACROSS || key == BK_COOLING_DEEP;
        bool needed = bk_cooling_needs(key, q->shape) && !has(values, key, q);
        good &= collect(values, key, needed && (shaped || !of_size), q, cooling);
    }
    good &= collect_below(values, q, cooling);
    return good;
}

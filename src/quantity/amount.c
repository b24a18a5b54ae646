/* Amounts of ingredients, multiplied: read from a cook's text and written back the way a
 * cook writes them. */
#include "quantity/quantity.h"

#include <math.h>
#include <string.h>

/* "2", "1.5", "1/2", "1 1/2"; NULL when there is no number. */
static const char *read_number(const char *at, double *value)
{
    int64_t millionths = 0;
    const char *next = bk_read_number(at, &millionths);
    *value = (double)millionths / BK_MILLION;
    return next;
}

/* The nearest whole number; a half, which thirds of a millionth may lack, goes up. */
static double nearest(double value)
{
    return floor(value + 0.5 + 1e-5);
}

enum manner { WEIGHED, LARGE, SPOONED, COUNTED };

/* How the unit behind a number is measured. */
static enum manner manner_of(const char *at)
{
    static const struct {
        const char *unit;
        enum manner manner;
    } units[] = {{"g", WEIGHED},          {"ml", WEIGHED},
                 {"gram", WEIGHED},       {"grams", WEIGHED},
                 {"kg", LARGE},           {"l", LARGE},
                 {"litre", LARGE},        {"litres", LARGE},
                 {"cl", LARGE},           {"dl", LARGE},
                 {"oz", LARGE},           {"lb", LARGE},
                 {"tsp", SPOONED},        {"tbsp", SPOONED},
                 {"cup", SPOONED},        {"cups", SPOONED},
                 {"teaspoon", SPOONED},   {"teaspoons", SPOONED},
                 {"tablespoon", SPOONED}, {"tablespoons", SPOONED},
                 {"pinch", SPOONED}};
    char word[16];
    const char *next = bk_read_word(bk_skip_blanks(at), word, sizeof word);
    for (size_t i = 0; next && i < sizeof units / sizeof *units; i++)
        if (strcmp(word, units[i].unit) == 0)
            return units[i].manner;
    return COUNTED;
}

static void put_quarters(bk_text *out, double value)
{
    static const char *const parts[] = {"", "1/4", "1/2", "3/4"};
    int64_t quarters = (int64_t)nearest(value * 4);
    quarters = quarters == 0 ? 1 : quarters;
    if (quarters >= 4)
        bk_text_addf(out, "%lld%s", (long long)(quarters / 4), quarters % 4 > 0 ? " " : "");
    bk_text_add(out, parts[quarters % 4]);
}

static void put_number(bk_text *out, double value, enum manner manner)
{
    double step = 1.0;
    switch (manner) {
    case SPOONED:
        put_quarters(out, value);
        return;
    case WEIGHED:
        step = value >= 200 ? 5.0 : value >= 10 ? 1.0 : 0.5;
        break;
    case LARGE:
        step = value >= 10 ? 0.1 : 0.05;
        break;
    case COUNTED:
        break;
    }
    double rounded = nearest(value / step) * step;
    bk_text_addf(out, "%.10g", rounded < step ? step : rounded);
}

/* Things: whole ones, upwards from what a knife cannot part, and what the sum says. */
static void put_count(bk_text *out, double value)
{
    double whole = nearest(value);
    if (fabs(value - whole) < 0.01) {
        bk_text_addf(out, "%.0f", whole);
        return;
    }
    bk_text_addf(out, "%.0f (%.2g by the sum)", ceil(value - 0.2 < 1 ? 1 : value - 0.2), value);
}

const char *bk_amount_times(bk_arena *arena, const char *text, double factor)
{
    const char *at = bk_skip_blanks(text);
    double first = 0, second = 0;
    const char *behind = read_number(at, &first);
    if (!behind)
        return text;
    const char *dash = bk_skip_dash(bk_skip_blanks(behind));
    const char *end = dash ? read_number(bk_skip_blanks(dash), &second) : NULL;
    const char *unit = end ? end : behind;
    enum manner manner = manner_of(unit);
    bk_text out = bk_text_new(arena);
    if (manner == COUNTED && !end) {
        put_count(&out, first * factor);
    } else {
        put_number(&out, first * factor, manner);
        if (end) {
            bk_text_add(&out, "-");
            put_number(&out, second * factor, manner);
        }
    }
    bk_text_add(&out, unit);
    return out.data;
}

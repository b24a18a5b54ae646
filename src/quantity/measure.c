/* Temperatures and lengths: text to degrees Celsius and metres. */
#include "quantity/quantity.h"

#include <string.h>

/* One oven temperature accepts this much either side (the plan format). */
static const double OVEN_TOLERANCE = 4.0;

static const char *const OVEN_MEND =
    "write it as \"180 C\", \"350 F\", \"gas 4\", \"170-190 C\" or \"160 C fan\"";

/* Gas marks in degrees Celsius (common practice, no source). */
static bool gas_celsius(int64_t millionths, double *celsius)
{
    static const double marks[] = {140, 150, 160, 180, 190, 200, 220, 230, 240};
    if (millionths == BK_MILLION / 4)
        *celsius = 110;
    else if (millionths == BK_MILLION / 2)
        *celsius = 130;
    else if (millionths % BK_MILLION == 0 && millionths >= BK_MILLION &&
             millionths <= 9 * (int64_t)BK_MILLION)
        *celsius = marks[millionths / BK_MILLION - 1];
    else
        return false;
    return true;
}

static const char *read_gas_mark(const char *at, double *celsius)
{
    int64_t millionths = 0;
    const char *next = bk_read_number(at, &millionths);
    return next && gas_celsius(millionths, celsius) ? next : NULL;
}

/* The letter of a temperature, with or without the degree sign; '\0' is none. */
static const char *read_scale(const char *at, char *scale)
{
    at = bk_skip_blanks(at);
    const char *next = bk_skip_text(at, "\u00B0");
    if (!next)
        next = bk_skip_text(at, "\u00BA"); /* the ordinal sign that looks the same */
    if (next)
        at = bk_skip_blanks(next);
    if (*at == 'C' || *at == 'c' || *at == 'F' || *at == 'f') {
        *scale = (char)(*at == 'c' || *at == 'C' ? 'C' : 'F');
        return at + 1;
    }
    *scale = '\0';
    return next ? NULL : at;
}

static double to_celsius(double value, char scale)
{
    return scale == 'F' ? (value - 32.0) / 1.8 : value;
}

static bool at_end(const char *at)
{
    return *bk_skip_blanks(at) == '\0';
}

static bool set_oven(double low, double high, bool range, bk_temperature *temperature,
                     const char **mend)
{
    if (low > high) {
        *mend = "the range is empty: write the lower temperature first";
        return false;
    }
    if (low < 20.0 || high > 550.0) {
        *mend = "an oven is between 20 and 550 C";
        return false;
    }
    double tolerance = range ? 0.0 : OVEN_TOLERANCE;
    temperature->nominal = (low + high) / 2.0;
    temperature->low = low - tolerance;
    temperature->high = high + tolerance;
    temperature->exact = !range || low == high;
    return true;
}

/* Behind "gas": "4", "1/2", "4-5". */
static bool read_gas(const char *at, bk_temperature *temperature, const char **mend)
{
    double low = 0.0, high = 0.0;
    *mend = "gas marks are 1/4, 1/2 and 1 to 9";
    at = bk_skip_blanks(at);
    const char *next = bk_skip_text(at, "mark");
    at = read_gas_mark(next ? bk_skip_blanks(next) : at, &low);
    if (!at)
        return false;
    at = bk_skip_blanks(at);
    next = bk_skip_dash(at);
    if (next) {
        at = read_gas_mark(bk_skip_blanks(next), &high);
        if (!at)
            return false;
    } else {
        high = low;
    }
    if (!at_end(at))
        return false;
    return set_oven(low, high, next, temperature, mend);
}

bool bk_read_oven_temperature(const char *text, bk_temperature *temperature, const char **mend)
{
    *mend = OVEN_MEND;
    const char *at = bk_skip_blanks(text), *gas = bk_skip_text(at, "gas");
    if (!gas)
        gas = bk_skip_text(at, "Gas");
    if (gas)
        return read_gas(gas, temperature, mend);
    int64_t first = 0, second = 0;
    char first_scale = '\0', scale = '\0';
    at = bk_read_millionths(at, &first);
    at = at ? read_scale(at, &first_scale) : NULL;
    if (!at)
        return false;
    const char *dash = bk_skip_dash(bk_skip_blanks(at));
    if (dash) {
        at = bk_read_millionths(bk_skip_blanks(dash), &second);
        at = at ? read_scale(at, &scale) : NULL;
        if (!at)
            return false;
        first_scale = first_scale == '\0' ? scale : first_scale;
    } else {
        second = first;
        scale = first_scale;
    }
    if (scale == '\0') {
        *mend = "add the unit: C, F or a gas mark";
        return false;
    }
    at = bk_skip_blanks(at);
    const char *fan = bk_skip_text(at, "fan");
    double more = fan ? BK_FAN_DIFFERENCE : 0.0;
    if (!at_end(fan ? fan : at))
        return false;
    temperature->fahrenheit = scale == 'F' && first_scale == 'F';
    return set_oven(to_celsius((double)first / BK_MILLION, first_scale) + more,
                    to_celsius((double)second / BK_MILLION, scale) + more, dash, temperature, mend);
}

bool bk_read_temperature(const char *text, double *celsius, const char **mend)
{
    *mend = "write it as \"4 C\", \"-18 C\" or \"40 F\"";
    const char *at = bk_skip_blanks(text), *minus = bk_skip_text(at, "-");
    if (!minus)
        minus = bk_skip_text(at, "\u2212");
    int64_t millionths = 0;
    char scale = '\0';
    at = bk_read_millionths(minus ? bk_skip_blanks(minus) : at, &millionths);
    at = at ? read_scale(at, &scale) : NULL;
    if (!at || !at_end(at))
        return false;
    if (scale == '\0') {
        *mend = "add the unit: C or F";
        return false;
    }
    double value = (double)millionths / BK_MILLION;
    value = to_celsius(minus ? -value : value, scale);
    if (value < -100.0 || value > 550.0) {
        *mend = "temperatures are between -100 and 550 C";
        return false;
    }
    *celsius = value;
    return true;
}

bool bk_read_heating_rate(const char *text, double *rate, const char **mend)
{
    *mend = "write it as \"12 C/min\" or \"20 F/min\"";
    int64_t millionths = 0;
    char scale = '\0';
    const char *at = bk_read_millionths(bk_skip_blanks(text), &millionths);
    at = at ? read_scale(at, &scale) : NULL;
    at = at && scale != '\0' ? bk_skip_text(bk_skip_blanks(at), "/") : NULL;
    at = at ? bk_skip_text(bk_skip_blanks(at), "min") : NULL;
    if (!at || !at_end(at))
        return false;
    double value = (double)millionths / BK_MILLION / (scale == 'F' ? 1.8 : 1.0);
    if (value < 0.1 || value > 500.0) {
        *mend = "an oven warms and cools by 0.1 to 500 C a minute";
        return false;
    }
    *rate = value;
    return true;
}

bool bk_read_length(const char *text, double *metres, const char **mend)
{
    static const struct {
        const char *word;
        double metres;
    } units[] = {{"mm", 0.001},  {"cm", 0.01},     {"m", 1.0},
                 {"in", 0.0254}, {"inch", 0.0254}, {"inches", 0.0254}};
    *mend = "write a length such as \"20 cm\", \"60 mm\" or \"8 in\"";
    int64_t millionths = 0;
    char word[8];
    const char *at = bk_read_millionths(bk_skip_blanks(text), &millionths);
    at = at ? bk_read_word(bk_skip_blanks(at), word, sizeof word) : NULL;
    if (!at || !at_end(at))
        return false;
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        if (strcmp(word, units[i].word) != 0)
            continue;
        double value = (double)millionths / BK_MILLION * units[i].metres;
        if (value <= 0.0 || value > 10.0) {
            *mend = value <= 0.0 ? "a length must be more than nothing"
                                 : "no length may be more than 10 m";
            return false;
        }
        *metres = value;
        return true;
    }
    return false;
}

/* ------------------------------------------------------------------- written */

bool bk_is_fahrenheit(const char *text)
{
    return strchr(text, 'F') || strchr(text, 'f');
}

bool bk_is_inches(const char *text)
{
    return strstr(text, "in");
}

char *bk_degrees(bk_arena *arena, bk_units units, double celsius)
{
    if (units.fahrenheit) /* limits are whole ones there: 41, 70, 135 */
        return bk_format(arena, "%.0f F", celsius * 1.8 + 32.0);
    return bk_format(arena, "%.3g C", celsius);
}

char *bk_degrees_apart(bk_arena *arena, bk_units units, double celsius)
{
    return units.fahrenheit ? bk_format(arena, "%.3g F", celsius * 1.8)
                            : bk_format(arena, "%.3g C", celsius);
}

char *bk_length(bk_arena *arena, bk_units units, double metres, bool millimetres)
{
    if (units.inches)
        return bk_format(arena, metres < 0.254 ? "%.2g in" : "%.3g in", metres / 0.0254);
    return millimetres ? bk_format(arena, "%.0f mm", 1000.0 * metres)
                       : bk_format(arena, "%.3g cm", 100.0 * metres);
}

#include "safety/said.h"

#include "quantity/quantity.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

/* The next number of a text, as long as it begins a word; moves *at behind it. */
static bool next_number(const char *text, const char **at, double *number)
{
    for (; **at != '\0'; ++*at) {
        int64_t millionths;
        bool begins = *at == text || !isalnum((unsigned char)(*at)[-1]);
        const char *behind = begins ? bk_read_millionths(*at, &millionths) : NULL;
        if (!behind)
            continue;
        *number = (double)millionths / BK_MILLION;
        *at = behind;
        return true;
    }
    return false;
}

static bool is_degree(const char *at)
{
    return (unsigned char)at[0] == 0xc2 && (unsigned char)at[1] == 0xb0;
}

double bk_said_celsius(const char *text)
{
    double hottest = NAN, number;
    for (const char *at = text; at && next_number(text, &at, &number);) {
        const char *unit = bk_skip_blanks(at);
        if (is_degree(unit))
            unit = bk_skip_blanks(unit + 2);
        bool fahrenheit = *unit == 'F' || *unit == 'f';
        if ((!fahrenheit && *unit != 'C' && *unit != 'c') || isalnum((unsigned char)unit[1]))
            continue;
        double celsius = fahrenheit ? (number - 32.0) / 1.8 : number;
        if (!(celsius <= hottest))
            hottest = celsius;
    }
    return hottest;
}

/* Litres, and the gallon and quart of the United States. */
static double litres_in(const char *word)
{
    static const struct {
        const char *word;
        double litres;
    } units[] = {{"l", 1.0},      {"litre", 1.0},    {"litres", 1.0},   {"liter", 1.0},
                 {"liters", 1.0}, {"ltr", 1.0},      {"quart", 0.946},  {"quarts", 0.946},
                 {"qt", 0.946},   {"gallon", 3.785}, {"gallons", 3.785}};
    for (size_t i = 0; i < sizeof units / sizeof *units; i++)
        if (strcmp(units[i].word, word) == 0)
            return units[i].litres;
    return 0.0;
}

double bk_said_litres(const char *text)
{
    double most = 0.0, number;
    for (const char *at = text; at && next_number(text, &at, &number);) {
        char word[12];
        const char *unit = bk_skip_blanks(at);
        if (*unit == '-')
            unit++;
        if (bk_read_word(unit, word, sizeof word))
            most = fmax(most, number * litres_in(word));
    }
    return most;
}

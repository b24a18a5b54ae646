#include "write/words/degrees.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

char *bk_decimal(bk_arena *arena, double value, int decimals)
{
    static const int64_t tens[] = {1, 10, 100, 1000, 10000};
    int64_t scale = tens[decimals], parts = (int64_t)llround(fabs(value) * (double)scale);
    const char *sign = value < 0.0 && parts > 0 ? "-" : "";
    char *text = bk_format(arena, "%s%" PRId64 ".%0*" PRId64, sign, parts / scale,
                           decimals > 0 ? decimals : 1, parts % scale);
    size_t length = strlen(text);
    while (text[length - 1] == '0')
        text[--length] = '\0';
    if (text[length - 1] == '.')
        text[--length] = '\0';
    return text;
}

double bk_on_scale(bk_units units, double celsius)
{
    return units.fahrenheit ? celsius * 1.8 + 32.0 : celsius;
}

char *bk_celsius(bk_arena *arena, bk_units units, double celsius)
{
    return bk_format(arena, "%s °%c", bk_decimal(arena, bk_on_scale(units, celsius), 1),
                     units.fahrenheit ? 'F' : 'C');
}

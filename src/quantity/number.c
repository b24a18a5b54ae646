/* Numbers and words inside a quantity's text. */
#include "quantity/quantity.h"

#include <string.h>

const char *bk_skip_text(const char *at, const char *prefix)
{
    size_t length = strlen(prefix);
    return strncmp(at, prefix, length) == 0 ? at + length : NULL;
}

const char *bk_skip_blanks(const char *at)
{
    static const char *const blanks[] = {" ", "\u00A0", "\u2009", "\u202F"};
    for (size_t i = 0; i < sizeof blanks / sizeof *blanks;) {
        const char *next = bk_skip_text(at, blanks[i]);
        if (next) {
            at = next;
            i = 0;
        } else {
            i++;
        }
    }
    return at;
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

const char *bk_read_millionths(const char *at, int64_t *millionths)
{
    enum { MOST_WHOLE = 9, MOST_DECIMALS = 6 };
    int64_t value = 0;
    int whole = 0, decimals = 0;
    for (; is_digit(*at); at++, whole++) {
        if (whole == MOST_WHOLE)
            return NULL;
        value = value * 10 + (*at - '0');
    }
    if (whole == 0)
        return NULL;
    if (at[0] == '.' && is_digit(at[1])) {
        for (at++; is_digit(*at); at++, decimals++) {
            if (decimals == MOST_DECIMALS)
                return NULL;
            value = value * 10 + (*at - '0');
        }
    }
    for (; decimals < MOST_DECIMALS; decimals++)
        value *= 10;
    *millionths = value;
    return at;
}

const char *bk_read_number(const char *at, int64_t *millionths)
{
    static const struct {
        const char *sign;
        int64_t millionths;
    } fractions[] = {{"\u00BD", 500000}, {"\u00BC", 250000}, {"\u00BE", 750000}, {"\u2153", 333333},
                     {"\u2154", 666666}, {"\u215B", 125000}, {"\u215C", 375000}, {"\u215D", 625000},
                     {"\u215E", 875000}, {"1/2", 500000},    {"1/4", 250000},    {"3/4", 750000},
                     {"1/3", 333333},    {"2/3", 666666},    {"1/8", 125000},    {"3/8", 375000},
                     {"5/8", 625000},    {"7/8", 875000}};
    const char *whole = bk_read_millionths(at, millionths);
    /* "1/2" is no 1 with something behind it */
    const char *rest = whole && *whole != '/' ? bk_skip_blanks(whole) : at;
    if (!whole || *whole == '/')
        *millionths = 0;
    for (size_t i = 0; i < sizeof fractions / sizeof *fractions; i++) {
        const char *after = bk_skip_text(rest, fractions[i].sign);
        if (after && !is_digit(*after) && *after != '/' && *millionths % BK_MILLION == 0) {
            *millionths += fractions[i].millionths;
            return after;
        }
    }
    return whole && *whole != '/' ? whole : NULL;
}

const char *bk_read_word(const char *at, char *word, size_t room)
{
    size_t length = 0;
    for (;; at++) {
        char c = *at;
        if (c >= 'A' && c <= 'Z')
            c = (char)(c - 'A' + 'a');
        if (c < 'a' || c > 'z')
            break;
        if (length + 1 >= room)
            return NULL;
        word[length++] = c;
    }
    word[length] = '\0';
    return at;
}

const char *bk_skip_dash(const char *at)
{
    static const char *const dashes[] = {"-", "\u2013", "to "};
    for (size_t i = 0; i < sizeof dashes / sizeof *dashes; i++) {
        const char *next = bk_skip_text(at, dashes[i]);
        if (next)
            return next;
    }
    return NULL;
}

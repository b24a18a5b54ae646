#include "write/words/wrap.h"

#include <string.h>
#include <unigbrk.h>

/* More than any line has bytes, unless its characters are hung with marks. */
enum { WINDOW = 4096 };

/* The length of the character at `at`, with what belongs to it: combining marks, and what a
 * joiner ties to it. `breaks`: where characters begin (Unicode Standard Annex 29). */
static size_t cluster(const char *breaks, size_t at, size_t end)
{
    size_t length = 1;
    while (at + length < end && !breaks[at + length])
        length++;
    return length;
}

static size_t columns_of(const char *text, size_t length)
{
    size_t columns = 0;
    while (length > 0) {
        size_t step = bk_utf8_next(text, length, NULL);
        if (step == 0)
            step = 1;
        char one[8] = {0};
        memcpy(one, text, step);
        columns += bk_columns(one);
        text += step;
        length -= step;
    }
    return columns;
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* "Sat", "Dec", "Saturday", "December,": as src/time writes them. */
static bool is_day_or_month(const char *word, size_t length)
{
    static const char names[] = "Mon Tue Wed Thu Fri Sat Sun Jan Feb Mar Apr May Jun Jul Aug Sep "
                                "Oct Nov Dec";
    if (length < 3 || (length > 3 && word[length - 1] != 'y' && word[length - 1] != ','))
        return false;
    for (const char *name = names; *name; name += name[3] ? 4 : 3)
        if (strncmp(name, word, 3) == 0)
            return true;
    return false;
}

/* Whether the blank at `at` ties a number to its unit, or to the weekday or month before it. */
static bool ties(const char *text, size_t at)
{
    size_t word = at;
    while (word > 0 && text[word - 1] != ' ')
        word--;
    return (at > 0 && is_digit(text[at - 1])) ||
           (is_digit(text[at + 1]) && is_day_or_month(text + word, at - word));
}

size_t bk_wrap_line(const char *text, size_t width, const char **next)
{
    size_t left = strlen(text), length = 0, columns = 0, last_blank = 0, any_blank = 0;
    size_t window = left < WINDOW ? left : WINDOW;
    char breaks[WINDOW];
    u8_grapheme_breaks((const uint8_t *)text, window, breaks);
    while (length < window) {
        size_t step = cluster(breaks, length, window);
        size_t wide = columns_of(text + length, step);
        if (columns + wide > width && length > 0)
            break;
        if (text[length] == ' ') {
            any_blank = length;
            if (length > 0 && !ties(text, length))
                last_blank = length;
        }
        length += step;
        columns += wide;
    }
    if (length == left) {
        *next = text + left;
        return left;
    }
    if (text[length] == ' ' && (!ties(text, length) || last_blank == 0)) {
        *next = text + length + 1;
        return length;
    }
    if (last_blank > 0 || any_blank > 0) {
        size_t at = last_blank > 0 ? last_blank : any_blank;
        *next = text + at + 1;
        return at;
    }
    *next = text + length;
    return length;
}

void bk_wrap_item(bk_text *out, size_t width, const char *sign, const char *text)
{
    size_t indent = bk_columns(sign);
    bk_text_add(out, sign);
    for (bool first = true; first || *text; first = false) {
        const char *next = NULL;
        size_t length = bk_wrap_line(text, width > indent ? width - indent : 1, &next);
        if (!first)
            bk_text_add_repeated(out, ' ', indent);
        bk_text_add_bytes(out, text, length);
        bk_text_add(out, "\n");
        text = next;
    }
}

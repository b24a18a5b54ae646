#include "write/words/wrap.h"

#include <string.h>

enum { ZERO_WIDTH_JOINER = 0x200d };

/* A character with what belongs to it: combining marks, and what a joiner ties
 * to it (families and other emoji made of several). */
static size_t cluster(const char *text, size_t left)
{
    size_t length = 0;
    bool joined = true;
    while (length < left) {
        uint32_t code = 0;
        size_t step = bk_utf8_next(text + length, left - length, &code);
        if (step == 0)
            step = 1;
        char one[8] = {0};
        memcpy(one, text + length, step);
        if (!joined && bk_columns(one) > 0)
            break;
        joined = code == ZERO_WIDTH_JOINER;
        length += step;
    }
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

size_t bk_wrap_line(const char *text, size_t width, const char **next)
{
    size_t left = strlen(text), length = 0, columns = 0, last_blank = 0, any_blank = 0;
    while (length < left) {
        size_t step = cluster(text + length, left - length);
        size_t wide = columns_of(text + length, step);
        if (columns + wide > width && length > 0)
            break;
        if (text[length] == ' ') {
            any_blank = length;
            /* A number stays with its unit. */
            if (length > 0 && !(text[length - 1] >= '0' && text[length - 1] <= '9'))
                last_blank = length;
        }
        length += step;
        columns += wide;
    }
    if (length == left) {
        *next = text + left;
        return left;
    }
    bool after_number = length > 0 && text[length - 1] >= '0' && text[length - 1] <= '9';
    if (text[length] == ' ' && (!after_number || last_blank == 0)) {
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

#include "write/words/markup.h"

#include <string.h>

static bool is_allowed(uint32_t code)
{
    if (code < 0x20)
        return code == '\t' || code == '\n' || code == '\r';
    return !(code >= 0x7f && code < 0xa0) && (code & 0xfffe) != 0xfffe;
}

void bk_markup_add(bk_text *out, const char *text)
{
    size_t left = text ? strlen(text) : 0;
    while (left > 0) {
        uint32_t code = 0;
        size_t length = bk_utf8_next(text, left, &code);
        if (length == 0) {
            bk_text_add(out, "\xef\xbf\xbd");
            length = 1;
        } else if (code == '&') {
            bk_text_add(out, "&amp;");
        } else if (code == '<') {
            bk_text_add(out, "&lt;");
        } else if (code == '>') {
            bk_text_add(out, "&gt;");
        } else if (code == '"') {
            bk_text_add(out, "&quot;");
        } else if (code == '\'') {
            bk_text_add(out, "&#39;");
        } else if (is_allowed(code)) {
            bk_text_add_bytes(out, text, length);
        }
        text += length;
        left -= length;
    }
}

/* Thousandths of an em. */
static int advance(const char *text, size_t length, uint32_t code)
{
    if (code >= 0x80) {
        char one[8] = {0};
        memcpy(one, text, length);
        size_t columns = bk_columns(one);
        /* Emoji faces draw wider than one em. */
        return columns == 0 ? 0 : columns == 2 ? 1250 : 760;
    }
    if (strchr(" ijlI.,:;'|", (int)code))
        return 340;
    if (strchr("ftr()[]-/!", (int)code))
        return 420;
    if (strchr("mMW%@", (int)code))
        return 1000;
    if (code == 'w' || (code >= 'A' && code <= 'Z'))
        return 820 - 60 * (code != 'w' && !strchr("OQGNHDU", (int)code));
    return 640;
}

/* Thousandths of an em of the character at `text`; writes its length in bytes. */
static int next_advance(const char *text, size_t left, size_t *step)
{
    uint32_t code = 0xfffd;
    *step = bk_utf8_next(text, left, &code);
    if (*step == 0)
        *step = 1;
    return advance(text, *step, code);
}

/* Units that a sum of advances takes, rounded up. */
static int64_t units(int64_t sum, int size, bool bold)
{
    return (sum * size * (bold ? 112 : 100) + 99999) / 100000;
}

int bk_markup_width(const char *text, int size, bool bold)
{
    int64_t sum = 0;
    for (size_t left = strlen(text), step = 0; left > 0; left -= step, text += step)
        sum += next_advance(text, left, &step);
    int64_t wide = units(sum, size, bold);
    return wide > INT32_MAX ? INT32_MAX : (int)wide;
}

size_t bk_markup_line(const char *text, int size, bool bold, int width, const char **next)
{
    size_t left = strlen(text), length = 0, blank = 0, step = 0;
    int64_t sum = 0;
    for (; length < left; length += step) {
        sum += next_advance(text + length, left - length, &step);
        if (units(sum, size, bold) > width)
            break;
        if (text[length] == ' ')
            blank = length;
    }
    if (length < left && text[length] == ' ')
        blank = length;
    if (length < left && blank > 0) {
        *next = text + blank + 1;
        return blank;
    }
    *next = text + length;
    return length;
}

char *bk_markup_shorten(bk_arena *arena, const char *text, int size, bool bold, int width)
{
    static const char ellipsis[] = "\xe2\x80\xa6";
    if (bk_markup_width(text, size, bold) <= width)
        return bk_copy_string(arena, text);
    const char *next = NULL;
    int room = width - bk_markup_width(ellipsis, size, bold);
    size_t length = room > 0 ? bk_markup_line(text, size, bold, room, &next) : 0;
    while (length > 0 && strchr(" ,;:", text[length - 1]))
        length--;
    if (length == 0)
        return bk_copy_string(arena, "");
    return bk_format(arena, "%.*s%s", (int)length, text, ellipsis);
}

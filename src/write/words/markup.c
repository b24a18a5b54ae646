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

/* Widths of Helvetica and Helvetica Bold in thousandths of an em, which Arial and Liberation Sans
 * share (tests/cli/check_picture.py reads them from the face): of ASCII from the blank on, of
 * Latin-1 from the blank that does not break on. */
static const short ascii_widths[2][95] = {
    {278,  278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
     556,  556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
     1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
     667,  778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
     333,  556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
     556,  556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584},
    {278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278,
     556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611,
     975, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722, 611, 833, 722, 778,
     667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556,
     333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611,
     611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584}};
static const short latin_widths[2][96] = {
    {278, 333, 556, 556, 556, 556, 260,  556, 333, 737, 370, 556, 584, 333, 737, 552,
     400, 549, 333, 333, 333, 576, 537,  278, 333, 333, 365, 556, 834, 834, 834, 611,
     667, 667, 667, 667, 667, 667, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278,
     722, 722, 778, 778, 778, 778, 778,  584, 778, 722, 722, 722, 722, 667, 667, 611,
     556, 556, 556, 556, 556, 556, 889,  500, 556, 556, 556, 556, 278, 278, 278, 278,
     556, 556, 556, 556, 556, 556, 556,  549, 611, 556, 556, 556, 556, 500, 556, 500},
    {278, 333, 556, 556, 556, 556, 280,  556, 333, 737, 370, 556, 584, 333, 737, 552,
     400, 549, 333, 333, 333, 576, 556,  278, 333, 333, 365, 556, 834, 834, 834, 611,
     722, 722, 722, 722, 722, 722, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278,
     722, 722, 778, 778, 778, 778, 778,  584, 778, 722, 722, 722, 722, 667, 667, 611,
     556, 556, 556, 556, 556, 556, 889,  556, 556, 556, 556, 556, 278, 278, 278, 278,
     611, 611, 611, 611, 611, 611, 611,  549, 611, 611, 611, 611, 611, 556, 611, 556}};

/* The same of a few signs more. */
static const struct sign {
    uint32_t code;
    short widths[2];
} signs[] = {{0x2011, {333, 333}}, {0x2013, {556, 556}},   {0x2014, {1000, 1000}},
             {0x2018, {222, 278}}, {0x2019, {222, 278}},   {0x201c, {333, 500}},
             {0x201d, {333, 500}}, {0x2026, {1000, 1000}}, {0x25cb, {604, 604}}};

/* -1 of a character of another face. */
static int known_advance(uint32_t code, bool bold)
{
    if (code >= 0x20 && code < 0x7f)
        return ascii_widths[bold][code - 0x20];
    if (code >= 0xa0 && code <= 0xff)
        return latin_widths[bold][code - 0xa0];
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++)
        if (signs[i].code == code)
            return signs[i].widths[bold];
    return -1;
}

static bool is_known(const char *text)
{
    size_t left = strlen(text);
    while (left > 0) {
        uint32_t code = 0;
        size_t step = bk_utf8_next(text, left, &code);
        if (step == 0 || known_advance(code, false) < 0)
            return false;
        text += step;
        left -= step;
    }
    return true;
}

/* Thousandths of an em in DejaVu Sans, the widest face in common use, by class of character. */
static int widest_advance(const char *text, size_t length, uint32_t code)
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
static int next_advance(const char *text, size_t left, bool known, bool bold, size_t *step)
{
    uint32_t code = 0xfffd;
    *step = bk_utf8_next(text, left, &code);
    if (*step == 0)
        *step = 1;
    int advance = known_advance(code, bold);
    if (known)
        return advance;
    int widest = (widest_advance(text, *step, code) * (bold ? 112 : 100) + 99) / 100;
    return widest > advance ? widest : advance;
}

/* Units that a sum of advances takes, rounded up. */
static int64_t units(int64_t sum, int size)
{
    return (sum * size + 999) / 1000;
}

static int width_of(const char *text, int size, bool bold, bool known)
{
    int64_t sum = 0;
    for (size_t left = strlen(text), step = 0; left > 0; left -= step, text += step)
        sum += next_advance(text, left, known, bold, &step);
    int64_t wide = units(sum, size);
    return wide > INT32_MAX ? INT32_MAX : (int)wide;
}

int bk_markup_width(const char *text, int size, bool bold)
{
    return width_of(text, size, bold, is_known(text));
}

int bk_markup_fixed_width(const char *text, int size, bool bold)
{
    return is_known(text) ? width_of(text, size, bold, true) : 0;
}

size_t bk_markup_line(const char *text, int size, bool bold, int width, const char **next)
{
    size_t left = strlen(text), length = 0, blank = 0, step = 0;
    int64_t sum = 0;
    bool known = is_known(text);
    for (; length < left; length += step) {
        sum += next_advance(text + length, left - length, known, bold, &step);
        if (units(sum, size) > width)
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

#include "write/words/ascii.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unictype.h>
#include <uninorm.h>
#include <uniwidth.h>

/* What a compatibility decomposition (Unicode Standard Annex 15) does not take apart. */
static const struct {
    uint32_t code;
    const char *ascii;
} letters[] = {
    {0xb0, ""},      {0xd7, "x"},    {0xf7, "/"},    {0xdf, "ss"},   {0x1e9e, "SS"}, {0xe6, "ae"},
    {0xc6, "AE"},    {0xf8, "o"},    {0xd8, "O"},    {0x153, "oe"},  {0x152, "OE"},  {0x142, "l"},
    {0x141, "L"},    {0x111, "d"},   {0x110, "D"},   {0xf0, "d"},    {0xd0, "D"},    {0xfe, "th"},
    {0xde, "Th"},    {0x131, "i"},   {0x127, "h"},   {0x126, "H"},   {0x2010, "-"},  {0x2012, "-"},
    {0x2013, "-"},   {0x2014, "-"},  {0x2015, "-"},  {0x2212, "-"},  {0x2018, "'"},  {0x2019, "'"},
    {0x201a, ","},   {0x201c, "\""}, {0x201d, "\""}, {0x201e, "\""}, {0xab, "\""},   {0xbb, "\""},
    {0x2032, "'"},   {0x2033, "\""}, {0x2022, "-"},  {0xb7, "-"},    {0x25c6, "*"},  {0x2044, "/"},
    {0x20ac, "EUR"}, {0xa3, "GBP"},  {0xad, ""},     {0x200b, ""},   {0x2192, "->"},
};

static void add_code(bk_text *out, uint32_t code)
{
    for (size_t i = 0; i < sizeof letters / sizeof letters[0]; i++)
        if (letters[i].code == code) {
            bk_text_add(out, letters[i].ascii);
            return;
        }
    if (code < 0x80)
        bk_text_add_bytes(out, &(char){(char)code}, 1);
    else if (uc_combining_class(code) == UC_CCC_NR && uc_width(code, "UTF-8") != 0)
        bk_text_add(out, "?");
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* One character that is not ASCII. */
static void add_foreign(bk_text *out, const char *at, size_t length)
{
    uint8_t room[128];
    size_t made = sizeof room;
    uint8_t *parts = u8_normalize(UNINORM_NFKD, (const uint8_t *)at, length, room, &made);
    if (!parts && errno == ENOMEM)
        bk_arena_fail(out->arena);
    if (!parts) {
        bk_text_add(out, "?");
        return;
    }
    /* "1" with a fraction behind it is no eleven. */
    bool number = made > 0 && is_digit((char)parts[0]);
    if (number && out->length > 0 && is_digit(out->data[out->length - 1]))
        bk_text_add(out, " ");
    for (size_t i = 0; i < made;) {
        uint32_t code = 0;
        size_t step = bk_utf8_next((const char *)parts + i, made - i, &code);
        if (step == 0)
            break;
        add_code(out, code);
        i += step;
    }
    if (parts != room)
        free(parts);
}

char *bk_words_ascii(bk_arena *arena, const char *text)
{
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "");
    for (size_t left = strlen(text); left > 0;) {
        uint32_t code = 0;
        size_t length = bk_utf8_next(text, left, &code);
        if (length == 1)
            bk_text_add_bytes(&out, text, 1);
        else if (length == 0)
            bk_text_add(&out, "?");
        else
            add_foreign(&out, text, length);
        text += length ? length : 1;
        left -= length ? length : 1;
    }
    return out.data;
}

/* Text that grows, and the width of UTF-8. */
#include "base/base.h"

#include <stdio.h>
#include <string.h>

bk_text bk_text_new(bk_arena *arena)
{
    bk_text text = {.arena = arena};
    bk_text_add_bytes(&text, "", 0);
    return text;
}

void bk_text_add_bytes(bk_text *text, const char *bytes, size_t length)
{
    if (text->room - text->length <= length) {
        size_t need = text->length + length + 1;
        text->data = bk_grow(text->arena, text->data, 1, &text->room, need);
    }
    if (length)
        memcpy(text->data + text->length, bytes, length);
    text->length += length;
    text->data[text->length] = '\0';
}

void bk_text_add(bk_text *text, const char *string)
{
    bk_text_add_bytes(text, string, strlen(string));
}

void bk_text_addf(bk_text *text, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    char *more = bk_vformat(text->arena, format, arguments);
    va_end(arguments);
    bk_text_add(text, more);
}

void bk_text_add_repeated(bk_text *text, char c, size_t count)
{
    while (count-- > 0)
        bk_text_add_bytes(text, &c, 1);
}

size_t bk_utf8_next(const char *text, size_t left, uint32_t *code)
{
    static const uint32_t least[5] = {0, 0, 0x80, 0x800, 0x10000};
    const unsigned char *byte = (const unsigned char *)text;
    if (left == 0)
        return 0;
    uint32_t value = byte[0];
    size_t length;
    if (value < 0x80) {
        length = 1;
    } else if (value >= 0xC2 && value < 0xE0) {
        length = 2;
        value &= 0x1F;
    } else if (value >= 0xE0 && value < 0xF0) {
        length = 3;
        value &= 0x0F;
    } else if (value >= 0xF0 && value < 0xF5) {
        length = 4;
        value &= 0x07;
    } else {
        return 0;
    }
    if (length > left)
        return 0;
    for (size_t i = 1; i < length; i++) {
        if ((byte[i] & 0xC0) != 0x80)
            return 0;
        value = value << 6 | (byte[i] & 0x3Fu);
    }
    if (value < least[length] || value > 0x10FFFF || (value >= 0xD800 && value < 0xE000))
        return 0;
    if (code)
        *code = value;
    return length;
}

size_t bk_utf8_put(char *into, uint32_t code)
{
    static const uint8_t lead[5] = {0, 0, 0xC0, 0xE0, 0xF0};
    if (code < 0x80) {
        into[0] = (char)code;
        return 1;
    }
    size_t length = code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
    for (size_t i = length - 1; i > 0; i--, code >>= 6)
        into[i] = (char)(0x80 | (code & 0x3F));
    into[0] = (char)(lead[length] | code);
    return length;
}

/* Ranges from Unicode's EastAsianWidth (W and F, with the emoji blocks) and the
 * main combining blocks: enough for recipe text, not a full table. */
static size_t code_columns(uint32_t code)
{
    static const uint32_t none[][2] = {{0x300, 0x36F},   {0x483, 0x489},   {0x591, 0x5BD},
                                       {0x610, 0x61A},   {0x64B, 0x65F},   {0x1AB0, 0x1AFF},
                                       {0x1DC0, 0x1DFF}, {0x200B, 0x200F}, {0x20D0, 0x20FF},
                                       {0xFE00, 0xFE0F}, {0xFE20, 0xFE2F}, {0x1F3FB, 0x1F3FF},
                                       {0xE0100, 0xE01EF}};
    static const uint32_t wide[][2] = {{0x1100, 0x115F},   {0x231A, 0x231B},   {0x23E9, 0x23EC},
                                       {0x23F0, 0x23F0},   {0x23F3, 0x23F3},   {0x2614, 0x2615},
                                       {0x2648, 0x2653},   {0x26A1, 0x26A1},   {0x26C4, 0x26C5},
                                       {0x2705, 0x2705},   {0x2728, 0x2728},   {0x274C, 0x274C},
                                       {0x2753, 0x2755},   {0x2795, 0x2797},   {0x2B50, 0x2B50},
                                       {0x2E80, 0x303E},   {0x3041, 0x33FF},   {0x3400, 0x4DBF},
                                       {0x4E00, 0x9FFF},   {0xA000, 0xA4CF},   {0xAC00, 0xD7A3},
                                       {0xF900, 0xFAFF},   {0xFE30, 0xFE6F},   {0xFF00, 0xFF60},
                                       {0xFFE0, 0xFFE6},   {0x1F300, 0x1F64F}, {0x1F680, 0x1F6FF},
                                       {0x1F900, 0x1F9FF}, {0x1FA70, 0x1FAFF}, {0x20000, 0x3FFFD}};
    for (size_t i = 0; i < sizeof none / sizeof *none; i++)
        if (code >= none[i][0] && code <= none[i][1])
            return 0;
    for (size_t i = 0; i < sizeof wide / sizeof *wide; i++)
        if (code >= wide[i][0] && code <= wide[i][1])
            return 2;
    return 1;
}

size_t bk_columns(const char *text)
{
    size_t columns = 0;
    for (size_t left = strlen(text); left > 0;) {
        uint32_t code = '?';
        size_t length = bk_utf8_next(text, left, &code);
        if (length == 0)
            length = 1;
        columns += code_columns(code);
        text += length;
        left -= length;
    }
    return columns;
}

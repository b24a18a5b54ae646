/* Text that grows, and the width of UTF-8. */
#include "base/base.h"

#include <stdio.h>
#include <string.h>
#include <uniwidth.h>

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

size_t bk_columns(const char *text)
{
    size_t columns = 0;
    for (size_t left = strlen(text); left > 0;) {
        uint32_t code = '?';
        size_t length = bk_utf8_next(text, left, &code);
        if (length == 0)
            length = 1;
        int width = uc_width(code, "UTF-8"); /* -1: a control character */
        columns += width < 0 ? 1 : (size_t)width;
        text += length;
        left -= length;
    }
    return columns;
}

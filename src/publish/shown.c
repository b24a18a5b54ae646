#include "publish/shown.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>
#include <strings.h>

/* The length of the character at `text`, and its number; 0 when the bytes are no UTF-8. */
static size_t character(const unsigned char *text, uint32_t *code)
{
    size_t length = *text < 0x80                    ? 1
                    : *text >= 0xc2 && *text < 0xe0 ? 2
                    : *text >= 0xe0 && *text < 0xf0 ? 3
                    : *text >= 0xf0 && *text < 0xf5 ? 4
                                                    : 0;
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    *code = length < 2 ? *text : *text & (0x7fU >> length);
    for (size_t i = 1; i < length; i++) {
        if ((text[i] & 0xc0) != 0x80)
            return 0;
        *code = *code << 6 | (text[i] & 0x3fU);
    }
    bool surrogate = *code >= 0xd800 && *code < 0xe000;
    return length > 0 && *code >= least[length] && *code < 0x110000 && !surrogate ? length : 0;
}

/* ECMA-48: C0, DEL, C1. Unicode: line and paragraph separator, and what UAX 9 calls explicit
 * directional formatting. */
static bool commands(uint32_t code)
{
    return code < 0x20 || (code >= 0x7f && code < 0xa0) || code == 0x61c || code == 0x200e ||
           code == 0x200f || (code >= 0x2028 && code <= 0x202e) ||
           (code >= 0x2066 && code <= 0x2069);
}

static int digit(char c)
{
    return c >= '0' && c <= '9'                     ? c - '0'
           : (c | 0x20) >= 'a' && (c | 0x20) <= 'f' ? (c | 0x20) - 'a' + 10
                                                    : -1;
}

/* How much of `text` is the secret, each character as it is or as %XX; 0: it is not there. */
static size_t secret_at(const char *text, const char *secret)
{
    const char *at = text;
    for (; *secret != '\0'; secret++) {
        int high = *at == '%' ? digit(at[1]) : -1, low = high < 0 ? -1 : digit(at[2]);
        if (*at == *secret)
            at++;
        else if (low >= 0 && (unsigned char)*secret == (unsigned)(high * 16 + low))
            at += 3;
        else
            return 0;
    }
    return (size_t)(at - text);
}

char *bk_shown(bk_keep *keep, const char *text, const char *secret)
{
    static const char ellipsis[] = "\xe2\x80\xa6";
    bool hides = secret && *secret != '\0';
    char *out = bk_keep_room(keep, 3 * strlen(text) + 1), *at = out;
    while (*text != '\0') {
        uint32_t code;
        size_t hidden = hides ? secret_at(text, secret) : 0;
        size_t length = character((const unsigned char *)text, &code);
        if (hidden > 0) {
            memcpy(at, ellipsis, sizeof ellipsis - 1);
            at += sizeof ellipsis - 1;
            text += hidden;
        } else if (length == 0 || commands(code)) {
            *at++ = '?';
            text += length == 0 ? 1 : length;
        } else {
            memcpy(at, text, length);
            at += length;
            text += length;
        }
    }
    return out;
}

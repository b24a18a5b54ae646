#include "command/shown.h"

#include <stdbool.h>
#include <stddef.h>
#include <string.h>

/* The bytes of the character at `c`; 0 where there is none in UTF-8. */
static size_t length_of(const unsigned char *c)
{
    size_t length = *c < 0x80   ? 1
                    : *c < 0xc2 ? 0
                    : *c < 0xe0 ? 2
                    : *c < 0xf0 ? 3
                    : *c < 0xf5 ? 4
                                : 0;
    for (size_t i = 1; i < length; i++)
        if ((c[i] & 0xc0) != 0x80)
            return 0;
    return length;
}

/* ECMA-48: C0, DEL, C1 (C2 80 to C2 9F). Unicode: U+061C, U+200E and U+200F, U+2028 to U+202E,
 * U+2066 to U+2069 (UAX 9, and the separators of lines). */
static bool commands(const unsigned char *c)
{
    return *c < 0x20 || *c == 0x7f || (*c == 0xc2 && c[1] < 0xa0) || (*c == 0xd8 && c[1] == 0x9c) ||
           (*c == 0xe2 && c[1] == 0x80 &&
            (c[2] == 0x8e || c[2] == 0x8f || (c[2] >= 0xa8 && c[2] <= 0xae))) ||
           (*c == 0xe2 && c[1] == 0x81 && c[2] >= 0xa6 && c[2] <= 0xa9);
}

bk_shown_name bk_name_shown(const char *name)
{
    bk_shown_name shown;
    size_t used = 0;
    for (const unsigned char *c = (const unsigned char *)name; *c != '\0';) {
        size_t length = length_of(c);
        bool good = length > 0 && !commands(c);
        if (used + (good ? length : 1) > BK_LONGEST_SHOWN)
            break;
        if (good)
            memcpy(shown.text + used, c, length);
        else
            shown.text[used] = '?';
        used += good ? length : 1;
        c += length > 0 ? length : 1;
    }
    shown.text[used] = '\0';
    return shown;
}

void bk_line_shown(FILE *out, const char *line, size_t length)
{
    const unsigned char *c = (const unsigned char *)line, *end = c + length;
    while (c < end) {
        size_t bytes = length_of(c);
        if (bytes > 0 && bytes <= (size_t)(end - c) && !commands(c))
            fwrite(c, 1, bytes, out);
        else
            fputc(*c == '\t' ? ' ' : '?', out);
        c += bytes > 0 ? bytes : 1;
    }
}

/* Bytes from outside as UTF-8: by byte-order mark, by what they declare, else as UTF-8,
 * else as windows-1252, which has a character for nearly every byte. */
#include "takein/parts.h"

#include <ctype.h>
#include <iconv.h>
#include <string.h>

/* Converts into room set aside beforehand; what has no character becomes '?'. */
static size_t convert(const char *encoding, const char *text, size_t length, char *into,
                      size_t room)
{
    iconv_t how = iconv_open("UTF-8", encoding);
    if (how == (iconv_t)-1)
        return 0;
    char *in = (char *)(uintptr_t)text, *out = into;
    size_t in_left = length, out_left = room;
    while (in_left > 0 && out_left > 4) {
        size_t done = iconv(how, &in, &in_left, &out, &out_left);
        if (done == (size_t)-1 && in_left > 0 && out_left > 4) {
            in++;
            in_left--;
            *out++ = '?';
            out_left--;
        }
    }
    iconv_close(how);
    return (size_t)(out - into);
}

static bool is_utf8(const char *text, size_t length)
{
    for (size_t at = 0; at < length;) {
        size_t step = bk_utf8_next(text + at, length - at, NULL);
        if (step == 0)
            return false;
        at += step;
    }
    return true;
}

/* The encoding that the first bytes declare ("charset=..."), or "". */
static void declared(const char *text, size_t length, char *name, size_t room)
{
    enum { LOOKED_AT = 4096 };
    size_t most = length < LOOKED_AT ? length : LOOKED_AT, n = 0;
    for (size_t i = 0; i + 8 < most; i++) {
        if (strncmp(text + i, "charset=", 8) != 0)
            continue;
        i += 8;
        while (i < most && (text[i] == '"' || text[i] == '\'' || text[i] == ' '))
            i++;
        while (i < most && n + 1 < room &&
               (isalnum((unsigned char)text[i]) || strchr("-_", text[i])))
            name[n++] = text[i++];
        break;
    }
    name[n] = '\0';
}

/* A byte in the C1 range means windows-1252 where a page says iso-8859-1, as browsers
 * read it (WHATWG Encoding). */
static const char *as_browsers_do(const char *name)
{
    static const char *const latin[] = {"iso-8859-1", "ISO-8859-1", "latin1",
                                        "us-ascii",   "ascii",      NULL};
    for (size_t i = 0; latin[i]; i++)
        if (strcmp(name, latin[i]) == 0)
            return "WINDOWS-1252";
    return name;
}

/* "\r\n" and "\r" to "\n"; NUL and other controls to spaces. */
static size_t make_plain(char *text, size_t length)
{
    size_t n = 0;
    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)text[i];
        if (c == '\r') {
            text[n++] = '\n';
            i += i + 1 < length && text[i + 1] == '\n';
        } else {
            text[n++] = (char)((c < 0x20 && c != '\n') || c == 0x7F ? ' ' : c);
        }
    }
    text[n] = '\0';
    return n;
}

char *bk_to_utf8(bk_arena *arena, const char *text, size_t length, size_t *utf8_length)
{
    char name[40];
    const char *encoding = "UTF-8";
    size_t skip = 0;
    if (length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0) {
        skip = 3;
    } else if (length >= 2 && memcmp(text, "\xFF\xFE", 2) == 0) {
        encoding = "UTF-16LE", skip = 2;
    } else if (length >= 2 && memcmp(text, "\xFE\xFF", 2) == 0) {
        encoding = "UTF-16BE", skip = 2;
    } else if (length >= 4 && text[0] == '<' && text[1] == '\0') {
        encoding = "UTF-16LE";
    } else {
        declared(text, length, name, sizeof name);
        if (name[0] != '\0')
            encoding = as_browsers_do(name);
        else if (!is_utf8(text, length))
            encoding = "WINDOWS-1252";
    }
    text += skip;
    length -= skip;
    size_t room = 3 * length + 16;
    char *out = BK_NEW(arena, char, room);
    size_t n = convert(encoding, text, length, out, room - 8);
    if (n == 0 && length > 0)
        n = convert(is_utf8(text, length) ? "UTF-8" : "WINDOWS-1252", text, length, out, room - 8);
    *utf8_length = make_plain(out, n);
    return out;
}

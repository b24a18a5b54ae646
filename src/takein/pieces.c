/* Gathering pieces of text: white space made one, markup and entities in them read. */
#include "takein/parts.h"

#include <libxml/HTMLparser.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static bool is_space(const char *at, size_t left, size_t *step)
{
    unsigned char c = (unsigned char)*at;
    *step = 1;
    if (c <= ' ' || c == 0x7F)
        return true;
    if (left >= 2 && c == 0xC2 && (unsigned char)at[1] >= 0x80 &&
        (unsigned char)at[1] <= 0xA0) { /* no-break space; controls */
        *step = 2;
        return true;
    }
    if (left >= 3 && c == 0xE2 && (unsigned char)at[1] == 0x80 &&
        (((unsigned char)at[2] >= 0x80 && (unsigned char)at[2] <= 0x8B) ||
         (unsigned char)at[2] == 0xAF || (unsigned char)at[2] == 0xA8)) {
        *step = 3; /* thin and zero-width spaces, line separator */
        return true;
    }
    return false;
}

void bk_sink_add(bk_sink *sink, enum bk_piece piece, const char *text, size_t length)
{
    if (sink->room - sink->length < length + 3)
        return;
    char *out = sink->data + sink->length;
    size_t n = 0, step = 1;
    bool gap = false;
    out[n++] = (char)piece;
    for (size_t i = 0; i < length; i += step) {
        if (is_space(text + i, length - i, &step)) {
            gap = n > 1;
            continue;
        }
        uint32_t code = 0;
        step = bk_utf8_next(text + i, length - i, &code);
        bool good = step > 0 && !bk_commands_terminal(code);
        step = step > 0 ? step : 1;
        if (!good)
            continue;
        if (gap) {
            out[n++] = ' ';
            gap = false;
        }
        memcpy(out + n, text + i, step);
        n += step;
    }
    if (n > 1) {
        out[n++] = '\n';
        sink->length += n;
    }
}

/* --------------------------------------------------- markup inside of a text */

/* Reads "&amp;" and the like at `at`; gives the bytes written, or 0. */
static size_t read_entity(const char *at, char *into, size_t *step)
{
    enum { LONGEST = 12 };
    char name[LONGEST + 1];
    size_t n = strcspn(at + 1, "; &<\n");
    if (n == 0 || n > LONGEST || at[1 + n] != ';')
        return 0;
    memcpy(name, at + 1, n);
    name[n] = '\0';
    unsigned long code = 0;
    if (name[0] == '#') {
        bool hexadecimal = name[1] == 'x' || name[1] == 'X';
        code = strtoul(name + 1 + hexadecimal, NULL, hexadecimal ? 16 : 10);
    } else if (strcmp(name, "apos") == 0) {
        code = '\'';
    } else {
        const htmlEntityDesc *entity = htmlEntityLookup((const xmlChar *)name);
        code = entity ? entity->value : 0;
    }
    if (code == 0 || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF))
        return 0;
    *step = n + 2;
    return bk_utf8_put(into, (uint32_t)code);
}

/* The length of a tag at `at`, or 0 where the sign means "less than". */
static size_t tag_length(const char *at)
{
    enum { LONGEST = 500 };
    const char *name = at + 1 + (at[1] == '/');
    bool letter = (*name >= 'a' && *name <= 'z') || (*name >= 'A' && *name <= 'Z');
    if (!letter && strncmp(at, "<!--", 4) != 0)
        return 0;
    for (size_t n = 1; at[n] != '\0' && n < LONGEST; n++)
        if (at[n] == '>')
            return n + 1;
    return 0;
}

static bool tag_breaks(const char *tag)
{
    static const char *const names[] = {"p",  "br", "li", "div", "ol", "ul",
                                        "h1", "h2", "h3", "h4",  "tr", NULL};
    const char *name = tag + 1 + (tag[1] == '/');
    size_t n = strcspn(name, " />\t\n");
    for (size_t i = 0; names[i]; i++)
        if (strlen(names[i]) == n && strncasecmp(name, names[i], n) == 0)
            return true;
    return false;
}

/* What a script or style holds is no text: the bytes up to its end. */
static size_t skip_script(const char *tag)
{
    static const char *const ends[] = {"</script", "</style", NULL};
    for (size_t i = 0; ends[i]; i++) {
        size_t n = strlen(ends[i]) - 2;
        if (strncasecmp(tag + 1, ends[i] + 2, n) != 0)
            continue;
        for (size_t at = 1; tag[at] != '\0'; at++)
            if (tag[at] == '<' && strncasecmp(tag + at, ends[i], n + 2) == 0)
                return at;
        return strlen(tag);
    }
    return 0;
}

void bk_sink_add_lines(bk_sink *sink, enum bk_piece piece, const char *text)
{
    char line[BK_MOST_STEP_BYTES];
    size_t n = 0, step = 1;
    for (const char *at = text; *at != '\0'; at += step) {
        step = 1;
        size_t tag = *at == '<' ? tag_length(at) : 0;
        if (*at == '\n' || (tag > 0 && tag_breaks(at))) {
            bk_sink_add(sink, piece, line, n);
            n = 0;
            step = tag > 0 ? tag : 1;
        } else if (tag > 0) {
            size_t script = skip_script(at);
            step = script > 0 ? script : tag;
        } else if (n + 4 < sizeof line) {
            size_t wrote = *at == '&' ? read_entity(at, line + n, &step) : 0;
            if (wrote == 0) {
                line[n] = *at;
                wrote = 1;
                step = 1;
            }
            n += wrote;
        }
    }
    bk_sink_add(sink, piece, line, n);
}

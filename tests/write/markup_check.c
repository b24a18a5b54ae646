#include "markup_check.h"

#include "write/words/markup.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { DEEP = 64, NAME = 32, IDS = 256 };

typedef struct reader {
    const char *at;
    bool html;
    char open[DEEP][NAME];
    size_t depth;
    char ids[IDS][NAME];
    size_t id_count;
} reader;

static char fault_text[200];

static const char *fault(const char *what, const char *at)
{
    snprintf(fault_text, sizeof fault_text, "%s at: %.100s", what, at);
    return fault_text;
}

static bool is_entity(const char *at)
{
    static const char *const known[] = {"&amp;", "&lt;", "&gt;", "&quot;", "&apos;", "&#39;"};
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++)
        if (strncmp(at, known[i], strlen(known[i])) == 0)
            return true;
    return false;
}

static size_t read_name(const char *at, char *name)
{
    size_t length = 0;
    while (isalnum((unsigned char)at[length]) || strchr("-_:", at[length]) != NULL) {
        if (at[length] == '\0' || length == NAME - 1)
            break;
        name[length] = at[length];
        length++;
    }
    name[length] = '\0';
    return length;
}

static bool is_id_new(reader *r, const char *value, size_t length)
{
    char id[NAME];
    snprintf(id, sizeof id, "%.*s", (int)length, value);
    for (size_t i = 0; i < r->id_count; i++)
        if (strcmp(r->ids[i], id) == 0)
            return false;
    if (r->id_count < IDS)
        memcpy(r->ids[r->id_count++], id, sizeof id);
    return true;
}

/* From behind the tag's name to behind its end. */
static const char *read_attributes(reader *r, bool *empty)
{
    char seen[16][NAME];
    size_t count = 0;
    *empty = false;
    for (;;) {
        r->at += strspn(r->at, " \n");
        if (strncmp(r->at, "/>", 2) == 0) {
            *empty = true;
            r->at += 2;
            return NULL;
        }
        if (*r->at == '>') {
            r->at++;
            return NULL;
        }
        const char *start = r->at;
        if (count == 16 || read_name(r->at, seen[count]) == 0)
            return fault("attribute", r->at);
        r->at += strlen(seen[count]);
        if (strncmp(r->at, "=\"", 2) != 0)
            return fault("unquoted attribute", start);
        const char *value = r->at + 2;
        size_t length = strcspn(value, "\"<");
        if (value[length] != '"')
            return fault("attribute without an end", start);
        for (size_t i = 0; i < length; i++)
            if (value[i] == '&' && !is_entity(value + i))
                return fault("bare & in an attribute", start);
        for (size_t i = 0; i < count; i++)
            if (strcmp(seen[i], seen[count]) == 0)
                return fault("attribute twice", start);
        if (strcmp(seen[count], "id") == 0 && !is_id_new(r, value, length))
            return fault("id twice", start);
        count++;
        r->at = value + length + 1;
    }
}

static const char *read_end_tag(reader *r)
{
    char name[NAME];
    const char *start = r->at;
    r->at += 2;
    r->at += read_name(r->at, name);
    if (*r->at != '>')
        return fault("end tag", start);
    r->at++;
    if (r->depth == 0 || strcmp(r->open[r->depth - 1], name) != 0)
        return fault("end tag out of order", start);
    r->depth--;
    return NULL;
}

static const char *read_tag(reader *r)
{
    char name[NAME];
    const char *start = r->at;
    bool empty = false;
    r->at++;
    if (read_name(r->at, name) == 0)
        return fault("tag", start);
    r->at += strlen(name);
    const char *wrong = read_attributes(r, &empty);
    if (wrong)
        return wrong;
    if (empty || (r->html && (strcmp(name, "meta") == 0 || strcmp(name, "input") == 0)))
        return NULL;
    if (r->depth == DEEP)
        return fault("too deep", start);
    memcpy(r->open[r->depth++], name, sizeof name);
    if (r->html && (strcmp(name, "style") == 0 || strcmp(name, "script") == 0)) {
        char close[NAME + 4];
        snprintf(close, sizeof close, "</%s", name);
        const char *end = strstr(r->at, close);
        if (!end)
            return fault("text without an end", start);
        r->at = end;
    }
    return NULL;
}

const char *markup_fault(const char *text, bool html)
{
    reader *r = calloc(1, sizeof *r);
    const char *wrong = NULL;
    const char *start = html ? "<!DOCTYPE html>\n" : "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
    if (!r)
        return "no memory";
    if (strncmp(text, start, strlen(start)) != 0)
        wrong = fault("no declaration", text);
    r->at = text + strlen(start);
    r->html = html;
    while (!wrong && *r->at)
        if (strncmp(r->at, "</", 2) == 0)
            wrong = read_end_tag(r);
        else if (*r->at == '<')
            wrong = read_tag(r);
        else if (*r->at == '&' && !is_entity(r->at))
            wrong = fault("bare &", r->at);
        else if (r->depth == 0 && !isspace((unsigned char)*r->at))
            wrong = fault("text outside", r->at);
        else if ((unsigned char)*r->at < 0x20 && *r->at != '\n')
            wrong = fault("control character", r->at);
        else
            r->at++;
    if (!wrong && r->depth > 0)
        wrong = fault("not closed", r->open[r->depth - 1]);
    free(r);
    return wrong;
}

int markup_number(const char *tag, const char *name)
{
    char key[40];
    snprintf(key, sizeof key, " %s=\"", name);
    const char *at = strstr(tag, key), *end = strchr(tag, '>');
    if (!at || !end || at > end)
        return -1;
    return atoi(at + strlen(key));
}

static char entity(const char *at, size_t *length)
{
    *length = strcspn(at, ";") + 1;
    return at[1] == 'a' ? '&' : at[1] == 'l' ? '<' : at[1] == 'g' ? '>' : at[1] == '#' ? '\'' : '"';
}

bool markup_next_text(const char **from, markup_text *text)
{
    const char *tag = strstr(*from, "<text ");
    if (!tag)
        return false;
    const char *close = strchr(tag, '>'), *end = strstr(tag, "</text>");
    text->x = markup_number(tag, "x");
    text->y = markup_number(tag, "y");
    text->size = markup_number(tag, "font-size");
    const char *anchor = strstr(tag, "text-anchor=\""), *bold = strstr(tag, "bold\"");
    text->anchor = anchor && anchor < close ? (strncmp(anchor + 13, "end", 3) == 0 ? 1 : 0) : -1;
    text->bold = bold && bold < close;
    size_t length = 0;
    for (const char *c = close + 1; c < end && length + 1 < sizeof text->content;) {
        if (*c == '<') {
            c = strchr(c, '>') + 1;
        } else if (*c == '&') {
            size_t step = 0;
            text->content[length++] = entity(c, &step);
            c += step;
        } else {
            text->content[length++] = *c++;
        }
    }
    text->content[length] = '\0';
    *from = end;
    return true;
}

typedef struct extent {
    int left, right, y;
    char content[40];
} extent;

static extent extent_of(const markup_text *text)
{
    int wide = bk_markup_width(text->content, text->size, text->bold);
    extent e = {.left = text->anchor < 0    ? text->x
                        : text->anchor == 0 ? text->x - wide / 2
                                            : text->x - wide,
                .y = text->y};
    e.right = e.left + wide;
    snprintf(e.content, sizeof e.content, "%.38s", text->content);
    return e;
}

const char *markup_texts_fault(const char *svg)
{
    const char *box = strstr(svg, "viewBox=\"0 0 "), *at = svg, *wrong = NULL;
    int width = 0, height = 0;
    size_t count = 0, room = 1;
    markup_text text;
    if (!box || sscanf(box, "viewBox=\"0 0 %d %d\"", &width, &height) != 2)
        return "no viewBox";
    for (const char *c = svg; (c = strstr(c, "<text ")) != NULL; c++)
        room++;
    extent *extents = calloc(room, sizeof *extents);
    if (!extents)
        return "no memory";
    while (!wrong && markup_next_text(&at, &text)) {
        extent e = extent_of(&text);
        if (e.left < 0 || e.right > width || e.y < 0 || e.y > height)
            wrong = fault("outside", e.content);
        for (size_t i = 0; i < count && !wrong; i++)
            if (extents[i].y == e.y && extents[i].left < e.right && e.left < extents[i].right) {
                snprintf(fault_text, sizeof fault_text, "over each other: '%s' and '%s'",
                         extents[i].content, e.content);
                wrong = fault_text;
            }
        extents[count++] = e;
    }
    free(extents);
    if (!wrong && count == 0)
        wrong = "no texts";
    return wrong;
}

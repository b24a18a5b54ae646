/* A JSON value written straight into the text builder. */
#include "json/json.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bk_put bk_put_to(bk_text *out)
{
    return (bk_put){.out = out, .first = true};
}

bk_put bk_put_line_to(bk_text *out)
{
    return (bk_put){.out = out, .first = true, .one_line = true};
}

static void new_line(bk_put *put)
{
    bk_text_add(put->out, "\n");
    bk_text_add_repeated(put->out, ' ', 2 * put->depth);
}

static void string(bk_put *put, const char *text)
{
    size_t left = text ? strlen(text) : 0;
    if (!text) {
        bk_text_add(put->out, "null");
        return;
    }
    bk_text_add(put->out, "\"");
    while (left > 0) {
        uint32_t code = 0;
        size_t length = bk_utf8_next(text, left, &code);
        if (length == 0) {
            bk_text_add(put->out, "\xef\xbf\xbd");
            length = 1;
        } else if (code == '"' || code == '\\') {
            bk_text_addf(put->out, "\\%c", (int)code);
        } else if (bk_commands_terminal(code)) {
            bk_text_addf(put->out, "\\u%04x", (unsigned)code);
        } else {
            bk_text_add_bytes(put->out, text, length);
        }
        text += length;
        left -= length;
    }
    bk_text_add(put->out, "\"");
}

/* Begins a member of an object; with key NULL, an element of a list or the outermost value,
 * which stands where the text is. */
static void member(bk_put *put, const char *key)
{
    if (!put->first)
        bk_text_add(put->out, put->one_line ? ", " : ",");
    put->first = false;
    if (put->depth > 0 && !put->one_line)
        new_line(put);
    if (key) {
        string(put, key);
        bk_text_add(put->out, ": ");
    }
}

void bk_put_open(bk_put *put, const char *key, const char *bracket)
{
    member(put, key);
    bk_text_add(put->out, bracket);
    put->depth++;
    put->first = true;
}

void bk_put_close(bk_put *put, const char *bracket)
{
    put->depth--;
    if (!put->first && !put->one_line)
        new_line(put);
    bk_text_add(put->out, bracket);
    put->first = false;
}

void bk_put_text(bk_put *put, const char *key, const char *text)
{
    member(put, key);
    string(put, text);
}

void bk_put_integer(bk_put *put, const char *key, int64_t value)
{
    member(put, key);
    bk_text_addf(put->out, "%" PRId64, value);
}

void bk_put_boolean(bk_put *put, const char *key, bool value)
{
    member(put, key);
    bk_text_add(put->out, value ? "true" : "false");
}

void bk_put_null(bk_put *put, const char *key)
{
    bk_put_text(put, key, NULL);
}

/* A decimal that reads back as the same number; the decimal sign of the host's
 * locale becomes a point. */
void bk_put_number(bk_put *put, const char *key, double value)
{
    char digits[40];
    member(put, key);
    if (!isfinite(value)) {
        bk_text_add(put->out, "null");
        return;
    }
    snprintf(digits, sizeof digits, "%.15g", value);
    if (strtod(digits, NULL) != value)
        snprintf(digits, sizeof digits, "%.17g", value);
    for (const char *c = digits; *c;) {
        if (strchr("0123456789+-e", *c)) {
            bk_text_add_bytes(put->out, c++, 1);
        } else {
            bk_text_add(put->out, ".");
            while (*c && !strchr("0123456789+-e", *c))
                c++;
        }
    }
}

/* Depth is bounded by BK_MOST_NESTING. */
void bk_put_value(bk_put *put, const char *key, const bk_json *value)
{
    bool list = value->type == BK_JSON_LIST;
    switch (value->type) {
    case BK_JSON_NULL:
        bk_put_null(put, key);
        return;
    case BK_JSON_BOOLEAN:
        bk_put_boolean(put, key, value->truth);
        return;
    case BK_JSON_NUMBER:
        bk_put_number(put, key, value->number);
        return;
    case BK_JSON_STRING:
        bk_put_text(put, key, value->string);
        return;
    case BK_JSON_LIST:
    case BK_JSON_OBJECT:
        break;
    }
    bk_put_open(put, key, list ? "[" : "{");
    for (const bk_json *child = value->first; child; child = child->next)
        bk_put_value(put, list ? NULL : child->key, child);
    bk_put_close(put, list ? "]" : "}");
}

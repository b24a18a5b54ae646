/* Where what begins at a place of a sound text ends. */
#include "json/json.h"

#include <string.h>

static size_t string_end(const bk_source *source, size_t at)
{
    for (at++; at < source->length && source->text[at] != '"'; at++)
        at += source->text[at] == '\\';
    return at + 1;
}

size_t bk_json_comment_end(const bk_source *source, size_t at)
{
    const char *text = source->text;
    if (at + 1 < source->length && text[at + 1] == '/') {
        while (at < source->length && text[at] != '\n')
            at++;
        return at;
    }
    for (at += 2; at + 1 < source->length && (text[at] != '*' || text[at + 1] != '/');)
        at++;
    return at + 2;
}

/* Of what is no text and has no brackets. */
static size_t word_end(const bk_source *source, size_t at)
{
    while (at < source->length && !strchr(" \t\r\n,]}/", source->text[at]))
        at++;
    return at;
}

size_t bk_json_end(const bk_source *source, size_t at)
{
    size_t depth = 0;
    while (at < source->length) {
        char c = source->text[at];
        if (c == '/') {
            at = bk_json_comment_end(source, at);
            continue;
        }
        if (c == '"')
            at = string_end(source, at);
        else if (depth == 0 && c != '{' && c != '[')
            at = word_end(source, at);
        else
            at++;
        depth += c == '{' || c == '[';
        depth -= c == '}' || c == ']';
        if (depth == 0)
            return at;
    }
    return source->length;
}

size_t bk_json_next(const bk_source *source, size_t at)
{
    while (at < source->length)
        if (source->text[at] == '/')
            at = bk_json_comment_end(source, at);
        else if (source->text[at] && strchr(" \t\r\n", source->text[at]))
            at++;
        else
            break;
    return at < source->length ? at : source->length;
}

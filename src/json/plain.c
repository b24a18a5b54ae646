/* A JSON text without what its reader has no use for. */
#include "json/json.h"

#include <string.h>

/* Behind the string that opens at `at`. */
static size_t behind_string(const bk_source *source, size_t at)
{
    for (at++; at < source->length && source->text[at] != '"'; at++)
        at += source->text[at] == '\\';
    return at + 1;
}

/* Behind the comment that opens at `at`. */
static size_t behind_comment(const bk_source *source, size_t at)
{
    const char *text = source->text;
    if (text[at + 1] == '/') {
        while (at < source->length && text[at] != '\n')
            at++;
        return at;
    }
    for (at += 2; at + 1 < source->length && (text[at] != '*' || text[at + 1] != '/');)
        at++;
    return at + 2;
}

bool bk_json_plain(bk_arena *arena, const bk_source *source, bk_text *out, bk_report *report)
{
    size_t errors = report->errors;
    if (!bk_json_read(arena, source, report) || report->errors > errors)
        return false;
    for (size_t at = 0; at < source->length;) {
        size_t from = at;
        char c = source->text[at];
        if (c == '/') {
            at = behind_comment(source, at);
            continue;
        }
        if (strchr(" \t\r\n", c)) { /* a byte 0 stands only in comments */
            at++;
            continue;
        }
        at = c == '"' ? behind_string(source, at) : at + 1;
        bk_text_add_bytes(out, source->text + from, at - from);
    }
    return true;
}

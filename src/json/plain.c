/* A JSON text without what its reader has no use for. */
#include "json/json.h"

#include <string.h>

bool bk_json_plain(bk_arena *arena, const bk_source *source, bk_text *out, bk_report *report)
{
    size_t errors = report->errors;
    if (!bk_json_read(arena, source, report) || report->errors > errors)
        return false;
    for (size_t at = 0; at < source->length;) {
        size_t from = at;
        char c = source->text[at];
        if (c == '/') {
            at = bk_json_comment_end(source, at);
            continue;
        }
        if (strchr(" \t\r\n", c)) { /* a byte 0 stands only in comments */
            at++;
            continue;
        }
        at = c == '"' ? bk_json_end(source, at) : at + 1;
        bk_text_add_bytes(out, source->text + from, at - from);
    }
    return true;
}

/* Which value stands at a place of a text, as a pointer (RFC 6901); and which one each comment is
 * about. */
#include "json/json.h"

#include <string.h>

enum { MOST_COMMENTS = 10000 };

static void add_token(bk_text *out, const char *token)
{
    bk_text_add(out, "/");
    for (; *token; token++)
        if (*token == '~' || *token == '/')
            bk_text_add(out, *token == '~' ? "~0" : "~1");
        else
            bk_text_add_bytes(out, token, 1);
}

/* From `in` to that of its parts that begins last, at `offset` or before it; NULL: none does. Adds
 * it to the pointer. */
static const bk_json *descend(const bk_json *in, size_t offset, bk_text *pointer)
{
    const bk_json *part = in->first;
    size_t index = 0;
    if (!part || part->key_offset > offset)
        return NULL;
    for (; part->next && part->next->key_offset <= offset; part = part->next)
        index++;
    if (part->key)
        add_token(pointer, part->key);
    else
        bk_text_addf(pointer, "/%zu", index);
    return part;
}

static const char *pointer_in(bk_arena *arena, const bk_json *root, size_t offset)
{
    bk_text pointer = bk_text_new(arena);
    bk_text_add(&pointer, "");
    while (root)
        root = descend(root, offset, &pointer);
    return pointer.data;
}

const char *bk_json_pointer_at(bk_arena *arena, const bk_source *source, size_t offset)
{
    bk_report ignored = bk_report_new(arena);
    const bk_json *root = bk_json_read(arena, source, &ignored);
    return root ? pointer_in(arena, root, offset) : NULL;
}

/* ----------------------------------------------------------------- comments */

typedef struct commented {
    bk_arena *arena;
    const bk_source *source;
    const bk_json *root;
    bk_put *put;
} commented;

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

/* Something stands before it on its line. */
static bool is_behind(const bk_source *source, size_t at)
{
    while (at > 0 && source->text[at - 1] != '\n')
        if (!is_blank(source->text[--at]))
            return true;
    return false;
}

/* The outermost value that is over before `at`. */
static const char *behind_which(const commented *c, size_t at)
{
    bk_text pointer = bk_text_new(c->arena);
    const bk_json *in = c->root;
    bk_text_add(&pointer, "");
    while (in && bk_json_end(c->source, in->offset) > at)
        in = descend(in, at, &pointer);
    return pointer.data;
}

/* The value that comes next, or, where none does, the one around it. */
static const char *above_which(const commented *c, size_t next)
{
    bk_text pointer = bk_text_new(c->arena);
    const bk_json *in = c->root;
    bk_text_add(&pointer, "");
    if (next >= c->source->length)
        return pointer.data;
    if (!strchr("]}", c->source->text[next]))
        return pointer_in(c->arena, c->root, next);
    for (;;) {
        size_t length = pointer.length;
        const bk_json *part = descend(in, next, &pointer);
        if (!part || bk_json_end(c->source, part->offset) <= next) {
            pointer.data[length] = '\0';
            return pointer.data;
        }
        in = part;
    }
}

/* Without its marks and the blanks around it. */
static const char *words_of(const commented *c, size_t from, size_t to)
{
    const char *text = c->source->text;
    bool block = text[from + 1] == '*';
    from += 2;
    to -= block ? 2 : 0;
    while (from < to && is_blank(text[from]))
        from++;
    while (to > from && is_blank(text[to - 1]))
        to--;
    return bk_copy(c->arena, text + from, to - from);
}

static void put_comment(const commented *c, size_t from, size_t to, size_t next)
{
    bool behind = is_behind(c->source, from);
    bk_put_open(c->put, NULL, "{");
    bk_put_text(c->put, "pointer", behind ? behind_which(c, from) : above_which(c, next));
    bk_put_text(c->put, "text", words_of(c, from, to));
    bk_put_close(c->put, "}");
}

bool bk_json_comments(bk_arena *arena, const bk_source *source, bk_put *put, bk_report *report)
{
    size_t errors = report->errors, count = 0;
    commented c = {arena, source, bk_json_read(arena, source, report), put};
    if (!c.root || report->errors > errors)
        return false;
    bk_put_open(put, NULL, "[");
    for (size_t at = 0; at < source->length && count < MOST_COMMENTS;) {
        if (source->text[at] == '"') {
            at = bk_json_end(source, at);
        } else if (source->text[at] == '/') {
            size_t from = at;
            at = bk_json_comment_end(source, at);
            put_comment(&c, from, at, bk_json_next(source, at));
            count++;
        } else {
            at++;
        }
    }
    bk_put_close(put, "]");
    return true;
}

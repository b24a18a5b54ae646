/* A JSON text laid out in one way, with its comments: what stands where is decided by the
 * values and the comments alone, so that the text of a tidy file comes out as it is. */
#include "json/json.h"

#include <string.h>

enum { WIDTH = 100 };

/* A comment, from its first byte to behind its last. */
typedef struct comment {
    size_t from, to;
    bool blank_before; /* an empty line stands above it */
    struct comment *next;
} comment;

typedef struct comments {
    comment *first, **tail;
} comments;

typedef struct node {
    char kind;                   /* '{', '[', or '=' for what has no parts */
    size_t key_from, key_to;     /* as written, with quotes; equal: no key */
    size_t from, to;             /* of the value as written */
    comments above, behind, end; /* before it; on its line; before its closing bracket */
    bool blank_before, has_comment_inside;
    size_t count, containers; /* children; those of them that have children */
    size_t columns;           /* in one line, key and all; SIZE_MAX: not to be */
    struct node *first, *next;
} node;

typedef struct tidier {
    bk_arena *arena;
    const char *text;
    size_t length, at;
    bk_text *out;
    size_t column;
} tidier;

/* ------------------------------------------------------------------ reading
 *
 * The text is known to be sound: its brackets match, and are not nested too deep. */

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r';
}

static comment *comment_at(tidier *t, bool blank_before)
{
    comment *found = BK_NEW(t->arena, comment, 1);
    found->from = t->at;
    found->blank_before = blank_before;
    if (t->text[t->at + 1] == '*') {
        for (t->at += 2; t->text[t->at] != '*' || t->text[t->at + 1] != '/';)
            t->at++; /* a byte 0 may stand before it */
        t->at += 2;
        found->to = t->at;
        return found;
    }
    while (t->at < t->length && t->text[t->at] != '\n')
        t->at++;
    found->to = t->at;
    while (is_blank(t->text[found->to - 1]))
        found->to--;
    return found;
}

static void append(comments *list, comment *item)
{
    if (!list->tail)
        list->tail = &list->first;
    *list->tail = item;
    while (*list->tail)
        list->tail = &(*list->tail)->next;
}

/* Steps over blanks; gives the line breaks that were among them. */
static size_t skip_blanks(tidier *t)
{
    size_t breaks = 0;
    while (t->at < t->length && (is_blank(t->text[t->at]) || t->text[t->at] == '\n'))
        breaks += t->text[t->at++] == '\n';
    return breaks;
}

/* Comments up to what stands next, which has *blank_before it. With `behind`, those on the
 * line that we are on go there, unless what is next stands on that line, too. */
static void gather(tidier *t, comments *behind, comments *above, bool *blank_before)
{
    comments here = {0};
    bool same_line = behind;
    for (;;) {
        size_t breaks = skip_blanks(t);
        bool is_comment = t->at < t->length && t->text[t->at] == '/';
        if (same_line && breaks == 0 && is_comment) {
            append(&here, comment_at(t, false));
            continue;
        }
        if (same_line && here.first) {
            bool closes = t->at < t->length && strchr("}],", t->text[t->at]);
            append(breaks > 0 || closes || t->at == t->length ? behind : above, here.first);
            here.first = NULL;
        }
        same_line = false;
        *blank_before = breaks > 1;
        if (!is_comment)
            return;
        append(above, comment_at(t, breaks > 1));
    }
}

static void step_over_string(tidier *t)
{
    for (t->at++; t->text[t->at] != '"'; t->at++)
        t->at += t->text[t->at] == '\\';
    t->at++;
}

static void join(comments *list, comments *more)
{
    if (more->first)
        append(list, more->first);
    *more = (comments){0};
}

/* At a key or a value, which has the comments `above` it. The recursion ends where that of
 * the reading did that found the text sound. */
static node *read_node(tidier *t, bool has_key, comments *above, bool blank_before)
{
    node *found = BK_NEW(t->arena, node, 1);
    bool blank = false;
    found->above = *above;
    found->blank_before = blank_before;
    *above = (comments){0};
    if (has_key) {
        comments between = {0};
        found->key_from = t->at;
        step_over_string(t);
        found->key_to = t->at;
        gather(t, NULL, &between, &blank);
        t->at++; /* the colon */
        gather(t, NULL, &between, &blank);
        join(&found->above, &between);
    }
    char c = t->text[t->at];
    found->from = t->at;
    found->kind = c == '{' || c == '[' ? c : '=';
    if (c == '"') {
        step_over_string(t);
    } else if (found->kind == '=') {
        while (t->at < t->length && !strchr(" \t\r\n,]}/", t->text[t->at]))
            t->at++;
    } else {
        comments before = {0};
        node **tail = &found->first;
        t->at++;
        gather(t, NULL, &before, &blank);
        while (!strchr("}]", t->text[t->at])) {
            node *child = read_node(t, c == '{', &before, blank);
            *tail = child;
            tail = &child->next;
            found->count++;
            found->containers += child->count > 0;
            gather(t, &child->behind, &before, &blank);
            if (t->text[t->at] == ',') {
                bool same_line =
                    !before.first && !memchr(t->text + child->to, '\n', t->at - child->to);
                t->at++;
                gather(t, same_line ? &child->behind : NULL, &before, &blank);
            }
            found->has_comment_inside |=
                child->above.first || child->behind.first || child->has_comment_inside;
        }
        found->end = before;
        found->has_comment_inside |= before.first != NULL;
        t->at++;
    }
    found->to = t->at;
    return found;
}

/* ------------------------------------------------------------------- widths */

static size_t columns_of(tidier *t, size_t from, size_t to)
{
    bk_mark mark = bk_arena_mark(t->arena);
    size_t columns = bk_columns(bk_copy(t->arena, t->text + from, to - from));
    bk_arena_release(t->arena, mark);
    return columns;
}

/* How wide each value is in one line, and which are not to be: what has a comment inside, a
 * list of several things that have parts, and an object of such unless it is one of a list. */
static void measure(tidier *t, node *n, bool in_list)
{
    size_t sum = 2;
    bool wide = n->has_comment_inside || (n->containers > 1 && !(n->kind == '{' && in_list));
    for (node *child = n->first; child; child = child->next) {
        measure(t, child, n->kind == '[');
        wide |= child->columns == SIZE_MAX;
        sum += wide ? 0 : child->columns + (child->next ? 2 : 0);
    }
    if (n->kind == '=')
        sum = columns_of(t, n->from, n->to);
    size_t key = n->key_to > n->key_from ? columns_of(t, n->key_from, n->key_to) + 2 : 0;
    n->columns = wide ? SIZE_MAX : key + sum;
}

/* ------------------------------------------------------------------ writing */

static void put(tidier *t, size_t from, size_t to)
{
    bk_text_add_bytes(t->out, t->text + from, to - from);
    t->column += columns_of(t, from, to);
}

static void put_word(tidier *t, const char *word)
{
    bk_text_add(t->out, word);
    t->column += strlen(word);
}

static void new_line(tidier *t, size_t indent)
{
    if (t->out->length > 0)
        bk_text_add(t->out, "\n");
    bk_text_add_repeated(t->out, ' ', indent);
    t->column = indent;
}

static void put_comment(tidier *t, const comment *c)
{
    for (size_t i = c->from; i < c->to; i++)
        if (!(t->text[i] == '\r' && i + 1 < c->to && t->text[i + 1] == '\n'))
            bk_text_add_bytes(t->out, t->text + i, 1);
}

/* Each on a line of its own; `first`: nothing stands above it in its bracket. */
static void put_above(tidier *t, const comments *list, size_t indent, bool first)
{
    for (const comment *c = list->first; c; c = c->next) {
        if (c->blank_before && !first)
            bk_text_add(t->out, "\n");
        new_line(t, indent);
        put_comment(t, c);
        first = false;
    }
}

static void put_key(tidier *t, const node *n)
{
    if (n->key_to == n->key_from)
        return;
    put(t, n->key_from, n->key_to);
    put_word(t, ": ");
}

static void put_in_line(tidier *t, const node *n)
{
    put_key(t, n);
    if (n->kind == '=') {
        put(t, n->from, n->to);
        return;
    }
    put_word(t, n->kind == '{' ? "{" : "[");
    for (const node *child = n->first; child; child = child->next) {
        put_in_line(t, child);
        if (child->next)
            put_word(t, ", ");
    }
    put_word(t, n->kind == '{' ? "}" : "]");
}

static bool fits(const tidier *t, const node *n, size_t behind)
{
    return n->columns <= WIDTH && t->column + n->columns + behind <= WIDTH;
}

/* An object of a list: as many members in a line as go there. */
static void put_filled(tidier *t, const node *n, size_t indent)
{
    put_word(t, "{");
    for (const node *child = n->first; child; child = child->next) {
        if (child != n->first) {
            put_word(t, ",");
            if (fits(t, child, child->next ? 1 : 2))
                put_word(t, " ");
            else
                new_line(t, indent + 1);
        }
        put_in_line(t, child);
    }
    put_word(t, "}");
}

static void put_node(tidier *t, const node *n, size_t indent, bool in_list);

static void put_opened(tidier *t, const node *n, size_t indent)
{
    put_word(t, n->kind == '{' ? "{" : "[");
    for (const node *child = n->first; child; child = child->next) {
        put_above(t, &child->above, indent + 2, child == n->first);
        if (child->blank_before && (child != n->first || child->above.first))
            bk_text_add(t->out, "\n");
        new_line(t, indent + 2);
        put_node(t, child, indent + 2, n->kind == '[');
        if (child->next)
            put_word(t, ",");
        for (const comment *c = child->behind.first; c; c = c->next) {
            bk_text_add(t->out, "  ");
            put_comment(t, c);
        }
    }
    put_above(t, &n->end, indent + 2, !n->first);
    new_line(t, indent);
    put_word(t, n->kind == '{' ? "}" : "]");
}

static bool all_in_line(const node *n)
{
    for (const node *child = n->first; child; child = child->next)
        if (child->columns == SIZE_MAX)
            return false;
    return true;
}

static void put_node(tidier *t, const node *n, size_t indent, bool in_list)
{
    bool has_parts = n->count > 0 || n->end.first;
    if (!has_parts || fits(t, n, 1)) {
        put_in_line(t, n);
    } else if (in_list && n->kind == '{' && !n->has_comment_inside && all_in_line(n)) {
        put_filled(t, n, indent);
    } else {
        put_key(t, n);
        put_opened(t, n, indent);
    }
}

/* ------------------------------------------------------------------ the same */

static bool same_tree(const bk_json *a, const bk_json *b)
{
    for (; a && b; a = a->next, b = b->next) {
        bool keys = a->key && b->key ? strcmp(a->key, b->key) == 0 : !a->key && !b->key;
        bool texts =
            a->string && b->string ? strcmp(a->string, b->string) == 0 : !a->string && !b->string;
        bool numbers = !(a->number < b->number) && !(a->number > b->number);
        if (!keys || !texts || !numbers || a->type != b->type || a->truth != b->truth ||
            a->count != b->count || !same_tree(a->first, b->first))
            return false;
    }
    return !a && !b;
}

/* The comments of a sound text, one behind the other, with no blanks at line ends. */
static bk_text all_comments(bk_arena *arena, const char *text, size_t length)
{
    bk_text all = bk_text_new(arena);
    tidier t = {.arena = arena, .text = text, .length = length, .out = &all};
    bk_text_add(&all, "");
    while (t.at < length) {
        if (text[t.at] == '"') {
            step_over_string(&t);
        } else if (text[t.at] == '/') {
            put_comment(&t, comment_at(&t, false));
            bk_text_add(&all, "\n");
        } else {
            t.at++;
        }
    }
    return all;
}

/* What was written says what was read: the same values in the same order, and the same
 * comments. */
static bool means_the_same(bk_arena *arena, const bk_source *source, const bk_json *before,
                           const bk_text *out)
{
    bk_report report = bk_report_new(arena);
    bk_source tidy = {source->name, out->data, out->length};
    const bk_json *after = bk_json_scan(arena, &tidy, &report);
    bk_text was = all_comments(arena, source->text, source->length);
    bk_text is = all_comments(arena, out->data, out->length);
    return after && report.errors == 0 && same_tree(before, after) && was.length == is.length &&
           memcmp(was.data, is.data, was.length) == 0;
}

bool bk_json_tidy(bk_arena *arena, const bk_source *source, bk_text *out, bk_report *report)
{
    size_t errors = report->errors;
    const bk_json *json = bk_json_read(arena, source, report);
    if (!json || report->errors > errors)
        return false;
    bk_text text = bk_text_new(arena);
    tidier t = {.arena = arena, .text = source->text, .length = source->length, .out = &text};
    comments above = {0};
    bool blank = false;
    gather(&t, NULL, &above, &blank);
    node *root = read_node(&t, false, &above, blank);
    comments below = {0};
    gather(&t, &root->behind, &below, &blank);
    measure(&t, root, false);
    put_above(&t, &root->above, 0, true);
    if (root->blank_before && root->above.first)
        bk_text_add(&text, "\n");
    new_line(&t, 0);
    if (root->count > 0 || root->end.first)
        put_opened(&t, root, 0);
    else
        put_in_line(&t, root);
    for (const comment *c = root->behind.first; c; c = c->next) {
        bk_text_add(&text, "  ");
        put_comment(&t, c);
    }
    put_above(&t, &below, 0, false);
    bk_text_add(&text, "\n");
    if (!means_the_same(arena, source, json, &text)) {
        report->machine_failed = true;
        bk_error(report, "internal", (bk_place){0}, NULL,
                 "internal error: %s would not be the same when laid out anew", source->name);
        return false;
    }
    bk_text_add_bytes(out, text.data, text.length);
    return true;
}

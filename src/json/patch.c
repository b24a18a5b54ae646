/* A JSON text changed in places, as an RFC 6902 patch says, and nothing else of it: comments and
 * layout of the rest stay byte for byte. What is put in is laid out as bk_json_tidy does it, and
 * indented as its neighbours.
 *
 * Every operation reads the text anew: it is done to the text, not to a tree, so that there is no
 * second form of it to be kept in step. */
#include "json/json.h"

#include <stdlib.h>
#include <string.h>

enum {
    MOST_OPERATIONS = 10000,
    MOST_MEMORY = 128 * 1024 * 1024 /* of all texts and trees made on the way */
};

typedef struct splice {
    size_t from, to;  /* these bytes ... */
    const char *text; /* ... become this */
} splice;

typedef struct patching {
    bk_arena *arena;
    bk_source text; /* as it is by now */
    bk_json *root;
    bk_report *report;
    const bk_json *operation; /* under way */
    size_t memory;
    splice splices[4]; /* in their order */
    size_t splice_count;
} patching;

/* Where an operation goes: into `parent`, where `value` is (NULL: nothing is there yet). */
typedef struct target {
    bk_json *parent; /* NULL: the whole text */
    bk_json *value;
    const char *key; /* in an object */
    size_t index;    /* in a list: at most its count */
} target;

static bool wrong(patching *p, const char *code, const char *what, const char *path)
{
    bk_error(p->report, code, bk_json_place(p->operation), NULL, "%s: %s", what,
             bk_quoted(p->arena, path));
    return false;
}

/* --------------------------------------------------------------- the text */

static char at(const patching *p, size_t i)
{
    return i < p->text.length ? p->text.text[i] : '\0';
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r';
}

static size_t line_start(const patching *p, size_t i)
{
    while (i > 0 && at(p, i - 1) != '\n')
        i--;
    return i;
}

/* Nothing stands before it on its line. */
static bool begins_line(const patching *p, size_t i)
{
    size_t from = line_start(p, i);
    while (from < i && is_blank(at(p, from)))
        from++;
    return from == i;
}

/* Behind blanks on its line. */
static size_t behind_blanks(const patching *p, size_t i)
{
    while (is_blank(at(p, i)))
        i++;
    return i;
}

static bool ends_line(const patching *p, size_t i)
{
    i = behind_blanks(p, i);
    return i >= p->text.length || at(p, i) == '\n';
}

/* What the line of `i` is indented by. */
static const char *indent_of(const patching *p, size_t i)
{
    size_t from = line_start(p, i), to = from;
    while (at(p, to) == ' ' || at(p, to) == '\t')
        to++;
    return bk_copy(p->arena, p->text.text + from, to - from);
}

static const char *line_break(const patching *p)
{
    const char *first = memchr(p->text.text, '\n', p->text.length);
    return first && first > p->text.text && first[-1] == '\r' ? "\r\n" : "\n";
}

/* Behind the comments that stand on the line of `i`, right behind it, and end there. */
static size_t behind_line_comments(const patching *p, size_t i)
{
    for (;;) {
        size_t from = behind_blanks(p, i);
        if (at(p, from) != '/')
            return i;
        size_t to = bk_json_comment_end(&p->text, from);
        if (memchr(p->text.text + from, '\n', to - from))
            return i;
        i = to;
        while (i > from && at(p, i - 1) == '\r') /* part of the line break */
            i--;
    }
}

/* ---------------------------------------------------------------- splicing */

static void put(patching *p, size_t from, size_t to, const char *text)
{
    p->splices[p->splice_count++] = (splice){from, to, text};
}

/* The text is read anew. False: it is no longer sound, or too much. */
static bool read_again(patching *p)
{
    bk_report faults = bk_report_new(p->arena);
    bk_source *kept = BK_NEW(p->arena, bk_source, 1); /* the tree keeps it */
    *kept = p->text;
    p->root = bk_json_read(p->arena, kept, &faults);
    if (p->root && faults.errors == 0)
        return true;
    p->report->machine_failed = true;
    bk_error(p->report, "internal", (bk_place){0}, NULL,
             "internal error: %s would not be sound when changed", p->text.name);
    return false;
}

static bool splice_in(patching *p)
{
    bk_text out = bk_text_new(p->arena);
    size_t done = 0;
    bk_text_add(&out, "");
    for (size_t i = 0; i < p->splice_count; i++) {
        const splice *s = &p->splices[i];
        bk_text_add_bytes(&out, p->text.text + done, s->from - done);
        bk_text_add(&out, s->text);
        done = s->to;
    }
    bk_text_add_bytes(&out, p->text.text + done, p->text.length - done);
    p->splice_count = 0;
    p->text.text = out.data;
    p->text.length = out.length;
    return read_again(p);
}

/* ----------------------------------------------------------------- pointers */

/* The next token of a pointer (RFC 6901), of which *pointer is at its "/"; NULL: it is none. */
static const char *read_token(bk_arena *arena, const char **pointer)
{
    bk_text token = bk_text_new(arena);
    bk_text_add(&token, "");
    const char *from = *pointer + 1;
    for (; *from && *from != '/'; from++) {
        char c = *from;
        if (c == '~') {
            from++;
            if (*from != '0' && *from != '1')
                return NULL;
            c = *from == '0' ? '~' : '/';
        }
        bk_text_add_bytes(&token, &c, 1);
    }
    *pointer = from;
    return token.data;
}

static bk_json *child(const bk_json *list, size_t index)
{
    bk_json *found = list->first;
    for (; found && index > 0; index--)
        found = found->next;
    return found;
}

/* "0", or digits that do not begin with 0. */
static bool read_index(const char *token, size_t *index)
{
    size_t length = strlen(token);
    *index = 0;
    if (length == 0 || length > 9 || (length > 1 && token[0] == '0') ||
        strspn(token, "0123456789") != length)
        return false;
    for (; *token; token++)
        *index = 10 * *index + (size_t)(*token - '0');
    return true;
}

/* False: the place itself cannot be; of a place where nothing is, the value is NULL. */
static bool find(patching *p, const char *pointer, target *found)
{
    *found = (target){.value = p->root};
    if (*pointer != '\0' && *pointer != '/')
        return wrong(p, "patch", "a pointer begins with /", pointer);
    for (const char *rest = pointer; *rest;) {
        const char *token = read_token(p->arena, &rest);
        bk_json *parent = found->value;
        if (!token)
            return wrong(p, "patch", "in a pointer ~ is ~0 and / is ~1", pointer);
        if (!parent || (parent->type != BK_JSON_OBJECT && parent->type != BK_JSON_LIST))
            return wrong(p, "patch", "there is nothing at", pointer);
        *found = (target){.parent = parent};
        if (parent->type == BK_JSON_OBJECT) {
            found->key = token;
            found->value = bk_json_get(parent, token);
        } else if (strcmp(token, "-") == 0) {
            found->index = parent->count;
        } else if (read_index(token, &found->index)) {
            if (found->index > parent->count)
                return wrong(p, "patch", "the list is shorter than", pointer);
            found->value = child(parent, found->index);
        } else {
            return wrong(p, "patch", "a place in a list is a number or -:", pointer);
        }
    }
    return true;
}

static bool find_there(patching *p, const char *pointer, target *found)
{
    if (!find(p, pointer, found))
        return false;
    return found->value || wrong(p, "patch", "there is nothing at", pointer);
}

/* ------------------------------------------------------------- what is put in */

static const char *as_json(bk_arena *arena, const char *text)
{
    bk_text out = bk_text_new(arena);
    bk_put put_line = bk_put_line_to(&out);
    bk_put_text(&put_line, NULL, text);
    return out.data;
}

/* `text`, whose lines but the first begin with `was`: with `is` instead. */
static const char *indented(bk_arena *arena, const char *text, size_t length, const char *was,
                            const char *is, const char *line_end)
{
    bk_text out = bk_text_new(arena);
    size_t before = strlen(was);
    bk_text_add(&out, "");
    for (const char *from = text, *end = text + length; from < end;) {
        const char *to = memchr(from, '\n', (size_t)(end - from));
        if (!to) {
            bk_text_add_bytes(&out, from, (size_t)(end - from));
            break;
        }
        bk_text_add_bytes(&out, from, (size_t)(to - from));
        bk_text_add(&out, line_end);
        from = to + 1;
        if ((size_t)(end - from) >= before && strncmp(from, was, before) == 0) {
            bk_text_add(&out, is);
            from += before;
        }
    }
    return out.data;
}

/* A value of the patch, laid out, with its key where it has one and `with_key`. */
static const char *laid_out(patching *p, const bk_json *value, const char *key, bool with_key,
                            const char *indent)
{
    bk_text whole = bk_text_new(p->arena), tidy = bk_text_new(p->arena);
    size_t end = bk_json_end(value->source, value->offset);
    const char *name = key ? as_json(p->arena, key) : "";
    bk_text_addf(&whole, key ? "{%s:" : "[", name);
    bk_text_add_bytes(&whole, value->source->text + value->offset, end - value->offset);
    bk_text_add(&whole, key ? "}" : "]");
    bk_source source = {p->text.name, whole.data, whole.length};
    bk_report ignored = bk_report_new(p->arena);
    if (!bk_json_tidy(p->arena, &source, &tidy, &ignored))
        return NULL;
    /* "{", a line break, two blanks; in the end a line break, "}", a line break */
    enum { BEFORE = 4, BEHIND = 3 };
    size_t skipped = BEFORE + (key && !with_key ? strlen(name) + 2 : 0);
    return indented(p->arena, tidy.data + skipped, tidy.length - skipped - BEHIND, "  ", indent,
                    line_break(p));
}

/* What an operation puts in: a value of the patch, or bytes of the text as they are. */
typedef struct item {
    const bk_json *value;
    const char *bytes;
    size_t length;
    const char *indent; /* of the line that the bytes are from */
} item;

static const char *item_text(patching *p, const item *what, const char *key, bool with_key,
                             const char *indent)
{
    if (what->value)
        return laid_out(p, what->value, key, with_key, indent);
    const char *text = indented(p->arena, what->bytes, what->length, what->indent, indent, "\n");
    return key && with_key ? bk_format(p->arena, "%s: %s", as_json(p->arena, key), text) : text;
}

static const char *joined(patching *p, const char *a, const char *b, const char *c, const char *d)
{
    return bk_format(p->arena, "%s%s%s%s", a, b, c, d);
}

/* ---------------------------------------------------------------- operations */

static bool replace(patching *p, const target *where, const item *what)
{
    const bk_json *value = where->value;
    const char *text = item_text(p, what, where->key, false, indent_of(p, value->offset));
    if (!text)
        return wrong(p, "patch", "this cannot be put in at", where->key ? where->key : "");
    put(p, value->offset, bk_json_end(&p->text, value->offset), text);
    return splice_in(p);
}

/* Into an object or a list in which nothing is. */
static bool fill(patching *p, const target *where, const item *what)
{
    size_t from = where->parent->offset + 1, to = bk_json_next(&p->text, from);
    bool bare = to == from || !memchr(p->text.text + from, '/', to - from);
    bool lines = bare && memchr(p->text.text + from, '\n', to - from);
    const char *outer = indent_of(p, where->parent->offset);
    const char *inner = lines ? joined(p, outer, "  ", "", "") : outer;
    const char *text = item_text(p, what, where->key, true, inner);
    if (!text)
        return wrong(p, "patch", "this cannot be put in at", where->key ? where->key : "");
    if (lines)
        put(p, from, to,
            bk_format(p->arena, "%s%s%s%s%s", line_break(p), inner, text, line_break(p), outer));
    else
        put(p, from, bare ? to : from, text);
    return splice_in(p);
}

/* Behind the last of its neighbours. */
static bool append(patching *p, const target *where, const item *what)
{
    const bk_json *last = child(where->parent, where->parent->count - 1);
    size_t end = bk_json_end(&p->text, last->offset);
    bool own_line = begins_line(p, last->key_offset);
    const char *indent = indent_of(p, last->key_offset);
    const char *text = item_text(p, what, where->key, true, indent);
    if (!text)
        return wrong(p, "patch", "this cannot be put in at", where->key ? where->key : "");
    size_t behind = own_line ? behind_line_comments(p, end) : end;
    if (!own_line) {
        put(p, end, end, joined(p, ", ", text, "", ""));
        return splice_in(p);
    }
    put(p, end, end, ",");
    put(p, behind, behind, joined(p, line_break(p), indent, text, ""));
    return splice_in(p);
}

/* Before the neighbour that has its place: behind the one before that, so that comments above stay
 * with what they stand above. */
static bool insert(patching *p, const target *where, const item *what)
{
    const bk_json *next = where->value;
    const char *indent = indent_of(p, next->offset);
    const char *text = item_text(p, what, NULL, true, indent);
    if (!text)
        return wrong(p, "patch", "this cannot be put in at", "");
    if (!begins_line(p, next->offset)) {
        put(p, next->offset, next->offset, joined(p, text, ", ", "", ""));
        return splice_in(p);
    }
    size_t behind = where->parent->offset + 1;
    if (where->index > 0) {
        const bk_json *before = child(where->parent, where->index - 1);
        behind = bk_json_next(&p->text, bk_json_end(&p->text, before->offset)) + 1; /* the comma */
    }
    behind = behind_line_comments(p, behind);
    put(p, behind, behind, joined(p, line_break(p), indent, text, ","));
    return splice_in(p);
}

static bool add(patching *p, const target *where, const item *what)
{
    if (!where->parent || (where->key && where->value))
        return replace(p, where, what);
    if (where->parent->count == 0)
        return fill(p, where, what);
    return where->value ? insert(p, where, what) : append(p, where, what);
}

/* Takes the bytes out, and the blanks around them that nobody needs then. */
static void take_out(patching *p, size_t from, size_t to)
{
    if (begins_line(p, from) && ends_line(p, to)) {
        from = line_start(p, from);
        to = behind_blanks(p, to);
        to += to < p->text.length; /* the line break */
    } else {
        to = behind_blanks(p, to);
        if (at(p, to) == '\r')
            to--;
    }
    put(p, from, to, "");
}

static bool take_last(patching *p, const target *where, size_t from, size_t to)
{
    const bk_json *before = where->parent->first;
    if (before == where->value) {
        size_t open = where->parent->offset + 1, close = bk_json_next(&p->text, to);
        bool bare = !memchr(p->text.text + open, '/', from - open) &&
                    !memchr(p->text.text + to, '/', close - to);
        if (bare)
            put(p, open, close, "");
        else
            take_out(p, from, to);
        return splice_in(p);
    }
    while (before->next != where->value)
        before = before->next;
    size_t comma = bk_json_next(&p->text, bk_json_end(&p->text, before->offset));
    if (behind_blanks(p, comma + 1) == from) {
        put(p, comma, to, "");
    } else {
        put(p, comma, comma + 1, "");
        take_out(p, from, to);
    }
    return splice_in(p);
}

static bool take(patching *p, const target *where, const char *path)
{
    const bk_json *value = where->value;
    if (!where->parent)
        return wrong(p, "patch", "the whole text cannot be removed", path);
    size_t from = value->key_offset, to = bk_json_end(&p->text, value->offset);
    size_t comma = bk_json_next(&p->text, to);
    if (at(p, comma) != ',')
        return take_last(p, where, from, to);
    if (behind_blanks(p, to) == comma) {
        take_out(p, from, comma + 1);
    } else { /* a comment, or a line break, stands between */
        put(p, from, to, "");
        put(p, comma, comma + 1, "");
    }
    return splice_in(p);
}

static int by_key(const void *left, const void *right)
{
    return strcmp((*(bk_json *const *)left)->key, (*(bk_json *const *)right)->key);
}

static bk_json **sorted(bk_arena *arena, const bk_json *object)
{
    bk_json **members = BK_NEW(arena, bk_json *, object->count);
    size_t count = 0;
    for (bk_json *member = object->first; member; member = member->next)
        members[count++] = member;
    if (count > 0)
        qsort(members, count, sizeof *members, by_key);
    return members;
}

/* The recursion is as deep as the reading lets it be. */
static bool same(bk_arena *arena, const bk_json *a, const bk_json *b)
{
    if (a->type != b->type || a->count != b->count)
        return false;
    switch (a->type) {
    case BK_JSON_NULL:
        return true;
    case BK_JSON_BOOLEAN:
        return a->truth == b->truth;
    case BK_JSON_NUMBER:
        return !(a->number < b->number) && !(a->number > b->number);
    case BK_JSON_STRING:
        return strcmp(a->string, b->string) == 0;
    case BK_JSON_LIST:
        for (a = a->first, b = b->first; a; a = a->next, b = b->next)
            if (!same(arena, a, b))
                return false;
        return true;
    case BK_JSON_OBJECT:
        break;
    }
    bk_json **mine = sorted(arena, a), **others = sorted(arena, b);
    for (size_t i = 0; i < a->count; i++)
        if (strcmp(mine[i]->key, others[i]->key) != 0 || !same(arena, mine[i], others[i]))
            return false;
    return true;
}

/* From another place of the text; `takes` it away there. */
static bool bring(patching *p, const char *from, const char *path, bool takes)
{
    target source, where;
    size_t length = strlen(from);
    if (!find_there(p, from, &source))
        return false;
    if (takes && strncmp(path, from, length) == 0 && path[length] == '/')
        return wrong(p, "patch", "a value cannot be moved into itself, from", from);
    if (takes && strcmp(path, from) == 0)
        return true;
    item what = {.bytes = p->text.text + source.value->offset,
                 .indent = indent_of(p, source.value->offset)};
    what.length = bk_json_end(&p->text, source.value->offset) - source.value->offset;
    if (takes && !take(p, &source, from))
        return false;
    return find(p, path, &where) && add(p, &where, &what);
}

static const char *member_text(const bk_json *object, const char *key)
{
    const bk_json *member = bk_json_get(object, key);
    return member && member->type == BK_JSON_STRING ? member->string : NULL;
}

static bool operate(patching *p)
{
    const char *op = member_text(p->operation, "op"), *path = member_text(p->operation, "path"),
               *from = member_text(p->operation, "from");
    const bk_json *value = bk_json_get(p->operation, "value");
    target where;
    if (!op || !path)
        return wrong(p, "patch", "an operation has \"op\" and \"path\", both texts", op ? op : "");
    item what = {.value = value};
    if (strcmp(op, "remove") == 0)
        return find_there(p, path, &where) && take(p, &where, path);
    if (strcmp(op, "move") == 0 || strcmp(op, "copy") == 0)
        return from ? bring(p, from, path, op[0] == 'm')
                    : wrong(p, "patch", "\"from\" is missing", path);
    bool adds = strcmp(op, "add") == 0, replaces = strcmp(op, "replace") == 0;
    if (!adds && !replaces && strcmp(op, "test") != 0)
        return wrong(p, "patch", "there is no operation", op);
    if (!value)
        return wrong(p, "patch", "\"value\" is missing", path);
    if (adds)
        return find(p, path, &where) && add(p, &where, &what);
    if (!find_there(p, path, &where))
        return false;
    if (replaces)
        return replace(p, &where, &what);
    return same(p->arena, where.value, value) ||
           wrong(p, "patch-test", "this is not what stands at", path);
}

static size_t values_of(const bk_json *json)
{
    size_t count = 1;
    for (const bk_json *part = json->first; part; part = part->next)
        count += values_of(part);
    return count;
}

/* What an operation may take of memory, at most: the text and the tree of it. */
static bool afford(patching *p)
{
    p->memory += 2 * p->text.length + values_of(p->root) * sizeof(bk_json);
    return p->memory <= MOST_MEMORY ||
           wrong(p, "patch", "this is too much to change at a time in", p->text.name);
}

bool bk_json_patch(bk_arena *arena, const bk_source *source, const bk_source *patch, bk_text *out,
                   bk_report *report)
{
    size_t errors = report->errors;
    patching p = {.arena = arena, .text = *source, .report = report};
    bk_json *operations = bk_json_read(arena, patch, report);
    p.root = bk_json_read(arena, source, report);
    if (!operations || !p.root || report->errors > errors)
        return false;
    p.operation = operations;
    if (memchr(source->text, '\0', source->length)) /* it may stand in a comment */
        return wrong(&p, "patch", "a character 0 stands in", source->name);
    if (memchr(patch->text, '\0', patch->length))
        return wrong(&p, "patch", "a character 0 stands in", patch->name);
    if (operations->type != BK_JSON_LIST || operations->count > MOST_OPERATIONS)
        return wrong(&p, "patch", "a patch is a list of at most 10000 operations", "");
    for (p.operation = operations->first; p.operation; p.operation = p.operation->next)
        if (!afford(&p) || !operate(&p))
            return false;
    bk_text_add_bytes(out, p.text.text, p.text.length);
    return true;
}

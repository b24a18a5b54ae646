/* A tree of JSON values: keys given once, and what callers ask of it. */
#include "json/json.h"

#include <stdlib.h>
#include <string.h>

static int by_key(const void *left, const void *right)
{
    const bk_json *a = *(bk_json *const *)left, *b = *(bk_json *const *)right;
    int order = strcmp(a->key, b->key);
    return order != 0 ? order : (a->key_offset > b->key_offset) - (a->key_offset < b->key_offset);
}

static void report_duplicate(bk_arena *arena, const bk_json *first, const bk_json *again,
                             bk_report *report)
{
    if (report->errors >= BK_MOST_ERRORS) {
        bk_error(report, "duplicate-key", bk_json_key_place(again), NULL, "a key is given twice");
        return;
    }
    size_t line = 0, column = 0;
    bk_place_locate(bk_json_key_place(first), &line, &column);
    bk_error(
        report, "duplicate-key", bk_json_key_place(again),
        bk_format(arena, "keep one of them; the first is at line %zu, column %zu", line, column),
        "the key %s is given twice", bk_quoted(arena, again->key));
}

static void drop_duplicate_members(bk_arena *arena, bk_json *object, bk_report *report)
{
    if (object->count < 2)
        return;
    bk_json **sorted = BK_NEW(arena, bk_json *, object->count);
    size_t count = 0;
    for (bk_json *member = object->first; member; member = member->next)
        sorted[count++] = member;
    qsort(sorted, count, sizeof *sorted, by_key);
    bool any = false;
    for (size_t i = 1, first = 0; i < count; i++) {
        if (strcmp(sorted[i]->key, sorted[first]->key) == 0) {
            report_duplicate(arena, sorted[first], sorted[i], report);
            sorted[i]->key = NULL; /* marks it for removal below */
            any = true;
        } else {
            first = i;
        }
    }
    for (bk_json **link = &object->first; any && *link;) {
        if (!(*link)->key) {
            *link = (*link)->next;
            object->count--;
        } else {
            link = &(*link)->next;
        }
    }
}

static void drop_duplicates(bk_arena *arena, bk_json *json, bk_report *report)
{
    if (json->type == BK_JSON_OBJECT)
        drop_duplicate_members(arena, json, report);
    for (bk_json *child = json->first; child; child = child->next)
        drop_duplicates(arena, child, report);
}

const bk_source *bk_source_of(bk_arena *arena, const char *name, const char *text, size_t length)
{
    bk_source *source = BK_NEW(arena, bk_source, 1);
    if (length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0) {
        text += 3; /* a byte-order mark says nothing, and would shift the columns */
        length -= 3;
    }
    *source = (bk_source){name, text, length};
    return source;
}

bk_json *bk_json_read(bk_arena *arena, const bk_source *source, bk_report *report)
{
    bk_json *root = bk_json_scan(arena, source, report);
    if (root)
        drop_duplicates(arena, root, report);
    return root;
}

bk_json *bk_json_read_line(bk_arena *arena, const bk_source *source, size_t from, size_t to,
                           size_t *values, bk_report *report)
{
    bk_json *root = bk_json_scan_line(arena, source, from, to, values, report);
    if (root)
        drop_duplicates(arena, root, report);
    return root;
}

bk_place bk_json_place(const bk_json *json)
{
    bk_place place = {json->source, json->offset};
    return place;
}

bk_place bk_json_key_place(const bk_json *json)
{
    bk_place place = {json->source, json->key_offset};
    return place;
}

bk_json *bk_json_get(const bk_json *object, const char *key)
{
    if (!object || object->type != BK_JSON_OBJECT)
        return NULL;
    for (bk_json *member = object->first; member; member = member->next)
        if (strcmp(member->key, key) == 0)
            return member;
    return NULL;
}

const char *bk_json_type_name(const bk_json *json)
{
    switch (json->type) {
    case BK_JSON_NULL:
        return "null";
    case BK_JSON_BOOLEAN:
        return json->truth ? "true" : "false";
    case BK_JSON_NUMBER:
        return "a number";
    case BK_JSON_STRING:
        return "a text";
    case BK_JSON_LIST:
        return "a list";
    case BK_JSON_OBJECT:
        return "an object";
    }
    return "something else";
}

char *bk_quoted(bk_arena *arena, const char *text)
{
    enum { MOST_CHARACTERS = 60 };
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "\"");
    size_t left = strlen(text);
    for (int shown = 0; left > 0; shown++) {
        if (shown == MOST_CHARACTERS) {
            bk_text_add(&out, "…");
            break;
        }
        uint32_t code = 0;
        size_t size = bk_utf8_next(text, left, &code);
        if (size == 0 || code < 0x20 || (code >= 0x7F && code < 0xA0)) {
            bk_text_add(&out, "?");
            size = size == 0 ? 1 : size;
        } else {
            bk_text_add_bytes(&out, text, size);
        }
        text += size;
        left -= size;
    }
    bk_text_add(&out, "\"");
    return out.data;
}

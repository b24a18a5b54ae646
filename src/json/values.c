/* The values of a scanned tree: from cJSON, copied in step with the offsets. */
#include "json/json.h"

#include <cjson/cJSON.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Room for every text, made before cJSON allocates: an arena that runs out of
 * memory jumps, and the jump must not leak cJSON's tree. A decoded text is never
 * longer than it is written. Recursion is bounded by the scanner's nesting. */
static void make_room(bk_arena *arena, bk_json *json, bool in_object)
{
    if (in_object) {
        json->key = BK_NEW(arena, char, json->raw_key_length + 1);
    }
    if (json->type == BK_JSON_STRING) {
        json->string = BK_NEW(arena, char, json->raw_length + 1);
    }
    for (bk_json *child = json->first; child != NULL; child = child->next) {
        make_room(arena, child, json->type == BK_JSON_OBJECT);
    }
}

static bool copy_text(char *into, size_t room, const char *from)
{
    size_t length = from != NULL ? strlen(from) : SIZE_MAX;
    if (length > room) {
        return false;
    }
    memcpy(into, from, length + 1);
    return true;
}

/* False when cJSON read something else than the scanner did. */
static bool copy_values(bk_json *json, const cJSON *value)
{
    if (value == NULL) {
        return false;
    }
    if (json->key != NULL && !copy_text(json->key, json->raw_key_length, value->string)) {
        return false;
    }
    switch (json->type) {
    case BK_JSON_NULL:
        return cJSON_IsNull(value);
    case BK_JSON_BOOLEAN:
        return cJSON_IsBool(value) && (cJSON_IsTrue(value) != 0) == json->truth;
    case BK_JSON_NUMBER:
        json->number = value->valuedouble;
        return cJSON_IsNumber(value);
    case BK_JSON_STRING:
        return cJSON_IsString(value) &&
               copy_text(json->string, json->raw_length, value->valuestring);
    case BK_JSON_LIST:
    case BK_JSON_OBJECT:
        break;
    }
    if (!(json->type == BK_JSON_LIST ? cJSON_IsArray(value) : cJSON_IsObject(value))) {
        return false;
    }
    const cJSON *item = value->child;
    for (bk_json *child = json->first; child != NULL; child = child->next) {
        if (!copy_values(child, item)) {
            return false;
        }
        item = item->next;
    }
    return item == NULL;
}

/* ------------------------------------------------------------- duplicates */

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

static void drop_duplicates(bk_arena *arena, bk_json *json, bk_report *report);

static void drop_duplicate_members(bk_arena *arena, bk_json *object, bk_report *report)
{
    if (object->count < 2) {
        return;
    }
    bk_json **sorted = BK_NEW(arena, bk_json *, object->count);
    size_t count = 0;
    for (bk_json *member = object->first; member != NULL; member = member->next) {
        sorted[count++] = member;
    }
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
    for (bk_json **link = &object->first; any && *link != NULL;) {
        if ((*link)->key == NULL) {
            *link = (*link)->next;
            object->count--;
        } else {
            link = &(*link)->next;
        }
    }
}

static void drop_duplicates(bk_arena *arena, bk_json *json, bk_report *report)
{
    if (json->type == BK_JSON_OBJECT) {
        drop_duplicate_members(arena, json, report);
    }
    for (bk_json *child = json->first; child != NULL; child = child->next) {
        drop_duplicates(arena, child, report);
    }
}

/* ------------------------------------------------------------------- reading */

bk_json *bk_json_read(bk_arena *arena, const bk_source *source, bk_report *report)
{
    char *plain = BK_NEW(arena, char, source->length + 1);
    bk_json *root = bk_json_scan(arena, source, plain, report);
    if (root == NULL) {
        return NULL;
    }
    make_room(arena, root, false);
    cJSON *value = cJSON_ParseWithLength(plain, source->length);
    if (value == NULL) {
        /* The scanner accepts nothing that cJSON refuses: only memory is left. */
        bk_arena_fail(arena);
    }
    bool same = copy_values(root, value);
    cJSON_Delete(value);
    if (!same) {
        bk_error(report, "json", bk_json_place(root), NULL, "this JSON cannot be read");
        return NULL;
    }
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
    if (object == NULL || object->type != BK_JSON_OBJECT) {
        return NULL;
    }
    for (bk_json *member = object->first; member != NULL; member = member->next) {
        if (strcmp(member->key, key) == 0) {
            return member;
        }
    }
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

/* Changes of values in the files of a plan. */
#include "explain/edits.h"

const bk_json *bk_value_text(bk_arena *arena, const char *text)
{
    bk_json *value = BK_NEW(arena, bk_json, 1);
    *value = (bk_json){.type = BK_JSON_STRING, .string = (char *)text};
    return value;
}

const bk_json *bk_value_number(bk_arena *arena, int64_t number)
{
    bk_json *value = BK_NEW(arena, bk_json, 1);
    *value = (bk_json){.type = BK_JSON_NUMBER, .number = (double)number};
    return value;
}

const bk_json *bk_value_object(bk_arena *arena, const char *const *members)
{
    bk_json *object = BK_NEW(arena, bk_json, 1), **last = &object->first;
    object->type = BK_JSON_OBJECT;
    for (; *members; members += 2) {
        bk_json *member = BK_NEW(arena, bk_json, 1);
        *member = (bk_json){
            .type = BK_JSON_STRING, .key = (char *)members[0], .string = (char *)members[1]};
        *last = member;
        last = &member->next;
        object->count++;
    }
    return object;
}

const bk_json *bk_value_member(bk_arena *arena, const char *key, const bk_json *value)
{
    bk_json *items = BK_NEW(arena, bk_json, 2);
    items[0] = (bk_json){.type = BK_JSON_OBJECT, .count = 1, .first = &items[1]};
    items[1] = *value;
    items[1].key = (char *)key;
    return items;
}

/* A list of two, the first as it is in its file. */
static const bk_json *list_of(bk_arena *arena, const bk_json *first, const bk_json *second)
{
    bk_json *items = BK_NEW(arena, bk_json, 3);
    items[0] = (bk_json){.type = BK_JSON_LIST, .count = 2, .first = &items[1]};
    items[1] = *first;
    items[1].next = &items[2];
    items[2] = *second;
    return items;
}

/* ------------------------------------------------------------------- places */

/* The file's values; read once, without a word: it was read without error before. */
static const bk_json *tree_of(bk_edit_set *edits, const bk_source *source)
{
    bk_file_trees *trees = edits->trees;
    for (size_t i = 0; i < trees->count; i++)
        if (trees->items[i].source == source)
            return trees->items[i].root;
    bk_report quiet = bk_report_new(edits->arena);
    const bk_json *root = bk_json_read(edits->arena, source, &quiet);
    *BK_PUSH(edits->arena, trees->items, trees->count, trees->room) = (bk_file_tree){source, root};
    return root;
}

const bk_json *bk_edit_find(bk_edit_set *edits, bk_place place)
{
    const bk_json *root = place.source ? tree_of(edits, place.source) : NULL;
    return root ? bk_json_at(root, (uint32_t)place.offset) : NULL;
}

void bk_edit_fail(bk_edit_set *edits)
{
    edits->failed = true;
    edits->count = 0;
}

/* An edit of the value, or with `below` of what is that below it. */
static void edit(bk_edit_set *edits, const char *op, const bk_json *at, const char *below,
                 const bk_json *value)
{
    const bk_json *root = at ? tree_of(edits, at->source) : NULL;
    const char *path = root ? bk_json_pointer(edits->arena, root, at) : NULL;
    if (!path)
        bk_edit_fail(edits);
    if (edits->failed)
        return;
    if (below)
        path = bk_format(edits->arena, "%s/%s", path, below);
    *BK_PUSH(edits->arena, edits->items, edits->count, edits->room) =
        (bk_edit){at->source->name, op, path, value};
}

static const bk_json *around(bk_edit_set *edits, const bk_json *value)
{
    return value ? bk_json_around(tree_of(edits, value->source), value) : NULL;
}

/* --------------------------------------------------------------------- edits */

void bk_edit_replace(bk_edit_set *edits, bk_place place, const bk_json *value)
{
    edit(edits, "replace", bk_edit_find(edits, place), NULL, value);
}

void bk_edit_remove(bk_edit_set *edits, bk_place place)
{
    edit(edits, "remove", bk_edit_find(edits, place), NULL, NULL);
}

static void add(bk_edit_set *edits, const bk_json *object, const char *key, const bk_json *value)
{
    if (!object || object->type != BK_JSON_OBJECT)
        bk_edit_fail(edits);
    else
        edit(edits, bk_json_get(object, key) ? "replace" : "add", object, key, value);
}

void bk_edit_add(bk_edit_set *edits, bk_place object, const char *key, const bk_json *value)
{
    add(edits, bk_edit_find(edits, object), key, value);
}

void bk_edit_add_beside(bk_edit_set *edits, bk_place member, const char *key, const bk_json *value)
{
    add(edits, around(edits, bk_edit_find(edits, member)), key, value);
}

void bk_edit_add_last(bk_edit_set *edits, bk_place list, const bk_json *value)
{
    const bk_json *at = bk_edit_find(edits, list);
    if (at && at->type == BK_JSON_LIST)
        edit(edits, "add", at, "-", value);
    else
        bk_edit_fail(edits);
}

void bk_edit_add_like(bk_edit_set *edits, bk_place element, const bk_json *value)
{
    const bk_json *at = bk_edit_find(edits, element), *list = around(edits, at);
    if (list && list->type == BK_JSON_LIST)
        edit(edits, "add", list, "-", value);
    else
        edit(edits, "replace", at, NULL, at ? list_of(edits->arena, at, value) : NULL);
}

const char *bk_instant_written(bk_arena *arena, const bk_zone *zone, bk_instant instant)
{
    bk_civil at = bk_civil_at(zone, instant);
    const char *civil =
        bk_format(arena, "%04d-%02d-%02d %02d:%02d", at.year, at.month, at.day, at.hour, at.minute);
    bk_instant read;
    return bk_instant_read(zone, civil, &read, NULL) == BK_INSTANT_OK && read == instant
               ? civil
               : bk_instant_rfc3339(arena, zone, instant);
}

/* Private to explain: changes of values in the files of a plan, as RFC 6902 has them. */
#ifndef BK_EXPLAIN_EDITS_H
#define BK_EXPLAIN_EDITS_H

#include "timeline/timeline.h"
#include "json/json.h"

typedef struct bk_file_tree {
    const bk_source *source;
    const bk_json *root; /* NULL: it is none of JSON */
} bk_file_tree;

/* The files that were looked into. */
typedef struct bk_file_trees {
    bk_file_tree *items;
    size_t count, room;
} bk_file_trees;

/* The edits of one change. What cannot be written leaves none at all. */
typedef struct bk_edit_set {
    bk_arena *arena;
    bk_file_trees *trees;
    bk_edit *items;
    size_t count, room;
    bool failed;
} bk_edit_set;

/* Values; strings are not copied. `members` are key, value, key, value, NULL. */
const bk_json *bk_value_text(bk_arena *arena, const char *text);
const bk_json *bk_value_number(bk_arena *arena, int64_t number);
const bk_json *bk_value_object(bk_arena *arena, const char *const *members);
const bk_json *bk_value_member(bk_arena *arena, const char *key, const bk_json *value);

/* The value at `place` of its file; NULL: it is not there. */
const bk_json *bk_edit_find(bk_edit_set *edits, bk_place place);

/* The value at a place (or that of the key there) becomes another. */
void bk_edit_replace(bk_edit_set *edits, bk_place place, const bk_json *value);
/* It is taken out. */
void bk_edit_remove(bk_edit_set *edits, bk_place place);
/* A member of the object at a place, or of the one that the value there is a member of; one more
 * element behind a list's last. What has that key already is replaced. */
void bk_edit_add(bk_edit_set *edits, bk_place object, const char *key, const bk_json *value);
void bk_edit_add_beside(bk_edit_set *edits, bk_place member, const char *key, const bk_json *value);
void bk_edit_add_last(bk_edit_set *edits, bk_place list, const bk_json *value);
/* One more beside an element of a list; beside a value that stands for a list of one, which becomes
 * one. */
void bk_edit_add_like(bk_edit_set *edits, bk_place element, const bk_json *value);
/* This change cannot be written. */
void bk_edit_fail(bk_edit_set *edits);

/* An instant as a plan has it, in its zone: "2026-12-24 19:30", with an offset where the hour comes
 * twice. */
const char *bk_instant_written(bk_arena *arena, const bk_zone *zone, bk_instant instant);

#endif

/* JSON as a tree in which every value and key knows its place in the file.
 *
 * The one reading of a plan's JSON is ours, for what cJSON (1.7.15) cannot give: a place
 * for every value, which plans keep to speak of it later; several faults named in one
 * reading; comments; and a no to what it lets through: numbers such as 01 and 1.,
 * bytes that are not UTF-8, control characters and \u0000 in a text (tests/json holds
 * both side by side). cJSON reads what needs none of these.
 */
#ifndef BK_JSON_H
#define BK_JSON_H

#include "base/base.h"

enum bk_json_type {
    BK_JSON_NULL,
    BK_JSON_BOOLEAN,
    BK_JSON_NUMBER,
    BK_JSON_STRING,
    BK_JSON_LIST,
    BK_JSON_OBJECT
};

typedef struct bk_json {
    enum bk_json_type type;
    bool truth;          /* BOOLEAN */
    uint32_t offset;     /* of the value's first byte */
    uint32_t key_offset; /* of its key's opening quote; in a list that of the value */
    uint32_t count;      /* of children */
    char *key;           /* NULL in a list and at the root */
    char *string;        /* STRING */
    double number;       /* NUMBER */
    const bk_source *source;
    struct bk_json *first, *next; /* first child; next sibling */
} bk_json;

/* More values than this in one file is an error: it bounds memory. */
enum { BK_MOST_VALUES = 1000000 };

/* Brackets inside brackets; it bounds recursion. */
enum { BK_MOST_NESTING = 64 };

/* A file's text, NUL-terminated, as a source; the name and the text must outlive it. A
 * byte-order mark is stepped over. */
const bk_source *bk_source_of(bk_arena *arena, const char *name, const char *text, size_t length);

/* Reads a whole source. Comments are accepted and ignored. Returns NULL after a
 * syntax error that leaves nothing to go on with; after errors that can be
 * mended in passing (a comma missing or too many, a key without quotes, curly
 * quotes, True, a key given twice) they are reported, all but the last with their
 * fix, and the tree is returned. Of two equal keys the first stays. */
bk_json *bk_json_read(bk_arena *arena, const bk_source *source, bk_report *report);

/* Reads one line of a source that has a value a line: the bytes [from, to), which hold one
 * value and no line break. Places are those in the whole source. *values counts the values
 * made so far, over all lines: BK_MOST_VALUES bounds them together. */
bk_json *bk_json_read_line(bk_arena *arena, const bk_source *source, size_t from, size_t to,
                           size_t *values, bk_report *report);

/* The first step of each, for tree.c: of equal keys all stay. */
bk_json *bk_json_scan(bk_arena *arena, const bk_source *source, bk_report *report);
bk_json *bk_json_scan_line(bk_arena *arena, const bk_source *source, size_t from, size_t to,
                           size_t *values, bk_report *report);

/* The same text laid out in one way, appended to `out`: the same values in the same order,
 * their numbers and texts as written, and all comments. Laid out again it comes out as it
 * is. It is read again and compared before it is given out. False after reporting what is wrong
 * with the source. */
bool bk_json_tidy(bk_arena *arena, const bk_source *source, bk_text *out, bk_report *report);

/* The text changed as the patch says, a JSON Patch (RFC 6902), appended to `out`: all of it is done
 * or none. Of the text every other byte stays, comments and layout; what is put in is laid out as
 * by bk_json_tidy and indented as its neighbours. A comment on the line of what is removed stays;
 * what is put in at a place of a list stands above the comments of what had that place. False after
 * reporting what is wrong with the source or the patch ("patch"; "patch-test": a test failed). */
bool bk_json_patch(bk_arena *arena, const bk_source *source, const bk_source *patch, bk_text *out,
                   bk_report *report);

/* The pointer (RFC 6901) to the innermost value that begins, with its key, at `offset` or before
 * it, its neighbours behind it; NULL where the source cannot be read. */
const char *bk_json_pointer_at(bk_arena *arena, const bk_source *source, size_t offset);

/* Behind the value that begins at `at` of a source without fault; behind the comment that does; the
 * next byte, from `at` on, that is no blank and in no comment. At most the source's length. */
size_t bk_json_end(const bk_source *source, size_t at);
size_t bk_json_comment_end(const bk_source *source, size_t at);
size_t bk_json_next(const bk_source *source, size_t at);

/* The same value without comments and blanks, on one line, numbers and texts as written,
 * appended to `out`: for readers of strict JSON. False after reporting what is wrong with the
 * source. */
bool bk_json_plain(bk_arena *arena, const bk_source *source, bk_text *out, bk_report *report);

bk_place bk_json_place(const bk_json *json);
bk_place bk_json_key_place(const bk_json *json);

/* The member with this key, or NULL. */
bk_json *bk_json_get(const bk_json *object, const char *key);

/* The value whose own first byte, or whose key's, is at `offset`; NULL where none is. */
const bk_json *bk_json_at(const bk_json *root, uint32_t offset);

/* The object or list that a value stands in; NULL of the root, or where it is not below `root`. */
const bk_json *bk_json_around(const bk_json *root, const bk_json *value);

/* Where a value stands in `root`, as RFC 6901 writes it: "/dishes/0/stages/2"; NULL when it is not
 * there. */
char *bk_json_pointer(bk_arena *arena, const bk_json *root, const bk_json *value);

/* "a number", "a list", ... for messages. */
const char *bk_json_type_name(const bk_json *json);

/* A text quoted for a message: control characters become '?', long ones are cut. */
char *bk_quoted(bk_arena *arena, const char *text);

/* ------------------------------------------------------------------ writing
 *
 * A JSON value written straight into the text builder: two-space indented, or on one
 * line. Not through a JSON library: its tree would live outside the arena and be lost when
 * memory runs out half-way (the arena jumps), and its allocation hooks are
 * process-wide. */

typedef struct bk_put {
    bk_text *out;
    size_t depth;
    bool first;    /* nothing yet in the innermost object or list */
    bool one_line; /* no line breaks */
} bk_put;

/* A writer of one value, to which everything is appended; the second writes it on one line,
 * without an end of line behind it. */
bk_put bk_put_to(bk_text *out);
bk_put bk_put_line_to(bk_text *out);

/* Each of these writes one member of the object that is open; with key NULL, an
 * element of the list that is open, or, where nothing is open, the whole value, which stands
 * where the text is. A text of NULL is null; bytes that are not UTF-8 become U+FFFD. A number
 * reads back as the same one whatever the host's locale; one that is not finite is null. */
void bk_put_text(bk_put *put, const char *key, const char *text);
void bk_put_integer(bk_put *put, const char *key, int64_t value);
void bk_put_number(bk_put *put, const char *key, double value);
void bk_put_boolean(bk_put *put, const char *key, bool value);
void bk_put_null(bk_put *put, const char *key);
void bk_put_value(bk_put *put, const char *key, const bk_json *value); /* a whole tree */

/* Opens an object "{" or a list "[", and closes the innermost with "}" or "]". The
 * outermost has no key. */
void bk_put_open(bk_put *put, const char *key, const char *bracket);
void bk_put_close(bk_put *put, const char *bracket);

/* The comments of a source, in their order, as a list of {"pointer", "text"}: what each is about,
 * the value that stands before it on its line, or else the next one, or, where there is none, the
 * one around it; and its words without their marks. At most 10,000. False after reporting what is
 * wrong with the source. */
bool bk_json_comments(bk_arena *arena, const bk_source *source, bk_put *put, bk_report *report);

#endif

/* Memory, text and messages: what every other folder needs.
 *
 * Ownership: everything given out here lives in an arena and dies with it.
 * Nothing here prints, exits or keeps state of its own.
 */
#ifndef BK_BASE_H
#define BK_BASE_H

#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#if defined(__GNUC__)
#define BK_PRINTF(string, first) __attribute__((format(printf, string, first)))
#define BK_NORETURN __attribute__((noreturn))
#else
#define BK_PRINTF(string, first)
#define BK_NORETURN
#endif

/* ------------------------------------------------------------------ arena */

typedef struct bk_arena bk_arena;

/* A new arena, or NULL when there is no memory. When a later allocation fails,
 * the arena jumps to *no_memory with value 1; with no_memory NULL it aborts
 * (tests only). The jump buffer must outlive every allocation. */
bk_arena *bk_arena_new(jmp_buf *no_memory);

/* An arena for what is needed for a while only: it jumps as its parent does, and may be freed
 * before it; otherwise it goes with the parent. */
bk_arena *bk_arena_within(bk_arena *parent);

/* Frees the arena, all it gave out and the arenas within it. Accepts NULL. */
void bk_arena_free(bk_arena *arena);

/* Makes the no-memory jump of the arena: for code that manages memory of its own
 * and has freed it. Does not return. */
BK_NORETURN void bk_arena_fail(bk_arena *arena);

/* A point in the arena's life, to which it can be taken back: everything given out
 * after the mark is then gone. Marks nest like brackets. */
typedef struct bk_mark {
    void *chunk;
    size_t used;
} bk_mark;

bk_mark bk_arena_mark(const bk_arena *arena);
void bk_arena_release(bk_arena *arena, bk_mark mark);

/* count * size bytes, zeroed, aligned for any type; never NULL. The product is
 * checked for overflow. A count of 0 gives a valid pointer to nothing. */
void *bk_alloc(bk_arena *arena, size_t count, size_t size);

/* An array of `count` zeroed elements of `type`. */
#define BK_NEW(arena, type, count) ((type *)bk_alloc((arena), (size_t)(count), sizeof(type)))

/* A larger copy of an array: room for at least `need` elements of `size` bytes.
 * Writes the new room to *room. Used through BK_PUSH. */
void *bk_grow(bk_arena *arena, void *old, size_t size, size_t *room, size_t need);

/* A slot at the end of a growing array: `items`, `count` and `room` are lvalues
 * (pointer, size_t, size_t). Evaluates to a pointer to the new zeroed element. */
#define BK_PUSH(arena, items, count, room)                                                         \
    ((items) = ((count) < (room))                                                                  \
                   ? (items)                                                                       \
                   : bk_grow((arena), (items), sizeof *(items), &(room), (count) + 1),             \
     &(items)[(count)++])

/* A copy of `length` bytes of `text` with a NUL behind it. */
char *bk_copy(bk_arena *arena, const char *text, size_t length);
char *bk_copy_string(bk_arena *arena, const char *text);

/* printf into the arena. */
char *bk_format(bk_arena *arena, const char *format, ...) BK_PRINTF(2, 3);
char *bk_vformat(bk_arena *arena, const char *format, va_list arguments);

/* ------------------------------------------------------------ text builder */

/* Text that grows. `data` is NUL-terminated at all times (NULL only before the
 * first call on a zeroed struct). */
typedef struct bk_text {
    bk_arena *arena;
    char *data;
    size_t length, room;
} bk_text;

bk_text bk_text_new(bk_arena *arena);
void bk_text_add(bk_text *text, const char *string);
void bk_text_add_bytes(bk_text *text, const char *bytes, size_t length);
void bk_text_addf(bk_text *text, const char *format, ...) BK_PRINTF(2, 3);
void bk_text_add_repeated(bk_text *text, char c, size_t count);

/* ---------------------------------------------------------------- UTF-8 */

/* Length in bytes of the valid UTF-8 sequence at `text` (1-4), or 0 when the
 * bytes are not UTF-8 (overlong forms, surrogates and values above U+10FFFF
 * included) or `left` is 0. Writes the code point to *code when not NULL. */
size_t bk_utf8_next(const char *text, size_t left, uint32_t *code);

/* Writes a code point (not a surrogate, at most U+10FFFF) as UTF-8 to `into`, which has
 * room for 4 bytes; gives the bytes written. */
size_t bk_utf8_put(char *into, uint32_t code);

/* Columns that `text` takes on a terminal: wide characters count 2, combining
 * marks 0, everything else 1. Invalid bytes count 1. */
size_t bk_columns(const char *text);

/* -------------------------------------------------------------- messages */

enum bk_severity { BK_WARNING, BK_ERROR };

/* A file that was read, kept so that a message can show its line. */
typedef struct bk_source {
    const char *name; /* as the cook named it; "<stdin>" for standard input */
    const char *text; /* NUL-terminated */
    size_t length;
} bk_source;

/* A place in a source: byte offset of the value or key meant. A zeroed bk_place
 * means "no place": the message stands alone. */
typedef struct bk_place {
    const bk_source *source;
    size_t offset;
} bk_place;

/* What a message is about, as data: nobody has to read its words to know. */
enum bk_concern { BK_OTHER_CONCERN, BK_FOOD_SAFETY, BK_CAUTION };

typedef struct bk_about {
    enum bk_concern concern;
    size_t stage; /* index in the plan's stages; SIZE_MAX: of no one stage */
} bk_about;

/* What a mend comes to, as data, where there is one that is sure: the `length` bytes of the
 * place's source from `offset` on become `text`. None of them is a line break. */
typedef struct bk_fix {
    size_t offset, length;
    const char *text; /* NULL: no mend is sure */
} bk_fix;

typedef struct bk_message {
    enum bk_severity severity;
    bk_about about;
    const char *code; /* stable word, e.g. "unknown-key", "clock-change" */
    bk_place place;
    const char *text; /* what is wrong */
    const char *mend; /* what to write instead; NULL when there is nothing to say */
    bk_fix fix;       /* the same, to be done */
} bk_message;

enum { BK_MOST_ERRORS = 20 };

/* Where messages collect. Errors beyond BK_MOST_ERRORS are counted, not kept. */
typedef struct bk_report {
    bk_arena *arena;
    bk_message *messages;
    size_t count, room;
    size_t errors;       /* all errors seen, kept or not */
    bool machine_failed; /* an error of the machine (file, memory), not of the input: exit 3 */
} bk_report;

bk_report bk_report_new(bk_arena *arena);

/* Adds a message. `mend` may be NULL. The text is formatted into the report's
 * arena. */
void bk_error(bk_report *report, const char *code, bk_place place, const char *mend,
              const char *format, ...) BK_PRINTF(5, 6);
void bk_warning(bk_report *report, const char *code, bk_place place, const char *mend,
                const char *format, ...) BK_PRINTF(5, 6);

/* An error with a mend that is sure. The fix's text is copied. */
void bk_error_fix(bk_report *report, const char *code, bk_place place, bk_fix fix, const char *mend,
                  const char *format, ...) BK_PRINTF(6, 7);

/* The same about something. */
void bk_warning_about(bk_report *report, bk_about about, const char *code, bk_place place,
                      const char *mend, const char *format, ...) BK_PRINTF(6, 7);

/* Line and column (from 1; columns count characters, not bytes) of a place. */
void bk_place_locate(bk_place place, size_t *line, size_t *column);

/* True of a character that a terminal obeys (ECMA-48: C0, DEL, C1), that ends a line, or that
 * turns the direction of writing (Unicode: what UAX 9 calls marks and explicit directional
 * formatting). */
bool bk_commands_terminal(uint32_t code);

/* A copy that a terminal can show: such characters and bytes that are not UTF-8
 * become '?', tabs one space. */
char *bk_showable(bk_arena *arena, const char *text, size_t length);

/* "file:line:column: what is wrong; what to write instead", and, when the place
 * has a source, the line itself and a caret under the column (long lines are cut
 * around it). Ends with a newline. */
void bk_message_write(const bk_message *message, bk_text *out);

/* Edits between two words (Damerau-Levenshtein distance of neighbours swapped, letters put
 * in, left out or changed); SIZE_MAX for words too long to be compared. */
size_t bk_edits(const char *a, const char *b);

/* The candidate nearest to `word` by edits (Damerau-Levenshtein distance), or
 * NULL when none is near enough to be a likely slip. `names` ends with NULL. */
const char *bk_nearest(const char *word, const char *const *names);

#endif

/* A calendar file as its lines and components (RFC 5545 section 3.1), nothing of it understood.
 *
 * It is read here and not by libical, which 3.0.16 crashes where memory fails, and drops in
 * silence what it cannot read.
 */
#ifndef BK_ICALENDAR_CONTENT_H
#define BK_ICALENDAR_CONTENT_H

#include "base/base.h"

/* One content line, unfolded. */
typedef struct bk_line {
    const char *name;  /* in upper case; "" when it is longer than any that is known */
    const char *text;  /* the whole line */
    const char *value; /* behind the colon; "" where there is none */
    size_t offset;     /* of the line in the file */
} bk_line;

typedef struct bk_component {
    const char *name; /* in upper case */
    size_t offset;    /* of its BEGIN line */
    bk_line *lines;   /* its own, in the file's order */
    size_t count, room;
    struct bk_component *first, *last; /* what is inside, in the file's order */
    struct bk_component *next;         /* beside it */
} bk_component;

/* Most lines of one file, folded ones counted once, and most bytes of a physical line. */
enum { BK_MOST_LINES = 1000000, BK_LONGEST_LINE = 1 << 20 };

/* The calendars of a file, linked by `next`: whole, properly nested, in UTF-8 once its lines are
 * unfolded, without NUL. NULL, reported, when it is not so. */
bk_component *bk_content_read(bk_arena *arena, const bk_source *source, bk_report *report);

/* The first component of that name inside another, and the next beside it; NULL: none. */
bk_component *bk_component_first(const bk_component *parent, const char *name);
bk_component *bk_component_next(const bk_component *component, const char *name);

/* The first line of that name, and the next after `line`; NULL: none. */
const bk_line *bk_line_first(const bk_component *component, const char *name);
const bk_line *bk_line_next(const bk_component *component, const bk_line *line);

/* A parameter's value without its quotes, or NULL. `name` is in upper case. */
const char *bk_line_parameter(bk_arena *arena, const bk_line *line, const char *name);

/* A TEXT value (section 3.3.11) without its escapes; "" for a NULL line. */
const char *bk_content_line_text(bk_arena *arena, const bk_line *line);

/* Adds a line to a file, folded at 75 bytes between characters, with CRLF. */
void bk_content_add(bk_text *out, const char *line);

/* The same of a TEXT value, which it escapes. */
void bk_content_add_text(bk_text *out, const char *name, const char *text);

/* Adds a component as it was read. */
void bk_content_add_component(bk_text *out, const bk_component *component);

#endif

/* A small reader of XML and HTML for tests: is it well formed, where do the texts
 * of a picture stand. Written apart from the writers. */
#ifndef BK_TESTS_WRITE_MARKUP_CHECK_H
#define BK_TESTS_WRITE_MARKUP_CHECK_H

#include <stdbool.h>
#include <stddef.h>

/* NULL when every tag is closed in order, attributes are quoted and unique in
 * their tag, ids unique, and each & begins an entity of XML; else what is wrong
 * and where (static memory). `html`: a doctype, and meta and input without an
 * end, are accepted, and the content of style is not looked at. */
const char *markup_fault(const char *text, bool html);

/* A <text> of a picture. */
typedef struct markup_text {
    int x, y, size;
    int anchor; /* -1 start, 0 middle, 1 end */
    bool bold;
    char content[512]; /* of the whole element, tags and entities taken out */
} markup_text;

/* The next <text> at or after *from, which moves behind it; false at the end. */
bool markup_next_text(const char **from, markup_text *text);

/* NULL when every text of a picture lies inside it and no two on one baseline are
 * over each other, by the widest estimate of their letters; else the fault (static
 * memory). */
const char *markup_texts_fault(const char *svg);

/* The number in the first attribute `name` of the tag at `tag`; -1 when it has
 * none. */
int markup_number(const char *tag, const char *name);

#endif

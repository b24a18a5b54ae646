/* A JSON value written straight into the text builder: two-space indented. Not
 * through a JSON library: its tree would live outside the arena and be lost when
 * memory runs out half-way (the arena jumps), and its allocation hooks are
 * process-wide. Private to this folder. */
#ifndef BK_WRITE_PUT_H
#define BK_WRITE_PUT_H

#include "base/base.h"

typedef struct bk_put {
    bk_text *out;
    size_t depth;
    bool first; /* nothing yet in the innermost object or list */
} bk_put;

/* A writer of one value, to which everything is appended. */
bk_put bk_put_to(bk_text *out);

/* Each of these writes one member of the object that is open; with key NULL, an
 * element of the list that is open. A text of NULL is null; bytes that are not UTF-8
 * become U+FFFD. A number reads back as the same one whatever the host's locale;
 * one that is not finite is null. */
void bk_put_text(bk_put *put, const char *key, const char *text);
void bk_put_integer(bk_put *put, const char *key, int64_t value);
void bk_put_number(bk_put *put, const char *key, double value);
void bk_put_boolean(bk_put *put, const char *key, bool value);
void bk_put_null(bk_put *put, const char *key);

/* Opens an object "{" or a list "[", and closes the innermost with "}" or "]". The
 * outermost has no key. */
void bk_put_open(bk_put *put, const char *key, const char *bracket);
void bk_put_close(bk_put *put, const char *bracket);

#endif

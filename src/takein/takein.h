/* A recipe from outside, taken in: a web page, structured data or plain text becomes
 * the draft of a recipe file, in which every guess is a comment with its reason and the
 * words it came from. docs/take-in.md says what is read and how well.
 *
 * Nothing is fetched or executed. Time and memory grow with the length of the input only.
 */
#ifndef BK_TAKEIN_H
#define BK_TAKEIN_H

#include "base/base.h"

/* The longest input, in bytes. */
enum { BK_MOST_TAKEN_IN = 8 * 1024 * 1024 };

/* Writes the draft of the recipe in `source` (any encoding that it declares, else UTF-8,
 * else windows-1252; its text need not end with NUL) to `out`. `name` is what the draft
 * says it was made from. False after an error: nothing in it looks like a recipe, or it
 * is too long. */
bool bk_take_in(bk_arena *arena, const bk_source *source, bk_text *out, bk_report *report);

#endif

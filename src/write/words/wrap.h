/* Breaking text into lines of a given width on a terminal. Private to this
 * folder. */
#ifndef BK_WRITE_WORDS_WRAP_H
#define BK_WRITE_WORDS_WRAP_H

#include "base/base.h"

typedef struct bk_text_style {
    int width;     /* columns to fit, 40 to 200; 0: 80 */
    bool colour;   /* ANSI colours */
    bool progress; /* of a day: bars */
    bool ascii;    /* nothing that is not ASCII */
} bk_text_style;

/* The first line of `text` that fits `width` columns (bk_columns): its length in
 * bytes, broken at a blank where there is one (a number stays with its unit, a date and its hour
 * with the day: "Sat 5 Dec 17:00"), else inside the word but never
 * inside a character or before a combining mark. *next is where the following
 * line begins, "" at the end. Always takes at least one character, so a width
 * below that of the character still ends. `text` is clean (bk_words_clean). */
size_t bk_wrap_line(const char *text, size_t width, const char **next);

/* `text` in lines of `width` columns, the first after `sign`, the rest indented under
 * it. */
void bk_wrap_item(bk_text *out, size_t width, const char *sign, const char *text);

#endif

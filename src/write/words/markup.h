/* Text in XML and HTML, and how wide it may become on paper. Private to this
 * folder. */
#ifndef BK_WRITE_WORDS_MARKUP_H
#define BK_WRITE_WORDS_MARKUP_H

#include "base/base.h"

/* `text` with & < > " ' escaped: safe as content and inside quotes, in XML and in
 * HTML. Characters that XML 1.0 forbids are dropped, bytes that are not UTF-8
 * become U+FFFD. */
void bk_markup_add(bk_text *out, const char *text);

/* Width of `text` in a sans-serif face at `size` units to the em, rounded up. Of characters whose
 * width in Helvetica is known, just that: a picture gives it with the text (bk_markup_fixed_width),
 * so that it is as wide in every face. Else an upper estimate, by the widest face in common use. */
int bk_markup_width(const char *text, int size, bool bold);

/* The same where it is known of all of `text`; else 0: how wide it comes out lies with the face. */
int bk_markup_fixed_width(const char *text, int size, bool bold);

/* The first line of `text` that fits `width`: its length in bytes, broken at a
 * blank where there is one, else between characters; 0 when not even one fits.
 * *next is where the following line begins. */
size_t bk_markup_line(const char *text, int size, bool bold, int width, const char **next);

/* `text` when it fits `width`, else as much as does with an ellipsis behind it;
 * "" when nothing does. */
char *bk_markup_shorten(bk_arena *arena, const char *text, int size, bool bold, int width);

#endif

/* Text in XML and HTML, and how wide it may become on paper. Private to this
 * folder. */
#ifndef BK_WRITE_WORDS_MARKUP_H
#define BK_WRITE_WORDS_MARKUP_H

#include "base/base.h"

/* `text` with & < > " ' escaped: safe as content and inside quotes, in XML and in
 * HTML. Characters that XML 1.0 forbids are dropped, bytes that are not UTF-8
 * become U+FFFD. */
void bk_markup_add(bk_text *out, const char *text);

/* Width of `text` in a sans-serif face at `size` units to the em, rounded up. An
 * upper estimate: widths of DejaVu Sans, the widest face in common use, by class
 * of character. Text laid out by it may come out narrower, not wider. */
int bk_markup_width(const char *text, int size, bool bold);

/* The first line of `text` that fits `width`: its length in bytes, broken at a
 * blank where there is one, else between characters; 0 when not even one fits.
 * *next is where the following line begins. */
size_t bk_markup_line(const char *text, int size, bool bold, int width, const char **next);

/* `text` when it fits `width`, else as much as does with an ellipsis behind it;
 * "" when nothing does. */
char *bk_markup_shorten(bk_arena *arena, const char *text, int size, bool bold, int width);

#endif

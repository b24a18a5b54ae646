/* Text for a terminal or a printer that knows ASCII only. Private to this folder. */
#ifndef BK_WRITE_WORDS_ASCII_H
#define BK_WRITE_WORDS_ASCII_H

#include "base/base.h"

/* `text` in ASCII: accents dropped, dashes and quotes as the keyboard has them, a degree sign
 * dropped with nothing in its place ("160 C"), fractions as "1 1/2". A letter for which there is
 * none becomes ?; what has no width (a joiner, a variation selector) is dropped. Bytes of ASCII
 * stay as they are, control characters too. */
char *bk_words_ascii(bk_arena *arena, const char *text);

#endif

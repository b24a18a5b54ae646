/* What all writers share: the events of a timeline in a cook's order, and the words for
 * them, clean, for lines of any width and for markup. */
#ifndef BK_WRITE_WORDS_H
#define BK_WRITE_WORDS_H

#include "write/words/ascii.h"
#include "write/words/chain.h"
#include "write/words/curve.h"
#include "write/words/degrees.h"
#include "write/words/markup.h"
#include "write/words/phrases.h"
#include "write/words/rows.h"
#include "write/words/say.h"
#include "write/words/tell.h"
#include "write/words/wrap.h"

#endif

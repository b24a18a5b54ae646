/* Numbers and words inside a quantity's text. Private to src/plan.
 *
 * Each takes a cursor and returns the cursor behind what it read, or NULL.
 */
#ifndef BK_PLAN_NUMBER_H
#define BK_PLAN_NUMBER_H

#include "base/base.h"

/* Millionths: decimals are exact to six places, and nothing overflows. */
enum { BK_MILLION = 1000000 };

/* Steps over spaces, also the no-break ones that copied text brings. */
const char *bk_skip_blanks(const char *at);

/* Digits with up to six decimals ("12", "1.5"), as millionths. NULL when there is
 * no number, or it has more than nine digits before or six behind the point. */
const char *bk_read_millionths(const char *at, int64_t *millionths);

/* The ASCII letters at `at`, small, into `word`; an empty word when there are
 * none. NULL when they do not fit. */
const char *bk_read_word(const char *at, char *word, size_t room);

/* Steps over a range's dash: "-", or the en dash. NULL when there is none. */
const char *bk_skip_dash(const char *at);

/* Steps over `prefix`, or NULL. */
const char *bk_skip_text(const char *at, const char *prefix);

#endif

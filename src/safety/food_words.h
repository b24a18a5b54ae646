/* What the words of a plan say about the food. A plan does not
 * say what spoils; these words, common practice, are all there is to go by. Private to this folder.
 */
#ifndef BK_SAFETY_FOOD_WORDS_H
#define BK_SAFETY_FOOD_WORDS_H

#include "safety/food_table.h"
#include "timeline/timeline.h"

/* True when `text` (may be NULL) holds `word` as a whole word, in any case, with or
 * without a plural s. `word` may hold spaces. */
bool bk_has_word(const char *text, const char *word);

/* Whether any of the NULL-terminated words is there. */
bool bk_has_any(const char *text, const char *const *words);

/* The kinds of food that a text names by the phrases of the table, accents and case aside: a
 * sum of enum bk_food_kind. At each word the longest phrase counts. `text` may be NULL. */
unsigned bk_spoils(const char *text);

/* Whether any of these kinds spoils in some state. */
bool bk_may_spoil(unsigned kinds);

/* A stage in which dough rises: warmth is meant. */
bool bk_is_rising(const bk_stage *stage);

bool bk_is_thawing(const bk_stage *stage);

/* Every allergen of the law's lists that is likely meant by an ingredient: bit n is
 * bk_allergen_name(n). */
unsigned bk_allergens_in(const char *text);
const char *bk_allergen_name(int allergen);

#endif

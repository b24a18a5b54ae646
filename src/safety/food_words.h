/* What the words of a plan say about the food. A plan does not
 * say what spoils; these words, common practice, are all there is to go by. Private to this folder.
 */
#ifndef BK_SAFETY_FOOD_WORDS_H
#define BK_SAFETY_FOOD_WORDS_H

#include "timeline/timeline.h"

/* When a food must be kept cold or hot. */
enum bk_spoils {
    BK_SPOILS_ALWAYS = 1, /* meat, fish, set creams */
    BK_SPOILS_COOKED = 2, /* once cooked: rice, soup, potatoes */
    BK_SPOILS_UNBAKED = 4 /* unless it is baked in a cake or bread: milk, cream, egg */
};

/* True when `text` (may be NULL) holds `word` as a whole word, in any case, with or
 * without a plural s. `word` may hold spaces. */
bool bk_has_word(const char *text, const char *word);

/* Whether any of the NULL-terminated words is there. */
bool bk_has_any(const char *text, const char *const *words);

/* The kinds of spoiling food that a text names: a sum of enum bk_spoils. */
unsigned bk_spoils(const char *text);

/* A stage in which dough rises: warmth is meant. */
bool bk_is_rising(const bk_stage *stage);

bool bk_is_thawing(const bk_stage *stage);

/* Every allergen of the law's lists that is likely meant by an ingredient: bit n is
 * bk_allergen_name(n). */
unsigned bk_allergens_in(const char *text);
enum { BK_ALLERGENS = 14 };
const char *bk_allergen_name(int allergen);

#endif

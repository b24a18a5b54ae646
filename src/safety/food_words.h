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

/* What is known of a food, and by which words of the table; a word is NULL where the
 * plan itself says so. */
typedef struct bk_food_facts {
    unsigned kinds;                  /* enum bk_food_kind */
    unsigned allergens;              /* bit n: enum bk_allergen n */
    const char *word[BK_FOOD_KINDS]; /* by bit */
    const char *allergen_word[BK_ALLERGENS];
} bk_food_facts;

/* The next row of the table that a text names, at each word the longest phrase; moves *at
 * behind it. NULL at the end. *at is the beginning of a word, or NULL. */
const bk_food_word *bk_food_next(const char **at);

/* Adds what a text names by the phrases of the table, accents and case aside. At each word
 * the longest phrase counts. `text` may be NULL. */
void bk_foods_in(const char *text, bk_food_facts *facts);

/* What an ingredient is: what the plan says of it, else what its words are taken for. */
bk_food_facts bk_foods_of(const bk_ingredient *ingredient);

/* Adds those kinds of `more` that are in `which`; the word that came first stays. */
void bk_foods_add(bk_food_facts *facts, const bk_food_facts *more, unsigned which);

/* The kinds of food that a text names: a sum of enum bk_food_kind. */
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

/* The allergens that a list of the law names; with `all` those of every list. */
unsigned bk_allergens_of_law(enum bk_rules region, bool all);

#endif

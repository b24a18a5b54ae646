/* Private to takein: what a stage speaks of, by which stages are tied to threads.
 *
 *   mentions.c  ingredients that a stage names
 *   products.c  what was made of them: "the dough", "the syrup"
 *   speech.c    which of the threads it speaks of; beginnings.c, labels.c
 *   threads.c   which stage comes after which
 *   haste.c     which of them follows at once
 *   spoils.c    and what would spoil by waiting
 */
#ifndef BK_TAKEIN_WEAVE_H
#define BK_TAKEIN_WEAVE_H

#include "takein/parts.h"

enum { WORDS_OF_INGREDIENT = 8 };

/* Ingredients, a bit each. */
typedef struct bk_mask {
    uint64_t bits[2];
} bk_mask;

void bk_mask_set(bk_mask *m, size_t i);
bool bk_mask_has(const bk_mask *m, size_t i);
bool bk_mask_any(bk_mask m);
bk_mask bk_mask_and(bk_mask a, bk_mask b);
bk_mask bk_mask_without(bk_mask a, bk_mask b);
bk_mask bk_mask_or(bk_mask a, bk_mask b);

/* Kinds of things made, a bit each. */
typedef uint64_t bk_products;

typedef struct bk_food {
    char words[WORDS_OF_INGREDIENT][24]; /* stems; the last is its head: "caster", "sugar" */
    size_t count;
    const char *line; /* as it is listed */
    int64_t amount;   /* the number that the line begins with, in millionths; or 0 */
    size_t used_at;   /* the stage that named it last */
    bk_products makes;
    bool staple; /* goes into many parts of a dish, so that its name says nothing of what was made
                  */
} bk_food;

/* What one stage names. */
typedef struct bk_mentions {
    bk_mask all;
    bk_mask strong;         /* of those: no staple, or one that is spoken of as what was made */
    size_t first, first_at; /* the first ingredient and its token; SIZE_MAX: none */
    size_t from, end;       /* the tokens that were read: not "while the cake bakes" */
} bk_mentions;

/* Reads the ingredients into `all` and what each stage names; sets ingredient_stage. */
bk_mentions *bk_mentions_find(bk_taken *taken, bk_food *all);

/* Is the word one of these ingredients? */
bool bk_names_ingredient(const bk_taken *taken, const bk_food *all, const bk_token *token,
                         bk_mask which_ones);

/* Is the word the name of one of these, and of none that goes into everything? */
bool bk_names_food_by_head(const bk_taken *taken, const bk_food *all, const bk_token *token,
                           bk_mask which_ones);

/* The kind that a noun speaks of ("dough", "syrup"), or 0. */
bk_products bk_product_of_word(const char *word);

/* The kinds that may be made of an ingredient; that a verb makes. */
bk_products bk_products_of_food(const bk_food *food);
bk_products bk_products_of_deed(const char *verb);

/* Is the stage's verb one of these words? */
bool bk_stage_does(const bk_taken_stage *stage, const char *verbs);

/* Has it one of these words; two of them one behind the other; is it on the hob or in the oven? */
bool bk_stage_has(const bk_taken_stage *stage, const char *words);
bool bk_stage_has_pair(const bk_taken_stage *stage, const char *first, const char *second);
bool bk_stage_is_hot(const bk_taken_stage *stage);

/* Has it whisked whites in it, which fall? (spoils.c) */
bool bk_is_foam(const bk_taken *taken, const bk_taken_stage *stage);

/* Has the recipe a raising agent that works once it is wet, and no yeast? Reads all of it.
 * (spoils.c) */
bool bk_is_raised_at_once(const bk_taken *taken);

/* Notes whether a raising agent, and what wets it, have gone into what the stage makes. (spoils.c)
 */
void bk_see_batter(const bk_taken *taken, bk_taken_stage *stage);

/* Would what `before` leaves spoil if stage i did not follow it at once? (spoils.c) */
bool bk_cannot_wait(const bk_taken *taken, size_t before, size_t i);

/* Sets `within` of the links of stage i, whose `after` is known. (haste.c) */
void bk_mark_at_once(const bk_taken *taken, bk_taken_stage *stage, size_t i);

#endif

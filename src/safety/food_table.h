/* The words that say what a food is, as one table: data alone, read by food_words.c.
 * Private to this folder. */
#ifndef BK_SAFETY_FOOD_TABLE_H
#define BK_SAFETY_FOOD_TABLE_H

#include <stddef.h>

/* What is known of a food by its word: bits. */
enum bk_food_kind {
    BK_SPOILS_ALWAYS = 1,     /* meat, fish, set creams */
    BK_SPOILS_COOKED = 2,     /* once cooked: rice, soup, potatoes */
    BK_SPOILS_UNBAKED = 4,    /* unless it is baked in a cake or bread: milk, cream, egg */
    BK_FOOD_KEEPS = 8,        /* a dish whose milk and egg keep by sugar or dryness: fudge */
    BK_FOOD_RAW_EGG = 16,     /* egg that is raw until it is cooked */
    BK_FOOD_FISH = 32,        /* raw fin fish, which may hold parasites */
    BK_FOOD_KIDNEY_BEAN = 64, /* dried, holds a poison that only boiling destroys */
    BK_FOOD_BIRD = 128        /* raw poultry or game bird, which may be stuffed */
};
enum { BK_FOOD_KINDS = 8 };

/* In the order of bits and names: the fourteen of the European and British law, then what
 * only the American list names so. */
enum bk_allergen {
    BK_GLUTEN,
    BK_EGG,
    BK_MILK,
    BK_NUTS,
    BK_PEANUT,
    BK_SOYA,
    BK_SESAME,
    BK_FISH,
    BK_CRUSTACEANS,
    BK_MOLLUSCS,
    BK_CELERY,
    BK_MUSTARD,
    BK_LUPIN,
    BK_SULPHITES,
    BK_WHEAT,
    BK_PINE_NUT,
    BK_ALLERGENS
};

/* One word or phrase, in small letters of ASCII. A phrase hides the shorter words in it:
 * "beef tomato" is no beef. */
typedef struct bk_food_word {
    const char *phrase;
    unsigned kinds;     /* enum bk_food_kind */
    unsigned allergens; /* bit n: enum bk_allergen n */
    const char *source;
} bk_food_word;

extern const bk_food_word bk_food_words[];
extern const size_t bk_food_word_count;

#endif

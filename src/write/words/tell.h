/* Words by which a step says itself of which dish it is. Private to this folder. */
#ifndef BK_WRITE_WORDS_TELL_H
#define BK_WRITE_WORDS_TELL_H

#include "plan/plan.h"

typedef struct bk_telling_word {
    const char *word;
    size_t length; /* bytes */
    size_t dish;
} bk_telling_word;

typedef struct bk_telling {
    bk_telling_word *items;
    size_t count, room;
} bk_telling;

/* The words of four letters or more in the name of a dish that stand in no other dish's name,
 * ingredients or steps: "gratin" of a potato gratin where no other is. Plurals in -s and -es are
 * the same word, letters of ASCII the same in either case. None in a plan of many dishes. */
bk_telling bk_telling_of(bk_arena *arena, const bk_plan *plan);

/* True when `text` has one of the words of `dish`: its name need not stand beside it. */
bool bk_tells_dish(const bk_telling *telling, size_t dish, const char *text);

#endif

/* The words of an ingredient's "is". */
#include "plan/reader.h"

/* In the order of enum bk_is. */
const char *const bk_is_words[] = {
    "raw",    "cooked",      "pasteurised", "dried",        "tinned", "frozen",    "keeps",
    "spoils", "meat",        "poultry",     "kidney beans", "starch", "egg",       "milk",
    "fish",   "crustaceans", "molluscs",    "gluten",       "wheat",  "nuts",      "peanut",
    "soya",   "sesame",      "celery",      "mustard",      "lupin",  "sulphites", NULL};

const char *bk_is_listed(bk_arena *arena)
{
    bk_text list = bk_text_new(arena);
    for (size_t i = 0; bk_is_words[i]; i++)
        bk_text_addf(&list, "%s\"%s\"",
                     i == 0               ? ""
                     : bk_is_words[i + 1] ? ", "
                                          : " or ",
                     bk_is_words[i]);
    return list.data;
}

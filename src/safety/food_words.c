#include "safety/food_words.h"

#include <string.h>

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* A letter of a word; bytes of UTF-8 count as letters. */
static bool letter(char c)
{
    c = lower(c);
    return (c >= 'a' && c <= 'z') || (unsigned char)c >= 0x80;
}

/* Length of `word` where `text` begins with it, with a plural ending; 0 when not. */
static size_t match(const char *text, const char *word)
{
    size_t n = 0;
    for (; word[n] != '\0'; n++)
        if (lower(text[n]) != word[n])
            return 0;
    if (lower(text[n]) == 'e' && lower(text[n + 1]) == 's' && !letter(text[n + 2]))
        return n + 2;
    if (lower(text[n]) == 's')
        n++;
    return letter(text[n]) ? 0 : n;
}

bool bk_has_word(const char *text, const char *word)
{
    if (text == NULL)
        return false;
    for (const char *at = text; *at != '\0'; at++)
        if ((at == text || !letter(at[-1])) && match(at, word) > 0)
            return true;
    return false;
}

bool bk_has_any(const char *text, const char *const *words)
{
    for (; *words != NULL; words++)
        if (bk_has_word(text, *words))
            return true;
    return false;
}

/* Food that needs time or temperature control: animal food, raw or cooked, and
 * cooked plant food (the definition of FDA Food Code 1-201.10(B), from memory); the
 * words are common practice. */
static const char *const always[] = {
    "bacon",        "bavarois",      "beef",   "cheesecake", "chicken", "cod",     "crab",
    "cream cheese", "custard",       "duck",   "fish",       "goose",   "ham",     "haddock",
    "lamb",         "mascarpone",    "meat",   "mince",      "mousse",  "mussel",  "panna cotta",
    "pork",         "prawn",         "quiche", "ricotta",    "salmon",  "sausage", "shrimp",
    "soft cheese",  "steak",         "trifle", "trout",      "tuna",    "turkey",  "veal",
    "venison",      "whipped cream", NULL};
static const char *const cooked[] = {"broth",  "casserole", "chowder",  "curry", "gravy",
                                     "lentil", "pasta",     "potato",   "rice",  "soup",
                                     "stew",   "stock",     "stuffing", NULL};
static const char *const unbaked[] = {"cream",   "egg",    "egg white", "egg yolk", "milk",
                                      "yoghurt", "yogurt", "yolk",      NULL};
/* What is called by such a word and keeps well all the same. */
static const char *const keeps_well[] = {"coconut milk",
                                         "cream of tartar",
                                         "cream cracker",
                                         "milk chocolate",
                                         "milk powder",
                                         "peanut butter",
                                         NULL};

unsigned bk_spoils(const char *text)
{
    unsigned kinds = 0;
    if (bk_has_any(text, always))
        kinds |= BK_SPOILS_ALWAYS;
    if (bk_has_any(text, cooked))
        kinds |= BK_SPOILS_COOKED;
    if (bk_has_any(text, unbaked) && !bk_has_any(text, keeps_well))
        kinds |= BK_SPOILS_UNBAKED;
    return kinds;
}

bool bk_is_rising(const bk_stage *stage)
{
    static const char *const words[] = {"dough",  "ferment",   "knead",   "levain", "poolish",
                                        "proof",  "proofed",   "prove",   "rise",   "risen",
                                        "rising", "sourdough", "starter", "yeast",  NULL};
    return bk_has_any(stage->text, words);
}

bool bk_is_thawing(const bk_stage *stage)
{
    static const char *const words[] = {"defrost", "defrosting", "thaw", "thawed", "thawing", NULL};
    return bk_has_any(stage->text, words);
}

/* The fourteen allergens of UK and EU law (Regulation (EU) 1169/2011, annex II); the
 * words are common practice and not complete. */
static const struct {
    const char *name, *words[12];
} allergens[BK_ALLERGENS] = {
    {"gluten",
     {"barley", "biscuit", "bread", "breadcrumb", "couscous", "flour", "oat", "pasta", "rye",
      "semolina", "spelt", NULL}},
    {"egg", {"egg", "egg white", "egg yolk", "yolk", "mayonnaise", "meringue", NULL}},
    {"milk",
     {"butter", "buttermilk", "cheese", "cream", "creme fraiche", "milk", "mascarpone", "ricotta",
      "yoghurt", "yogurt", NULL}},
    {"nuts",
     {"almond", "cashew", "hazelnut", "marzipan", "nut", "pecan", "pistachio", "praline", "walnut",
      "macadamia", NULL}},
    {"peanut", {"peanut", NULL}},
    {"soya", {"soy", "soya", "tofu", "miso", NULL}},
    {"sesame", {"sesame", "tahini", NULL}},
    {"fish", {"anchovy", "anchovie", "cod", "fish", "haddock", "salmon", "trout", "tuna", NULL}},
    {"crustaceans", {"crab", "lobster", "prawn", "shrimp", NULL}},
    {"molluscs", {"clam", "mussel", "oyster", "scallop", "squid", NULL}},
    {"celery", {"celery", "celeriac", NULL}},
    {"mustard", {"mustard", NULL}},
    {"lupin", {"lupin", NULL}},
    {"sulphites", {"sulphite", "sultana", "raisin", "wine", "dried apricot", NULL}},
};

unsigned bk_allergens_in(const char *text)
{
    /* "rice flour", "peanut butter", "coconut milk": the second word misleads */
    static const char *const no_gluten[] = {"buckwheat flour", "cornflour", "gluten-free flour",
                                            "rice flour", NULL};
    static const char *const no_milk[] = {
        "almond milk", "cocoa butter",  "coconut cream", "coconut milk", "cream of tartar",
        "oat milk",    "peanut butter", "soy milk",      "soya milk",    NULL};
    unsigned found = 0;
    for (int n = 0; n < BK_ALLERGENS; n++)
        if (bk_has_any(text, allergens[n].words))
            found |= 1U << n;
    if (bk_has_any(text, no_gluten))
        found &= ~1U;
    if (bk_has_any(text, no_milk))
        found &= ~(1U << 2);
    return found;
}

const char *bk_allergen_name(int allergen)
{
    return allergens[allergen].name;
}

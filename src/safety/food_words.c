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
    if (!text)
        return false;
    for (const char *at = text; *at != '\0'; at++)
        if ((at == text || !letter(at[-1])) && match(at, word) > 0)
            return true;
    return false;
}

bool bk_has_any(const char *text, const char *const *words)
{
    for (; *words; words++)
        if (bk_has_word(text, *words))
            return true;
    return false;
}

/* Letters of Latin-1 beyond ASCII without their accents, from U+00C0 on; blanks have none. */
static char without_accent(unsigned char second)
{
    static const char plain[] = "aaaaaa ceeeeiiiidnooooo ouuuuy  aaaaaa ceeeeiiiidnooooo ouuuuy y";
    return plain[second - 0x80];
}

/* The letter at `text` in small ASCII where it has one, and its length in bytes. */
static char plain_letter(const char *text, size_t *bytes)
{
    unsigned char c = (unsigned char)text[0], next = c == '\0' ? 0 : (unsigned char)text[1];
    *bytes = 1;
    if (c == 0xc3 && next >= 0x80 && next <= 0xbf && without_accent(next) != ' ') {
        *bytes = 2;
        return without_accent(next);
    }
    if (c == 0xe2 && next == 0x80 && (unsigned char)text[2] == 0x99) { /* typographic ' */
        *bytes = 3;
        return '\'';
    }
    return lower((char)c);
}

/* Whether `ending` stands at `text` and no letter follows. */
static bool ends_with(const char *text, const char *ending)
{
    size_t n = strlen(ending);
    for (size_t i = 0; i < n; i++)
        if (lower(text[i]) != ending[i])
            return false;
    return !letter(text[n]);
}

/* Bytes of `text` that a phrase of the table matches at its beginning, with a plural
 * ending; 0 when it does not. A hyphen counts as a blank. */
static size_t phrase_length(const char *text, const char *phrase)
{
    size_t at = 0, bytes;
    for (; *phrase != '\0'; phrase++, at += bytes) {
        char c = plain_letter(text + at, &bytes);
        if (c != *phrase && !(c == '-' && *phrase == ' '))
            return 0;
    }
    if (ends_with(text + at, "es"))
        return at + 2;
    if (ends_with(text + at, "s"))
        return at + 1;
    return letter(text[at]) ? 0 : at;
}

/* The first row of the table, which is in order of the alphabet, that begins with a letter or
 * one behind it. */
static size_t rows_from(char letter)
{
    size_t low = 0, high = bk_food_word_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (bk_food_words[middle].phrase[0] < letter)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* The food of the longest phrase at the beginning of `text`; NULL: none. */
static const bk_food_word *food_at(const char *text, size_t *length)
{
    const bk_food_word *best = NULL;
    size_t bytes;
    char first = plain_letter(text, &bytes);
    *length = 0;
    for (size_t i = rows_from(first); i < bk_food_word_count && bk_food_words[i].phrase[0] == first;
         i++) {
        size_t n = phrase_length(text, bk_food_words[i].phrase);
        if (n > *length) {
            *length = n;
            best = &bk_food_words[i];
        }
    }
    return best;
}

static void add_word(bk_food_facts *facts, unsigned kinds, unsigned allergens, const char *word)
{
    for (int k = 0; k < BK_FOOD_KINDS; k++)
        if ((kinds & ~facts->kinds & 1U << k) != 0)
            facts->word[k] = word;
    for (int a = 0; a < BK_ALLERGENS; a++)
        if ((allergens & ~facts->allergens & 1U << a) != 0)
            facts->allergen_word[a] = word;
    facts->kinds |= kinds;
    facts->allergens |= allergens;
}

const bk_food_word *bk_food_next(const char **at)
{
    bool inside = false; /* a word */
    while (*at && **at != '\0') {
        size_t length = 0;
        const bk_food_word *food = inside ? NULL : food_at(*at, &length);
        if (food) {
            *at += length;
            return food;
        }
        inside = letter(**at);
        ++*at;
    }
    return NULL;
}

void bk_foods_in(const char *text, bk_food_facts *facts)
{
    const bk_food_word *food;
    while ((food = bk_food_next(&text)) != NULL)
        add_word(facts, food->kinds, food->allergens, food->phrase);
}

void bk_foods_add(bk_food_facts *facts, const bk_food_facts *more, unsigned which)
{
    for (int k = 0; k < BK_FOOD_KINDS; k++)
        if ((more->kinds & which & ~facts->kinds & 1U << k) != 0)
            facts->word[k] = more->word[k];
    facts->kinds |= more->kinds & which;
}

/* What has been dried or tinned keeps, and is no longer raw. */
static unsigned kinds_said(unsigned is)
{
    bool keeps = (is & (BK_IS_DRIED | BK_IS_TINNED)) != 0, cooked = (is & BK_IS_COOKED) != 0;
    bool flesh =
        (is & (BK_IS_MEAT | BK_IS_POULTRY | BK_IS_FISH | BK_IS_CRUSTACEANS | BK_IS_MOLLUSCS)) != 0;
    unsigned kinds = (is & BK_IS_SPOILS) != 0 ? BK_SPOILS_ALWAYS : 0;
    if (flesh && !keeps)
        kinds |= BK_SPOILS_ALWAYS;
    if ((is & BK_IS_POULTRY) != 0 && !keeps && !cooked)
        kinds |= BK_FOOD_BIRD;
    if ((is & BK_IS_FISH) != 0 && !keeps && !cooked && (is & BK_IS_FROZEN) == 0)
        kinds |= BK_FOOD_FISH;
    if ((is & BK_IS_EGG) != 0 && !keeps)
        kinds |= cooked ? BK_SPOILS_ALWAYS : BK_SPOILS_UNBAKED;
    if ((is & BK_IS_EGG) != 0 && !keeps && !cooked && (is & BK_IS_PASTEURISED) == 0)
        kinds |= BK_FOOD_RAW_EGG;
    if ((is & BK_IS_MILK) != 0 && !keeps)
        kinds |= BK_SPOILS_UNBAKED;
    if ((is & (BK_IS_STARCH | BK_IS_KIDNEY_BEANS)) != 0)
        kinds |= cooked || (is & BK_IS_TINNED) != 0 ? BK_SPOILS_ALWAYS : BK_SPOILS_COOKED;
    if ((is & BK_IS_KIDNEY_BEANS) != 0 && !cooked && (is & BK_IS_TINNED) == 0)
        kinds |= BK_FOOD_KIDNEY_BEAN;
    return kinds;
}

static unsigned allergens_said(unsigned is)
{
    static const struct {
        unsigned is, allergens;
    } table[] = {{BK_IS_EGG, 1U << BK_EGG},
                 {BK_IS_MILK, 1U << BK_MILK},
                 {BK_IS_FISH, 1U << BK_FISH},
                 {BK_IS_CRUSTACEANS, 1U << BK_CRUSTACEANS},
                 {BK_IS_MOLLUSCS, 1U << BK_MOLLUSCS},
                 {BK_IS_GLUTEN, 1U << BK_GLUTEN},
                 {BK_IS_WHEAT, 1U << BK_WHEAT | 1U << BK_GLUTEN},
                 {BK_IS_NUTS, 1U << BK_NUTS},
                 {BK_IS_PEANUT, 1U << BK_PEANUT},
                 {BK_IS_SOYA, 1U << BK_SOYA},
                 {BK_IS_SESAME, 1U << BK_SESAME},
                 {BK_IS_CELERY, 1U << BK_CELERY},
                 {BK_IS_MUSTARD, 1U << BK_MUSTARD},
                 {BK_IS_LUPIN, 1U << BK_LUPIN},
                 {BK_IS_SULPHITES, 1U << BK_SULPHITES}};
    unsigned allergens = 0;
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        if ((is & table[i].is) != 0)
            allergens |= table[i].allergens;
    return allergens;
}

/* Beans out of a tin were boiled in it, and "frozen beforehand" is what makes raw fish fit
 * to eat: words that stand anywhere beside the food. */
static unsigned undone_by_words(const bk_ingredient *ingredient)
{
    static const char *const tinned[] = {"tin", "tinned", "can",    "canned",
                                         "jar", "jarred", "cooked", NULL};
    static const char *const frozen[] = {"frozen", NULL};
    static const char *const cooked[] = {"cooked", "smoked",  "tin",      "tinned", "can",
                                         "canned", "roasted", "leftover", NULL};
    unsigned undone = 0;
    if (bk_has_any(ingredient->item, tinned) || bk_has_any(ingredient->amount, tinned))
        undone |= BK_FOOD_KIDNEY_BEAN;
    if (bk_has_any(ingredient->item, frozen))
        undone |= BK_FOOD_FISH;
    if (bk_has_any(ingredient->item, cooked) || bk_has_any(ingredient->amount, cooked))
        undone |= BK_FOOD_FISH | BK_FOOD_BIRD;
    return undone;
}

bk_food_facts bk_foods_of(const bk_ingredient *ingredient)
{
    bk_food_facts facts = {0};
    if (ingredient->has_is) {
        bool keeps = (ingredient->is & BK_IS_KEEPS) != 0;
        add_word(&facts, keeps ? 0 : kinds_said(ingredient->is), allergens_said(ingredient->is),
                 NULL);
        return facts;
    }
    bk_foods_in(ingredient->item, &facts);
    facts.kinds &= ~undone_by_words(ingredient);
    return facts;
}

unsigned bk_spoils(const char *text)
{
    bk_food_facts facts = {0};
    bk_foods_in(text, &facts);
    return facts.kinds;
}

bool bk_may_spoil(unsigned kinds)
{
    return (kinds & (BK_SPOILS_ALWAYS | BK_SPOILS_COOKED | BK_SPOILS_UNBAKED)) != 0;
}

unsigned bk_allergens_in(const char *text)
{
    bk_food_facts facts = {0};
    bk_foods_in(text, &facts);
    return facts.allergens;
}

unsigned bk_allergens_of_law(enum bk_rules region, bool all)
{
    /* Regulation (EU) 1169/2011, annex II, which is British law too; FALCPA (2004) and the
     * FASTER Act (2021), with the nuts of FDA's guidance of 2025 (from memory). */
    static const unsigned europe = (1U << BK_WHEAT) - 1;
    static const unsigned america =
        1U << BK_MILK | 1U << BK_EGG | 1U << BK_FISH | 1U << BK_CRUSTACEANS | 1U << BK_NUTS |
        1U << BK_PINE_NUT | 1U << BK_WHEAT | 1U << BK_PEANUT | 1U << BK_SOYA | 1U << BK_SESAME;
    if (all)
        return europe | 1U << BK_PINE_NUT; /* whose gluten has the wheat in it */
    return region == BK_RULES_US ? america : europe;
}

const char *bk_allergen_name(int allergen)
{
    static const char *const names[BK_ALLERGENS] = {
        "gluten", "egg",       "milk",        "nuts",     "peanut", "soya",
        "sesame", "fish",      "crustaceans", "molluscs", "celery", "mustard",
        "lupin",  "sulphites", "wheat",       "pine nuts"};
    return names[allergen];
}

bool bk_is_rising(const bk_stage *stage)
{
    static const char *const words[] = {"dough",  "ferment",   "knead",   "levain", "poolish",
                                        "proof",  "proofed",   "prove",   "rise",   "risen",
                                        "rising", "sourdough", "starter", "yeast",  NULL};
    static const char *const yoghurt[] = {"yoghurt", "yogurt", NULL};
    static const char *const sets[] = {"culture", "incubate", "set", "warm", NULL};
    return bk_has_any(stage->text, words) ||
           (bk_has_any(stage->text, yoghurt) && bk_has_any(stage->text, sets));
}

bool bk_is_thawing(const bk_stage *stage)
{
    static const char *const words[] = {"defrost", "defrosting", "thaw", "thawed", "thawing", NULL};
    return bk_has_any(stage->text, words);
}

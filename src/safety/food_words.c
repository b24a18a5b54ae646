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

/* The food of the longest phrase at the beginning of `text`; NULL: none. */
static const bk_food_word *food_at(const char *text, size_t *length)
{
    const bk_food_word *best = NULL;
    size_t bytes;
    char first = plain_letter(text, &bytes);
    *length = 0;
    for (size_t i = 0; i < bk_food_word_count; i++) {
        if (bk_food_words[i].phrase[0] != first)
            continue;
        size_t n = phrase_length(text, bk_food_words[i].phrase);
        if (n > *length) {
            *length = n;
            best = &bk_food_words[i];
        }
    }
    return best;
}

/* Kinds and allergens of all foods that a text names, the longest phrase first at each
 * word. */
static void foods_in(const char *text, unsigned *kinds, unsigned *allergens)
{
    *kinds = *allergens = 0;
    bool inside = false; /* a word */
    for (const char *at = text; at && *at != '\0';) {
        size_t length = 0;
        const bk_food_word *food = inside ? NULL : food_at(at, &length);
        if (food) {
            *kinds |= food->kinds;
            *allergens |= food->allergens;
            at += length;
            inside = false;
        } else {
            inside = letter(*at);
            at++;
        }
    }
}

unsigned bk_spoils(const char *text)
{
    unsigned kinds, allergens;
    foods_in(text, &kinds, &allergens);
    return kinds;
}

bool bk_may_spoil(unsigned kinds)
{
    return (kinds & (BK_SPOILS_ALWAYS | BK_SPOILS_COOKED | BK_SPOILS_UNBAKED)) != 0;
}

unsigned bk_allergens_in(const char *text)
{
    unsigned kinds, allergens;
    foods_in(text, &kinds, &allergens);
    return allergens;
}

const char *bk_allergen_name(int allergen)
{
    static const char *const names[BK_ALLERGENS] = {
        "gluten", "egg",         "milk",     "nuts",   "peanut",  "soya",  "sesame",
        "fish",   "crustaceans", "molluscs", "celery", "mustard", "lupin", "sulphites"};
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

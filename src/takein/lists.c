/* Ingredients in the lines of a text: which line begins as one, and lists that are told in a
 * line with other things. */
#include "takein/lists.h"
#include "takein/reading.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

bool bk_line_begins(const char *line, const char *word)
{
    return strncasecmp(line, word, strlen(word)) == 0;
}

bool bk_line_contains(const char *line, const char *word)
{
    size_t n = strlen(word);
    for (; *line != '\0'; line++)
        if (strncasecmp(line, word, n) == 0)
            return true;
    return false;
}

/* Behind a bullet, or `line`. */
const char *bk_behind_bullet(const char *line)
{
    static const char *const bullets[] = {"- ",
                                          "* ",
                                          "+ ",
                                          "\xE2\x80\xA2 ",
                                          "\xE2\x80\xA2",
                                          "\xE2\x80\x93 ",
                                          "\xC2\xB7 ",
                                          "\xE2\x97\x8F ",
                                          "[ ] ",
                                          "\xE2\x96\xA2 ",
                                          NULL};
    for (size_t i = 0; bullets[i]; i++)
        if (strncmp(line, bullets[i], strlen(bullets[i])) == 0)
            return line + strlen(bullets[i]);
    return line;
}

bool bk_begins_with_amount(const char *line)
{
    static const char *const words[] = {
        "a handful", "a pinch", "a knob",   "a little", "some ",   "a few",   "half a ",
        "one ",      "two ",    "three ",   "four ",    "six ",    "a glass", "a splash",
        "pinch",     "handful", "knob ",    "juice of", "zest of", "salt",    "a bunch",
        "a tin ",    "a spoon", "a large ", "a small ", "a jar",   "a good ", NULL};
    unsigned char c = (unsigned char)line[0];
    if (isdigit(c) || strncmp(line, "\xC2\xBD", 2) == 0 || strncmp(line, "\xC2\xBC", 2) == 0 ||
        strncmp(line, "\xC2\xBE", 2) == 0)
        return true;
    for (size_t i = 0; words[i]; i++)
        if (bk_line_begins(line, words[i]))
            return true;
    return false;
}

/* "flour 250 g", "milk, 4 tbsp": the amount stands behind its name. */
bool bk_ends_with_amount(bk_arena *arena, const char *line)
{
    size_t count = 0;
    const bk_token *t = bk_tokens(arena, line, &count);
    if (count < 2 || count > 8 || t[0].kind != BK_TOKEN_WORD ||
        bk_among(&t[0],
                 " oven preheat bake gas mark cook temp temperature time moderate hot slow "))
        return false;
    const bk_verb *verb = bk_verb_find(t[0].word);
    if (verb && verb->passive && !bk_among(&t[0], " salt sponge brine marinade roast stew "))
        return false; /* "rest 10" */
    for (size_t i = 1; i < count; i++) {
        if (t[i].kind == BK_TOKEN_NUMBER) {
            return i + 1 == count ||
                   (i + 3 >= count &&
                    bk_among(
                        &t[i + 1],
                        " g kg ml l cl dl oz lb lbs tbsp tsp cup cups pint pints leaves "
                        "litre cloves sprigs x rashers slices sheets sticks tins jars handfuls "
                        "bunches heads stalks ) "));
        }
    }
    return false;
}

bool bk_has_verb_first(bk_arena *arena, const char *line)
{
    size_t count = 0;
    const bk_token *t = bk_tokens(arena, line, &count);
    if (count < 2 || t[0].kind != BK_TOKEN_WORD || !bk_verb_find(t[0].word))
        return false;
    bool food =
        bk_is_food_word(t[0].word) || bk_among(&t[0], " water sugar pepper stock oats roast ");
    if (t[1].kind == BK_TOKEN_NUMBER)
        return !food && !bk_verb_find(t[0].word)->passive; /* "add 350 g flour"; "rest 10" */
    return !bk_among(&t[1], " , ( - : ") && !(food && !bk_among(&t[1], " the a an both it "));
}

static void add_ingredient(bk_arena *arena, bk_taken_recipe *recipe, const char *text, bool listed)
{
    text = bk_behind_bullet(text);
    if (*text != '\0')
        bk_ingredient_add(arena, recipe, text, listed ? SIZE_MAX : recipe->step_count);
}

/* "6 oz", "175g" */
static bool is_amount_alone(bk_arena *arena, const char *text)
{
    size_t count = 0;
    const bk_token *t = bk_tokens(arena, text, &count);
    return count == 2 && t[0].kind == BK_TOKEN_NUMBER &&
           bk_among(&t[1], " g kg oz lb lbs ml l litre litres pint pints cup cups tbsp tsp dl cl ");
}

/* "2 apples / 1 onion / lard": several on one line. */
void bk_add_ingredients(bk_arena *arena, bk_taken_recipe *recipe, const char *line)
{
    const char *slash = strstr(line, " / ");
    if (slash && is_amount_alone(arena, bk_copy(arena, line, (size_t)(slash - line))) &&
        bk_begins_with_amount(slash + 3))
        slash = NULL; /* "6 oz / 175g soft butter" */
    while (slash) {
        add_ingredient(arena, recipe, bk_copy(arena, line, (size_t)(slash - line)), true);
        line = slash + 3;
        slash = strstr(line, " / ");
    }
    add_ingredient(arena, recipe, line, true);
}

/* Is it a list of things with their amounts, and no time or heat among them? */
static bool is_amounts(bk_arena *arena, const char *list, size_t least)
{
    size_t amounts = 0, count = 0;
    const bk_token *t = bk_tokens(arena, list, &count);
    if (bk_spell_find(t, 0, count).found || bk_setting_find(arena, t, 0, count).at)
        return false;
    for (const char *item = list; item; item = strstr(item, ", ")) {
        item += strncmp(item, ", ", 2) == 0 ? 2 : 0;
        size_t length = strcspn(item, ",");
        amounts +=
            bk_begins_with_amount(item) || bk_ends_with_amount(arena, bk_copy(arena, item, length));
    }
    return amounts >= least;
}

/* Where a list is told in a line ("You want 4 eggs, a pint of milk and a nutmeg.", "For six:
 * 1 kg of fish, ..."), with its length; or NULL. */
static const char *find_told_list(bk_arena *arena, const char *line, size_t *length)
{
    static const char *const ways[] = {
        "you want ",      "you need ",    "you'll need ", "you will need ",
        "you will want ", "you'll want ", "i use ",       "i take ",
        "it takes ",      "we use ",      "it wants ",    "take ",
        "have by you ",   "have ready ",  ": ",           NULL};
    for (size_t i = 0; ways[i]; i++) {
        const char *at = line;
        while (*at != '\0' && !bk_line_begins(at, ways[i]))
            at++;
        at += *at != '\0' ? strlen(ways[i]) : 0;
        bool behind_sign = ways[i][0] == ':';
        if (*at == '\0' ||
            !(isdigit((unsigned char)*at) ||
              (!behind_sign && (bk_line_begins(at, "a ") || bk_line_begins(at, "half ")))))
            continue;
        size_t n = 0;
        while (at[n] != '\0' && at[n] != '!' && at[n] != '\n' &&
               !(at[n] == '.' && !isdigit((unsigned char)at[n + 1])))
            n++;
        const char *dash = strstr(at, " \xE2\x80\x93 ");
        n = dash && (size_t)(dash - at) < n ? (size_t)(dash - at) : n;
        const char *list = bk_copy(arena, at, n);
        if (strchr(list, ',') && is_amounts(arena, list, behind_sign ? 3 : 1)) {
            *length = n;
            return at;
        }
    }
    return NULL;
}

/* Takes up a list that a line tells; gives what the line says beside it, or NULL where it
 * tells none. */
const char *bk_add_told_ingredients(bk_arena *arena, bk_taken_recipe *recipe, const char *line)
{
    size_t n = 0;
    const char *at = find_told_list(arena, line, &n);
    if (!at)
        return NULL;
    char *list = bk_copy(arena, at, n);
    for (char *item = list; item;) {
        char *comma = strstr(item, ", "), *and = strstr(item, " and ");
        char *cut = comma && (!and || comma < and) ? comma : and;
        char *next = !cut ? NULL : cut + (cut == comma ? 2 : 5);
        if (cut)
            *cut = '\0';
        item += bk_line_begins(item, "and ") ? 4 : 0;
        add_ingredient(arena, recipe, item, true);
        item = next;
    }
    const char *first = at; /* of the sentence that tells it */
    while (first > line && !strchr(".!?", first[-1]))
        first--;
    bool label = at > line + 1 && at[-2] == ':' &&
                 bk_line_contains(bk_copy(arena, first, (size_t)(at - first)), "for the ");
    first = label ? at : first; /* "For the batter: 4 oz flour, ... Beat well" */
    const char *rest = at + n + strspn(at + n, ".! ");
    return bk_format(arena, "%.*s%s%s", (int)(first - line), line, first > line ? " " : "", rest);
}

/* "1 lb plums; 6 oz sugar; 3 oz crumbs": a list, too, where amounts stand behind the signs. */
static const char *commas_for_semicolons(bk_arena *arena, const char *line)
{
    size_t signs = 0, amounts = bk_begins_with_amount(line);
    for (const char *at = line; (at = strstr(at, "; ")); at += 2) {
        signs++;
        amounts += bk_begins_with_amount(at + 2);
    }
    if (signs < 2 || 2 * amounts < signs + 1)
        return line;
    char *list = bk_copy_string(arena, line);
    for (char *at = list; (at = strstr(at, "; ")); at += 2)
        *at = ',';
    return list;
}

/* Its first stop that ends no "oz."; or NULL. */
static const char *end_of_list(const char *list)
{
    static const char *const shortened[] = {"oz", "lb",  "lbs", "tsp", "tbsp",
                                            "pt", "doz", "dsp", "pkt"};
    for (const char *at = list; (at = strstr(at, ". ")); at += 2) {
        bool cut = false;
        for (size_t i = 0; i < sizeof shortened / sizeof *shortened; i++) {
            size_t n = strlen(shortened[i]);
            cut |= (size_t)(at - list) > n && strncmp(at - n, shortened[i], n) == 0 &&
                   !isalpha((unsigned char)at[-(ptrdiff_t)n - 1]);
        }
        if (!cut)
            return at;
    }
    return NULL;
}

/* "Dough: 250 g flour, 2 tbsp oil, a pinch of salt. Knead it ...": the list; gives what
 * stands behind it, or `line`. */
const char *bk_add_listed_ingredients(bk_arena *arena, bk_taken_recipe *recipe, const char *line)
{
    line = commas_for_semicolons(arena, line);
    const char *colon = strchr(line, ':'), *list = line;
    if (colon && colon - line < 25)
        list = colon + 1 + strspn(colon + 1, " ");
    const char *end = end_of_list(list);
    size_t n = end ? (size_t)(end - list) : strlen(list);
    char *items = bk_copy(arena, list, n);
    size_t parts = 1;
    for (const char *item = items; (item = strstr(item, ", ")); item += 2)
        parts++;
    if (parts < 3 || !is_amounts(arena, items, list != line ? 1 : 2) ||
        bk_has_verb_first(arena, items) ||
        (recipe->ingredient_count > 0 && recipe->step_count > 0 && !bk_begins_with_amount(items)))
        return line;
    size_t length = strlen(items);
    if (length > 0 && items[length - 1] == '.')
        items[length - 1] = '\0';
    for (char *item = items; item;) {
        char *comma = strstr(item, ", ");
        if (comma)
            *comma = '\0';
        add_ingredient(arena, recipe, item, list == line);
        item = comma ? comma + 2 : NULL;
    }
    return end ? end + 2 : list + n;
}

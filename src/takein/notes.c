/* A recipe in a text: which line is the title, which are ingredients, which are steps. */
#include "takein/reading.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

enum part { PART_UNKNOWN, PART_INGREDIENTS, PART_STEPS, PART_NOTES };

enum { MOST_LISTS = 4 }; /* told in one line */
enum { LONGEST_HEADING = 44, LONGEST_TITLE = 100, LONGEST_INGREDIENT = 90, WRAPPED_LINE = 62 };

static bool begins(const char *line, const char *word)
{
    return strncasecmp(line, word, strlen(word)) == 0;
}

static bool contains(const char *line, const char *word)
{
    size_t n = strlen(word);
    for (; *line != '\0'; line++)
        if (strncasecmp(line, word, n) == 0)
            return true;
    return false;
}

/* Behind a bullet, or `line`. */
static const char *behind_bullet(const char *line)
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

/* Behind "1.", "2)", "Step 3:", or NULL. */
static const char *behind_number(const char *line)
{
    const char *at = line;
    if (begins(at, "step "))
        at += 5;
    size_t digits = strspn(at, "0123456789");
    if (digits == 0 || digits > 2)
        return NULL;
    const char *behind = at + digits;
    if (*behind == '.' || *behind == ')' || *behind == ':')
        behind++;
    else if (at == line)
        return NULL;
    return *behind == ' ' || (isalpha((unsigned char)*behind) && behind[-1] != at[digits - 1]) ||
                   *behind == '\0'
               ? behind + strspn(behind, " ")
               : NULL;
}

static enum part part_of_heading(const char *line)
{
    static const char *const ingredients[] = {
        "ingredient", "you need", "you will need", "you'll need", "shopping", "what goes in", NULL};
    static const char *const steps[] = {"method",    "instruction", "direction",   "preparation",
                                        "how to",    "steps",       "what you do", "what to do",
                                        "procedure", NULL};
    static const char *const notes[] = {"notes", "note:",     "tips",     "tip:", "storage",
                                        "tags",  "nutrition", "comments", NULL};
    const char *text = line + strspn(line, "#*= ");
    if (begins(text, "ingredients:"))
        return PART_INGREDIENTS;
    if (begins(text, "method:") || begins(text, "directions:") || begins(text, "instructions:"))
        return PART_STEPS;
    if (strlen(text) > LONGEST_HEADING)
        return PART_UNKNOWN;
    for (size_t i = 0; ingredients[i]; i++)
        if (contains(text, ingredients[i]))
            return PART_INGREDIENTS;
    for (size_t i = 0; steps[i]; i++)
        if (begins(text, steps[i]) && strlen(text) < 24)
            return PART_STEPS;
    for (size_t i = 0; notes[i]; i++)
        if (begins(text, notes[i]))
            return PART_NOTES;
    return PART_UNKNOWN;
}

static bool is_sub_heading(const char *line)
{
    size_t n = strlen(line);
    return n > 0 && n <= LONGEST_HEADING && (line[n - 1] == ':' || line[0] == '#');
}

/* "For the custard", "Pastry" behind an empty line: a heading, though no colon says so. */
static bool is_bare_heading(bk_arena *arena, const char *line, bool parted)
{
    size_t count = 0;
    const bk_token *t = bk_tokens(arena, line, &count);
    if (count == 0 || count > 5 || strpbrk(line, ".,!?:;0123456789()"))
        return false;
    if (count > 2 && bk_is(&t[0], "for") && bk_among(&t[1], " the a "))
        return true;
    return parted && count <= 3 && t[0].capital && !bk_among(&t[0], " method ingredients ") &&
           !(bk_verb_find(t[0].word) && count > 1);
}

static bool begins_with_amount(const char *line)
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
        if (begins(line, words[i]))
            return true;
    return false;
}

/* "flour 250 g", "milk, 4 tbsp": the amount stands behind its name. */
static bool ends_with_amount(bk_arena *arena, const char *line)
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

static bool has_verb_first(bk_arena *arena, const char *line)
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

static bool ends_sentence(const char *line)
{
    size_t n = strlen(line);
    return n > 0 && strchr(".!?:;", line[n - 1]);
}

/* "Moderate oven, Mark 4", "Oven 200 (180 fan)": no ingredient, though a number stands in it. */
static bool says_how_hot(bk_arena *arena, const char *line)
{
    size_t count = 0;
    const bk_token *t = bk_tokens(arena, line, &count);
    bk_setting setting = bk_setting_find(arena, t, 0, count);
    bool first = setting.at && setting.from == t[0].from; /* "180C 20 mins" */
    for (size_t i = 0; i < count && setting.at && !first; i++)
        first = bk_among(&t[i], " oven mark gas preheat ");
    return first;
}

/* "15 min out of the oven": no amount of anything. */
static bool begins_with_time(bk_arena *arena, const char *line)
{
    size_t count = 0;
    bk_spell spell;
    const bk_token *t = bk_tokens(arena, line, &count);
    return bk_spell_read(t, 0, count, &spell) > 0 && count > 2;
}

static bool is_ingredient(bk_arena *arena, const char *line, bool among)
{
    const char *text = behind_bullet(line);
    size_t n = strlen(text);
    if (n == 0 || n > LONGEST_INGREDIENT || strchr(text, ';') || says_how_hot(arena, text))
        return false;
    if (behind_number(text) && has_verb_first(arena, behind_number(text)))
        return false;
    const char *colon = strstr(text, ": ");
    if (begins_with_time(arena, text) || (colon && has_verb_first(arena, colon + 2)))
        return false; /* "pastry: rub in, rest 30" */
    if (ends_with_amount(arena, text) && !has_verb_first(arena, text))
        return true;
    if (begins_with_amount(text))
        return !(ends_sentence(text) && n > 50) && !behind_number(text);
    return among && n < 50 && !ends_sentence(text) && !has_verb_first(arena, text) &&
           !behind_number(text);
}

/* ------------------------------------------------------------------ taking up */

static void add_ingredient(bk_arena *arena, bk_taken_recipe *recipe, const char *text, bool listed)
{
    text = behind_bullet(text);
    if (*text != '\0')
        bk_ingredient_add(arena, recipe, text, listed ? SIZE_MAX : recipe->step_count);
}

/* "2 apples / 1 onion / lard": several on one line. */
static void add_ingredients(bk_arena *arena, bk_taken_recipe *recipe, const char *line)
{
    const char *slash = strstr(line, " / ");
    while (slash) {
        add_ingredient(arena, recipe, bk_copy(arena, line, (size_t)(slash - line)), true);
        line = slash + 3;
        slash = strstr(line, " / ");
    }
    add_ingredient(arena, recipe, line, true);
}

static void add_step(bk_arena *arena, bk_taken_recipe *recipe, const char *text,
                     const char *heading)
{
    if (recipe->step_count < BK_MOST_STEPS && *text != '\0') {
        *BK_PUSH(arena, recipe->steps, recipe->step_count, recipe->step_room) =
            (bk_step){text, heading};
    }
}

/* Is it a list of things with their amounts, and no time or heat among them? */
static bool is_amounts(bk_arena *arena, const char *list, size_t least)
{
    size_t amounts = 0, count = 0;
    const bk_token *t = bk_tokens(arena, list, &count);
    if (bk_spell_find(t, 0, count).found || bk_setting_find(arena, t, 0, count).at)
        return false;
    for (const char *item = list; item; item = strstr(item, ", ")) {
        item += *item == ',' ? 2 : 0;
        size_t length = strcspn(item, ",");
        amounts +=
            begins_with_amount(item) || ends_with_amount(arena, bk_copy(arena, item, length));
    }
    return amounts >= least;
}

/* Where a list is told in a line ("You want 4 eggs, a pint of milk and a nutmeg.", "For six:
 * 1 kg of fish, ..."), with its length; or NULL. */
static const char *find_told_list(bk_arena *arena, const char *line, size_t *length)
{
    static const char *const ways[] = {"you want ",      "you need ",      "you'll need ",
                                       "you will need ", "you will want ", "you'll want ",
                                       "i use ",         "i take ",        "it takes ",
                                       "we use ",        "it wants ",      "take ",
                                       "have by you ",   "have ready ",    ": ",
                                       NULL};
    for (size_t i = 0; ways[i]; i++) {
        const char *at = line;
        while (*at != '\0' && !begins(at, ways[i]))
            at++;
        at += *at != '\0' ? strlen(ways[i]) : 0;
        bool behind_sign = ways[i][0] == ':';
        if (*at == '\0' || !(isdigit((unsigned char)*at) ||
                             (!behind_sign && (begins(at, "a ") || begins(at, "half ")))))
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
static const char *add_told_ingredients(bk_arena *arena, bk_taken_recipe *recipe, const char *line)
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
        item += begins(item, "and ") ? 4 : 0;
        add_ingredient(arena, recipe, item, true);
        item = next;
    }
    const char *first = at; /* of the sentence that tells it */
    while (first > line && !strchr(".!?", first[-1]))
        first--;
    bool label = at > line + 1 && at[-2] == ':' && contains(bk_copy(arena, first, (size_t)(at - first)),
                                                            "for the ");
    first = label ? at : first; /* "For the batter: 4 oz flour, ... Beat well" */
    const char *rest = at + n + strspn(at + n, ".! ");
    return bk_format(arena, "%.*s%s%s", (int)(first - line), line, first > line ? " " : "", rest);
}

/* "1 lb plums; 6 oz sugar; 3 oz crumbs": a list, too, where amounts stand behind the signs. */
static const char *commas_for_semicolons(bk_arena *arena, const char *line)
{
    size_t signs = 0, amounts = begins_with_amount(line);
    for (const char *at = line; (at = strstr(at, "; ")); at += 2) {
        signs++;
        amounts += begins_with_amount(at + 2);
    }
    if (signs < 2 || 2 * amounts < signs + 1)
        return line;
    char *list = bk_copy_string(arena, line);
    for (char *at = list; (at = strstr(at, "; ")); at += 2)
        *at = ',';
    return list;
}

/* "Dough: 250 g flour, 2 tbsp oil, a pinch of salt. Knead it ...": the list; gives what
 * stands behind it, or `line`. */
static const char *add_listed_ingredients(bk_arena *arena, bk_taken_recipe *recipe,
                                          const char *line)
{
    line = commas_for_semicolons(arena, line);
    const char *colon = strchr(line, ':'), *list = line;
    if (colon && colon - line < 25)
        list = colon + 1 + strspn(colon + 1, " ");
    const char *end = strstr(list, ". ");
    size_t n = end ? (size_t)(end - list) : strlen(list);
    char *items = bk_copy(arena, list, n);
    size_t parts = 1;
    for (const char *item = items; (item = strstr(item, ", ")); item += 2)
        parts++;
    if (parts < 3 || !is_amounts(arena, items, list != line ? 1 : 2) ||
        has_verb_first(arena, items) ||
        (recipe->ingredient_count > 0 && recipe->step_count > 0 && !begins_with_amount(items)))
        return line;
    for (char *item = items; item;) {
        char *comma = strstr(item, ", ");
        if (comma)
            *comma = '\0';
        add_ingredient(arena, recipe, item, list == line);
        item = comma ? comma + 2 : NULL;
    }
    return end ? end + 2 : list + n;
}

static bool is_mail_header(const char *line, bk_taken_recipe *recipe)
{
    static const char *const headers[] = {
        "from:", "to:", "date:", "sent:", "cc:", "subject:", "reply-to:", NULL};
    for (size_t i = 0; headers[i]; i++) {
        if (begins(line, headers[i])) {
            if (begins(line, "subject:") && !recipe->title)
                recipe->title = line + 8 + strspn(line + 8, " ");
            return true;
        }
    }
    return false;
}

static bool is_yield(const char *line)
{
    return strlen(line) < 40 && (begins(line, "serves") || begins(line, "makes ") ||
                                 (begins(line, "for ") && !begins(line, "for the ")) ||
                                 begins(line, "yield") || begins(line, "servings"));
}

/* "fish: oven 220": a line of notes, though it begins small. */
static bool begins_with_label(const char *line)
{
    enum { LONGEST_LABEL = 24 };
    size_t n = strcspn(line, ":,.;");
    return line[n] == ':' && n > 1 && n <= LONGEST_LABEL;
}

/* Are most lines of the paragraph that line i is in as long as its longest? Then something
 * broke them at its right edge; notes end where the thought ends. */
static bool is_wrapped(char *const *lines, size_t count, size_t i)
{
    enum { RAGGED = 16, MOST_LINES = 60 };
    size_t from = i, end = i, longest = 0, broken = 0;
    while (from > 0 && *lines[from - 1] != '\0' && i - from < MOST_LINES)
        from--;
    while (end < count && *lines[end] != '\0' && end - i < MOST_LINES)
        end++;
    for (size_t k = from; k < end; k++)
        longest = strlen(lines[k]) > longest ? strlen(lines[k]) : longest;
    for (size_t k = from; k + 1 < end; k++)
        broken += strlen(lines[k]) + RAGGED >= longest;
    return end < from + 2 || 2 * broken + 1 >= end - from;
}

/* Lines that a mailer or typewriter broke are one again; an empty line parts them. */
static size_t join_wrapped(bk_arena *arena, char *const *lines, size_t count, const char **out)
{
    size_t n = 0;
    bool numbered = false;
    for (size_t i = 0; i < count; i++) {
        const char *line = lines[i];
        const char *before = n > 0 ? out[n - 1] : "";
        size_t last = i > 0 ? strlen(lines[i - 1]) : 0;
        numbered = *line != '\0' && (numbered || behind_number(line));
        bool long_enough = last >= WRAPPED_LINE && !ends_sentence(before) &&
                           behind_bullet(line) == line && !begins_with_label(line);
        bool goes_on = long_enough && islower((unsigned char)line[0]);
        bool sentence_goes_on = long_enough && last <= 80 && line[0] != '\0' &&
                                !behind_number(line) && !begins_with_amount(line);
        bool list_ends = begins_with_amount(before) && has_verb_first(arena, line);
        if ((goes_on || sentence_goes_on) && !list_ends &&
            (numbered || is_wrapped(lines, count, i)) &&
            strlen(before) < BK_MOST_STEP_BYTES / 2)
            out[n - 1] = bk_format(arena, "%s %s", before, line);
        else
            out[n++] = line;
    }
    return n;
}

/* "3 Spread it in the tin and bake it.": a number without a sign, before a sentence that tells
 * to do something; or NULL. */
static const char *behind_bare_number(bk_arena *arena, const char *line)
{
    size_t digits = strspn(line, "0123456789"), count = 0;
    if (digits == 0 || digits > 2 || line[digits] != ' ' || !ends_sentence(line) ||
        !isupper((unsigned char)line[digits + 1]))
        return NULL;
    const bk_token *t = bk_tokens(arena, line + digits + 1, &count);
    bool tells = count > 3 && (bk_verb_find(t[0].word) || bk_is_adverb(&t[0]) ||
                               bk_opens_subordinate(&t[0]) || bk_among(&t[0], " in with "));
    return tells ? line + digits + 1 : NULL;
}

static void read_line(bk_arena *arena, bk_taken_recipe *recipe, const char *line, enum part *part,
                      const char **heading, bool parted, bool behind_gap)
{
    enum part named = part_of_heading(line);
    if (named != PART_UNKNOWN && !(named == PART_STEPS && has_verb_first(arena, line) &&
                                   ends_sentence(line) && line[strlen(line) - 1] == '.')) {
        *part = named;
        const char *colon = strchr(line, ':');
        if (!colon || colon[1] == '\0')
            return;
        line = colon + 1 + strspn(colon + 1, " ");
    } else if (is_yield(line) && !recipe->yield) {
        recipe->yield = line;
        return;
    } else if ((is_sub_heading(line) ||
                is_bare_heading(arena, line, parted && recipe->step_count > 0)) &&
               *part != PART_NOTES) {
        *heading =
            *part == PART_STEPS || recipe->step_count > 0 ? bk_copy_string(arena, line) : NULL;
        return;
    }
    if (*part == PART_NOTES) {
        *BK_PUSH(arena, recipe->notes, recipe->note_count, recipe->note_room) = line;
        return;
    }
    line = add_listed_ingredients(arena, recipe, behind_bullet(line));
    if (*line == '\0')
        return;
    bool among = *part == PART_INGREDIENTS ||
                 (recipe->ingredient_count > 0 && recipe->step_count == 0 &&
                  !(behind_gap && recipe->ingredient_count > 1)); /* a gap ends the list */
    const char *numbered = behind_number(line);
    numbered = numbered ? numbered : behind_bare_number(arena, line);
    if (*part != PART_STEPS && is_ingredient(arena, line, among)) {
        add_ingredients(arena, recipe, line);
        return;
    }
    if (*part != PART_STEPS && !numbered) {
        const char *rest = add_told_ingredients(arena, recipe, line);
        for (size_t n = 0; rest && n < MOST_LISTS; n++) {
            line = rest;
            rest = add_told_ingredients(arena, recipe, line);
        }
        if (*line == '\0')
            return;
    }
    if (*part == PART_INGREDIENTS &&
        !(ends_sentence(line) || has_verb_first(arena, line) || numbered)) {
        add_ingredients(arena, recipe, line);
        return;
    }
    add_step(arena, recipe, behind_bullet(numbered ? numbered : line), *heading);
}

void bk_notes_read(bk_arena *arena, char *const *lines, size_t count, bk_taken_recipe *recipe)
{
    const char **joined = BK_NEW(arena, const char *, count + 1);
    size_t n = join_wrapped(arena, lines, count, joined);
    enum part part = PART_UNKNOWN;
    const char *heading = NULL;
    bool begun = false;
    for (size_t i = 0; i < n; i++) {
        const char *line = joined[i];
        if (recipe->step_count >= BK_MOST_STEPS)
            break; /* nothing behind it would be read */
        if (*line == '\0')
            continue;
        if (!begun && is_mail_header(line, recipe))
            continue;
        size_t length = strlen(line);
        bool greets = length < 30 && line[length - 1] == ',';
        if (greets && recipe->step_count == 0)
            continue;
        if (!begun && !recipe->title && !greets && length <= LONGEST_TITLE &&
            part_of_heading(line) == PART_UNKNOWN && !begins_with_amount(line)) {
            recipe->title = line + strspn(line, "#*= ");
            begun = true;
            continue;
        }
        begun = true;
        bool parted = i > 0 && *joined[i - 1] == '\0' && i + 1 < n && *joined[i + 1] != '\0';
        bool behind_gap = i > 0 && *joined[i - 1] == '\0';
        read_line(arena, recipe, line, &part, &heading, parted, behind_gap);
    }
}

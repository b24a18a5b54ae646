/* A recipe in a text: which line is the title, which are ingredients, which are steps. */
#include "takein/lists.h"
#include "takein/reading.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum part { PART_UNKNOWN, PART_INGREDIENTS, PART_STEPS, PART_NOTES };

enum { MOST_LISTS = 4 }; /* told in one line */
enum { LONGEST_HEADING = 44, LONGEST_TITLE = 100, LONGEST_INGREDIENT = 90, WRAPPED_LINE = 62 };

/* Behind "1.", "2)", "Step 3:", or NULL. */
static const char *behind_number(const char *line)
{
    const char *at = line;
    if (bk_line_begins(at, "step "))
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

/* "Notes from a narrow kitchen": the name of a page. */
static bool tells_whence(const char *text)
{
    const char *behind = text + strcspn(text, " ");
    return bk_line_begins(text, "notes") &&
           (bk_line_begins(behind, " from") || bk_line_begins(behind, " of") ||
            bk_line_begins(behind, " by"));
}

static enum part part_of_heading(const char *line)
{
    static const char *const ingredients[] = {
        "ingredient", "you need", "you will need", "you'll need", "shopping", "what goes in", NULL};
    static const char *const steps[] = {"method",    "instruction", "direction",   "preparation",
                                        "how to",    "steps",       "what you do", "what to do",
                                        "procedure", "making it",   "to make it",  "cooking it",
                                        NULL};
    static const char *const notes[] = {"notes", "note:",     "tips",     "tip:", "storage",
                                        "tags",  "nutrition", "comments", NULL};
    const char *text = line + strspn(line, "#*= ");
    if (bk_line_begins(text, "ingredients:"))
        return PART_INGREDIENTS;
    if (bk_line_begins(text, "method:") || bk_line_begins(text, "directions:") ||
        bk_line_begins(text, "instructions:"))
        return PART_STEPS;
    if (strlen(text) > LONGEST_HEADING)
        return PART_UNKNOWN;
    for (size_t i = 0; ingredients[i]; i++)
        if (bk_line_contains(text, ingredients[i]))
            return PART_INGREDIENTS;
    for (size_t i = 0; steps[i]; i++)
        if (bk_line_begins(text, steps[i]) && strlen(text) < 24)
            return PART_STEPS;
    for (size_t i = 0; notes[i]; i++)
        if (bk_line_begins(text, notes[i]) && !tells_whence(text))
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
    const char *aside = strstr(line, " (while ");
    if (aside && aside[strlen(aside) - 1] == ')')
        line = bk_copy(arena, line, (size_t)(aside - line)); /* "ICING (while the cake cools)" */
    const bk_token *t = bk_tokens(arena, line, &count);
    if (count == 0 || count > 5 || strpbrk(line, ".,!?:;0123456789()"))
        return false;
    if (count > 2 && bk_is(&t[0], "for") && bk_among(&t[1], " the a "))
        return true;
    return parted && count <= 3 && t[0].capital && !bk_among(&t[0], " method ingredients ") &&
           !(bk_verb_find(t[0].word) && count > 1);
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

/* "0930 Pork in, 230C 30 min." */
static bool begins_with_clock(bk_arena *arena, const char *line)
{
    size_t count = 0;
    const bk_token *t = bk_tokens(arena, line, &count);
    return bk_behind_clock(t, count) > 0;
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

static bool is_ingredient(bk_arena *arena, const char *line, bool among)
{
    const char *text = bk_behind_bullet(line);
    size_t n = strlen(text);
    if (n == 0 || n > LONGEST_INGREDIENT || strchr(text, ';') || says_how_hot(arena, text))
        return false;
    if ((behind_number(text) && bk_has_verb_first(arena, behind_number(text))) ||
        behind_bare_number(arena, text))
        return false;
    const char *colon = strstr(text, ": ");
    if (begins_with_time(arena, text) || (colon && bk_has_verb_first(arena, colon + 2)))
        return false; /* "pastry: rub in, rest 30" */
    if (bk_ends_with_amount(arena, text) && !bk_has_verb_first(arena, text))
        return true;
    if (bk_begins_with_amount(text))
        return !(ends_sentence(text) && n > 50) && !behind_number(text);
    return among && n < 50 && !ends_sentence(text) && !bk_has_verb_first(arena, text) &&
           !behind_number(text);
}

/* ------------------------------------------------------------------ taking up */

static void add_step(bk_arena *arena, bk_taken_recipe *recipe, const char *text,
                     const char *heading)
{
    if (recipe->step_count < BK_MOST_STEPS && *text != '\0') {
        *BK_PUSH(arena, recipe->steps, recipe->step_count, recipe->step_room) =
            (bk_step){bk_cut(arena, text, BK_MOST_STEP_BYTES), heading};
    }
}

static bool is_mail_header(const char *line, bk_taken_recipe *recipe)
{
    static const char *const headers[] = {
        "from:", "to:", "date:", "sent:", "cc:", "subject:", "reply-to:", NULL};
    for (size_t i = 0; headers[i]; i++) {
        if (bk_line_begins(line, headers[i])) {
            if (bk_line_begins(line, "subject:") && !recipe->title)
                recipe->title = line + 8 + strspn(line + 8, " ");
            return true;
        }
    }
    return false;
}

static bool is_yield(const char *line)
{
    return strlen(line) < 40 &&
           (bk_line_begins(line, "serves") || bk_line_begins(line, "makes ") ||
            (bk_line_begins(line, "for ") && !bk_line_begins(line, "for the ")) ||
            bk_line_begins(line, "yield") || bk_line_begins(line, "servings"));
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
                           bk_behind_bullet(line) == line && !begins_with_label(line);
        bool goes_on = long_enough && islower((unsigned char)line[0]);
        bool sentence_goes_on = long_enough && last <= 80 && line[0] != '\0' &&
                                !behind_number(line) && !bk_begins_with_amount(line);
        bool time_goes_on = long_enough && numbered && begins_with_time(arena, line);
        bool list_ends = bk_begins_with_amount(before) && bk_has_verb_first(arena, line);
        if ((goes_on || sentence_goes_on || time_goes_on) && !list_ends &&
            (numbered || is_wrapped(lines, count, i)) && strlen(before) < BK_MOST_STEP_BYTES / 2)
            out[n - 1] = bk_format(arena, "%s %s", before, line);
        else
            out[n++] = line;
    }
    return n;
}

/* The number that a line begins with, and nothing but a blank behind it: "3 beat in the salt"; or
 * 0. */
static size_t bare_number(const char *line)
{
    size_t digits = strspn(line, "0123456789");
    bool bare = digits > 0 && digits <= 2 && line[digits] == ' ' && line[digits + 1] != '\0' &&
                !strchr("0123456789/-", line[digits + 1]);
    return bare ? (size_t)strtoul(line, NULL, 10) : 0;
}

/* Where the lines from `first` on are numbered 1, 2, 3 and on: the line behind the last of them;
 * else `first`. A list of amounts does not go on so. */
static size_t counted_on(const char **lines, size_t count, size_t first)
{
    enum { FEWEST = 4, FEWEST_LONG = 3, LONG = 30 };
    size_t n = 0, length = 0, i = first, behind = first;
    for (; i < count; i++) {
        if (*lines[i] == '\0')
            continue;
        if (bare_number(lines[i]) != n + 1)
            break;
        n++;
        length += strlen(lines[i]);
        behind = i + 1;
    }
    return n >= FEWEST || (n >= FEWEST_LONG && length >= n * LONG) ? behind : first;
}

static void read_line(bk_arena *arena, bk_taken_recipe *recipe, const char *line, enum part *part,
                      const char **heading, bool parted, bool behind_gap)
{
    enum part named = part_of_heading(line);
    if (named != PART_UNKNOWN && !(named == PART_STEPS && bk_has_verb_first(arena, line) &&
                                   ends_sentence(line) && line[strlen(line) - 1] == '.')) {
        *part = named;
        *heading = NULL; /* that of a part of the list is none of the steps */
        if (named == PART_STEPS && bk_line_contains(line, "oven") &&
            strlen(line) <= LONGEST_HEADING)
            *BK_PUSH(arena, recipe->notes, recipe->note_count, recipe->note_room) =
                line; /* "Method (oven 170C)" */
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
    if (begins_with_clock(arena, line)) {
        add_step(arena, recipe, line, *heading);
        return;
    }
    line = bk_add_listed_ingredients(arena, recipe, bk_behind_bullet(line));
    if (*line == '\0')
        return;
    bool among = *part == PART_INGREDIENTS ||
                 (recipe->ingredient_count > 0 && recipe->step_count == 0 &&
                  !(behind_gap && recipe->ingredient_count > 1)); /* a gap ends the list */
    const char *numbered = behind_number(line);
    numbered = numbered ? numbered : behind_bare_number(arena, line);
    if (*part != PART_STEPS && is_ingredient(arena, line, among)) {
        bk_add_ingredients(arena, recipe, line);
        return;
    }
    if (*part != PART_STEPS && !numbered) {
        const char *rest = bk_add_told_ingredients(arena, recipe, line);
        for (size_t n = 0; rest && n < MOST_LISTS; n++) {
            line = rest;
            rest = bk_add_told_ingredients(arena, recipe, line);
        }
        if (*line == '\0')
            return;
    }
    if (*part == PART_INGREDIENTS &&
        !(ends_sentence(line) || bk_has_verb_first(arena, line) || numbered)) {
        bk_add_ingredients(arena, recipe, line);
        return;
    }
    add_step(arena, recipe, bk_behind_bullet(numbered ? numbered : line), *heading);
}

void bk_notes_read(bk_arena *arena, char *const *lines, size_t count, bk_taken_recipe *recipe)
{
    const char **joined = BK_NEW(arena, const char *, count + 1);
    size_t n = join_wrapped(arena, lines, count, joined);
    enum part part = PART_UNKNOWN;
    const char *heading = NULL;
    bool begun = false;
    size_t counted = 0; /* lines before this one are steps by their numbers */
    for (size_t i = 0; i < n; i++) {
        const char *line = joined[i];
        if (recipe->step_count >= BK_MOST_STEPS)
            break; /* nothing behind it would be read */
        if (*line == '\0')
            continue;
        if (i >= counted && part != PART_INGREDIENTS && bare_number(line) == 1)
            counted = counted_on(joined, n, i);
        if (i < counted) {
            add_step(arena, recipe, line + strcspn(line, " ") + 1, heading);
            begun = true;
            continue;
        }
        if (!begun && is_mail_header(line, recipe))
            continue;
        size_t length = strlen(line);
        bool greets = length < 30 && line[length - 1] == ',';
        if (greets && recipe->step_count == 0)
            continue;
        if (!begun && !recipe->title && !greets && length <= LONGEST_TITLE &&
            part_of_heading(line) == PART_UNKNOWN && !bk_begins_with_amount(line)) {
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

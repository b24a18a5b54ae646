/* Private to takein: ingredients in the lines of a text. */
#ifndef BK_TAKEIN_LISTS_H
#define BK_TAKEIN_LISTS_H

#include "takein/parts.h"

/* Does the line begin with these words; has it them anywhere? Capitals are small letters. */
bool bk_line_begins(const char *line, const char *word);
bool bk_line_contains(const char *line, const char *word);

/* Behind a bullet, or `line`. */
const char *bk_behind_bullet(const char *line);

/* "250 g flour"; "flour 250 g" */
bool bk_begins_with_amount(const char *line);
bool bk_ends_with_amount(bk_arena *arena, const char *line);

/* Is its first word a verb that tells to do something? */
bool bk_has_verb_first(bk_arena *arena, const char *line);

/* Adds the ingredients of a line, several where " / " parts them. */
void bk_add_ingredients(bk_arena *arena, bk_taken_recipe *recipe, const char *line);

/* Takes up a list that a line tells among other things; gives what the line says beside it, or
 * NULL where it tells none. */
const char *bk_add_told_ingredients(bk_arena *arena, bk_taken_recipe *recipe, const char *line);

/* Takes up the list that a line begins with; gives what stands behind it, or the line. */
const char *bk_add_listed_ingredients(bk_arena *arena, bk_taken_recipe *recipe, const char *line);

#endif

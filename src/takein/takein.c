/* From bytes to a draft: the table of contents. */
#include "takein/takein.h"

#include "takein/parts.h"

#include <string.h>

const char *bk_cut(bk_arena *arena, const char *text, size_t most)
{
    size_t n = strnlen(text, most + 1);
    if (n <= most)
        return text;
    for (n = most; n > 0 && ((unsigned char)text[n] & 0xC0) == 0x80;)
        n--;
    return bk_copy(arena, text, n);
}

void bk_ingredient_add(bk_arena *arena, bk_taken_recipe *recipe, const char *text, size_t step)
{
    enum { LONGEST_ITEM = 1000 };
    if (recipe->ingredient_count < BK_MOST_TAKEN_INGREDIENTS) {
        recipe->ingredient_step[recipe->ingredient_count] = step;
        *BK_PUSH(arena, recipe->ingredients, recipe->ingredient_count, recipe->ingredient_room) =
            bk_cut(arena, text, LONGEST_ITEM);
    }
}

static void take_piece(bk_arena *arena, bk_taken_recipe *recipe, char *piece, const char **heading)
{
    const char *text = piece + 1;
    switch ((enum bk_piece)piece[0]) {
    case BK_PIECE_TITLE:
        recipe->title = recipe->title ? recipe->title : text;
        break;
    case BK_PIECE_YIELD:
        recipe->yield = recipe->yield ? recipe->yield : text;
        break;
    case BK_PIECE_INGREDIENT:
        bk_ingredient_add(arena, recipe, text, SIZE_MAX);
        break;
    case BK_PIECE_HEADING:
        *heading = text;
        break;
    case BK_PIECE_STEP:
        if (recipe->step_count < BK_MOST_STEPS) {
            *BK_PUSH(arena, recipe->steps, recipe->step_count, recipe->step_room) =
                (bk_step){text, *heading};
        }
        break;
    case BK_PIECE_NOTE:
    case BK_PIECE_LINE:
        *BK_PUSH(arena, recipe->notes, recipe->note_count, recipe->note_room) = text;
        break;
    }
}

/* Cuts the sink's pieces apart; lines of a text are sorted by bk_notes_read. */
static void take_pieces(bk_arena *arena, bk_sink *sink, bk_taken_recipe *recipe)
{
    char **lines = NULL;
    size_t count = 0, room = 0;
    const char *heading = NULL;
    for (char *at = sink->data, *end = sink->data + sink->length; at < end;) {
        char *line_end = memchr(at, '\n', (size_t)(end - at));
        *line_end = '\0';
        if (at[0] == BK_PIECE_LINE)
            *BK_PUSH(arena, lines, count, room) = at + 1;
        else
            take_piece(arena, recipe, at, &heading);
        at = line_end + 1;
    }
    if (count > 0)
        bk_notes_read(arena, lines, count, recipe);
}

/* Takes "**" and "__" out, by which notes mark what is bold. */
static size_t drop_emphasis(char *text, size_t length)
{
    size_t n = 0;
    for (size_t i = 0; i < length; i++) {
        bool twice = i + 1 < length && text[i] == text[i + 1] && (text[i] == '*' || text[i] == '_');
        if (twice)
            i++;
        else
            text[n++] = text[i];
    }
    text[n] = '\0';
    return n;
}

/* A text by its lines; an empty one is kept, since it parts what stands around it. */
static void read_text(bk_arena *arena, char *text, bk_taken_recipe *recipe)
{
    enum { MOST_LINES = 20000 };
    char **lines = NULL;
    size_t count = 0, room = 0;
    for (char *at = text; at && count < MOST_LINES;) {
        char *end = strchr(at, '\n');
        if (end)
            *end = '\0';
        at += strspn(at, "> \t"); /* as mails quote */
        size_t length = strlen(at);
        length = drop_emphasis(at, length);
        bk_sink line = {.data = BK_NEW(arena, char, length + 4), .room = length + 4};
        bk_sink_add(&line, BK_PIECE_LINE, at, length);
        if (line.length > 0)
            line.data[line.length - 1] = '\0';
        *BK_PUSH(arena, lines, count, room) = line.length > 0 ? line.data + 1 : at + length;
        at = end ? end + 1 : NULL;
    }
    bk_notes_read(arena, lines, count, recipe);
}

static bool looks_like_markup(const char *text)
{
    const char *at = text + strspn(text, " \n\t");
    if (*at != '<') {
        return strstr(text, "application/ld+json") || strstr(text, "itemtype=") ||
               strstr(text, "</p>") || strstr(text, "</html>");
    }
    return true;
}

static void read_recipe(bk_arena *arena, char *text, size_t length, bk_taken_recipe *recipe)
{
    bk_sink sink = {.data = BK_NEW(arena, char, 2 * length + 4096),
                    .room = 2 * length + 4096,
                    .scratch = BK_NEW(arena, char, length + 16),
                    .scratch_room = length + 16};
    const char *first = text + strspn(text, " \n\t");
    if ((*first == '{' || *first == '[') && bk_structured_read(text, length, &sink)) {
        take_pieces(arena, &sink, recipe);
    } else if (looks_like_markup(text)) {
        bk_page_read(text, length, &sink);
        take_pieces(arena, &sink, recipe);
    } else {
        read_text(arena, text, recipe);
    }
}

bool bk_take_in(bk_arena *arena, const bk_source *source, bk_text *out, bk_report *report)
{
    bk_place nowhere = {NULL, 0};
    if (source->length > BK_MOST_TAKEN_IN) {
        bk_error(report, "limit", nowhere, "save the page of the recipe alone",
                 "%s is larger than %d MiB", source->name, BK_MOST_TAKEN_IN / (1024 * 1024));
        return false;
    }
    size_t length = 0;
    char *text = bk_to_utf8(arena, source->text, source->length, &length);
    bk_taken_recipe recipe = {0};
    read_recipe(arena, text, length, &recipe);
    bk_told_ingredients(arena, &recipe);
    bk_taken taken = {.arena = arena, .recipe = &recipe};
    bk_stages_find(&taken);
    if (taken.count == 0) {
        bk_error(report, "no-recipe", nowhere,
                 "give it a page or a text with the steps of one recipe",
                 "nothing in %s reads like the steps of a recipe", source->name);
        return false;
    }
    bk_threads_tie(&taken);
    bk_usual_find(&taken);
    bk_leeways_find(&taken);
    bk_draft_write(&taken, source->name, out);
    return true;
}

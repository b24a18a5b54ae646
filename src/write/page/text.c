#include "write/page/page.h"
#include "write/words/words.h"

#include <inttypes.h>
#include <string.h>

/* A row has a clock time, a word that says who acts, and what to do:
 *
 *    18:05  DO      Whisk eggs and sugar to a ribbon
 *                   Torte: hands on for 12-15 min, until 18:20
 *
 * Words in capitals need the cook; small ones run by themselves. That holds
 * without colour and at a glance. */
enum { NARROW = 56, WORD_COLUMNS = 5 };

enum paint { PLAIN, BOLD, FAINT, LOUD };

typedef struct page {
    const bk_timeline *timeline;
    bk_arena *arena;
    bk_text *out;
    size_t width;
    size_t indent; /* columns before what to do */
    bool colour;
    bool ascii;
    bool marks; /* critical stages carry a sign */
} page;

static void painted(page *p, enum paint paint, const char *text, size_t length)
{
    static const char *const on[] = {
        [PLAIN] = "", [BOLD] = "\033[1m", [FAINT] = "\033[2m", [LOUD] = "\033[1;31m"};
    bool colour = p->colour && paint != PLAIN && length > 0;
    if (colour)
        bk_text_add(p->out, on[paint]);
    bk_text_add_bytes(p->out, text, length);
    if (colour)
        bk_text_add(p->out, "\033[0m");
}

/* Wraps `text` into lines that begin at column `indent`; `used` columns of the
 * first line are written already. */
static void paragraph(page *p, size_t used, size_t indent, enum paint paint, const char *text)
{
    if (p->ascii)
        text = bk_words_ascii(p->arena, text);
    size_t width = p->width > indent ? p->width - indent : 1;
    do {
        const char *next = NULL;
        size_t length = bk_wrap_line(text, width, &next);
        bk_text_add_repeated(p->out, ' ', length > 0 && indent > used ? indent - used : 0);
        painted(p, paint, text, length);
        bk_text_add(p->out, "\n");
        text = next;
        used = 0;
    } while (text[0]);
}

static void blank_line(page *p)
{
    bk_text_add(p->out, "\n");
}

static void underlined(page *p, const char *title, char line)
{
    paragraph(p, 0, 0, BOLD, title);
    size_t columns = bk_columns(p->ascii ? bk_words_ascii(p->arena, title) : title);
    bk_text_add_repeated(p->out, line, columns < p->width ? columns : p->width);
    blank_line(p);
}

/* "Start by   Thursday 24 December, 18:05" */
static void head_line(page *p, const char *name, enum paint paint, const char *text)
{
    size_t indent = 10;
    painted(p, paint == BOLD ? BOLD : PLAIN, name, strlen(name));
    paragraph(p, bk_columns(name), indent, paint, text);
}

static void head(page *p)
{
    const bk_timeline *t = p->timeline;
    head_line(p, "START BY", BOLD, bk_say_start(p->arena, t));
    head_line(p, "Serve", PLAIN, bk_say_serve(p->arena, t));
    for (size_t i = 0; i < t->plan->note_count; i++)
        head_line(p, "", PLAIN, bk_words_clean(p->arena, t->plan->notes[i]));
    if (t->ready != t->plan->last_serve)
        head_line(p, "Ready", PLAIN, bk_moment(p->arena, t->plan->zone, t->ready));
    head_line(p, "Plan", PLAIN, bk_words_status(p->arena, t));
    head_line(p, "In hand", PLAIN, bk_say_in_hand(p->arena, t, "*"));
    size_t count = bk_words_warning_count(t);
    if (count > 0)
        head_line(p, "Warnings", PLAIN, bk_format(p->arena, "%zu, below the steps", count));
    if (count < t->warning_count)
        head_line(p, "Allergens", PLAIN, "below the steps");
}

static void day_heading(page *p, const bk_row *row, bk_instant *day_end)
{
    const bk_zone *zone = p->timeline->plan->zone;
    if (row->at < *day_end)
        return;
    *day_end = bk_next_day_start(zone, row->at);
    blank_line(p);
    underlined(p, bk_date_long(p->arena, zone, row->at), '-');
}

static void detail(page *p, enum paint paint, const char *label, const char *text)
{
    if (text[0])
        paragraph(p, 0, p->indent, paint, bk_format(p->arena, "%s%s", label, text));
}

/* The rows of a movement are one. Returns the last row used. */
static size_t movement(page *p, const bk_rows *rows, size_t index)
{
    const bk_row *row = &rows->items[index];
    size_t last = index;
    bk_said said = bk_say_movement(p->arena, p->timeline, rows, index, &last);
    char *start = bk_format(p->arena, "%c %s%s%-*s", p->marks && said.no_later ? '*' : ' ',
                            bk_clock(p->arena, p->timeline->plan->zone, row->at),
                            p->width < NARROW ? " " : "  ", WORD_COLUMNS, said.word);
    painted(p, row->kind == BK_ROW_WINDOW ? FAINT : BOLD, start, strlen(start));
    paragraph(p, bk_columns(start), p->indent,
              said.acts                    ? BOLD
              : row->kind == BK_ROW_WINDOW ? FAINT
                                           : PLAIN,
              said.what);
    for (size_t i = 0; i < said.also_count; i++)
        detail(p, BOLD, "", said.also[i]);
    detail(p, PLAIN, "", said.detail);
    detail(p, PLAIN, "", said.slack);
    detail(p, PLAIN, "", said.windows);
    detail(p, PLAIN, "Note: ", said.note);
    detail(p, LOUD, "CAUTION: ", said.caution);
    return last;
}

static void day_rows(page *p)
{
    bk_rows rows = bk_rows_of(p->arena, p->timeline);
    bk_rows_join(p->arena, p->timeline, &rows);
    bk_instant day_end = INT64_MIN;
    for (size_t i = 0; i < rows.count; i++) {
        day_heading(p, &rows.items[i], &day_end);
        i = movement(p, &rows, i);
    }
}

/* What is read first stands where a long timeline leaves the reader: at its end. */
static void start_again(page *p)
{
    enum { LONG = 40 }; /* lines: more than a window shows */
    size_t lines = 0;
    for (const char *c = p->out->data; *c; c++)
        lines += *c == '\n';
    if (lines <= LONG)
        return;
    blank_line(p);
    head_line(p, "START BY", BOLD, bk_say_start(p->arena, p->timeline));
}

static void bullet(page *p, const char *sign, const char *text)
{
    size_t columns = strlen(sign);
    bk_text_add(p->out, sign);
    paragraph(p, columns, columns, PLAIN, text);
}

static void fact_lines(page *p, const bk_fact *facts, size_t count)
{
    size_t lines = 0;
    const char **line = bk_chain_lines(p->arena, p->timeline->plan, facts, count, &lines);
    for (size_t i = 0; i < lines; i++)
        bullet(p, "  - ", line[i]);
}

static void remedy_lines(page *p, const bk_remedy *remedies, size_t count)
{
    for (size_t i = 0; i < count; i++)
        bullet(p, "  - ", bk_words_remedy(p->arena, p->timeline, &remedies[i]));
}

/* Things that have nothing to do with each other, each with what would settle it. */
static void several_conflicts(page *p)
{
    const bk_timeline *t = p->timeline;
    for (size_t i = 0; i < t->conflict_count; i++) {
        const bk_conflict *conflict = &t->all_conflicts[i];
        blank_line(p);
        paragraph(p, 0, 0, PLAIN, i == 0 ? "These do not fit together:" : "Nor do these:");
        fact_lines(p, conflict->facts, conflict->count);
        if (conflict->remedy_count == 0)
            continue;
        paragraph(p, 0, 0, PLAIN, "What would settle that, though not the rest:");
        remedy_lines(p, conflict->remedies, conflict->remedy_count);
    }
    blank_line(p);
    if (t->together_count > 0) {
        paragraph(p, 0, 0, BOLD, "Together these would make it possible:");
        bullet(p, "  - ", bk_words_together(p->arena, t));
    } else {
        paragraph(p, 0, 0, PLAIN, "No set of these changes that was tried makes it possible.");
    }
}

static void impossible(page *p)
{
    const bk_timeline *t = p->timeline;
    paragraph(p, 0, 0, BOLD, bk_words_status(p->arena, t));
    for (size_t i = 0; i < t->plan->note_count; i++)
        paragraph(p, 0, 0, PLAIN, bk_words_clean(p->arena, t->plan->notes[i]));
    if (t->conflict_count > 0)
        several_conflicts(p);
    if (t->conflict_count > 0 && t->remedy_count == 0)
        return;
    if (t->why_count > 0 && t->conflict_count == 0) {
        blank_line(p);
        paragraph(p, 0, 0, PLAIN, "These do not fit together:");
        fact_lines(p, t->why, t->why_count);
    }
    if (t->remedy_count > 0) {
        blank_line(p);
        paragraph(p, 0, 0, PLAIN,
                  t->conflict_count > 0 ? "Any one of these would alone:"
                                        : "Any one of these would make it possible:");
        remedy_lines(p, t->remedies, t->remedy_count);
    } else if (t->why_count > 0) {
        blank_line(p);
        paragraph(p, 0, 0, PLAIN, bk_words_no_remedy());
    }
}

/* Warnings, or what is said of allergens. */
static void warnings(page *p, const char *title, bool of_allergens)
{
    const bk_timeline *t = p->timeline;
    bool any = false;
    for (size_t i = 0; i < t->warning_count; i++) {
        if (bk_words_of_allergens(&t->warnings[i]) != of_allergens)
            continue;
        if (!any) {
            blank_line(p);
            underlined(p, title, '-');
        }
        any = true;
        bullet(p, "  ! ", bk_words_message(p->arena, &t->warnings[i]));
    }
}

enum { MOST_STANDING = 5 };

static void standing(page *p)
{
    size_t count = 0, more = 0;
    const bk_gap **gaps = bk_words_gaps(p->arena, p->timeline, &count);
    if (count == 0)
        return;
    if (count > MOST_STANDING) {
        more = count - MOST_STANDING;
        count = MOST_STANDING;
    }
    blank_line(p);
    underlined(p, "What stands, as long as the plan lets it", '-');
    for (size_t i = 0; i < count; i++)
        bullet(p, "  - ", bk_words_gap(p->arena, p->timeline, gaps[i]));
    if (more > 0)
        bullet(p, "  - ", bk_format(p->arena, "and %zu more; --json lists all", more));
}

void bk_write_text(const bk_timeline *timeline, const bk_text_style *style, bk_text *out)
{
    int width = style->width == 0 ? 80 : style->width;
    width = width < 40 ? 40 : width > 200 ? 200 : width;
    page p = {.timeline = timeline,
              .arena = out->arena,
              .out = out,
              .width = (size_t)width,
              .indent = width < NARROW ? 14 : 16,
              .colour = style->colour,
              .ascii = style->ascii};
    underlined(&p, bk_words_clean(p.arena, timeline->plan->occasion), '=');
    blank_line(&p);
    if (timeline->stage_count == 0) {
        impossible(&p);
    } else {
        p.marks = bk_say_marks(timeline);
        head(&p);
        day_rows(&p);
    }
    warnings(&p, "Warnings", false);
    warnings(&p, "Allergens", true);
    standing(&p);
    if (timeline->stage_count > 0)
        start_again(&p);
}

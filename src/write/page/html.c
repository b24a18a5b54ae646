/* A page that works from a file: the steps to tick off, the picture, what each
 * dish needs. No script, nothing fetched. */
#include "write/page/page.h"
#include "write/page/style.h"
#include "write/picture/picture.h"
#include "write/words/words.h"

#include <inttypes.h>
#include <string.h>

typedef struct page {
    const bk_timeline *timeline;
    bk_arena *arena;
    bk_text *out;
    bool marks;
} page;

/* <tag>text</tag>; `attributes` may be "". Nothing for an empty text. */
static void element(page *p, const char *tag, const char *attributes, const char *text)
{
    if (!text || !text[0])
        return;
    bk_text_addf(p->out, "<%s%s%s>", tag, attributes[0] ? " " : "", attributes);
    bk_markup_add(p->out, text);
    bk_text_addf(p->out, "</%s>", tag);
}

static void raw(page *p, const char *markup)
{
    bk_text_add(p->out, markup);
}

/* The same text with a number kept on one line with its unit and its range. */
static const char *unbroken(page *p, const char *text)
{
    bk_text out = bk_text_new(p->arena);
    for (const char *c = text; *c; c++) {
        bool after_digit = c > text && c[-1] >= '0' && c[-1] <= '9';
        if (after_digit && *c == ' ')
            bk_text_add(&out, "\xc2\xa0");
        else if (after_digit && *c == '-' && c[1] >= '0' && c[1] <= '9')
            bk_text_add(&out, "\xe2\x80\x91");
        else
            bk_text_add_bytes(&out, c, 1);
    }
    return out.data;
}

static bool has_ingredients(const bk_plan *plan)
{
    for (size_t i = 0; i < plan->dish_count; i++)
        if (plan->dishes[i].ingredient_count > 0)
            return true;
    return false;
}

/* ------------------------------------------------------------------- head */

static void term(page *p, const char *name, const char *text)
{
    element(p, "dt", "", name);
    element(p, "dd", "", text);
    raw(p, "\n");
}

static void head(page *p)
{
    const bk_timeline *t = p->timeline;
    raw(p, "<header>\n");
    element(p, "h1", "", bk_words_clean(p->arena, t->plan->occasion));
    raw(p, "\n<p class=\"start\"><span>Start by</span> ");
    element(p, "strong", "", bk_say_start(p->arena, t));
    raw(p, "</p>\n<dl>\n");
    term(p, "Serve", bk_say_serve(p->arena, t));
    for (size_t i = 0; i < t->plan->note_count; i++)
        term(p, "Changed", bk_words_clean(p->arena, t->plan->notes[i]));
    if (t->ready != t->plan->last_serve)
        term(p, "Ready", bk_moment(p->arena, t->plan->zone, t->ready));
    term(p, "Plan", bk_words_status(p->arena, t));
    term(p, "In hand", bk_say_in_hand(p->arena, t, "\xe2\x97\x86"));
    raw(p, "</dl>\n<nav aria-label=\"On this page\"><ul>\n"
           "<li><a href=\"#steps\">Steps</a></li>\n");
    size_t count = bk_words_warning_count(t);
    if (count > 0)
        bk_text_addf(p->out, "<li><a href=\"#warnings\">Warnings (%zu)</a></li>\n", count);
    if (count < t->warning_count)
        raw(p, "<li><a href=\"#allergens\">Allergens</a></li>\n");
    raw(p, "<li><a href=\"#picture\">Picture</a></li>\n");
    if (has_ingredients(t->plan))
        raw(p, "<li><a href=\"#needs\">Ingredients</a></li>\n");
    raw(p, "</ul></nav>\n</header>\n");
}

/* ------------------------------------------------------------------ steps */

static void clock_of(page *p, const bk_row *row)
{
    const bk_zone *zone = p->timeline->plan->zone;
    bk_text_addf(p->out, "<time datetime=\"%s\">%s</time>",
                 bk_instant_rfc3339(p->arena, zone, row->at), bk_clock(p->arena, zone, row->at));
}

static void row_body(page *p, const bk_row *row, const bk_said *said)
{
    raw(p, "<span class=\"body\">");
    element(p, "span", "class=\"word\"", said->word);
    raw(p, " ");
    element(p, "span", "class=\"what\"", said->what);
    if (p->marks && row->kind == BK_ROW_START && p->timeline->stages[row->placed].slack == 0)
        raw(p, " <span role=\"img\" aria-label=\"can't start later\" "
               "title=\"can't start later\">\xe2\x97\x86</span>");
    element(p, "span", "class=\"more\"", unbroken(p, said->detail));
    element(p, "span", "class=\"more\"", unbroken(p, said->slack));
    element(p, "span", "class=\"more\"", said->windows);
    if (said->note[0])
        element(p, "span", "class=\"more\"", bk_format(p->arena, "Note: %s", said->note));
    if (said->caution[0]) {
        raw(p, "<span class=\"caution\"><strong>Caution:</strong> ");
        bk_markup_add(p->out, said->caution);
        raw(p, "</span>");
    }
}

/* A row that somebody does or starts can be ticked; the others only tell. */
static size_t row_item(page *p, const bk_rows *rows, size_t index)
{
    const bk_row *row = &rows->items[index];
    bk_said said = bk_say(p->arena, p->timeline, row);
    bool still = row->kind == BK_ROW_WINDOW || row->kind == BK_ROW_CLOCK;
    bk_text_addf(p->out, "<li%s>%s", said.acts ? " class=\"acts\"" : "",
                 still ? "<div class=\"still\">" : "<label><input type=\"checkbox\">");
    clock_of(p, row);
    row_body(p, row, &said);
    while (row->kind == BK_ROW_SERVE && index + 1 < rows->count &&
           rows->items[index + 1].kind == BK_ROW_SERVE && rows->items[index + 1].at == row->at) {
        index++;
        element(p, "span", "class=\"more dish\"",
                bk_say(p->arena, p->timeline, &rows->items[index]).what);
    }
    bk_text_addf(p->out, "</span>%s</li>\n", still ? "</div>" : "</label>");
    return index;
}

static void steps(page *p)
{
    const bk_zone *zone = p->timeline->plan->zone;
    bk_rows rows = bk_rows_of(p->arena, p->timeline);
    bk_instant day_end = INT64_MIN;
    raw(p, "<section id=\"steps\" aria-labelledby=\"steps-heading\">\n"
           "<h2 id=\"steps-heading\">Steps</h2>\n");
    for (size_t i = 0; i < rows.count; i++) {
        if (rows.items[i].at >= day_end) {
            raw(p, i > 0 ? "</ol>\n" : "");
            day_end = bk_next_day_start(zone, rows.items[i].at);
            element(p, "h3", "", bk_date_long(p->arena, zone, rows.items[i].at));
            raw(p, "\n<ol class=\"steps\" role=\"list\">\n");
        }
        i = row_item(p, &rows, i);
    }
    raw(p, "</ol>\n</section>\n");
}

/* --------------------------------------------------------------- the rest */

/* Warnings, or what is said of allergens. */
static void warnings(page *p, const char *id, const char *title, bool of_allergens)
{
    const bk_timeline *t = p->timeline;
    bool any = false;
    for (size_t i = 0; i < t->warning_count; i++) {
        if (bk_words_of_allergens(&t->warnings[i]) != of_allergens)
            continue;
        if (!any)
            raw(p, bk_format(p->arena,
                             "<section id=\"%s\" aria-labelledby=\"%s-heading\">\n"
                             "<h2 id=\"%s-heading\">%s</h2>\n<ul class=\"facts\">\n",
                             id, id, id, title));
        any = true;
        element(p, "li", "", bk_words_message(p->arena, &t->warnings[i]));
        raw(p, "\n");
    }
    if (any)
        raw(p, "</ul>\n</section>\n");
}

static void picture(page *p)
{
    raw(p, "<section id=\"picture\" class=\"picture\" aria-labelledby=\"picture-heading\">\n"
           "<h2 id=\"picture-heading\">Picture</h2>\n"
           "<div class=\"scroll\" tabindex=\"0\" role=\"region\" "
           "aria-labelledby=\"picture-heading\">\n");
    bk_svg_in_page(p->timeline, p->out);
    raw(p, "</div>\n</section>\n");
}

/* With the time it is needed, when the plan says for which stage. */
static void ingredient(page *p, const bk_ingredient *ingredient)
{
    const bk_timeline *t = p->timeline;
    const char *amount = bk_words_clean(p->arena, ingredient->amount);
    const char *item = bk_words_clean(p->arena, ingredient->item);
    char *text = bk_format(p->arena, "%s%s%s", amount, amount[0] ? " " : "", item);
    const bk_placed *placed =
        ingredient->stage == SIZE_MAX ? NULL : bk_timeline_placed(t, ingredient->stage);
    bk_instant at = placed ? placed->start : INT64_MIN;
    if (at != INT64_MIN)
        text = bk_format(p->arena, "%s, for %s", text,
                         bk_clock_seen_from(p->arena, t->plan->zone, t->start, at));
    element(p, "li", "", unbroken(p, text));
    raw(p, "\n");
}

static void needs(page *p)
{
    const bk_plan *plan = p->timeline->plan;
    if (!has_ingredients(plan))
        return;
    raw(p, "<section id=\"needs\" aria-labelledby=\"needs-heading\">\n"
           "<h2 id=\"needs-heading\">What each dish needs</h2>\n<div class=\"needs\">\n");
    for (size_t i = 0; i < plan->dish_count; i++) {
        const bk_dish *dish = &plan->dishes[i];
        if (dish->ingredient_count == 0)
            continue;
        char *name = bk_words_clean(p->arena, dish->name);
        if (dish->serves > 0)
            name = bk_format(p->arena, "%s, for %" PRId64, name, dish->serves);
        raw(p, "<section>");
        element(p, "h3", "", name);
        raw(p, "\n<ul role=\"list\">\n");
        for (size_t k = 0; k < dish->ingredient_count; k++)
            ingredient(p, &dish->ingredients[k]);
        raw(p, "</ul></section>\n");
    }
    raw(p, "</div>\n</section>\n");
}

static void impossible(page *p)
{
    const bk_timeline *t = p->timeline;
    raw(p, "<header>\n");
    element(p, "h1", "", bk_words_clean(p->arena, t->plan->occasion));
    raw(p, "\n<p class=\"start\">");
    element(p, "strong", "", bk_words_status(p->arena, t));
    raw(p, "</p>\n</header>\n<main>\n");
    if (t->why_count > 0) {
        raw(p, "<h2>These do not fit together</h2>\n<ul class=\"facts\">\n");
        size_t lines = 0;
        const char **line = bk_chain_lines(p->arena, t->plan, t->why, t->why_count, &lines);
        for (size_t i = 0; i < lines; i++)
            element(p, "li", "", line[i]);
        raw(p, "</ul>\n");
    }
    if (t->remedy_count > 0) {
        raw(p, "<h2>Any one of these would make it possible</h2>\n<ul class=\"facts\">\n");
        for (size_t i = 0; i < t->remedy_count; i++)
            element(p, "li", "", bk_words_remedy(p->arena, t, &t->remedies[i]));
        raw(p, "</ul>\n");
    } else if (t->why_count > 0) {
        element(p, "p", "", bk_words_no_remedy());
        raw(p, "\n");
    }
    warnings(p, "warnings", "Warnings", false);
    warnings(p, "allergens", "Allergens", true);
    raw(p, "</main>\n");
}

void bk_write_html(const bk_timeline *timeline, bk_text *out)
{
    page p = {.timeline = timeline,
              .arena = out->arena,
              .out = out,
              .marks = timeline->stage_count > 0 && bk_say_marks(timeline)};
    raw(&p, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
            "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    element(&p, "title", "", bk_words_clean(p.arena, timeline->plan->occasion));
    bk_text_addf(out, "\n<style>\n%s</style>\n</head>\n<body>\n", bk_html_style);
    if (timeline->stage_count == 0) {
        impossible(&p);
    } else {
        head(&p);
        raw(&p, "<main>\n");
        steps(&p);
        warnings(&p, "warnings", "Warnings", false);
        warnings(&p, "allergens", "Allergens", true);
        /* Before the picture, which fills a sheet of paper by itself. */
        element(&p, "p", "class=\"remind\"",
                "Times are a plan, not a sign that food is safe to eat: check it as your local "
                "food-safety advice says.");
        raw(&p, "\n");
        picture(&p);
        needs(&p);
        raw(&p, "</main>\n");
    }
    raw(&p, "</body>\n</html>\n");
}

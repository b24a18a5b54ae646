/* Below the strips: what the signs mean, which number is which stage. */
#include "write/picture/svg.h"

#include <string.h>

enum {
    LINE = 132,
    HEADING_GAP = 36,
    SIGN_ROW = 170,
    SIGN = 320,
    COLUMN_GAP = 200,
    KEY = 330,
    AFTER_SIGNS = 60,
    LEAST_COLUMN = 2500
};

/* ------------------------------------------------------------------ signs */

typedef struct signs {
    bk_svg *svg;
    int x;
} signs;

/* Room for a sign and its words; *y is the middle of the row. Returns x. */
static int place_sign(signs *s, const char *words, int *y)
{
    bk_svg *svg = s->svg;
    int width = SIGN + 60 + bk_markup_width(words, BK_SVG_SMALL, false) + 180;
    if (s->x > BK_SVG_MARGIN && s->x + width > svg->width) {
        s->x = BK_SVG_MARGIN;
        svg->y += SIGN_ROW;
    }
    int x = s->x;
    *y = svg->y + SIGN_ROW / 2;
    bk_svg_text(svg, x + SIGN + 60, *y + 34, BK_SVG_SMALL, "", words);
    s->x += width;
    return x;
}

static void bar_sign(signs *s, const char *words, const char *attributes, bool diamond)
{
    int y = 0, x = place_sign(s, words, &y);
    bk_text_addf(s->svg->out,
                 "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"100\" stroke=\"#111\" %s/>\n",
                 x + 15, y - 50, SIGN - 30, attributes);
    if (diamond)
        bk_svg_diamond(s->svg, x + 80, y);
}

static void sign_list(bk_svg *svg)
{
    signs s = {.svg = svg, .x = BK_SVG_MARGIN};
    const bk_svg_signs *used = &svg->signs;
    bool all = bk_words_critical_count(svg->timeline) == svg->timeline->stage_count;
    int x, y = 0;
    if (used->chain)
        bar_sign(&s, all ? "the chain that fixes the start" : "can't start later",
                 "fill=\"#eee\" stroke-width=\"30\" rx=\"18\"", true);
    if (used->itself)
        bar_sign(&s, "runs by itself",
                 "fill=\"#eee\" stroke-width=\"10\" stroke-dasharray=\"36 24\" rx=\"18\"", false);
    if (used->stored)
        bar_sign(&s, "ready, kept until served",
                 "fill=\"#fff\" stroke-width=\"10\" stroke-dasharray=\"36 24\" rx=\"18\"", false);
    if (used->window[BK_ASLEEP])
        bar_sign(&s, "asleep", "fill=\"url(#bakeset-asleep)\" stroke-width=\"6\"", false);
    if (used->window[BK_AWAY])
        bar_sign(&s, "nobody at home", "fill=\"url(#bakeset-away)\" stroke-width=\"6\"", false);
    if (used->window[BK_BUSY])
        bar_sign(&s, "hands not free", "fill=\"url(#bakeset-busy)\" stroke-width=\"6\"", false);
    if (used->preheat) {
        x = place_sign(&s, "oven heats up", &y);
        bk_text_addf(svg->out,
                     "<path d=\"M%d %dL%d %dV%dZ\" fill=\"url(#bakeset-heat)\" stroke=\"#333\" "
                     "stroke-width=\"8\"/>\n",
                     x + 40, y + 50, x + 280, y - 50, y + 50);
    }
    if (used->reminder) {
        x = place_sign(&s, "check", &y);
        bk_text_addf(svg->out, "<path d=\"M%d %dh60l-30 50Z\" fill=\"#111\"/>\n", x + 130, y - 25);
    }
    if (used->serve) {
        x = place_sign(&s, "to the table", &y);
        bk_text_addf(svg->out,
                     "<path d=\"M%d %dh%d\" stroke=\"#111\" stroke-width=\"22\" "
                     "stroke-dasharray=\"70 30\"/>\n",
                     x + 20, y, SIGN - 40);
    }
    if (used->quiet) {
        x = place_sign(&s, "quiet time, drawn short", &y);
        bk_text_addf(svg->out,
                     "<path d=\"M%d %dh100M%d %dh100M%d %dl50 -60M%d %dl50 -60\" stroke=\"#111\" "
                     "stroke-width=\"14\"/>\n",
                     x + 20, y, x + 200, y, x + 105, y + 30, x + 165, y + 30);
    }
    svg->y += SIGN_ROW + AFTER_SIGNS;
}

/* ------------------------------------------------------------------- list */

typedef struct entry {
    const char *key; /* NULL: a dish's name, or a line that goes on */
    const char *text;
    bool heading;
    bool goes_on;
} entry;

typedef struct entries {
    bk_svg *svg;
    entry *items;
    size_t count, room;
    int width;      /* of a column */
    int most_lines; /* of one entry */
} entries;

static void add_line(entries *list, const char *key, const char *text, bool heading, bool goes_on)
{
    entry *e = BK_PUSH(list->svg->arena, list->items, list->count, list->room);
    *e = (entry){.key = key, .text = text, .heading = heading, .goes_on = goes_on};
}

static void add_entry(entries *list, const char *key, const char *text)
{
    bk_arena *arena = list->svg->arena;
    int width = list->width - KEY;
    for (int lines = 1;; lines++) {
        const char *next = NULL;
        if (lines == list->most_lines) {
            add_line(list, key, bk_markup_shorten(arena, text, BK_SVG_TEXT, false, width), false,
                     lines > 1);
            return;
        }
        size_t length = bk_markup_line(text, BK_SVG_TEXT, false, width, &next);
        add_line(list, key, bk_copy(arena, text, length), false, lines > 1);
        if (!next[0] || length == 0)
            return;
        text = next;
        key = NULL;
    }
}

static const char *clock_of(bk_svg *svg, bk_instant at)
{
    const bk_timeline *t = svg->timeline;
    char *clock = bk_clock(svg->arena, t->plan->zone, at);
    if (bk_day_start(t->plan->zone, t->start) == bk_day_start(t->plan->zone, t->plan->last_serve))
        return clock;
    bk_civil civil = bk_civil_at(t->plan->zone, at);
    return bk_format(svg->arena, "%.3s %s", bk_weekday_name(bk_weekday(civil)), clock);
}

static void stage_entries(entries *list, size_t placed_index)
{
    bk_svg *svg = list->svg;
    const bk_plan *plan = svg->timeline->plan;
    const bk_placed *placed = &svg->timeline->stages[placed_index];
    const bk_stage *stage = &plan->stages[placed->stage];
    char *text = bk_format(svg->arena, "%s %s", clock_of(svg, placed->start),
                           bk_words_clean(svg->arena, stage->text));
    if (bk_is_heated(stage))
        text = bk_format(
            svg->arena, "%s, %s", text,
            bk_words_heat(svg->arena, plan, stage->oven.equipment, placed->temperature_c));
    add_entry(list, bk_svg_key(svg->arena, placed_index, SIZE_MAX), text);
    for (size_t k = 0; k < placed->check_count; k++)
        if (!placed->checks[k].dropped)
            add_entry(list, bk_svg_key(svg->arena, placed_index, k),
                      bk_format(svg->arena, "%s %s", clock_of(svg, placed->checks[k].start),
                                bk_words_clean(svg->arena, placed->checks[k].check->text)));
}

static void collect(entries *list)
{
    bk_svg *svg = list->svg;
    const bk_timeline *t = svg->timeline;
    for (size_t dish = 0; dish < t->plan->dish_count; dish++) {
        add_line(list, NULL,
                 bk_markup_shorten(svg->arena,
                                   bk_words_clean(svg->arena, t->plan->dishes[dish].name),
                                   BK_SVG_TEXT, true, list->width - 160),
                 true, false);
        list->items[list->count - 1].key = bk_svg_tint(dish);
        for (size_t i = 0; i < t->stage_count; i++)
            if (t->plan->stages[t->stages[i].stage].dish == dish)
                stage_entries(list, i);
    }
}

static void draw_entry(bk_svg *svg, const entry *e, int x, int y)
{
    if (e->heading) {
        bk_text_addf(svg->out,
                     "<rect x=\"%d\" y=\"%d\" width=\"100\" height=\"100\" fill=\"%s\" "
                     "stroke=\"#111\" stroke-width=\"10\"/>\n",
                     x, y - 92, e->key);
        bk_svg_text(svg, x + 150, y, BK_SVG_TEXT, "font-weight=\"bold\"", e->text);
        return;
    }
    if (e->key)
        bk_svg_text(svg, x + KEY - 60, y, BK_SVG_TEXT, "font-weight=\"bold\" text-anchor=\"end\"",
                    e->key);
    bk_svg_text(svg, x + KEY, y, BK_SVG_TEXT, "", e->text);
}

/* Fills the columns, drawing or only measuring. Returns the height. */
static int entry_list(bk_svg *svg, bool draw)
{
    size_t marks = svg->timeline->stage_count;
    for (size_t i = 0; i < svg->timeline->stage_count; i++)
        marks += svg->timeline->stages[i].check_count;
    int plot = svg->width - 2 * BK_SVG_MARGIN;
    size_t columns = (size_t)((plot + COLUMN_GAP) / (LEAST_COLUMN + COLUMN_GAP));
    entries list = {.svg = svg, .most_lines = marks > 40 ? 1 : marks > 20 ? 2 : 3};
    list.width = (plot - COLUMN_GAP * (int)(columns - 1)) / (int)columns;
    collect(&list);

    size_t each = (list.count + columns - 1) / columns;
    int x = BK_SVG_MARGIN, y = 0, lowest = 0;
    size_t in_column = 0, column = 0;
    for (size_t i = 0; i < list.count; i++) {
        const entry *e = &list.items[i];
        /* A new column starts with an entry, and no dish's name ends one. */
        bool full = in_column >= each || (e->heading && in_column + 1 >= each);
        if (full && !e->goes_on && column + 1 < columns) {
            column++;
            x += list.width + COLUMN_GAP;
            y = 0;
            in_column = 0;
        }
        y += LINE + (e->heading && in_column > 0 ? HEADING_GAP : 0);
        if (draw)
            draw_entry(svg, e, x, svg->y + y);
        in_column++;
        if (y > lowest)
            lowest = y;
    }
    return lowest + 100;
}

int bk_svg_legend_height(bk_svg *svg)
{
    return 2 * SIGN_ROW + AFTER_SIGNS + entry_list(svg, false);
}

void bk_svg_legend(bk_svg *svg)
{
    sign_list(svg);
    svg->y += entry_list(svg, true);
}

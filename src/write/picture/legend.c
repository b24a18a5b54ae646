/* Below the strips: what the signs mean, which number is which stage. */
#include "write/picture/svg.h"

#include <inttypes.h>

enum {
    LINE = 122,
    SIGN_ROW = 120,
    SIGN = 180,
    SIGN_GAP = 40,
    AFTER_SIGNS = 40,
    KEY = 230,
    FEW = 4, /* numbers that stand in one column */
    COLUMN_GAP = 160
};

/* ------------------------------------------------------------------ signs */

typedef struct signs {
    bk_svg *svg;
    int x, rows;
    bool draw;
} signs;

/* Room for a sign and its words; *y is the middle of the row. Returns x, or -1 where the
 * rows are only counted. */
static int place_sign(signs *s, const char *words, int *y)
{
    bk_svg *svg = s->svg;
    int width = SIGN + SIGN_GAP + bk_markup_width(words, BK_SVG_SMALL, false) + 90;
    if (s->x > 0 && s->x + width - 90 > BK_SVG_WIDTH) {
        s->x = 0;
        s->rows++;
    }
    int x = s->x;
    s->x += width;
    if (!s->draw)
        return -1;
    *y = svg->y + s->rows * SIGN_ROW + SIGN_ROW / 2;
    bk_svg_text(svg, svg->left + x + SIGN + SIGN_GAP, *y + 32, BK_SVG_SMALL, "", words);
    return svg->left + x;
}

static void bar_sign(signs *s, const char *words, const char *pattern)
{
    int y = 0, x = place_sign(s, words, &y);
    if (x < 0)
        return;
    bk_text_addf(s->svg->out, "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"84\" class=\"o\"/>\n",
                 x + 5, y - 42, SIGN - 10);
    if (pattern)
        bk_text_addf(s->svg->out,
                     "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"74\" class=\"%s\" "
                     "fill=\"url(#bakeset-%s)\"/>\n",
                     x + 10, y - 37, SIGN - 20, pattern, pattern);
}

static void path_sign(signs *s, const char *words, int dx, int dy, const char *path)
{
    int y = 0, x = place_sign(s, words, &y);
    if (x >= 0)
        bk_text_addf(s->svg->out, "<path d=\"M%d %d%s/>\n", x + dx, y + dy, path);
}

static int sign_rows(bk_svg *svg, const bk_svg_signs *used, bool draw)
{
    signs s = {.svg = svg, .draw = draw};
    int x, y = 0;
    if (used->hands)
        path_sign(&s, "hands on", 0, -38, "h180v76h-180Z\" class=\"k\"");
    if (used->itself)
        bar_sign(&s, "stands there", NULL);
    if (used->reserved)
        bar_sign(&s, "its place is kept, it is elsewhere", "reserved");
    if (used->stored)
        bar_sign(&s, "ready, kept until served", "stored");
    if (used->later && (x = place_sign(&s, "can start later", &y)) >= 0)
        bk_svg_text(svg, x + SIGN / 2, y + 34, BK_SVG_TEXT, "text-anchor=\"middle\"", BK_SVG_LATER);
    if (used->heat)
        path_sign(&s, "the oven\xe2\x80\x99s temperature", 10, 40,
                  "l50 -70h60l50 70\" class=\"h\"");
    if (used->course)
        path_sign(&s, "how it cools or warms inside, likely", 0, -38,
                  "q30 66 180 70\" class=\"h\"");
    if (used->reminder)
        path_sign(&s, "look", SIGN / 2 - 25, -20, "h50l-25 40Z\" class=\"k\"");
    if (used->serve)
        path_sign(&s, "to the table", 0, 0,
                  "h180\" class=\"l\" stroke-width=\"18\" stroke-dasharray=\"60 30\"");
    if (used->quiet)
        path_sign(&s, "time drawn short", 0, 0,
                  "h65m50 0h65m-140 25l40 -50m10 50l40 -50\" class=\"l\" stroke-width=\"10\"");
    if (used->cut)
        path_sign(&s, "goes on", SIGN / 2 - 20, -28, "v56l40 -28Z\" class=\"k\"");
    return s.rows + 1;
}

/* ---------------------------------------------------------------- numbers */

static char *key_words(bk_svg *svg, size_t placed)
{
    const bk_timeline *t = svg->timeline;
    const bk_stage *stage = &t->plan->stages[t->stages[placed].stage];
    return bk_format(svg->arena, "%s %s: %s",
                     bk_clock(svg->arena, t->plan->zone, t->stages[placed].start),
                     bk_words_clean(svg->arena, t->plan->dishes[stage->dish].name),
                     bk_words_clean(svg->arena, stage->text));
}

/* A number with its whole words from y on, on as many lines as they need; only counts them where
 * it does not draw. */
static size_t key_lines(bk_svg *svg, size_t placed, int x, int y, int width, bool draw)
{
    const char *words = key_words(svg, placed);
    size_t lines = 0;
    if (draw)
        bk_svg_text(svg, x + KEY - 50, y, BK_SVG_TEXT, "font-weight=\"bold\" text-anchor=\"end\"",
                    bk_format(svg->arena, "%zu", placed + 1));
    while (words[0]) {
        const char *next = NULL;
        size_t length = bk_markup_line(words, BK_SVG_TEXT, false, width - KEY, &next);
        if (length == 0)
            break;
        if (draw)
            bk_svg_text(svg, x + KEY, y + (int)lines * LINE, BK_SVG_TEXT, "",
                        bk_copy(svg->arena, words, length));
        lines++;
        words = next;
    }
    return lines > 0 ? lines : 1;
}

/* The stages told by a number, drawn or only measured: in two columns where each has one line
 * there, else in one. Gives the height. */
static int key_list(bk_svg *svg, const bk_svg_keys *keys, bool draw)
{
    size_t stages = svg->timeline->stage_count, lines = 0, at = 0;
    int column = (BK_SVG_WIDTH - COLUMN_GAP) / 2, width = BK_SVG_WIDTH;
    if (keys->count == 0)
        return 0;
    for (size_t i = 0; i < stages; i++)
        lines += keys->told[i] ? key_lines(svg, i, 0, 0, column, false) : 0;
    if (keys->count > FEW && lines == keys->count) {
        width = column;
        lines = (keys->count + 1) / 2;
    } else {
        lines = SIZE_MAX;
    }
    for (size_t i = 0; i < stages; i++)
        if (keys->told[i])
            at += key_lines(svg, i, svg->left + (at >= lines ? column + COLUMN_GAP : 0),
                            svg->y + (int)(at >= lines ? at - lines : at) * LINE + 95, width, draw);
    return (int)(at < lines ? at : lines) * LINE + AFTER_SIGNS;
}

/* Every sign that a sheet of this timeline may have. */
static bk_svg_signs possible_signs(const bk_svg *svg)
{
    bk_svg_signs all = {true, true, true, true, true, true, true, true, true, true, true};
    all.later = svg->marks_later;
    all.heat = svg->timeline->oven_count > 0;
    all.course = false;
    for (size_t i = 0; i < svg->timeline->stage_count; i++)
        all.course = all.course || svg->curves[i];
    all.stored = false;
    for (size_t i = 0; i < svg->timeline->plan->dish_count; i++)
        all.stored = all.stored || svg->timeline->plan->dishes[i].stored_count > 0;
    return all;
}

int bk_svg_legend_height(bk_svg *svg, const bk_svg_keys *keys)
{
    bk_svg_signs all = possible_signs(svg);
    return sign_rows(svg, &all, false) * SIGN_ROW + AFTER_SIGNS + key_list(svg, keys, false);
}

void bk_svg_legend(bk_svg *svg)
{
    svg->y += sign_rows(svg, &svg->signs, true) * SIGN_ROW + AFTER_SIGNS;
    svg->y += key_list(svg, &svg->keys, true);
}

/* One strip of the picture: its lanes under their axis. */
#include "write/picture/strip.h"

#include <inttypes.h>
#include <string.h>

enum { AFTER_STRIP = 80 };

static bool has_ground(const bk_svg_drawing *d)
{
    const bk_kitchen *kitchen = &d->svg->timeline->plan->kitchen;
    for (size_t i = 0; i < kitchen->window_count; i++)
        if (bk_svg_touches(d->strip, kitchen->windows[i].from, kitchen->windows[i].to))
            return true;
    for (size_t i = 0; i < d->svg->rows.count; i++)
        if (d->svg->rows.items[i].kind == BK_ROW_CLOCK &&
            bk_svg_touches(d->strip, d->svg->rows.items[i].at, d->svg->rows.items[i].at))
            return true;
    return false;
}

bk_svg_drawing *bk_svg_lay_out(bk_svg *svg, const bk_strip *strip)
{
    bk_svg_drawing *d = BK_NEW(svg->arena, bk_svg_drawing, 1);
    *d = (bk_svg_drawing){.svg = svg, .strip = strip, .x0 = svg->left + BK_SVG_NAMES};
    d->serve_row = bk_svg_serves_apart(d);
    d->grounds = has_ground(d);
    for (size_t i = 0; i < svg->lanes.count; i++)
        bk_svg_lay_out_lane(d, i);
    return d;
}

size_t bk_svg_lane_count(const bk_svg_drawing *drawing)
{
    return drawing->lane_count;
}

void bk_svg_strip_keys(const bk_svg_drawing *drawing, size_t first, size_t last, bk_svg_keys *keys)
{
    for (size_t i = first; i < last; i++)
        for (size_t k = 0; k < drawing->lanes[i].count; k++) {
            const bk_box *b = &drawing->lanes[i].items[k];
            size_t placed = b->bar->parts[0].placed;
            if (b->is_key && !keys->told[placed]) {
                keys->told[placed] = true;
                keys->count++;
            }
        }
}

size_t bk_svg_strip_shortened(const bk_svg_drawing *drawing, size_t first, size_t last)
{
    size_t count = 0;
    for (size_t i = first; i < last; i++)
        for (size_t k = 0; k < drawing->lanes[i].count; k++)
            count += drawing->lanes[i].items[k].shortened;
    return count;
}

static void lane_name(bk_svg *svg, const bk_lane_boxes *l)
{
    int room = BK_STRIP_NAME, y = l->y + BK_STRIP_GAP / 2 + 90 + (l->heat ? BK_STRIP_HEAT : 0);
    int lines = (l->height - BK_STRIP_GAP) / BK_STRIP_LINE, used = 0;
    if (l->heat) { /* beside the line of its temperature */
        y -= BK_STRIP_HEAT;
        lines += 1;
    }
    bool detail = l->lane->detail[0] && lines > bk_svg_name_lines(l->lane);
    bk_text_add(svg->out, "<g><title>");
    bk_markup_add(svg->out, l->lane->name);
    bk_text_add(svg->out, "</title>\n");
    const char *name = l->lane->name;
    while (name[0] && used + (detail ? 1 : 0) < lines) {
        const char *next = NULL;
        size_t length = bk_markup_line(name, BK_SVG_TEXT, true, room, &next);
        const char *words = bk_copy(svg->arena, name, length);
        if (length == 0 || (used + 1 + (detail ? 1 : 0) == lines && next[0])) {
            words = bk_markup_shorten(svg->arena, name, BK_SVG_TEXT, true, room);
            next = "";
        }
        bk_svg_text(svg, svg->left, y + used * BK_STRIP_LINE, BK_SVG_TEXT, "font-weight=\"bold\"",
                    words);
        used++;
        name = next;
    }
    if (detail)
        bk_svg_text(svg, svg->left, y + used * BK_STRIP_LINE, BK_SVG_SMALL, "class=\"s\"",
                    bk_markup_shorten(svg->arena, l->lane->detail, BK_SVG_SMALL, false, room));
    bk_text_add(svg->out, "</g>\n");
}

/* The lane's own ground, and a rule for each place in it. */
static void lane_ground(bk_svg_drawing *d, const bk_lane_boxes *l)
{
    bk_svg *svg = d->svg;
    int base = l->y + BK_STRIP_GAP / 2 + (l->heat ? BK_STRIP_HEAT : 0);
    bk_svg_grounds(d, l);
    bk_text_addf(svg->out,
                 "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" class=\"lane\" "
                 "fill=\"none\" data-lane=\"%zu\" data-rows=\"%zu\" data-tops=\"",
                 d->x0, base, BK_SVG_PLOT, bk_svg_row_top(l, l->rows), l->index, l->lane->rows);
    for (size_t i = 0; i <= l->rows && l->tops; i++)
        bk_text_addf(svg->out, "%s%d", i > 0 ? " " : "", l->tops[i]);
    bk_text_add(svg->out, "\" data-name=\"");
    bk_markup_add(svg->out, l->lane->name);
    bk_text_add(svg->out, "\"/>\n");
    for (size_t i = 1; i < l->lane->rows; i++)
        bk_text_addf(svg->out, "<path d=\"M%d %dh%d\" class=\"t\" stroke-width=\"4\"/>\n", d->x0,
                     base + bk_svg_row_top(l, i), BK_SVG_PLOT);
}

static void rule(bk_svg *svg, int y, int thick)
{
    bk_text_addf(svg->out, "<path d=\"M%d %dh%d\" class=\"l\" stroke-width=\"%d\"/>\n", svg->left,
                 y, BK_SVG_NAMES + BK_SVG_PLOT, thick);
}

/* ------------------------------------------------------------------ strips */

/* Rows above the lanes. Returns where the lanes begin. */
static int axis_rows(const bk_svg_drawing *d, int y, int *day_y, int *serve_y, int *ground_y)
{
    *day_y = y + 95;
    *serve_y = *day_y + (d->serve_row ? 120 : 0);
    *ground_y = *serve_y + 120 + (d->grounds ? 110 : 0);
    return *ground_y + 45;
}

int bk_svg_strip_height(const bk_svg_drawing *d, size_t first, size_t last)
{
    int day_y, serve_y, ground_y, bottom = axis_rows(d, 0, &day_y, &serve_y, &ground_y);
    for (size_t i = first; i < last; i++)
        bottom += d->lanes[i].height;
    return bottom + AFTER_STRIP;
}

void bk_svg_strip(bk_svg *svg, bk_svg_drawing *d, size_t first, size_t last)
{
    int day_y, serve_y, ground_y;
    d->top = d->bottom = axis_rows(d, svg->y, &day_y, &serve_y, &ground_y);
    for (size_t i = first; i < last; i++) {
        d->lanes[i].y = d->bottom;
        d->bottom += d->lanes[i].height;
    }
    bk_text_addf(svg->out,
                 "<g class=\"strip\" data-from=\"%" PRId64 "\" data-to=\"%" PRId64 "\">\n",
                 d->strip->from, d->strip->to);
    /* Paper first: lanes, shades, hours; then what stands on it. */
    for (size_t i = first; i < last; i++)
        lane_ground(d, &d->lanes[i]);
    bk_svg_hours(d, serve_y + 120);
    bk_svg_day_names(d, day_y);
    bk_svg_serve_lines(d, serve_y);
    bk_svg_window_words(d, ground_y);
    rule(svg, d->top, 10);
    for (size_t i = first; i < last; i++) {
        rule(svg, d->lanes[i].y + d->lanes[i].height, 5);
        lane_name(svg, &d->lanes[i]);
        if (d->lanes[i].heat)
            bk_svg_heat(d, &d->lanes[i]);
        for (size_t k = 0; k < d->lanes[i].count; k++)
            bk_svg_bar(d, &d->lanes[i], &d->lanes[i].items[k]);
        bk_svg_courses(d, &d->lanes[i]);
    }
    bk_text_add(svg->out, "</g>\n");
    bk_svg_strip_keys(d, first, last, &svg->keys);
    svg->y = d->bottom + AFTER_STRIP;
}

/* A bar of a strip: what it is by its shape, its arrows, its words. */
#include "write/picture/strip.h"

#include <inttypes.h>
#include <string.h>

enum { HANDS_BAR = 76 };

static char *tooltip(bk_svg *svg, const bk_bar *bar)
{
    const bk_plan *plan = svg->timeline->plan;
    static const char *const what[] = {[BK_PART_STAYS] = "stays in its place",
                                       [BK_PART_RESERVED] = "its place is kept",
                                       [BK_PART_STORED] = "ready, kept until served"};
    bk_text out = bk_text_new(svg->arena);
    bk_text_addf(&out, "%s: ", bk_svg_dish(svg, bar->dish));
    for (size_t i = 0; i < bar->count; i++) {
        const bk_part *part = &bar->parts[i];
        bool said = part->kind == BK_PART_STAGE || part->kind == BK_PART_CHECK;
        bk_text_addf(&out, "%s%s, %s to %s", i > 0 ? "; " : "",
                     said ? bk_svg_part_words(svg, part) : what[part->kind],
                     bk_moment_short(svg->arena, plan->zone, part->from),
                     bk_clock_seen_from(svg->arena, plan->zone, part->from, part->to));
    }
    return out.data;
}

static void arrow(bk_svg *svg, int x, int top, int high, int way)
{
    svg->signs.cut = true;
    bk_text_addf(svg->out, "<path d=\"M%d %dv%dl%d -%dZ\" class=\"cut k\"/>", x, top + high / 4,
                 high - high / 2, way * 40, (high - high / 2) / 2);
}

static void reminder(bk_svg *svg, int x, int top)
{
    svg->signs.reminder = true;
    bk_text_addf(svg->out, "<path d=\"M%d %dh50l-25 40Z\" class=\"k\"/>", x - 25, top);
}

/* Rows [first, first + rows) of a bar. */
static void draw_rect(bk_svg_drawing *d, const bk_lane_boxes *l, const bk_box *b, int top, int high,
                      size_t rows)
{
    bk_svg *svg = d->svg;
    bool hands = l->lane->kind == BK_LANE_HANDS;
    if (l->lane->kind == BK_LANE_LOOK) {
        reminder(svg, d->x0 + b->x, top + high / 2 - 20);
        return;
    }
    int edge = hands ? 2 : 5, x = d->x0 + b->x + edge, width = b->width - 2 * edge;
    svg->signs.hands |= hands;
    svg->signs.itself |= !hands;
    bk_text_addf(svg->out,
                 "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" class=\"bar %s\" "
                 "data-rows=\"%zu\"/>",
                 x, top + edge, width < 4 ? 4 : width, high - 2 * edge, hands ? "k" : "o", rows);
    for (size_t i = 0; i < b->bar->count && !hands; i++) {
        const bk_part *part = &b->bar->parts[i];
        int from = bk_axis_x(d->strip, part->from), to = bk_axis_x(d->strip, part->to);
        if (!bk_svg_touches(d->strip, part->from, part->to) || to <= from)
            continue;
        bool stored = part->kind == BK_PART_STORED, reserved = part->kind == BK_PART_RESERVED;
        svg->signs.stored |= stored;
        svg->signs.reserved |= reserved;
        if ((stored || reserved) && to - from > 2 * edge + 8)
            bk_text_addf(svg->out,
                         "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" class=\"%s\" "
                         "fill=\"url(#bakeset-%s)\"/>",
                         d->x0 + from + edge + 4, top + edge + 5, to - from - 2 * edge - 8,
                         high - 2 * edge - 10, stored ? "stored" : "reserved",
                         stored ? "stored" : "reserved");
        if (i > 0 && part->from > d->strip->from)
            bk_text_addf(svg->out, "<path d=\"M%d %dv%d\" class=\"l\" stroke-width=\"5\"/>",
                         d->x0 + from, top + edge, high - 2 * edge);
    }
    if (b->from_before)
        arrow(svg, d->x0 + b->x - 8, top, high, -1);
    if (b->goes_on)
        arrow(svg, d->x0 + b->x + b->width + 8, top, high, 1);
}

static void draw_words(bk_svg_drawing *d, const bk_lane_boxes *l, const bk_box *b, int top)
{
    bk_svg *svg = d->svg;
    svg->signs.later |= b->marked && b->line_count > 0 && !b->is_key;
    int x = d->x0 + b->words_x;
    int high = l->lane->rows > 0 ? BK_STRIP_BAR : BK_STRIP_LINE;
    for (size_t i = 0; i < b->line_count; i++) {
        const char *halo = b->inside ? "" : "class=\"n\"";
        const char *more = b->is_key ? " font-weight=\"bold\"" : "";
        bk_svg_text(
            svg, x, top + high / 2 + BK_SVG_TEXT * 35 / 100 + (int)i * BK_STRIP_LINE, BK_SVG_TEXT,
            bk_format(svg->arena, "%s%s%s", halo, more, b->to_left ? " text-anchor=\"end\"" : ""),
            b->lines[i]);
    }
}

static void reminders(bk_svg_drawing *d, const bk_box *b, int top)
{
    for (size_t p = 0; p < b->bar->count; p++) {
        const bk_part *part = &b->bar->parts[p];
        const bk_placed *placed = &d->svg->timeline->stages[part->placed];
        for (size_t i = 0; part->kind == BK_PART_STAGE && i < placed->check_count; i++) {
            const bk_placed_check *check = &placed->checks[i];
            if (check->dropped || check->start < d->strip->from || check->start >= d->strip->to)
                continue;
            reminder(d->svg, d->x0 + bk_axis_x(d->strip, check->start), top - 16);
        }
    }
}

void bk_svg_bar(bk_svg_drawing *d, const bk_lane_boxes *l, const bk_box *b)
{
    bk_svg *svg = d->svg;
    bool counted = l->lane->rows > 0, hands = l->lane->kind == BK_LANE_HANDS;
    int base = l->y + BK_STRIP_GAP / 2 + (l->heat ? BK_STRIP_HEAT : 0);
    int edge = counted ? (BK_STRIP_ROW - BK_STRIP_BAR) / 2 : 6;
    int words = base + bk_svg_row_top(l, b->row) + edge;
    bk_text_addf(svg->out,
                 "<g class=\"thing\" data-lane=\"%zu\" data-from=\"%" PRId64 "\" data-to=\"%" PRId64
                 "\" data-amount=\"%" PRId64 "\"><title>",
                 l->index, b->bar->from, b->bar->to, b->bar->amount);
    bk_markup_add(svg->out, tooltip(svg, b->bar));
    bk_text_add(svg->out, "</title>");
    if (!counted) {
        int high = hands ? HANDS_BAR : BK_STRIP_LINE - 2 * edge;
        draw_rect(d, l, b, words - edge + (BK_STRIP_LINE - high) / 2, high, 1);
        draw_words(d, l, b, words - edge + (b->below ? BK_STRIP_LINE : 0));
    } else {
        for (size_t i = 0, count; i < b->bar->row_count; i += count) {
            for (count = 1; i + count < b->bar->row_count &&
                            b->bar->rows[i + count] == b->bar->rows[i] + count;)
                count++;
            size_t first = b->bar->rows[i];
            int top = bk_svg_row_top(l, first);
            draw_rect(d, l, b, base + top + edge, bk_svg_row_top(l, first + count) - top - 2 * edge,
                      count);
        }
        draw_words(d, l, b, words);
    }
    if (l->lane->kind != BK_LANE_TOOL)
        reminders(d, b, base + edge + bk_svg_row_top(l, counted ? b->bar->rows[0] : b->row));
    bk_text_add(svg->out, "</g>\n");
}

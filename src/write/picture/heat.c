/* The temperature of an oven as a line that climbs and falls. */
#include "write/picture/strip.h"

#include <inttypes.h>
#include <string.h>

enum { COLD_C = 20, FALLS_MINUTES = 40 };

/* Where a temperature stands in the band of an oven that goes up to `most`. */
static int heat_y(const bk_lane_boxes *l, double celsius, double most)
{
    double part = most > COLD_C ? (celsius - COLD_C) / (most - COLD_C) : 0;
    part = part < 0 ? 0 : part > 1 ? 1 : part;
    return l->y + BK_STRIP_HEAT - 10 - (int)(part * (BK_STRIP_HEAT - 50) + 0.5);
}

/* How long it falls when it is off: by its rate, else a while, dashed. */
static bk_instant fallen(const bk_equipment *oven, const bk_oven_run *run)
{
    double minutes = oven->cools > 0 ? (run->temperature_c - COLD_C) / oven->cools : FALLS_MINUTES;
    return run->off + (minutes < 1 ? 1 : minutes > BK_DAY ? BK_DAY : (bk_instant)minutes);
}

/* A straight piece of the line, cut at the strip's ends. */
static void heat_piece(bk_svg_drawing *d, bk_instant from, int y, bk_instant to, int end_y,
                       bool guessed)
{
    if (!bk_svg_touches(d->strip, from, to) && from != to)
        return;
    int x = bk_axis_x(d->strip, from), end = bk_axis_x(d->strip, to);
    int full = y;
    if (from < d->strip->from && to > from)
        y += (int)((end_y - full) * (d->strip->from - from) / (to - from));
    if (to > d->strip->to && to > from)
        end_y = full + (int)((end_y - full) * (d->strip->to - from) / (to - from));
    bk_text_addf(d->svg->out, "<path d=\"M%d %dL%d %d\" class=\"h\"%s/>\n", d->x0 + x, y,
                 d->x0 + end, end_y, guessed ? " stroke-dasharray=\"8 22\"" : "");
}

/* Under the line from where it is hot; the hour it is turned on, where there is room. `end`:
 * where the next setting begins. */
static void heat_words(bk_svg_drawing *d, const bk_oven_run *run, int y, int end)
{
    bk_svg *svg = d->svg;
    int from = bk_axis_x(d->strip, run->ready), off = bk_axis_x(d->strip, run->off);
    if (off == from)
        return;
    char *heat = bk_words_heat(svg->arena, svg->timeline->plan, run->equipment, run->temperature_c);
    char *words = bk_format(svg->arena, "%s, on %s", heat,
                            bk_clock(svg->arena, svg->timeline->plan->zone, run->on));
    int room = end - from - BK_STRIP_PAD;
    if (run->on < d->strip->from || bk_markup_width(words, BK_SVG_SMALL, false) > room)
        words = heat;
    if (bk_markup_width(words, BK_SVG_SMALL, false) > room)
        words[strcspn(words, "(f")] = '\0'; /* the dial's number alone */
    if (bk_markup_width(words, BK_SVG_SMALL, false) <= room)
        bk_svg_text(svg, d->x0 + from + BK_STRIP_PAD / 2, y + 95, BK_SVG_SMALL, "class=\"n\"",
                    words);
}

void bk_svg_heat(bk_svg_drawing *d, const bk_lane_boxes *l)
{
    const bk_timeline *t = d->svg->timeline;
    const bk_equipment *oven = &t->plan->kitchen.equipment[l->lane->equipment];
    double most = COLD_C, before = COLD_C;
    for (size_t i = 0; i < t->oven_count; i++)
        if (bk_svg_is_run_of(&t->ovens[i], l->lane) && t->ovens[i].temperature_c > most)
            most = t->ovens[i].temperature_c;
    d->svg->signs.heat = true;
    for (size_t i = 0; i < t->oven_count; i++) {
        const bk_oven_run *run = &t->ovens[i];
        if (!bk_svg_is_run_of(run, l->lane))
            continue;
        const bk_oven_run *next =
            i + 1 < t->oven_count && bk_svg_is_run_of(run + 1, l->lane) ? run + 1 : NULL;
        int y = heat_y(l, run->temperature_c, most);
        heat_piece(d, run->on, heat_y(l, run->from_cold ? COLD_C : before, most), run->ready, y,
                   false);
        heat_piece(d, run->ready, y, run->off, y, false);
        before = run->temperature_c;
        if (!next || next->from_cold) {
            bk_instant to = fallen(oven, run);
            int end = heat_y(l, COLD_C, most);
            if (next && next->on < to) /* turned on again before it is cold: from there */
                to = next->on;
            heat_piece(d, run->off, y, to, end, oven->cools <= 0);
        }
    }
    for (size_t i = 0; i < t->oven_count; i++) {
        const bk_oven_run *run = &t->ovens[i];
        bool next = i + 1 < t->oven_count && bk_svg_is_run_of(run + 1, l->lane);
        if (bk_svg_is_run_of(run, l->lane) && bk_svg_touches(d->strip, run->on, run->off))
            heat_words(d, run, heat_y(l, run->temperature_c, most),
                       next ? bk_axis_x(d->strip, run[1].on) : BK_SVG_PLOT);
    }
}

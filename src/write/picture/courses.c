/* How a thing cools or warms inside: a line below its lane, under its bar, with the temperature
 * at its start and end and the one it has to reach. */
#include "write/picture/strip.h"

#include "heat/heat.h"

#include <inttypes.h>
#include <math.h>

enum {
    HIGH = 200,             /* of the line's own band */
    LOWER = 45,             /* by which a baseline lies below the middle of its letters */
    APART = BK_STRIP_LINE,  /* of two lines of words */
    GAP = 2 * BK_STRIP_PAD, /* between the words of two courses */
    CUT = 60                /* of an arrow that a bar has above */
};

static const bk_cooling *cooling_of(const bk_svg *svg, size_t placed)
{
    return svg->timeline->plan->stages[svg->timeline->stages[placed].stage].cooling;
}

/* The temperature as it is at an instant, between two points of the curve straight. */
static double at_instant(const bk_curve *curve, bk_instant at)
{
    for (size_t i = 1; i < curve->count; i++)
        if (at <= curve->at[i]) {
            double part =
                (double)(at - curve->at[i - 1]) / (double)(curve->at[i] - curve->at[i - 1]);
            return curve->celsius[i - 1] + part * (curve->celsius[i] - curve->celsius[i - 1]);
        }
    return curve->celsius[curve->count - 1];
}

static void range(const bk_svg *svg, const bk_course *c, double *low, double *high)
{
    *low = *high = cooling_of(svg, c->placed)->to_c;
    for (size_t i = 0; i < c->curve->count; i++) {
        *low = fmin(*low, c->curve->celsius[i]);
        *high = fmax(*high, c->curve->celsius[i]);
    }
}

/* Below the top of the band. */
static int y_of(const bk_svg *svg, const bk_course *c, double celsius)
{
    double low, high;
    range(svg, c, &low, &high);
    return (int)lround((high > low ? (high - celsius) / (high - low) : 0.5) * HIGH);
}

/* In the scale of the question, rounded to a tenth as in the JSON; of several in a lane each says
 * of which dish it is. */
static void words_of(bk_svg *svg, bk_course *c, bool several)
{
    bk_heat_question question;
    const bk_cooling *cooling = cooling_of(svg, c->placed);
    bk_cooling_question(cooling, &question);
    c->from = bk_celsius(svg->arena, question.units, c->curve->celsius[0]);
    c->to = bk_celsius(svg->arena, question.units, c->curve->celsius[c->curve->count - 1]);
    size_t dish = svg->timeline->plan->stages[svg->timeline->stages[c->placed].stage].dish;
    const char *limit = bk_celsius(svg->arena, question.units, cooling->to_c);
    const char *name = several ? bk_format(svg->arena, "%s ", bk_svg_dish(svg, dish)) : "";
    c->limit = bk_format(svg->arena, "%smust reach %s", name, limit);
    c->all = c->begins && c->ends
                 ? bk_format(svg->arena, "%s%s to %s, must reach %s", name, c->from, c->to, limit)
             : c->begins ? bk_format(svg->arena, "%sfrom %s, must reach %s", name, c->from, limit)
             : c->ends   ? bk_format(svg->arena, "%sto %s, must reach %s", name, c->to, limit)
                         : c->limit;
}

static int width(const char *words)
{
    return bk_markup_width(words, BK_SVG_TEXT, false);
}

/* Figures to both sides where there is room; else one line of words, to one side; else that
 * inside, where the line is not: above the end of one that falls, below that of one that climbs. */
static void place_words(bk_svg *svg, bk_course *c)
{
    int left = width(c->limit), right = c->ends ? width(c->to) : 0;
    if (c->begins && width(c->from) > left)
        left = width(c->from);
    int before = c->x - (c->begins ? 0 : CUT) - BK_STRIP_PAD;
    int behind = BK_SVG_PLOT - c->x - c->width - (c->ends ? 0 : CUT) - BK_STRIP_PAD;
    c->left = c->x;
    c->right = c->x + c->width;
    if (left <= before && right <= behind) {
        c->left = before - left;
        c->right = BK_SVG_PLOT - behind + right;
        return;
    }
    c->in_line = true;
    c->all = bk_markup_shorten(svg->arena, c->all, BK_SVG_TEXT, false, BK_SVG_PLOT);
    int wide = width(c->all);
    c->line_x = BK_SVG_PLOT - behind;
    if (wide > behind)
        c->line_x = wide <= before ? before - wide : c->x + c->width - wide - BK_STRIP_PAD;
    if (c->line_x < 0)
        c->line_x = 0;
    c->left = c->line_x < c->left ? c->line_x : c->left;
    c->right = c->line_x + wide > c->right ? c->line_x + wide : c->right;
}

/* The first band in which it and its words touch no other. */
static void stack(bk_lane_boxes *l, size_t index)
{
    bk_course *c = &l->courses[index];
    for (size_t i = 0; i < index;) {
        const bk_course *other = &l->courses[i++];
        if (other->row == c->row && other->left < c->right + GAP && c->left < other->right + GAP) {
            c->row++;
            i = 0;
        }
    }
    if (l->course_rows <= c->row)
        l->course_rows = c->row + 1;
}

static bool is_drawn(const bk_svg_drawing *d, const bk_lane_boxes *own, size_t placed)
{
    for (size_t i = 0; i <= d->lane_count; i++) {
        const bk_lane_boxes *l = i < d->lane_count ? &d->lanes[i] : own;
        for (size_t k = 0; k < l->course_count; k++)
            if (l->courses[k].placed == placed)
                return true;
    }
    return false;
}

void bk_svg_find_courses(bk_svg_drawing *d, bk_lane_boxes *l)
{
    bk_svg *svg = d->svg;
    if (l->lane->kind != BK_LANE_OVEN && l->lane->kind != BK_LANE_PLACE &&
        l->lane->kind != BK_LANE_BENCH)
        return;
    for (size_t k = 0; k < l->count; k++)
        for (size_t p = 0; p < l->items[k].bar->count; p++) {
            const bk_part *part = &l->items[k].bar->parts[p];
            const bk_placed *placed = &svg->timeline->stages[part->placed];
            if (part->kind != BK_PART_STAGE || !svg->curves[part->placed] ||
                !bk_svg_touches(d->strip, placed->start, placed->end) ||
                is_drawn(d, l, part->placed))
                continue;
            bk_course *c = BK_PUSH(svg->arena, l->courses, l->course_count, l->course_room);
            c->placed = part->placed;
            c->curve = svg->curves[part->placed];
            c->x = bk_axis_x(d->strip, placed->start);
            c->width = bk_axis_x(d->strip, placed->end) - c->x;
            c->begins = placed->start >= d->strip->from;
            c->ends = placed->end <= d->strip->to;
        }
    for (size_t i = 0; i < l->course_count; i++) {
        words_of(svg, &l->courses[i], l->course_count > 1);
        place_words(svg, &l->courses[i]);
        stack(l, i);
    }
}

/* ----------------------------------------------------------------- drawing */

static void draw_line(bk_svg_drawing *d, const bk_course *c, int top)
{
    bk_svg *svg = d->svg;
    const bk_curve *curve = c->curve;
    bk_instant from = c->begins ? curve->at[0] : d->strip->from;
    bk_instant to = c->ends ? curve->at[curve->count - 1] : d->strip->to;
    bk_text_addf(svg->out, "<path d=\"M%d %d", d->x0 + c->x,
                 top + y_of(svg, c, at_instant(curve, from)));
    for (size_t i = 0; i < curve->count; i++)
        if (curve->at[i] > from && curve->at[i] < to)
            bk_text_addf(svg->out, "L%d %d", d->x0 + bk_axis_x(d->strip, curve->at[i]),
                         top + y_of(svg, c, curve->celsius[i]));
    bk_text_addf(svg->out, "L%d %d\" class=\"curve h\"/>", d->x0 + c->x + c->width,
                 top + y_of(svg, c, at_instant(curve, to)));
    bk_text_addf(svg->out,
                 "<path d=\"M%d %dh%d\" class=\"limit l\" stroke-width=\"7\" "
                 "stroke-dasharray=\"14 22\"/>",
                 d->x0 + c->x, top + y_of(svg, c, cooling_of(svg, c->placed)->to_c), c->width);
}

static void draw_words(bk_svg_drawing *d, const bk_course *c, int top)
{
    bk_svg *svg = d->svg;
    const bk_curve *curve = c->curve;
    int limit = y_of(svg, c, cooling_of(svg, c->placed)->to_c);
    bool falls = curve->celsius[0] > cooling_of(svg, c->placed)->to_c;
    if (c->in_line) {
        bool inside = c->line_x >= c->x && c->line_x < c->x + c->width;
        int y = inside && !falls ? HIGH - 8 : inside ? LOWER + 35 : HIGH / 2 + LOWER - 12;
        bk_svg_text(svg, d->x0 + c->line_x, top + y, BK_SVG_TEXT, "class=\"n\"", c->all);
        return;
    }
    int before = d->x0 + c->x - (c->begins ? 0 : CUT) - BK_STRIP_PAD, start = -1;
    if (c->begins) {
        start = y_of(svg, c, curve->celsius[0]);
        bk_svg_text(svg, before, top + start + LOWER - 12, BK_SVG_TEXT,
                    "class=\"n\" text-anchor=\"end\"", c->from);
    }
    if (start >= 0 && falls && limit < start + APART)
        limit = start + APART;
    if (start >= 0 && !falls && limit > start - APART)
        limit = start - APART;
    bk_svg_text(svg, before, top + limit + LOWER - 12, BK_SVG_TEXT,
                "class=\"n\" text-anchor=\"end\"", c->limit);
    if (c->ends)
        bk_svg_text(svg, d->x0 + c->x + c->width + BK_STRIP_PAD,
                    top + y_of(svg, c, curve->celsius[curve->count - 1]) + LOWER - 12, BK_SVG_TEXT,
                    "class=\"n\"", c->to);
}

void bk_svg_courses(bk_svg_drawing *d, const bk_lane_boxes *l)
{
    bk_svg *svg = d->svg;
    const bk_zone *zone = svg->timeline->plan->zone;
    for (size_t i = 0; i < l->course_count; i++) {
        const bk_course *c = &l->courses[i];
        const bk_placed *placed = &svg->timeline->stages[c->placed];
        const bk_stage *stage = &svg->timeline->plan->stages[placed->stage];
        int top = l->y + l->height - BK_STRIP_GAP / 2 -
                  ((int)l->course_rows - (int)c->row) * BK_STRIP_COURSE +
                  (BK_STRIP_COURSE - HIGH) / 2;
        svg->signs.course = true;
        bk_text_addf(svg->out,
                     "<g class=\"course\" data-lane=\"%zu\" data-from=\"%" PRId64
                     "\" data-to=\"%" PRId64 "\" data-dish=\"",
                     l->index, placed->start, placed->end);
        bk_markup_add(svg->out, bk_svg_dish(svg, stage->dish));
        bk_text_add(svg->out, "\"><title>");
        bk_markup_add(
            svg->out,
            bk_format(svg->arena, "%s: %s: inside %s at %s, %s at %s; %s",
                      bk_svg_dish(svg, stage->dish), bk_words_clean(svg->arena, stage->text),
                      c->from, bk_moment_short(svg->arena, zone, placed->start), c->to,
                      bk_clock_seen_from(svg->arena, zone, placed->start, placed->end), c->limit));
        bk_text_add(svg->out, "</title>");
        draw_line(d, c, top);
        draw_words(d, c, top);
        bk_text_add(svg->out, "</g>\n");
    }
}

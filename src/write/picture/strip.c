/* One strip of the picture: its axis, its shades, its lanes. */
#include "write/picture/svg.h"

#include <inttypes.h>
#include <string.h>

enum {
    ROW = 170,
    BAR = 144,
    LANE_GAP = 36,
    HEAT = 130,
    DIAMOND = 90,
    LEAST_BAR = 24,
    PAD = 32,
    AFTER_STRIP = 130,
    ARROW = 60
};

/* A bar where it goes on paper. */
typedef struct box {
    const bk_bar *bar;
    int x, width;    /* from the strip's left end */
    int left, right; /* with a label beside it */
    int row;
    const char *key, *label; /* label: what stands behind the key; may be "" */
    bool inside;
    bool from_before, goes_on; /* cut by the strip's ends */
} box;

typedef struct lane_boxes {
    const bk_lane *lane;
    box *items;
    size_t count, room;
    int rows;
    bool heat; /* an oven with a setting on this strip */
    int y, height;
} lane_boxes;

typedef struct strip_drawing {
    bk_svg *svg;
    const bk_strip *strip;
    int x0, width; /* of the plot on the page */
    int top, bottom;
    lane_boxes *lanes;
    size_t lane_count, lane_room;
} strip_drawing;

/* ----------------------------------------------------------------- layout */

static const char *bar_words(bk_svg *svg, const bk_lane *lane, const bk_bar *bar)
{
    const bk_plan *plan = svg->timeline->plan;
    const bk_placed *placed = &svg->timeline->stages[bar->placed];
    const bk_stage *stage = &plan->stages[placed->stage];
    if (bar->kind == BK_BAR_CHECK)
        return bk_words_clean(svg->arena, placed->checks[bar->check].check->text);
    if (lane->kind == BK_LANE_HANDS || lane->kind == BK_LANE_ITSELF)
        return bk_words_clean(svg->arena, stage->text);
    return bk_words_clean(svg->arena, plan->dishes[stage->dish].name);
}

static bool touches(const bk_strip *strip, bk_instant from, bk_instant to)
{
    if (from == to)
        return from >= strip->from && from < strip->to;
    return from < strip->to && to > strip->from;
}

static void size_box(strip_drawing *d, const bk_lane *lane, box *b)
{
    bk_svg *svg = d->svg;
    const bk_bar *bar = b->bar;
    int end = bk_axis_x(d->strip, bar->to);
    b->x = bk_axis_x(d->strip, bar->from);
    b->width = end - b->x < LEAST_BAR ? LEAST_BAR : end - b->x;
    if (b->x + b->width > d->width)
        b->x = d->width - b->width;
    b->from_before = bar->from < d->strip->from;
    b->goes_on = bar->to > d->strip->to;
    b->key = bk_svg_key(svg->arena, bar->placed, bar->kind == BK_BAR_CHECK ? bar->check : SIZE_MAX);
    b->label = "";

    int mark = bar->kind == BK_BAR_STAGE && svg->chain[bar->placed] ? DIAMOND : 0;
    int key = bk_markup_width(b->key, BK_SVG_TEXT, true) + mark;
    int room = b->width - 2 * PAD - key;
    b->inside = room >= 0;
    b->left = b->x;
    b->right = b->x + b->width;
    if (b->inside) {
        room -= BK_SVG_TEXT / 3;
        const char *words =
            bk_markup_shorten(svg->arena, bar_words(svg, lane, bar), BK_SVG_TEXT, false, room);
        if (strlen(words) >= 8 || strcmp(words, bar_words(svg, lane, bar)) == 0)
            b->label = words;
        return;
    }
    /* Beside the bar, clear of the arrow at a strip's end. */
    int beside = key + 2 * PAD + (b->goes_on ? ARROW : 0);
    if (b->right + beside <= d->width + BK_SVG_MARGIN)
        b->right += beside;
    else
        b->left -= key + 2 * PAD;
}

/* First fit, in order of start: no two boxes of a row touch, labels counted. */
static void stack_boxes(lane_boxes *l)
{
    for (size_t i = 0; i < l->count; i++) {
        box *b = &l->items[i];
        for (bool clash = true; clash;) {
            clash = false;
            for (size_t k = 0; k < i && !clash; k++)
                clash = l->items[k].row == b->row && l->items[k].left < b->right &&
                        l->items[k].right > b->left;
            b->row += clash;
        }
        if (b->row >= l->rows)
            l->rows = b->row + 1;
    }
}

static bool is_run_of(const bk_oven_run *run, const bk_lane *lane)
{
    return lane->kind == BK_LANE_OVEN && run->equipment == lane->equipment &&
           run->number == lane->number;
}

static void lay_out_lanes(strip_drawing *d)
{
    bk_svg *svg = d->svg;
    for (size_t i = 0; i < svg->lanes.count; i++) {
        const bk_lane *lane = &svg->lanes.items[i];
        lane_boxes found = {.lane = lane};
        for (size_t k = 0; k < lane->count; k++) {
            if (!touches(d->strip, lane->bars[k].from, lane->bars[k].to))
                continue;
            box *b = BK_PUSH(svg->arena, found.items, found.count, found.room);
            b->bar = &lane->bars[k];
            size_box(d, lane, b);
        }
        for (size_t k = 0; k < svg->timeline->oven_count; k++)
            if (is_run_of(&svg->timeline->ovens[k], lane) &&
                touches(d->strip, svg->timeline->ovens[k].on, svg->timeline->ovens[k].off))
                found.heat = true;
        if (found.count == 0 && !found.heat)
            continue;
        stack_boxes(&found);
        found.height = LANE_GAP + found.rows * ROW + (found.heat ? HEAT : 0);
        *BK_PUSH(svg->arena, d->lanes, d->lane_count, d->lane_room) = found;
    }
}

/* -------------------------------------------------------------- the axis */

static void line(bk_svg *svg, int x, int from, int to, const char *attributes)
{
    bk_text_addf(svg->out, "<path d=\"M%d %dV%d\" %s/>\n", x, from, to, attributes);
}

/* A line through the lanes and beside the words on `y`, but not through the row
 * of hours between them. */
static void day_line(strip_drawing *d, int x, int y, const char *attributes)
{
    line(d->svg, d->x0 + x, y - 95, y + 20, attributes);
    line(d->svg, d->x0 + x, d->top, d->bottom, attributes);
}

static void day_names(strip_drawing *d, int y)
{
    bk_svg *svg = d->svg;
    const bk_zone *zone = svg->timeline->plan->zone;
    int last = INT32_MAX; /* from the right: the earlier of two that clash gives way */
    bk_instant at =
        bk_day_start(zone, d->strip->to > d->strip->from ? d->strip->to - 1 : d->strip->to);
    for (;;) {
        bool first = at <= d->strip->from;
        int x = bk_axis_x(d->strip, at);
        bk_civil civil = bk_civil_at(zone, at);
        char *name = bk_format(svg->arena, "%s %d %.3s", bk_weekday_name(bk_weekday(civil)),
                               civil.day, bk_month_name(civil.month));
        int room =
            (last < d->width + BK_SVG_MARGIN ? last : d->width + BK_SVG_MARGIN) - x - 2 * PAD;
        if (bk_markup_width(name, BK_SVG_TEXT, true) > room)
            name = bk_format(svg->arena, "%.3s", name);
        bool fits = bk_markup_width(name, BK_SVG_TEXT, true) <= room;
        if (fits)
            bk_svg_text(svg, d->x0 + x + (first ? 0 : PAD), y, BK_SVG_TEXT, "font-weight=\"bold\"",
                        name);
        if (!first)
            day_line(d, x, y, "stroke=\"#111\" stroke-width=\"16\"");
        if (fits)
            last = x;
        if (first)
            return;
        /* Days on which nothing happens share a quiet stretch: the last one is named. */
        at = bk_day_start(zone, at - 1);
        while (at > d->strip->from && bk_axis_x(d->strip, at) + BK_QUIET_WIDTH / 2 > last &&
               bk_axis_quiet(d->strip, at))
            at = bk_day_start(zone, at - 1);
    }
}

static char *short_duration(bk_arena *arena, int64_t minutes)
{
    if (minutes >= 2 * BK_DAY)
        return bk_format(arena, "%" PRId64 " days", (minutes + BK_DAY / 2) / BK_DAY);
    if (minutes % 60 == 0)
        return bk_format(arena, "%" PRId64 " h", minutes / 60);
    return bk_format(arena, "%" PRId64 " h %02d", minutes / 60, (int)(minutes % 60));
}

static void quiet_stretch(strip_drawing *d, const bk_piece *piece, int y)
{
    bk_svg *svg = d->svg;
    int x = d->x0 + piece->x, middle = x + piece->width / 2;
    svg->signs.quiet = true;
    bk_text_addf(svg->out,
                 "<path d=\"M%d %dV%dM%d %dV%d\" stroke=\"#777\" stroke-width=\"10\" "
                 "stroke-dasharray=\"20 40\" fill=\"none\"/>\n",
                 x, d->top, d->bottom, x + piece->width, d->top, d->bottom);
    /* The break in the axis. */
    bk_text_addf(svg->out,
                 "<path d=\"M%d %dl50 -60M%d %dl50 -60\" stroke=\"#111\" stroke-width=\"14\"/>\n",
                 middle - 50, d->top + 30, middle + 10, d->top + 30);
    bk_svg_text(svg, middle, y, BK_SVG_SMALL, "text-anchor=\"middle\" font-style=\"italic\"",
                short_duration(svg->arena, piece->to - piece->from));
}

static int hours_between_labels(const bk_axis *axis)
{
    static const int steps[] = {1, 2, 3, 6, 12, 24};
    size_t i = 0;
    while (i < 5 && steps[i] * 60 * axis->scale / 100 < 480)
        i++;
    return steps[i];
}

static bool near_quiet(const strip_drawing *d, int x)
{
    for (size_t i = 0; i < d->strip->count; i++) {
        const bk_piece *piece = &d->strip->pieces[i];
        if (piece->quiet && x > piece->x - 130 && x < piece->x + piece->width + 130)
            return true;
    }
    return false;
}

static void hours(strip_drawing *d, int y)
{
    bk_svg *svg = d->svg;
    const bk_zone *zone = svg->timeline->plan->zone;
    int step = hours_between_labels(&svg->axis);
    /* A strip that begins between two labels says when it begins. */
    bk_instant begin = d->strip->from, hour = begin + 60 - bk_civil_at(zone, begin).minute;
    if (bk_civil_at(zone, begin).minute != 0 && !near_quiet(d, 0) &&
        bk_axis_x(d->strip, hour) > 480)
        bk_svg_text(svg, d->x0, y, BK_SVG_SMALL, "text-anchor=\"middle\"",
                    bk_clock(svg->arena, zone, begin));
    bool quarters = 15 * svg->axis.scale / 100 >= 220;
    for (size_t i = 0; i < d->strip->count; i++) {
        const bk_piece *piece = &d->strip->pieces[i];
        if (piece->quiet) {
            quiet_stretch(d, piece, y);
            continue;
        }
        bool last = i + 1 == d->strip->count;
        for (bk_instant at = piece->from; at < piece->to || (last && at == piece->to);) {
            bk_civil civil = bk_civil_at(zone, at);
            int x = bk_axis_x(d->strip, at);
            if (civil.minute == 0) {
                line(svg, d->x0 + x, d->top, d->bottom, "stroke=\"#999\" stroke-width=\"7\"");
                if (civil.hour % step == 0 && !near_quiet(d, x))
                    bk_svg_text(svg, d->x0 + x, y, BK_SVG_SMALL, "text-anchor=\"middle\"",
                                bk_clock(svg->arena, zone, at));
            } else if (quarters && civil.minute % 15 == 0) {
                line(svg, d->x0 + x, d->top, d->bottom, "stroke=\"#ccc\" stroke-width=\"5\"");
            }
            at += 15 - civil.minute % 15;
        }
    }
}

static void serve_lines(strip_drawing *d, int y)
{
    bk_svg *svg = d->svg;
    const bk_plan *plan = svg->timeline->plan;
    int last = INT32_MIN;
    bk_instant before = INT64_MIN;
    for (;;) {
        /* The next serve on this strip, whatever the order of the dishes. */
        bk_instant at = INT64_MAX;
        for (size_t i = 0; i < plan->dish_count; i++)
            if (plan->dishes[i].serve > before && plan->dishes[i].serve < at &&
                plan->dishes[i].serve > d->strip->from && plan->dishes[i].serve <= d->strip->to)
                at = plan->dishes[i].serve;
        if (at == INT64_MAX)
            return;
        before = at;
        svg->signs.serve = true;
        int x = bk_axis_x(d->strip, at);
        day_line(d, x, y, "stroke=\"#111\" stroke-width=\"22\" stroke-dasharray=\"70 30\"");
        char *name = bk_format(svg->arena, "Serve %s", bk_clock(svg->arena, plan->zone, at));
        int width = bk_markup_width(name, BK_SVG_TEXT, true) + PAD;
        if (x - width >= last && x - width >= -BK_SVG_NAMES) {
            bk_svg_text(svg, d->x0 + x - PAD, y, BK_SVG_TEXT,
                        "font-weight=\"bold\" text-anchor=\"end\"", name);
            last = x;
        }
    }
}

static bool has_serve(const strip_drawing *d)
{
    const bk_plan *plan = d->svg->timeline->plan;
    for (size_t i = 0; i < plan->dish_count; i++)
        if (plan->dishes[i].serve > d->strip->from && plan->dishes[i].serve <= d->strip->to)
            return true;
    return false;
}

static void windows(strip_drawing *d)
{
    bk_svg *svg = d->svg;
    const bk_kitchen *kitchen = &svg->timeline->plan->kitchen;
    for (size_t i = 0; i < kitchen->window_count; i++) {
        const bk_window *w = &kitchen->windows[i];
        if (!touches(d->strip, w->from, w->to))
            continue;
        int x = bk_axis_x(d->strip, w->from), end = bk_axis_x(d->strip, w->to);
        if (end <= x)
            continue;
        svg->signs.window[w->kind] = true;
        bk_text_addf(svg->out,
                     "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" "
                     "fill=\"url(#bakeset-%s)\"/>\n",
                     d->x0 + x, d->top, end - x, d->bottom - d->top, bk_window_key(w->kind));
    }
}

/* --------------------------------------------------------------- the lanes */

static void heat_band(strip_drawing *d, const lane_boxes *l)
{
    bk_svg *svg = d->svg;
    int top = l->y + 20, bottom = l->y + HEAT;
    for (size_t i = 0; i < svg->timeline->oven_count; i++) {
        const bk_oven_run *run = &svg->timeline->ovens[i];
        if (!is_run_of(run, l->lane) || !touches(d->strip, run->on, run->off))
            continue;
        int on = bk_axis_x(d->strip, run->on), ready = bk_axis_x(d->strip, run->ready),
            off = bk_axis_x(d->strip, run->off);
        if (ready > on) {
            svg->signs.preheat = true;
            bk_text_addf(svg->out,
                         "<path d=\"M%d %dL%d %dV%dZ\" fill=\"url(#bakeset-heat)\" "
                         "stroke=\"#333\" stroke-width=\"8\"/>\n",
                         d->x0 + on, bottom, d->x0 + ready, top, bottom);
        }
        if (off <= ready)
            continue;
        bk_text_addf(svg->out,
                     "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" fill=\"#fff\" "
                     "stroke=\"#333\" stroke-width=\"8\"/>\n",
                     d->x0 + ready, top, off - ready, bottom - top);
        char *heat =
            bk_words_heat(svg->arena, svg->timeline->plan, run->equipment, run->temperature_c);
        int room = off - ready - PAD;
        if (bk_markup_width(heat, BK_SVG_SMALL, false) > room)
            heat[strcspn(heat, " ")] = '\0'; /* the number alone */
        if (bk_markup_width(heat, BK_SVG_SMALL, false) <= room)
            bk_svg_text(svg, d->x0 + (ready + off) / 2, bottom - 22, BK_SVG_SMALL,
                        "text-anchor=\"middle\"", heat);
    }
}

static void reminders(strip_drawing *d, const box *b, int top)
{
    const bk_placed *placed = &d->svg->timeline->stages[b->bar->placed];
    if (b->bar->kind != BK_BAR_STAGE)
        return;
    for (size_t i = 0; i < placed->check_count; i++) {
        const bk_placed_check *check = &placed->checks[i];
        if (check->dropped || check->start < d->strip->from || check->start > d->strip->to)
            continue;
        d->svg->signs.reminder = true;
        bk_text_addf(d->svg->out, "<path d=\"M%d %dh60l-30 50Z\" fill=\"#111\"/>\n",
                     d->x0 + bk_axis_x(d->strip, check->start) - 30, top - 32);
    }
}

static char *tooltip(bk_svg *svg, const bk_bar *bar)
{
    const bk_plan *plan = svg->timeline->plan;
    const bk_placed *placed = &svg->timeline->stages[bar->placed];
    const bk_stage *stage = &plan->stages[placed->stage];
    const char *what = bar->kind == BK_BAR_CHECK    ? placed->checks[bar->check].check->text
                       : bar->kind == BK_BAR_STORED ? "ready, kept until served"
                                                    : stage->text;
    return bk_format(svg->arena, "%s: %s, %s to %s",
                     bk_words_clean(svg->arena, plan->dishes[stage->dish].name),
                     bk_words_clean(svg->arena, what), bk_moment(svg->arena, plan->zone, bar->from),
                     bk_clock_seen_from(svg->arena, plan->zone, bar->from, bar->to));
}

static void draw_box(strip_drawing *d, const lane_boxes *l, const box *b)
{
    bk_svg *svg = d->svg;
    const bk_bar *bar = b->bar;
    const bk_stage *stage = &svg->timeline->plan->stages[svg->timeline->stages[bar->placed].stage];
    int top = l->y + (l->heat ? HEAT : 0) + LANE_GAP / 2 + b->row * ROW + (ROW - BAR);
    bool strong = bar->kind == BK_BAR_STAGE && svg->chain[bar->placed];
    bool dashed = bar->kind == BK_BAR_STORED || bar->kind == BK_BAR_HOLD ||
                  (bar->kind == BK_BAR_STAGE && stage->attention == BK_NONE);
    svg->signs.chain = svg->signs.chain || strong;
    svg->signs.itself = svg->signs.itself || (dashed && !strong && bar->kind != BK_BAR_STORED);
    svg->signs.stored = svg->signs.stored || bar->kind == BK_BAR_STORED;

    /* Half the outline on either side stays inside the bar's own time. */
    int edge = strong ? 15 : 5, x = d->x0 + b->x + edge, width = b->width - 2 * edge;
    if (width < 8)
        width = 8;
    bk_text_addf(svg->out, "<g><title>");
    bk_markup_add(svg->out, tooltip(svg, bar));
    bk_text_addf(svg->out,
                 "</title><rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" rx=\"18\" fill=\"%s\" "
                 "stroke=\"#111\" stroke-width=\"%d\"%s/>",
                 x, top + edge, width, BAR - 2 * edge,
                 bar->kind == BK_BAR_STORED ? "#fff" : bk_svg_tint(stage->dish), strong ? 30 : 10,
                 dashed && !strong ? " stroke-dasharray=\"36 24\"" : "");
    if (b->from_before)
        bk_text_addf(svg->out, "<path d=\"M%d %dv%dl-50 -%dZ\" fill=\"#111\"/>", d->x0 - 10,
                     top + 30, BAR - 60, (BAR - 60) / 2);
    if (b->goes_on)
        bk_text_addf(svg->out, "<path d=\"M%d %dv%dl50 -%dZ\" fill=\"#111\"/>",
                     d->x0 + b->x + b->width + 10, top + 30, BAR - 60, (BAR - 60) / 2);

    int at = d->x0 +
             (b->inside        ? b->x
              : b->left < b->x ? b->left
                               : b->x + b->width + (b->goes_on ? ARROW : 0)) +
             PAD;
    if (!b->inside) /* over the lines that cross it */
        bk_text_addf(svg->out,
                     "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" fill=\"#fff\" "
                     "fill-opacity=\"0.85\"/>",
                     at - PAD / 2, top + 8,
                     bk_markup_width(b->key, BK_SVG_TEXT, true) + (strong ? DIAMOND : 0) + PAD / 2,
                     BAR - 16);
    if (strong) {
        bk_svg_diamond(svg, at + 34, top + BAR / 2);
        at += DIAMOND;
    }
    bk_text_addf(svg->out,
                 "<text x=\"%d\" y=\"%d\" font-size=\"%d\"><tspan font-weight=\"bold\">%s</tspan>",
                 at, top + BAR / 2 + BK_SVG_TEXT * 36 / 100, BK_SVG_TEXT, b->key);
    if (b->label[0]) {
        bk_text_add(svg->out, " ");
        bk_markup_add(svg->out, b->label);
    }
    bk_text_add(svg->out, "</text></g>\n");
    if (l->lane->kind != BK_LANE_TOOL)
        reminders(d, b, top);
}

static void draw_lane(strip_drawing *d, const lane_boxes *l)
{
    bk_svg *svg = d->svg;
    int room = BK_SVG_NAMES - 60;
    int y = l->y + LANE_GAP / 2 + (ROW - BAR) + BAR / 2 + BK_SVG_TEXT * 36 / 100;
    bool large = bk_markup_width(l->lane->name, BK_SVG_TEXT, true) <= room;
    bk_svg_text(svg, BK_SVG_MARGIN, y, large ? BK_SVG_TEXT : BK_SVG_SMALL, "font-weight=\"bold\"",
                bk_markup_shorten(svg->arena, l->lane->name, large ? BK_SVG_TEXT : BK_SVG_SMALL,
                                  true, room));
    if (l->lane->detail[0] && l->height >= 300)
        bk_svg_text(svg, BK_SVG_MARGIN, y + 120, BK_SVG_SMALL, "",
                    bk_markup_shorten(svg->arena, l->lane->detail, BK_SVG_SMALL, false, room));
    if (l->heat)
        heat_band(d, l);
    for (size_t i = 0; i < l->count; i++)
        draw_box(d, l, &l->items[i]);
}

/* Rows above the lanes. Returns where the lanes begin. */
static int axis_rows(const strip_drawing *d, int *day_y, int *serve_y, int *hour_y)
{
    *day_y = d->svg->y + 120;
    *serve_y = *day_y + (has_serve(d) ? 130 : 0);
    *hour_y = *serve_y + 125;
    return *hour_y + 45;
}

static strip_drawing strip_of(bk_svg *svg, const bk_strip *strip)
{
    strip_drawing d = {.svg = svg,
                       .strip = strip,
                       .x0 = BK_SVG_MARGIN + BK_SVG_NAMES,
                       .width = svg->width - 2 * BK_SVG_MARGIN - BK_SVG_NAMES};
    lay_out_lanes(&d);
    return d;
}

int bk_svg_strip_height(bk_svg *svg, const bk_strip *strip)
{
    strip_drawing d = strip_of(svg, strip);
    int day_y, serve_y, hour_y, bottom = axis_rows(&d, &day_y, &serve_y, &hour_y);
    for (size_t i = 0; i < d.lane_count; i++)
        bottom += d.lanes[i].height;
    return bottom + AFTER_STRIP - svg->y;
}

void bk_svg_strip(bk_svg *svg, const bk_strip *strip)
{
    strip_drawing d = strip_of(svg, strip);
    int day_y, serve_y, hour_y;
    d.top = d.bottom = axis_rows(&d, &day_y, &serve_y, &hour_y);
    for (size_t i = 0; i < d.lane_count; i++) {
        d.lanes[i].y = d.bottom;
        d.bottom += d.lanes[i].height;
    }

    /* Paper first: lanes, shades, hours; then what stands on it. */
    for (size_t i = 0; i < d.lane_count; i++)
        bk_text_addf(svg->out, "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" fill=\"%s\"/>\n",
                     BK_SVG_MARGIN, d.lanes[i].y, BK_SVG_NAMES + d.strip->width, d.lanes[i].height,
                     i % 2 ? "#fff" : "#f3f3f3");
    windows(&d);
    hours(&d, hour_y);
    day_names(&d, day_y);
    serve_lines(&d, serve_y);
    bk_text_addf(svg->out, "<path d=\"M%d %dH%dM%d %dH%d\" stroke=\"#111\" stroke-width=\"12\"/>\n",
                 BK_SVG_MARGIN, d.top, d.x0 + strip->width, BK_SVG_MARGIN, d.bottom,
                 d.x0 + strip->width);
    for (size_t i = 0; i < d.lane_count; i++)
        draw_lane(&d, &d.lanes[i]);
    svg->y = d.bottom + AFTER_STRIP;
}

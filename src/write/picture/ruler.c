/* Above the lanes of a strip and behind them: days, hours, serves, who sleeps when. */
#include "write/picture/strip.h"

#include <inttypes.h>

enum { WIDER = 160 }; /* by which words may be wider than their time */

static void upright(bk_svg *svg, int x, int from, int to, const char *attributes)
{
    bk_text_addf(svg->out, "<path d=\"M%d %dV%d\" %s/>\n", x, from, to, attributes);
}

/* Draws the days' names and their lines, or only finds where the names stand. */
static void day_names(bk_svg_drawing *d, int y, bool draw)
{
    bk_svg *svg = d->svg;
    const bk_zone *zone = svg->timeline->plan->zone;
    int last = BK_SVG_PLOT; /* from the right: the earlier of two that clash gives way */
    bk_instant at =
        bk_day_start(zone, d->strip->to > d->strip->from ? d->strip->to - 1 : d->strip->to);
    for (;;) {
        bool first = at <= d->strip->from;
        int x = bk_axis_x(d->strip, at);
        bk_civil civil = bk_civil_at(zone, at);
        char *name = bk_format(svg->arena, "%s %d %.3s", bk_weekday_name(bk_weekday(civil)),
                               civil.day, bk_month_name(civil.month));
        /* The first stands over the lanes' names: it begins at the sheet's edge. */
        int begin = first ? -BK_SVG_NAMES : x + BK_STRIP_PAD,
            room = last - begin - 2 * BK_STRIP_PAD;
        if (bk_markup_width(name, BK_SVG_TEXT, true) > room)
            name = bk_format(svg->arena, "%.3s", name);
        int wide = bk_markup_width(name, BK_SVG_TEXT, true);
        bool fits = wide <= room;
        if (fits && draw)
            bk_svg_text(svg, d->x0 + begin, y, BK_SVG_TEXT, "font-weight=\"bold\"", name);
        else
            *BK_PUSH(svg->arena, d->days, d->day_count, d->day_room) =
                (bk_taken){first ? begin : x, fits ? begin + wide : x};
        if (first)
            return;
        if (draw)
            upright(svg, d->x0 + x, y - 80, d->bottom, "class=\"l\" stroke-width=\"10\"");
        if (fits)
            last = x;
        /* Days on which nothing happens share a quiet stretch: the last one is named. */
        at = bk_day_start(zone, at - 1);
        while (at > d->strip->from && bk_axis_x(d->strip, at) + BK_QUIET_WIDTH / 2 > last &&
               bk_axis_quiet(d->strip, at))
            at = bk_day_start(zone, at - 1);
    }
}

void bk_svg_day_names(bk_svg_drawing *d, int y)
{
    day_names(d, y, true);
}

static char *short_duration(bk_arena *arena, int64_t minutes)
{
    if (minutes >= 2 * BK_DAY)
        return bk_format(arena, "%" PRId64 " days", (minutes + BK_DAY / 2) / BK_DAY);
    if (minutes % 60 == 0)
        return bk_format(arena, "%" PRId64 " h", minutes / 60);
    return bk_format(arena, "%" PRId64 " h %02d", minutes / 60, (int)(minutes % 60));
}

static void quiet_stretch(bk_svg_drawing *d, const bk_piece *piece, int y)
{
    bk_svg *svg = d->svg;
    int x = d->x0 + piece->x, middle = x + piece->width / 2;
    svg->signs.quiet = true;
    bk_text_addf(svg->out,
                 "<path d=\"M%d %dV%dM%d %dV%d\" class=\"t\" stroke-width=\"8\" "
                 "stroke-dasharray=\"16 32\"/>\n",
                 x, d->top, d->bottom, x + piece->width, d->top, d->bottom);
    /* The break in the axis. */
    bk_text_addf(svg->out,
                 "<path d=\"M%d %dl40 -50M%d %dl40 -50\" class=\"l\" stroke-width=\"10\"/>\n",
                 middle - 45, d->top + 25, middle + 5, d->top + 25);
    char *words = short_duration(svg->arena, piece->to - piece->from);
    if (bk_markup_width(words, BK_SVG_SMALL, false) <= piece->width)
        bk_svg_text(svg, middle, y, BK_SVG_SMALL,
                    "class=\"s n\" text-anchor=\"middle\" font-style=\"italic\"", words);
}

static int hours_between_labels(const bk_strip *strip)
{
    static const int steps[] = {1, 2, 3, 6, 12, 24};
    size_t i = 0;
    while (i < 5 && (int64_t)steps[i] * 60 * strip->scale / 100 < 400)
        i++;
    return steps[i];
}

static bool near_quiet(const bk_svg_drawing *d, int x)
{
    for (size_t i = 0; i < d->strip->count; i++) {
        const bk_piece *piece = &d->strip->pieces[i];
        if (piece->quiet && x > piece->x - 140 && x < piece->x + piece->width + 140)
            return true;
    }
    return false;
}

static void hour(bk_svg_drawing *d, bk_instant at, int x, int y, bool named)
{
    bk_svg *svg = d->svg;
    bk_text_addf(svg->out,
                 "<path d=\"M%d %dV%d\" class=\"hour t\" stroke-width=\"6\" data-at=\"%" PRId64
                 "\"/>\n",
                 d->x0 + x, d->top, d->bottom, at);
    if (named)
        bk_svg_text(svg, d->x0 + x, y, BK_SVG_SMALL, "text-anchor=\"middle\"",
                    bk_clock(svg->arena, svg->timeline->plan->zone, at));
}

void bk_svg_hours(bk_svg_drawing *d, int y)
{
    bk_svg *svg = d->svg;
    const bk_zone *zone = svg->timeline->plan->zone;
    int step = hours_between_labels(d->strip);
    int64_t quarter = (int64_t)15 * d->strip->scale / 100;
    /* A strip that begins between two labels says when it begins. */
    bk_instant begin = d->strip->from, next = begin + 60 - bk_civil_at(zone, begin).minute;
    if (bk_civil_at(zone, begin).minute != 0 && !near_quiet(d, 0) &&
        bk_axis_x(d->strip, next) > 400)
        hour(d, begin, 0, y, true);
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
            if (civil.minute == 0)
                hour(d, at, x, y, civil.hour % step == 0 && !near_quiet(d, x));
            else if (civil.minute % 15 == 0 && quarter >= 100)
                upright(svg, d->x0 + x, d->top - 25, d->top, "class=\"l\" stroke-width=\"5\"");
            at += 15 - civil.minute % 15;
        }
    }
}

/* The next serve on the strip after `before`, whatever the order of the dishes; INT64_MAX: none. */
static bk_instant next_serve(const bk_svg_drawing *d, bk_instant before)
{
    const bk_plan *plan = d->svg->timeline->plan;
    bk_instant at = INT64_MAX;
    for (size_t i = 0; i < plan->dish_count; i++)
        if (plan->dishes[i].serve > before && plan->dishes[i].serve < at &&
            plan->dishes[i].serve > d->strip->from && plan->dishes[i].serve <= d->strip->to)
            at = plan->dishes[i].serve;
    return at;
}

static char *serve_name(const bk_svg_drawing *d, bk_instant at, int *width)
{
    bk_svg *svg = d->svg;
    char *name =
        bk_format(svg->arena, "Serve %s", bk_clock(svg->arena, svg->timeline->plan->zone, at));
    *width = bk_markup_width(name, BK_SVG_TEXT, true) + BK_STRIP_PAD;
    return name;
}

bool bk_svg_serves_apart(bk_svg_drawing *d)
{
    day_names(d, 0, false);
    for (bk_instant at = next_serve(d, INT64_MIN); at < INT64_MAX; at = next_serve(d, at)) {
        int width, x = bk_axis_x(d->strip, at);
        serve_name(d, at, &width);
        for (size_t i = 0; i < d->day_count; i++)
            if (x - width < d->days[i].right + BK_STRIP_PAD && d->days[i].left < x + BK_STRIP_PAD)
                return true;
    }
    return false;
}

void bk_svg_serve_lines(bk_svg_drawing *d, int y)
{
    bk_svg *svg = d->svg;
    int last = INT32_MIN;
    for (bk_instant at = next_serve(d, INT64_MIN); at < INT64_MAX; at = next_serve(d, at)) {
        svg->signs.serve = true;
        int width, x = bk_axis_x(d->strip, at);
        upright(svg, d->x0 + x, y - 80, y + 20, "class=\"l\" stroke-width=\"18\"");
        upright(svg, d->x0 + x, d->top, d->bottom,
                "class=\"l\" stroke-width=\"18\" stroke-dasharray=\"60 30\"");
        char *name = serve_name(d, at, &width);
        if (x - width >= last && x - width >= -BK_SVG_NAMES) {
            bk_svg_text(svg, d->x0 + x - BK_STRIP_PAD, y, BK_SVG_TEXT,
                        "font-weight=\"bold\" text-anchor=\"end\"", name);
            last = x;
        }
    }
}

/* ------------------------------------------------------------- the ground */

static void shade(bk_svg_drawing *d, const bk_window *w, int top, int bottom)
{
    int x = bk_axis_x(d->strip, w->from), end = bk_axis_x(d->strip, w->to);
    if (bk_svg_touches(d->strip, w->from, w->to) && end > x)
        bk_text_addf(d->svg->out,
                     "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" class=\"g\"/>\n",
                     d->x0 + x, top, end - x, bottom - top);
}

static int window_end(const bk_svg_drawing *d, const bk_window *windows, size_t count, size_t at)
{
    int end = bk_axis_x(d->strip, windows[at].to);
    for (size_t i = at + 1; i < count; i++)
        if (windows[i].from < windows[at].to && windows[i].kind != windows[at].kind &&
            windows[i].from > windows[at].from) {
            int x = bk_axis_x(d->strip, windows[i].from);
            return x < end ? x : end;
        }
    return end;
}

/* In words what keeps people: in a row under the hours. */
void bk_svg_window_words(bk_svg_drawing *d, int y)
{
    static const char *const words[] = {
        [BK_ASLEEP] = "asleep", [BK_AWAY] = "nobody at home", [BK_BUSY] = "hands not free"};
    static const char *const shorter[] = {
        [BK_ASLEEP] = "asleep", [BK_AWAY] = "away", [BK_BUSY] = "busy"};
    bk_svg *svg = d->svg;
    const bk_kitchen *kitchen = &svg->timeline->plan->kitchen;
    int last = 0;
    for (size_t i = 0; i < svg->rows.count; i++) {
        const bk_row *row = &svg->rows.items[i];
        if (row->kind != BK_ROW_CLOCK || !bk_svg_touches(d->strip, row->at, row->at))
            continue;
        int x = bk_axis_x(d->strip, row->at), minutes = row->shift < 0 ? -row->shift : row->shift;
        char *said = bk_format(svg->arena, "clocks %s %s", row->shift < 0 ? "back" : "forward",
                               bk_minutes(svg->arena, minutes));
        int wide = bk_markup_width(said, BK_SVG_SMALL, true);
        int begin =
            x + wide + BK_STRIP_PAD > BK_SVG_PLOT ? x - BK_STRIP_PAD - wide : x + BK_STRIP_PAD;
        upright(svg, d->x0 + x, y - 80, d->bottom,
                "class=\"l\" stroke-width=\"10\" stroke-dasharray=\"10 20 40 20\"");
        bk_svg_text(svg, d->x0 + begin, y, BK_SVG_SMALL, "font-weight=\"bold\"", said);
        last = begin + wide + BK_STRIP_PAD;
    }
    for (size_t i = 0; i < kitchen->window_count; i++) {
        const bk_window *w = &kitchen->windows[i];
        if (!bk_svg_touches(d->strip, w->from, w->to))
            continue;
        int x = bk_axis_x(d->strip, w->from);
        int end = window_end(d, kitchen->windows, kitchen->window_count, i);
        x = x > last ? x : last;
        if (end <= x)
            continue;
        const char *said = words[w->kind];
        if (bk_markup_width(said, BK_SVG_SMALL, false) > end - x)
            said = shorter[w->kind];
        int wide = bk_markup_width(said, BK_SVG_SMALL, false);
        int begin = x + (end - x - wide) / 2; /* a little wider than its time, where it may be */
        begin = begin > last ? begin : last;
        if (wide > end - x + WIDER || begin + wide > BK_SVG_PLOT)
            continue;
        bk_svg_text(svg, d->x0 + begin, y, BK_SVG_SMALL, "class=\"s n\" font-style=\"italic\"",
                    said);
        last = begin + wide + BK_STRIP_PAD;
    }
}

void bk_svg_grounds(bk_svg_drawing *d, const bk_lane_boxes *l)
{
    const bk_kitchen *kitchen = &d->svg->timeline->plan->kitchen;
    for (size_t i = 0; i < kitchen->window_count; i++)
        if (kitchen->windows[i].kind != BK_BUSY || l->lane->kind == BK_LANE_HANDS)
            shade(d, &kitchen->windows[i], l->y, l->y + l->height);
    if (l->lane->cook != SIZE_MAX)
        for (size_t i = 0; i < kitchen->people[l->lane->cook].window_count; i++)
            shade(d, &kitchen->people[l->lane->cook].windows[i], l->y, l->y + l->height);
}

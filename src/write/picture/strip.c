/* One strip of the picture: its axis, its ground, its lanes. */
#include "write/picture/svg.h"

#include <inttypes.h>
#include <string.h>

enum {
    ROW = 118, /* of a lane whose rows are places */
    BAR = 104,
    LINE = 116, /* of a lane whose rows are lines of text */
    HANDS_BAR = 76,
    LANE_GAP = 36,
    HEAT = 230,
    PAD = 30,
    ARROW = 50,
    POINT = 25, /* half the width of a reminder's sign */
    AFTER_STRIP = 150,
    MOST_LINES = 3,
    LABEL = 900,
    LEAST_LETTERS = 6,
    NAME_ROOM = BK_SVG_NAMES - 2 * PAD - 20
};

/* A bar where it goes on paper, and its words. */
typedef struct box {
    const bk_bar *bar;
    int x, width;    /* from the strip's left end */
    int left, right; /* with its words */
    size_t row;      /* the first */
    const char *lines[MOST_LINES];
    size_t line_count;
    int words_x;
    bool to_left; /* the words end at words_x */
    bool marked;  /* can start later, and that is the exception */
    bool is_key;
    bool from_before, goes_on; /* cut by the strip's ends */
} box;

typedef struct lane_boxes {
    const bk_lane *lane;
    size_t index; /* in svg.lanes */
    box *items;
    size_t count, room;
    size_t rows;
    bool heat; /* an oven with a setting on this strip */
    int y, height;
} lane_boxes;

struct bk_svg_drawing {
    bk_svg *svg;
    const bk_strip *strip;
    int x0; /* of the plot on the sheet */
    int top, bottom;
    bool serves, grounds;
    lane_boxes *lanes;
    size_t lane_count, lane_room;
};

/* ------------------------------------------------------------------- words */

static const bk_stage *stage_of(const bk_svg *svg, size_t placed)
{
    return &svg->timeline->plan->stages[svg->timeline->stages[placed].stage];
}

static const char *dish_name(bk_svg *svg, size_t dish)
{
    return bk_words_clean(svg->arena, svg->timeline->plan->dishes[dish].name);
}

static const char *part_words(bk_svg *svg, const bk_part *part)
{
    if (part->kind == BK_PART_CHECK)
        return bk_words_clean(svg->arena,
                              svg->timeline->stages[part->placed].checks[part->check].check->text);
    return bk_words_clean(svg->arena, stage_of(svg, part->placed)->text);
}

static char *with_mark(bk_svg *svg, const box *b, char *words)
{
    return b->marked ? bk_format(svg->arena, "%s %s", BK_SVG_LATER, words) : words;
}

/* What a bar of work says: when, what, of which dish. */
static char *work_words(bk_svg *svg, const bk_lane *lane, const box *b)
{
    const bk_bar *bar = b->bar;
    const bk_plan *plan = svg->timeline->plan;
    char *words = bk_copy_string(svg->arena, part_words(svg, &bar->parts[0]));
    if (lane->kind == BK_LANE_HANDS || lane->kind == BK_LANE_LOOK)
        words = bk_format(svg->arena, "%s %s", bk_clock(svg->arena, plan->zone, bar->from), words);
    if (plan->dish_count > 1)
        words = bk_format(svg->arena, "%s (%s)", words, dish_name(svg, bar->dish));
    return with_mark(svg, b, words);
}

static char *thing_words(bk_svg *svg, const bk_lane *lane, const box *b)
{
    const bk_bar *bar = b->bar;
    const char *dish = dish_name(svg, bar->dish);
    char *words = lane->rows == 0 && bar->amount > 1
                      ? bk_format(svg->arena, "%s (%" PRId64 ")", dish, bar->amount)
                      : bk_copy_string(svg->arena, dish);
    return with_mark(svg, b, words);
}

static int width_of_lines(const box *b)
{
    int most = 0;
    for (size_t i = 0; i < b->line_count; i++) {
        int wide = bk_markup_width(b->lines[i], BK_SVG_TEXT, false);
        most = wide > most ? wide : most;
    }
    return most;
}

/* Breaks words into at most MOST_LINES lines of `width`; false where they did not fit, the
 * last then being shortened. */
static bool break_lines(bk_svg *svg, box *b, const char *words, int width)
{
    b->line_count = 0;
    while (words[0] && b->line_count < MOST_LINES) {
        const char *next = NULL;
        size_t length = bk_markup_line(words, BK_SVG_TEXT, false, width, &next);
        bool last = b->line_count + 1 == MOST_LINES && next[0];
        if (length == 0 || last) {
            const char *cut = bk_markup_shorten(svg->arena, words, BK_SVG_TEXT, false, width);
            if (cut[0])
                b->lines[b->line_count++] = cut;
            return false;
        }
        b->lines[b->line_count++] = bk_copy(svg->arena, words, length);
        words = next;
    }
    return true;
}

/* The same on no more lines than that takes, all about as long. */
static void break_evenly(bk_svg *svg, box *b, const char *words, int width)
{
    if (!break_lines(svg, b, words, width) || b->line_count < 2)
        return;
    size_t lines = b->line_count;
    int narrow = width / (int)lines / 2, wide = width;
    for (int i = 0; i < 6; i++) {
        int middle = (narrow + wide) / 2;
        if (break_lines(svg, b, words, middle) && b->line_count <= lines)
            wide = middle;
        else
            narrow = middle;
    }
    break_lines(svg, b, words, wide);
}

/* ------------------------------------------------------------------ layout */

static bool touches(const bk_strip *strip, bk_instant from, bk_instant to)
{
    if (from == to)
        return from >= strip->from && (from < strip->to || strip->from == strip->to);
    return from < strip->to && to > strip->from;
}

static void place_box(const bk_svg_drawing *d, box *b)
{
    const bk_bar *bar = b->bar;
    const bk_part *first = &bar->parts[0];
    b->x = bk_axis_x(d->strip, bar->from);
    b->width = bk_axis_x(d->strip, bar->to) - b->x;
    b->from_before = bar->from < d->strip->from;
    b->goes_on = bar->to > d->strip->to;
    b->marked = d->svg->marks_later && first->kind == BK_PART_STAGE && !b->from_before &&
                d->svg->timeline->stages[first->placed].slack > 0;
    b->left = b->x;
    b->right = b->x + b->width;
    if (bar->from == bar->to) { /* a sign of its own width */
        b->left = b->x > POINT ? b->x - POINT : 0;
        b->right = b->x + POINT;
    }
}

/* Work: its words inside where there is room for them on one line, else beside it, on as
 * many lines as they need. */
static void size_work(bk_svg_drawing *d, const bk_lane *lane, box *b)
{
    bk_svg *svg = d->svg;
    const char *words = work_words(svg, lane, b);
    int one = bk_markup_width(words, BK_SVG_TEXT, false) + 2 * PAD;
    if (lane->kind == BK_LANE_BENCH && one <= b->width) {
        b->lines[b->line_count++] = words;
        b->words_x = b->x + PAD;
        return;
    }
    int ends = b->right + (b->goes_on ? ARROW : 0), behind = BK_SVG_PLOT - ends - 2 * PAD;
    int begins = b->left - (b->from_before ? ARROW : 0), before = begins - 2 * PAD;
    b->to_left = one - 2 * PAD > behind && before > behind;
    int room = b->to_left ? before : behind;
    if (room < LABEL) { /* a bar over most of the strip: inside it, whatever that covers */
        b->to_left = false;
        ends = b->x;
        room = b->width - 2 * PAD;
    }
    break_evenly(svg, b, words, room);
    int wide = width_of_lines(b) + 2 * PAD;
    if (b->to_left) {
        b->words_x = begins - PAD;
        b->left = begins - wide;
    } else {
        b->words_x = ends + PAD;
        b->right = ends + wide > b->right ? ends + wide : b->right;
    }
}

/* First fit, in order of start: no two boxes of a row touch, words counted. */
static void stack_boxes(lane_boxes *l)
{
    for (size_t i = 0; i < l->count; i++) {
        box *b = &l->items[i];
        size_t high = b->line_count > 1 ? b->line_count : 1;
        for (bool clash = true; clash;) {
            clash = false;
            for (size_t k = 0; k < i && !clash; k++) {
                const box *o = &l->items[k];
                size_t other = o->line_count > 1 ? o->line_count : 1;
                clash = o->left < b->right && o->right > b->left && o->row < b->row + high &&
                        b->row < o->row + other;
                if (clash)
                    b->row = o->row + other;
            }
        }
        if (b->row + high > l->rows)
            l->rows = b->row + high;
    }
}

static bool takes_row(const bk_bar *bar, size_t row)
{
    for (size_t i = 0; i < bar->row_count; i++)
        if (bar->rows[i] == row)
            return true;
    return false;
}

/* The stretch around a bar in its first row that is free of others and their words. */
static void free_stretch(const lane_boxes *l, const box *b, int *from, int *to)
{
    *from = 0;
    *to = BK_SVG_PLOT;
    for (size_t i = 0; i < l->count; i++) {
        const box *o = &l->items[i];
        if (o == b || !takes_row(o->bar, b->row))
            continue;
        /* Only words that stand in this row take room in it. */
        int left = o->row == b->row ? o->left : o->x;
        int right = o->row == b->row ? o->right : o->x + o->width;
        if (o->x >= b->x + b->width && left < *to)
            *to = left;
        if (o->x + o->width <= b->x && right > *from)
            *from = right;
    }
}

/* Where words of that width stand best in a bar: at the beginning of the first stretch in
 * which the thing is there, so that no pattern is under them, else of the bar. */
static int plain_stretch(const bk_svg_drawing *d, const box *b, int wide)
{
    int begin = -1;
    for (size_t i = 0; i < b->bar->count; i++) {
        const bk_part *part = &b->bar->parts[i];
        bool plain = part->kind != BK_PART_RESERVED && part->kind != BK_PART_STORED;
        begin = !plain ? -1 : begin < 0 ? bk_axis_x(d->strip, part->from) : begin;
        if (begin >= 0 && bk_axis_x(d->strip, part->to) - begin >= wide)
            return begin;
    }
    return b->x;
}

/* A thing's name: inside, else beside it where the row is free, else shortened, else the
 * number by which it is told below. */
static void name_thing(bk_svg_drawing *d, const lane_boxes *l, box *b)
{
    bk_svg *svg = d->svg;
    const char *words = thing_words(svg, l->lane, b);
    int wide = bk_markup_width(words, BK_SVG_TEXT, false) + 2 * PAD;
    int from, to;
    free_stretch(l, b, &from, &to);
    int ends = b->x + b->width + (b->goes_on ? ARROW : 0);
    int begins = b->x - (b->from_before ? ARROW : 0);
    const char *key = bk_format(svg->arena, "%zu", b->bar->parts[0].placed + 1);
    b->line_count = 1;
    b->lines[0] = words;
    b->words_x = b->x + PAD;
    if (wide <= b->width) {
        b->words_x = plain_stretch(d, b, wide) + PAD;
        return;
    }
    if (wide <= to - ends) {
        b->words_x = ends + PAD;
        b->right = ends + wide;
        return;
    }
    if (wide <= begins - from) {
        b->to_left = true;
        b->words_x = begins - PAD;
        b->left = begins - wide;
        return;
    }
    /* The most room there is, for as much of the name as tells it apart. */
    int room = b->width > to - ends ? b->width : to - ends;
    const char *cut = bk_markup_shorten(svg->arena, words, BK_SVG_TEXT, false, room - 2 * PAD);
    if (strlen(cut) < LEAST_LETTERS + strlen("\xe2\x80\xa6")) {
        b->is_key = true;
        cut = key;
        wide = bk_markup_width(cut, BK_SVG_TEXT, true) + 2 * PAD;
        if (wide > room)
            wide -= PAD;
        if (wide > room) {
            b->line_count = 0;
            b->is_key = false;
            return;
        }
    }
    b->lines[0] = cut;
    if (b->width < to - ends) {
        b->words_x = ends + PAD;
        b->right = ends + wide < to ? ends + wide : to;
    } else if (b->is_key) {
        b->words_x = b->x + (b->width - wide) / 2 + (wide > b->width - PAD ? PAD / 2 : PAD);
    }
}

static bool is_run_of(const bk_oven_run *run, const bk_lane *lane)
{
    return lane->kind == BK_LANE_OVEN && run->equipment == lane->equipment &&
           run->number == lane->number;
}

/* Lines that a lane's name asks for, two at most; what is behind it takes what is left. */
static int name_lines(const bk_lane *lane)
{
    const char *next = NULL;
    bk_markup_line(lane->name, BK_SVG_TEXT, true, NAME_ROOM, &next);
    return next[0] ? 2 : 1;
}

static void lay_out_lane(bk_svg_drawing *d, size_t index)
{
    bk_svg *svg = d->svg;
    const bk_lane *lane = &svg->lanes.items[index];
    lane_boxes found = {.lane = lane, .index = index, .rows = lane->rows};
    for (size_t k = 0; k < lane->count; k++) {
        if (!touches(d->strip, lane->bars[k].from, lane->bars[k].to))
            continue;
        box *b = BK_PUSH(svg->arena, found.items, found.count, found.room);
        b->bar = &lane->bars[k];
        place_box(d, b);
        if (lane->rows > 0)
            b->row = b->bar->rows[0];
    }
    for (size_t k = 0; k < svg->timeline->oven_count; k++)
        if (is_run_of(&svg->timeline->ovens[k], lane) &&
            touches(d->strip, svg->timeline->ovens[k].on, svg->timeline->ovens[k].off))
            found.heat = true;
    if (found.count == 0 && !found.heat)
        return;
    for (size_t k = 0; k < found.count; k++)
        if (lane->rows > 0)
            name_thing(d, &found, &found.items[k]);
        else
            size_work(d, lane, &found.items[k]);
    if (lane->rows == 0)
        stack_boxes(&found);
    int high = (int)found.rows * (lane->rows > 0 ? ROW : LINE) + (found.heat ? HEAT : 0);
    int named = name_lines(lane) * LINE;
    found.height = LANE_GAP + (high > named ? high : named);
    *BK_PUSH(svg->arena, d->lanes, d->lane_count, d->lane_room) = found;
}

static bool has_serve(const bk_svg_drawing *d)
{
    const bk_plan *plan = d->svg->timeline->plan;
    for (size_t i = 0; i < plan->dish_count; i++)
        if (plan->dishes[i].serve > d->strip->from && plan->dishes[i].serve <= d->strip->to)
            return true;
    return false;
}

static bool has_ground(const bk_svg_drawing *d)
{
    const bk_kitchen *kitchen = &d->svg->timeline->plan->kitchen;
    for (size_t i = 0; i < kitchen->window_count; i++)
        if (touches(d->strip, kitchen->windows[i].from, kitchen->windows[i].to))
            return true;
    for (size_t i = 0; i < d->svg->rows.count; i++)
        if (d->svg->rows.items[i].kind == BK_ROW_CLOCK &&
            touches(d->strip, d->svg->rows.items[i].at, d->svg->rows.items[i].at))
            return true;
    return false;
}

bk_svg_drawing *bk_svg_lay_out(bk_svg *svg, const bk_strip *strip)
{
    bk_svg_drawing *d = BK_NEW(svg->arena, bk_svg_drawing, 1);
    *d = (bk_svg_drawing){.svg = svg, .strip = strip, .x0 = svg->left + BK_SVG_NAMES};
    d->serves = has_serve(d);
    d->grounds = has_ground(d);
    for (size_t i = 0; i < svg->lanes.count; i++)
        lay_out_lane(d, i);
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
            const box *b = &drawing->lanes[i].items[k];
            size_t placed = b->bar->parts[0].placed;
            if (b->is_key && !keys->told[placed]) {
                keys->told[placed] = true;
                keys->count++;
            }
        }
}

/* -------------------------------------------------------------- the axis */

static void upright(bk_svg *svg, int x, int from, int to, const char *attributes)
{
    bk_text_addf(svg->out, "<path d=\"M%d %dV%d\" %s/>\n", x, from, to, attributes);
}

static void day_names(bk_svg_drawing *d, int y)
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
        int begin = first ? -BK_SVG_NAMES : x + PAD, room = last - begin - 2 * PAD;
        if (bk_markup_width(name, BK_SVG_TEXT, true) > room)
            name = bk_format(svg->arena, "%.3s", name);
        bool fits = bk_markup_width(name, BK_SVG_TEXT, true) <= room;
        if (fits)
            bk_svg_text(svg, d->x0 + begin, y, BK_SVG_TEXT, "font-weight=\"bold\"", name);
        if (first)
            return;
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
                    "class=\"s\" text-anchor=\"middle\" font-style=\"italic\"", words);
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

static void hours(bk_svg_drawing *d, int y)
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

static void serve_lines(bk_svg_drawing *d, int y)
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
        upright(svg, d->x0 + x, y - 80, y + 20, "class=\"l\" stroke-width=\"18\"");
        upright(svg, d->x0 + x, d->top, d->bottom,
                "class=\"l\" stroke-width=\"18\" stroke-dasharray=\"60 30\"");
        char *name = bk_format(svg->arena, "Serve %s", bk_clock(svg->arena, plan->zone, at));
        int width = bk_markup_width(name, BK_SVG_TEXT, true) + PAD;
        if (x - width >= last && x - width >= -BK_SVG_NAMES) {
            bk_svg_text(svg, d->x0 + x - PAD, y, BK_SVG_TEXT,
                        "font-weight=\"bold\" text-anchor=\"end\"", name);
            last = x;
        }
    }
}

/* ------------------------------------------------------------- the ground */

static void shade(bk_svg_drawing *d, const bk_window *w, int top, int bottom)
{
    int x = bk_axis_x(d->strip, w->from), end = bk_axis_x(d->strip, w->to);
    if (touches(d->strip, w->from, w->to) && end > x)
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
static void window_words(bk_svg_drawing *d, int y)
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
        if (row->kind != BK_ROW_CLOCK || !touches(d->strip, row->at, row->at))
            continue;
        int x = bk_axis_x(d->strip, row->at), minutes = row->shift < 0 ? -row->shift : row->shift;
        char *said = bk_format(svg->arena, "clocks %s %s", row->shift < 0 ? "back" : "forward",
                               bk_minutes(svg->arena, minutes));
        int wide = bk_markup_width(said, BK_SVG_SMALL, true);
        int begin = x + wide + PAD > BK_SVG_PLOT ? x - PAD - wide : x + PAD;
        upright(svg, d->x0 + x, y - 80, d->bottom,
                "class=\"l\" stroke-width=\"10\" stroke-dasharray=\"10 20 40 20\"");
        bk_svg_text(svg, d->x0 + begin, y, BK_SVG_SMALL, "font-weight=\"bold\"", said);
        last = begin + wide + PAD;
    }
    for (size_t i = 0; i < kitchen->window_count; i++) {
        const bk_window *w = &kitchen->windows[i];
        if (!touches(d->strip, w->from, w->to))
            continue;
        int x = bk_axis_x(d->strip, w->from);
        int end = window_end(d, kitchen->windows, kitchen->window_count, i);
        x = x > last ? x : last;
        const char *said = words[w->kind];
        if (bk_markup_width(said, BK_SVG_SMALL, false) > end - x)
            said = shorter[w->kind];
        int wide = bk_markup_width(said, BK_SVG_SMALL, false);
        if (wide > end - x)
            continue;
        bk_svg_text(svg, d->x0 + x + (end - x - wide) / 2, y, BK_SVG_SMALL,
                    "class=\"s\" font-style=\"italic\"", said);
        last = x + (end - x - wide) / 2 + wide + PAD;
    }
}

static void grounds(bk_svg_drawing *d, const lane_boxes *l)
{
    const bk_kitchen *kitchen = &d->svg->timeline->plan->kitchen;
    for (size_t i = 0; i < kitchen->window_count; i++)
        if (kitchen->windows[i].kind != BK_BUSY || l->lane->kind == BK_LANE_HANDS)
            shade(d, &kitchen->windows[i], l->y, l->y + l->height);
    if (l->lane->cook != SIZE_MAX)
        for (size_t i = 0; i < kitchen->people[l->lane->cook].window_count; i++)
            shade(d, &kitchen->people[l->lane->cook].windows[i], l->y, l->y + l->height);
}

/* ------------------------------------------------------------------- heat */

enum { COLD_C = 20, FALLS_MINUTES = 40 };

/* Where a temperature stands in the band of an oven that goes up to `most`. */
static int heat_y(const lane_boxes *l, double celsius, double most)
{
    double part = most > COLD_C ? (celsius - COLD_C) / (most - COLD_C) : 0;
    part = part < 0 ? 0 : part > 1 ? 1 : part;
    return l->y + HEAT - 10 - (int)(part * (HEAT - 50) + 0.5);
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
    if (!touches(d->strip, from, to) && from != to)
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
    int room = end - from - PAD;
    if (run->on < d->strip->from || bk_markup_width(words, BK_SVG_SMALL, false) > room)
        words = heat;
    if (bk_markup_width(words, BK_SVG_SMALL, false) > room)
        words[strcspn(words, "(f")] = '\0'; /* the dial's number alone */
    if (bk_markup_width(words, BK_SVG_SMALL, false) <= room)
        bk_svg_text(svg, d->x0 + from + PAD / 2, y + 95, BK_SVG_SMALL, "class=\"n\"", words);
}

static void heat_line(bk_svg_drawing *d, const lane_boxes *l)
{
    const bk_timeline *t = d->svg->timeline;
    const bk_equipment *oven = &t->plan->kitchen.equipment[l->lane->equipment];
    double most = COLD_C, before = COLD_C;
    for (size_t i = 0; i < t->oven_count; i++)
        if (is_run_of(&t->ovens[i], l->lane) && t->ovens[i].temperature_c > most)
            most = t->ovens[i].temperature_c;
    d->svg->signs.heat = true;
    for (size_t i = 0; i < t->oven_count; i++) {
        const bk_oven_run *run = &t->ovens[i];
        if (!is_run_of(run, l->lane))
            continue;
        const bk_oven_run *next =
            i + 1 < t->oven_count && is_run_of(run + 1, l->lane) ? run + 1 : NULL;
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
        bool next = i + 1 < t->oven_count && is_run_of(run + 1, l->lane);
        if (is_run_of(run, l->lane) && touches(d->strip, run->on, run->off))
            heat_words(d, run, heat_y(l, run->temperature_c, most),
                       next ? bk_axis_x(d->strip, run[1].on) : BK_SVG_PLOT);
    }
}

/* ------------------------------------------------------------------- bars */

static char *tooltip(bk_svg *svg, const bk_bar *bar)
{
    const bk_plan *plan = svg->timeline->plan;
    static const char *const what[] = {[BK_PART_STAYS] = "stays in its place",
                                       [BK_PART_RESERVED] = "its place is kept",
                                       [BK_PART_STORED] = "ready, kept until served"};
    bk_text out = bk_text_new(svg->arena);
    bk_text_addf(&out, "%s: ", dish_name(svg, bar->dish));
    for (size_t i = 0; i < bar->count; i++) {
        const bk_part *part = &bar->parts[i];
        bool said = part->kind == BK_PART_STAGE || part->kind == BK_PART_CHECK;
        bk_text_addf(&out, "%s%s, %s to %s", i > 0 ? "; " : "",
                     said ? part_words(svg, part) : what[part->kind],
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
static void draw_rect(bk_svg_drawing *d, const lane_boxes *l, const box *b, int top, int high,
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
        if (!touches(d->strip, part->from, part->to) || to <= from)
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

static void draw_words(bk_svg_drawing *d, const lane_boxes *l, const box *b, int top)
{
    bk_svg *svg = d->svg;
    svg->signs.later |= b->marked && b->line_count > 0 && !b->is_key;
    int x = d->x0 + b->words_x, row = l->lane->rows > 0 ? ROW : LINE;
    int high = l->lane->rows > 0 ? BAR : LINE;
    for (size_t i = 0; i < b->line_count; i++) {
        const char *more = b->is_key ? " font-weight=\"bold\"" : "";
        bk_text_addf(svg->out, "<text x=\"%d\" y=\"%d\" font-size=\"%d\" class=\"n\"%s%s>", x,
                     top + high / 2 + BK_SVG_TEXT * 35 / 100 + (int)i * row, BK_SVG_TEXT, more,
                     b->to_left ? " text-anchor=\"end\"" : "");
        bk_markup_add(svg->out, b->lines[i]);
        bk_text_add(svg->out, "</text>");
    }
}

static void reminders(bk_svg_drawing *d, const box *b, int top)
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

static void draw_box(bk_svg_drawing *d, const lane_boxes *l, const box *b)
{
    bk_svg *svg = d->svg;
    bool counted = l->lane->rows > 0, hands = l->lane->kind == BK_LANE_HANDS;
    int row = counted ? ROW : LINE, high = hands ? HANDS_BAR : counted ? BAR : LINE - 12;
    int base = l->y + LANE_GAP / 2 + (l->heat ? HEAT : 0), top = base;
    bk_text_addf(svg->out,
                 "<g class=\"thing\" data-lane=\"%zu\" data-from=\"%" PRId64 "\" data-to=\"%" PRId64
                 "\" data-amount=\"%" PRId64 "\"><title>",
                 l->index, b->bar->from, b->bar->to, b->bar->amount);
    bk_markup_add(svg->out, tooltip(svg, b->bar));
    bk_text_add(svg->out, "</title>");
    if (!counted) {
        top = base + (int)b->row * row + (row - high) / 2;
        draw_rect(d, l, b, top, high, 1);
        draw_words(d, l, b, base + (int)b->row * row);
    } else {
        for (size_t i = 0, count; i < b->bar->row_count; i += count) {
            for (count = 1; i + count < b->bar->row_count &&
                            b->bar->rows[i + count] == b->bar->rows[i] + count;)
                count++;
            draw_rect(d, l, b, base + (int)b->bar->rows[i] * row + (row - high) / 2,
                      ((int)count - 1) * row + high, count);
        }
        top = base + (int)b->row * row + (row - high) / 2;
        draw_words(d, l, b, top);
    }
    if (l->lane->kind != BK_LANE_TOOL)
        reminders(d, b, top);
    bk_text_add(svg->out, "</g>\n");
}

static void lane_name(bk_svg *svg, const lane_boxes *l)
{
    int room = NAME_ROOM, y = l->y + LANE_GAP / 2 + 90 + (l->heat ? HEAT : 0);
    int lines = (l->height - LANE_GAP) / LINE, used = 0;
    if (l->heat) { /* beside the line of its temperature */
        y -= HEAT;
        lines += 1;
    }
    bool detail = l->lane->detail[0] && lines > 1;
    const char *name = l->lane->name;
    while (name[0] && used + (detail ? 1 : 0) < lines) {
        const char *next = NULL;
        size_t length = bk_markup_line(name, BK_SVG_TEXT, true, room, &next);
        const char *words = bk_copy(svg->arena, name, length);
        if (length == 0 || (used + 1 + (detail ? 1 : 0) == lines && next[0])) {
            words = bk_markup_shorten(svg->arena, name, BK_SVG_TEXT, true, room);
            next = "";
        }
        bk_svg_text(svg, svg->left, y + used * LINE, BK_SVG_TEXT, "font-weight=\"bold\"", words);
        used++;
        name = next;
    }
    if (detail)
        bk_svg_text(svg, svg->left, y + used * LINE, BK_SVG_SMALL, "class=\"s\"",
                    bk_markup_shorten(svg->arena, l->lane->detail, BK_SVG_SMALL, false, room));
}

/* The lane's own ground, and a rule for each place in it. */
static void lane_ground(bk_svg_drawing *d, const lane_boxes *l)
{
    bk_svg *svg = d->svg;
    int base = l->y + LANE_GAP / 2 + (l->heat ? HEAT : 0);
    grounds(d, l);
    bk_text_addf(svg->out,
                 "<rect x=\"%d\" y=\"%d\" width=\"%d\" height=\"%d\" class=\"lane\" "
                 "fill=\"none\" data-lane=\"%zu\" data-rows=\"%zu\" data-name=\"",
                 d->x0, base, BK_SVG_PLOT, (int)l->rows * (l->lane->rows > 0 ? ROW : LINE),
                 l->index, l->lane->rows);
    bk_markup_add(svg->out, l->lane->name);
    bk_text_add(svg->out, "\"/>\n");
    for (size_t i = 1; i < l->lane->rows; i++)
        bk_text_addf(svg->out, "<path d=\"M%d %dh%d\" class=\"t\" stroke-width=\"4\"/>\n", d->x0,
                     base + (int)i * ROW, BK_SVG_PLOT);
}

static void rule(bk_svg *svg, int y, int thick)
{
    bk_text_addf(svg->out, "<path d=\"M%d %dh%d\" class=\"l\" stroke-width=\"%d\"/>\n", svg->left,
                 y, BK_SVG_WIDTH, thick);
}

/* ------------------------------------------------------------------ strips */

/* Rows above the lanes. Returns where the lanes begin. */
static int axis_rows(const bk_svg_drawing *d, int y, int *day_y, int *serve_y, int *ground_y)
{
    *day_y = y + 95;
    *serve_y = *day_y + (d->serves ? 120 : 0);
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
    hours(d, serve_y + 120);
    day_names(d, day_y);
    serve_lines(d, serve_y);
    window_words(d, ground_y);
    rule(svg, d->top, 10);
    for (size_t i = first; i < last; i++) {
        rule(svg, d->lanes[i].y + d->lanes[i].height, 5);
        lane_name(svg, &d->lanes[i]);
        if (d->lanes[i].heat)
            heat_line(d, &d->lanes[i]);
        for (size_t k = 0; k < d->lanes[i].count; k++)
            draw_box(d, &d->lanes[i], &d->lanes[i].items[k]);
    }
    bk_text_add(svg->out, "</g>\n");
    bk_svg_strip_keys(d, first, last, &svg->keys);
    svg->y = d->bottom + AFTER_STRIP;
}

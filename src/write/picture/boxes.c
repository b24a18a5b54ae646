/* Where each bar of a strip stands, and its words: inside it, beside it, on how many lines. */
#include "write/picture/strip.h"

#include <inttypes.h>
#include <string.h>

enum {
    ARROW = 50,
    POINT = 25,  /* half the width of a reminder's sign */
    LEAST = 900, /* room that words beside a bar need */
    LEAST_LETTERS = 6
};

/* ------------------------------------------------------------------- words */

static const bk_stage *stage_of(const bk_svg *svg, size_t placed)
{
    return &svg->timeline->plan->stages[svg->timeline->stages[placed].stage];
}

const char *bk_svg_dish(bk_svg *svg, size_t dish)
{
    return bk_words_clean(svg->arena, svg->timeline->plan->dishes[dish].name);
}

const char *bk_svg_part_words(bk_svg *svg, const bk_part *part)
{
    if (part->kind == BK_PART_CHECK)
        return bk_words_clean(svg->arena,
                              svg->timeline->stages[part->placed].checks[part->check].check->text);
    return bk_words_clean(svg->arena, stage_of(svg, part->placed)->text);
}

static char *with_mark(bk_svg *svg, const bk_box *b, char *words)
{
    return b->marked ? bk_format(svg->arena, "%s %s", BK_SVG_LATER, words) : words;
}

/* What a bar of work says: when, what, of which dish. */
static char *work_words(bk_svg *svg, const bk_lane *lane, const bk_box *b)
{
    const bk_bar *bar = b->bar;
    const bk_plan *plan = svg->timeline->plan;
    char *words = bk_copy_string(svg->arena, bk_svg_part_words(svg, &bar->parts[0]));
    if (lane->kind == BK_LANE_HANDS || lane->kind == BK_LANE_LOOK)
        words = bk_format(svg->arena, "%s %s", bk_clock(svg->arena, plan->zone, bar->from), words);
    if (plan->dish_count > 1)
        words = bk_format(svg->arena, "%s (%s)", words, bk_svg_dish(svg, bar->dish));
    return with_mark(svg, b, words);
}

static char *thing_words(bk_svg *svg, const bk_lane *lane, const bk_box *b)
{
    const bk_bar *bar = b->bar;
    const char *dish = bk_svg_dish(svg, bar->dish);
    char *words = lane->rows == 0 && bar->amount > 1
                      ? bk_format(svg->arena, "%s (%" PRId64 ")", dish, bar->amount)
                      : bk_copy_string(svg->arena, dish);
    return with_mark(svg, b, words);
}

static int width_of_lines(const bk_box *b)
{
    int most = 0;
    for (size_t i = 0; i < b->line_count; i++) {
        int wide = bk_markup_width(b->lines[i], BK_SVG_TEXT, false);
        most = wide > most ? wide : most;
    }
    return most;
}

/* Breaks words into at most BK_STRIP_LINES lines of `width`; false where they did not fit, the
 * last then being shortened. */
static bool break_lines(bk_svg *svg, bk_box *b, const char *words, int width)
{
    b->line_count = 0;
    while (words[0] && b->line_count < BK_STRIP_LINES) {
        const char *next = NULL;
        size_t length = bk_markup_line(words, BK_SVG_TEXT, false, width, &next);
        bool last = b->line_count + 1 == BK_STRIP_LINES && next[0];
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
static void break_evenly(bk_svg *svg, bk_box *b, const char *words, int width)
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

bool bk_svg_touches(const bk_strip *strip, bk_instant from, bk_instant to)
{
    if (from == to)
        return from >= strip->from && (from < strip->to || strip->from == strip->to);
    return from < strip->to && to > strip->from;
}

static void place_box(const bk_svg_drawing *d, bk_box *b)
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

/* The first stretch of a bar in which the thing is there and words of that width have room,
 * so that no pattern is under them; -1 where there is none. */
static int plain_stretch(const bk_svg_drawing *d, const bk_box *b, int wide)
{
    int begin = -1;
    bool all = true;
    for (size_t i = 0; i < b->bar->count; i++) {
        const bk_part *part = &b->bar->parts[i];
        bool plain = part->kind != BK_PART_RESERVED && part->kind != BK_PART_STORED;
        if (!bk_svg_touches(d->strip, part->from, part->to))
            continue;
        all = all && plain;
        begin = !plain ? -1 : begin < 0 ? bk_axis_x(d->strip, part->from) : begin;
        if (begin >= 0 && bk_axis_x(d->strip, part->to) - begin >= wide)
            return begin;
    }
    return all && wide <= b->width ? b->x : -1;
}

/* Work: its words inside where there is room for them on one line, else beside it, on as
 * many lines as they need. */
static void size_work(bk_svg_drawing *d, const bk_lane *lane, bk_box *b)
{
    bk_svg *svg = d->svg;
    bool work = lane->kind == BK_LANE_HANDS || lane->kind == BK_LANE_LOOK;
    bool thing = !work && lane->kind != BK_LANE_BENCH;
    const char *words = thing ? thing_words(svg, lane, b) : work_words(svg, lane, b);
    int one = bk_markup_width(words, BK_SVG_TEXT, false) + 2 * BK_STRIP_PAD;
    int plain = work ? -1 : plain_stretch(d, b, one);
    if (plain >= 0) {
        b->lines[b->line_count++] = words;
        b->words_x = plain + BK_STRIP_PAD;
        b->inside = true;
        return;
    }
    int ends = b->right + (b->goes_on ? ARROW : 0), behind = BK_SVG_PLOT - ends - 2 * BK_STRIP_PAD;
    int begins = b->left - (b->from_before ? ARROW : 0), before = begins - 2 * BK_STRIP_PAD;
    b->to_left = one - 2 * BK_STRIP_PAD > behind && before > behind;
    int room = b->to_left ? before : behind;
    if (room < LEAST) { /* a bar over most of the strip: inside it, whatever that covers */
        b->to_left = false;
        ends = b->x;
        room = b->width - 2 * BK_STRIP_PAD;
    }
    break_evenly(svg, b, words, room);
    int wide = width_of_lines(b) + 2 * BK_STRIP_PAD;
    if (b->to_left) {
        b->words_x = begins - BK_STRIP_PAD;
        b->left = begins - wide;
    } else {
        b->words_x = ends + BK_STRIP_PAD;
        b->right = ends + wide > b->right ? ends + wide : b->right;
    }
}

static size_t lines_of(const bk_box *b)
{
    return b->line_count > 1 ? b->line_count : 1;
}

/* Which boxes stand in each row, so that a row is asked about its own alone. */
typedef struct row_list {
    size_t *items;
    size_t count, room;
} row_list;

static bool row_is_free(const bk_lane_boxes *l, const row_list *row, const bk_box *b)
{
    for (size_t i = 0; i < row->count; i++) {
        const bk_box *other = &l->items[row->items[i]];
        if (other->left < b->right && other->right > b->left)
            return false;
    }
    return true;
}

/* First fit, in order of start: no two boxes of a row touch, words counted. */
static void stack_boxes(bk_arena *arena, bk_lane_boxes *l)
{
    row_list *rows = NULL;
    size_t count = 0, room = 0;
    for (size_t i = 0; i < l->count; i++) {
        bk_box *b = &l->items[i];
        size_t high = lines_of(b), clear = 0;
        for (b->row = 0; b->row + clear < count && clear < high;) {
            if (row_is_free(l, &rows[b->row + clear], b)) {
                clear++;
            } else {
                b->row += clear + 1;
                clear = 0;
            }
        }
        while (count < b->row + high)
            BK_PUSH(arena, rows, count, room);
        for (size_t k = 0; k < high; k++) {
            row_list *row = &rows[b->row + k];
            *BK_PUSH(arena, row->items, row->count, row->room) = i;
        }
    }
    l->rows = count;
}

static bool takes_row(const bk_bar *bar, size_t row)
{
    for (size_t i = 0; i < bar->row_count; i++)
        if (bar->rows[i] == row)
            return true;
    return false;
}

/* The stretch around a bar in a row of its own that is free of others and their words. */
static void free_stretch(const bk_lane_boxes *l, const bk_box *b, size_t row, int *from, int *to)
{
    *from = 0;
    *to = BK_SVG_PLOT;
    for (size_t i = 0; i < l->count; i++) {
        const bk_box *o = &l->items[i];
        if (o == b || !takes_row(o->bar, row))
            continue;
        /* Only words that stand in this row take room in it. */
        int left = o->row == row ? o->left : o->x;
        int right = o->row == row ? o->right : o->x + o->width;
        if (o->x >= b->x + b->width && left < *to)
            *to = left;
        if (o->x + o->width <= b->x && right > *from)
            *from = right;
    }
}

/* Beside a bar, in one of its rows that is free there; false where it is not. */
static bool name_beside(const bk_lane_boxes *l, bk_box *b, int wide)
{
    int ends = b->x + b->width + (b->goes_on ? ARROW : 0);
    int begins = b->x - (b->from_before ? ARROW : 0);
    for (size_t i = 0; i < b->bar->row_count; i++) {
        int from, to;
        free_stretch(l, b, b->bar->rows[i], &from, &to);
        b->to_left = wide > to - ends;
        if (b->to_left && wide > begins - from)
            continue;
        b->row = b->bar->rows[i];
        b->words_x = b->to_left ? begins - BK_STRIP_PAD : ends + BK_STRIP_PAD;
        b->left = b->to_left ? begins - wide : b->x;
        b->right = b->to_left ? b->x + b->width : ends + wide;
        return true;
    }
    b->to_left = false;
    return false;
}

/* As much of a name as tells it apart, else the number by which it is told below, where
 * there is the most room; nothing where there is none at all. */
static void name_shortly(bk_svg_drawing *d, const bk_lane_boxes *l, bk_box *b, const char *words)
{
    bk_svg *svg = d->svg;
    int from, to, ends = b->x + b->width + (b->goes_on ? ARROW : 0);
    free_stretch(l, b, b->row, &from, &to);
    bool inside = b->width > to - ends;
    int room = (inside ? b->width : to - ends) - BK_STRIP_PAD;
    const char *cut = bk_markup_shorten(svg->arena, words, BK_SVG_TEXT, false, room - BK_STRIP_PAD);
    b->is_key = strlen(cut) < LEAST_LETTERS + strlen("\xe2\x80\xa6");
    if (b->is_key)
        cut = bk_format(svg->arena, "%zu", b->bar->parts[0].placed + 1);
    int wide = bk_markup_width(cut, BK_SVG_TEXT, b->is_key);
    if (wide > room) {
        b->line_count = 0;
        b->is_key = false;
        return;
    }
    b->lines[0] = cut;
    b->inside = inside;
    b->words_x =
        inside ? b->x + BK_STRIP_PAD / 2 + (wide + BK_STRIP_PAD <= room ? BK_STRIP_PAD / 2 : 0)
               : ends + BK_STRIP_PAD;
    if (!inside)
        b->right = b->words_x + wide;
}

/* A thing's name: inside where it is there, else beside it, else over a pattern, else
 * shortened. */
static void name_thing(bk_svg_drawing *d, const bk_lane_boxes *l, bk_box *b)
{
    const char *words = thing_words(d->svg, l->lane, b);
    int wide = bk_markup_width(words, BK_SVG_TEXT, false) + 2 * BK_STRIP_PAD;
    int plain = plain_stretch(d, b, wide);
    b->line_count = 1;
    b->lines[0] = words;
    b->inside = plain >= 0;
    b->words_x = (plain >= 0 ? plain : b->x) + BK_STRIP_PAD;
    if (plain < 0 && !name_beside(l, b, wide) && wide > b->width)
        name_shortly(d, l, b, words);
}

bool bk_svg_is_run_of(const bk_oven_run *run, const bk_lane *lane)
{
    return lane->kind == BK_LANE_OVEN && run->equipment == lane->equipment &&
           run->number == lane->number;
}

/* Lines that a lane's name asks for, two at most, and how many places there are where that
 * is not seen. */
static int name_lines(const bk_lane *lane)
{
    const char *next = NULL;
    bk_markup_line(lane->name, BK_SVG_TEXT, true, BK_STRIP_NAME, &next);
    return (next[0] ? 2 : 1) + (lane->rows == 0 && lane->detail[0]);
}

void bk_svg_lay_out_lane(bk_svg_drawing *d, size_t index)
{
    bk_svg *svg = d->svg;
    const bk_lane *lane = &svg->lanes.items[index];
    bk_lane_boxes found = {.lane = lane, .index = index, .rows = lane->rows};
    for (size_t k = 0; k < lane->count; k++) {
        if (!bk_svg_touches(d->strip, lane->bars[k].from, lane->bars[k].to))
            continue;
        bk_box *b = BK_PUSH(svg->arena, found.items, found.count, found.room);
        b->bar = &lane->bars[k];
        place_box(d, b);
        if (lane->rows > 0)
            b->row = b->bar->rows[0];
    }
    for (size_t k = 0; k < svg->timeline->oven_count; k++)
        if (bk_svg_is_run_of(&svg->timeline->ovens[k], lane) &&
            bk_svg_touches(d->strip, svg->timeline->ovens[k].on, svg->timeline->ovens[k].off))
            found.heat = true;
    if (found.count == 0 && !found.heat)
        return;
    for (size_t k = 0; k < found.count; k++)
        if (lane->rows > 0)
            name_thing(d, &found, &found.items[k]);
        else
            size_work(d, lane, &found.items[k]);
    if (lane->rows == 0)
        stack_boxes(svg->arena, &found);
    int high = (int)found.rows * (lane->rows > 0 ? BK_STRIP_ROW : BK_STRIP_LINE) +
               (found.heat ? BK_STRIP_HEAT : 0);
    int named = name_lines(lane) * BK_STRIP_LINE;
    found.height = BK_STRIP_GAP + (high > named ? high : named);
    *BK_PUSH(svg->arena, d->lanes, d->lane_count, d->lane_room) = found;
}

/* Where each bar of a strip stands, and its words: inside it, beside it, on how many lines. */
#include "write/picture/strip.h"

#include <inttypes.h>
#include <string.h>

enum {
    ARROW = 50,
    POINT = 25,  /* half the width of a reminder's sign */
    WIDE = 2000, /* room that words below a bar have at least */
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

/* What a bar of work says: when, what, of which dish unless that says so. */
static char *work_words(bk_svg *svg, const bk_lane *lane, const bk_box *b)
{
    const bk_bar *bar = b->bar;
    const bk_plan *plan = svg->timeline->plan;
    char *words = bk_copy_string(svg->arena, bk_svg_part_words(svg, &bar->parts[0]));
    bool told = plan->dish_count == 1 || bk_tells_dish(&svg->telling, bar->dish, words);
    if (lane->kind == BK_LANE_HANDS || lane->kind == BK_LANE_LOOK)
        words = bk_format(svg->arena, "%s %s", bk_clock(svg->arena, plan->zone, bar->from), words);
    if (!told)
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

/* Lines that whole words take at that width; more than BK_STRIP_LINES for all that are more, and
 * where a word is wider. */
static size_t count_lines(const char *words, int width)
{
    size_t count = 0;
    while (words[0] && count <= BK_STRIP_LINES) {
        const char *next = NULL;
        size_t length = bk_markup_line(words, BK_SVG_TEXT, false, width, &next);
        if (length == 0 || (next[0] && next == words + length))
            return BK_STRIP_LINES + 1;
        words = next;
        count++;
    }
    return count;
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

/* Breaks words into exactly `lines` lines of whole words that are as narrow as can be and no wider
 * than `width`; false where there is no such way. */
static bool break_into(bk_svg *svg, bk_box *b, const char *words, int width, size_t lines)
{
    enum { HALVINGS = 8 };
    if (width <= 0 || count_lines(words, width) > lines)
        return false;
    int narrow = 0, wide = width;
    for (int i = 0; i < HALVINGS; i++) {
        int middle = (narrow + wide) / 2;
        if (count_lines(words, middle) <= lines)
            wide = middle;
        else
            narrow = middle;
    }
    return count_lines(words, wide) == lines && break_lines(svg, b, words, wide);
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

/* The words end beside the bar, on that side of it. */
static void stand_beside(bk_box *b, bool to_left)
{
    int wide = width_of_lines(b) + 2 * BK_STRIP_PAD;
    int ends = b->x + b->width + (b->goes_on ? ARROW : 0);
    int begins = b->x - (b->from_before ? ARROW : 0);
    if (b->width == 0) { /* a sign of its own width */
        ends = b->right;
        begins = b->left;
    }
    b->to_left = to_left;
    b->words_x = to_left ? begins - BK_STRIP_PAD : ends + BK_STRIP_PAD;
    if (to_left)
        b->left = begins - wide;
    else if (ends + wide > b->right)
        b->right = ends + wide;
}

/* Words that stand whole neither in the bar nor beside it: below it; shortened where that, too, is
 * not enough. */
static void stand_below(bk_svg *svg, bk_box *b, const char *words)
{
    int x = b->x < BK_SVG_PLOT - WIDE ? b->x : BK_SVG_PLOT - WIDE;
    int room = BK_SVG_PLOT - x - 2 * BK_STRIP_PAD;
    b->below = true;
    b->shortened = !break_lines(svg, b, words, room);
    b->words_x = x + BK_STRIP_PAD;
    b->left = x < b->left ? x : b->left;
    int wide = width_of_lines(b) + 2 * BK_STRIP_PAD;
    b->right = x + wide > b->right ? x + wide : b->right;
}

typedef struct box_ways {
    bk_box items[2 * BK_STRIP_LINES];
    size_t count;
} box_ways;

/* The ways in which the words of work can stand: inside the bar, where there is room for them on
 * one line, else beside it, to its right or left, on one line or more. */
static void find_ways(bk_svg_drawing *d, const bk_lane *lane, const bk_box *b, box_ways *ways)
{
    bk_svg *svg = d->svg;
    bool work = lane->kind == BK_LANE_HANDS || lane->kind == BK_LANE_LOOK;
    bool thing = !work && lane->kind != BK_LANE_BENCH;
    const char *words = thing ? thing_words(svg, lane, b) : work_words(svg, lane, b);
    int one = bk_markup_width(words, BK_SVG_TEXT, false) + 2 * BK_STRIP_PAD;
    int plain = work ? -1 : plain_stretch(d, b, one);
    bk_box *first = &ways->items[0];
    *first = *b;
    ways->count = 1;
    if (plain >= 0) {
        first->lines[first->line_count++] = words;
        first->words_x = plain + BK_STRIP_PAD;
        first->inside = true;
        return;
    }
    int behind = BK_SVG_PLOT - b->right - (b->goes_on ? ARROW : 0) - 2 * BK_STRIP_PAD;
    int before = b->left - (b->from_before ? ARROW : 0) - 2 * BK_STRIP_PAD;
    ways->count = 0;
    for (size_t lines = 1; lines <= BK_STRIP_LINES; lines++)
        for (int to_left = 0; to_left < 2; to_left++) {
            bk_box *way = &ways->items[ways->count];
            *way = *b;
            if (!break_into(svg, way, words, to_left ? before : behind, lines))
                continue;
            stand_beside(way, to_left);
            ways->count++;
        }
    if (ways->count > 0)
        return;
    *first = *b;
    ways->count = 1;
    stand_below(svg, first, words);
}

static size_t lines_of(const bk_box *b)
{
    return b->below ? b->line_count + 1 : b->line_count > 1 ? b->line_count : 1;
}

/* Which boxes stand in each row, so that a row is asked about its own alone. */
typedef struct row_list {
    size_t *items;
    size_t count, room;
} row_list;

typedef struct stack {
    bk_box *boxes; /* those that have their rows */
    row_list *rows;
    size_t count, room;
} stack;

static bool row_is_free(const stack *s, const row_list *row, const bk_box *b)
{
    for (size_t i = 0; i < row->count; i++) {
        const bk_box *other = &s->boxes[row->items[i]];
        if (other->left < b->right && other->right > b->left)
            return false;
    }
    return true;
}

/* The first row from which on a box touches no other, words counted. */
static size_t first_row(const stack *s, const bk_box *b)
{
    size_t high = lines_of(b), row = 0, clear = 0;
    while (row + clear < s->count && clear < high) {
        if (row_is_free(s, &s->rows[row + clear], b)) {
            clear++;
        } else {
            row += clear + 1;
            clear = 0;
        }
    }
    return row;
}

/* Puts boxes in rows one after the other, each the way that ends highest; of ways that are wider
 * than `most` only the first of a box that has no other. */
static stack stack_boxes(bk_arena *arena, const box_ways *ways, size_t count, int most)
{
    stack s = {.boxes = BK_NEW(arena, bk_box, count)};
    for (size_t i = 0; i < count; i++) {
        size_t best_end = SIZE_MAX;
        for (size_t k = 0; k < ways[i].count; k++) {
            const bk_box *way = &ways[i].items[k];
            if (best_end != SIZE_MAX && way->right - way->left > most)
                continue;
            size_t row = first_row(&s, way), end = row + lines_of(way);
            bool narrows = best_end != SIZE_MAX && s.boxes[i].right - s.boxes[i].left > most;
            if (end >= best_end && !narrows)
                continue;
            best_end = end;
            s.boxes[i] = *way;
            s.boxes[i].row = row;
        }
        while (s.count < best_end)
            BK_PUSH(arena, s.rows, s.count, s.room);
        for (size_t k = s.boxes[i].row; k < best_end; k++)
            *BK_PUSH(arena, s.rows[k].items, s.rows[k].count, s.rows[k].room) = i;
    }
    return s;
}

/* Bars that stand apart: of a few widths that no words may pass, the one that takes the fewest
 * rows. */
static void stand_apart(bk_svg_drawing *d, const bk_lane *lane, bk_lane_boxes *l)
{
    enum { PARTS = 6, LEAST_PARTS = 2 };
    bk_arena *arena = d->svg->arena;
    box_ways *ways = BK_NEW(arena, box_ways, l->count);
    for (size_t i = 0; i < l->count; i++)
        find_ways(d, lane, &l->items[i], &ways[i]);
    l->rows = SIZE_MAX;
    for (int part = PARTS; part >= LEAST_PARTS; part--) {
        stack s = stack_boxes(arena, ways, l->count, BK_SVG_PLOT * part / PARTS);
        if (s.count >= l->rows)
            continue;
        l->rows = s.count;
        memcpy(l->items, s.boxes, l->count * sizeof *l->items);
    }
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

/* Beside a bar, in one of its rows that is free there, on that many lines; false where it is
 * not. */
static bool name_beside(bk_svg *svg, const bk_lane_boxes *l, bk_box *b, const char *words,
                        size_t lines)
{
    int ends = b->x + b->width + (b->goes_on ? ARROW : 0);
    int begins = b->x - (b->from_before ? ARROW : 0);
    for (size_t i = 0; i < b->bar->row_count; i++) {
        int from, to;
        free_stretch(l, b, b->bar->rows[i], &from, &to);
        for (int to_left = 0; to_left < 2; to_left++) {
            int room = (to_left ? begins - from : to - ends) - 2 * BK_STRIP_PAD;
            if (!break_into(svg, b, words, room, lines))
                continue;
            b->row = b->bar->rows[i];
            stand_beside(b, to_left);
            return true;
        }
    }
    return false;
}

/* Inside a bar on that many lines, where the thing is there; else over a pattern. */
static bool name_inside(bk_svg_drawing *d, bk_box *b, const char *words, size_t lines, bool plain)
{
    if (!break_into(d->svg, b, words, b->width - 2 * BK_STRIP_PAD, lines))
        return false;
    int at = plain_stretch(d, b, width_of_lines(b) + 2 * BK_STRIP_PAD);
    if (plain && at < 0)
        return false;
    b->inside = plain;
    b->words_x = (plain ? at : b->x) + BK_STRIP_PAD;
    return true;
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
    b->shortened = true;
    b->line_count = 1;
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

/* A thing's name: inside where it is there, else beside it, else over a pattern; the same on more
 * lines, in a higher row; shortened where all that is too wide. */
static void name_thing(bk_svg_drawing *d, const bk_lane_boxes *l, bk_box *b)
{
    const char *words = thing_words(d->svg, l->lane, b);
    for (size_t lines = 1; lines <= BK_STRIP_LINES; lines++)
        if (name_inside(d, b, words, lines, true) || name_beside(d->svg, l, b, words, lines) ||
            name_inside(d, b, words, lines, false))
            return;
    name_shortly(d, l, b, words);
}

/* A row is as high as the words in it; a place with nothing in it is only to be counted. */
static void place_rows(bk_arena *arena, bk_lane_boxes *l)
{
    l->tops = BK_NEW(arena, int, l->rows + 1);
    for (size_t r = 0; r < l->rows; r++)
        l->tops[r + 1] = BK_STRIP_FREE;
    for (size_t i = 0; i < l->count; i++) {
        const bk_box *b = &l->items[i];
        for (size_t k = 0; k < b->bar->row_count; k++) {
            int *high = &l->tops[b->bar->rows[k] + 1];
            *high = *high > BK_STRIP_ROW ? *high : BK_STRIP_ROW;
        }
        int need = BK_STRIP_ROW + ((int)lines_of(b) - 1) * BK_STRIP_LINE;
        if (l->tops[b->row + 1] < need)
            l->tops[b->row + 1] = need;
    }
    for (size_t r = 0; r < l->rows; r++)
        l->tops[r + 1] += l->tops[r];
}

int bk_svg_row_top(const bk_lane_boxes *l, size_t row)
{
    return l->tops ? l->tops[row] : (int)row * BK_STRIP_LINE;
}

bool bk_svg_is_run_of(const bk_oven_run *run, const bk_lane *lane)
{
    return lane->kind == BK_LANE_OVEN && run->equipment == lane->equipment &&
           run->number == lane->number;
}

int bk_svg_name_lines(const bk_lane *lane)
{
    const char *name = lane->name;
    int lines = 0;
    while (name[0] && lines < BK_STRIP_LINES &&
           bk_markup_line(name, BK_SVG_TEXT, true, BK_STRIP_NAME, &name) > 0)
        lines++;
    return lines > 0 ? lines : 1;
}

/* How many places there are is told where that is not seen, and else where there is room. */
static int named_height(const bk_lane *lane)
{
    bool told = lane->rows == 0 && lane->detail[0];
    return (bk_svg_name_lines(lane) + told) * BK_STRIP_LINE;
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
    for (size_t k = 0; k < found.count && lane->rows > 0; k++)
        name_thing(d, &found, &found.items[k]);
    if (lane->rows > 0)
        place_rows(svg->arena, &found);
    else if (found.count > 0)
        stand_apart(d, lane, &found);
    int high = bk_svg_row_top(&found, found.rows) + (found.heat ? BK_STRIP_HEAT : 0);
    int named = named_height(lane);
    bk_svg_find_courses(d, &found);
    found.height =
        BK_STRIP_GAP + (high > named ? high : named) + (int)found.course_rows * BK_STRIP_COURSE;
    *BK_PUSH(svg->arena, d->lanes, d->lane_count, d->lane_room) = found;
}

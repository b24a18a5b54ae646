/* Lines of cells, a lane after the other; a bar is at least one column wide. */
#include "write/picture/chart.h"
#include "write/picture/axis.h"
#include "write/picture/lanes.h"
#include "write/words/words.h"

#include <inttypes.h>
#include <string.h>

enum {
    NAMES = 14,  /* columns of the lanes' names, with a blank behind them */
    COLUMN = 68, /* units of the axis that a column stands for */
    LEAST_WIDTH = 80,
    MOST_WIDTH = 200,
    LEAST_NAME = 4 /* fewer letters of a name say nothing */
};

/* What is drawn with which character. */
enum sign {
    HANDS,
    THERE,
    RESERVED,
    STORED,
    LOOK,
    BEGIN,
    END,
    BEFORE,
    AFTER,
    ONE,
    CLIMBS,
    HOT,
    FALLS,
    HOUR,
    SHADE,
    BREAK,
    RULE,
    SIGNS
};

static const char *const signs[2][SIGNS] = {
    {"\xe2\x96\x88", "\xe2\x94\x80", "\xe2\x95\xb1", "\xc2\xb7", "\xe2\x96\xbc", "[", "]",
     "\xe2\x97\x80", "\xe2\x96\xb6", "|", "/", "\xe2\x94\x81", "\\", "\xe2\x94\x8a", "\xe2\x96\x91",
     "~", "\xe2\x94\x80"},
    {"#", "-", "/", ".", "v", "[", "]", "<", ">", "|", "/", "=", "\\", ":", ":", "~", "-"}};

typedef struct chart {
    const bk_timeline *timeline;
    bk_arena *arena;
    bk_text *out;
    bool ascii;
    size_t plot; /* columns of time */
    bk_lanes lanes;
    bk_rows rows;
    const bk_strip *strip;
    bool used[SIGNS];
} chart;

/* A line of the chart: a character, or the second column of a wide one (""), or nothing
 * (NULL) in each column. */
typedef struct line {
    const char **cells;
} line;

typedef struct lines {
    line *items;
    size_t count, room;
} lines;

/* ------------------------------------------------------------------- words */

static const char *shown(const chart *c, const char *text)
{
    return c->ascii ? bk_words_ascii(c->arena, text) : text;
}

/* As much of a text as `room` columns have, with a sign where it is cut; "" for less than
 * LEAST_NAME letters of it. */
static const char *fit(const chart *c, const char *text, size_t room)
{
    if (bk_columns(text) <= room)
        return text;
    const char *cut = c->ascii ? "..." : "\xe2\x80\xa6";
    size_t own = bk_columns(cut), length = 0, columns = 0;
    if (room < own + LEAST_NAME)
        return "";
    for (size_t left = strlen(text); left > 0;) {
        size_t step = bk_utf8_next(text + length, left, NULL);
        step = step ? step : 1;
        size_t wide = bk_columns(bk_copy(c->arena, text + length, step));
        if (columns + wide > room - own)
            break;
        columns += wide;
        length += step;
        left -= step;
    }
    while (length > 0 && text[length - 1] == ' ')
        length--;
    return bk_format(c->arena, "%.*s%s", (int)length, text, cut);
}

static const bk_stage *stage_of(const chart *c, size_t placed)
{
    return &c->timeline->plan->stages[c->timeline->stages[placed].stage];
}

static const char *dish_name(const chart *c, size_t dish)
{
    return bk_words_clean(c->arena, c->timeline->plan->dishes[dish].name);
}

/* What stands in or at a bar: of work when and what, else whose it is. */
static const char *bar_words(const chart *c, const bk_lane *lane, const bk_bar *bar)
{
    const bk_part *part = &bar->parts[0];
    const bk_placed *placed = &c->timeline->stages[part->placed];
    if (lane->kind == BK_LANE_OVEN || lane->kind == BK_LANE_PLACE || lane->kind == BK_LANE_TOOL) {
        const char *dish = dish_name(c, bar->dish);
        if (lane->rows == 0 && bar->amount > 1)
            dish = bk_format(c->arena, "%s (%" PRId64 ")", dish, bar->amount);
        return shown(c, dish);
    }
    const char *text = part->kind == BK_PART_CHECK ? placed->checks[part->check].check->text
                                                   : stage_of(c, part->placed)->text;
    text = bk_words_clean(c->arena, text);
    if (lane->kind != BK_LANE_BENCH)
        text = bk_format(c->arena, "%s %s", bk_clock(c->arena, c->timeline->plan->zone, bar->from),
                         text);
    if (part->kind == BK_PART_CHECK && c->timeline->plan->dish_count > 1)
        text = bk_format(c->arena, "%s (%s)", text, dish_name(c, bar->dish));
    return shown(c, text);
}

/* ------------------------------------------------------------------- cells */

static size_t column_of(const chart *c, bk_instant at)
{
    size_t column = (size_t)bk_axis_x(c->strip, at) / COLUMN;
    return column < c->plot ? column : c->plot - 1;
}

/* Where something that lasts until `to` ends: behind its last column. */
static size_t column_end(const chart *c, bk_instant to, size_t begin)
{
    size_t end = (size_t)bk_axis_x(c->strip, to) / COLUMN;
    end = end > c->plot || to >= c->strip->to ? c->plot : end;
    return end > begin ? end : begin + 1;
}

static line *add_line(const chart *c, lines *list)
{
    line *added = BK_PUSH(c->arena, list->items, list->count, list->room);
    added->cells = BK_NEW(c->arena, const char *, c->plot);
    return added;
}

static void put(chart *c, line *l, size_t column, enum sign sign)
{
    if (column < c->plot) {
        l->cells[column] = signs[c->ascii][sign];
        c->used[sign] = true;
    }
}

/* Text that has room from `column` on. */
static void write(const chart *c, line *l, size_t column, const char *text)
{
    size_t at = column;
    for (size_t left = strlen(text), step = 0; left > 0; left -= step, text += step) {
        step = bk_utf8_next(text, left, NULL);
        step = step ? step : 1;
        const char *one = bk_copy(c->arena, text, step);
        size_t wide = bk_columns(one);
        if (wide == 0 && at > column) {
            size_t before = at - 1;
            while (before > column && l->cells[before][0] == '\0')
                before--;
            l->cells[before] = bk_format(c->arena, "%s%s", l->cells[before], one);
        } else if (at + wide <= c->plot && wide > 0) {
            l->cells[at++] = one;
            if (wide == 2)
                l->cells[at++] = "";
        }
    }
}

static bool is_free(const chart *c, const line *l, size_t from, size_t to)
{
    for (size_t i = from; i < to; i++)
        if (i >= c->plot || l->cells[i])
            return false;
    return true;
}

/* ------------------------------------------------------------------- print */

static void end_line(chart *c, size_t from)
{
    bk_text *out = c->out;
    while (out->length > from && out->data[out->length - 1] == ' ')
        out->data[--out->length] = '\0';
    bk_text_add(out, "\n");
}

static void print_line(chart *c, const char *name, const line *l)
{
    size_t from = c->out->length;
    name = fit(c, name, NAMES - 1);
    bk_text_add(c->out, name);
    bk_text_add_repeated(c->out, ' ', NAMES - bk_columns(name));
    for (size_t i = 0; i < c->plot; i++)
        bk_text_add(c->out, l->cells[i] ? l->cells[i] : " ");
    end_line(c, from);
}

/* ------------------------------------------------------------------- ruler */

static void days_line(chart *c)
{
    lines list = {0};
    line *l = add_line(c, &list);
    const bk_zone *zone = c->timeline->plan->zone;
    bk_instant at = c->strip->from;
    size_t free_at = 0;
    while (at < c->strip->to) {
        bk_civil civil = bk_civil_at(zone, at);
        size_t column = column_of(c, at);
        const char *name = bk_format(c->arena, "%.3s %d %.3s", bk_weekday_name(bk_weekday(civil)),
                                     civil.day, bk_month_name(civil.month));
        /* A short day gives way to the next. */
        bk_instant next = bk_next_day_start(zone, at);
        size_t end = next < c->strip->to ? column_of(c, next) : c->plot;
        if (column >= free_at && bk_columns(name) < end - column) {
            write(c, l, column, name);
            free_at = column + bk_columns(name) + 1;
        }
        at = next;
    }
    print_line(c, "", l);
}

static const char *short_duration(const chart *c, int64_t minutes)
{
    if (minutes >= 2 * BK_DAY)
        return bk_format(c->arena, "%" PRId64 " d", (minutes + BK_DAY / 2) / BK_DAY);
    return bk_format(c->arena, "%" PRId64 "h%02d", minutes / 60, (int)(minutes % 60));
}

/* The hours; gives which columns have one, to be drawn through the lanes. */
static bool *hours_line(chart *c)
{
    lines list = {0};
    line *l = add_line(c, &list);
    const bk_zone *zone = c->timeline->plan->zone;
    bool *hours = BK_NEW(c->arena, bool, c->plot);
    size_t free_at = 0;
    for (size_t i = 0; i < c->strip->count; i++) {
        const bk_piece *piece = &c->strip->pieces[i];
        if (piece->quiet) {
            size_t from = column_of(c, piece->from), to = column_end(c, piece->to, from);
            const char *words = short_duration(c, piece->to - piece->from);
            size_t wide = bk_columns(words);
            from = from > free_at ? from : free_at;
            if (from >= to)
                continue;
            for (size_t k = from; k < to; k++)
                put(c, l, k, BREAK);
            if (wide <= to - from)
                write(c, l, from + (to - from - wide) / 2, words);
            free_at = to;
            continue;
        }
        bk_instant at = piece->from;
        for (; at < piece->to; at += 60 - bk_civil_at(zone, at).minute) {
            size_t column = column_of(c, at);
            if (bk_civil_at(zone, at).minute != 0)
                continue;
            hours[column] = true;
            if (column >= free_at && column + 6 <= c->plot) {
                write(c, l, column, bk_format(c->arena, "|%s", bk_clock(c->arena, zone, at)));
                free_at = column + 6;
            }
        }
    }
    print_line(c, "", l);
    return hours;
}

static bool on_strip(const chart *c, bk_instant at)
{
    return at >= c->strip->from && at < c->strip->to;
}

/* What is served, and clock changes: each at its column, words before or behind it. */
static void marks_line(chart *c)
{
    const bk_plan *plan = c->timeline->plan;
    lines list = {0};
    line *l = add_line(c, &list);
    bool any = false;
    for (size_t i = 0; i < c->rows.count; i++) {
        const bk_row *row = &c->rows.items[i];
        bool serve = row->kind == BK_ROW_SERVE, end = row->at == c->strip->to;
        if ((!serve && row->kind != BK_ROW_CLOCK) || (!on_strip(c, row->at) && !(serve && end)) ||
            (i > 0 && serve && c->rows.items[i - 1].kind == BK_ROW_SERVE &&
             c->rows.items[i - 1].at == row->at))
            continue;
        int shift = row->shift < 0 ? -row->shift : row->shift;
        const char *words =
            serve ? bk_format(c->arena, "Serve %s|", bk_clock(c->arena, plan->zone, row->at))
                  : bk_format(c->arena, "clocks %s %s|", row->shift < 0 ? "back" : "forward",
                              bk_minutes(c->arena, shift));
        size_t wide = bk_columns(words), column = end ? c->plot : column_of(c, row->at) + 1;
        if (column >= wide && is_free(c, l, column - wide, column)) {
            write(c, l, column - wide, words);
        } else { /* behind its column, else without words */
            const char *behind = bk_format(c->arena, "|%.*s", (int)strlen(words) - 1, words);
            bool room = is_free(c, l, column - 1, column - 1 + wide);
            write(c, l, column - 1, room ? behind : "|");
        }
        any = true;
    }
    if (any)
        print_line(c, "", l);
}

static void windows_line(chart *c)
{
    static const char *const words[] = {
        [BK_ASLEEP] = "asleep", [BK_AWAY] = "away", [BK_BUSY] = "busy"};
    const bk_kitchen *kitchen = &c->timeline->plan->kitchen;
    lines list = {0};
    line *l = add_line(c, &list);
    bool any = false;
    for (size_t i = 0; i < kitchen->window_count; i++) {
        const bk_window *w = &kitchen->windows[i];
        if (w->from >= c->strip->to || w->to <= c->strip->from)
            continue;
        size_t from = column_of(c, w->from), to = column_end(c, w->to, from);
        bool clear = is_free(c, l, from, to);
        for (size_t k = from; k < to; k++)
            if (!l->cells[k])
                put(c, l, k, SHADE);
        if (clear && bk_columns(words[w->kind]) <= to - from)
            write(c, l, from + (to - from - bk_columns(words[w->kind])) / 2, words[w->kind]);
        any = true;
    }
    if (any)
        print_line(c, "", l);
}

/* -------------------------------------------------------------------- bars */

static enum sign part_sign(const bk_lane *lane, const bk_part *part)
{
    if (lane->kind == BK_LANE_HANDS)
        return HANDS;
    return part->kind == BK_PART_RESERVED ? RESERVED
           : part->kind == BK_PART_STORED ? STORED
                                          : THERE;
}

/* A bar in the columns [from, to) of a line. */
static void draw_bar(chart *c, line *l, const bk_lane *lane, const bk_bar *bar, size_t from,
                     size_t to)
{
    if (lane->kind == BK_LANE_LOOK) {
        put(c, l, from, LOOK);
        return;
    }
    for (size_t i = 0; i < bar->count; i++) {
        const bk_part *part = &bar->parts[i];
        if (part->to <= c->strip->from || part->from >= c->strip->to)
            continue;
        size_t begin = column_of(c, part->from), end = column_end(c, part->to, begin);
        for (size_t k = begin < from ? from : begin; k < end && k < to; k++)
            put(c, l, k, part_sign(lane, part));
    }
    for (size_t k = from; k < to; k++) /* moved for want of room */
        if (!l->cells[k])
            put(c, l, k, part_sign(lane, &bar->parts[bar->count - 1]));
    bool before = bar->from<c->strip->from, after = bar->to> c->strip->to;
    if (lane->kind != BK_LANE_HANDS && to - from == 1)
        put(c, l, from, ONE);
    if (before || (lane->kind != BK_LANE_HANDS && to - from > 1))
        put(c, l, from, before ? BEFORE : BEGIN);
    if (after || (lane->kind != BK_LANE_HANDS && to - from > 1))
        put(c, l, to - 1, after ? AFTER : END);
}

/* A name inside a bar, where the thing is there: whole, or else as much as there is room for. */
static bool name_inside(const chart *c, line *l, size_t from, size_t to, const char *words,
                        bool whole)
{
    const char *there = signs[c->ascii][THERE];
    size_t best = from, room = 0;
    for (size_t begin = from + 1, end; begin + 1 < to; begin = end + 1) {
        for (end = begin; end + 1 < to && l->cells[end] == there;)
            end++;
        if (end - begin > room && bk_columns(words) > room) {
            best = begin;
            room = end - begin;
        }
    }
    const char *cut = fit(c, words, room);
    if (!cut[0] || (whole && bk_columns(words) > room))
        return false;
    write(c, l, best, cut);
    return true;
}

/* Beside the bar, whole where that is possible, else as much as there is room for. */
static bool name_beside(const chart *c, line *l, size_t from, size_t to, const char *words,
                        bool whole)
{
    size_t wide = bk_columns(words), behind = to + 1, before = from;
    while (behind < c->plot && !l->cells[behind])
        behind++;
    while (before > 0 && !l->cells[before - 1])
        before--;
    size_t room_behind = behind > to + 1 ? behind - to - 1 : 0;
    size_t room_before = from - before > 1 ? from - before - 1 : 0;
    if (to < c->plot && l->cells[to])
        room_behind = 0;
    if (before > 0 && room_before > 0)
        room_before--;
    if (behind < c->plot && room_behind > 0)
        room_behind--;
    bool left = wide > room_behind && room_before > room_behind;
    size_t room = left ? room_before : room_behind;
    if (whole && wide > room)
        return false;
    const char *cut = fit(c, words, room);
    if (!cut[0])
        return false;
    write(c, l, left ? from - 1 - bk_columns(cut) : to + 1, cut);
    return true;
}

/* A lane whose rows are places. */
static void places(chart *c, lines *list, const bk_lane *lane)
{
    size_t *free_at = BK_NEW(c->arena, size_t, lane->rows);
    size_t *from = BK_NEW(c->arena, size_t, lane->count),
           *to = BK_NEW(c->arena, size_t, lane->count);
    size_t first = list->count;
    for (size_t r = 0; r < lane->rows; r++)
        add_line(c, list);
    for (size_t i = 0; i < lane->count; i++) {
        const bk_bar *bar = &lane->bars[i];
        if (bar->to <= c->strip->from || bar->from >= c->strip->to)
            continue;
        from[i] = column_of(c, bar->from);
        to[i] = column_end(c, bar->to, from[i]);
        for (size_t k = 0; k < bar->row_count; k++)
            if (free_at[bar->rows[k]] > from[i])
                from[i] = free_at[bar->rows[k]]; /* shorter than a column: behind the one before */
        from[i] = from[i] < c->plot ? from[i] : c->plot - 1;
        to[i] = to[i] > from[i] ? to[i] : from[i] + 1;
        for (size_t k = 0; k < bar->row_count; k++) {
            draw_bar(c, &list->items[first + bar->rows[k]], lane, bar, from[i], to[i]);
            free_at[bar->rows[k]] = to[i];
        }
    }
    for (size_t i = 0; i < lane->count; i++) {
        const bk_bar *bar = &lane->bars[i];
        const char *words = bar_words(c, lane, bar);
        bool named = to[i] == 0;
        for (int way = 0; way < 4 && !named; way++) /* whole inside, beside; cut beside, inside */
            for (size_t k = 0; k < bar->row_count && !named; k++) {
                line *l = &list->items[first + bar->rows[k]];
                named = way == 0 || way == 3 ? name_inside(c, l, from[i], to[i], words, way == 0)
                                             : name_beside(c, l, from[i], to[i], words, way == 1);
            }
    }
}

/* A lane whose bars stand apart: each on the first line where it has room with its words. */
static void apart(chart *c, lines *list, const bk_lane *lane)
{
    size_t first = list->count;
    for (size_t i = 0; i < lane->count; i++) {
        const bk_bar *bar = &lane->bars[i];
        bool here = bar->from == bar->to ? on_strip(c, bar->from)
                                         : bar->from < c->strip->to && bar->to > c->strip->from;
        if (!here)
            continue;
        size_t from = column_of(c, bar->from), to = column_end(c, bar->to, from);
        const char *words = bar_words(c, lane, bar);
        size_t wide = bk_columns(words), begin = from, end = to;
        bool inside = lane->kind != BK_LANE_HANDS && wide + 2 <= to - from;
        bool left = c->plot - to < from && c->plot - to < wide + 1;
        size_t room = left ? from : c->plot - to;
        words = inside ? words : fit(c, words, room > 1 ? room - 1 : 0);
        wide = bk_columns(words);
        if (!inside && wide > 0) {
            begin = left ? from - 1 - wide : from;
            end = left ? to : to + 1 + wide;
        }
        size_t r = first;
        for (; r < list->count; r++)
            if (is_free(c, &list->items[r], begin > 0 ? begin - 1 : 0, end))
                break;
        line *l = r < list->count ? &list->items[r] : add_line(c, list);
        draw_bar(c, l, lane, bar, from, to);
        write(c, l, inside ? from + 1 : left ? begin : to + 1, words);
    }
}

/* -------------------------------------------------------------------- heat */

static void heat_line(chart *c, lines *list, const bk_lane *lane)
{
    const bk_timeline *t = c->timeline;
    line *l = NULL;
    for (size_t i = 0; i < t->oven_count; i++) {
        const bk_oven_run *run = &t->ovens[i];
        if (run->equipment != lane->equipment || run->number != lane->number ||
            run->off <= c->strip->from || run->on >= c->strip->to)
            continue;
        l = l ? l : add_line(c, list);
        size_t on = column_of(c, run->on), ready = column_of(c, run->ready);
        size_t off = column_end(c, run->off, ready);
        bool down = strcmp(bk_words_turn(t, i), "down") == 0;
        for (size_t k = on; k < ready; k++)
            put(c, l, k, down ? FALLS : CLIMBS);
        for (size_t k = ready; k < off; k++)
            put(c, l, k, HOT);
        bool next = i + 1 < t->oven_count && run[1].equipment == run->equipment &&
                    run[1].number == run->number && run[1].on == run->off;
        if (!next && run->off < c->strip->to)
            put(c, l, off, FALLS);
        const char *heat =
            shown(c, bk_words_heat(c->arena, t->plan, run->equipment, run->temperature_c));
        if (bk_columns(heat) > off - ready) /* as the dial has it, then its number alone */
            heat = bk_copy(c->arena, heat, strcspn(heat, "f("));
        if (bk_columns(heat) > off - ready)
            heat = bk_copy(c->arena, heat, strcspn(heat, " "));
        if (bk_columns(heat) <= off - ready)
            write(c, l, ready, heat);
    }
}

/* ------------------------------------------------------------------- strip */

static bool has_something(const chart *c, const bk_lane *lane)
{
    for (size_t i = 0; i < lane->count; i++)
        if (lane->bars[i].from < c->strip->to &&
            (lane->bars[i].to > c->strip->from || on_strip(c, lane->bars[i].from)))
            return true;
    return false;
}

static void draw_lane(chart *c, const bk_lane *lane, const bool *hours)
{
    lines list = {0};
    if (lane->kind == BK_LANE_OVEN)
        heat_line(c, &list, lane);
    if (list.count == 0 && !has_something(c, lane))
        return;
    if (lane->rows > 0)
        places(c, &list, lane);
    else
        apart(c, &list, lane);
    const char *name = shown(c, lane->name), *detail = shown(c, lane->detail);
    if (detail[0] && list.count == 1)
        detail = "";
    for (size_t i = 0; i < list.count; i++) {
        for (size_t k = 0; k < c->plot; k++)
            if (hours[k] && !list.items[i].cells[k])
                put(c, &list.items[i], k, HOUR);
        print_line(c, i == 0 ? name : i == 1 ? detail : "", &list.items[i]);
    }
}

static void rule(chart *c)
{
    for (size_t i = 0; i < NAMES + c->plot; i++)
        bk_text_add(c->out, signs[c->ascii][RULE]);
    bk_text_add(c->out, "\n");
}

static void draw_strip(chart *c, const bk_strip *strip)
{
    c->strip = strip;
    rule(c);
    days_line(c);
    marks_line(c);
    bool *hours = hours_line(c);
    windows_line(c);
    rule(c);
    for (size_t i = 0; i < c->lanes.count; i++)
        draw_lane(c, &c->lanes.items[i], hours);
    bk_text_add(c->out, "\n");
}

/* -------------------------------------------------------------------- head */

static void paragraph(chart *c, const char *text)
{
    bk_wrap_item(c->out, NAMES + c->plot, "", shown(c, text));
}

static void legend(chart *c)
{
    static const struct {
        enum sign sign;
        const char *words;
    } meant[] = {{HANDS, "hands on"},
                 {THERE, "stands there"},
                 {RESERVED, "its place is kept, it is elsewhere"},
                 {STORED, "ready, kept until served"},
                 {LOOK, "look"},
                 {HOT, "oven hot"},
                 {AFTER, "goes on"},
                 {BREAK, "time drawn short"}};
    bk_text words = bk_text_new(c->arena);
    for (size_t i = 0; i < sizeof meant / sizeof *meant; i++)
        if (c->used[meant[i].sign])
            bk_text_addf(&words, "%s%s %s", words.length > 0 ? "; " : "",
                         signs[c->ascii][meant[i].sign], meant[i].words);
    if (words.length > 0)
        bk_wrap_item(c->out, NAMES + c->plot, "", words.data);
}

void bk_write_chart(const bk_timeline *timeline, const bk_chart_style *style, bk_text *out)
{
    int width = style->width < LEAST_WIDTH  ? LEAST_WIDTH
                : style->width > MOST_WIDTH ? MOST_WIDTH
                                            : style->width;
    chart c = {.timeline = timeline,
               .arena = out->arena,
               .out = out,
               .ascii = style->ascii,
               .plot = (size_t)width - NAMES,
               .lanes = bk_lanes_of(out->arena, timeline),
               .rows = bk_rows_of(out->arena, timeline)};
    bk_axis axis = bk_axis_of(out->arena, timeline, (int)c.plot * COLUMN);
    paragraph(&c, bk_words_clean(c.arena, timeline->plan->occasion));
    paragraph(&c, bk_format(c.arena, "START BY %s", bk_say_start(c.arena, timeline)));
    paragraph(&c, bk_format(c.arena, "Serve %s", bk_say_serve(c.arena, timeline)));
    for (size_t i = 0; i < axis.count; i++)
        draw_strip(&c, &axis.strips[i]);
    legend(&c);
}

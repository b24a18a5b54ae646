#include "write/picture/axis.h"

#include <stdlib.h>

typedef struct instants {
    bk_instant *items;
    size_t count, room;
} instants;

static void add_instant(bk_arena *arena, instants *list, bk_instant at)
{
    *BK_PUSH(arena, list->items, list->count, list->room) = at;
}

static int compare_instants(const void *left, const void *right)
{
    bk_instant a = *(const bk_instant *)left, b = *(const bk_instant *)right;
    return a < b ? -1 : a > b;
}

/* Every minute at which somebody does something, sorted, each once. What ends by
 * itself in the night keeps nobody up and needs no room on paper, unless it is what
 * cools: its curve is to be seen. */
static instants events(bk_arena *arena, const bk_timeline *timeline)
{
    instants list = {0};
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *placed = &timeline->stages[i];
        const bk_stage *stage = &timeline->plan->stages[placed->stage];
        add_instant(arena, &list, placed->start);
        if (stage->attention != BK_NONE || stage->in_oven || stage->cooling)
            add_instant(arena, &list, placed->end);
        for (size_t k = 0; k < placed->check_count; k++) {
            if (placed->checks[k].dropped)
                continue;
            add_instant(arena, &list, placed->checks[k].start);
            add_instant(arena, &list, placed->checks[k].end);
        }
    }
    for (size_t i = 0; i < timeline->oven_count; i++) {
        add_instant(arena, &list, timeline->ovens[i].on);
        add_instant(arena, &list, timeline->ovens[i].ready);
        add_instant(arena, &list, timeline->ovens[i].off);
    }
    for (size_t i = 0; i < timeline->plan->dish_count; i++)
        add_instant(arena, &list, timeline->plan->dishes[i].serve);
    add_instant(arena, &list, timeline->ready);
    qsort(list.items, list.count, sizeof *list.items, compare_instants);
    size_t kept = 0;
    for (size_t i = 0; i < list.count; i++)
        if (kept == 0 || list.items[i] != list.items[kept - 1])
            list.items[kept++] = list.items[i];
    list.count = kept;
    return list;
}

static bool hands_in_use(const bk_timeline *timeline, bk_instant from, bk_instant to)
{
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *placed = &timeline->stages[i];
        if (timeline->plan->stages[placed->stage].attention == BK_HANDS && placed->start < to &&
            placed->end > from)
            return true;
    }
    return false;
}

typedef struct pieces {
    bk_piece *items;
    size_t count, room;
} pieces;

static pieces pieces_of(bk_arena *arena, const bk_timeline *timeline)
{
    pieces list = {0};
    instants at = events(arena, timeline);
    for (size_t i = 0; i + 1 < at.count; i++) {
        bk_piece *piece = BK_PUSH(arena, list.items, list.count, list.room);
        piece->from = at.items[i];
        piece->to = at.items[i + 1];
        piece->quiet = piece->to - piece->from > BK_QUIET_MINUTES &&
                       !hands_in_use(timeline, piece->from, piece->to);
    }
    return list;
}

static void add_piece(bk_arena *arena, bk_strip *strip, bk_piece piece)
{
    if (strip->count == 0)
        strip->from = piece.from;
    strip->to = piece.to;
    *BK_PUSH(arena, strip->pieces, strip->count, strip->room) = piece;
}

static int64_t busy_minutes(const bk_strip *strip)
{
    int64_t minutes = 0;
    for (size_t i = 0; i < strip->count; i++)
        minutes += strip->pieces[i].quiet ? 0 : strip->pieces[i].to - strip->pieces[i].from;
    return minutes;
}

/* Gives every piece its place, so that together they fill the width. */
static void stretch(bk_strip *strip, int width)
{
    int64_t minutes = busy_minutes(strip), quiet = 0, gone = 0;
    for (size_t i = 0; i < strip->count; i++)
        quiet += strip->pieces[i].quiet;
    int64_t each = BK_QUIET_WIDTH;
    if (quiet > 0 && (minutes == 0 || each * quiet > width / 2))
        each = (minutes == 0 ? width : width / 2) / quiet;
    int64_t room = width - each * quiet;
    int x = 0;
    strip->scale = minutes > 0 ? (int)(room * 100 / minutes) : BK_LEAST_SCALE;
    for (size_t i = 0; i < strip->count; i++) {
        bk_piece *piece = &strip->pieces[i];
        int64_t wide = each;
        if (!piece->quiet) {
            int64_t until = gone + piece->to - piece->from;
            wide = until * room / minutes - gone * room / minutes;
            gone = until;
        }
        piece->x = x;
        piece->width = (int)wide;
        x += piece->width;
    }
    strip->width = x;
}

static int64_t width_of(const bk_strip *strip)
{
    int64_t wide = busy_minutes(strip) * BK_LEAST_SCALE / 100;
    for (size_t i = 0; i < strip->count; i++)
        wide += strip->pieces[i].quiet ? BK_QUIET_WIDTH : 0;
    return wide;
}

/* The full hour nearest to `at`, where it is inside (from, to); else `at`. */
static bk_instant full_hour(const bk_zone *zone, bk_instant at, bk_instant from, bk_instant to)
{
    int minute = bk_civil_at(zone, at).minute;
    bk_instant hour = minute < 30 ? at - minute : at + 60 - minute;
    return hour > from && hour < to ? hour : at;
}

typedef struct layout {
    bk_arena *arena;
    const bk_zone *zone;
    int width;
    bk_axis axis;
} layout;

static bk_strip *last_strip(layout *l)
{
    return &l->axis.strips[l->axis.count - 1];
}

static void next_strip(layout *l)
{
    if (last_strip(l)->count > 0)
        BK_PUSH(l->arena, l->axis.strips, l->axis.count, l->axis.room);
}

/* Pieces that follow one another, on this strip where they fit, else on the next; too many
 * for one are cut into equal parts. */
static void lay_out_run(layout *l, const bk_piece *run, size_t count)
{
    bk_instant from = run[0].from, to = run[count - 1].to;
    int64_t wide = (to - from) * BK_LEAST_SCALE / 100;
    if (width_of(last_strip(l)) + wide > l->width)
        next_strip(l);
    int64_t strips = (wide + l->width - 1) / l->width, strip = 1;
    bk_instant cut = strips > 1 ? full_hour(l->zone, from + (to - from) / strips, from, to) : to;
    for (size_t i = 0; i < count; i++) {
        bk_piece piece = run[i];
        while (piece.to > cut && cut > piece.from) {
            bk_piece part = piece;
            part.to = piece.from = cut;
            add_piece(l->arena, last_strip(l), part);
            next_strip(l);
            strip++;
            bk_instant next = from + (to - from) * strip / strips;
            cut = strip < strips ? full_hour(l->zone, next, cut, to) : to;
        }
        if (piece.from == cut && cut < to) {
            next_strip(l);
            strip++;
            bk_instant next = from + (to - from) * strip / strips;
            cut = strip < strips ? full_hour(l->zone, next, cut, to) : to;
        }
        add_piece(l->arena, last_strip(l), piece);
    }
}

static bool holds_midnight(const bk_zone *zone, const bk_piece *piece)
{
    return bk_day_start(zone, piece->from) != bk_day_start(zone, piece->to);
}

static void lay_out(layout *l, const pieces *list)
{
    BK_PUSH(l->arena, l->axis.strips, l->axis.count, l->axis.room);
    for (size_t i = 0; i < list->count;) {
        const bk_piece *piece = &list->items[i];
        if (piece->quiet) {
            if (width_of(last_strip(l)) + BK_QUIET_WIDTH > l->width)
                next_strip(l);
            add_piece(l->arena, last_strip(l), *piece);
            if (holds_midnight(l->zone, piece) && width_of(last_strip(l)) > l->width * 2 / 5 &&
                i + 1 < list->count)
                next_strip(l);
            i++;
            continue;
        }
        size_t count = 1;
        while (i + count < list->count && !list->items[i + count].quiet)
            count++;
        lay_out_run(l, piece, count);
        i += count;
    }
}

static pieces all_pieces(bk_arena *arena, const bk_timeline *timeline)
{
    pieces list = pieces_of(arena, timeline);
    if (list.count == 0) { /* everything takes no time at all */
        bk_piece *piece = BK_PUSH(arena, list.items, list.count, list.room);
        piece->from = timeline->start;
        piece->to = timeline->start + 1;
    }
    return list;
}

bk_axis bk_axis_whole(bk_arena *arena, const bk_timeline *timeline, int width)
{
    bk_axis axis = {0};
    if (timeline->stage_count == 0)
        return axis;
    pieces list = all_pieces(arena, timeline);
    bk_strip *strip = BK_PUSH(arena, axis.strips, axis.count, axis.room);
    for (size_t i = 0; i < list.count; i++)
        add_piece(arena, strip, list.items[i]);
    if (width_of(strip) > width)
        return (bk_axis){0};
    stretch(strip, width);
    return axis;
}

bk_axis bk_axis_of(bk_arena *arena, const bk_timeline *timeline, int width)
{
    if (timeline->stage_count == 0)
        return (bk_axis){0};
    pieces list = all_pieces(arena, timeline);
    layout l = {.arena = arena, .zone = timeline->plan->zone, .width = width};
    lay_out(&l, &list);
    for (size_t i = 0; i < l.axis.count; i++)
        stretch(&l.axis.strips[i], width);
    return l.axis;
}

/* The end of the quiet stretch that is nearest to where `ideal` minutes of work are done, of
 * those that are within `most` of it and end after `before`; nights before all others. The
 * strip's end where there is none. */
static bk_instant quiet_near(const bk_zone *zone, const bk_strip *strip, int64_t ideal,
                             int64_t most, bk_instant before)
{
    bk_instant best = strip->to;
    int64_t gone = 0, least = most;
    bool night = false;
    for (size_t i = 0; i + 1 < strip->count; i++) {
        const bk_piece *piece = &strip->pieces[i];
        if (!piece->quiet) {
            gone += piece->to - piece->from;
            continue;
        }
        int64_t far = gone < ideal ? ideal - gone : gone - ideal;
        bool holds = holds_midnight(zone, piece);
        if (piece->to <= before || far > most || (night && !holds) ||
            (night == holds && far > least))
            continue;
        best = piece->to;
        least = far;
        night = holds;
    }
    return best;
}

/* Where the first `part` of `count` parts of a strip's work end, after `before`: behind a
 * quiet stretch where one is near, else at a full hour. */
static bk_instant part_end(const bk_zone *zone, const bk_strip *strip, int64_t minutes, size_t part,
                           size_t count, bk_instant before)
{
    int64_t left = minutes * (int64_t)part / (int64_t)count;
    bk_instant quiet = quiet_near(zone, strip, left, minutes * 2 / 5 / (int64_t)count, before);
    if (quiet < strip->to)
        return quiet;
    for (size_t i = 0; i < strip->count; i++) {
        const bk_piece *piece = &strip->pieces[i];
        int64_t length = piece->quiet ? 0 : piece->to - piece->from;
        if (length > left || (length == left && !piece->quiet)) {
            bk_instant hour = full_hour(zone, piece->from + left, before, strip->to);
            return bk_axis_quiet(strip, hour) ? piece->from + left : hour;
        }
        left -= length;
    }
    return strip->to;
}

bool bk_axis_cut(bk_arena *arena, const bk_zone *zone, const bk_strip *strip, size_t count,
                 bk_strip *parts)
{
    int64_t minutes = busy_minutes(strip);
    if (minutes < (int64_t)count * 30)
        return false;
    for (size_t i = 0; i < count; i++)
        parts[i] = (bk_strip){0};
    size_t at = 0;
    bk_instant cut = part_end(zone, strip, minutes, 1, count, strip->from);
    for (size_t i = 0; i < strip->count; i++) {
        bk_piece piece = strip->pieces[i];
        while (at + 1 < count && piece.to > cut) {
            bk_piece part = piece;
            part.to = cut;
            if (cut > piece.from) {
                add_piece(arena, &parts[at], part);
                piece.from = cut;
            }
            at++;
            cut = part_end(zone, strip, minutes, at + 1, count, cut);
        }
        add_piece(arena, &parts[at], piece);
    }
    for (size_t i = 0; i < count; i++) {
        if (parts[i].count == 0)
            return false;
        stretch(&parts[i], strip->width);
    }
    return true;
}

int bk_axis_x(const bk_strip *strip, bk_instant at)
{
    if (at <= strip->from)
        return 0;
    if (at >= strip->to)
        return strip->width;
    for (size_t i = 0; i < strip->count; i++) {
        const bk_piece *piece = &strip->pieces[i];
        if (at < piece->to)
            return piece->x + (int)((at - piece->from) * piece->width / (piece->to - piece->from));
    }
    return strip->width;
}

bool bk_axis_quiet(const bk_strip *strip, bk_instant at)
{
    for (size_t i = 0; i < strip->count; i++)
        if (at > strip->pieces[i].from && at < strip->pieces[i].to)
            return strip->pieces[i].quiet;
    return false;
}

#include "write/picture/axis.h"

#include <stdlib.h>

enum { LEAST_SCALE = 20 }; /* hundredths of a unit a minute: no less, whatever it takes */

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
 * itself in the night keeps nobody up and needs no room on paper. */
static instants events(bk_arena *arena, const bk_timeline *timeline)
{
    instants list = {0};
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *placed = &timeline->stages[i];
        const bk_stage *stage = &timeline->plan->stages[placed->stage];
        add_instant(arena, &list, placed->start);
        if (stage->attention != BK_NONE || stage->in_oven)
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

static int64_t piece_width(const bk_piece *piece, int scale)
{
    return piece->quiet ? BK_QUIET_WIDTH : (piece->to - piece->from) * scale / 100;
}

/* An axis in the making; without an arena its strips are only counted. */
typedef struct layout {
    bk_arena *arena;
    bk_axis axis;
    bk_strip counted, *strip; /* the last one */
} layout;

static void append(layout *l, bk_piece piece, int width)
{
    bk_strip *strip = l->strip;
    if (strip->count == 0)
        strip->from = piece.from;
    strip->to = piece.to;
    piece.x = strip->width;
    piece.width = width;
    strip->width += width;
    if (l->arena)
        *BK_PUSH(l->arena, strip->pieces, strip->count, strip->room) = piece;
    else
        strip->count++;
}

static void next_strip(layout *l)
{
    if (l->arena) {
        l->strip = BK_PUSH(l->arena, l->axis.strips, l->axis.count, l->axis.room);
    } else {
        l->strip = &l->counted;
        l->counted = (bk_strip){0};
        l->axis.count++;
    }
}

/* Lays the pieces out at one scale. A strip ends at a quiet stretch when it is
 * more than half full, else where the paper does: long pieces are cut there,
 * short ones go over whole. */
static void lay_out(layout *l, const pieces *list, int width, int scale)
{
    l->axis = (bk_axis){.scale = scale};
    next_strip(l);
    for (size_t i = 0; i < list->count; i++) {
        bk_piece piece = list->items[i];
        int64_t wide = piece_width(&piece, scale);
        while (l->strip->width + wide > width) {
            int left = width - l->strip->width;
            bk_instant cut = piece.from + (int64_t)left * 100 / scale;
            if (l->strip->count > 0 && (piece.quiet || wide < width / 6 || cut == piece.from)) {
                next_strip(l);
                continue;
            }
            if (cut <= piece.from || cut >= piece.to || piece.quiet)
                break;
            bk_piece part = piece;
            part.to = piece.from = cut;
            append(l, part, left);
            next_strip(l);
            wide = piece_width(&piece, scale);
        }
        append(l, piece, (int)wide);
        if (piece.quiet && l->strip->width > width / 2 && i + 1 < list->count)
            next_strip(l);
    }
}

bk_axis bk_axis_of(bk_arena *arena, const bk_timeline *timeline, int width, size_t most_strips,
                   int most_scale)
{
    if (timeline->stage_count == 0)
        return (bk_axis){0};
    pieces list = pieces_of(arena, timeline);
    if (list.count == 0) { /* everything takes no time at all */
        bk_piece *piece = BK_PUSH(arena, list.items, list.count, list.room);
        piece->from = timeline->start;
        piece->to = timeline->start + 1;
    }
    int scale = most_scale;
    layout count = {0}, kept = {.arena = arena};
    for (;;) {
        lay_out(&count, &list, width, scale);
        if (count.axis.count <= most_strips || scale <= LEAST_SCALE)
            break;
        scale -= scale / 20;
    }
    lay_out(&kept, &list, width, scale);
    return kept.axis;
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

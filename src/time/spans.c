/* Sets of half-open spans of time, and the daily windows that fill them. */
#include "time/calendar.h"
#include "time/zone_table.h"

#include <stdlib.h>

bk_spans bk_spans_new(bk_arena *arena)
{
    return (bk_spans){.arena = arena};
}

void bk_spans_add(bk_spans *spans, bk_instant from, bk_instant to, int tag)
{
    if (from < to)
        *BK_PUSH(spans->arena, spans->items, spans->count, spans->room) =
            (bk_span){.from = from, .to = to, .tag = tag};
}

static int compare(int64_t a, int64_t b)
{
    return (a > b) - (a < b);
}

static int by_from(const void *left, const void *right)
{
    const bk_span *a = left, *b = right;
    int order = compare(a->from, b->from);
    if (order == 0)
        order = compare(a->to, b->to);
    return order != 0 ? order : compare(a->tag, b->tag);
}

void bk_spans_sort(bk_spans *spans)
{
    if (spans->count > 1)
        qsort(spans->items, spans->count, sizeof *spans->items, by_from);
}

bk_spans bk_spans_merged(bk_arena *arena, const bk_spans *spans)
{
    bk_spans sorted = bk_spans_new(arena);
    for (size_t i = 0; i < spans->count; i++)
        bk_spans_add(&sorted, spans->items[i].from, spans->items[i].to, 0);
    bk_spans_sort(&sorted);

    bk_spans merged = bk_spans_new(arena);
    for (size_t i = 0; i < sorted.count; i++) {
        bk_span *last = merged.count > 0 ? &merged.items[merged.count - 1] : NULL;
        const bk_span *span = &sorted.items[i];
        if (!last || span->from > last->to)
            bk_spans_add(&merged, span->from, span->to, 0);
        else if (span->to > last->to)
            last->to = span->to;
    }
    return merged;
}

int64_t bk_day_of(const bk_zone *zone, bk_instant instant)
{
    bk_civil date = bk_civil_at(zone, instant);
    return bk_day_number(date.year, date.month, date.day);
}

bk_span bk_daily_on(const bk_zone *zone, const bk_daily *daily, int64_t day)
{
    int length_in_days = daily->to <= daily->from ? 1 : 0;
    return (bk_span){
        .from = bk_instant_of_minutes(zone, day * BK_DAY + daily->from, NULL),
        .to = bk_instant_of_minutes(zone, (day + length_in_days) * BK_DAY + daily->to, NULL)};
}

void bk_spans_add_daily(bk_spans *spans, const bk_zone *zone, const bk_daily *daily,
                        bk_instant from, bk_instant to, int tag)
{
    if (from >= to)
        return;
    /* Two days to each side: a window may begin the evening before, and a whole
     * date may be missing from a zone's calendar. */
    int64_t last = bk_day_of(zone, to) + 2;
    for (int64_t day = bk_day_of(zone, from) - 2; day <= last; day++) {
        if (daily->occurs && !daily->occurs(daily->context, day))
            continue;
        bk_span span = bk_daily_on(zone, daily, day);
        if (span.from < to && span.to > from)
            bk_spans_add(spans, span.from, span.to, tag);
    }
}

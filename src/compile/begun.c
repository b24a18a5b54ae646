/* Plan to problem: what has begun uses what it uses, whatever there is. What is to come finds
 * what that leaves: where it is all there is, or more, nothing. */
#include "compile/parts.h"

#include <stdlib.h>

static int by_time(const void *left, const void *right)
{
    const bk_instant *a = left, *b = right;
    return (*a > *b) - (*a < *b);
}

typedef struct instants {
    bk_instant *items;
    size_t count, room;
} instants;

static void add_instant(bk_builder *b, instants *list, bk_instant at)
{
    if (at > b->plan->now)
        *BK_PUSH(b->arena, list->items, list->count, list->room) = at;
}

static int64_t there(int64_t size, const bk_spans *away, size_t away_count, bk_instant at)
{
    for (size_t i = 0; i < away_count; i++)
        for (size_t k = 0; k < away[i].count; k++)
            size -= away[i].items[k].from <= at && at < away[i].items[k].to;
    return size > 0 ? size : 0;
}

void bk_add_begun(bk_builder *b, bk_uses *list, const bk_begun *begun, size_t count, int64_t size,
                  const bk_spans *away, size_t away_count)
{
    instants edges = {0};
    for (size_t i = 0; i < count; i++)
        add_instant(b, &edges, begun[i].end);
    for (size_t i = 0; i < away_count && count > 0; i++)
        for (size_t k = 0; k < away[i].count; k++) {
            add_instant(b, &edges, away[i].items[k].from);
            add_instant(b, &edges, away[i].items[k].to);
        }
    if (edges.count > 1)
        qsort(edges.items, edges.count, sizeof *edges.items, by_time);
    bk_instant from = b->plan->now;
    for (size_t e = 0; e < edges.count; e++) {
        bk_instant to = edges.items[e];
        int64_t used = 0, most = there(size, away, away_count, from);
        for (size_t i = 0; i < count; i++)
            used += begun[i].end > from ? begun[i].amount : 0;
        if (to > from)
            bk_add_use(b, list, (bk_point){BK_CONSTANT, bk_narrow(b->out->mirror - to)},
                       (bk_point){BK_CONSTANT, bk_narrow(b->out->mirror - from)},
                       used < most ? used : most, BK_ALWAYS);
        from = to;
    }
}

/* ------------------------------------------------------------------- pools */

/* What ends when something to come does, or begins later, comes first; then what lasts
 * longest: of what is left, each is counted so far that at every minute all that there is
 * counts, where more is used. */
static int by_end(const void *left, const void *right)
{
    const bk_begun *a = left, *b = right;
    return (a->end < b->end) - (a->end > b->end);
}

static void add_clipped(bk_builder *b, bk_uses *list, const bk_begun *begun, size_t count,
                        int64_t size, unsigned chosen)
{
    size_t open = 0;
    for (size_t i = 0; i < count; i++) {
        if (begun[i].open && !(chosen >> open++ & 1))
            continue;
        int64_t amount = begun[i].amount < size ? begun[i].amount : size;
        bk_add_use(b, list, begun[i].to, begun[i].from, amount, BK_ALWAYS);
        size -= amount;
    }
}

void bk_add_begun_pool(bk_builder *b, const bk_uses *to_come, bk_begun *begun, size_t count,
                       int64_t size, int fact)
{
    enum { MOST_OPEN = 6 }; /* more: all of them together, which is strict */
    int64_t all = 0;
    size_t open = 0;
    for (size_t i = 0; i < count; i++) {
        all += begun[i].amount;
        open += begun[i].open;
        if (begun[i].open)
            begun[i].end = INT64_MAX;
    }
    if (count > 1)
        qsort(begun, count, sizeof *begun, by_end);
    unsigned every = open < MOST_OPEN ? (1U << open) - 1 : UINT32_MAX;
    bool one = all <= size || open >= MOST_OPEN;
    for (unsigned chosen = one ? every : 0;; chosen++) {
        bk_uses list = {0};
        for (size_t i = 0; i < to_come->count; i++)
            *BK_PUSH(b->arena, list.items, list.count, list.room) = to_come->items[i];
        add_clipped(b, &list, begun, count, size, chosen);
        bk_problem_cumulative(b->out->problem, bk_narrow(size), list.items, list.count, fact);
        if (chosen == every)
            break;
    }
}

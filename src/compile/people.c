/* Plan to problem: cooks with names and hours of their own. What one cook can do by the
 * hours, from beginning to end, is one cook's; the rest may pass from one to another, as
 * long as hands enough are there at every minute. */
#include "compile/parts.h"

#include <stdlib.h>

/* ---------------------------------------------------------------- the hours */

/* When a cook is not there or has no hands: one's own windows, with the kitchen's or
 * without. */
static bk_spans kept_from(bk_builder *b, size_t cook, bool kitchens)
{
    const bk_kitchen *kitchen = &b->plan->kitchen;
    const bk_cook *who = &kitchen->people[cook];
    bk_spans spans = bk_spans_new(b->arena);
    for (size_t i = 0; i < who->window_count; i++)
        bk_spans_add(&spans, who->windows[i].from, who->windows[i].to, 0);
    for (size_t i = 0; kitchens && i < kitchen->window_count; i++)
        if (!kitchen->windows[i].derived)
            bk_spans_add(&spans, kitchen->windows[i].from, kitchen->windows[i].to, 0);
    return bk_spans_merged(b->arena, &spans);
}

bk_spans bk_cook_kept(bk_builder *b, size_t cook)
{
    return kept_from(b, cook, true);
}

bk_spans *bk_cooks_away(bk_builder *b)
{
    bk_spans *away = BK_NEW(b->arena, bk_spans, b->out->people);
    for (size_t c = 0; c < b->out->people; c++)
        away[c] = kept_from(b, c, false);
    return away;
}

/* The cook's own hours as uses of a pair of hands. */
static void add_absences(bk_builder *b, bk_uses *list, size_t cook)
{
    bk_spans spans = kept_from(b, cook, false);
    for (size_t i = 0; i < spans.count; i++) {
        const bk_span *span = &spans.items[i];
        bk_var counts = BK_ALWAYS;
        int fact = bk_builder_fact(b, BK_FACT_COOK, b->plan->kitchen.people[cook].place);
        bk_fact *about = bk_builder_fact_at(b, fact);
        about->cook = cook;
        about->from = span->from;
        about->to = span->to;
        if (b->options.droppable) {
            counts = bk_problem_var(b->out->problem, 0, 1);
            bk_problem_clause(b->out->problem, &(bk_bound){counts, 1, true}, 1, fact);
        }
        bk_add_use(b, list, (bk_point){BK_CONSTANT, bk_narrow(b->out->mirror - span->to)},
                   (bk_point){BK_CONSTANT, bk_narrow(b->out->mirror - span->from)}, 1, counts);
    }
}

/* ------------------------------------------------------- who can do all of it */

/* From `at` on, an end of some work has so many more cooks who can do all of it, and so
 * many more stretches in it in which too few are there. */
typedef struct edge {
    bk_instant at;
    int cooks, gaps;
} edge;

typedef struct edges {
    edge *items;
    size_t count, room;
} edges;

static void add_edges(bk_builder *b, edges *list, bk_instant first, bk_instant last, int cooks,
                      int gaps)
{
    if (last < first)
        return;
    *BK_PUSH(b->arena, list->items, list->count, list->room) = (edge){first, cooks, gaps};
    *BK_PUSH(b->arena, list->items, list->count, list->room) = (edge){last + 1, -cooks, -gaps};
}

static int by_time(const void *left, const void *right)
{
    const edge *a = left, *b = right;
    return (a->at > b->at) - (a->at < b->at);
}

static void sort(edges *list)
{
    if (list->count > 1)
        qsort(list->items, list->count, sizeof *list->items, by_time);
}

/* Where the edges come one after another: ends of work from `from` on and before `to`. */
typedef struct stretch {
    bk_instant from, to;
    int64_t cooks, gaps;
} stretch;

/* The stretch from sorted edge *at on, its numbers on from those of the one before. False behind
 * the last. */
static bool next_stretch(const edges *list, size_t *at, stretch *s)
{
    if (*at == list->count)
        return false;
    s->from = list->items[*at].at;
    for (; *at < list->count && list->items[*at].at == s->from; ++*at) {
        s->cooks += list->items[*at].cooks;
        s->gaps += list->items[*at].gaps;
    }
    if (*at == list->count)
        return false;
    s->to = list->items[*at].at;
    return true;
}

/* Ends of work of `length` that lie all in time in which the cook can. */
static void add_whole(bk_builder *b, edges *list, const bk_spans *kept, int64_t length,
                      bk_instant low, bk_instant high)
{
    bk_instant from = low;
    for (size_t i = 0; i <= kept->count; i++) {
        bk_instant to = i < kept->count ? kept->items[i].from : high;
        add_edges(b, list, from + length, to, 1, 0);
        if (i < kept->count)
            from = kept->items[i].to;
    }
}

/* Times in which fewer than `hands` cooks can, as [first, last) for the ends of work that
 * overlaps them. */
static void add_short(bk_builder *b, edges *list, const bk_spans *kept, size_t cooks, int64_t hands,
                      int64_t length)
{
    edges changes = {0};
    for (size_t c = 0; c < cooks; c++)
        for (size_t i = 0; i < kept[c].count; i++)
            add_edges(b, &changes, kept[c].items[i].from, kept[c].items[i].to - 1, -1, 0);
    sort(&changes);
    stretch s = {.cooks = (int64_t)cooks};
    for (size_t i = 0; next_stretch(&changes, &i, &s);)
        if (s.cooks < hands)
            add_edges(b, list, s.from + 1, s.to + length - 1, 0, 1);
}

/* ------------------------------------------------------------- whose work it is */

/* Work that too few can do from beginning to end may pass from one to another, but only
 * where that is so. The variable that says it passes, or BK_CONSTANT where it never may. */
static bk_var build_passing(bk_builder *b, const bk_handwork *work, const bk_spans *kept)
{
    bk_compiled *out = b->out;
    bk_instant low = b->plan->earliest - BK_DAY,
               high = b->plan->last_serve + bk_put_off_most(b) + BK_DAY;
    edges list = {0};
    for (size_t c = 0; c < out->people; c++)
        add_whole(b, &list, &kept[c], work->length, low, high);
    add_short(b, &list, kept, out->people, work->hands, work->length);
    add_edges(b, &list, low + work->length, high, 0, 0);
    sort(&list);
    bool may = false;
    stretch s = {0};
    for (size_t i = 0; next_stretch(&list, &i, &s);)
        may = may || (s.cooks < work->hands && s.gaps == 0);
    if (!may)
        return BK_CONSTANT;
    bk_var passes = bk_problem_var(out->problem, 0, 1);
    s = (stretch){0};
    for (size_t i = 0; next_stretch(&list, &i, &s);)
        if (s.cooks >= work->hands) {
            bk_bound either[3] = {
                {passes, 0, false},
                {work->from.var, bk_narrow(out->mirror - s.from) + 1 - work->from.plus, true},
                {work->from.var, bk_narrow(out->mirror - s.to) - work->from.plus, false}};
            bk_problem_clause(out->problem, either, 3, BK_NO_FACT);
        }
    return passes;
}

/* At least `hands` of the cooks, or it passes: of any cooks but hands - 1, one. */
static void build_enough(bk_builder *b, const bk_handwork *work, bk_var passes)
{
    size_t n = b->out->people, need = n - (size_t)work->hands + 1;
    bk_bound either[BK_MOST_NAMED_COOKS + 1];
    for (unsigned chosen = 0; chosen < 1u << n; chosen++) {
        size_t count = 0;
        for (size_t c = 0; c < n; c++)
            if (chosen >> c & 1)
                either[count++] = (bk_bound){work->by[c], 1, true};
        if (count != need)
            continue;
        if (passes != BK_CONSTANT)
            either[count++] = (bk_bound){passes, 1, true};
        bk_problem_clause(b->out->problem, either, count, BK_NO_FACT);
    }
}

void bk_build_people(bk_builder *b, bk_uses *list, const bk_handwork *work, size_t count, int fact)
{
    bk_compiled *out = b->out;
    bk_spans *kept = BK_NEW(b->arena, bk_spans, out->people);
    bk_uses *own = BK_NEW(b->arena, bk_uses, out->people);
    for (size_t c = 0; c < out->people; c++) {
        kept[c] = bk_cook_kept(b, c);
        size_t before = list->count;
        add_absences(b, list, c);
        for (size_t i = before; i < list->count; i++)
            *BK_PUSH(b->arena, own[c].items, own[c].count, own[c].room) = list->items[i];
    }
    for (size_t i = 0; i < count; i++) {
        if (work[i].length == 0)
            continue;
        for (size_t c = 0; c < out->people; c++) {
            work[i].by[c] = bk_problem_var(out->problem, 0, 1);
            bk_add_use(b, &own[c], work[i].from, work[i].to, 1, work[i].by[c]);
        }
        build_enough(b, &work[i], build_passing(b, &work[i], kept));
    }
    for (size_t c = 0; c < out->people; c++)
        bk_problem_cumulative(out->problem, 1, own[c].items, own[c].count, fact);
}

/* Plan to problem: somebody begins what goes by itself, and takes out what is in an
 * oven. Those moments, the touches, are not inside a time in which nobody can. */
#include "compile/parts.h"

/* Up to so many facts each touch has its own, which an explanation then names. */
enum { MOST_OWN_FACTS = 50000 };

size_t bk_touches_of(const bk_builder *b, size_t i, bk_point touches[2])
{
    const bk_stage *stage = &b->plan->stages[i];
    size_t n = 0;
    if (bk_has_begun(stage)) {
        if (bk_is_heated(stage) && stage->progress == BK_RUNNING)
            touches[n++] = bk_end_of(b, i);
        return n;
    }
    if (stage->attention != BK_HANDS && !stage->begins_itself)
        touches[n++] = bk_start_of(b, i);
    if (bk_is_heated(stage))
        touches[n++] = bk_end_of(b, i);
    return n;
}

static bk_spans nobody_can(bk_builder *b)
{
    const bk_kitchen *kitchen = &b->plan->kitchen;
    bk_spans spans = bk_spans_new(b->arena);
    for (size_t w = 0; w < kitchen->window_count; w++)
        bk_spans_add(&spans, kitchen->windows[w].from, kitchen->windows[w].to, 0);
    return bk_spans_merged(b->arena, &spans);
}

/* The minutes strictly inside each span, mirrored; `stage` is whose touch it is, or
 * SIZE_MAX for anybody's. */
static bk_hole *holes_of(bk_builder *b, const bk_spans *spans, size_t stage, size_t *count)
{
    bk_hole *holes = BK_NEW(b->arena, bk_hole, spans->count);
    *count = 0;
    for (size_t i = spans->count; i-- > 0;) {
        const bk_span *span = &spans->items[i];
        if (span->to - span->from < 2)
            continue;
        bk_place place = stage == SIZE_MAX ? (bk_place){0} : b->plan->stages[stage].place;
        int fact = bk_builder_fact(b, BK_FACT_BEGINS, place);
        bk_fact *about = bk_builder_fact_at(b, fact);
        about->stage = stage;
        about->from = span->from;
        about->to = span->to;
        holes[(*count)++] = (bk_hole){bk_narrow(b->out->mirror - span->to) + 1,
                                      bk_narrow(b->out->mirror - span->from), fact};
    }
    return holes;
}

void bk_build_begins(bk_builder *b)
{
    size_t n = b->plan->stage_count, count = 0;
    bk_spans spans = nobody_can(b);
    if (spans.count == 0)
        return;
    bool own = b->options.droppable && n <= MOST_OWN_FACTS / spans.count;
    bk_hole *shared = own ? NULL : holes_of(b, &spans, SIZE_MAX, &count);
    for (size_t i = 0; i < n; i++) {
        bk_point touches[2];
        size_t of_stage = bk_has_begun(&b->plan->stages[i]) ? 0 : bk_touches_of(b, i, touches);
        bk_hole *holes = shared;
        if (own && of_stage > 0)
            holes = holes_of(b, &spans, i, &count);
        for (size_t k = 0; k < of_stage; k++)
            bk_problem_holes(b->out->problem, touches[k],
                             (bk_point){touches[k].var, touches[k].plus + 1}, holes, count);
    }
}

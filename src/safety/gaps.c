/* Food that stands: every half hour or more between a stage and what follows it that no
 * key of the plan limits. Told, not judged. */
#include "safety/safety.h"

#include "safety/standing.h"

#include <stdlib.h>

/* Out of the oven or off the hob so lately, food is taken for hot (common practice, no
 * source). */
enum { STAYS_HOT = 90 };

typedef struct gaps {
    bk_timeline *timeline;
    const bk_plan *plan;
    bk_standings standings;
    bk_instant *hot_end; /* by stage: when its food was last in a hot place; INT64_MIN: never */
    size_t room;
} gaps;

/* When the food of each stage last left a hot place, cold places forgotten. */
static void fill_hot_ends(bk_arena *arena, gaps *g)
{
    g->hot_end = BK_NEW(arena, bk_instant, g->plan->stage_count);
    for (size_t i = 0; i < g->standings.count; i++) {
        size_t n = g->standings.order[i];
        const bk_standing *at = &g->standings.stage[n];
        const bk_stage *stage = &g->plan->stages[n];
        g->hot_end[n] = INT64_MIN;
        if (at->place == BK_STANDS_HOT)
            g->hot_end[n] = at->end;
        if (at->place == BK_STANDS_HOT || at->place == BK_STANDS_COLD)
            continue;
        for (size_t k = 0; k < stage->link_count; k++) {
            size_t before = stage->links[k].stage;
            if (bk_hands_on_food(g->plan, n, &stage->links[k]) &&
                !bk_held_cold(&g->standings, stage->dish, g->standings.stage[before].end,
                              at->start) &&
                g->hot_end[before] > g->hot_end[n])
                g->hot_end[n] = g->hot_end[before];
        }
        /* Nothing in between counts as warm for ever. */
        if (g->hot_end[n] != INT64_MIN && at->end - g->hot_end[n] > STAYS_HOT)
            g->hot_end[n] = INT64_MIN;
    }
}

/* The cold equipment that a dish is in throughout [from, to); SIZE_MAX: none. */
static size_t cold_place(const gaps *g, size_t dish, bk_instant from, bk_instant to)
{
    const bk_dish *d = &g->plan->dishes[dish];
    if (!bk_held_cold(&g->standings, dish, from, to))
        return SIZE_MAX;
    for (size_t i = 0; i < d->stage_count; i++) {
        const bk_stage *stage = &g->plan->stages[d->first_stage + i];
        for (size_t h = 0; h < stage->hold_count; h++)
            if (g->plan->kitchen.equipment[stage->holds[h].equipment].kind == BK_COLD &&
                g->standings.stage[d->first_stage + i].start <= from &&
                g->standings.stage[stage->holds[h].until].end > from)
                return stage->holds[h].equipment;
    }
    for (size_t k = 0; k < d->stored_count; k++)
        if (g->plan->kitchen.equipment[d->stored[k].equipment].kind == BK_COLD)
            return d->stored[k].equipment;
    return SIZE_MAX;
}

static void add_gap(bk_arena *arena, gaps *g, size_t after, size_t before, bk_instant until,
                    int64_t asked)
{
    const bk_standing *at = &g->standings.stage[after];
    size_t dish = g->plan->stages[after].dish;
    if (until - at->end < BK_LEAST_GAP)
        return;
    bk_gap *gap = BK_PUSH(arena, g->timeline->gaps, g->timeline->gap_count, g->room);
    *gap = (bk_gap){.dish = dish,
                    .after = after,
                    .before = before,
                    .minutes = until - at->end,
                    .asked = asked,
                    .cold = cold_place(g, dish, at->end, until),
                    .spoils = at->at_risk};
    gap->hot = gap->cold == SIZE_MAX && g->hot_end[after] != INT64_MIN;
}

static size_t last_stage(const gaps *g, const bk_dish *dish)
{
    size_t last = dish->first_stage;
    for (size_t i = 1; i < dish->stage_count; i++)
        if (g->standings.stage[dish->first_stage + i].end >= g->standings.stage[last].end)
            last = dish->first_stage + i;
    return last;
}

void bk_find_gaps(bk_arena *arena, bk_timeline *timeline)
{
    gaps g = {.timeline = timeline,
              .plan = timeline->plan,
              .standings = bk_standings_of(arena, timeline)};
    fill_hot_ends(arena, &g);
    for (size_t n = 0; n < g.plan->stage_count; n++)
        for (size_t k = 0; k < g.plan->stages[n].link_count; k++) {
            const bk_link *link = &g.plan->stages[n].links[k];
            if ((!link->has_within || link->run_out) && !g.plan->dishes[g.plan->stages[n].dish].out)
                add_gap(arena, &g, link->stage, n, g.standings.stage[n].start,
                        link->from_start ? 0 : link->wait);
        }
    for (size_t d = 0; d < g.plan->dish_count; d++)
        if ((!g.plan->dishes[d].has_keeps || g.plan->dishes[d].keeps_run_out) &&
            !g.plan->dishes[d].out && !g.plan->dishes[d].part)
            add_gap(arena, &g, last_stage(&g, &g.plan->dishes[d]), SIZE_MAX,
                    g.plan->dishes[d].serve, bk_margin_of(g.plan, &g.plan->dishes[d]));
}

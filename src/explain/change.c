/* One change after another, tried: does the plan fit with so much of it, and what is the least. */
#include "explain/change.h"

#include <string.h>

bk_edit_set bk_edits_of(bk_trying *s)
{
    return (bk_edit_set){.arena = s->arena, .trees = &s->trees};
}

/* How a change that was kept, or NULL, is made in the plan's files. */
void bk_written_as(bk_attempt *kept, const bk_edit_set *edits)
{
    if (!kept)
        return;
    kept->remedy.edits = edits->items;
    kept->remedy.edit_count = edits->count;
}

/* The same of one value. */
void bk_replaces(bk_trying *s, bk_attempt *kept, bk_place place, const char *text)
{
    bk_edit_set edits = bk_edits_of(s);
    if (kept)
        bk_edit_replace(&edits, place, bk_value_text(s->arena, text));
    bk_written_as(kept, &edits);
}

bk_plan *bk_plan_copy(bk_arena *arena, const bk_plan *old)
{
    bk_plan *plan = BK_NEW(arena, bk_plan, 1);
    *plan = *old;
    return plan;
}

void *bk_copy_of(bk_arena *arena, const void *items, size_t bytes)
{
    void *copy = bk_alloc(arena, bytes, 1);
    if (bytes > 0)
        memcpy(copy, items, bytes);
    return copy;
}

bool bk_fits(bk_trying *s, const bk_plan *plan)
{
    bk_mark mark = bk_arena_mark(s->arena);
    bool loose = s->aside_count > 0;
    bk_compiled *compiled =
        bk_compile(s->arena, plan, &(bk_compile_options){.no_objective = true, .droppable = loose});
    bool *dropped = loose ? bk_facts_aside(s->arena, compiled, s->aside, s->aside_count) : NULL;
    bk_result result = bk_solve(s->arena, compiled->problem,
                                &(bk_solve_options){.dropped = dropped,
                                                    .conflicts = s->effort,
                                                    .work = s->effort * BK_WORK_A_CONFLICT,
                                                    .facts = compiled->fact_count,
                                                    .first_only = true,
                                                    .onlooker = s->onlooker});
    bool found = result.value;
    s->timeline->wrong = s->timeline->wrong || result.status == BK_WRONG;
    bk_arena_release(s->arena, mark);
    return found;
}

/* A stage of a changed plan, as the plan itself counts it: dishes may be missing in the
 * changed one, and those that are there have their names. */
static size_t stage_as_read(const bk_plan *plan, const bk_plan *changed, size_t stage)
{
    const bk_dish *dish = &changed->dishes[changed->stages[stage].dish];
    for (size_t i = 0; i < plan->dish_count; i++)
        if (strcmp(plan->dishes[i].name, dish->name) == 0)
            return plan->dishes[i].first_stage + (stage - dish->first_stage);
    return SIZE_MAX;
}

static void note_harms(const bk_plan *plan, const bk_timeline *timeline, bk_attempt *candidate)
{
    for (size_t i = 0; i < timeline->warning_count && candidate->harm_count < BK_MOST_HARMS; i++) {
        const bk_message *warning = &timeline->warnings[i];
        if (warning->about.concern != BK_FOOD_SAFETY || warning->about.stage == SIZE_MAX)
            continue;
        size_t stage = stage_as_read(plan, timeline->plan, warning->about.stage);
        if (stage != SIZE_MAX)
            candidate->harms[candidate->harm_count++] = (bk_warned){warning->code, stage};
    }
}

/* Takes up a change whose plan was found to fit: schedules it for real, so that the
 * remedy is a verified timeline with a start. */
bk_attempt *bk_keep_change(bk_trying *s, bk_plan_change *make, void *context, int64_t amount,
                           const char *change, int64_t size, const char *message)
{
    bk_mark mark = bk_arena_mark(s->arena);
    bk_attempt kept = {.change = make,
                       .context = context,
                       .amount = amount,
                       .size = size,
                       .eased = SIZE_MAX,
                       .left_out = SIZE_MAX,
                       .target = SIZE_MAX};
    if (s->aside_count > 0) {
        kept.remedy = (bk_remedy){.change = change, .message = message};
        bk_attempt *settles = BK_PUSH(s->arena, s->found, s->count, s->room);
        *settles = kept;
        return settles;
    }
    const bk_timeline *timeline =
        s->reschedule(s->arena, make(s->arena, s->plan, context, amount), s->effort, s->onlooker);
    s->timeline->wrong = s->timeline->wrong || !timeline;
    bool placed = timeline && timeline->stage_count > 0;
    kept.remedy = (bk_remedy){.change = change,
                              .message = message,
                              .has_first_start = true,
                              .first_start = placed ? timeline->start : 0};
    if (placed)
        note_harms(s->plan, timeline, &kept);
    bk_arena_release(s->arena, mark);
    if (!placed)
        return NULL;
    bk_attempt *candidate = BK_PUSH(s->arena, s->found, s->count, s->room);
    *candidate = kept;
    return candidate;
}

bool bk_fits_changed(bk_trying *s, bk_plan_change *change, void *context, int64_t amount)
{
    bk_mark mark = bk_arena_mark(s->arena);
    bool found = bk_fits(s, change(s->arena, s->plan, context, amount));
    bk_arena_release(s->arena, mark);
    return found;
}

/* The least amount in 1..most for which the changed plan fits; 0 when not even
 * `most` does. More of a change never makes less possible, so halving is exact. */
int64_t bk_least_change(bk_trying *s, int64_t most, bk_plan_change *change, void *context)
{
    if (most <= 0 || !bk_fits_changed(s, change, context, most))
        return 0;
    int64_t low = 0, high = most;
    while (high - low > 1) {
        int64_t middle = low + (high - low) / 2;
        if (bk_fits_changed(s, change, context, middle))
            high = middle;
        else
            low = middle;
    }
    return high;
}

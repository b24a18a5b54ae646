/* The histories of a plan's recipes, and what they propose. */
#include "learn/learn.h"

#include <math.h>
#include <string.h>

typedef struct learner {
    bk_arena *arena;
    const bk_files *files;
    bk_report *report;
    bk_learned *learned;
    bk_history *histories; /* by source of the plan */
    const char **paths;    /* of each; NULL: none could be */
    bool **used;           /* of each its real times: of a stage that is there */
    double *ratios;        /* of hands, real to likely as written */
    size_t ratio_count, ratio_room, strange_room;
} learner;

static size_t source_index(const bk_plan *plan, const bk_source *source)
{
    for (size_t i = 0; i < plan->source_count; i++)
        if (plan->sources[i] == source)
            return i;
    return SIZE_MAX;
}

const char *bk_written_id(bk_arena *arena, const bk_stage *stage)
{
    const char *hash = stage->batch > 0 ? strrchr(stage->id, '#') : NULL;
    return hash ? bk_copy(arena, stage->id, (size_t)(hash - stage->id)) : stage->id;
}

/* What stands at the stage's range, without its quotes; NULL where that is computed. No range
 * has an escape that would matter to a reader of it. */
static const char *written_range(bk_arena *arena, const bk_stage *stage)
{
    const bk_source *source = stage->range_place.source;
    size_t from = stage->range_place.offset + 1, to = from;
    if (stage->cooling || !source || from >= source->length || source->text[from - 1] != '"')
        return NULL;
    while (to < source->length && source->text[to] != '"')
        to += source->text[to] == '\\' ? 2 : 1;
    return bk_copy(arena, source->text + from, (to < source->length ? to : source->length) - from);
}

/* A real time of 0 minutes took less than one. */
static double as_written(const bk_real_time *time)
{
    double minutes = time->minutes > 0 ? (double)time->minutes : 0.5;
    return minutes / time->times;
}

static bool is_written_before(const bk_plan *plan, size_t stage)
{
    bk_place place = plan->stages[stage].range_place;
    for (size_t i = 0; i < stage; i++)
        if (plan->stages[i].range_place.source == place.source &&
            plan->stages[i].range_place.offset == place.offset)
            return true;
    return false;
}

/* The real times of a stage in the history of `source`: in a recipe's, of the stage of that id
 * whatever the dish is called in a plan; in the plan's own, of the dish too. */
static void gather(learner *l, size_t source, bk_stage_times *of)
{
    const bk_plan *plan = l->learned->plan;
    const bk_history *history = &l->histories[source];
    const char *dish = plan->dishes[plan->stages[of->stage].dish].name;
    size_t all = 0;
    of->times = BK_NEW(l->arena, const bk_real_time *, history->count);
    for (size_t i = 0; i < history->count; i++) {
        const bk_real_time *time = &history->items[i];
        if (!time->stage || strcmp(time->stage, of->id) != 0 ||
            (source == 0 && !plan->alone && strcmp(time->dish, dish) != 0))
            continue;
        l->used[source][i] = true;
        of->times[all++] = time;
    }
    of->older = all > BK_MOST_TIMES ? all - BK_MOST_TIMES : 0;
    of->times += of->older;
    of->count = all - of->older;
}

static void propose(learner *l, bk_stage_times *of)
{
    double least, likely, most;
    double *counted = BK_NEW(l->arena, double, of->count);
    size_t apart = bk_stand_apart(l->arena, of->minutes, of->count, of->apart), count = 0;
    if (of->count < BK_LEAST_TIMES)
        return;
    /* Of too few none is left out: who knows then which is the strange one. */
    if (of->count - apart < BK_LEAST_TIMES)
        memset(of->apart, 0, of->count * sizeof *of->apart);
    for (size_t i = 0; i < of->count; i++)
        if (!of->apart[i])
            counted[count++] = of->minutes[i];
    if (!of->written)
        return;
    bk_next_time(counted, count, &least, &likely, &most);
    of->proposed = bk_range_words(l->arena, least, likely, most);
    bk_range now = {0}, then = {0};
    const char *mend = NULL;
    /* What cannot be read as a range is no proposal (more than the limits of one). */
    if (!bk_read_range(of->proposed, &then, &mend))
        of->proposed = NULL;
    else
        of->changes = !bk_read_range(of->written, &now, &mend) || now.least != then.least ||
                      now.likely != then.likely || now.most != then.most;
}

/* Real to likely as written, where hands are needed: that is what a pace multiplies. */
static void compare_hands(learner *l, const bk_stage_times *of)
{
    bk_range range = {0};
    const char *mend = NULL;
    const bk_stage *stage = &l->learned->plan->stages[of->stage];
    if (stage->attention != BK_HANDS || !of->written ||
        !bk_read_range(of->written, &range, &mend) || range.likely == 0)
        return;
    for (size_t i = 0; i < of->count; i++)
        *BK_PUSH(l->arena, l->ratios, l->ratio_count, l->ratio_room) =
            of->minutes[i] / (double)range.likely;
}

static void learn_stage(learner *l, size_t index)
{
    bk_learned *learned = l->learned;
    const bk_stage *stage = &learned->plan->stages[index];
    size_t source = source_index(learned->plan, stage->range_place.source);
    if (source == SIZE_MAX || is_written_before(learned->plan, index))
        return;
    bk_stage_times *of = &learned->stages[learned->stage_count];
    *of = (bk_stage_times){.stage = index, .id = bk_written_id(l->arena, stage)};
    gather(l, source, of);
    if (of->count == 0) {
        learned->without++;
        return;
    }
    of->written = written_range(l->arena, stage);
    of->minutes = BK_NEW(l->arena, double, of->count);
    of->apart = BK_NEW(l->arena, bool, of->count);
    for (size_t i = 0; i < of->count; i++)
        of->minutes[i] = as_written(of->times[i]);
    propose(l, of);
    compare_hands(l, of);
    learned->stage_count++;
}

/* ------------------------------------------------------------------- ovens */

static void learn_oven(learner *l, size_t equipment)
{
    const bk_plan *plan = l->learned->plan;
    size_t room = 0, count = 0;
    double *ratios = NULL;
    for (size_t s = 0; s < plan->source_count; s++)
        for (size_t i = 0; i < l->histories[s].count; i++) {
            const bk_real_time *time = &l->histories[s].items[i];
            if (!time->oven || strcmp(time->oven, plan->kitchen.equipment[equipment].name) != 0)
                continue;
            l->used[s][i] = true;
            if (time->planned > 0)
                *BK_PUSH(l->arena, ratios, count, room) =
                    (double)time->minutes / (double)time->planned;
        }
    if (count > 0)
        l->learned->ovens[l->learned->oven_count++] =
            (bk_oven_times){equipment, {count, bk_median(ratios, count)}};
}

/* --------------------------------------------------------------------- whole */

/* What is in a history and in no plan: its stage may have been renamed. */
static void find_strange(learner *l, size_t source)
{
    const bk_history *history = &l->histories[source];
    bk_learned *learned = l->learned;
    size_t first = learned->strange_count;
    for (size_t i = 0; i < history->count; i++) {
        const char *name =
            history->items[i].stage ? history->items[i].stage : history->items[i].oven;
        size_t k = first;
        if (l->used[source][i])
            continue;
        while (k < learned->strange_count && strcmp(learned->strange[k].stage, name) != 0)
            k++;
        if (k == learned->strange_count)
            *BK_PUSH(l->arena, learned->strange, learned->strange_count, l->strange_room) =
                (bk_strange_times){.path = l->paths[source], .stage = name};
        learned->strange[k].count++;
    }
}

static bool read_histories(learner *l)
{
    const bk_plan *plan = l->learned->plan;
    bool good = true;
    l->histories = BK_NEW(l->arena, bk_history, plan->source_count);
    l->paths = BK_NEW(l->arena, const char *, plan->source_count);
    l->used = BK_NEW(l->arena, bool *, plan->source_count);
    for (size_t i = 0; i < plan->source_count; i++) {
        l->paths[i] = bk_history_path(l->arena, plan->sources[i]->name);
        if (l->paths[i])
            good = bk_history_read(l->arena, l->files, l->paths[i], &l->histories[i], l->report) &&
                   good;
        l->used[i] = BK_NEW(l->arena, bool, l->histories[i].count);
    }
    return good;
}

const bk_learned *bk_learn(bk_arena *arena, const bk_files *files, const bk_plan *plan,
                           bk_report *report)
{
    bk_learned *learned = BK_NEW(arena, bk_learned, 1);
    learner l = {.arena = arena, .files = files, .report = report, .learned = learned};
    learned->plan = plan;
    if (!read_histories(&l))
        return NULL;
    learned->stages = BK_NEW(arena, bk_stage_times, plan->stage_count);
    for (size_t i = 0; i < plan->stage_count; i++)
        learn_stage(&l, i);
    learned->ovens = BK_NEW(arena, bk_oven_times, plan->kitchen.equipment_count);
    for (size_t i = 0; i < plan->kitchen.equipment_count; i++)
        if (plan->kitchen.equipment[i].kind == BK_OVEN)
            learn_oven(&l, i);
    for (size_t i = 0; i < plan->source_count; i++)
        find_strange(&l, i);
    learned->hands.count = l.ratio_count;
    if (l.ratio_count > 0) {
        learned->hands.ratio = bk_median(l.ratios, l.ratio_count);
        double pace = round(learned->hands.ratio * plan->kitchen.pace * 20.0) / 20.0;
        learned->pace = pace < 0.5 ? 0.5 : pace > 3.0 ? 3.0 : pace;
    }
    return learned;
}

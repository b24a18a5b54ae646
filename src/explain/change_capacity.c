/* More of what there is not enough of: cooks, ovens, shelves, places, rings, tools. */
#include "explain/change.h"

#include <inttypes.h>
#include <string.h>

enum { MOST_EXTRA = 4 /* cooks, ovens, places or tools */ };

/* What a thing that is not time asks, in minutes, for the order alone: a cook finds
 * an hour sooner than another fridge place, that sooner than an oven. */
enum { TOOL_LIKE = 90, PLACE_LIKE = 120, COOK_LIKE = 240, OVEN_LIKE = 720 };

/* ---------------------------------------------------------------- capacity */

static bk_plan *another_cook(bk_arena *arena, const bk_plan *old, void *context, int64_t extra)
{
    (void)context;
    bk_plan *plan = bk_plan_copy(arena, old);
    bk_kitchen *kitchen = &plan->kitchen;
    kitchen->cooks += (int)extra;
    if (kitchen->people_count == 0)
        return plan;
    bk_cook *people = BK_NEW(arena, bk_cook, (size_t)kitchen->cooks);
    memcpy(people, kitchen->people, kitchen->people_count * sizeof *people);
    for (size_t c = kitchen->people_count; c < (size_t)kitchen->cooks; c++)
        people[c].name = "another cook";
    kitchen->people = people;
    kitchen->people_count = (size_t)kitchen->cooks;
    bk_kitchen_gather(arena, kitchen);
    return plan;
}

static void write_cooks(bk_trying *s, bk_edit_set *edits, int64_t extra)
{
    const bk_kitchen *kitchen = &s->plan->kitchen;
    for (int64_t i = 0; i < extra && kitchen->people_count > 0; i++)
        bk_edit_add_last(
            edits, s->plan->cooks_place,
            bk_value_object(
                s->arena, (const char *const[]){
                              "cook", bk_format(s->arena, "another cook %" PRId64, i + 1), NULL}));
    if (kitchen->people_count > 0)
        return;
    const bk_json *cooks = bk_value_number(s->arena, kitchen->cooks + extra);
    if (s->plan->cooks_place.source)
        bk_edit_replace(edits, s->plan->cooks_place, cooks);
    else if (kitchen->place.source)
        bk_edit_add(edits, kitchen->place, "cooks", cooks);
    else
        bk_edit_add_beside(edits, s->plan->occasion_place, "kitchen",
                           bk_value_member(s->arena, "cooks", cooks));
}

void bk_try_cooks(bk_trying *s)
{
    int64_t most = MOST_EXTRA;
    if (s->plan->kitchen.people_count > 0)
        most = BK_MOST_NAMED_COOKS - (int64_t)s->plan->kitchen.people_count;
    int64_t extra = bk_least_change(s, most < MOST_EXTRA ? most : MOST_EXTRA, another_cook, NULL);
    if (extra == 0)
        return;
    const char *words = extra == 1 ? "have one more cook"
                                   : bk_format(s->arena, "have %" PRId64 " more cooks", extra);
    if (s->plan->kitchen.people_count == 0)
        words = bk_format(s->arena, "%s (\"cooks\": %" PRId64 ")", words,
                          s->plan->kitchen.cooks + extra);
    bk_attempt *kept =
        bk_keep_change(s, another_cook, NULL, extra, "cook", extra * COOK_LIKE, words);
    bk_edit_set edits = bk_edits_of(s);
    write_cooks(s, &edits, extra);
    bk_written_as(kept, &edits);
    if (kept)
        kept->target = 0;
}

static bk_plan *more_equipment(bk_arena *arena, const bk_plan *old, void *context, int64_t extra)
{
    const bk_fact *fact = context;
    bk_plan *plan = bk_plan_copy(arena, old);
    plan->kitchen.equipment =
        bk_copy_of(arena, plan->kitchen.equipment,
                   plan->kitchen.equipment_count * sizeof *plan->kitchen.equipment);
    bk_equipment *equipment = &plan->kitchen.equipment[fact->equipment];
    if (fact->kind == BK_FACT_SHELVES)
        equipment->shelves += (int)extra;
    else if (equipment->kind == BK_OVEN)
        equipment->count += (int)extra;
    else
        equipment->pool += extra;
    return plan;
}

/* How more of it is written; nothing where several units have places or rings of their own,
 * of which each then has as many. */
static const char *as_written(bk_trying *s, const bk_equipment *equipment, bool shelf,
                              int64_t extra, bk_edit_set *edits)
{
    bool counted = equipment->kind == BK_TOOL || equipment->kind == BK_OVEN;
    int64_t now = shelf                        ? equipment->shelves
                  : equipment->kind == BK_OVEN ? equipment->count
                                               : equipment->pool;
    if (!counted && equipment->count > 1)
        return "";
    const char *key = shelf                       ? "shelves"
                      : counted                   ? "count"
                      : equipment->kind == BK_HOB ? "rings"
                                                  : "places";
    bk_edit_add(edits, equipment->place, key, bk_value_number(s->arena, now + extra));
    return bk_format(s->arena, " (\"%s\": %" PRId64 ")", key, now + extra);
}

void bk_try_equipment(bk_trying *s, bk_fact *fact)
{
    const bk_equipment *equipment = &s->plan->kitchen.equipment[fact->equipment];
    bool shelf = fact->kind == BK_FACT_SHELVES;
    int64_t extra = bk_least_change(s, MOST_EXTRA, more_equipment, fact);
    if (extra == 0)
        return;
    const char *unit = shelf                        ? "shelf"
                       : equipment->kind == BK_OVEN ? "oven"
                       : equipment->kind == BK_HOB  ? "ring"
                       : equipment->kind == BK_COLD ? "place"
                                                    : "of it";
    const char *plural = shelf ? "shelves" : bk_format(s->arena, "%ss", unit);
    if (!shelf && equipment->kind == BK_TOOL)
        plural = unit;
    int64_t like = shelf || equipment->kind == BK_COLD || equipment->kind == BK_HOB ? PLACE_LIKE
                   : equipment->kind == BK_OVEN                                     ? OVEN_LIKE
                                                                                    : TOOL_LIKE;
    const char *words =
        extra == 1
            ? bk_format(s->arena, "%s: have one more %s", equipment->name, unit)
            : bk_format(s->arena, "%s: have %" PRId64 " more %s", equipment->name, extra, plural);
    bk_edit_set edits = bk_edits_of(s);
    words = bk_format(s->arena, "%s%s", words, as_written(s, equipment, shelf, extra, &edits));
    bk_attempt *kept =
        bk_keep_change(s, more_equipment, fact, extra, "equipment", extra * like, words);
    bk_written_as(kept, &edits);
    if (kept)
        kept->target = 2 * fact->equipment + shelf;
}

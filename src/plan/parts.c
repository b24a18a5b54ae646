/* Parts: dishes that are not served themselves; they are for the dishes that link to them. */
#include "plan/reader.h"

#include <stdlib.h>
#include <string.h>

/* ----------------------------------------------------- when they are wanted */

typedef struct wanted {
    bk_instant serve;
    size_t dish;
} wanted;

static int latest_first(const void *left, const void *right)
{
    const wanted *a = left, *b = right;
    if (a->serve != b->serve)
        return a->serve > b->serve ? -1 : 1;
    return (a->dish > b->dish) - (a->dish < b->dish);
}

/* Gives the serve of `from` to the parts it builds on, and to those that they build on, as
 * far as none is given yet. */
static void hand_down(bk_plan *plan, size_t from, size_t *stack, bool *known)
{
    const bk_dish *served = &plan->dishes[from];
    size_t depth = 0;
    stack[depth++] = from;
    while (depth > 0) {
        const bk_dish *dish = &plan->dishes[stack[--depth]];
        for (size_t s = dish->first_stage; s < dish->first_stage + dish->stage_count; s++)
            for (size_t k = 0; k < plan->stages[s].link_count; k++) {
                size_t other = plan->stages[plan->stages[s].links[k].stage].dish;
                if (known[other])
                    continue;
                known[other] = true;
                plan->dishes[other].serve = served->serve;
                plan->dishes[other].serve_place = served->serve_place;
                stack[depth++] = other;
            }
    }
}

bool *bk_parts_serve(bk_arena *arena, bk_plan *plan)
{
    bool *known = BK_NEW(arena, bool, plan->dish_count);
    size_t *stack = BK_NEW(arena, size_t, plan->dish_count);
    wanted *served = BK_NEW(arena, wanted, plan->dish_count);
    size_t count = 0;
    for (size_t d = 0; d < plan->dish_count; d++) {
        known[d] = !plan->dishes[d].part;
        if (known[d])
            served[count++] = (wanted){plan->dishes[d].serve, d};
    }
    if (count > 0)
        qsort(served, count, sizeof *served, latest_first);
    for (size_t i = 0; i < count; i++)
        hand_down(plan, served[i].dish, stack, known);
    return known;
}

void bk_span_serves(bk_plan *plan)
{
    plan->first_serve = INT64_MAX;
    plan->last_serve = INT64_MIN;
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[d];
        if (dish->part)
            continue;
        plan->first_serve = dish->serve < plan->first_serve ? dish->serve : plan->first_serve;
        plan->last_serve = dish->serve > plan->last_serve ? dish->serve : plan->last_serve;
    }
}

void bk_check_parts(bk_reader *reader)
{
    bk_plan *plan = reader->plan;
    const bool *known = bk_parts_serve(reader->arena, plan);
    for (size_t d = 0; d < plan->dish_count; d++)
        reader->dish_serve_known[d] =
            reader->dish_serve_known[d] || (plan->dishes[d].part && known[d]);
    for (size_t d = 0; d < plan->dish_count && !plan->alone; d++)
        if (!known[d] && !reader->dish_failed)
            bk_problem(reader, "part", plan->dishes[d].part_place,
                       bk_format(reader->arena,
                                 "in the \"after\" of the dish that it is for, name a stage of "
                                 "it: \"%s/...\", or take out \"part\"",
                                 plan->dishes[d].name ? plan->dishes[d].name : "its name"),
                       "%s is a part, and no dish that is served links to it",
                       bk_dish_words(reader, d));
}

/* ------------------------------------------------------------ as it is read */

bool bk_is_part(const bk_json *dish)
{
    const bk_json *part = bk_json_get(dish, "part");
    return part && part->type == BK_JSON_BOOLEAN && part->truth;
}

/* The dish that a link names, of the dishes so named; SIZE_MAX: none, or its own. */
static size_t dish_of_link(bk_reader *reader, const bk_names *names, const bk_json *link)
{
    const bk_json *stage = link->type == BK_JSON_OBJECT ? bk_json_get(link, "stage") : link;
    const char *slash = stage && stage->type == BK_JSON_STRING ? strrchr(stage->string, '/') : NULL;
    if (!slash)
        return SIZE_MAX;
    return bk_names_find(names,
                         bk_copy(reader->arena, stage->string, (size_t)(slash - stage->string)));
}

/* Marks in `reached` what dish `from` links to, and what that links to. */
static void reach(bk_reader *reader, bk_json *const *dishes, const bk_names *names, size_t from,
                  size_t *stack, bool *reached)
{
    size_t depth = 0;
    stack[depth++] = from;
    while (depth > 0) {
        const bk_json *stages = bk_json_get(dishes[stack[--depth]], "stages");
        if (!stages || stages->type != BK_JSON_LIST)
            continue;
        for (const bk_json *stage = stages->first; stage; stage = stage->next) {
            const bk_json *after =
                stage->type == BK_JSON_OBJECT ? bk_json_get(stage, "after") : NULL;
            bool list = after && after->type == BK_JSON_LIST;
            for (const bk_json *link = list ? after->first : after; link;
                 link = list ? link->next : NULL) {
                size_t other = dish_of_link(reader, names, link);
                if (other == SIZE_MAX || reached[other] || !bk_is_part(dishes[other]))
                    continue;
                reached[other] = true;
                stack[depth++] = other;
            }
        }
    }
}

void bk_parts_over(bk_reader *reader, bk_json *const *dishes, size_t count, bool *over)
{
    const char **listed = BK_NEW(reader->arena, const char *, count);
    size_t *stack = BK_NEW(reader->arena, size_t, count);
    bool *for_kept = BK_NEW(reader->arena, bool, count),
         *for_over = BK_NEW(reader->arena, bool, count);
    for (size_t i = 0; i < count; i++) {
        const bk_json *name = bk_json_get(dishes[i], "dish");
        listed[i] = name && name->type == BK_JSON_STRING ? name->string : NULL;
    }
    bk_names names = bk_names_new(reader->arena, listed, count);
    for (size_t i = 0; i < count; i++)
        if (!bk_is_part(dishes[i]))
            reach(reader, dishes, &names, i, stack, over[i] ? for_over : for_kept);
    for (size_t i = 0; i < count; i++)
        if (for_over[i] && !for_kept[i])
            over[i] = true;
}

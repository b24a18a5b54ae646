/* A recipe or a kitchen by itself: a plan is put around it, so that its problems are found
 * by the same reading. It is no plan to schedule. */
#include "plan/cooling_keys.h"
#include "plan/reader.h"

#include <string.h>

static void add_name(bk_kitchenware *all, const char *name, bool oven, bool cold)
{
    size_t i = 0;
    while (i < all->count && strcmp(all->items[i].name, name) != 0)
        i++;
    if (i == BK_MOST_NAMED) {
        all->too_many = true;
        return;
    }
    if (i == all->count)
        all->items[all->count++] = (bk_ware){name, false, false};
    all->items[i].oven |= oven;
    all->items[i].cold |= cold;
}

/* What stands in "uses", "holds" or "stored": an oven is what has a temperature. */
static void add_names(bk_kitchenware *all, const bk_json *object, const char *key)
{
    const bk_json *uses = bk_json_get(object, key);
    if (!uses || uses->type != BK_JSON_OBJECT)
        return;
    for (const bk_json *use = uses->first; use; use = use->next) {
        bool heated =
            use->type == BK_JSON_OBJECT && (bk_json_get(use, "at") || bk_json_get(use, "shelves"));
        add_name(all, use->key, heated, false);
    }
}

/* The cold place that "in" names, unless it is none of the kitchen's. */
static void add_cold(bk_kitchenware *all, const bk_json *object)
{
    const bk_json *in = bk_json_get(object, "in");
    if (in && in->type == BK_JSON_STRING && !bk_cooling_place_find(in->string))
        add_name(all, in->string, false, true);
}

static void add_cooling(bk_kitchenware *all, const bk_json *cooling)
{
    add_cold(all, cooling);
    const bk_json *places = bk_json_get(cooling, "places");
    if (!places || places->type != BK_JSON_LIST)
        return;
    for (const bk_json *place = places->first; place; place = place->next)
        add_cold(all, place);
}

void bk_gather_equipment(bk_kitchenware *all, const bk_json *recipe)
{
    add_names(all, recipe, "stored");
    const bk_json *stages = bk_json_get(recipe, "stages");
    if (!stages || stages->type != BK_JSON_LIST)
        return;
    for (const bk_json *stage = stages->first; stage; stage = stage->next) {
        add_names(all, stage, "uses");
        add_names(all, stage, "holds");
        add_cooling(all, bk_json_get(stage, "cooling"));
    }
}

static void put_equipment(bk_put *put, const bk_ware *item)
{
    bk_put_open(put, item->name, "{");
    if (item->oven) {
        bk_put_text(put, "kind", "oven");
        bk_put_integer(put, "shelves", BK_MOST_OVENS);
    } else if (item->cold) {
        bk_put_text(put, "kind", "cold");
        bk_put_text(put, "at", "4 C");
    } else {
        bk_put_integer(put, "count", BK_MOST_AMOUNT);
    }
    bk_put_close(put, "}");
}

/* A plan with a kitchen that has whatever the recipe asks for, and one dish. */
static bk_json *plan_with(bk_reader *reader, const bk_kitchenware *all)
{
    bk_text text = bk_text_new(reader->arena);
    bk_put put = bk_put_to(&text);
    bk_put_open(&put, NULL, "{");
    bk_put_text(&put, "occasion", "by itself");
    bk_put_text(&put, "timezone", "UTC");
    bk_put_text(&put, "serve", "2026-12-24 19:30");
    bk_put_open(&put, "kitchen", "{");
    bk_put_integer(&put, "cooks", BK_MOST_COOKS);
    bk_put_open(&put, "equipment", "{");
    for (size_t i = 0; i < all->count; i++)
        put_equipment(&put, &all->items[i]);
    bk_put_close(&put, "}");
    bk_put_close(&put, "}");
    bk_put_open(&put, "dishes", "[");
    bk_put_open(&put, NULL, "{");
    bk_put_text(&put, "dish", "by itself");
    bk_put_open(&put, "stages", "[");
    bk_put_open(&put, NULL, "{");
    bk_put_text(&put, "id", "do");
    bk_put_text(&put, "do", "do");
    bk_put_text(&put, "active", "1 min");
    bk_put_close(&put, "}");
    bk_put_close(&put, "]");
    bk_put_close(&put, "}");
    bk_put_close(&put, "]");
    bk_put_close(&put, "}");
    bk_source *source = BK_NEW(reader->arena, bk_source, 1);
    *source = (bk_source){"(a plan around it)", text.data, text.length};
    return bk_json_read(reader->arena, source, reader->report);
}

static bool has_any(const bk_json *object, const char *const *keys)
{
    for (size_t i = 0; keys[i]; i++)
        if (bk_json_get(object, keys[i]))
            return true;
    return false;
}

/* Puts `json` in the place of the value that it is to stand for. */
static void put_in_place(bk_json *value, const bk_json *json, const char *key)
{
    bk_json *next = value->next;
    *value = *json;
    value->next = next;
    value->key = (char *)(uintptr_t)key;
}

bk_json *bk_plan_around(bk_reader *reader, bk_json *root)
{
    static const char *const of_plan[] = {"occasion", "dishes", "timezone", NULL};
    static const char *const of_recipe[] = {"stages",      "recipe", "dish",
                                            "ingredients", "keeps",  NULL};
    static const char *const of_kitchen[] = {"equipment", "cooks", "asleep", "away", "busy",
                                             "kitchen",   "rules", "pace",   "room", NULL};
    bool recipe = has_any(root, of_recipe), kitchen = has_any(root, of_kitchen);
    if (has_any(root, of_plan) || (!recipe && !kitchen))
        return root;
    bk_kitchenware *all = BK_NEW(reader->arena, bk_kitchenware, 1);
    if (recipe) {
        bk_gather_equipment(all, root);
        /* what a recipe behind this one asks for is not known here */
        reader->kitchen_failed = all->too_many || bk_json_get(root, "recipe");
    }
    bk_json *plan = plan_with(reader, all);
    if (recipe)
        put_in_place(bk_json_get(plan, "dishes")->first, root, NULL);
    else
        put_in_place(bk_json_get(plan, "kitchen"), root, "kitchen");
    reader->plan->alone = true;
    return plan;
}

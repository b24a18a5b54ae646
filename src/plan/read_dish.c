/* Dishes: first all names, so that a link may look ahead; then each in full. */
#include "plan/reader.h"

#include <string.h>

const char *bk_dish_words(bk_reader *reader, size_t dish)
{
    const char *name = reader->plan->dishes[dish].name;
    return name ? bk_format(reader->arena, "the dish %s", bk_quoted(reader->arena, name))
                : "a dish";
}

static void report_twice(bk_reader *reader, const char *what, const char *name, bk_place first,
                         bk_place again)
{
    size_t line = 0, column = 0;
    if (bk_problem_is_kept(reader))
        bk_place_locate(first, &line, &column);
    bk_problem(
        reader, "duplicate-name", again,
        bk_format(reader->arena, "rename one; the first is at line %zu, column %zu", line, column),
        "two %s are named %s", what, bk_quoted(reader->arena, name));
}

/* ------------------------------------------------------------ names, first */

static void read_stage_id(bk_reader *reader, size_t dish, bk_json *json, bk_stage *stage)
{
    stage->dish = dish;
    stage->place = bk_json_place(json);
    if (!bk_is_object(reader, json, "a stage", NULL))
        return;
    bk_json *id = bk_json_get(json, "id");
    const char *whose =
        id && id->type == BK_JSON_STRING
            ? bk_format(reader->arena, "the stage %s", bk_quoted(reader->arena, id->string))
            : "a stage";
    bk_check_keys(reader, json, whose, bk_stage_keys);
    id = bk_json_get(json, "id");
    if (!id) {
        bk_missing(reader, json, "a stage", "id", "give it a short name");
        return;
    }
    stage->place = bk_json_place(id);
    stage->id = bk_text_value(reader, id, "\"id\"", BK_MOST_NAME, false);
    if (stage->id && strchr(stage->id, '/')) {
        bk_problem(reader, "bad-id", stage->place, "write another sign, such as -",
                   "the id %s has a /, which parts a dish from its stage",
                   bk_quoted(reader->arena, stage->id));
    }
}

/* Makes the index of a dish's stage ids. */
static void index_stages(bk_reader *reader, size_t dish)
{
    bk_plan *plan = reader->plan;
    const bk_dish *of = &plan->dishes[dish];
    /* Behind the ids, as written, those that mean a stage of every batch. */
    const char **ids = BK_NEW(reader->arena, const char *, 2 * of->stage_count);
    for (size_t i = 0; i < of->stage_count; i++) {
        const bk_stage *stage = &plan->stages[of->first_stage + i];
        ids[i] = stage->id;
        if (stage->batch == 1 && stage->id) {
            ids[of->stage_count + i] =
                bk_copy(reader->arena, stage->id, strlen(stage->id) - strlen("#1"));
        }
    }
    reader->stages[dish] = bk_names_new(reader->arena, ids, 2 * of->stage_count);
    for (size_t i = 0; i < 2 * of->stage_count; i++) {
        size_t first = ids[i] ? bk_names_find(&reader->stages[dish], ids[i]) : i;
        if (first != i) {
            report_twice(reader, "stages of this dish", ids[i],
                         plan->stages[of->first_stage + first % of->stage_count].place,
                         plan->stages[of->first_stage + i % of->stage_count].place);
        }
    }
}

/* One more stage of the dish, of this batch or none. */
static void add_stage(bk_reader *reader, size_t dish, bk_json *item, int batch)
{
    bk_plan *plan = reader->plan;
    if (plan->stage_count >= BK_MOST_STAGES) {
        bk_problem(reader, "limit", bk_json_place(item), "make two plans of it",
                   "more than %d stages", BK_MOST_STAGES);
        return;
    }
    *BK_PUSH(reader->arena, reader->stage_json, reader->stage_json_count, reader->stage_json_room) =
        item->type == BK_JSON_OBJECT ? item : NULL;
    bk_stage *stage = BK_PUSH(reader->arena, plan->stages, plan->stage_count, reader->stage_room);
    read_stage_id(reader, dish, item, stage);
    stage->batch = batch;
    if (batch > 0 && stage->id)
        stage->id = bk_format(reader->arena, "%s#%d", stage->id, batch);
}

static void read_stage_ids(bk_reader *reader, size_t dish, bk_json *json)
{
    bk_plan *plan = reader->plan;
    bk_dish *of = &plan->dishes[dish];
    bk_json *list = bk_json_get(json, "stages");
    of->first_stage = plan->stage_count;
    if (!list) {
        bk_missing(reader, json, bk_dish_words(reader, dish), "stages", "list at least one stage");
    } else if (list->type != BK_JSON_LIST) {
        bk_wrong_type(reader, list, "\"stages\"", "a list [...]", "put the stages in [ ]");
    } else if (list->count == 0) {
        bk_problem(reader, "missing-key", bk_json_place(list), "list at least one stage",
                   "%s has no stages", bk_dish_words(reader, dish));
    } else {
        bk_batches batches = bk_read_batches(reader, json);
        of->batches = batches.count;
        reader->batches_failed[dish] = batches.count == 0 && bk_json_get(json, "batches");
        of->batches_place = bk_json_place(batches.count > 0 ? bk_json_get(json, "batches") : list);
        of->batch_first = batches.first;
        of->batch_stages = batches.count > 0 ? batches.stages : 0;
        size_t at = 0;
        for (bk_json *item = list->first; item; item = item->next, at++) {
            if (batches.count == 0 || at != batches.first) {
                add_stage(reader, dish, item, 0);
                continue;
            }
            bk_json *first = item;
            for (size_t batch = 1; batch <= batches.count; batch++) {
                item = first;
                add_stage(reader, dish, item, (int)batch);
                for (size_t i = 1; i < batches.stages; i++) {
                    item = item->next;
                    add_stage(reader, dish, item, (int)batch);
                }
            }
            at += batches.stages - 1;
        }
    }
    of->stage_count = plan->stage_count - of->first_stage;
    index_stages(reader, dish);
}

static void read_dish_name(bk_reader *reader, size_t dish, bk_json *json)
{
    bk_dish *of = &reader->plan->dishes[dish];
    bk_json *name = bk_json_get(json, "dish");
    of->place = bk_json_place(name ? name : json);
    of->entry_place = bk_json_place(json);
    if (!name) {
        bk_missing(reader, json, "a dish", "dish", "write its name: \"dish\": \"Torte\"");
        return;
    }
    of->name = bk_text_value(reader, name, "\"dish\"", BK_MOST_NAME, false);
}

static void read_part(bk_reader *reader, size_t dish, bk_json *json)
{
    bk_dish *of = &reader->plan->dishes[dish];
    if (bk_get_boolean(reader, json, "part", &of->part))
        of->part_place = bk_json_place(bk_json_get(json, "part"));
}

/* `shift`: minutes by which the command line moves it. */
static void read_dish_serve(bk_reader *reader, size_t dish, bk_json *json, int64_t shift)
{
    bk_dish *of = &reader->plan->dishes[dish];
    bk_json *own = bk_json_get(json, "serve");
    if (of->part) { /* bk_check_parts knows when it is wanted */
        if (own)
            bk_problem(reader, "part", bk_json_key_place(own), "take it out, or \"part\"",
                       "%s is a part, so it has no \"serve\"", bk_dish_words(reader, dish));
        return;
    }
    if (own) {
        of->serve_place = bk_json_place(own);
        reader->dish_serve_known[dish] = bk_get_instant(reader, json, "serve", &of->serve);
        of->serve += shift;
        if (shift != 0) /* what moved it stands in no file */
            of->serve_place = (bk_place){0};
        return;
    }
    of->serve = reader->unmoved_serve + shift;
    of->serve_place = shift != 0 ? (bk_place){0} : reader->plan->serve_place;
    reader->dish_serve_known[dish] = reader->has_serve;
    if (!reader->serve_given) {
        bk_problem(reader, "missing-key", of->place,
                   "add \"serve\": \"2026-12-24 19:30\" to the plan or the dish",
                   "neither the plan nor %s says when to serve", bk_dish_words(reader, dish));
    }
}

/* A dish whose serve is before now is over: it is left out, unless all are. */
static void read_those_to_come(bk_reader *reader, bk_json *const *resolved, size_t count)
{
    bk_plan *plan = reader->plan;
    const char **over = BK_NEW(reader->arena, const char *, count);
    bool *is_over = BK_NEW(reader->arena, bool, count);
    size_t over_count = 0;
    for (size_t i = 0; i < count; i++) {
        bk_instant serve;
        const bk_json *name = bk_json_get(resolved[i], "dish");
        is_over[i] = plan->has_now && name && name->type == BK_JSON_STRING &&
                     !bk_is_part(resolved[i]) &&
                     bk_own_or_plan_serve(reader, resolved[i], &serve) &&
                     serve + reader->serve_shift[i] < plan->now;
    }
    bk_parts_over(reader, resolved, count, is_over);
    for (size_t i = 0; i < count; i++)
        if (is_over[i])
            over[over_count++] = bk_json_get(resolved[i], "dish")->string;
    bool all = over_count == count;
    for (size_t i = 0; i < count; i++) {
        if (is_over[i] && !all)
            continue;
        size_t dish = plan->dish_count++;
        reader->dish_json[dish] = resolved[i];
        read_dish_name(reader, dish, resolved[i]);
        read_part(reader, dish, resolved[i]);
        read_dish_serve(reader, dish, resolved[i], reader->serve_shift[i]);
        read_stage_ids(reader, dish, resolved[i]);
    }
    if (all)
        return;
    reader->left_out = over;
    reader->left_out_count = over_count;
    bk_note_left_out(reader, over, over_count);
}

void bk_read_dishes(bk_reader *reader, bk_json *list)
{
    static const bk_reference reference = {"a dish", "the recipe", bk_dish_keys, "recipe", false};
    bk_plan *plan = reader->plan;
    if (list->type != BK_JSON_LIST) {
        bk_wrong_type(reader, list, "\"dishes\"", "a list [...]", "put the dishes in [ ]");
        return;
    }
    if (list->count == 0) {
        bk_problem(reader, "missing-key", bk_json_place(list), "list at least one dish",
                   "the plan has no dishes");
        return;
    }
    size_t count = list->count;
    const char **names = BK_NEW(reader->arena, const char *, count);
    plan->dishes = BK_NEW(reader->arena, bk_dish, count);
    reader->stages = BK_NEW(reader->arena, bk_names, count);
    reader->dish_json = BK_NEW(reader->arena, bk_json *, count);
    reader->dish_serve_known = BK_NEW(reader->arena, bool, count);
    reader->dish_unsure = BK_NEW(reader->arena, bool, count);
    reader->batches_failed = BK_NEW(reader->arena, bool, count);
    bk_json **resolved = BK_NEW(reader->arena, bk_json *, count);
    size_t there = 0;
    for (bk_json *item = list->first; item; item = item->next) {
        bk_json *json = bk_is_object(reader, item, "a dish", NULL)
                            ? bk_resolve(reader, item, &reference)
                            : NULL;
        if (!json) {
            reader->dish_failed = true;
            continue;
        }
        resolved[there++] = json;
    }
    reader->unmoved_serve = reader->serve;
    bk_move_serves(reader, resolved, there);
    read_those_to_come(reader, resolved, there);
    for (size_t i = 0; i < plan->dish_count; i++)
        names[i] = plan->dishes[i].name;
    reader->dishes = bk_names_new(reader->arena, names, plan->dish_count);
    for (size_t i = 0; i < plan->dish_count; i++) {
        size_t first = names[i] ? bk_names_find(&reader->dishes, names[i]) : i;
        if (first != i) {
            report_twice(reader, "dishes", names[i], plan->dishes[first].place,
                         plan->dishes[i].place);
        }
    }
}

/* ------------------------------------------------------------ then the rest */

/* As much of it as the dish is made for. */
static const char *amount_of(bk_reader *reader, const bk_dish *dish, const char *written)
{
    bool as_written = dish->scale == 0.0 || dish->scale == 1.0;
    return !written || as_written ? written : bk_amount_times(reader->arena, written, dish->scale);
}

static bool any_grows(const bk_json *dish)
{
    const bk_json *stages = bk_json_get(dish, "stages");
    for (const bk_json *stage = stages ? stages->first : NULL; stage; stage = stage->next)
        if (stage->type == BK_JSON_OBJECT && bk_json_get(stage, "grows"))
            return true;
    return false;
}

/* The tin it is made in, beside the one it was written for. */
static void read_tins(bk_reader *reader, size_t dish, bk_json *json)
{
    bk_dish *of = &reader->plan->dishes[dish];
    bool made_for = of->scale > 0.0 && of->scale != 1.0;
    bk_read_tins(reader, dish, json);
    if (bk_other_tin(of) && !made_for && !any_grows(json))
        bk_remark(reader, "make", of->into_place,
                  "give the stages that take longer for more a \"grows\" from 0 to 1",
                  "%s is made in another tin (%s in place of %s), and all its steps are planned as "
                  "long as they were",
                  bk_dish_words(reader, dish), of->into.words, of->tin.words);
}

/* How many the dish is made for, beside how many it was written for. */
static void read_make(bk_reader *reader, size_t dish, bk_json *json)
{
    bk_dish *of = &reader->plan->dishes[dish];
    int64_t make = 0;
    bk_json *value = bk_json_get(json, "make");
    if (!bk_get_count(reader, json, "make", BK_MOST_AMOUNT, &make))
        return;
    if (of->serves == 0) {
        bk_problem(reader, "make", bk_json_key_place(value),
                   "add \"serves\": how many the amounts are written for",
                   "%s does not say how many it was written for", bk_dish_words(reader, dish));
        return;
    }
    of->scale = (double)make / (double)of->serves;
    if (make != of->serves && !any_grows(json)) {
        bk_remark(reader, "make", bk_json_place(value),
                  "give the stages that take longer for more a \"grows\" from 0 to 1",
                  "%s is made for %lld in place of %lld, and all its steps are planned as long as "
                  "they were",
                  bk_dish_words(reader, dish), (long long)make, (long long)of->serves);
    }
    of->serves = make;
}

/* "is": a word or a list of words, in place of what the item's name is taken for. */
static void read_is(bk_reader *reader, bk_json *json, bk_ingredient *ingredient)
{
    bk_json *first = json->type == BK_JSON_LIST ? json->first : json;
    ingredient->has_is = true;
    if (json->type == BK_JSON_LIST && json->count == 0)
        bk_problem(reader, "empty", bk_json_place(json),
                   "write what it is, such as [\"egg\", \"raw\"], or leave \"is\" out",
                   "\"is\" is empty");
    for (bk_json *word = first; word; word = json->type == BK_JSON_LIST ? word->next : NULL) {
        if (word->type != BK_JSON_STRING) {
            bk_wrong_type(reader, word, "\"is\"", "a word",
                          "write \"is\": \"fish\" or [\"egg\", \"raw\"]");
            continue;
        }
        size_t n = 0;
        while (bk_is_words[n] && strcmp(bk_is_words[n], word->string) != 0)
            n++;
        if (bk_is_words[n]) {
            ingredient->is |= 1U << n;
            continue;
        }
        const char *near = bk_suggestion(reader, word->string, bk_is_words, NULL);
        bk_problem_fix(reader, "unknown-word", bk_json_place(word),
                       bk_fix_name(reader, bk_json_place(word), word->string, bk_is_words),
                       near ? near
                            : bk_format(reader->arena, "write %s", bk_is_listed(reader->arena)),
                       "\"is\" knows no %s", bk_quoted(reader->arena, word->string));
    }
}

static void read_ingredient(bk_reader *reader, size_t dish, bk_json *json)
{
    bk_dish *of = &reader->plan->dishes[dish];
    bk_ingredient *ingredient = &of->ingredients[of->ingredient_count++];
    ingredient->stage = SIZE_MAX;
    if (json->type == BK_JSON_STRING) {
        ingredient->item = bk_text_value(reader, json, "an ingredient", BK_MOST_TEXT, false);
        ingredient->item = amount_of(reader, of, ingredient->item);
        return;
    }
    if (!bk_is_object(reader, json, "an ingredient", "write \"200 g sugar\" or {\"item\": …}"))
        return;
    bk_check_keys(reader, json, "an ingredient", bk_ingredient_keys);
    bk_json *item = bk_json_get(json, "item"), *amount = bk_json_get(json, "amount");
    bk_json *stage = bk_json_get(json, "stage");
    if (item)
        ingredient->item = bk_text_value(reader, item, "\"item\"", BK_MOST_TEXT, false);
    else
        bk_missing(reader, json, "an ingredient", "item", "say what it is");
    if (amount) {
        ingredient->amount = bk_text_value(reader, amount, "\"amount\"", BK_MOST_TEXT, false);
        ingredient->amount = amount_of(reader, of, ingredient->amount);
    }
    if (stage)
        ingredient->stage = bk_find_stage_named(reader, dish, stage);
    bk_json *is = bk_json_get(json, "is");
    if (is)
        read_is(reader, is, ingredient);
}

static void read_ingredients(bk_reader *reader, size_t dish, bk_json *list)
{
    if (list->type != BK_JSON_LIST) {
        bk_wrong_type(reader, list, "\"ingredients\"", "a list [...]", "put them in [ ]");
        return;
    }
    reader->plan->dishes[dish].ingredients = BK_NEW(reader->arena, bk_ingredient, list->count);
    for (bk_json *item = list->first; item; item = item->next)
        read_ingredient(reader, dish, item);
}

void bk_read_dish_details(bk_reader *reader, size_t dish)
{
    bk_json *json = reader->dish_json[dish];
    bk_dish *of = &reader->plan->dishes[dish];
    bk_get_count(reader, json, "serves", BK_MOST_AMOUNT, &of->serves);
    read_make(reader, dish, json);
    read_tins(reader, dish, json);
    of->has_keeps = bk_get_duration(reader, json, "keeps", &of->keeps);
    if (of->has_keeps) {
        of->keeps_place = bk_json_place(bk_json_get(json, "keeps"));
        if (!of->part && of->keeps < reader->plan->margin) {
            bk_remark(reader, "keeps-below-margin", of->keeps_place,
                      "make \"keeps\" longer or \"margin\" shorter",
                      "%s keeps only %s, and everything has to be ready %s before it is served: "
                      "no timeline has both",
                      bk_quoted(reader->arena, of->name), bk_minutes(reader->arena, of->keeps),
                      bk_minutes(reader->arena, reader->plan->margin));
        }
    }
    bk_read_stored(reader, dish);
    bk_json *ingredients = bk_json_get(json, "ingredients");
    if (ingredients)
        read_ingredients(reader, dish, ingredients);
    for (size_t i = 0; i < of->stage_count; i++)
        bk_read_stage(reader, of->first_stage + i);
}
